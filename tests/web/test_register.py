"""The register as a list: words, ways to narrow it, orders, pages, and nothing to show."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta

import pytest
from django.test import Client

from collection.models import Care, Job, Tree
from collection.queries.register import PAGE, natural
from collection.usecases import sittings, tree_events
from collection.usecases.sittings import TaskDone, Worked
from tests.factories import BenchFactory, JobFactory, MemberFactory, SiteFactory, TreeFactory, actor_of

pytestmark = pytest.mark.django_db
TODAY = date(2027, 3, 3)
WORK = [TaskDone("PRUNE_STRUCT"), TaskDone("TRIM", finished=False)]


class Register:
    """Three trees: a heron on A2 worked long ago, a maple on A10 left open, a raw juniper nobody touched."""

    def __init__(self) -> None:
        self.site = SiteFactory(name="Orchard")
        self.boss = MemberFactory(club=self.site.club, coordinator=True)
        self.actor = actor_of(self.boss)
        near, far = BenchFactory(site=self.site, name="A2"), BenchFactory(site=self.site, name="A10")
        self.heron = self.tree(
            "2009.014", name="The Leaning Heron", species="Pinus thunbergii", group="G01", bench=near
        )
        self.maple = self.tree(
            "2010.002", species="Acer palmatum", common_name="Mountain maple", group="G07", bench=far
        )
        self.raw = self.tree("2026.100", species="Juniperus communis", stage="R")
        self.work(self.heron, date(2025, 5, 1))
        self.work(self.maple, date(2027, 2, 1), left_open=True)
        JobFactory(tree=self.heron, task="TRIM", opens=date(2027, 2, 1), closes=date(2027, 3, 20))
        JobFactory(tree=self.maple, task="REPOT", opens=date(2027, 4, 1), closes=date(2027, 5, 1))
        self.browser = Client()
        self.browser.force_login(self.boss.account)

    def tree(self, accession: str, **more: object) -> Tree:
        return TreeFactory(site=self.site, accession=accession, **more)

    def work(self, tree: Tree, on: date, **more: object) -> None:
        began = datetime(on.year, on.month, on.day, 10, tzinfo=UTC)
        sittings.record(
            actor=self.actor, trees=[tree.pk], tasks=WORK,
            people=[Worked(self.boss.pk, 60)], started=began, ended=began + timedelta(hours=1),
            request_key=f"{tree.pk}{on}", note="Stopped half-way.", **more,
        )  # fmt: skip

    def html(self, query: str = "") -> str:
        answer = self.browser.get(f"/trees{query}")
        assert answer.status_code == 200
        return answer.content.decode().replace("\u00a0", " ")

    def tags(self, query: str = "") -> list[str]:
        return re.findall(r'<a class="tag" href="[^"]*">([^<]+)</a>', self.html(query))


@pytest.fixture
def house(time_machine) -> Register:
    time_machine.move_to("2027-03-03T09:00:00+00:00", tick=False)
    return Register()


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ("", ["2009.014", "2010.002", "2026.100"]),
        ("?q=heron", ["2009.014"]),
        ("?q=2010", ["2010.002"]),
        ("?q=palmatum", ["2010.002"]),
        ("?q=maple", ["2010.002"]),
        ("?q=A10", ["2010.002"]),
        ("?q=orchard+juniper", ["2026.100"]),
        ("?q=two-flush", ["2009.014"]),
        ("?q=nothing+like+it", []),
        ("?group=G07", ["2010.002"]),
        ("?stage=R", ["2026.100"]),
        ("?state=open", ["2010.002"]),
        ("?state=closing", ["2009.014"]),
        ("?state=untouched", ["2009.014", "2026.100"]),
        ("?state=resting", ["2010.002"]),
        ("?state=away", []),
        ("?state=gone", []),
        ("?state=untouched&stage=R", ["2026.100"]),
        ("?state=nonsense&sort=nonsense&from=x", ["2009.014", "2010.002", "2026.100"]),
        ("?sort=name", ["2026.100", "2010.002", "2009.014"]),
        ("?sort=bench", ["2009.014", "2010.002", "2026.100"]),
        ("?sort=worked", ["2026.100", "2009.014", "2010.002"]),
        ("?sort=window", ["2009.014", "2010.002", "2026.100"]),
    ],
)
def test_the_address_says_which_trees_and_in_which_order(house, query, found):
    assert house.tags(query) == found


def test_places_and_people_narrow_the_list(house):
    ann = MemberFactory(club=house.site.club, name="Ann")
    Care.objects.create(club=house.site.club, tree=house.raw, member=ann, role="carer")
    assert house.tags(f"?carer={ann.pk}") == ["2026.100"]
    assert house.tags(f"?where=bench:{house.maple.bench_id}") == ["2010.002"]
    assert len(house.tags(f"?where=site:{house.site.pk}")) == 3
    assert f'<option value="{ann.pk}">Ann</option>' in house.html()


def test_a_tree_with_an_unknown_past_is_to_be_asked_about(house):
    assert house.tags("?state=ask") == ["2009.014", "2010.002", "2026.100"]
    assert "When was it last repotted?" in house.html("?state=ask")
    noon = datetime(2025, 4, 1, 12, tzinfo=UTC)
    sittings.record(
        actor=house.actor, trees=[house.raw.pk], tasks=[TaskDone("REPOT")], people=[], remembered=True,
        started=noon, ended=noon, request_key="r",
    )  # fmt: skip
    assert "2026.100" not in house.tags("?state=ask")


def test_a_lent_tree_is_away_and_one_that_went_is_in_the_list_of_the_gone_only(house):
    tree_events.lend(actor=house.actor, tree_id=house.heron.pk, to="the museum", on=TODAY)
    tree_events.take_out(
        actor=house.actor, tree_id=house.raw.pk, version=1, how="sold", on=TODAY, today=TODAY
    )
    assert house.tags("?state=away") == ["2009.014"]
    assert house.tags("?state=gone") == ["2026.100"]
    assert "2026.100" not in house.tags()


def test_a_row_says_where_who_last_and_what_is_next(house):
    html = house.html("?q=heron")
    assert f"{house.boss.name}, Thu 1 May 2025" in html
    assert "Trimming, closes Sat 20 Mar" in html
    assert ">A2<" in html
    assert "Repotting, from Thu 1 Apr" in house.html("?q=2010")
    assert "nobody yet" in house.html("?q=2026")


@pytest.mark.parametrize(
    "texts", [["Bench 2", "Bench 10"], ["2009.014", "2009.014a", "2010.1"], ["7", "12", "B1"]]
)
def test_numbers_sort_as_numbers(texts):
    mixed = texts[::-1]
    assert sorted(mixed, key=natural) == texts


def test_a_long_list_has_pages_that_keep_what_was_asked(house):
    for n in range(PAGE + 10):
        house.tree(f"2030.{n:03d}", stage="R")
    first = house.html("?stage=R&sort=bench")
    assert "Trees 1 to 50 of 61" in first
    assert 'rel="next" href="/trees?stage=R&amp;sort=bench&amp;from=50"' in first
    assert 'rel="prev"' not in first
    last = house.html("?stage=R&sort=bench&from=50")
    assert "Trees 51 to 61 of 61" in last
    assert 'rel="prev" href="/trees?stage=R&amp;sort=bench"' in last
    assert house.tags("?from=99999") == house.tags("?from=50")


def test_nothing_found_and_nothing_there_say_so_with_one_way_on(house):
    none = house.html("?q=nothing")
    assert "No tree matches." in none
    assert 'href="/trees">See all trees</a>' in none
    Job.objects.all().delete()
    Tree.objects.all().delete()
    empty = house.html()
    assert "Trees on the register will be listed here." in empty
    assert empty.count('href="/trees/new"') == 1
    member = Client()
    member.force_login(MemberFactory(club=house.site.club).account)
    assert "/trees/new" not in member.get("/trees").content.decode()
