"""Bringing a list in, taking it back, the lists to take away and the first set-up, in the browser."""

from __future__ import annotations

import re
from datetime import date

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from collection.models import Accepted, Club, Tree, Upload
from collection.usecases import sweep
from tests.factories import ClubFactory, MemberFactory, SiteFactory, TreeFactory
from tests.usecases.importing.sheets import Rows, book, text

pytestmark = pytest.mark.django_db
ROWS: Rows = [
    ["No", "Species", "Hgt (cm)"],
    ["007", "Larch", "62"],
    ["008", "Chinese elm", "tall"],
]


@pytest.fixture(autouse=True)
def _clock(time_machine_at) -> None:
    time_machine_at(date(2027, 1, 11))


@pytest.fixture
def club() -> Club:
    return ClubFactory(name="The Circle")


@pytest.fixture
def browser(club: Club) -> Client:
    client = Client()
    client.force_login(MemberFactory(club=club, coordinator=True).account)
    return client


def bring(browser: Client, data: bytes, name: str = "trees.csv", kind: str = "trees"):
    return browser.post("/import", {"kind": kind, "file": SimpleUploadedFile(name, data)})


def said(answer) -> str:
    words = re.sub(r"\s+", " ", answer.content.decode().replace("\N{NO-BREAK SPACE}", " "))
    return words.replace("&#x27;", "'")


def fields(answer) -> dict[str, str]:
    """What a browser would send back unchanged."""
    page = answer.content.decode()
    found = dict(re.findall(r'<input type="hidden" name="(version)" value="(\d+)"', page))
    for name, options in re.findall(r'<select name="(\w+)"[^>]*>(.*?)</select>', page, re.DOTALL):
        chosen = re.search(r'<option value="([^"]*)" selected', options)
        found[name] = chosen[1] if chosen else ""
    return found


def test_a_file_becomes_questions_and_nothing_is_written(club: Club, browser: Client):
    sent = bring(browser, text(ROWS))
    shown = browser.get(sent.url)
    words = said(shown)
    assert "2 rows found: 1 tree is new, 1 row has a fault." in words
    assert "Is this the height of the tree?" in words
    assert "<span>62</span><span>tall</span>" in words
    assert "Row 3, column Hgt (cm)" in words
    assert "Take in 1 tree" in words
    assert not Tree.objects.exists()


def test_faulty_rows_keep_the_rest_out_until_they_are_left_out_or_put_right(club: Club, browser: Client):
    url = bring(browser, text(ROWS)).url
    sent = fields(browser.get(url))
    refused = browser.post(url, sent | {"take": "yes"})
    assert refused.status_code == 400
    assert "Rows with problems: 1." in said(refused)
    right = browser.post(url, sent | {"cell_0": "45"}, follow=True)
    assert "2 trees are new" in said(right)
    done = browser.post(url, fields(right) | {"take": "yes"}, follow=True)
    assert "2 trees have come in." in said(done)
    assert Tree.objects.get(accession="008").height_mm == 450


def test_an_answer_changed_together_with_taking_in_is_looked_at_first(club: Club, browser: Client):
    url = bring(browser, text([["No", "Species", "Collar"], ["1", "Larch", "45"]])).url
    sent = fields(browser.get(url)) | {"column_2": "trunk", "take": "yes"}
    shown = browser.post(url, sent, follow=True)
    assert "You changed an answer." in said(shown)
    assert not Tree.objects.exists()
    again = fields(shown) | {"unit_2": "mm"}
    shown = browser.post(url, again, follow=True)
    browser.post(url, fields(shown) | {"take": "yes"})
    assert Tree.objects.get().trunk_mm == 45


def test_taken_in_twice_it_is_once(club: Club, browser: Client):
    url = bring(browser, text(ROWS[:2])).url
    sent = fields(browser.get(url)) | {"take": "yes"}
    browser.post(url, sent)
    browser.post(url, sent)
    assert (Tree.objects.count(), Accepted.objects.count()) == (1, 1)
    again = browser.get(bring(browser, text(ROWS[:2])).url)
    assert "1 row is there already and stay as they are" in said(again) or "1 are there already" in said(
        again
    )
    assert "Take in" not in said(again)


def test_one_sheet_of_several_can_be_chosen(club: Club, browser: Client):
    sheets = {"Here": [["No", "Species"], [1, "Larch"]], "There": [["No", "Species"], [2, "Elm"], [3, "Elm"]]}
    url = bring(browser, book(sheets), "trees.xlsx").url
    sent = fields(browser.get(url))
    shown = browser.post(url, sent | {"sheet": "There"}, follow=True)
    assert "2 rows found" in said(shown)


def test_a_file_that_is_no_list_says_so(club: Club, browser: Client):
    shown = said(browser.get(bring(browser, b"%PDF-1.7 trees", "trees.xlsx").url))
    assert "This file is not a spreadsheet we can read." in shown
    assert "Bring another file" in shown


def test_no_file_is_said_at_the_field(club: Club, browser: Client):
    answer = browser.post("/import", {"kind": "trees"})
    assert answer.status_code == 400
    assert "Choose a file." in said(answer)


def test_a_long_list_is_read_by_the_sweep_while_the_page_waits(club: Club, browser: Client):
    note = "x" * 19_000
    rows = [["No", "Species", "Notes"], *([f"{n:03d}", "Larch", note] for n in range(12))]
    url = bring(browser, text(rows)).url
    waiting = said(browser.get(url))
    assert "The file is being read." in waiting
    assert browser.get(f"{url}/state").json() == {"state": "waiting"}
    sweep.work_out()
    assert browser.get(f"{url}/state").json() == {"state": "ready"}
    assert "12 trees are new" in said(browser.get(url))


def test_a_file_is_taken_back_from_the_list(club: Club, browser: Client):
    url = bring(browser, text(ROWS[:2])).url
    browser.post(url, fields(browser.get(url)) | {"take": "yes"})
    undo = f"/import/came-in/{Accepted.objects.get().pk}/take-back"
    assert undo in said(browser.get("/import"))
    assert "1 tree goes: nobody touched them since." in said(browser.get(undo))
    done = browser.post(undo, follow=True)
    assert "1 row is taken back." in said(done)
    assert "Taken back" in said(done)
    assert not Tree.objects.exists()


def test_a_file_is_thrown_away(club: Club, browser: Client):
    url = bring(browser, text(ROWS)).url
    browser.post(f"{url}/drop")
    assert not Upload.objects.exists()
    assert browser.get(url).status_code == 404


@pytest.mark.parametrize(("query", "name"), [("form=csv", "csv"), ("form=xlsx", "xlsx"), ("", "xlsx")])
def test_a_list_is_taken_away_as_a_file(club: Club, browser: Client, query: str, name: str):
    TreeFactory(site=SiteFactory(club=club), accession="007")
    answer = browser.get(f"/club/download/trees?{query}")
    assert answer["Content-Disposition"] == f'attachment; filename="trees-2027-01-11.{name}"'
    assert answer["Cache-Control"] == "no-store"
    assert (b'"007"' in answer.content) == (name == "csv")
    assert browser.get("/club/download/pots").status_code == 404


def test_a_first_set_up_says_what_is_done_and_what_comes_next(club: Club, browser: Client):
    first = said(browser.get("/club/start"))
    assert first.index("1. The club") < first.index("5. First workday")
    assert "<p><b>Done</b></p>" in first
    assert "<p><b>Next</b></p>" in first
    assert "Getting started" in said(browser.get("/season"))
    MemberFactory(club=club)
    TreeFactory(site=SiteFactory(club=club))
    later = said(browser.get("/club/start"))
    assert "2 people on the list." in later
    assert "1 tree on the register." in later
    assert later.count("button main") == 1


def test_trees_and_people_lead_a_coordinator_to_bringing_a_list(club: Club, browser: Client):
    assert 'href="/import?kind=trees"' in said(browser.get("/trees"))
    assert 'href="/import?kind=people"' in said(browser.get("/people"))
    plain = Client()
    plain.force_login(MemberFactory(club=club).account)
    for url in ("/trees", "/people"):
        answer = plain.get(url)
        assert answer.status_code == 200
        assert "/import" not in said(answer)
