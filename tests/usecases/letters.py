"""A message that waits to be sent, as the tests of sending need it."""

from __future__ import annotations

from datetime import UTC, date, datetime

from collection import models

BODY = {
    "subject": "You on Saturday 6 March",
    "greeting": "Hello Aoife,",
    "opening": "Here is your round-up of Wednesday 3 March.",
    "parts": [
        {
            "title": "Saturday 6 March, 9:30",
            "lines": [
                {
                    "text": "Bench shed & yard, until 13:30.",
                    "people": [["Imke T.", "leads"], ["You", "second pair of hands"]],
                    "acts": [
                        {"words": "I’m coming", "say": "yes", "purpose": "day", "row": 7, "version": 1,
                         "until": "2027-03-06T13:30:00+00:00"}
                    ],
                    "below": "",
                }
            ],
        }
    ],
    "why": ["You get this because you have said you come."],
}  # fmt: skip


def letter_for(member: models.Member, number: int = 1, **fields) -> models.Message:
    """A written message to a member, not kept yet; its Message-ID names him."""
    return models.Message(
        club=member.club, member=member, local_day=date(2027, 3, 3), number=number, body=BODY,
        subject=BODY["subject"], message_id=f"<{member.pk}.{number}@teire.example>",
        written_at=datetime(2027, 3, 3, 9, tzinfo=UTC), **fields,
    )  # fmt: skip


def letter_to(member: models.Member, number: int = 1, **fields) -> models.Message:
    """A written message to a member that waits to be sent."""
    message = letter_for(member, number, **fields)
    message.save()
    return message
