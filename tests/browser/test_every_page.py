"""Every page, on a phone and a laptop, light and dark, full and empty: no fault that axe-core knows of."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser.houses import Site
from tests.browser.walk import pages_of
from tests.walls.asking import cells

pytestmark = pytest.mark.browser
# What the walk does not reach by a link, and why. It looks at two pages of each kind.
NO_LINK = {
    "link": "from a mail",
    "password-new": "from a letter",
    "password-sent": "after a form",
    "welcome": "from a letter",
    "sign-in": "not when signed in",
    "password-forgotten": "not when signed in",
    "home": "leads on to the season",
    "branch": "on a tree whose branches are drawn",
    "day-after": "after a day was held",
    "day-came": "on the day and after it",
    "download-file": "not a page",
    "import": "while a file waits",
    "import-state": "asked by the page that waits",
    "trees-of": "from the page of a person who keeps trees",
    "plan-state": "asked by the page that waits",
    "season-state": "asked by the page that waits",
    "plan": "only while a newer plan is made",
    "my-day": "once the plan is out",
    "day-missing": "only while something is missing",
    "healthz": "for machines",
    "readyz": "for machines",
}
LOOKS = [
    pytest.param({"phone": True}, id="phone"),
    pytest.param({"phone": False}, id="laptop"),
    pytest.param({"phone": True, "color_scheme": "dark"}, id="phone-dark"),
    pytest.param({"phone": False, "color_scheme": "dark"}, id="laptop-dark"),
]
# Between a phone and a laptop, where a heading stands beside buttons.
WIDTHS = (768, 1024, 1280)
LEAST_SHARE = 0.4
# A page may be wider than the screen by a rounding of a pixel.
A_PIXEL = 1


@pytest.fixture(scope="session")
def full(sample: Site) -> dict[str, list[str]]:
    return pages_of(sample, sample.person("coordinator"))


def faults(page: Page) -> list[str]:
    """What axe-core finds, one line each."""
    found = Axe().run(page).response["violations"]
    return [
        f"{page.url}: {v['id']}: {v['help']}: {node['html'][:160]} {node.get('failureSummary', '')[:200]}"
        for v in found
        for node in v["nodes"][:3]
    ]


def squeezed(page: Page) -> list[str]:
    """Headings narrower than two fifths of the page, where there is room for more."""
    found = []
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        shares = page.evaluate(
            "[...document.querySelectorAll('h1')].map(e => e.getBoundingClientRect().width / innerWidth)"
        )
        found += [f"{page.url} at {width} px: {share:.0%}" for share in shares if share < LEAST_SHARE]
    return found


def too_wide(page: Page) -> list[str]:
    wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    if wide <= A_PIXEL:
        return []
    who = page.evaluate(
        "[...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right >"
        " document.documentElement.clientWidth + 1).slice(0, 3).map(e => e.outerHTML.slice(0, 120))"
    )
    return [f"{page.url} is {wide} px too wide: {who}"]


@pytest.mark.parametrize("look", LOOKS)
def test_no_full_page_has_a_fault(sample: Site, full, opened, look):
    page = opened(sample, "/season", **look)
    found: list[str] = []
    for paths in full.values():
        for path in paths:
            page.goto(path)
            found += faults(page) + (too_wide(page) if look["phone"] else [])
    assert len(full) > 20
    assert found == []


@pytest.mark.parametrize("look", LOOKS[:2])
def test_no_empty_page_has_a_fault(empty: Site, opened, look):
    page = opened(empty, "/season", **look)
    found: list[str] = []
    for paths in pages_of(empty, empty.person("coordinator")).values():
        page.goto(paths[0])
        found += faults(page) + (too_wide(page) if look["phone"] else [])
    assert found == []


def test_no_heading_is_squeezed_by_what_stands_beside_it(sample: Site, full, opened):
    page = opened(sample, "/season", phone=False)
    found: list[str] = []
    for paths in full.values():
        page.goto(paths[0])
        found += squeezed(page)
    assert found == []


def test_no_page_of_a_volunteer_has_a_fault(sample: Site, opened):
    volunteer = sample.person("volunteer")
    page = opened(sample, "/season", person=volunteer, phone=True)
    found: list[str] = []
    for paths in pages_of(sample, volunteer).values():
        page.goto(paths[0])
        found += faults(page) + too_wide(page)
    assert found == []


def test_the_pages_before_the_door_have_no_fault(sample: Site, browser):
    context = browser.new_context(base_url=sample.url)
    page = context.new_page()
    for path in ("/sign-in", "/password/forgotten", "/welcome/not-a-letter-that-anybody-sent"):
        page.goto(path)
        assert faults(page) == []
    context.close()


@pytest.mark.parametrize(
    ("width", "text"), [(640, "100%"), (320, "100%"), (390, "200%")], ids=["zoom-200", "zoom-400", "text-200"]
)
def test_nothing_is_cut_off_when_it_is_made_larger(sample: Site, full, opened, width: int, text: str):
    """Zoomed to 200 and 400 % a laptop's 1280 px are 640 and 320 (WCAG 2.2, 1.4.4 and 1.4.10)."""
    page = opened(sample, "/season", phone=True)
    page.set_viewport_size({"width": width, "height": 800})
    found: list[str] = []
    for paths in full.values():
        page.goto(paths[0])
        page.evaluate(f"document.documentElement.style.fontSize = '{text}'")
        found += too_wide(page)
    assert found == []


def test_every_page_can_be_reached_by_links(full):
    shown = {cell.name for cell in cells() if cell.get == 200 and not cell.api}
    shown |= {cell.name for cell in cells() if isinstance(cell.get, dict) and not cell.api}
    assert len(shown) > 20
    missing = sorted(shown - set(full) - set(NO_LINK))
    assert not missing, " ".join(missing)
