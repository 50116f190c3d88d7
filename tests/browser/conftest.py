"""A real browser on really served sites. The browser is Debian's Chromium, or the one CHROMIUM names."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.houses import Person, Site, empty_site, sample_site

PHONE = {"width": 390, "height": 844}
LAPTOP = {"width": 1280, "height": 900}
QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
SLOW_MS = 30_000

Opener = Callable[..., Page]


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    program = os.environ.get("CHROMIUM") or shutil.which("chromium")
    assert program, "Chromium is not installed. Install the package chromium, or name it in CHROMIUM."
    with sync_playwright() as play:
        made = play.chromium.launch(executable_path=program, args=QUIET)
        yield made
        made.close()


@pytest.fixture(scope="session")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    with sample_site(tmp_path_factory.mktemp("sample")) as site:
        yield site


@pytest.fixture(scope="session")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    with empty_site(tmp_path_factory.mktemp("empty")) as site:
        yield site


@pytest.fixture(scope="session")
def keys(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Callable[[Site, Person], str]:
    """A file with the cookies of a person who has signed in, once for each."""
    folder = tmp_path_factory.mktemp("keys")
    known: dict[tuple[str, str], str] = {}

    def of(site: Site, person: Person) -> str:
        key = (site.url, person.email)
        if key not in known:
            context = browser.new_context()
            page = context.new_page()
            sign_in(page, site, person)
            known[key] = str(folder / f"{len(known)}.json")
            context.storage_state(path=known[key])
            context.close()
        return known[key]

    return of


@pytest.fixture
def opened(browser: Browser, keys: Callable[[Site, Person], str]) -> Iterator[Opener]:
    """Open a page of a site as a person: ``opened(site, "/season", person=..., phone=True)``."""
    with ExitStack() as stack:

        def open_page(
            site: Site, path: str = "/", *, person: Person | None = None, phone: bool = False, **how: Any
        ) -> Page:
            who = person or site.person("coordinator")
            context = browser.new_context(
                base_url=site.url,
                viewport=PHONE if phone else LAPTOP,
                has_touch=phone,
                storage_state=keys(site, who),
                **how,
            )
            context.set_default_timeout(SLOW_MS)
            stack.callback(context.close)
            page = context.new_page()
            page.goto(path)
            return page

        yield open_page


def sign_in(page: Page, site: Site, person: Person) -> None:
    """Through the door, as a person would."""
    page.goto(site.url + "/sign-in")
    page.get_by_label("E-mail").fill(person.email)
    page.get_by_label("Password", exact=True).fill(person.password)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(lambda url: "/sign-in" not in url)


@pytest.fixture(scope="session")
def pictures(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where pictures go: into the README's folder when KEEP_PICTURES is set, else to be thrown away."""
    if os.environ.get("KEEP_PICTURES"):
        return Path(__file__).resolve().parents[2] / "fixtures" / "pictures"
    return tmp_path_factory.mktemp("pictures")
