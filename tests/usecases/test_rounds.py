"""A round ticked for a whole bench: shared sittings, the job ended, last hands and open trees left alone."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta

import pytest
from django.test import Client

from collection.models import Job, Member, Round, RoundTree, Sitting, Tree
from collection.queries.day_problem import open_tree_ids
from collection.queries.errors import Refused
from collection.queries.trees import last_hands
from collection.usecases import rounds
from collection.usecases.corrections import correct
from collection.usecases.estimates import refresh_jobs
from collection.usecases.sittings import TaskDone, Worked, record
from tests.factories import BenchFactory, MemberFactory, TreeFactory, actor_of

pytestmark = pytest.mark.django_db
BEGAN = datetime(2027, 3, 3, 9, tzinfo=UTC)


class House:
    """A bench with trees and a round of turning on it."""

    def __init__(self, size: int = 4) -> None:
        self.bench = BenchFactory(name="Wall shelf")
        self.club = self.bench.club
        self.member: Member = MemberFactory(club=self.club, name="Wilma")
        self.trees: list[Tree] = [TreeFactory(site=self.bench.site, bench=self.bench) for _ in range(size)]
        self.round = Round.objects.create(
            club=self.club, bench=self.bench, bench_key=f"bench:{self.bench.pk}", task="TURN",
            on=date(2027, 3, 1), season_year=2027,
        )  # fmt: skip
        RoundTree.objects.bulk_create(
            RoundTree(club=self.club, round=self.round, tree=tree) for tree in self.trees
        )
        self.job = Job.objects.create(
            club=self.club, round=self.round, target=f"round:{self.round.pk}", task="TURN",
            origin="programme", season_year=2027, opens=date(2027, 3, 1), closes=date(2027, 3, 14),
        )  # fmt: skip
        refresh_jobs([self.job.pk])

    def tick(self, **changes: object) -> list[int]:
        told = {
            "actor": actor_of(self.member), "round_id": self.round.pk,
            "people": [Worked(self.member.pk, 40)], "started": BEGAN,
            "ended": BEGAN + timedelta(minutes=40), "request_key": "k",
        }  # fmt: skip
        return rounds.tick(**(told | changes))


@pytest.fixture
def house() -> House:
    return House()


def code(call) -> str:
    with pytest.raises(Refused) as refused:
        call()
    return refused.value.reason.code


def test_a_round_makes_a_shared_sitting_on_each_tree_and_ends_its_job(house: House):
    left = house.trees[0]
    ids = house.tick(left_out=[left.pk])
    assert house.tick(left_out=[left.pk]) == ids
    found = Sitting.objects.prefetch_related("people", "tasks")
    assert {s.tree_id for s in found} == {tree.pk for tree in house.trees[1:]}
    assert all(s.shared for s in found)
    assert [round(p.minutes, 6) for s in found for p in s.people.all()] == [round(40 / 3, 6)] * 3
    assert {t.job_id for s in found for t in s.tasks.all()} == {house.job.pk}
    mean = Job.objects.get(pk=house.job.pk).estimate.mean_min
    assert {s.estimated_min for s in found} == {mean / 4}
    job = Job.objects.get(pk=house.job.pk)
    assert (job.state, job.ended_on, job.version) == ("done", date(2027, 3, 3), 2)
    assert list(RoundTree.objects.filter(left_out=True).values_list("tree_id", flat=True)) == [left.pk]


def test_a_round_neither_makes_last_hands_nor_closes_an_open_tree(house: House):
    tree, ana = house.trees[0], MemberFactory(club=house.club, name="Ana")
    began = BEGAN - timedelta(days=2)
    record(
        actor=actor_of(ana), trees=[tree.pk], tasks=[TaskDone("TRIM")], people=[Worked(ana.pk, 50)],
        started=began, ended=began + timedelta(hours=1), request_key="r", left_open=True, note="At the top.",
    )  # fmt: skip
    house.tick()
    assert {pk: hands.who for pk, hands in last_hands(t.pk for t in house.trees).items()} == {
        tree.pk: ("Ana",)
    }
    assert open_tree_ids(house.club.pk) == {tree.pk}


def test_a_corrected_sitting_of_a_round_is_still_one(house: House):
    house.tick()
    old = Sitting.objects.order_by("id").first()
    new = correct(
        actor=actor_of(house.member), sitting_id=old.pk, tree_id=old.tree_id, tasks=[TaskDone("TURN")],
        people=[Worked(house.member.pk, 12)], started=BEGAN, ended=BEGAN + timedelta(minutes=12),
        request_key="c", today=date(2027, 3, 4),
    )  # fmt: skip
    assert Sitting.objects.get(pk=new).tasks.get().job_id == house.job.pk
    assert not last_hands([old.tree_id])
    assert Job.objects.get(pk=house.job.pk).state == "done"


def test_what_is_no_round_of_ours_or_over_or_empty_is_refused(house: House):
    assert code(lambda: house.tick(round_id=House().round.pk)) == "not_found"
    assert code(lambda: house.tick(left_out=[TreeFactory(site=house.bench.site).pk])) == "not_found"
    assert code(lambda: house.tick(left_out=[tree.pk for tree in house.trees])) == "round_empty"
    assert code(lambda: house.tick(people=[Worked(MemberFactory().pk, 40)])) == "not_found"
    other = TreeFactory(site=house.bench.site)
    told = {"actor": actor_of(house.member), "people": [Worked(house.member.pk, 40)], "started": BEGAN}
    told |= {"ended": BEGAN + timedelta(minutes=40), "request_key": "x"}
    named = [TaskDone("TURN", job_id=house.job.pk)]
    assert code(lambda: record(trees=[house.trees[0].pk, other.pk], tasks=named, **told)) == "not_found"
    assert not Sitting.objects.exists()
    house.tick()
    assert code(lambda: house.tick(request_key="another")) == "round_over"


def test_a_round_is_ticked_off_from_its_page(house: House, time_machine):
    time_machine.move_to("2027-03-03T09:00:00+00:00", tick=False)
    client = Client()
    client.force_login(house.member.account)
    assert "Turning: tick it off" in client.get("/rounds").content.decode()
    url = f"/rounds/{house.round.pk}"
    page = client.get(url).content.decode()
    assert page.count("checked") == 1 + len(house.trees)
    typed = {"people": [house.member.pk], "on": "2027-03-03", "minutes": "40", "key": "k"}
    early = client.post(url, typed | {"on": "2027-03-04", "trees": [house.trees[1].pk]})
    assert (early.status_code, "This day has not come yet." in early.content.decode()) == (400, True)
    none = client.post(url, typed)
    assert (none.status_code, "Leave at least one tree ticked" in none.content.decode()) == (400, True)
    assert client.post(url, typed | {"trees": [house.trees[1].pk]})["Location"] == "/rounds"
    assert [s.tree_id for s in Sitting.objects.all()] == [house.trees[1].pk]
    assert "Done lately" in client.get("/rounds").content.decode()
    over = client.get(url).content.decode()
    assert (over.count("Left out"), "Tick the round off" in over) == (3, False)


def test_the_rounds_of_a_bench_are_folded_and_what_is_late_stands_first_and_open(house: House, time_machine):
    """Three benches: one late since yesterday, one on its last day, one with time."""
    time_machine.move_to("2027-03-15T09:00:00+00:00", tick=False)
    for name, closes in (("A shelf", date(2027, 3, 20)), ("B shelf", date(2027, 3, 15))):
        bench = BenchFactory(site=house.bench.site, name=name)
        row = Round.objects.create(
            club=house.club, bench=bench, bench_key=f"bench:{bench.pk}", task="TURN",
            on=date(2027, 3, 8), season_year=2027,
        )  # fmt: skip
        RoundTree.objects.create(club=house.club, round=row, tree=house.trees[0])
        Job.objects.create(
            club=house.club, round=row, target=f"round:{row.pk}", task="TURN", origin="programme",
            season_year=2027, opens=date(2027, 3, 8), closes=closes,
        )  # fmt: skip
    client = Client()
    client.force_login(house.member.account)
    html = client.get("/rounds").content.decode().replace("\N{NO-BREAK SPACE}", " ")
    folds = re.findall(r'<details class="more"( open)?><summary>(.*?)</summary>', html)
    assert folds == [
        (" open", "B shelf: 1 round, one for today"),
        (" open", "Wall shelf: 1 round, one for today"),
        ("", "A shelf: 1 round"),
    ]
    assert "Three rounds are due." in html
    assert "Two must be walked today." in html
    assert '<b class="missing">late since Sun 14 Mar 2027</b>' in html
    assert "today is the last day" in html
    assert len(re.findall(r'<a class="button" href="/rounds/\d+">Turning: tick it off</a>', html)) == 3
