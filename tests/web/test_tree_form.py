"""Adding a tree and changing one: units, errors at the field, and what follows."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client

from collection.models import Club, Job, Tree
from tests.factories import BenchFactory, MemberFactory, SiteFactory, TreeFactory

pytestmark = pytest.mark.django_db
NEW = {
    "accession": "2027.001",
    "group": "G01",
    "stage": "F",
    "condition": "sound",
    "height_mm": "52",
    "trunk_mm": "85",
    "pot_litres": "7,5",
    "mass_kg": "24",
    "species": "Pinus thunbergii",
}


@pytest.fixture
def bench(time_machine):
    time_machine.move_to("2027-03-03T09:00:00+00:00", tick=False)
    return BenchFactory(site=SiteFactory())


@pytest.fixture
def browser(bench) -> Client:
    client = Client()
    client.force_login(MemberFactory(club=bench.club, coordinator=True).account)
    return client


def add(browser: Client, bench, **more: object):
    return browser.post("/trees/new", NEW | {"place": f"{bench.site_id}:{bench.pk}"} | more)


def test_a_new_tree_stands_on_its_bench_in_mm_kg_and_litres_with_its_jobs(browser, bench):
    assert add(browser, bench).status_code == 302
    tree = Tree.objects.get()
    assert (tree.accession, tree.bench_id, tree.site_id) == ("2027.001", bench.pk, bench.site_id)
    assert (tree.height_mm, tree.trunk_mm, tree.pot_litres, tree.mass_kg) == (520.0, 85.0, 7.5, 24.0)
    assert Job.objects.filter(tree=tree, state="open", estimate__isnull=False).exists()
    assert tree.events.get().on == date(2027, 3, 3)


@pytest.mark.parametrize(
    ("inches", "typed", "mm"),
    [
        (False, "52", 520.0),
        (False, "20.5 in", 520.7),
        (True, "20.5", 520.7),
        (True, "52 cm", 520.0),
        (True, "2 ft", 609.6),
    ],
)
def test_a_plain_number_is_in_the_clubs_unit_and_any_unit_can_be_named(browser, bench, inches, typed, mm):
    Club.objects.update(inches=inches)
    add(browser, bench, height_mm=typed)
    assert Tree.objects.get().height_mm == pytest.approx(mm)


@pytest.mark.parametrize("inches", [False, True])
def test_a_size_nobody_touched_keeps_its_exact_value(browser, bench, inches):
    Club.objects.update(inches=inches)
    tree = TreeFactory(site=bench.site, bench=bench, height_mm=623.4567, mass_kg=7.77)
    html = browser.get(f"/trees/{tree.pk}/edit").content.decode()
    shown = "24.55" if inches else "62.3"
    assert f'value="{shown}"' in html
    sent = {k: v for k, v in NEW.items() if k not in ("accession", "trunk_mm", "pot_litres")}
    sent |= {"height_mm": shown, "mass_kg": "17.1" if inches else "7.8", "version": "1", "name": "Heron"}
    assert browser.post(f"/trees/{tree.pk}/edit", sent).status_code == 302
    tree.refresh_from_db()
    assert (tree.height_mm, tree.mass_kg, tree.name) == (623.4567, 7.77, "Heron")


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"accession": " "}, "Write the number on the tag"),
        ({"group": ""}, "Choose the kind of tree."),
        ({"height_mm": "tall"}, "Write a number above 0, like 12 or 12.5."),
        ({"height_mm": "0"}, "Write a number above 0, like 12 or 12.5."),
        ({"mass_kg": "12-14"}, "Write a number above 0"),
        ({"batch": "1"}, "A batch has from 2 to 10,000 trees."),
        ({"batch": "many"}, "Write a whole number from 2 up"),
        ({"leave_alone_until": "2027-06-01"}, "Say why: only a weak tree"),
        ({"no_hard_work_until": "June"}, "Write a day, like 2027-03-06."),
        ({"place": "999"}, "Choose where it stands."),
        ({"name": "x" * 121}, "Write it shorter: up to 120 letters."),
    ],
)  # fmt: skip
def test_a_wrong_entry_is_said_at_its_field_and_what_was_typed_stays(browser, bench, more, words):
    answer = add(browser, bench, species="Pinus kept", **more)
    html = answer.content.decode()
    assert answer.status_code == 400
    assert words in html.replace("&#x27;", "'")
    assert "has-error" in html
    assert 'value="Pinus kept"' in html
    assert not Tree.objects.exists()


def test_a_tag_is_given_once_for_ever(browser, bench):
    add(browser, bench)
    again = add(browser, bench)
    assert again.status_code == 400
    assert "2027.001" in again.content.decode()
    assert Tree.objects.count() == 1


def test_a_weak_tree_may_be_left_alone_without_more_words(browser, bench):
    assert add(browser, bench, condition="weak", leave_alone_until="2027-06-01").status_code == 302


def test_two_who_change_the_same_field_get_both_answers(browser, bench):
    tree = TreeFactory(site=bench.site, bench=bench, name="Heron")
    sent = {k: v for k, v in NEW.items() if k != "accession"} | {"version": "1"}
    assert browser.post(f"/trees/{tree.pk}/edit", sent | {"name": "Crane"}).status_code == 302
    late = browser.post(f"/trees/{tree.pk}/edit", sent | {"name": "Egret"})
    assert late.status_code == 409
    html = late.content.decode()
    assert "Crane" in html
    assert "Egret" in html
    tree.refresh_from_db()
    assert tree.name == "Crane"
