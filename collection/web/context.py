"""What every page shows: the club's name, the person, the words of the navigation."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest
from django.urls import reverse

# (address name, word, first part of the path that belongs to it)
NAVIGATION = (
    ("season", "Season", "season"),
    ("days", "Days", "days"),
    ("trees", "Trees", "trees"),
    ("people", "People", "people"),
    ("wire", "Wire", "wire"),
)

# What lies under a word besides its own part of the path.
SEASON_TOO = ("", "programme", "estimate", "bends", "club", "import")
TREES_TOO = ("jobs", "sittings", "care", "branches", "rounds")
BELONGS = dict.fromkeys(SEASON_TOO, "season") | dict.fromkeys(TREES_TOO, "trees")


@dataclass(frozen=True, slots=True)
class NavItem:
    """One word of the navigation."""

    label: str
    url: str
    current: bool


@dataclass(frozen=True, slots=True)
class House:
    """What ``base.html`` reads."""

    club_name: str
    theme: str
    nav: tuple[NavItem, ...]
    signed_in_as: str
    you_url: str
    sign_out_url: str
    sign_in_url: str
    club_url: str
    messages_url: str


def house(request: HttpRequest) -> dict[str, Any]:
    """The frame of the page; without words and names for somebody not signed in."""
    actor = getattr(request, "actor", None)
    first = request.path.strip("/").partition("/")[0]
    nav = tuple(
        NavItem(label, reverse(name), part == BELONGS.get(first, first)) for name, label, part in NAVIGATION
    )
    account: Any = getattr(request, "user", None)
    signed_in = bool(account and account.is_authenticated)
    theme = account.theme if signed_in else ""
    return {
        "house": House(
            club_name=getattr(request, "club_name", ""),
            theme=theme,
            nav=nav if actor else (),
            signed_in_as=actor.name if actor else account.email if signed_in else "",
            you_url=reverse("you") if actor else "",
            sign_out_url=reverse("sign-out"),
            sign_in_url=reverse("sign-in"),
            club_url=reverse("club") if actor and actor.plans else "",
            messages_url=reverse("messages") if actor else "",
        )
    }
