"""A person's own page."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from types import SimpleNamespace

from django.forms import Form
from django.urls import reverse

from collection.queries.accounts import ClubChoice, SignIn
from collection.queries.labels import dated
from collection.queries.person import Person
from collection.queries.requests import Request
from collection.web.forms.people import HabitForm, SaysForm
from collection.web.pages import people
from collection.web.pages.parts import Action, Choose, Option, hidden, lead, number_of, page
from collection.web.pages.requests import asked_rows, taken_rows

THEMES = (("", "As the device says"), ("light", "Light"), ("dark", "Dark"))


def you_page(
    found: Person,
    mine: SignIn,
    club_name: str,
    today: date,
    filled: Mapping[str, Form],
    requests: Iterable[Request] = (),
) -> SimpleNamespace:
    """Everything ``person/you.html`` reads; ``filled`` holds a small form that was refused."""
    return page(
        title=found.name,
        lead=lead(f"Your own page in {club_name}. You sign in as {mine.email}."),
        reach=people.reach_part(found),
        reach_actions=people.reach_actions(found),
        says=[people.says_row(said) for said in found.says or ()],
        says_form=_says_form(found, filled),
        weekly=[people.weekly_row(row, mine=True) for row in found.weekly],
        no_weekly="You have written down no hours outside workdays.",
        hours_form=SimpleNamespace(
            url=reverse("you-hours"),
            form=filled.get("hours") or HabitForm(initial={"starts": today}, auto_id="habit_%s"),
            words="Add weekly hours",
        ),
        asked=asked_rows(requests),
        coming=[*taken_rows(requests), *(people.coming_row(row, mine=True) for row in found.coming)],
        no_coming="You have not answered for a coming day. Open the day and say whether you come.",
        kept=[people.kept_row(row) for row in found.kept],
        no_kept="No tree is written down as yours.",
        kept_actions=people.kept_actions(found),
        worked=[people.worked_row(row) for row in found.worked],
        no_worked="Sittings you take part in will be listed here.",
        this_year=number_of(found.this_year) if found.this_year else None,
        this_year_words=f"On record in {today.year}: ",
        skills=people.skill_rows(found),
        rest="A coordinator writes levels down. Tell yours when one is out of date.",
        mail=_mail(found),
        theme=_theme(mine),
        sign_in=[
            Action("Change your password", reverse("password-change"), plain=True),
            Action("Keys for programs", reverse("keys"), plain=True),
        ],
        clubs=[_club(club) for club in mine.clubs] if len(mine.clubs) > 1 else [],
        end=[Action("Leave the club", reverse("person-leave", args=[found.id]), plain=True)],
        foot_left=f"Member since {dated(found.active_from)}.",
        foot_right="",
    )


def _says_form(found: Person, filled: Mapping[str, Form]) -> SimpleNamespace:
    return SimpleNamespace(
        url=reverse("you-says"),
        form=filled.get("says") or SaysForm(said=found.says or (), auto_id="says_%s"),
        words="Change answers",
    )


def _club(club: ClubChoice) -> SimpleNamespace:
    there = Action("Go there", reverse("you-club"), post=True, small=True, hidden=hidden(club=club.id))
    return SimpleNamespace(name=club.name, here=club.current, actions=[] if club.current else [there])


def _mail(found: Person) -> SimpleNamespace:
    said = (
        "You get the club's mail: days, plans, wires to look at."
        if found.wants_mail
        else "You get no mail. Look in here before a workday."
    )
    words, wants = ("Send me no mail", "no") if found.wants_mail else ("Send me mail again", "yes")
    button = Action(
        words,
        reverse("you-mail"),
        post=True,
        plain=True,
        hidden=hidden(wants=wants, version=found.version),
    )
    return SimpleNamespace(said=said, actions=[button])


def _theme(mine: SignIn) -> Action:
    options = tuple(Option(value, words, value == mine.theme) for value, words in THEMES)
    return Action(
        "Keep this",
        reverse("you-theme"),
        post=True,
        plain=True,
        choose=Choose("theme", "theme", "The pages are", options),
    )
