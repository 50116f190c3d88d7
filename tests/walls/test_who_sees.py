"""Who is shown how a person is reached, what he says of himself, and what went wrong.

No list of words to look for: each page is asked twice, and between the two only the private fact differs. A
page that differs shows it. So a page that is added later is seen by itself.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

import pytest

from collection import models
from tests.walls.asking import Fill, Way, alike, taken_back, ways
from tests.walls.cells import ROLES
from tests.walls.conftest import House

Fact = Callable[[House, str], None]
RANDOM = re.compile(rb"[0-9a-f]{32}")
PAGES = [way for way in ways(("GET",)) if "{=secret}" not in way.cell.path]


def contact(house: House, role: str) -> None:
    """Another e-mail and telephone number of everybody but whoever asks, and other letters to them."""
    others = models.Member.objects.filter(club=house.ours.club).exclude(pk=house.me(role) or 0)
    for person in others:
        new = {"email": f"kept.{person.pk}@example.org", "telephone": f"0999 735 {person.pk}"}
        models.Contact.objects.filter(member=person).update(**new)
        models.Welcome.objects.filter(member=person).update(email=new["email"])
        models.Account.objects.filter(pk=person.account_id).update(email=new["email"])


def everybody_is_reached(house: House) -> None:
    """Everybody of the club has an e-mail and a telephone number."""
    club = house.ours.club
    for person in models.Member.objects.filter(club=club, contact=None):
        models.Contact.objects.create(
            club=club, member=person, email=f"p{person.pk}@example.org", telephone=f"0555 {person.pk}"
        )


def declaration(house: House, role: str) -> None:
    """The member says no where he said yes."""
    models.Declaration.objects.filter(member_id=house.ours.ids["member"]).update(answer=False)


def incident(house: House, role: str) -> None:
    """Another near miss."""
    models.Incident.objects.filter(club=house.ours.club).update(what="The ladder slipped.")


def shown(
    house: House, role: str, facts: Iterable[Fact], *, leads: bool = False, pages: list[Way] = PAGES
) -> dict[Fact, set[str]]:
    """For each fact, names of the addresses where somebody of a role can tell that it is another one."""
    found: dict[Fact, set[str]] = {fact: set() for fact in facts}
    with taken_back():
        everybody_is_reached(house)
        day = models.Workday.objects.filter(pk=house.ours.ids["day"])
        day.update(lead_id=house.me(role) if leads else None)
        for way in pages:
            before = _seen(way, house, role)
            for fact, names in found.items():
                with taken_back():
                    fact(house, role)
                    if _seen(way, house, role) != before:
                        names.add(way.cell.name)
    return found


def _seen(way: Way, house: House, role: str) -> object:
    answer = way.ask(house.browser(role), Fill(house.ours, me=house.me(role)))
    status, _, _, content = alike(answer)
    return status, RANDOM.sub(b"", content)


NOTHING: dict[Fact, set[str]] = {contact: set(), declaration: set(), incident: set()}
COORDINATORS = NOTHING | {
    # A day's people to telephone, and the letters that came back.
    contact: {"api-member-contact", "day", "download-file", "messages-club", "person", "person-contact"},
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
}
BY_ROLE = {"coordinator": COORDINATORS, "admin": COORDINATORS}
# The named lead of a coming day sees those of the people who come; nobody's near misses.
LEADS = NOTHING | {contact: {"person"}, declaration: {"people", "person"}}


@pytest.mark.parametrize("role", ROLES)
def test_what_is_private_is_shown_to_each_role_where_it_is_listed_and_nowhere_else(role: str, house: House):
    assert shown(house, role, NOTHING) == BY_ROLE.get(role, NOTHING)


def test_the_named_lead_of_a_day_sees_those_who_come(house: House):
    assert shown(house, "bench_lead", LEADS, leads=True) == LEADS


def test_a_page_that_starts_to_show_a_telephone_number_is_seen(house: House):
    def leak(house: House, role: str) -> None:
        contact(house, role)
        reach = models.Contact.objects.get(member_id=house.ours.ids["member"])
        models.Bench.objects.filter(pk=house.ours.ids["bench"]).update(name=reach.telephone)

    trees = [way for way in PAGES if way.cell.name == "tree"]
    assert shown(house, "member", [contact, leak], pages=trees) == {contact: set(), leak: {"tree"}}
