"""Loading an invented club: its past two seasons told by running the programme, then what lies ahead.

Nothing is written except through use cases, each with the date it had then, so that the record,
the jobs and the load come out of the same code as a real club's.
"""

from __future__ import annotations

import random
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta

from django.apps import apps
from django.db import connection, transaction

from collection.models import Club, Member, Sitting
from collection.queries.access import Actor, club_of
from collection.queries.facts import facts_of
from collection.queries.people import declared, levels
from collection.queries.programme import rules_of
from collection.queries.real_work import real_work
from collection.queries.season_inputs import trees_of
from collection.usecases import members, reference, season
from collection.usecases.sample import bending, coming, files, founding, gear, walking
from collection.usecases.sample.files import ClubFiles
from collection.usecases.sample.gear import Gear
from collection.usecases.sample.hands import Hand, with_own_ways
from collection.usecases.sample.past import Story, hold_workday, home_spell

CLUBS = files.names()
PAST_WEEKS = 104
# In the past the season is worked out on every third workday, for windows that open in four weeks.
OPEN_SOON = timedelta(days=28)
# Chance that somebody's weekly hours went into a tree between two workdays (assumption).
HOME_SHARE = 0.6
HOME_MIN = (60.0, 180.0)

Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class SignIn:
    """How somebody of the sample signs in; the password is known only to who loaded it, else None."""

    name: str
    email: str
    password: str | None


@dataclass(frozen=True, slots=True)
class SampleClub:
    """A loaded sample club; ``made`` is False when it was there already."""

    club_id: int
    name: str
    made: bool
    coordinator: SignIn
    volunteer: SignIn
    sittings: int


def load(*, club: str, today: date, progress: Callable[[str], None], weeks: int = PAST_WEEKS) -> SampleClub:
    """Load one invented club with two past seasons; a club that is there already is left as it is.

    The whole club is one transaction: a load that was broken off leaves nothing behind. It is meant
    for the demo's own database, before anything else uses it.

    Args:
        club: One of ``CLUBS``.
        today: The day on which the story ends.
        progress: Called with a line of text as the work goes on.
        weeks: How many past weeks are told.

    Raises:
        ValueError: If there is no such sample club.
        Refused: ``club_name_taken`` when a real club has the name.
    """
    said = files.read(club)
    there = Club.objects.filter(name=said.name, sample=True).first()
    if there is not None:
        progress(f"{said.name} is here already.")
        return _again(there, said)
    passwords = secrets.token_urlsafe(9), secrets.token_urlsafe(9)
    with transaction.atomic():
        reference.load()
        story, worn = _begin(said, today, weeks, passwords[0], progress)
        _tell(story, worn, weeks, progress)
        email = _look_ahead(story, worn, passwords[1])
    progress(f"{said.name}: {story.told} sittings recorded in {weeks} weeks.")
    return SampleClub(
        club_id=story.actor.club_id,
        name=said.name,
        made=True,
        coordinator=SignIn(said.founder.name, said.founder.email, passwords[0]),
        volunteer=SignIn(said.volunteer, email, passwords[1]),
        sittings=story.told,
    )


def _again(club: Club, said: ClubFiles) -> SampleClub:
    volunteer = Member.objects.get(club=club, name=said.volunteer)
    return SampleClub(
        club_id=club.pk,
        name=club.name,
        made=False,
        coordinator=SignIn(said.founder.name, said.founder.email, None),
        volunteer=SignIn(said.volunteer, volunteer.contact.email, None),
        sittings=real_work(Sitting.objects.filter(club=club, remembered=False)).count(),
    )


def _begin(said: ClubFiles, today: date, weeks: int, password: str, progress: Progress) -> tuple[Story, Gear]:
    """The club as it was two years ago: founded, its sheets taken in, its people at hand."""
    start = today - timedelta(weeks=weeks)
    actor = founding.found(said, start, password)
    site_ids = founding.add_places(said, actor)
    founding.differ(said, actor)
    people = founding.take_in(actor, said.people_sheet, "people", start)
    trees = founding.take_in(actor, said.trees_sheet, "trees", start)
    habits = founding.take_in(actor, said.hours_sheet, "offers", start)
    progress(f"{said.name}: {trees} trees, {people + 1} people and {habits} weekly offers taken in.")
    ids = founding.tree_ids(actor.club_id)
    branch_ids = founding.draw_branches(said, actor, ids)
    rng = random.Random(f"{said.key} two seasons")
    story = Story(
        files=said,
        actor=actor,
        today=today,
        rng=rng,
        hands=_hands(actor, start, rng),
        facts=facts_of(trees_of(actor.club_id)),
        settings=rules_of(club_of(actor)),
        ids=ids,
        site_ids=site_ids,
        spared=frozenset(ids[wish.tree] for wish in said.bends),
    )
    return story, gear.planned(story, branch_ids)


def _hands(actor: Actor, on: date, rng: random.Random) -> list[Hand]:
    rows = Member.objects.filter(club_id=actor.club_id).order_by("name")
    ids = [member.pk for member in rows]
    known, lifters = levels(ids, on), declared(ids, "can_lift", on)
    return with_own_ways(((m.pk, m.name, known[m.pk], m.pk in lifters) for m in rows), rng)


def _tell(story: Story, worn: Gear, weeks: int, progress: Progress) -> None:
    """Fortnight by fortnight: the season worked out, wire and counts, weekly hours, the workday."""
    days = coming.days_behind(story.today, story.files.rhythm, weeks)
    counting = gear.stocktakes(story)
    for number, on in enumerate(days):
        if number % 6 == 0:
            _count_the_rows()
        if number % 3 == 0:
            season.regenerate(actor=story.actor, today=on, horizon=OPEN_SOON)
        if number % 13 == 0:
            progress(f"{story.files.name}: telling {on:%B %Y}, {story.told} sittings so far.")
        gear.tell_until(story, worn, on)
        walking.walk_until(story, on)
        while counting and counting[0] <= on:
            gear.count_again(story, counting.pop(0))
        _between_workdays(story, on)
        hold_workday(story, on, first=bending.bend_on_day, leave_one_open=on == days[-1])
    gear.tell_until(story, worn, story.today)


def _count_the_rows() -> None:
    """Tell PostgreSQL how full its tables are: it plans by that, and cannot know of rows in a transaction."""
    if connection.vendor == "postgresql":
        tables = ", ".join(
            f'"{model._meta.db_table}"' for model in apps.get_app_config("collection").get_models()
        )
        with connection.cursor() as cursor:
            cursor.execute(f"ANALYZE {tables}")


def _between_workdays(story: Story, on: date) -> None:
    """Owners at home and people who come most weeks, in the days before a workday."""
    ground = story.site_ids[story.files.rhythm.site]
    homes = founding.home_sites(story.actor.club_id)
    spells = []
    for hand in story.hands:
        home = next((pk for name, pk in homes.items() if name.endswith(hand.name)), None)
        if (home is None and hand.comes < 0.6) or story.rng.random() > HOME_SHARE:
            continue
        day = on - timedelta(days=story.rng.randint(1, 6))
        spells.append((day, hand, story.rng.uniform(*HOME_MIN), ground if home is None else home))
    for day, hand, minutes, site_id in sorted(spells, key=lambda spell: spell[0]):
        home_spell(story, hand, day, minutes, site_id)


def _look_ahead(story: Story, worn: Gear, password: str) -> str:
    """What stands open on the day of loading; returns the volunteer's address."""
    coming.give_consent(story)
    coming.weigh_the_rack(story)
    coming.look_soon(story, worn)
    walking.walk_until(story, story.today)
    season.regenerate(actor=story.actor, today=story.today)
    walking.walk_until(story, story.today)
    bend_job = bending.wish_for_bend(story)
    coming.call_workdays(story)
    bending.call_bend_day(story, bend_job)
    volunteer = coming.volunteer_of(story)
    email: str = volunteer.contact.email
    members.give_sign_in(actor=story.actor, member_id=volunteer.pk, email=email, password=password)
    return email


def new_passwords() -> list[tuple[str, str, str, str]]:
    """Give the coordinator and the volunteer of every sample club a new random password.

    Returns:
        (club, who, e-mail, password) of each; the passwords are kept nowhere in clear.
    """
    found = []
    for key in CLUBS:
        said = files.read(key)
        for who, role in ((said.founder.name, "coordinator"), (said.volunteer, "volunteer")):
            member = Member.objects.select_related("account").get(club__name=said.name, name=who)
            if member.account is not None:
                password = secrets.token_urlsafe(9)
                member.account.set_password(password)
                member.account.save(update_fields=["password"])
                found.append((said.name, f"{who}, {role}", member.account.email, password))
    return found
