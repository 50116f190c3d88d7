"""What lies ahead on the day of loading: workdays with offers, a heavy bend, consent, a wire to look at."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta

from collection.craft.bite import bites
from collection.models import Member, Tree, Wire
from collection.queries.people import declared
from collection.usecases import care, trees, workdays
from collection.usecases.gear import set_stock
from collection.usecases.sample.files import Rhythm
from collection.usecases.sample.gear import Gear
from collection.usecases.sample.hands import Hand, who_says_yes
from collection.usecases.sample.past import Story

# A workday is called at least three days ahead; sign-up runs ten weeks ahead and thins out.
NOTICE_DAYS = 3
AHEAD_WEEKS = 10
SIGNED_UP = (1.0, 0.9, 0.8, 0.7, 0.6, 0.5)
LOOK_IN_DAYS = 4
CONSENT_DAYS = 240


def next_workday(today: date, weekday: int) -> date:
    """The first such weekday at least three days ahead."""
    first = today + timedelta(days=NOTICE_DAYS)
    return first + timedelta(days=(weekday - first.weekday()) % 7)


def days_ahead(today: date, rhythm: Rhythm) -> list[date]:
    """The workdays of the next ten weeks; none in the quiet weeks round New Year."""
    first = next_workday(today, rhythm.weekday)
    days = [first + timedelta(weeks=weeks) for weeks in range(0, AHEAD_WEEKS + 1, rhythm.every_weeks)]
    return [day for day in days if not rhythm.rests(day)]


def days_behind(today: date, rhythm: Rhythm, weeks: int) -> list[date]:
    """The workdays of the past weeks, oldest first, in step with those ahead."""
    first = next_workday(today, rhythm.weekday)
    back = range(weeks // rhythm.every_weeks * rhythm.every_weeks, 0, -rhythm.every_weeks)
    days = [first - timedelta(weeks=number) for number in back]
    return [day for day in days if day < today and not rhythm.rests(day)]


def call_workdays(story: Story) -> list[int]:
    """Workdays for the next ten weeks with the offers made so far; returns their ids, soonest first."""
    rhythm = story.files.rhythm
    ids = []
    for number, on in enumerate(days_ahead(story.today, rhythm)):
        aiders = declared([hand.member_id for hand in story.hands], "first_aid", on)
        day_id = workdays.create_workday(
            actor=story.actor,
            site_id=story.site_ids[rhythm.site],
            on=on,
            opens=rhythm.opens,
            closes=rhythm.closes,
            breaks=[rhythm.pause],
            lead_id=story.actor.member_id,
            first_aider_id=min(aiders) if aiders else None,
            bring=rhythm.bring,
        )
        _sign_up(story, day_id, on, SIGNED_UP[min(number, len(SIGNED_UP) - 1)])
        ids.append(day_id)
    return ids


def _sign_up(story: Story, day_id: int, on: date, part: float) -> None:
    """Yes with hours from the usual number, a few perhaps and no; the volunteer of the tour always comes."""
    rhythm = story.files.rhythm
    said_yes = who_says_yes(story.hands, round(rhythm.hands * part), story.files.founder.name, story.rng)
    if part == 1.0 and all(hand.name != story.files.volunteer for hand in said_yes):
        said_yes.append(next(hand for hand in story.hands if hand.name == story.files.volunteer))
    for hand in said_yes:
        arrives, leaves = _hours(story, hand)
        workdays.offer_hours(
            actor=story.actor,
            workday_id=day_id,
            member_id=hand.member_id,
            answer="yes",
            arrives=arrives,
            leaves=leaves,
        )
    others = [hand for hand in story.hands if hand not in said_yes]
    for hand, answer in zip(
        story.rng.sample(others, min(3, len(others))), ("perhaps", "no", "no"), strict=False
    ):
        workdays.offer_hours(actor=story.actor, workday_id=day_id, member_id=hand.member_id, answer=answer)


def _hours(story: Story, hand: Hand) -> tuple[time, time]:
    """From when to when somebody comes: most the whole day, some late or not to the end."""
    rhythm = story.files.rhythm
    if hand.name in (story.files.founder.name, story.files.volunteer):
        return rhythm.opens, rhythm.closes
    late, early = story.rng.choice(((0, 0), (0, 0), (0, 0), (60, 0), (0, 90), (30, 60)))
    return _moved(rhythm.opens, late), _moved(rhythm.closes, -early)


def _moved(at: time, minutes: int) -> time:
    return (datetime.combine(date(2000, 1, 1), at) + timedelta(minutes=minutes)).time()


def look_soon(story: Story, gear: Gear) -> int:
    """Look at a wire so long ago that it is due again in a few days; returns the wire."""
    still_on = Wire.objects.filter(pk__in=gear.wire_ids.values(), off=None).select_related("tree")
    wire = min(
        still_on, key=lambda wire: (bites()[wire.tree.group].repeat_days, wire.tree.accession, wire.label)
    )
    back = bites()[wire.tree.group].repeat_days - LOOK_IN_DAYS
    seen_on = story.today - timedelta(days=max(back, 1))
    trees.look(
        actor=story.actor,
        wire_id=wire.pk,
        on=seen_on,
        seen="snug",
        look_next=story.today + timedelta(days=LOOK_IN_DAYS),
    )
    return wire.pk


def weigh_the_rack(story: Story) -> None:
    """Somebody has weighed the wire on the club's rack."""
    for metal, gauge_mm, grams in story.files.rack:
        set_stock(actor=story.actor, metal=metal, gauge_mm=gauge_mm, grams=grams)


def give_consent(story: Story) -> None:
    """Owners agree to the season's work until a day; the last one asked has not answered yet."""
    owned = list(
        Tree.objects.filter(club_id=story.actor.club_id, care__role="owner")
        .order_by("accession")
        .values_list("pk", "care__member_id")
    )
    for number, (tree_id, member_id) in enumerate(owned[:-1]):
        care.set_care(
            actor=story.actor,
            tree_id=tree_id,
            member_id=member_id,
            consent_until=story.today + timedelta(days=CONSENT_DAYS),
            ask_first=number == 0,
        )


def volunteer_of(story: Story) -> Member:
    """The member who signs in as the sample volunteer."""
    return Member.objects.get(club_id=story.actor.club_id, name=story.files.volunteer)
