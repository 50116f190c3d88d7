"""Sites and benches: added, changed, retired when nothing stands there, brought back."""

from __future__ import annotations

from datetime import date

import pytest

from collection.models import Bench, Change, Site
from collection.queries.access import Actor
from collection.queries.club_pages import site_rows
from collection.queries.errors import Refused, Stale
from collection.queries.places import sites as sites_in_use
from collection.usecases import sites
from tests.factories import BenchFactory, ClubFactory, SiteFactory, TreeFactory, WorkdayFactory, coordinator

pytestmark = pytest.mark.django_db


@pytest.fixture
def actor() -> Actor:
    return coordinator(ClubFactory())


@pytest.fixture
def ground(actor: Actor) -> Site:
    return SiteFactory(club_id=actor.club_id, name="Alder Yard")


def code_of(act) -> str:
    with pytest.raises(Refused) as caught:
        act()
    return caught.value.reason.code


def test_a_site_and_its_bench_are_added_and_written_down(actor: Actor):
    site = sites.new_site(actor=actor, name=" Mill  Garden ", kind="home", address="2 Mill Lane")
    bench = sites.new_bench(actor=actor, site_id=site, name="Wall", weeks_later=-1)
    assert (Site.objects.get().name, Bench.objects.get().weeks_later) == ("Mill Garden", -1)
    assert {(line.table, line.row) for line in Change.objects.all()} == {("site", site), ("bench", bench)}


def test_a_name_is_taken_once_whatever_its_letters(actor: Actor, ground: Site):
    BenchFactory(site=ground, name="Wall")
    assert code_of(lambda: sites.new_site(actor=actor, name="alder yard")) == "site_name_taken"
    assert code_of(lambda: sites.new_bench(actor=actor, site_id=ground.pk, name="WALL")) == "bench_name_taken"
    SiteFactory(name="Elsewhere")  # another club's name is free here
    assert sites.new_site(actor=actor, name="Elsewhere")


@pytest.mark.parametrize(
    ("fields", "code"),
    [
        ({"name": " "}, "site_name_missing"),
        ({"name": "N" * 121}, "site_name_missing"),
        ({"name": "A", "kind": "moon"}, "site_kind"),
        ({"name": "A", "address": "a" * 201}, "address_long"),
    ],
)
def test_what_a_site_cannot_be(actor: Actor, fields: dict, code: str):
    assert code_of(lambda: sites.new_site(actor=actor, **fields)) == code


def test_a_place_with_trees_or_days_ahead_is_not_retired(actor: Actor, ground: Site):
    bench = BenchFactory(site=ground, name="Wall")
    tree = TreeFactory(site=ground, bench=bench)
    SiteFactory(club_id=actor.club_id, name="Second ground")
    retire = lambda: sites.retire_site(actor=actor, site_id=ground.pk, version=1)  # noqa: E731
    assert code_of(retire) == "site_in_use"
    assert code_of(lambda: sites.retire_bench(actor=actor, bench_id=bench.pk, version=1)) == "bench_in_use"
    tree.delete()
    day = WorkdayFactory(site=ground, date=date(2027, 3, 6))
    assert code_of(retire) == "site_has_days"
    day.delete()
    retire()
    assert Site.objects.get(pk=ground.pk).retired_at is not None


def test_the_only_ground_stays(actor: Actor, ground: Site):
    retire = lambda: sites.retire_site(actor=actor, site_id=ground.pk, version=1)  # noqa: E731
    assert code_of(retire) == "site_only_ground"


def test_a_retired_place_is_on_no_list_and_comes_back(actor: Actor, ground: Site):
    other = SiteFactory(club_id=actor.club_id, name="Second ground")
    sites.retire_site(actor=actor, site_id=other.pk, version=1)
    assert [site.name for site in sites_in_use(actor)] == ["Alder Yard"]
    assert [(row.name, row.retired) for row in site_rows(actor)] == [
        ("Alder Yard", False), ("Second ground", True)
    ]  # fmt: skip
    sites.bring_site_back(actor=actor, site_id=other.pk, version=2)
    assert len(sites_in_use(actor)) == 2


def test_a_bench_goes_to_another_site_only_without_trees(actor: Actor, ground: Site):
    other = SiteFactory(club_id=actor.club_id)
    bench = BenchFactory(site=ground, name="Wall")
    tree = TreeFactory(site=ground, bench=bench)
    move = lambda: sites.change_bench(  # noqa: E731
        actor=actor, bench_id=bench.pk, version=1, name="Wall", weeks_later=0, site_id=other.pk
    )
    assert code_of(move) == "bench_in_use"
    tree.delete()
    move()
    assert Bench.objects.get().site_id == other.pk


def test_an_old_page_changes_nothing(actor: Actor, ground: Site):
    sites.change_site(actor=actor, site_id=ground.pk, version=1, name="First", kind="ground", address="")
    with pytest.raises(Stale):
        sites.change_site(actor=actor, site_id=ground.pk, version=1, name="Second", kind="ground", address="")


def test_another_clubs_place_is_not_found(actor: Actor):
    theirs = BenchFactory(site=SiteFactory())
    assert code_of(lambda: sites.retire_bench(actor=actor, bench_id=theirs.pk, version=1)) == "not_found"
    assert code_of(lambda: sites.new_bench(actor=actor, site_id=theirs.site_id, name="A")) == "not_found"
