"""Every page a person can reach by links, one of each kind."""

from __future__ import annotations

import re
from collections import deque
from urllib.parse import urljoin, urlsplit

import requests
from django.urls import Resolver404, resolve

from tests.browser.houses import Person, Site

LINK = re.compile(r'<a\b[^>]*?\bhref="([^"#]+)')
TOKEN = re.compile(r'name="csrfmiddlewaretoken" value="([^"]+)"')
# Kept apart by what follows the question mark too: these show other things there.
SOME_OF_EACH = 2


def browser_of(site: Site, person: Person) -> requests.Session:
    """Somebody signed in, without a real browser."""
    session = requests.Session()
    page = session.get(site.url + "/sign-in", timeout=30)
    token = TOKEN.search(page.text)
    assert token
    values = {"login": person.email, "password": person.password, "csrfmiddlewaretoken": token[1]}
    answer = session.post(site.url + "/sign-in", data=values, timeout=30)
    assert urlsplit(answer.url).path in ("/season", "/you"), answer.url
    return session


def pages_of(site: Site, person: Person) -> dict[str, list[str]]:
    """Addresses (with query) by the name of their page, at most two of each, found from the season page on.

    Every link that is followed must lead somewhere: an answer other than 200 fails.
    """
    session = browser_of(site, person)
    found: dict[str, list[str]] = {}
    waiting, seen = deque(["/season"]), {"/season"}
    while waiting:
        path = waiting.popleft()
        try:
            name = str(resolve(urlsplit(path).path).view_name)
        except Resolver404:
            continue
        if len(found.get(name, [])) >= SOME_OF_EACH:
            continue
        answer = session.get(site.url + path, timeout=60)
        assert answer.status_code == 200, (path, answer.status_code)
        if not answer.headers["Content-Type"].startswith("text/html"):
            continue
        found.setdefault(name, []).append(path)
        for link in LINK.findall(answer.text):
            full = urlsplit(urljoin(site.url + path, link.replace("&amp;", "&")))
            if f"{full.scheme}://{full.netloc}" != site.url:
                continue
            there = full.path + (f"?{full.query}" if full.query else "")
            if there not in seen:
                seen.add(there)
                waiting.append(there)
    return found
