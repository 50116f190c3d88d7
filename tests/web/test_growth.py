"""Growth on a tree's page, on the season's, in the API, and behind its numbers."""

from __future__ import annotations

import re
from datetime import date

import pytest
from django.test import Client

from collection.craft.growth import sites_after
from collection.craft.growth_work import site_work
from collection.craft.reference import programme
from collection.models import Member, Tree
from collection.queries.growth import club_growth
from collection.usecases.counts import record_counts
from tests.factories import MemberFactory, SiteFactory, TreeFactory, actor_of

pytestmark = pytest.mark.django_db
TODAY = date(2027, 3, 3)


@pytest.fixture
def pine(time_machine) -> Tree:
    time_machine.move_to("2027-03-03T15:00:00+00:00", tick=False)
    return TreeFactory(site=SiteFactory(), two_flush_pine=True, height_mm=600)


@pytest.fixture
def boss(pine) -> Member:
    return MemberFactory(club=pine.club, coordinator=True)


def browser(who: Member) -> Client:
    client = Client()
    client.force_login(who.account)
    return client


def text(client: Client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200, address
    page = answer.content.decode().replace("\u00a0", " ").replace("&#x27;", "'")
    return " ".join(re.sub(r"<[^>]*>", " ", page).split())


def count(tree: Tree, boss: Member, on: date, sites: float) -> None:
    record_counts(actor=actor_of(boss), tree_id=tree.pk, on=on, counts={"cut_sites": sites})


def test_a_counted_pine_shows_five_years_beside_its_counts(pine, boss):
    count(pine, boss, date(2025, 3, 3), 80)
    count(pine, boss, date(2026, 3, 3), 120)
    said = text(browser(boss), f"/trees/{pine.pk}")
    assert "A tree of 45 to 75 cm, stage refining, is taken to carry 320 cut sites at most." in said
    assert "Foretold from the 80 cut sites of Mon 3 Mar 2025." in said
    assert "Tue 3 Mar 2026 120 128 94 %" in said  # 320 / (1 + 3 / 2) = 128
    for year in range(2026, 2032):
        assert f"{year} " in said


def test_a_pine_nobody_counted_asks_for_the_count(pine, boss):
    said = text(browser(boss), f"/trees/{pine.pk}")
    assert "goes by cut sites. Count them to see how the hours grow." in said


def test_a_maple_says_nothing_of_growth(pine, boss):
    maple = TreeFactory(site=pine.site, maple=True)
    count(maple, boss, TODAY, 60)
    assert 'id="growth"' not in browser(boss).get(f"/trees/{maple.pk}").content.decode()
    record = browser(boss).get(f"/api/v1/trees/{maple.pk}/growth").json()
    assert (record["by_cut_sites"], record["years"]) == (False, [])


def test_each_figure_of_a_year_opens_on_its_own_page(pine, boss):
    count(pine, boss, date(2027, 1, 10), 100)
    client = browser(boss)
    sites = sites_after(100, 2, 320)
    hours = sites * sum(work.yearly_min for work in site_work(programme(), "G01", "F", height_cm=60)) / 60
    found = {
        kind: client.get(f"/api/v1/numbers/growth-{kind}/{pine.pk}~2029").json()
        for kind in ("sites", "shoots", "hours")
    }
    assert found["sites"]["value"] == pytest.approx(sites)
    assert [line["value"] for line in found["sites"]["lines"]] == [100, 320, 2, 2]
    assert found["shoots"]["value"] == pytest.approx(1.8 * sites)
    assert found["hours"]["value"] == pytest.approx(hours)
    assert len(found["hours"]["lines"]) == 5
    assert "logistic curve" in text(client, f"/numbers/growth-sites/{pine.pk}~2029")
    for lost in (
        f"growth-sites/{pine.pk}~2040",
        "growth-hours/999999~2029",
        "growth-hours/x",
        "club-growth/1",
    ):
        assert client.get(f"/numbers/{lost}").status_code == 404, lost


def test_the_clubs_hours_are_those_of_its_trees(pine, boss):
    other = TreeFactory(site=pine.site, two_flush_pine=True, height_mm=600)
    TreeFactory(site=pine.site, maple=True)
    count(pine, boss, date(2026, 3, 3), 100)
    years = dict(club_growth(actor_of(boss), today=TODAY))
    each = sum(work.yearly_min for work in site_work(programme(), "G01", "F", height_cm=60)) / 60
    usual = 8 * 4 * 3 * 0.8  # of a tree that nobody has counted
    assert list(years) == list(range(2027, 2033))
    assert years[2027].value == pytest.approx((sites_after(100, 1, 320) + usual) * each)
    assert years[2028].value == pytest.approx((sites_after(100, 2, 320) + sites_after(usual, 1, 320)) * each)
    assert years[2027].lines[0].trust == "1 tree with a usual number, not counted"
    assert "The years ahead" in text(browser(boss), "/season")
    other.delete()
    assert club_growth(actor_of(boss), today=TODAY)[0][1].lines[0].trust == "counted"


def test_a_club_without_such_trees_has_no_years_ahead(pine, boss):
    pine.delete()
    assert club_growth(actor_of(boss), today=TODAY) == ()
    assert "The years ahead" not in text(browser(boss), "/season")
