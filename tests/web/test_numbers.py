"""Every number opens: 200 taken from the pages at random are worked out again from their lines alone."""

from __future__ import annotations

import random
import re
from dataclasses import dataclass
from html.parser import HTMLParser

import pytest

from tests.web.conftest import RichClub
from tests.web.recompute import recompute

pytestmark = pytest.mark.django_db
WANTED = 200
TREES = 14


@dataclass
class Sum:
    """One opened sum as it stands in the page."""

    shown: str
    lines: list[tuple[float, float]]
    value: float
    rule: str


class Sums(HTMLParser):
    """Reads every opened sum of a page, and every address of a number."""

    def __init__(self) -> None:
        super().__init__()
        self.sums: list[Sum] = []
        self.links: list[tuple[str, str]] = []
        self.lines: list[tuple[float, float]] = []
        self.shown = ""
        self.reading = ""
        self.href = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = {name: value or "" for name, value in attrs}
        if tag == "data" and "data-weight" in found:
            self.lines.append((float(found["value"]), float(found["data-weight"])))
        elif tag == "data" and "data-rule" in found:
            self.sums.append(Sum(self.shown, self.lines, float(found["value"]), found["data-rule"]))
            self.lines = []
        elif tag == "summary":
            self.reading, self.shown = "summary", ""
        elif tag == "a" and found.get("href", "").startswith("/numbers/"):
            self.reading, self.href, self.shown_link = "a", found["href"], ""

    def handle_data(self, data: str) -> None:
        if self.reading == "summary":
            self.shown += data
        elif self.reading == "a":
            self.shown_link += data

    def handle_endtag(self, tag: str) -> None:
        if tag == self.reading:
            if tag == "a":
                self.links.append((self.href, self.shown_link.replace("\u00a0", " ").strip()))
            self.reading = ""


def read(html: str) -> Sums:
    parser = Sums()
    parser.feed(html)
    return parser


def figures(text: str) -> list[float]:
    return [float(part) for part in re.findall(r"\d+(?:\.\d+)?", text)]


def fits(shown: str, value: float) -> bool:
    """The shown text is the value in hours or minutes, rounded to its last digit."""
    first = figures(shown)
    if not first:  # the only two words that lead to a number without showing it
        return shown in ("How it adds up", "This sum on a page of its own")
    digits = len(shown.split()[0].partition(".")[2]) if "." in shown.split()[0] else 0
    near = 0.5 * 10**-digits + 1e-9
    # A sum is kept in hours, or, for a job, in minutes; "each" is one person's part of a crew's minutes.
    if shown.endswith("each"):
        return any(abs(first[0] - value / 60 / crew) <= near for crew in (2, 3, 4))
    if shown.endswith("min"):
        return abs(first[0] - value) <= near
    return abs(first[0] - value) <= near or abs(first[0] - value / 60) <= near


def test_two_hundred_numbers_are_worked_out_again_from_their_lines(rich_club: RichClub):
    browser = rich_club.browser()
    pages = ["/season", f"/days/{rich_club.day}", "/estimate?task=WIRE_DETAIL&secondary=12&fine=40"]
    listing = browser.get("/trees").content.decode()
    pages += list(dict.fromkeys(re.findall(r"/trees/\d+", listing)))[:TREES]
    sums: list[Sum] = []
    links: list[tuple[str, str]] = []
    for address in pages:
        found = read(browser.get(address).content.decode())
        sums += found.sums
        links += found.links
    chance = random.Random(7)
    chance.shuffle(links)
    for address, shown in links:
        if len(sums) >= WANTED + 100:
            break
        opened = read(browser.get(address).content.decode()).sums
        assert len(opened) == 1, address
        assert fits(shown, opened[0].value), (address, shown, opened[0].value)
        sums.append(Sum(shown, opened[0].lines, opened[0].value, opened[0].rule))
    assert len(sums) >= WANTED
    taken = chance.sample(sums, WANTED)
    for one in taken:
        assert recompute(one.rule, one.lines) == pytest.approx(one.value, rel=1e-9, abs=1e-9), one
        if one.shown:
            assert fits(one.shown.replace("\u00a0", " "), one.value), one
    assert {"sum", "difference", "p80"} <= {one.rule for one in sums}


def test_a_dropped_or_changed_line_would_be_seen(rich_club: RichClub):
    found = read(rich_club.browser().get("/estimate?task=WIRE_DETAIL&secondary=12&fine=40").content.decode())
    (one,) = [s for s in found.sums if len(s.lines) > 3]
    assert recompute(one.rule, one.lines) == pytest.approx(one.value)
    assert recompute(one.rule, one.lines[1:]) != pytest.approx(one.value)
    changed = [(one.lines[0][0] + 0.1, one.lines[0][1]), *one.lines[1:]]
    assert recompute(one.rule, changed) != pytest.approx(one.value)


def test_every_number_of_the_season_has_lines_or_a_page_of_its_own(rich_club: RichClub):
    html = rich_club.browser().get("/season").content.decode()
    found = read(html)
    # four figures a week for 26 weeks, and more
    assert len(found.links) >= 26 * 4
    weeks = {address for address, _ in found.links if "/week-" in address}
    assert len(weeks) == 26 * 4


def test_an_address_that_leads_to_no_number_is_not_found(rich_club: RichClub):
    browser = rich_club.browser()
    for address in (
        "job/999999",
        "week-likely/2020-01-06",
        "week-likely/soon",
        "window/x",
        "seat/1",
        "tea/1",
    ):
        assert browser.get(f"/numbers/{address}").status_code == 404, address
