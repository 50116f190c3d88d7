"""A day from draft to called off: who may change it, who is told, and what becomes of its answers."""

from __future__ import annotations

from datetime import date, datetime, time

import pytest

from collection.models import Assignment, Change, Member, Notice, Offer, Plan, Workday
from collection.queries.access import Actor, workday_for
from collection.queries.errors import Refused
from collection.usecases import sending, workdays
from tests.factories import (
    JobFactory,
    MemberFactory,
    PlanFactory,
    SiteFactory,
    TreeFactory,
    actor_of,
    coordinator,
)

pytestmark = pytest.mark.django_db
TODAY, DAY, LATER = date(2027, 3, 3), date(2027, 3, 6), date(2027, 3, 20)


class House:
    """A coordinator, two members and a day."""

    def __init__(self, state: str = "open", **fields: object) -> None:
        self.site = SiteFactory(name="Malthouse")
        self.actor: Actor = coordinator(self.site.club)
        self.people = [MemberFactory(club=self.site.club) for _ in range(2)]
        self.day = workdays.create_workday(
            actor=self.actor, site_id=self.site.pk, on=DAY, opens=time(9, 30), closes=time(13, 30),
            state=state, **fields,
        )  # fmt: skip

    def answer(self, member: Member, answer: str = "yes", **hours: time) -> None:
        workdays.offer_hours(
            actor=actor_of(member), workday_id=self.day, member_id=member.pk, answer=answer, **hours
        )

    def send(self, number: int = 1, **starts: int) -> Plan:
        """A plan with a job for the first person, sent out."""
        plan = PlanFactory(workday_id=self.day, club=self.site.club, number=number, state="ready")
        self.seat(plan, self.people[0], 10)
        sending.send_out(actor=self.actor, plan_id=plan.pk)
        return plan

    def seat(self, plan: Plan, member: Member, hour: int) -> Assignment:
        job = JobFactory(tree=TreeFactory(site=self.site))
        return Assignment.objects.create(
            club=self.site.club, plan=plan, job=job, member=member, person_key=f"account:{member.account_id}",
            role="lead", starts=datetime.fromisoformat(f"2027-03-06T{hour:02d}:00+00:00"),
            ends=datetime.fromisoformat(f"2027-03-06T{hour + 1:02d}:00+00:00"),
        )  # fmt: skip

    @property
    def row(self) -> Workday:
        return Workday.objects.get(pk=self.day)

    def told(self, kind: str) -> set[int]:
        rows = Notice.objects.filter(kind=kind, subject=f"workday:{self.day}")
        return set(rows.values_list("member_id", flat=True))


@pytest.fixture(autouse=True)
def morning(time_machine: object) -> None:
    time_machine.move_to("2027-03-03T09:00:00+00:00", tick=False)  # type: ignore[attr-defined]


@pytest.fixture
def house() -> House:
    return House()


def code(call) -> str:
    with pytest.raises(Refused) as refused:
        call()
    return refused.value.reason.code


def test_a_draft_is_nothing_to_members_and_everything_to_coordinators():
    house = House(state="draft")
    assert code(lambda: workday_for(actor_of(house.people[0]), house.day)) == "not_found"
    assert code(lambda: house.answer(house.people[0])) == "not_found"
    assert workday_for(house.actor, house.day).state == "draft"


def test_opening_a_draft_tells_everybody_who_has_not_answered():
    house = House(state="draft")
    workdays.offer_hours(
        actor=house.actor, workday_id=house.day, member_id=house.people[1].pk, answer="perhaps"
    )
    MemberFactory(club=house.site.club, active_to=date(2027, 3, 5))
    for _ in range(2):
        workdays.open_for_offers(actor=house.actor, workday_id=house.day)
    assert house.row.state == "open"
    assert house.told("day_open") == {house.people[0].pk, house.actor.member_id}
    notice = Notice.objects.filter(kind="day_open").first()
    assert notice.values == {
        "date": "2027-03-06", "opens": "09:30", "closes": "13:30", "site": "Malthouse",
        "least_people": 2, "bring": "",
    }  # fmt: skip
    assert notice.expires_at.isoformat() == "2027-03-06T13:30:00+00:00"


def test_a_day_behind_us_is_told_to_nobody(time_machine):
    house = House(state="draft")
    time_machine.move_to("2027-03-06T14:00:00+00:00", tick=False)
    workdays.open_for_offers(actor=house.actor, workday_id=house.day)
    assert not Notice.objects.exists()


@pytest.mark.parametrize(
    ("fields", "refusal"),
    [
        ({"closes": time(9, 0)}, "day_times"),
        ({"breaks": [(time(9, 0), time(9, 45))]}, "day_times"),
        ({"breaks": [(time(11, 0), time(11, 30)), (time(11, 15), time(11, 45))]}, "day_breaks"),
        ({"briefing_min": 121}, "day_minutes"),
        ({"closing_min": -1}, "day_minutes"),
        ({"least_people": 0}, "day_people"),
        ({"least_people": 5, "most_people": 4}, "day_people"),
        ({"lead_id": 999_999}, "not_found"),
        ({"first_aider_id": 999_999}, "not_found"),
        ({"site_id": 999_999}, "not_found"),
        ({"date": LATER}, "day_field"),
    ],
)
def test_a_change_that_makes_no_sense_is_refused_and_changes_nothing(house: House, fields, refusal):
    before = Workday.objects.values().get()
    assert (
        code(lambda: workdays.change_workday(actor=house.actor, workday_id=house.day, changes=fields))
        == refusal
    )
    assert Workday.objects.values().get() == before


def test_a_changed_day_keeps_its_trail_and_puts_the_plan_out_of_date(house: House):
    plan = PlanFactory(workday_id=house.day, club=house.site.club, state="ready")
    changes = {"bring": "Gloves", "lead_id": house.people[0].pk, "breaks": [(time(11, 15), time(11, 30))]}
    workdays.change_workday(actor=house.actor, workday_id=house.day, changes=changes, version=1)
    row = house.row
    assert (row.bring, row.lead_id, row.breaks, row.version) == (
        "Gloves", house.people[0].pk, [["11:15", "11:30"]], 2
    )  # fmt: skip
    trail = Change.objects.filter(table="workday").latest("id")
    assert set(trail.after) == {"bring", "lead_id", "breaks"}
    assert Plan.objects.get(pk=plan.pk).state == "out_of_date"
    assert not Notice.objects.exists()
    assert (
        code(
            lambda: workdays.change_workday(
                actor=house.actor, workday_id=house.day, changes={"bring": ""}, version=1
            )
        )
        == "stale"
    )


def test_other_times_are_told_and_answers_keep_inside_them(house: House):
    early, late = house.people
    house.answer(early, leaves=time(10, 0))
    house.answer(late, arrives=time(11, 0))
    workdays.change_workday(
        actor=house.actor, workday_id=house.day, changes={"opens": time(10, 0), "closes": time(14, 0)}
    )
    found = {o.member_id: (o.answer, o.arrives, o.leaves) for o in Offer.objects.all()}
    assert found == {
        early.pk: ("perhaps", time(10, 0), time(14, 0)),
        late.pk: ("yes", time(11, 0), time(14, 0)),
    }
    assert house.told("day_moved") == {early.pk, late.pk}
    assert Notice.objects.filter(kind="day_moved").first().values["was"]["opens"] == "09:30"


def test_a_moved_day_asks_everybody_again_and_books_nobody(house: House):
    first, second = house.people
    house.answer(first)
    house.answer(second, "no")
    plan = house.send()
    workdays.move_workday(actor=house.actor, workday_id=house.day, on=LATER, today=TODAY, version=2)
    row = house.row
    assert (row.date, row.state) == (LATER, "open")
    assert not Offer.objects.exists()
    assert Change.objects.filter(table="offer", after={}).count() == 2
    plan.refresh_from_db()
    assert (plan.sent_out, plan.state) == (False, "out_of_date")
    assert not Assignment.objects.filter(confirmed=True).exists()
    assert house.told("day_moved") == {first.pk, second.pk}
    assert not house.told("plan_out")
    notice = Notice.objects.filter(kind="day_moved").first()
    assert (notice.values["date"], notice.values["was"]["date"]) == ("2027-03-20", "2027-03-06")
    assert notice.values["answer_again"] is True


def test_answers_are_kept_where_everybody_was_asked_about_the_new_date(house: House):
    house.answer(house.people[0])
    workdays.move_workday(actor=house.actor, workday_id=house.day, on=LATER, today=TODAY, keep_answers=True)
    assert Offer.objects.get().answer == "yes"
    assert Notice.objects.get().values["answer_again"] is False


def test_a_slip_in_the_year_is_refused_wherever_a_date_is_set(house: House):
    far = date(9999, 12, 31)
    move = {"actor": house.actor, "workday_id": house.day, "today": TODAY}
    told = {"actor": house.actor, "site_id": house.site.pk, "opens": time(9), "closes": time(12)}
    assert code(lambda: workdays.move_workday(**move, on=far)) == "day_year"
    assert code(lambda: workdays.create_workday(**told, on=far)) == "day_year"
    assert code(lambda: workdays.create_workday(**told, on=date(27, 3, 6))) == "day_year"


def test_a_day_is_not_moved_into_the_past_nor_onto_another(house: House):
    move = {"actor": house.actor, "workday_id": house.day, "today": TODAY}
    assert code(lambda: workdays.move_workday(**move, on=date(2027, 3, 2))) == "day_in_past"
    workdays.create_workday(
        actor=house.actor, site_id=house.site.pk, on=LATER, opens=time(9, 30), closes=time(13, 30)
    )
    assert code(lambda: workdays.move_workday(**move, on=LATER)) == "day_taken"
    assert house.row.date == DAY


def test_a_cancelled_day_tells_everybody_with_a_stake_and_frees_them_and_the_date(house: House):
    planned, declined = house.people
    house.answer(planned)
    house.answer(declined, "no")
    house.send()
    workdays.cancel_workday(actor=house.actor, workday_id=house.day, why=" Hard frost. ")
    row = house.row
    assert (row.state, row.cancelled_why) == ("cancelled", "Hard frost.")
    assert house.told("day_cancelled") == {planned.pk, declined.pk}
    assert not house.told("plan_out")
    assert Notice.objects.filter(kind="day_cancelled").first().values["why"] == "Hard frost."
    assert not Assignment.objects.filter(confirmed=True).exists()
    assert not Plan.objects.filter(sent_out=True).exists()
    again = workdays.create_workday(
        actor=house.actor, site_id=house.site.pk, on=DAY, opens=time(9, 30), closes=time(13, 30)
    )
    assert again != house.day


@pytest.mark.parametrize("state", ["cancelled", "held"])
def test_a_day_that_is_over_is_not_changed_moved_opened_or_cancelled(house: House, state: str):
    Workday.objects.update(state=state)
    who = {"actor": house.actor, "workday_id": house.day}
    assert code(lambda: workdays.cancel_workday(**who, why="Rain")) == "day_over"
    assert code(lambda: workdays.move_workday(**who, on=LATER, today=TODAY)) == "day_over"
    assert code(lambda: workdays.change_workday(**who, changes={"bring": "Hat"})) == "day_over"
    assert code(lambda: workdays.open_for_offers(**who)) == "day_over"
    assert code(lambda: house.answer(house.people[0])) == "day_over"
    plan = PlanFactory(workday_id=house.day, club=house.site.club, state="ready")
    assert code(lambda: sending.send_out(actor=house.actor, plan_id=plan.pk)) == "day_over"
    assert not Notice.objects.exists()


def test_a_cancelled_day_says_why_and_only_a_coordinator_does_any_of_it(house: House):
    assert code(
        lambda: workdays.cancel_workday(actor=house.actor, workday_id=house.day, why="  ")
    ) == "reason_needed"  # fmt: skip
    who = {"actor": actor_of(house.people[0]), "workday_id": house.day}
    calls = [
        lambda: workdays.cancel_workday(**who, why="Rain"),
        lambda: workdays.move_workday(**who, on=LATER, today=TODAY),
        lambda: workdays.change_workday(**who, changes={}),
        lambda: workdays.open_for_offers(**who),
        lambda: workdays.mark_came(**who, member_ids=[], today=DAY),
        lambda: workdays.hold(**who, today=DAY),
    ]
    assert {code(call) for call in calls} == {"coordinators_only"}


# --- answers ----------------------------------------------------------------------------------


def test_the_last_place_is_given_once_and_a_person_may_say_yes_again():
    house = House(least_people=1, most_people=1)
    first, second = house.people
    house.answer(first)
    house.answer(first, leaves=time(12, 0))
    assert code(lambda: house.answer(second)) == "day_has_no_room"
    house.answer(second, "perhaps")
    house.answer(first, "no")
    house.answer(second)
    assert Offer.objects.get(member=second).answer == "yes"


def test_an_answer_that_changes_after_the_plan_went_out_is_told_to_coordinators(house: House):
    planned, other = house.people
    house.answer(planned)
    plan = house.send()
    house.answer(other, "no")
    house.answer(planned)
    assert not house.told("answer_changed")
    house.answer(planned, arrives=time(10, 30))
    assert house.told("answer_changed") == {house.actor.member_id}
    said = Notice.objects.get(kind="answer_changed").values
    assert (said["name"], said["answer"], said["arrives"]) == (planned.name, "yes", "10:30")
    plan.refresh_from_db()
    assert (plan.sent_out, plan.state) == (True, "out_of_date")


# --- the plan goes out ------------------------------------------------------------------------


def test_a_newer_plan_is_told_to_those_whose_own_list_changed(house: House):
    first, second = house.people
    house.answer(first)
    house.answer(second)
    old = house.send()
    assert house.told("plan_out") == {first.pk, second.pk}
    values = {n.member_id: n.values for n in Notice.objects.filter(kind="plan_out")}
    assert (values[first.pk]["jobs"], values[first.pk]["first"]) == (1, "10:00")
    assert (values[second.pk]["jobs"], values[second.pk]["first"]) == (0, "")
    Notice.objects.update(message=None)
    new = PlanFactory(workday_id=house.day, club=house.site.club, number=2, state="ready")
    for seat in old.assignments.all():
        seat.pk, seat.plan, seat.confirmed = None, new, False
        seat.save()
    house.seat(new, second, 11)
    sending.send_out(actor=house.actor, plan_id=new.pk)
    assert set(Notice.objects.filter(period="plan 2").values_list("member_id", "values__newer")) == {
        (second.pk, True)
    }


def test_a_plan_that_takes_people_from_another_day_says_who_and_where(house: House):
    garden = SiteFactory(club=house.site.club, name="Dovetail garden")
    first = house.people[0]
    house.answer(first)
    house.send()
    other = workdays.create_workday(
        actor=house.actor, site_id=garden.pk, on=DAY, opens=time(9, 30), closes=time(13, 30)
    )
    plan = PlanFactory(workday_id=other, club=house.site.club, state="ready")
    house.seat(plan, first, 10)
    with pytest.raises(Refused) as refused:
        sending.send_out(actor=house.actor, plan_id=plan.pk)
    assert refused.value.reason.code == "busy_elsewhere"
    assert refused.value.reason.values == {
        "people": (first.name,), "site": "Malthouse", "begins": "10:00", "ends": "11:00",
    }  # fmt: skip
    plan.refresh_from_db()
    assert not plan.sent_out


# --- who came ---------------------------------------------------------------------------------


def came(house: House) -> dict[int, tuple[bool, time | None]]:
    return {a.member_id: (a.came, a.arrived) for a in house.row.attendance.all()}


def test_who_came_is_written_down_and_can_be_put_right(house: House):
    expected, surprise = house.people
    house.answer(expected)
    mark = {"actor": house.actor, "workday_id": house.day, "today": DAY}
    workdays.mark_came(**mark, member_ids=[surprise.pk], hours={surprise.pk: (time(10, 7), None)}, held=True)
    assert came(house) == {expected.pk: (False, None), surprise.pk: (True, time(10, 7))}
    assert house.row.state == "held"
    workdays.mark_came(**mark, member_ids=[expected.pk])
    assert came(house) == {expected.pk: (True, None), surprise.pk: (False, None)}
    assert Change.objects.filter(table="attendance").count() == 4
    workdays.mark_came(**mark, member_ids=[expected.pk])
    assert Change.objects.filter(table="attendance").count() == 4


@pytest.mark.parametrize(
    ("state", "today", "refusal"),
    [("open", date(2027, 3, 5), "day_not_yet"), ("cancelled", DAY, "day_cancelled")],
)
def test_nobody_came_to_a_day_ahead_or_called_off(house: House, state, today, refusal):
    Workday.objects.update(state=state)
    who = {"actor": house.actor, "workday_id": house.day, "today": today}
    assert code(lambda: workdays.mark_came(**who, member_ids=[])) == refusal
    assert code(lambda: workdays.hold(**who)) == refusal


def test_somebody_of_another_club_did_not_come(house: House):
    stranger = MemberFactory()
    who = {"actor": house.actor, "workday_id": house.day, "today": DAY}
    assert code(lambda: workdays.mark_came(**who, member_ids=[stranger.pk])) == "not_found"
    hours = {house.people[0].pk: (time(11, 0), time(10, 0))}
    assert code(lambda: workdays.mark_came(**who, member_ids=[], hours=hours)) == "came_times"
