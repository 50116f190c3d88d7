"""A sitting put right: the old row stays, and hands, minutes and jobs follow the new one."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from collection.models import Job, Sitting
from collection.queries.errors import Refused
from collection.queries.facts import history_of
from collection.queries.trees import last_hands
from collection.usecases import corrections, sittings
from collection.usecases.counts import record_counts
from collection.usecases.sittings import TaskDone, Worked
from tests.factories import MemberFactory, TreeFactory, actor_of
from tests.usecases.garden import TODAY, Garden, worked

pytestmark = pytest.mark.django_db
DAY = date(2026, 11, 20)


@pytest.fixture
def garden() -> Garden:
    garden = Garden()
    garden.again()
    return garden


def put_right(garden: Garden, old: int, **more: object) -> int:
    began = datetime(2026, 11, 20, 10, tzinfo=UTC)
    given = {
        "actor": garden.actor,
        "tree_id": garden.tree.pk,
        "tasks": [TaskDone("BUD_SELECT")],
        "people": [Worked(garden.actor.member_id, 45)],
        "started": began,
        "ended": began + timedelta(minutes=45),
        "request_key": "right",
        "today": TODAY,
    } | more
    return corrections.correct(sitting_id=old, **given)


def test_who_and_how_long_follow_the_correction_and_the_old_row_stays(garden):
    [old] = worked(garden, "BUD_SELECT", DAY)
    petra = MemberFactory(club=garden.site.club, name="Petra")
    new = put_right(garden, old, people=[Worked(petra.pk, 45)])
    hands = last_hands([garden.tree.pk])[garden.tree.pk]
    assert (hands.who, hands.minutes) == (("Petra",), 45)
    assert Sitting.objects.get(pk=new).corrects_id == old
    assert Sitting.objects.get(pk=old).people.get().minutes == 90
    assert garden.job("BUD_SELECT", season_year=2026).state == "done"


def test_a_job_it_never_did_is_open_again_and_the_one_it_did_is_done(garden):
    [old] = worked(garden, "BUD_SELECT", DAY)
    put_right(garden, old, tasks=[TaskDone("WIRE_STRUCT")])
    assert garden.job("BUD_SELECT", season_year=2026).state == "open"
    assert [d.task for d in history_of([garden.tree.pk])[garden.tree.pk]] == ["WIRE_STRUCT"]


def test_a_tree_that_was_not_finished_after_all_is_open(garden):
    [old] = worked(garden, "BUD_SELECT", DAY)
    put_right(garden, old, left_open=True, note="The top is still to do.")
    assert garden.job("BUD_SELECT", season_year=2026).state == "open"
    assert last_hands([garden.tree.pk])[garden.tree.pk].left_open


def test_the_wrong_tree_is_put_right_on_both_trees(garden):
    other = TreeFactory(site=garden.site, two_flush_pine=True, height_mm=500)
    garden.again()
    [old] = worked(garden, "BUD_SELECT", DAY)
    put_right(garden, old, tree_id=other.pk)
    assert garden.job("BUD_SELECT", season_year=2026).state == "open"
    assert Job.objects.get(tree=other, task="BUD_SELECT", season_year=2026).state == "done"
    assert set(last_hands([garden.tree.pk, other.pk])) == {other.pk}


def test_look_overs_of_a_repot_that_was_none_are_taken_back(garden):
    [old] = worked(garden, "REPOT", DAY)
    looks = Job.objects.filter(tree=garden.tree, task="LOOK_OVER")
    assert looks.filter(state="open").count() == 3
    put_right(garden, old)
    assert set(looks.values_list("state", flat=True)) == {"withdrawn"}


def test_look_overs_move_with_the_day_of_the_repot(garden):
    [old] = worked(garden, "REPOT", DAY)
    began = datetime(2026, 11, 18, 10, tzinfo=UTC)
    put_right(garden, old, tasks=[TaskDone("REPOT")], started=began, ended=began + timedelta(minutes=60))
    looks = Job.objects.filter(tree=garden.tree, task="LOOK_OVER", state="open")
    assert min(looks.values_list("opens", flat=True)) == date(2026, 11, 25)
    assert looks.count() == 3


def test_the_figures_it_was_measured_against_stay_frozen(garden):
    [old] = worked(garden, "BUD_SELECT", DAY)
    frozen = Sitting.objects.get(pk=old).estimated_min
    assert frozen
    job = garden.job("BUD_SELECT", season_year=2026)
    Job.objects.filter(pk=job.pk).update(state="open")
    record_counts(actor=garden.actor, tree_id=garden.tree.pk, on=TODAY, counts={"cut_sites": 500})
    Job.objects.filter(pk=job.pk).update(state="done")
    new = put_right(garden, old)
    assert Sitting.objects.get(pk=new).estimated_min == frozen
    newer = put_right(garden, new, tasks=[TaskDone("TRIM")], request_key="again")
    assert Sitting.objects.get(pk=newer).estimated_min != frozen


def test_the_second_tap_changes_nothing_and_a_second_correction_is_of_the_newer_row(garden):
    [old] = worked(garden, "BUD_SELECT", DAY)
    new = put_right(garden, old)
    assert put_right(garden, old) == new
    with pytest.raises(Refused, match="corrected_already"):
        put_right(garden, old, request_key="late")
    assert Sitting.objects.count() == 2


def test_only_those_who_were_there_or_wrote_it_or_plan_put_it_right(garden):
    [old] = worked(garden, "BUD_SELECT", DAY)
    stranger, petra = (actor_of(MemberFactory(club=garden.site.club)) for _ in range(2))
    with pytest.raises(Refused, match="not_your_sitting"):
        put_right(garden, old, actor=stranger)
    new = put_right(garden, old, people=[Worked(petra.member_id, 30)])
    assert put_right(garden, new, actor=petra, request_key="own")


def test_nothing_changes_when_the_new_row_is_refused(garden):
    [old] = worked(garden, "BUD_SELECT", DAY)
    with pytest.raises(Refused, match="note_needed"):
        put_right(garden, old, left_open=True)
    assert garden.job("BUD_SELECT", season_year=2026).state == "done"
    assert Sitting.objects.count() == 1


def test_a_sitting_of_another_club_is_no_sitting(garden):
    [old] = worked(garden, "BUD_SELECT", DAY)
    with pytest.raises(Refused, match="not_found"):
        put_right(Garden(), old)


def test_a_morning_far_east_of_greenwich_belongs_to_the_clubs_own_day(garden):
    club = garden.site.club
    club.zone = "Pacific/Auckland"
    club.save()
    morning = datetime(2026, 11, 19, 21, tzinfo=UTC)  # Friday 20 November, 10:00 there
    [old] = sittings.record(
        actor=garden.actor, trees=[garden.tree.pk], tasks=[TaskDone("REPOT")],
        people=[Worked(garden.actor.member_id, 60)], started=morning, ended=morning + timedelta(hours=1),
        request_key="east",
    )  # fmt: skip
    assert [done.on for done in history_of([garden.tree.pk])[garden.tree.pk]] == [DAY]
    looks = Job.objects.filter(tree=garden.tree, task="LOOK_OVER")
    assert {job.origin for job in looks} == {"after:REPOT:2026-11-20"}
    put_right(garden, old, started=morning, ended=morning + timedelta(hours=1))
    assert set(looks.values_list("state", flat=True)) == {"withdrawn"}
