"""Counting in steps, with and without script, and drawing branches."""

from __future__ import annotations

import re
from datetime import date

import pytest
from django.test import Client

from collection.models import Branch, Change, Club, Count, Tree, Wire
from collection.queries.facts import trees_with_wire
from tests.factories import MemberFactory, SiteFactory, TreeFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def tree(time_machine) -> Tree:
    time_machine.move_to("2027-03-03T09:00:00+00:00", tick=False)
    found = TreeFactory(site=SiteFactory(), name="Heron")
    for kind, amount, on in (
        ("primary", 8, date(2025, 4, 1)),
        ("secondary", 28, date(2026, 4, 1)),
        ("secondary", 31, date(2027, 1, 10)),
        ("primary_mm", 14, date(2026, 4, 1)),
        ("primary_wired", 1, date(2026, 4, 1)),
    ):
        Count.objects.create(club=found.club, tree=found, kind=kind, amount=amount, on=on)
    return found


@pytest.fixture
def browser(tree) -> Client:
    client = Client()
    client.force_login(MemberFactory(club=tree.club).account)
    return client


def text(answer) -> str:
    return answer.content.decode().replace("\u00a0", " ")


def held(html: str) -> dict[str, str]:
    """What the text fields of the form hold."""
    found = {}
    for field in re.findall(r"<input[^>]*>", html):
        name, value = re.search(r'name="([^"]*)"', field), re.search(r'value="([^"]*)"', field)
        if name and 'type="text"' in field:
            found[name[1]] = value[1] if value else ""
    return found


def at(tree: Tree) -> str:
    return f"/trees/{tree.pk}/counts"


def test_last_years_figure_stands_beside_the_field_and_else_the_newest(browser, tree):
    page = text(browser.get(at(tree)))
    assert "Last year: 28." in page
    assert "On Tue 1 Apr 2025: 8." in page
    assert "Same as last year" in page
    assert held(page)["secondary"] == ""


@pytest.mark.parametrize(
    ("typed", "pressed", "then"),
    [
        ({"primary": "8"}, {"step": "primary:1"}, {"primary": "9"}),
        ({"primary": "8"}, {"step": "primary:-1"}, {"primary": "7"}),
        ({"fine": "40"}, {"step": "fine:5"}, {"fine": "45"}),
        ({"primary": "0"}, {"step": "primary:-1"}, {"primary": "0"}),
        ({}, {"step": "primary:1"}, {"primary": "9"}),
        ({}, {"step": "secondary:-1"}, {"secondary": "27"}),
        ({}, {"step": "fine:5"}, {"fine": "5"}),
        ({"primary": "lots"}, {"step": "primary:1"}, {"primary": "9"}),
        ({"fine": "40"}, {"same": "secondary"}, {"secondary": "28", "fine": "40"}),
        ({"secondary": "3"}, {"same": "all"}, {"secondary": "28", "primary": "8", "primary_mm": "14"}),
        ({"fine": "40"}, {"step": "nothing:1"}, {"fine": "40"}),
    ],
)
def test_without_script_a_small_button_changes_the_figure_and_writes_nothing(
    browser, tree, typed, pressed, then
):
    before = Count.objects.count()
    answer = browser.post(at(tree), typed | pressed)
    assert answer.status_code == 200
    found = held(text(answer))
    assert {name: found[name] for name in then} == then
    assert Count.objects.count() == before


def test_the_first_button_a_return_key_meets_is_the_one_that_writes(browser, tree):
    form = text(browser.get(at(tree))).split('<form method="post" action="/trees')[1]
    first = re.search(r"<button[^>]*>", form)
    assert first is not None
    assert 'type="submit"' in first[0]
    assert "name=" not in first[0]


def test_a_tree_of_120_branches_is_counted_in_at_most_25_interactions(browser, tree):
    # One tap to reach a field (or a tab key) and one key a figure; a radio and a button are one tap each.
    typed = {
        "primary": "8",
        "secondary": "32",
        "fine": "80",
        "primary_mm": "14",
        "secondary_mm": "6",
        "fine_mm": "2",
    }
    wired = {"primary_wired": "1", "secondary_wired": "0", "fine_wired": "0"}
    taps = sum(1 + len(figure) for figure in typed.values()) + len(wired) + 1
    assert taps <= 25
    assert browser.post(at(tree), typed | wired).status_code == 302
    today = dict(Count.objects.filter(on=date(2027, 3, 3)).values_list("kind", "amount"))
    assert sum(today[kind] for kind in ("primary", "secondary", "fine")) == 120
    assert today["fine_mm"] == 2
    # The same again next year: one button fills everything in, one writes.
    assert browser.post(at(tree), {"same": "all"}).status_code == 200


def test_wire_that_was_only_counted_makes_looks_due_until_it_is_counted_as_off(browser, tree):
    assert tree.pk in trees_with_wire(tree.club_id)
    browser.post(at(tree), {"primary_wired": "0"})
    assert tree.pk not in trees_with_wire(tree.club_id)


def test_a_guess_is_kept_as_one_and_shown_as_one(browser, tree):
    browser.post(at(tree), {"fine": "80", "guessed": "on"})
    assert Count.objects.get(kind="fine").guessed
    assert "a guess" in text(browser.get(f"/trees/{tree.pk}"))


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"primary_mm": "0"}, "Write a number above 0"),
        ({"primary_mm": "900"}, "Write a thickness above 0 and up to 500 mm"),
        ({"primary_wired": "perhaps"}, "Say yes or no"),
        ({"guessed": "on"}, "Write at least one number."),
    ],
)
def test_a_wrong_figure_is_said_and_nothing_is_written(browser, tree, typed, words):
    before = Count.objects.count()
    answer = browser.post(at(tree), typed | {"note": "x"})
    assert answer.status_code == 400
    assert words in text(answer)
    assert Count.objects.count() == before


def test_a_branch_is_drawn_changed_and_taken_off(browser, tree):
    here = f"/trees/{tree.pk}/branches"
    assert "Branches will be listed here" in text(browser.get(here))
    sent = {"label": "B1", "place": "lower left", "clock": "9", "height_mm": "12", "diameter_mm": "22"}
    assert browser.post(here, sent | {"length_mm": "40", "side_branches": "4"}).status_code == 302
    branch = Branch.objects.get()
    assert (branch.clock, branch.height_mm, branch.diameter_mm, branch.length_mm) == (9, 120.0, 22.0, 400.0)
    assert "lower left, 22 mm" in re.sub(r"<[^>]*>", "", text(browser.get(f"/trees/{tree.pk}")))
    changed = sent | {"diameter_mm": "24", "version": branch.version}
    assert browser.post(f"/branches/{branch.pk}", changed).status_code == 302
    branch.refresh_from_db()
    assert (branch.diameter_mm, branch.side_branches) == (24.0, 0)
    assert browser.post(f"/branches/{branch.pk}/remove", {"version": branch.version}).status_code == 302
    assert not Branch.objects.exists()
    assert Change.objects.filter(table="branch").latest("id").before["diameter_mm"] == 24.0


def test_a_branch_with_wire_on_stays_on_the_drawing(browser, tree):
    branch = Branch.objects.create(club=tree.club, tree=tree, label="B1")
    Wire.objects.create(
        club=tree.club, tree=tree, branch=branch, label="W1", length_m=1, gauge_mm=2, metal="copper",
        on=date(2027, 1, 1),
    )  # fmt: skip
    answer = browser.post(f"/branches/{branch.pk}/remove", {"version": 1}, follow=True)
    assert "Wire is still on branch B1." in text(answer)
    assert Branch.objects.exists()


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"label": ""}, "Give it a short label"),
        ({"label": "B1"}, "already"),
        ({"clock": "13"}, "Choose an hour of the clock."),
        ({"diameter_mm": "thick"}, "Write a number above 0"),
        ({"diameter_mm": "2 m"}, "Write a size above 0"),
        ({"side_branches": "-1"}, "Write a whole number from 0 up"),
    ],
)
def test_a_wrong_branch_is_said_at_its_field(browser, tree, typed, words):
    Branch.objects.create(club=tree.club, tree=tree, label="B1")
    answer = browser.post(f"/trees/{tree.pk}/branches", {"label": "B2", "place": "kept"} | typed)
    assert answer.status_code == 400
    assert words in text(answer)
    assert 'value="kept"' in text(answer)
    assert Branch.objects.count() == 1


def test_a_club_in_inches_counts_and_draws_in_inches(browser, tree):
    Club.objects.update(inches=True)
    assert "Usual thickness, inches" in text(browser.get(at(tree)))
    browser.post(f"/trees/{tree.pk}/branches", {"label": "B1", "diameter_mm": "0.5"})
    assert Branch.objects.get().diameter_mm == pytest.approx(12.7)
    assert "0.5 in" in text(browser.get(f"/trees/{tree.pk}/branches"))
