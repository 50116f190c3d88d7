"""Taking back what a file made: all that nobody touched, nothing that somebody did."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.apps import apps

from collection.models import (
    Accepted,
    Assignment,
    Bench,
    Care,
    Change,
    Club,
    Habit,
    Job,
    Member,
    Offer,
    Plan,
    Site,
    Tree,
    Workday,
)
from collection.queries.access import Actor
from collection.queries.errors import Refused
from collection.queries.uploads import take_back_sheet
from collection.usecases import care, members, sittings, tree_events, trees
from collection.usecases.counts import record_counts
from collection.usecases.importing.accept import accept
from collection.usecases.jobs import add_job
from collection.usecases.season import regenerate
from collection.usecases.sittings import TaskDone, Worked
from collection.usecases.take_back import take_back
from tests.factories import (
    AccountFactory,
    ClubFactory,
    JobFactory,
    MemberFactory,
    PlanFactory,
    SiteFactory,
    TreeFactory,
    WorkdayFactory,
    coordinator,
)
from tests.usecases.importing.sheets import text

pytestmark = pytest.mark.django_db
TODAY = date(2027, 1, 11)
TREES = [
    ["No", "Species", "Height (cm)", "Bench", "Owner", "Last repotted", "Primary branches"],
    ["1", "Larch", "62", "Wall", "Ana Bell", "3 May 2019", "9"],
    ["2", "Japanese black pine", "45", "Wall", "", "", ""],
    ["3", "Chinese elm", "40", "", "Ana Bell", "", "7"],
]


@pytest.fixture(autouse=True)
def _clock(time_machine: object) -> None:
    time_machine.move_to(datetime(2027, 1, 11, 9, tzinfo=ZoneInfo("UTC")), tick=False)  # type: ignore[attr-defined]


@pytest.fixture
def actor() -> Actor:
    club = ClubFactory()
    MemberFactory(club=club, name="Ana Bell")
    return coordinator(club)


def take(actor: Actor, rows: list[list[str]] = TREES, kind: str = "trees") -> int:
    return accept(
        actor=actor, data=text(rows), file_name="list.csv", kind=kind, today=TODAY
    ).id  # fmt: skip


def everything() -> dict[str, list[dict[str, Any]]]:
    """Every row of every table but the trail and the record of files."""
    models = apps.get_app_config("collection").get_models()
    kept = (m for m in models if m.__name__ not in ("Change", "Accepted"))
    found = {m.__name__: list(m.objects.order_by("pk").values()) for m in kept}
    for club in found["Club"]:
        club.pop("season_asked_at")
    return found


def code_of(act) -> str:
    with pytest.raises(Refused) as caught:
        act()
    return caught.value.reason.code


def test_untouched_everything_is_as_before_and_the_trail_says_what_went(actor: Actor):
    before = everything()
    file = take(actor)
    done = take_back(actor=actor, accepted_id=file)
    assert (done.gone, done.stayed) == (3, 0)
    assert everything() == before
    went = Change.objects.filter(table="tree", after={}).values_list("before__accession", flat=True)
    assert sorted(map(str, went)) == ["1", "2", "3"]


def test_jobs_the_season_made_go_with_their_trees(actor: Actor):
    file = take(actor)
    regenerate(actor=actor, today=TODAY)
    assert Job.objects.filter(tree__accession="2").exists()
    take_back(actor=actor, accepted_id=file)
    assert not Job.objects.filter(tree__isnull=False).exists()
    assert Club.objects.get(pk=actor.club_id).season_asked_at is not None
    # A bench that rounds name stays; so does the site under it.
    assert [*Bench.objects.values_list("name", flat=True)] == ["Wall"]


def _worked(actor: Actor, tree: Tree) -> None:
    began = datetime(2027, 1, 9, 9, tzinfo=ZoneInfo("UTC"))
    member = Member.objects.get(name="Ana Bell")
    sittings.record(
        actor=actor, trees=[tree.pk], tasks=[TaskDone("TRIM")], people=[Worked(member.pk, 50)],
        started=began, ended=began + timedelta(hours=1), request_key="k",
    )  # fmt: skip


def _counted(actor: Actor, tree: Tree) -> None:
    record_counts(actor=actor, tree_id=tree.pk, on=TODAY, counts={"primary": 8})


def _wanted(actor: Actor, tree: Tree) -> None:
    add_job(
        actor=actor, tree_id=tree.pk, task="TRIM", opens=TODAY, closes=date(2027, 2, 1), priority=3
    )  # fmt: skip


def _signed(actor: Actor, tree: Tree) -> None:
    trees.see_sign(actor=actor, tree_id=tree.pk, sign="buds_swelling", on=TODAY)


def _edited(actor: Actor, tree: Tree) -> None:
    Tree.objects.filter(pk=tree.pk).update(version=2)


@pytest.mark.parametrize(
    ("touch", "why"),
    [
        (_worked, "Worked on since."),
        (_counted, "Changed since."),
        (_wanted, "On a plan, or with a job somebody gave it."),
        (_signed, "Changed since."),
        (_edited, "Changed since."),
    ],
)
def test_a_tree_that_somebody_touched_stays_and_is_named(actor: Actor, touch, why: str, time_machine):
    file = take(actor)
    time_machine.shift(60)
    touch(actor, Tree.objects.get(accession="1"))
    sheet = take_back_sheet(actor, file)
    assert (sheet.goes, sheet.stays) == (2, (("1", why),))
    assert take_back(actor=actor, accepted_id=file).gone == 2
    assert [*Tree.objects.values_list("accession", flat=True)] == ["1"]
    assert Site.objects.exists()
    assert Bench.objects.exists()


def test_taken_back_it_can_come_in_again(actor: Actor):
    file = take(actor)
    take_back(actor=actor, accepted_id=file)
    assert code_of(lambda: take_back(actor=actor, accepted_id=file)) == "import_undone"
    again = take(actor)
    assert again != file
    assert Tree.objects.count() == 3
    assert Accepted.objects.filter(undone_at=None).count() == 1


def test_after_thirty_days_it_stays(actor: Actor, time_machine):
    file = take(actor)
    time_machine.shift(timedelta(days=30, minutes=1))
    assert code_of(lambda: take_back(actor=actor, accepted_id=file)) == "import_undo_late"
    assert take_back_sheet(actor, file).taken.undo_until is None
    assert Tree.objects.count() == 3


def test_people_go_unless_they_signed_in_or_are_named_elsewhere(actor: Actor):
    before = everything()
    first = take(actor, PEOPLE, "people")
    take_back(actor=actor, accepted_id=first)
    assert everything() == before
    file = take(actor, PEOPLE, "people")
    udo = Member.objects.get(name="Udo Eck")
    Habit.objects.create(club_id=actor.club_id, member=udo, weekday=2, minutes=60, starts=TODAY)
    sheet = take_back_sheet(actor, file)
    assert (sheet.goes, sheet.stays) == (1, (("Udo Eck", "Named elsewhere since."),))
    take_back(actor=actor, accepted_id=file)
    assert not Member.objects.filter(name="Eva Dale").exists()


PEOPLE = [["Name", "E-mail", "Wiring"], ["Eva Dale", "eva@example.org", "expert"], ["Udo Eck", "", ""]]
YES = [["Name", "Date", "Answer"], ["Ana Bell", "2027-02-06", "yes"]]


def _renamed(actor: Actor, eva: Member) -> None:
    members.change_member(actor=actor, member_id=eva.pk, version=1, name="Eva Dale-Eck", today=TODAY)


def _signs_in(actor: Actor, eva: Member) -> None:
    Member.objects.filter(pk=eva.pk).update(account=AccountFactory())


def _reached_otherwise(actor: Actor, eva: Member) -> None:
    members.change_contact(
        actor=actor, member_id=eva.pk, version=1, email="eva.dale@example.org", telephone=""
    )


def _better(actor: Actor, eva: Member) -> None:
    members.set_skill(actor=actor, member_id=eva.pk, family="wiring", level="practised", since=TODAY)


@pytest.mark.parametrize("touch", [_renamed, _signs_in, _reached_otherwise, _better])
def test_somebody_whose_facts_were_changed_stays_and_is_named(actor: Actor, touch, time_machine):
    file = take(actor, PEOPLE, "people")
    time_machine.shift(60)
    touch(actor, Member.objects.get(name="Eva Dale"))
    [(name, why)] = take_back_sheet(actor, file).stays
    assert (name[:8], why) == ("Eva Dale", "Changed since.")
    assert take_back(actor=actor, accepted_id=file).gone == 1
    assert Member.objects.filter(name__startswith="Eva Dale").exists()
    assert not Member.objects.filter(name="Udo Eck").exists()


def _has_no_owner_now(actor: Actor, tree: Tree) -> None:
    line = Care.objects.get(tree=tree)
    care.end_care(actor=actor, care_id=line.pk, version=line.version)


def _asks_first(actor: Actor, tree: Tree) -> None:
    line = Care.objects.get(tree=tree)
    care.set_care(actor=actor, tree_id=tree.pk, member_id=line.member_id, ask_first=True)


def _lent(actor: Actor, tree: Tree) -> None:
    tree_events.lend(actor=actor, tree_id=tree.pk, to="A friend", on=TODAY)


@pytest.mark.parametrize("touch", [_asks_first, _has_no_owner_now, _lent])
def test_a_tree_that_was_lent_or_whose_owner_said_something_stays(actor: Actor, touch, time_machine):
    file = take(actor)
    time_machine.shift(60)
    touch(actor, Tree.objects.get(accession="1"))
    assert take_back_sheet(actor, file).stays == (("1", "Changed since."),)
    assert take_back(actor=actor, accepted_id=file).gone == 2


@pytest.mark.parametrize("state", ["held", "cancelled"])
def test_an_answer_for_a_day_that_is_over_or_off_stays(actor: Actor, state: str):
    site = SiteFactory(club_id=actor.club_id)
    day = WorkdayFactory(site=site, date=date(2027, 2, 6), opens=time(9, 30), closes=time(13, 30))
    file = take(actor, YES, "offers")
    Workday.objects.filter(pk=day.pk).update(state=state)
    done = take_back(actor=actor, accepted_id=file)
    assert (done.gone, done.stayed) == (0, 1)


@pytest.mark.parametrize("sent_out", [True, False])
def test_the_answer_of_somebody_on_the_plan_that_went_out_stays(actor: Actor, sent_out: bool):
    site = SiteFactory(club_id=actor.club_id)
    day = WorkdayFactory(site=site, date=date(2027, 2, 6), opens=time(9, 30), closes=time(13, 30))
    file = take(actor, YES, "offers")
    plan = PlanFactory(workday=day, number=1, state="ready", sent_out=sent_out, outcome={})
    ana = Member.objects.get(name="Ana Bell")
    began = datetime(2027, 2, 6, 10, tzinfo=ZoneInfo("UTC"))
    Assignment.objects.create(
        club_id=actor.club_id, plan=plan, job=JobFactory(tree=TreeFactory(site=site)), member=ana,
        person_key=f"member:{ana.pk}", role="lead", starts=began, ends=began + timedelta(hours=1),
        steps=[["work", 600, 660]],
    )  # fmt: skip
    done = take_back(actor=actor, accepted_id=file)
    assert (done.gone, done.stayed) == ((0, 1) if sent_out else (1, 0))
    assert Plan.objects.get().state == ("ready" if sent_out else "out_of_date")


def test_answers_go_unless_they_were_changed(actor: Actor):
    site = SiteFactory(club_id=actor.club_id)
    for day in (6, 13):
        WorkdayFactory(site=site, date=date(2027, 2, day), opens=time(9, 30), closes=time(13, 30))
    rows = [["Name", "Date", "Answer"], ["Ana Bell", "2027-02-06", "yes"], ["Ana Bell", "2027-02-13", "yes"]]
    file = take(actor, rows, "offers")
    Offer.objects.filter(workday__date=date(2027, 2, 6)).update(version=2)
    done = take_back(actor=actor, accepted_id=file)
    assert (done.gone, done.stayed) == (1, 1)
    assert Offer.objects.get().workday.date == date(2027, 2, 6)


def test_another_clubs_file_is_not_found(actor: Actor):
    file = take(actor)
    other = coordinator()
    assert code_of(lambda: take_back(actor=other, accepted_id=file)) == "not_found"
    assert code_of(lambda: take_back_sheet(other, file)) == "not_found"
