"""The style sheet's colours can be read, and its fonts are the files they claim to be."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import pytest

STATIC = Path(__file__).resolve().parents[2] / "collection" / "web" / "static"
SHEET = (STATIC / "web" / "teire.css").read_text()


def tokens(selector: str) -> dict[str, str]:
    """The colours set in the first block after a selector."""
    block = SHEET.split(selector, 1)[1].split("}", 1)[0]
    return dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", block))


def brightness(colour: str) -> float:
    """Relative luminance, from the definition in WCAG 2.2."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return sum(share * c for share, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one: str, other: str) -> float:
    low, high = sorted((brightness(one), brightness(other)))
    return (high + 0.05) / (low + 0.05)


LIGHT, DARK = tokens(":root {"), tokens(':root[data-theme="dark"] {')
BOTH = pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])


def test_contrast_follows_the_published_extremes() -> None:
    # WCAG 2.2: black on white is 21 to 1, a colour on itself 1 to 1.
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#5a0d4c", "#5a0d4c") == 1


@BOTH
@pytest.mark.parametrize("ink", ["ink", "ink2", "needle", "copper", "plum", "glaze"])
def test_text_keeps_seven_to_one_on_paper_and_on_tray(colours: dict[str, str], ink: str) -> None:
    assert contrast(colours[ink], colours["paper"]) >= 7
    assert contrast(colours[ink], colours["tray"]) >= 7


@BOTH
def test_words_on_filled_buttons_and_held_steps_keep_seven_to_one(colours: dict[str, str]) -> None:
    assert contrast(colours["on-fill"], colours["needle"]) >= 7
    assert contrast(colours["on-fill"], colours["copper"]) >= 7


@BOTH
@pytest.mark.parametrize("tint", ["needle-tint", "copper-tint", "plum-tint"])
def test_words_on_tints_keep_seven_to_one(colours: dict[str, str], tint: str) -> None:
    assert contrast(colours["ink"], colours[tint]) >= 7


@BOTH
def test_lines_that_carry_meaning_keep_three_to_one(colours: dict[str, str]) -> None:
    assert contrast(colours["rule"], colours["paper"]) >= 3


def test_the_reader_who_asked_for_dark_gets_the_same_dark_as_the_system() -> None:
    assert tokens(':root:not([data-theme="light"]) {') == DARK


def test_print_uses_black_white_and_greys_only() -> None:
    printed = SHEET.split("@media print", 1)[1]
    colours = set(re.findall(r"#[0-9a-f]{6}", printed))
    assert colours
    assert all(c[1:3] == c[3:5] == c[5:7] for c in colours)


def test_the_sheet_fetches_nothing_from_elsewhere() -> None:
    assert "http" not in SHEET
    for address in re.findall(r'url\("([^"]+)"\)', SHEET):
        assert (STATIC / "web" / address).resolve().is_file(), address


def test_vendored_fonts_match_their_checksums() -> None:
    folder = STATIC / "vendor" / "fonts"
    listed = dict(reversed(line.split()) for line in (folder / "CHECKSUMS").read_text().splitlines())
    assert set(listed) == {p.name for p in folder.iterdir()} - {"CHECKSUMS"}
    for name, wanted in listed.items():
        assert hashlib.sha256((folder / name).read_bytes()).hexdigest() == wanted, name


def test_a_first_visit_stays_within_its_weight() -> None:
    # 150 KB for a first visit: upright faces and the style sheet leave room for the page itself.
    fonts = STATIC / "vendor" / "fonts"
    upright = sum(p.stat().st_size for p in fonts.glob("*-normal.woff2"))
    assert upright + len(SHEET.encode()) < 110_000
