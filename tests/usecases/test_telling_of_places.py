"""Being asked to help at a bend, and what becomes of it, as a letter says it."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest

from collection import models
from collection.usecases import reminders
from collection.usecases.notices import NoticeKind, place_subject, tell
from tests.factories import MemberFactory, SiteFactory, WorkdayFactory

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 3, 3, 9, tzinfo=UTC)


class House:
    def __init__(self, on: date) -> None:
        site = SiteFactory()
        self.club, self.asked = site.club, MemberFactory(club=site.club, name="Imke Tarn")
        day = WorkdayFactory(site=site, date=on)
        self.place = models.Place.objects.create(
            club=self.club, workday=day, number=1, starts=time(10), ends=time(11)
        )
        self.question = models.Invitation.objects.create(
            club=self.club, place=self.place, member=self.asked, order=1
        )

    def tell(self, kind: NoticeKind, **more) -> None:
        values = {"bend": 1, "tree": "2011.007", "what": "28 mm", "date": f"{self.place.workday.date}",
                  "starts": "10:00", "ends": "11:00", "site": "Shed", "lead": "Petra Moss"}  # fmt: skip
        tell(
            kind=kind, club_id=self.club.pk, member_ids=[self.asked.pk], period="v1", due_at=NOW,
            subject=place_subject(self.place.pk), values=values | more,
        )  # fmt: skip

    def text(self, now: datetime = NOW) -> str:
        reminders.gather(self.club, [], now)
        return "".join(models.Message.objects.values_list("text", flat=True))


def test_who_is_asked_gets_one_letter_with_two_answers():
    house = House(date(2027, 3, 20))
    house.tell(NoticeKind.PLACE_ASKED, invitation=house.question.pk)
    text = house.text()
    assert "A second pair of hands is wanted for a heavy bend of 28 mm on 2011.007." in text
    assert "Saturday 20 March, 10:00 to 11:00, Shed. Petra Moss leads." in text
    assert "I’ll help: [link]" in text
    acts = models.Message.objects.get().body["parts"][0]["lines"][0]["acts"]
    assert {(a["purpose"], a["row"], a["until"]) for a in acts} == {
        ("place", house.question.pk, "2027-03-20T13:30:00+00:00")
    }


@pytest.mark.parametrize("end", ["taken", "answered", "cancelled", "over"])
def test_a_question_that_is_settled_is_asked_no_more(end):
    house = House(date(2027, 3, 20))
    house.tell(NoticeKind.PLACE_ASKED, invitation=house.question.pk)
    if end == "taken":
        models.Place.objects.update(winner=MemberFactory(club=house.club))
    if end == "answered":
        models.Invitation.objects.update(answer="declined")
    if end == "cancelled":
        models.Workday.objects.update(state="cancelled")
    assert house.text(NOW + timedelta(days=30 if end == "over" else 0)) == ""


def test_a_place_that_is_given_and_then_back_is_told_only_as_it_is_now():
    house = House(date(2027, 3, 20))
    house.tell(NoticeKind.PLACE_GIVEN, who="Imke Tarn")
    house.tell(NoticeKind.PLACE_BACK, who="Imke Tarn")
    text = house.text()
    assert "Imke Tarn cannot help at the bend on 2011.007 on Saturday 20 March." in text
    assert "is the second pair of hands" not in text


def test_a_question_for_tomorrow_comes_besides_the_round_up_of_the_day():
    house = House(date(2027, 3, 4))
    models.Message.objects.create(
        club=house.club, member=house.asked, local_day=NOW.date(), message_id="<a@example.org>"
    )
    house.tell(NoticeKind.PLACE_ASKED, invitation=house.question.pk)
    assert "because it cannot wait until tomorrow" in house.text(NOW + timedelta(hours=2))
