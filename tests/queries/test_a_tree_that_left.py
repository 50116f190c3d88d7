"""A tree that died or was sold: nobody is told of its wire, its windows, its work or its places any more."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest

from collection import models
from collection.queries.due_news import news
from collection.queries.due_notices import facts_on
from collection.queries.notice_kinds import NoticeKind
from collection.usecases import places, tree_events
from tests.factories import (
    JobFactory,
    MemberFactory,
    PlanFactory,
    SiteFactory,
    TreeFactory,
    WorkdayFactory,
    actor_of,
)
from tests.usecases.bend_world import TODAY as BEND_DAY
from tests.usecases.bend_world import trio

pytestmark = pytest.mark.django_db
TODAY = date(2027, 3, 3)
NOW = datetime(2027, 3, 3, 9, tzinfo=UTC)
GUY = {"gauge_mm": 1.0, "metal": "copper"}
WIRE = GUY | {"length_m": 1.0}
ABOUT_THE_TREE = {
    NoticeKind.WIRE_LOOK, NoticeKind.WIRE_TODAY, NoticeKind.WINDOW_OPENS, NoticeKind.WINDOW_CLOSES,
    NoticeKind.TREE_OPEN,
}  # fmt: skip


def goes(tree: models.Tree, way: str, today: date = TODAY) -> None:
    """The tree dies or is sold, by the use case."""
    planner = models.Member.objects.filter(club=tree.club, role="coordinator").order_by("pk")[0]
    tree.refresh_from_db()
    told = {
        "actor": actor_of(planner),
        "tree_id": tree.pk,
        "version": tree.version,
        "on": today,
        "today": today,
    }
    if way == "died":
        tree_events.record_death(cause="Root rot", **told)
    else:
        tree_events.take_out(how=way, **told)


def wired_and_open() -> models.Tree:
    """A tree with a wire and a guy wire to look at, a window ahead, one that closes, and work left open."""
    site = SiteFactory()
    keeper, _ = MemberFactory(club=site.club), MemberFactory(club=site.club, coordinator=True)
    tree = TreeFactory(site=site)
    models.Care.objects.create(club=site.club, tree=tree, member=keeper, role="carer")
    for table, more in ((models.Wire, WIRE), (models.Guy, GUY)):
        table.objects.create(
            club=site.club, tree=tree, label="A", on=TODAY - timedelta(days=90), look_on=TODAY, **more
        )
    JobFactory(tree=tree, opens=TODAY + timedelta(days=14), closes=TODAY + timedelta(days=40))
    JobFactory(tree=tree, opens=TODAY - timedelta(days=14), closes=TODAY + timedelta(days=3), stress=3)
    began = NOW - timedelta(days=2)
    sitting = models.Sitting.objects.create(
        club=site.club, tree=tree, started=began, ended=began, left_open=True, note="Half wired",
        request_key="k",
    )  # fmt: skip
    models.SittingMember.objects.create(club=site.club, sitting=sitting, member=keeper, minutes=60)
    return tree


@pytest.mark.parametrize("way", ["died", "sold", "given", "owner"])
def test_of_a_tree_that_left_nobody_is_told(way: str):
    tree = wired_and_open()
    assert {fact.kind for fact in facts_on(tree.club, NOW)} == ABOUT_THE_TREE
    goes(tree, way)
    assert facts_on(tree.club, NOW) == []


@pytest.mark.parametrize("way", ["died", "sold"])
def test_nobody_is_asked_to_help_at_a_bend_of_a_tree_that_left(way: str):
    made = trio()
    ask = {"actor": made.planner, "bend_id": made.bend.pk, "today": BEND_DAY}
    question = places.ask(member_id=made.people["Dilip"].pk, **ask)
    at = datetime.combine(BEND_DAY, time(9), UTC)
    asked = list(models.Notice.objects.filter(kind=NoticeKind.PLACE_ASKED))
    assert len(news(asked, at)) == 1
    places.accept(actor=made.actor("Dilip"), invitation_id=question, today=BEND_DAY)
    given = list(models.Notice.objects.filter(kind=NoticeKind.PLACE_GIVEN))
    assert len(news(given, at)) == len(given) > 0
    goes(made.tree, way, BEND_DAY)
    models.Invitation.objects.update(answer="")
    models.Place.objects.update(winner=None)
    assert news(asked, at) == {}
    models.Place.objects.update(winner=made.people["Dilip"])
    assert news(given, at) == {}


@pytest.mark.parametrize("way", ["died", "sold"])
def test_a_day_that_is_near_names_no_work_on_a_tree_that_left(way: str):
    site = SiteFactory()
    person, _ = MemberFactory(club=site.club), MemberFactory(club=site.club, coordinator=True)
    day = WorkdayFactory(site=site, date=TODAY + timedelta(days=1), state="sent")
    plan = PlanFactory(workday=day, state="ready", sent_out=True, ready_at=NOW)
    trees = [TreeFactory(site=site) for _ in range(2)]
    for number, tree in enumerate(trees):
        starts = NOW + timedelta(days=1, hours=number)
        models.Assignment.objects.create(
            club=site.club, plan=plan, job=JobFactory(tree=tree), member=person, role="lead", confirmed=True,
            person_key=f"member:{person.pk}", starts=starts, ends=starts + timedelta(hours=1), done_min=60,
        )  # fmt: skip

    def told() -> list[str]:
        [fact] = [fact for fact in facts_on(site.club, NOW) if fact.kind == NoticeKind.DAY_AHEAD]
        return [job["tree"] for job in fact.values["jobs"]]

    assert told() == [tree.accession for tree in trees]
    goes(trees[0], way)
    assert told() == [trees[1].accession]
