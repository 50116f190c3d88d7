"""The season is worked out any number of times without doubles, and never over people's heads."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from collection.models import Change, ClubRow, Count, Estimate, Job, Round, Tree
from collection.queries.errors import Refused
from collection.queries.programme import programme_of
from collection.usecases import bends, counts, jobs, reference, season, sittings, trees
from collection.usecases.edit import edit
from collection.usecases.sittings import TaskDone, Worked
from tests.factories import MemberFactory as Members
from tests.factories import TreeFactory, actor_of, coordinator
from tests.usecases.garden import TODAY, Garden, worked

pytestmark = pytest.mark.django_db


@pytest.fixture
def garden() -> Garden:
    garden = Garden()
    garden.again()
    return garden


def test_the_same_day_again_makes_nothing_and_moves_nothing(garden: Garden):
    first = set(Job.objects.values_list("target", "task", "origin", "season_year", "occurrence"))
    again = garden.again()
    assert (again.jobs, again.rounds, again.moved, again.withdrawn) == (0, 0, 0, 0)
    assert set(Job.objects.values_list("target", "task", "origin", "season_year", "occurrence")) == first
    assert Round.objects.values("bench_key", "task", "on").distinct().count() == Round.objects.count()


def test_the_pines_autumn_jobs_have_their_published_windows(garden: Garden):
    # Mid-autumn until buds open (talk at the Canberra society, flipped): 15 October to 28 February.
    buds = garden.job("BUD_SELECT")
    assert (buds.opens, buds.closes, buds.season_year) == (date(2026, 10, 15), date(2027, 2, 28), 2026)
    assert buds.estimate is not None
    # Decandling comes in two passes.
    assert set(Job.objects.filter(task="DECANDLE").values_list("occurrence", flat=True)) == {1, 2}


def test_a_southern_club_has_the_same_jobs_half_a_year_later():
    south = Garden(southern=True, last_frost="10-25", first_frost="04-25")
    south.again(date(2027, 5, 1))
    buds = south.job("BUD_SELECT")
    assert (buds.opens, buds.closes) == (date(2027, 4, 15), date(2027, 8, 28))


def test_a_club_row_moves_an_untouched_job(garden: Garden):
    reference.load()
    key = garden.job("BUD_SELECT").origin
    row = {"opens": "11-01", "closes": "01-31"}
    reference.own_row(actor=garden.actor, table_name="programme", key=key, values=row, why="Mild autumn")
    assert garden.again().moved == 2  # this season's and the next one's
    buds = garden.job("BUD_SELECT")
    assert (buds.opens, buds.closes) == (date(2026, 11, 1), date(2027, 1, 31))
    own = [r for r in programme_of(garden.site.club_id) if r.key == key]
    assert (own[0].own, own[0].label) == (True, "the club's own")


def test_a_job_in_hand_is_not_moved_and_the_page_offers_the_choice(garden: Garden):
    reference.load()
    job = garden.job("BUD_SELECT")
    worked(garden, "BUD_SELECT", date(2026, 11, 20), left_open=True, note="Half done.")
    row = {"opens": "11-01", "closes": "01-31"}
    reference.own_row(actor=garden.actor, table_name="programme", key=job.origin, values=row)
    assert garden.again().kept == 1
    kept = Job.objects.get(pk=job.pk)
    assert (kept.opens, kept.closes) == (job.opens, job.closes)
    assert (kept.moved_opens, kept.moved_closes) == (date(2026, 11, 1), date(2027, 1, 31))
    jobs.choose_window(actor=garden.actor, job_id=job.pk, version=kept.version, take_new=True)
    taken = Job.objects.get(pk=job.pk)
    assert (taken.opens, taken.moved_opens) == (date(2026, 11, 1), None)


def test_a_dropped_row_takes_its_untouched_job_back_and_leaves_a_persons_own(garden: Garden):
    reference.load()
    job = garden.job("BUD_SELECT")
    own = jobs.add_job(
        actor=garden.actor, tree_id=garden.tree.pk, task="BUD_SELECT", opens=TODAY, closes=TODAY
    )
    reference.own_row(actor=garden.actor, table_name="programme", key=job.origin, values={}, dropped=True)
    garden.again()
    assert Job.objects.get(pk=job.pk).state == "withdrawn"
    assert Job.objects.get(pk=own).state == "open"
    assert ClubRow.objects.count() == 1


def test_a_window_that_closed_a_fortnight_ago_is_missed(garden: Garden):
    job = garden.job("BUD_SELECT")
    garden.again(date(2027, 3, 10))
    assert Job.objects.get(pk=job.pk).state == "open"
    garden.again(date(2027, 3, 15))
    assert Job.objects.get(pk=job.pk).state == "missed"


def test_a_job_somebody_edited_is_missed_like_any_other(garden: Garden):
    job = garden.job("BUD_SELECT")
    Job.objects.filter(pk=job.pk).update(edited=True)
    garden.again(date(2027, 3, 15))
    assert Job.objects.get(pk=job.pk).state == "missed"


def test_a_missed_season_makes_the_next_one_slower(garden: Garden):
    # One season skipped: work x 1.3 (assumption).
    garden.again(date(2027, 3, 15))
    assert garden.job("BUD_SELECT", season_year=2026).state == "missed"
    found = Job.objects.get(task="BUD_SELECT", season_year=2027).estimate
    assert found is not None
    work = [line for line in found.lines if line["scales"]]
    assert {line["multiplier"] for line in work} == {1.3}


def test_a_weak_tree_gets_no_hard_work():
    garden = Garden()
    trees.change_tree(
        actor=garden.actor, tree_id=garden.tree.pk, version=garden.tree.version, condition="weak"
    )
    garden.again()
    assert not Job.objects.filter(tree=garden.tree).exists()
    assert Round.objects.filter(task="PEST").exists()


def test_a_count_works_the_open_jobs_out_again_and_keeps_the_old_sum(garden: Garden):
    before = garden.job("BUD_SELECT")
    counts.record_counts(actor=garden.actor, tree_id=garden.tree.pk, on=TODAY, counts={"cut_sites": 500})
    after = garden.job("BUD_SELECT")
    # 500 sites x (0.15 + 4 x 0.25 + 0.45) / 6 = 133.33 min, and the set-up of one sitting, 39.17 min.
    assert after.estimate is not None
    assert after.estimate.mean_min == pytest.approx(133.333 + 39.167, abs=0.01)
    assert Estimate.objects.filter(pk=before.estimate_id).exists()
    assert Count.objects.get(kind="cut_sites").amount == 500


def test_work_ends_its_job_and_becomes_last_hands(garden: Garden):
    worked(garden, "BUD_SELECT", date(2026, 11, 20))
    job = Job.objects.get(tree=garden.tree, task="BUD_SELECT", season_year=2026)
    assert (job.state, job.ended_on) == ("done", date(2026, 11, 20))
    assert garden.again().jobs == 0


def test_a_repot_brings_three_look_overs_in_the_same_breath(garden: Garden):
    worked(garden, "REPOT", date(2026, 11, 1))
    days = Job.objects.filter(task="LOOK_OVER").order_by("opens").values_list("opens", flat=True)
    assert list(days) == [date(2026, 11, 8), date(2026, 12, 1), date(2027, 1, 30)]


def test_the_second_pass_follows_the_first_by_ten_to_fourteen_days(garden: Garden):
    worked(garden, "DECANDLE", date(2027, 6, 8))
    later = Job.objects.get(task="DECANDLE", occurrence=2, season_year=2027)
    assert (later.opens, later.closes) == (date(2027, 6, 18), date(2027, 6, 22))


def test_the_same_sitting_sent_twice_is_once(garden: Garden):
    first = worked(garden, "BUD_SELECT", date(2026, 11, 20), key="phone-1")
    assert worked(garden, "BUD_SELECT", date(2026, 11, 20), key="phone-1") == first
    assert Change.objects.filter(table="sitting").count() == 1


def test_minutes_on_several_trees_are_shared_by_their_estimates(garden: Garden):
    other = TreeFactory(site=garden.site, two_flush_pine=True)
    garden.again()
    counts.record_counts(actor=garden.actor, tree_id=garden.tree.pk, on=TODAY, counts={"cut_sites": 300})
    counts.record_counts(actor=garden.actor, tree_id=other.pk, on=TODAY, counts={"cut_sites": 100})
    began = datetime(2026, 11, 20, 10, tzinfo=UTC)
    ids = sittings.record(
        actor=garden.actor,
        trees=[garden.tree.pk, other.pk],
        tasks=[TaskDone("BUD_SELECT")],
        people=[Worked(garden.actor.member_id, 100)],
        started=began,
        ended=began + timedelta(minutes=100),
        request_key="two",
    )
    from collection.models import Sitting

    large, small = (Sitting.objects.get(pk=pk) for pk in ids)
    # 300 sites 80 + 39.17 min, 100 sites 26.67 + 39.17 min: 119.17 to 65.83.
    assert large.people.get().minutes == pytest.approx(100 * 119.167 / 185.0, abs=0.05)
    assert small.people.get().minutes + large.people.get().minutes == pytest.approx(100)
    assert large.shared


def test_a_stale_edit_is_refused_and_writes_nothing(garden: Garden):
    tree = Tree.objects.get(pk=garden.tree.pk)
    trees.change_tree(actor=garden.actor, tree_id=tree.pk, version=tree.version, name="Heron")
    with pytest.raises(Refused) as refused:
        edit(tree, 1, {"name": "Crane"}, garden.actor)
    assert (refused.value.reason.code, refused.value.kind) == ("stale", "stale")
    kept = Tree.objects.get(pk=tree.pk)
    assert (kept.name, kept.version) == ("Heron", 2)
    (line,) = Change.objects.filter(table="tree", row=tree.pk, before__has_key="name")
    assert (line.before["name"], line.after["name"], line.who_id) == ("", "Heron", garden.actor.member_id)


REFUSALS = {
    "sitting_empty": lambda g: sittings.record(
        actor=g.actor, trees=[g.tree.pk], tasks=[], people=[], started=datetime(2026, 1, 1, tzinfo=UTC),
        ended=datetime(2026, 1, 1, tzinfo=UTC), request_key="x",
    ),
    "note_needed": lambda g: worked(g, "TRIM", TODAY, left_open=True, note="  "),
    "task_unknown": lambda g: worked(g, "HAIRCUT", TODAY),
    "count_kind_unknown": lambda g: counts.record_counts(
        actor=g.actor, tree_id=g.tree.pk, on=TODAY, counts={"fine": 3, "apples": 4}
    ),
    "count_range": lambda g: counts.record_counts(
        actor=g.actor, tree_id=g.tree.pk, on=TODAY, counts={"fine": 3, "primary": -4}
    ),
    "window_order": lambda g: jobs.add_job(
        actor=g.actor, tree_id=g.tree.pk, task="TRIM", opens=TODAY, closes=date(2026, 1, 1)
    ),
    "priority_range": lambda g: jobs.add_job(
        actor=g.actor, tree_id=g.tree.pk, task="TRIM", opens=TODAY, closes=TODAY, priority=9
    ),
    "group_unknown": lambda g: trees.add_tree(
        actor=g.actor, accession="2026.900", group="G99", stage="F", site_id=g.site.pk, on=TODAY
    ),
    "accession_taken": lambda g: trees.add_tree(
        actor=g.actor, accession=g.tree.accession, group="G01", stage="F", site_id=g.site.pk, on=TODAY
    ),
    "size_range": lambda g: bends.want_bend(
        actor=g.actor, tree_id=g.tree.pk, diameter_mm=0, opens=TODAY, closes=TODAY
    ),
    "metal_unknown": lambda g: trees.put_wire_on(
        actor=g.actor, tree_id=g.tree.pk, label="W", length_m=1, gauge_mm=2, metal="iron", on=TODAY
    ),
    "coordinators_only": lambda g: season.regenerate(
        actor=actor_of(Members(club=g.site.club)), today=TODAY
    ),
    "not_found": lambda g: counts.record_counts(
        actor=coordinator(), tree_id=g.tree.pk, on=TODAY, counts={"fine": 3}
    ),
}  # fmt: skip


def rows() -> dict[str, int]:
    tables = (Change, Count, Estimate, Job, Round, Tree)
    return {table.__name__: table.objects.count() for table in tables}


@pytest.mark.parametrize("code", sorted(REFUSALS))
def test_a_refusal_has_its_code_and_leaves_nothing_half_written(garden: Garden, code: str):
    strangers = {"coordinators_only": 0, "not_found": 0}
    before = rows()
    with pytest.raises(Refused) as refused:
        REFUSALS[code](garden)
    assert refused.value.reason.code == code
    assert rows() == before | {name: n for name, n in strangers.items() if name in before}


def test_a_bend_waits_for_its_sign_off_and_the_refuser_cannot_release_it(garden: Garden):
    job = Job.objects.get(
        pk=bends.want_bend(
            actor=garden.actor, tree_id=garden.tree.pk, diameter_mm=28, opens=TODAY, closes=TODAY
        )
    )
    assert (job.crew, job.bend is not None) == (2, True)
    assert job.bend is not None
    job.bend.refused_by_id = garden.actor.member_id
    job.bend.save(update_fields=["refused_by"])
    with pytest.raises(Refused) as refused:
        bends.sign_off(actor=garden.actor, bend_id=job.bend.pk, version=1, today=TODAY)
    assert refused.value.reason.code == "release_by_another"
    second = actor_of(Members(club=garden.site.club, coordinator=True))
    bends.sign_off(actor=second, bend_id=job.bend.pk, version=1, today=TODAY)
    job.bend.refresh_from_db()
    assert (job.bend.signed_by_id, job.bend.released_by_id) == (second.member_id, second.member_id)
