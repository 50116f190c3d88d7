"""Leaving: trees, days, places, messages and sign-in are settled in one go, and what was done stays."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

import pytest

from collection import models
from collection.queries.errors import Refused
from collection.queries.leaving import leaving_of
from collection.queries.people import active
from collection.queries.sentences import say
from collection.usecases import abilities, bends, habits, leaving, members, offers, sittings, welcomes
from collection.usecases.care import set_care
from collection.usecases.program_keys import make_key
from collection.usecases.sittings import TaskDone, Worked
from collection.usecases.workdays import create_workday
from tests.factories import (
    JobFactory,
    MemberFactory,
    PlanFactory,
    SiteFactory,
    TreeFactory,
    actor_of,
)

pytestmark = pytest.mark.django_db
TODAY = date(2027, 3, 3)


@pytest.fixture(autouse=True)
def clock(time_machine):
    time_machine.move_to("2027-03-03T09:00:00+00:00", tick=False)


class House:
    """Wilma, who is in everything."""

    def __init__(self) -> None:
        self.site = SiteFactory()
        self.club = self.site.club
        self.boss = actor_of(MemberFactory(club=self.club, role="admin", name="Edith Mossgrave"))
        self.friend = MemberFactory(club=self.club, name="Petra Vale")
        self.wilma = MemberFactory(club=self.club, name="Wilma Sand")
        self.me = actor_of(self.wilma)

    def tree(self, number: int, *, role: str = "owner") -> models.Tree:
        tree = TreeFactory(site=self.site, accession=f"2019.{number:03d}")
        set_care(actor=self.boss, tree_id=tree.pk, member_id=self.wilma.pk, role=role, ask_first=True)
        return tree

    def day(self, on: date = date(2027, 3, 6), **fields: object) -> models.Workday:
        pk = create_workday(
            actor=self.boss, site_id=self.site.pk, on=on, opens=time(9, 30), closes=time(13, 30), **fields
        )
        for person in (self.wilma, self.friend):
            offers.offer_hours(actor=self.boss, workday_id=pk, member_id=person.pk, answer="yes")
        return models.Workday.objects.get(pk=pk)

    def leave(self, actor=None, *, owned=None, cared=None, version: int | None = None) -> bool:
        fresh = models.Member.objects.get(pk=self.wilma.pk)
        return leaving.leave(
            actor=actor or self.boss,
            member_id=self.wilma.pk,
            version=fresh.version if version is None else version,
            today=TODAY,
            owned=owned or {},
            cared=cared or {},
        )


@pytest.fixture
def house() -> House:
    return House()


def code(call) -> str:
    with pytest.raises(Refused) as caught:
        call()
    assert say(caught.value.reason)
    return caught.value.reason.code


def test_who_leaves_is_no_member_from_that_moment_and_can_come_back(house):
    assert not house.leave()
    gone = models.Member.objects.get(pk=house.wilma.pk)
    assert gone.active_to == date(2027, 3, 2)
    assert house.wilma.pk not in {person.pk for person in active(house.club.pk, TODAY)}
    members.come_back(actor=house.boss, member_id=gone.pk, version=gone.version, today=TODAY)
    assert house.wilma.pk in {person.pk for person in active(house.club.pk, TODAY)}


def test_somebody_added_today_by_mistake_leaves_today(house):
    pk = members.add_member(actor=house.boss, name="Mistake", today=TODAY)
    leaving.leave(actor=house.boss, member_id=pk, version=1, today=TODAY, owned={}, cared={})
    assert pk not in {person.pk for person in active(house.club.pk, TODAY)}


def test_trees_go_to_somebody_or_out_of_the_club(house):
    kept, gone, shared, cared, dropped = (
        house.tree(n, role="carer" if n > 3 else "owner") for n in range(1, 6)
    )
    set_care(actor=house.boss, tree_id=shared.pk, member_id=house.friend.pk)
    job = JobFactory(tree=gone)
    models.Tree.objects.filter(pk=kept.pk).update(brought_by=house.wilma)
    house.leave(owned={kept.pk: house.friend.pk, gone.pk: None}, cared={cared.pk: house.friend.pk})
    rows = models.Care.objects.order_by("tree__accession").values_list(
        "tree_id", "member_id", "role", "ask_first"
    )
    assert list(rows) == [
        (kept.pk, house.friend.pk, "owner", True),
        (shared.pk, house.friend.pk, "owner", False),
        (cared.pk, house.friend.pk, "carer", True),
    ]
    assert models.Tree.objects.get(pk=kept.pk).brought_by is None
    left = models.Tree.objects.get(pk=gone.pk)
    assert left.archived_at is not None
    event = models.TreeEvent.objects.get(tree=gone, kind="out")
    assert (event.on, event.cause) == (TODAY, "Back to its owner: Wilma Sand left the club")
    assert models.Job.objects.get(pk=job.pk).state == "withdrawn"
    assert models.Tree.objects.get(pk=dropped.pk).archived_at is None


def test_nothing_is_settled_when_one_tree_is_not(house):
    first, second = house.tree(1), house.tree(2)
    house.day()
    assert code(lambda: house.leave(owned={first.pk: None})) == "tree_unsettled"
    assert code(lambda: house.leave(owned={first.pk: None, second.pk: house.wilma.pk})) == "tree_receiver"
    stranger = MemberFactory()
    assert code(lambda: house.leave(owned={first.pk: stranger.pk, second.pk: None})) == "tree_receiver"
    assert models.Tree.objects.filter(archived_at=None).count() == 2
    assert models.Offer.objects.get(member=house.wilma).answer == "yes"
    assert models.Member.objects.get(pk=house.wilma.pk).active_to is None


def test_coming_days_lose_the_offer_the_lead_and_the_place_in_the_plan(house):
    past = house.day(date(2027, 3, 20))
    models.Workday.objects.filter(pk=past.pk).update(date=date(2027, 2, 20), state="held")
    day = house.day(lead_id=house.wilma.pk, first_aider_id=house.wilma.pk)
    plan = PlanFactory(workday=day, club=house.club, state="ready", sent_out=True)
    job = JobFactory(tree=TreeFactory(site=house.site))
    seat = models.Assignment.objects.create(
        club=house.club, plan=plan, job=job, member=house.wilma, person_key="x", role="lead", confirmed=True,
        starts=datetime(2027, 3, 6, 10, tzinfo=UTC), ends=datetime(2027, 3, 6, 11, tzinfo=UTC),
    )  # fmt: skip
    models.Workday.objects.filter(pk=day.pk).update(state="sent")
    house.leave()
    day.refresh_from_db()
    plan.refresh_from_db()
    seat.refresh_from_db()
    assert (day.lead, day.first_aider, plan.state, seat.confirmed) == (None, None, "out_of_date", False)
    said = dict(models.Offer.objects.filter(member=house.wilma).values_list("workday_id", "answer"))
    assert said == {past.pk: "yes", day.pk: "no"}
    assert models.Notice.objects.filter(kind="answer_changed", member_id=house.boss.member_id).count() == 0
    assert models.Offer.objects.get(member=house.friend, workday=day).answer == "yes"


def test_coordinators_hear_of_it_once_a_plan_is_out(house):
    day = house.day()
    models.Workday.objects.filter(pk=day.pk).update(state="sent")
    house.leave(house.me)
    told = models.Notice.objects.get(kind="answer_changed")
    assert (told.member_id, told.values["name"], told.values["answer"]) == (
        house.boss.member_id,
        "Wilma Sand",
        "no",
    )


def test_places_questions_and_bends_are_free_again(house):
    day, tree = house.day(), TreeFactory(site=house.site, group="G03")
    job = bends.want_bend(
        actor=house.boss, tree_id=tree.pk, diameter_mm=25.0, opens=date(2027, 3, 1), closes=date(2027, 4, 1)
    )
    bend = models.Job.objects.get(pk=job).bend
    models.Bend.objects.filter(pk=bend.pk).update(lead=house.wilma)
    won, asked = (
        models.Place.objects.create(
            club=house.club, workday=day, job_id=job, number=n, starts=time(10), ends=time(11)
        )
        for n in (1, 2)
    )
    models.Place.objects.filter(pk=won.pk).update(winner=house.wilma)
    for place, answer in ((won, "accepted"), (asked, "")):
        models.Invitation.objects.create(
            club=house.club, place=place, member=house.wilma, order=1, answer=answer
        )
    seen = leaving_of(house.boss, house.wilma.pk, today=TODAY)
    assert (seen.bends, seen.questions, seen.days[0].places) == ((tree.accession,), 1, 1)
    house.leave()
    won.refresh_from_db()
    bend.refresh_from_db()
    assert (won.winner, bend.lead) == (None, None)
    assert set(models.Invitation.objects.values_list("answer", flat=True)) == {"declined", "withdrawn"}


def test_what_was_only_for_the_person_is_erased_and_the_trail_holds_no_address(house):
    members.change_contact(
        actor=house.me, member_id=house.wilma.pk, version=0, email="w@example.org", telephone="0123"
    )
    abilities.declare(actor=house.me, member_id=house.wilma.pk, kind="can_lift", answer=False, on=TODAY)
    habits.add_habit(actor=house.me, member_id=house.wilma.pk, weekday=2, minutes=60, starts=date(2027, 1, 1))
    make_key(actor=house.me, name="my diary", days=30)
    message = models.Message.objects.create(
        club=house.club, member=house.wilma, local_day=TODAY, message_id="a@example.org"
    )
    for number in (1, 2):
        models.Notice.objects.create(
            club=house.club, member=house.wilma, kind="day_open", subject=f"workday:{number}", period="x",
            due_at=datetime(2027, 3, 3, tzinfo=UTC), message=message if number == 1 else None,
        )  # fmt: skip
    house.leave()
    contact = models.Contact.objects.get(member=house.wilma)
    assert (contact.email, contact.telephone) == ("", "")
    for table in (models.Declaration, models.ProgramKey, models.Notice, models.Message):
        assert not table.objects.filter(member=house.wilma).exists(), table
    assert models.Habit.objects.get(member=house.wilma).ends == date(2027, 3, 2)
    trail = " ".join(f"{row.before} {row.after}" for row in models.Change.objects.all())
    assert "example.org" not in trail
    assert "0123" not in trail


def test_a_sign_in_ends_with_its_last_club_and_stays_for_another(house):
    account = house.wilma.account
    assert not house.leave()
    assert not models.Account.objects.filter(pk=account.pk).exists()
    other = House()
    elsewhere = MemberFactory(account=other.wilma.account)
    assert other.leave()
    assert models.Member.objects.get(pk=elsewhere.pk).account == other.wilma.account
    assert models.Member.objects.get(pk=other.wilma.pk).account is None


def test_a_letter_not_used_yet_ends(house):
    models.Member.objects.filter(pk=house.wilma.pk).update(account=None)
    kept: list[str] = []
    welcomes.invite(
        actor=house.boss,
        member_id=house.wilma.pk,
        email="w@example.org",
        link_to=lambda s: kept.append(s) or s,
    )
    house.leave()
    secret = kept[0]
    assert code(lambda: welcomes.accept_letter(secret=secret, password="four odd garden words")) == (
        "letter_taken_back"
    )


def test_what_was_done_stays_with_the_name(house):
    tree = TreeFactory(site=house.site)
    began = datetime(2027, 2, 6, 9, tzinfo=UTC)
    sittings.record(
        actor=house.me, trees=[tree.pk], tasks=[TaskDone("TRIM")], people=[Worked(house.wilma.pk, 50)],
        started=began, ended=began.replace(hour=10), request_key="k",
    )  # fmt: skip
    house.leave()
    row = models.SittingMember.objects.get()
    assert (row.member.name, row.minutes) == ("Wilma Sand", 50)


def test_who_may_let_whom_leave(house):
    friend, planner = actor_of(house.friend), actor_of(MemberFactory(club=house.club, coordinator=True))
    stranger = actor_of(MemberFactory(role="admin"))
    head = {"member_id": house.boss.member_id, "version": 1, "today": TODAY, "owned": {}, "cared": {}}
    assert code(lambda: house.leave(friend)) == "coordinators_only"
    assert code(lambda: house.leave(stranger)) == "not_found"
    assert code(lambda: leaving.leave(actor=planner, **head)) == "club_admins_only"
    assert code(lambda: leaving.leave(actor=house.boss, **head)) == "last_admin"
    assert code(lambda: house.leave(version=7)) == "stale"
    for actor in (friend, stranger):
        assert code(lambda: leaving_of(actor, house.wilma.pk, today=TODAY)) in (  # noqa: B023
            "coordinators_only",
            "not_found",
        )
    house.leave(house.me)
    members.change_role(actor=house.boss, member_id=house.friend.pk, version=1, role="admin", today=TODAY)
    leaving.leave(actor=house.boss, **head)
    assert models.Member.objects.get(pk=house.boss.member_id).role == "member"


def test_what_it_touches_is_said_before_and_nothing_is_left_after(house):
    house.tree(1)
    house.tree(2, role="carer")
    house.day(lead_id=house.wilma.pk)
    habits.add_habit(actor=house.me, member_id=house.wilma.pk, weekday=2, minutes=60, starts=date(2027, 1, 1))
    seen = leaving_of(house.me, house.wilma.pk, today=TODAY)
    assert [tree.accession for tree in seen.owned] == ["2019.001"]
    assert [tree.accession for tree in seen.cared] == ["2019.002"]
    assert [(day.answer, day.leads, day.plan_made) for day in seen.days] == [("yes", True, False)]
    assert (seen.weekly, seen.signs_in, seen.signs_in_elsewhere) == (1, True, False)
    assert not seen.nothing_left
    house.leave(owned={tree.tree_id: None for tree in seen.owned})
    assert leaving_of(house.boss, house.wilma.pk, today=TODAY).nothing_left


def test_what_somebody_left_open_whose_last_day_simply_passed_is_settled_later(house):
    tree = house.tree(1)
    models.Member.objects.filter(pk=house.wilma.pk).update(active_to=date(2027, 2, 1))
    assert not leaving_of(house.boss, house.wilma.pk, today=TODAY).nothing_left
    house.leave(owned={tree.pk: house.friend.pk})
    gone = models.Member.objects.get(pk=house.wilma.pk)
    assert (gone.active_to, gone.account) == (date(2027, 2, 1), None)
