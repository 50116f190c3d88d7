"""What the service is for, done in a browser: on phone and laptop, without script, by keyboard alone."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.houses import Site

pytestmark = pytest.mark.browser
WAYS = [
    pytest.param({"phone": True}, id="phone"),
    pytest.param({"phone": False}, id="laptop"),
    pytest.param({"phone": True, "java_script_enabled": False}, id="phone-without-script"),
    pytest.param({"phone": False, "java_script_enabled": False}, id="laptop-without-script"),
]
PLAN_MS = 120_000
MOST_TABS = 400
RINGED = "getComputedStyle(document.activeElement).outlineStyle !== 'none'"

Press = Callable[[Locator], None]


def click(target: Locator) -> None:
    target.click()


def by_keyboard(target: Locator) -> None:
    """Tab from where the reader is until the target has the focus, see its ring, and press Enter."""
    page = target.page
    wanted = target.element_handle()
    for _ in range(MOST_TABS):
        page.keyboard.press("Tab")
        if page.evaluate("e => document.activeElement === e", wanted):
            assert page.evaluate(RINGED), f"no ring round {wanted.inner_text()}"
            page.keyboard.press("Enter")
            return
    raise AssertionError(f"{wanted.inner_text()} cannot be reached by {MOST_TABS} tabs")


def nav(page: Page, word: str, press: Press) -> None:
    press(page.get_by_role("navigation", name="Main pages").get_by_role("link", name=word, exact=True))


def wait_for_the_plan(page: Page) -> None:
    """With script the page shows the plan by itself; without, the reader looks again."""
    ready = page.get_by_text("This plan has not been sent out yet").first
    for _ in range(PLAN_MS // 2000):
        if ready.is_visible():
            return
        page.wait_for_timeout(2000)
        page.reload()
    expect(ready).to_be_visible()


def plan_a_workday(page: Page, press: Press = click) -> None:
    nav(page, "Days", press)
    press(page.locator("main").get_by_role("link", name=re.compile(r"^[A-Z]\w+day \d+")).first)
    press(page.get_by_role("button", name=re.compile("Plan (this day|again)")))
    expect(page.get_by_text("A new plan has been asked for.")).to_be_visible()
    wait_for_the_plan(page)
    expect(page.get_by_text("jobs fit").first).to_be_visible()


def find_a_helper(page: Page, press: Press = click) -> None:
    nav(page, "Season", press)
    press(page.locator("main").get_by_role("link", name="Heavy bends", exact=True))
    press(page.get_by_role("link", name="Open the bend").first)
    leads = page.get_by_role("button", name=re.compile(" leads$"))
    if leads.count():
        press(leads.first)
    expect(page.get_by_text("Nobody stands in line with the lever").first).to_be_visible()
    expect(page.get_by_text("points").first).to_be_visible()
    press(page.get_by_role("button", name=re.compile("^Ask ")).first)
    expect(page.get_by_text("The question is on its way.")).to_be_visible()
    expect(page.get_by_text(re.compile("(has|have) been asked")).first).to_be_visible()
    # Leave the bend as it was for whoever comes after.
    press(page.get_by_role("button", name="Take the question back").first)
    expect(page.get_by_text("The question is on its way.")).to_have_count(0)


def see_last_hands(page: Page, press: Press = click) -> None:
    nav(page, "Trees", press)
    tag = page.locator("main a.tag").first.inner_text()
    page.locator("main input[name=q]").first.focus()
    page.keyboard.type(tag)
    page.keyboard.press("Enter")
    page.wait_for_url("**q=*")
    press(page.locator("main a.tag", has_text=tag).first)
    expect(page.get_by_role("heading", name="Last hands")).to_be_visible()


def see_the_trees(page: Page) -> None:
    nav(page, "Trees", click)
    expect(page.get_by_role("columnheader", name="Last hands")).to_be_visible()


def see_the_weeks(page: Page) -> None:
    nav(page, "Season", click)
    expect(page.get_by_role("heading", level=1)).to_contain_text("weeks")


def see_the_season(page: Page, press: Press = click) -> None:
    nav(page, "Season", press)
    expect(page.get_by_role("heading", level=1)).to_contain_text("weeks")
    press(page.locator("main .lead summary, main .lead a").first)
    expect(page.get_by_text("The sum").or_(page.locator("main .lead details[open]")).first).to_be_visible()


JOURNEYS = [plan_a_workday, find_a_helper, see_last_hands, see_the_season]


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("journey", JOURNEYS, ids=lambda journey: journey.__name__)
def test_a_person_gets_there(sample: Site, opened, journey, way):
    journey(opened(sample, "/", **way))


@pytest.mark.parametrize("journey", JOURNEYS, ids=lambda journey: journey.__name__)
def test_a_person_gets_there_by_keyboard_alone(sample: Site, opened, journey):
    journey(opened(sample, "/"), by_keyboard)


@pytest.mark.parametrize(
    ("journey", "part", "tallest", "name"),
    [
        (plan_a_workday, "figure", 900, "day-plan"),
        (find_a_helper, "#helpers", 460, "helper"),
        (see_the_trees, "main table", 460, "last-hands"),
        (see_the_weeks, "figure", 900, "season"),
    ],
)
def test_a_picture_of_the_readme_is_what_the_site_shows(
    sample: Site, opened, pictures: Path, journey, part, tallest, name
):
    page = opened(sample, "/")
    journey(page)
    page.evaluate("document.querySelectorAll('details[open]').forEach(d => d.open = false); scrollTo(0, 0)")
    box = page.locator(part).first.bounding_box()
    assert box
    kept = pictures / f"{name}.png"
    clip = box | {"height": min(box["height"], tallest)}
    page.screenshot(path=kept, full_page=True, clip=clip)
    assert 15_000 < kept.stat().st_size < 150_000
