"""What the service is for, done by a person in a browser: on a phone, on a laptop, and without script."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.houses import Site

pytestmark = pytest.mark.browser
WAYS = [
    pytest.param({"phone": True}, id="phone"),
    pytest.param({"phone": False}, id="laptop"),
    pytest.param({"phone": True, "java_script_enabled": False}, id="phone-without-script"),
    pytest.param({"phone": False, "java_script_enabled": False}, id="laptop-without-script"),
]
PLAN_MS = 120_000


def nav(page: Page, word: str) -> None:
    page.get_by_role("navigation", name="Main pages").get_by_role("link", name=word, exact=True).click()


def wait_for_the_plan(page: Page) -> None:
    """With script the page shows the plan by itself; without, the reader looks again."""
    ready = page.get_by_text("This plan has not been sent out yet").first
    for _ in range(PLAN_MS // 2000):
        if ready.is_visible():
            return
        page.wait_for_timeout(2000)
        page.reload()
    expect(ready).to_be_visible()


@pytest.mark.parametrize("way", WAYS)
def test_plan_a_workday(sample: Site, opened, way):
    page = opened(sample, "/", **way)
    nav(page, "Days")
    page.locator("main").get_by_role("link", name=re.compile(r"^[A-Z]\w+day \d+")).first.click()
    day = page.url
    page.get_by_role("button", name=re.compile("Plan (this day|again)")).click()
    assert page.url == day
    expect(page.get_by_text("A new plan has been asked for.")).to_be_visible()
    wait_for_the_plan(page)
    expect(page.get_by_text("jobs fit").first).to_be_visible()


@pytest.mark.parametrize("way", WAYS)
def test_see_who_last_worked_a_tree(sample: Site, opened, way):
    page = opened(sample, "/", **way)
    nav(page, "Trees")
    first = page.locator("main a.tag").first
    tag = first.inner_text()
    page.locator("main input[type=search], main input[name=q]").first.fill(tag)
    page.keyboard.press("Enter")
    page.locator("main a.tag", has_text=tag).first.click()
    expect(page.get_by_role("heading", name="Last hands")).to_be_visible()


@pytest.mark.parametrize("way", WAYS)
def test_see_the_seasons_load_and_open_its_figure(sample: Site, opened, way):
    page = opened(sample, "/days", **way)
    nav(page, "Season")
    expect(page.get_by_role("heading", level=1)).to_contain_text("weeks")
    number = page.locator("main .lead summary, main .lead a").first
    number.click()
    expect(page.get_by_text("hours", exact=False).first).to_be_visible()
