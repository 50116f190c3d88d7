"""Who the key or the browser belongs to."""

from __future__ import annotations

from typing import Any

from api.fields import Choice, Id, Shown, Words, YesNo
from api.operations import Asked, Noun, reads
from api.words import ROLES


class Person(Shown):
    """The person asking, in the club this request is about."""

    member_id = Id()
    club_id = Id()
    name = Words()
    role = Choice(choices=ROLES)
    plans = YesNo(help_text="May plan days, edit the programme and see everybody's hours.")
    today = Words(help_text="The date it is now in the club's zone.")
    zone = Words()


class Me(Noun):
    """The person asking."""

    noun = "me"

    @reads(Person)
    def get(self, asked: Asked) -> dict[str, Any]:
        """Who asks, in which club, with which role."""
        actor = asked.actor
        return {
            "member_id": actor.member_id,
            "club_id": actor.club_id,
            "name": actor.name,
            "role": actor.role,
            "plans": actor.plans,
            "today": asked.today.isoformat(),
            "zone": asked.zone,
        }
