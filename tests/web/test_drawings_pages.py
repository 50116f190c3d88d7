"""Pages: they show finished values, ask nothing of the database, and are whole without script and style."""

from __future__ import annotations

import copy
import re
from collections import Counter
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from django.template.loader import render_to_string

from tests.web.sample_forms import empty
from tests.web.sample_pages import pages, season_page
from tests.web.sample_values import house, move, piece, plain, wiring_hours

NAMES = sorted(pages())
PAGE_WORDS = re.compile(r"\bpage\.(\w+)")
NOTE = re.compile(r"{% comment %}.*?{% endcomment %}", re.DOTALL)


@pytest.fixture
def strict(settings: Any) -> None:
    """A name the page does not have shows up instead of vanishing."""
    engine = copy.deepcopy(settings.TEMPLATES)
    engine[0]["OPTIONS"]["string_if_invalid"] = "NO SUCH VALUE %s"
    settings.TEMPLATES = engine


def shown(name: str) -> str:
    template, context = pages()[name]
    return render_to_string(template, context | {"house": house(name)})


class Reader(HTMLParser):
    """Collects what the tests ask about."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, {key: value or "" for key, value in attrs}))

    def all(self, *tags: str) -> list[dict[str, str]]:
        return [attrs for tag, attrs in self.tags if tag in tags]


@pytest.mark.django_db
@pytest.mark.parametrize("name", NAMES)
def test_a_page_is_rendered_without_a_query(name: str, django_assert_num_queries: Any) -> None:
    with django_assert_num_queries(0):
        assert "</html>" in shown(name)


@pytest.mark.parametrize("name", NAMES)
def test_a_page_reads_nothing_but_what_it_was_given(name: str, strict: None) -> None:
    assert "NO SUCH VALUE" not in shown(name)


@pytest.mark.parametrize("name", NAMES)
def test_a_page_has_no_style_and_no_script_of_its_own(name: str) -> None:
    reader = Reader(shown(name))
    assert not reader.all("style")
    assert all(attrs.get("src") for attrs in reader.all("script"))
    for _, attrs in reader.tags:
        assert not [key for key in attrs if key == "style" or key.startswith("on")]


@pytest.mark.parametrize("name", NAMES)
def test_every_id_is_used_once_and_every_pointer_finds_its_id(name: str) -> None:
    reader = Reader(shown(name))
    ids = Counter(attrs["id"] for _, attrs in reader.tags if "id" in attrs)
    assert [i for i, count in ids.items() if count > 1] == []
    pointers = [w for _, a in reader.tags for w in (a.get("aria-labelledby") or "").split()]
    pointers += [a["for"] for a in reader.all("label") if "for" in a]
    pointers += [a["href"][1:] for a in reader.all("a") if a.get("href", "").startswith("#")]
    assert set(pointers) <= set(ids)


@pytest.mark.parametrize("name", NAMES)
def test_every_field_has_a_label(name: str) -> None:
    reader = Reader(shown(name))
    labelled = {attrs.get("for") for attrs in reader.all("label")}
    fields = [a for a in reader.all("input", "select", "textarea") if a.get("type") != "hidden"]
    assert [a for a in fields if a.get("id") not in labelled] == []


@pytest.mark.parametrize("name", NAMES)
def test_every_table_has_a_caption_and_every_head_a_direction(name: str) -> None:
    reader = Reader(shown(name))
    assert len(reader.all("caption")) == len(reader.all("table"))
    assert all(attrs.get("scope") in ("col", "row") for attrs in reader.all("th"))


@pytest.mark.parametrize("name", NAMES)
def test_a_page_has_one_heading_and_one_filled_button_at_most(name: str) -> None:
    reader = Reader(shown(name))
    assert len(reader.all("h1")) == 1
    assert sum("main" in a.get("class", "").split() for a in reader.all("button", "a")) <= 1


@pytest.mark.parametrize("name", ["season", "day", "tree"])
def test_a_drawing_speaks_in_both_layouts(name: str) -> None:
    drawings = [a for a in Reader(shown(name)).all("svg") if a.get("role") == "img"]
    assert {a["class"] for a in drawings} == {"wide", "narrow"}
    assert all(a["aria-labelledby"] for a in drawings)


def test_coordinates_keep_their_point_in_a_language_with_commas(settings: Any) -> None:
    settings.LANGUAGE_CODE = "de"
    assert re.findall(r' (?:x|y|width|height|stroke-width)="[^"]*,[^"]*"', shown("season")) == []
    assert "." in "".join(re.findall(r'<rect [^>]*x="([^"]*)"', shown("season")))


def test_an_opened_number_shows_every_line_its_trust_and_its_total() -> None:
    html = render_to_string("web/_opened.html", {"n": wiring_hours()})
    assert html.startswith("<details")
    for words in ("12 side branches to wire", "64\N{NO-BREAK SPACE}min", "guess, no logs yet", "183"):
        assert words in html
    assert 'href="/numbers/1"' in html


def test_a_number_without_a_sum_is_plain_text() -> None:
    assert render_to_string("web/_opened.html", {"n": plain("1.4 h")}).strip() == "1.4\N{NO-BREAK SPACE}h"


def test_a_closed_number_does_not_push_its_full_stop_away() -> None:
    pieces = [
        piece("They need "),
        piece(number=wiring_hours()),
        piece(", and "),
        piece(missing=True, text="2 h"),
    ]
    html = render_to_string("web/_lead.html", {"pieces": [*pieces, piece(" are missing.")]})
    assert "</details>, and <b" in html
    assert "</b> are missing.</div>" in html


def test_a_missing_name_is_a_line_waiting_for_a_pencil() -> None:
    assert '<span class="wanted">second pair of hands</span>' in shown("season")


def test_cautions_always_end_with_local_rules_and_what_this_cannot_tell() -> None:
    for name in ("day", "tree", "sitting"):
        html = shown(name)
        assert (
            "Follow local rules and licensed practice. This cannot tell whether a branch will crack." in html
        )
    assert "Never mix it with an acid" not in shown("day")


def test_a_choice_offers_its_options_and_carries_its_hidden_values() -> None:
    html = render_to_string("web/_action.html", {"action": move()})
    assert '<option value="1" selected>Imke T.</option>' in html
    assert '<input type="hidden" name="job" value="7">' in html


def test_names_are_escaped() -> None:
    page = season_page()
    page.title = "<script>x</script>"
    html = render_to_string("web/season/season.html", {"page": page, "house": house("season")})
    assert "<script>x" not in html


def test_an_empty_season_says_what_will_appear() -> None:
    page = season_page()
    page.ribbon, page.weeks, page.windows, page.empty = (
        None,
        [],
        [],
        empty("Weeks with work will be shown here."),
    )
    html = render_to_string("web/season/season.html", {"page": page, "house": house("season")})
    assert "Weeks with work will be shown here." in html
    assert "<svg" not in html


def test_a_plan_at_work_is_asked_after_and_a_ready_one_is_not() -> None:
    template, context = pages()["day"]
    assert "plan-status.js" not in shown("day")
    context["page"].poll_url, context["page"].status = "/days/1/state", "The plan is being worked out."
    html = render_to_string(template, context | {"house": house("day")})
    assert 'data-plan-url="/days/1/state"' in html
    assert "plan-status.js" in html


def test_each_page_names_what_it_reads(root: Path) -> None:
    for path in (root / "templates" / "web").rglob("*.html"):
        source = path.read_text()
        named = set(PAGE_WORDS.findall(" ".join(NOTE.findall(source))))
        listed = " ".join(NOTE.findall(source))
        used = set(PAGE_WORDS.findall(NOTE.sub("", source)))
        assert [word for word in used - named if not re.search(rf"\b{word}\b", listed)] == [], path.name
