"""What follows when a tree goes, dies, is lent, shown, moved or comes back."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest

from collection.craft.rules import holds
from collection.models import Assignment, Job, Round, Tree, TreeEvent
from collection.queries.away import away_on, not_back
from collection.queries.errors import Refused
from collection.queries.facts import facts_of
from collection.queries.programme import rules_of
from collection.usecases import jobs, tree_events
from tests.factories import (
    BenchFactory,
    JobFactory,
    MemberFactory,
    PlanFactory,
    SiteFactory,
    TreeFactory,
    WorkdayFactory,
    actor_of,
)
from tests.usecases.garden import TODAY, Garden

pytestmark = pytest.mark.django_db


@pytest.fixture
def garden() -> Garden:
    garden = Garden()
    garden.other = TreeFactory(site=garden.site, bench=garden.bench, two_flush_pine=True, height_mm=500)
    garden.again()
    return garden


def states(tree: Tree) -> set[str]:
    return set(Job.objects.filter(tree=tree).values_list("state", flat=True))


def on_rounds(tree: Tree) -> set[str]:
    return set(tree.rounds.filter(jobs__state="open").values_list("bench_key", flat=True))


def test_a_sold_tree_keeps_its_past_and_loses_its_jobs_and_rounds(garden):
    own = jobs.add_job(actor=garden.actor, tree_id=garden.tree.pk, task="TRIM", opens=TODAY, closes=TODAY)
    others = on_rounds(garden.other)
    tree_events.take_out(
        actor=garden.actor, tree_id=garden.tree.pk, version=1, how="sold", note="to a member of another club",
        on=TODAY, today=TODAY,
    )  # fmt: skip
    assert states(garden.tree) == {"withdrawn"}
    assert Job.objects.get(pk=own).reason == "The tree left the collection."
    assert Tree.objects.get(pk=garden.tree.pk).archived_at is not None
    event = TreeEvent.objects.get()
    assert (event.kind, event.on, event.cause) == ("out", TODAY, "Sold: to a member of another club")
    assert on_rounds(garden.tree) == set()
    assert on_rounds(garden.other) == others
    assert Job.objects.filter(tree=garden.other, state="open").exists()


def test_a_round_gets_shorter_by_the_tree_and_the_last_one_takes_it_away(garden):
    rows = Round.objects.filter(trees=garden.tree, jobs__state="open")
    row = rows.filter(task="PEST").earliest("on")
    before = row.jobs.get().estimate.mean_min
    for tree, seen in ((garden.tree, "open"), (garden.other, "withdrawn")):
        tree_events.record_death(
            actor=garden.actor, tree_id=tree.pk, version=1, cause="Root rot", on=TODAY, today=TODAY
        )
        assert row.jobs.get().state == seen
    assert row.jobs.get().estimate.mean_min < before


def test_a_season_worked_out_again_leaves_the_dead_tree_alone(garden):
    tree_events.record_death(
        actor=garden.actor, tree_id=garden.tree.pk, version=1, cause="Root rot", on=TODAY, today=TODAY
    )
    garden.again()
    assert states(garden.tree) == {"withdrawn"}


def test_a_tree_that_comes_back_has_its_jobs_again(garden):
    own = jobs.add_job(
        actor=garden.actor, tree_id=garden.tree.pk, task="TRIM", opens=TODAY, closes=date(2027, 1, 5)
    )
    before = set(Job.objects.filter(tree=garden.tree, state="open").values_list("pk", flat=True))
    tree_events.take_out(
        actor=garden.actor, tree_id=garden.tree.pk, version=1, how="given", on=TODAY, today=TODAY
    )
    tree_events.bring_back(
        actor=garden.actor, tree_id=garden.tree.pk, version=2, on=TODAY, today=date(2026, 12, 1)
    )
    after = set(Job.objects.filter(tree=garden.tree, state="open").values_list("pk", flat=True))
    assert after == before
    assert own in after
    assert Tree.objects.get(pk=garden.tree.pk).archived_at is None
    assert [e.kind for e in TreeEvent.objects.order_by("id")] == ["out", "back"]


def test_a_lent_tree_is_away_until_its_day_or_until_it_is_back(garden):
    tree = garden.tree.pk
    tree_events.lend(actor=garden.actor, tree_id=tree, to="the museum", on=TODAY, until=date(2027, 1, 31))
    assert tree not in away_on([tree], date(2026, 11, 24))
    assert away_on([tree], date(2027, 1, 31))[tree].where == "the museum"
    assert tree not in away_on([tree], date(2027, 2, 1))
    assert tree in not_back([tree], date(2027, 2, 1))
    assert states(garden.tree) == {"open"}
    back = date(2026, 12, 20)
    tree_events.bring_back(actor=garden.actor, tree_id=tree, on=back, today=back)
    assert tree not in away_on([tree], date(2027, 1, 5))
    assert tree not in not_back([tree], date(2027, 2, 1))


def test_hard_work_keeps_its_distance_from_a_show(garden):
    # 28 days between a journey and root work (clash rule X9).
    show = date(2027, 4, 10)
    tree_events.send_to_show(
        actor=garden.actor, tree_id=garden.tree.pk, where="Spring show", on=show, until=date(2027, 4, 11)
    )
    facts, rules = facts_of([garden.tree])[garden.tree.pk], rules_of(garden.site.club)

    def held(on: date) -> bool:
        found = holds(facts, "REPOT", on, settings=rules)
        return any(hold.rule == "X9" for hold in found)

    assert held(date(2027, 4, 1))
    assert not held(date(2027, 2, 1))


def test_a_tree_that_moves_takes_its_rounds_along(garden):
    bench = BenchFactory(site=garden.site)
    before = Round.objects.filter(trees=garden.tree, jobs__state="open").count()
    tree_events.move_tree(
        actor=garden.actor, tree_id=garden.tree.pk, version=1, site_id=garden.site.pk, bench_id=bench.pk,
        on=TODAY, today=TODAY, why="more light",
    )  # fmt: skip
    assert on_rounds(garden.tree) == {f"bench:{bench.pk}"}
    assert Round.objects.filter(trees=garden.tree, jobs__state="open").count() == before
    assert on_rounds(garden.other) == {f"bench:{garden.bench.pk}"}
    assert TreeEvent.objects.get().cause == f"{garden.bench.name} to {bench.name}, more light"
    made = garden.again()
    assert (made.rounds, made.withdrawn) == (0, 0)
    assert on_rounds(garden.tree) == {f"bench:{bench.pk}"}


def test_a_bench_of_another_site_is_refused_and_one_of_another_club_is_no_bench(garden):
    far, theirs = BenchFactory(site=SiteFactory(club=garden.site.club)), BenchFactory()
    move = {"actor": garden.actor, "tree_id": garden.tree.pk, "version": 1, "on": TODAY, "today": TODAY}
    with pytest.raises(Refused, match="bench_elsewhere"):
        tree_events.move_tree(**move, site_id=garden.site.pk, bench_id=far.pk)
    for site, bench in ((garden.site.pk, theirs.pk), (theirs.site_id, None)):
        with pytest.raises(Refused, match="not_found"):
            tree_events.move_tree(**move, site_id=site, bench_id=bench)
    assert not TreeEvent.objects.exists()


@pytest.mark.parametrize(
    ("name", "more", "code"),
    [
        ("take_out", {"version": 1, "how": "lost", "today": TODAY}, "way_out"),
        ("take_out", {"version": 1, "how": "sold", "today": date(2026, 11, 1)}, "day_ahead"),
        ("take_out", {"version": 9, "how": "sold", "today": TODAY}, "stale"),
        ("record_death", {"version": 1, "cause": " ", "today": TODAY}, "cause_needed"),
        ("lend", {"to": ""}, "lent_to"),
        ("lend", {"to": "the museum", "until": date(2026, 11, 1)}, "away_days"),
        ("send_to_show", {"where": "", "until": TODAY}, "show_where"),
        ("send_to_show", {"where": "Show", "until": date(2031, 1, 1)}, "away_days"),
        ("bring_back", {"today": TODAY}, "not_away"),
    ],
)
def test_a_wrong_event_writes_nothing(garden, name, more, code):
    with pytest.raises(Refused) as refused:
        getattr(tree_events, name)(actor=garden.actor, tree_id=garden.tree.pk, on=TODAY, **more)
    assert refused.value.reason.code == code
    assert not TreeEvent.objects.exists()
    assert states(garden.tree) == {"open"}


def test_a_member_writes_no_event(garden):
    member = actor_of(MemberFactory(club=garden.site.club))
    with pytest.raises(Refused, match="coordinators_only"):
        tree_events.take_out(
            actor=member, tree_id=garden.tree.pk, version=1, how="sold", on=TODAY, today=TODAY
        )


def test_a_tree_that_is_away_or_gone_does_not_go_again(garden):
    tree = garden.tree.pk
    tree_events.lend(actor=garden.actor, tree_id=tree, to="the museum", on=TODAY)
    with pytest.raises(Refused, match="away_already"):
        tree_events.send_to_show(
            actor=garden.actor, tree_id=tree, where="Show", on=date(2027, 4, 10), until=date(2027, 4, 11)
        )
    tree_events.take_out(actor=garden.actor, tree_id=tree, version=1, how="owner", on=TODAY, today=TODAY)
    with pytest.raises(Refused, match="tree_gone"):
        tree_events.record_death(
            actor=garden.actor, tree_id=tree, version=2, cause="Frost", on=TODAY, today=TODAY
        )


@pytest.mark.parametrize(
    ("event", "stale"),
    [
        (lambda g: {"name": "take_out", "version": 1, "how": "sold", "on": TODAY, "today": TODAY}, {0, 1, 9}),
        (lambda g: {"name": "lend", "to": "Museum", "on": TODAY, "until": after(2)}, {0, 1}),
        (lambda g: {"name": "send_to_show", "where": "Hall", "on": after(1), "until": after(3)}, {1}),
        (lambda g: {"name": "move_tree", "version": 1, "site_id": g.elsewhere.pk, "bench_id": None,
                    "on": TODAY, "today": TODAY}, {0, 1, 9}),
    ],
    ids=["sold", "lent", "shown", "moved"],
)  # fmt: skip
def test_plans_of_the_days_on_which_it_is_not_where_they_thought_are_out_of_date(garden, event, stale):
    garden.elsewhere = SiteFactory(club=garden.site.club)
    days = {}
    for ahead, tree in [(-1, garden.tree), (0, garden.tree), (1, garden.tree), (9, garden.tree), (2, None)]:
        day = WorkdayFactory(site=garden.site, date=after(ahead))
        days[ahead] = PlanFactory(workday=day, club=garden.site.club, state="ready")
        noon = datetime.combine(day.date, time(12), UTC)
        Assignment.objects.create(
            club=garden.site.club, plan=days[ahead], job=JobFactory(tree=tree or garden.other),
            member=MemberFactory(club=garden.site.club), person_key=f"member:{ahead}", role="lead",
            starts=noon, ends=noon + timedelta(hours=1), steps=[],
        )  # fmt: skip
    told = event(garden)
    getattr(tree_events, told.pop("name"))(actor=garden.actor, tree_id=garden.tree.pk, **told)
    for plan in days.values():
        plan.refresh_from_db()
    assert {ahead for ahead, plan in days.items() if plan.state == "out_of_date"} == stale


def after(days: int) -> date:
    return TODAY + timedelta(days=days)
