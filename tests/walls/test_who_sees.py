"""Who is shown how a person is reached, what he says of himself, and what went wrong.

No list of words to look for: each page is asked twice, and between the two only the private fact differs. A
page that differs shows it. So a page that is added later is seen by itself.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from collection import models
from tests.walls.asking import Fill, Way, alike, taken_back, ways
from tests.walls.conftest import House

RANDOM = re.compile(rb"[0-9a-f]{32}")
PAGES = [way for way in ways(("GET",)) if "{=secret}" not in way.cell.path]


def contact(house: House) -> None:
    """Another e-mail and telephone number of the member."""
    row = models.Contact.objects.filter(member_id=house.ours.ids["member"])
    row.update(email="kept.close@example.org", telephone="0999 735 153")


def declaration(house: House) -> None:
    """The member says no where he said yes."""
    models.Declaration.objects.filter(member_id=house.ours.ids["member"]).update(answer=False)


def incident(house: House) -> None:
    """Another near miss."""
    models.Incident.objects.filter(club=house.ours.club).update(what="The ladder slipped.")


def shown(house: House, role: str, fact: Callable[[House], None], *, leads: bool = False) -> set[str]:
    """Names of the addresses where somebody of a role can tell that the fact is another one."""
    found = set()
    for way in PAGES:
        with taken_back():
            models.Workday.objects.filter(pk=house.ours.ids["day"]).update(
                lead_id=house.me(role) if leads else None
            )
            before = _seen(way, house, role)
            fact(house)
            if _seen(way, house, role) != before:
                found.add(way.cell.name)
    return found


def _seen(way: Way, house: House, role: str) -> object:
    answer = way.ask(house.browser(role), Fill(house.ours, me=house.me(role)))
    status, _, _, content = alike(answer)
    return status, RANDOM.sub(b"", content)


@pytest.mark.parametrize("fact", [contact, declaration, incident])
@pytest.mark.parametrize("role", ["member", "bench_lead"])
def test_other_members_see_nothing_private(role: str, fact: Callable[[House], None], house: House):
    assert shown(house, role, fact) == set()


# The named lead of a coming day sees those of the people who come; nobody's near misses.
LEADS = {
    contact: {"person"},
    declaration: {"people", "person"},
    incident: set(),
}


@pytest.mark.parametrize("fact", LEADS)
def test_the_named_lead_of_a_day_sees_those_who_come(fact: Callable[[House], None], house: House):
    assert shown(house, "bench_lead", fact, leads=True) == LEADS[fact]


COORDINATORS = {
    contact: {"api-member-contact", "download-file", "person", "person-contact"},
    # A bend's helpers are ranked by what they say of themselves.
    declaration: {
        "api-bend-helpers",
        "api-member-declaration",
        "api-member-declarations",
        "bend",
        "download-file",
        "people",
        "person",
    },
    incident: set(),
}


@pytest.mark.parametrize("fact", COORDINATORS)
def test_coordinators_see_them_where_they_need_them(fact: Callable[[House], None], house: House):
    assert shown(house, "coordinator", fact) == COORDINATORS[fact]
