"""The club itself, its sites and benches."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from collection.models import Bench, Club, Site
from collection.queries.access import Actor, club_of
from collection.queries.errors import not_found
from collection.queries.mail_times import MailTimes, mail_times
from collection.queries.programme import CHOICES
from collection.queries.records.base import record, records
from collection.queries.slices import Slice, Wanted


@dataclass(frozen=True, slots=True)
class WeeksLater:
    """The club's correction of windows in whole weeks, by what a window hangs on."""

    W: int
    G: int
    A: int
    D: int
    C: int


@dataclass(frozen=True, slots=True)
class Choices:
    """What the club chose where sources disagree."""

    azalea_rests_after_repot: bool
    long_season: bool


@dataclass(frozen=True, slots=True)
class ClubRecord:
    """The club; frost dates are "MM-DD", empty where frost never comes."""

    id: int
    version: int
    name: str
    zone: str
    latitude: float
    longitude: float
    altitude_m: float
    last_frost: str
    first_frost: str
    weeks_later: WeeksLater
    inches: bool
    choices: Choices
    mails: MailTimes
    season_waits: bool


@dataclass(frozen=True, slots=True)
class SiteRecord:
    """Where trees stand: the club's ground, a member's home, a show."""

    id: int
    version: int
    name: str
    kind: Literal["ground", "home", "show"]
    address: str
    retired: bool


@dataclass(frozen=True, slots=True)
class BenchRecord:
    """A table or shelf in a site; ``weeks_later`` is 1 in shade, -1 under glass."""

    id: int
    version: int
    site_id: int
    name: str
    weeks_later: int
    retired: bool


def club_record(actor: Actor) -> ClubRecord:
    """The actor's club."""
    club: Club = club_of(actor)
    later = {anchor: int(club.weeks_later.get(anchor, 0)) for anchor in ("W", "G", "A", "D", "C")}
    chosen = {name: bool(club.settings.get(name, usual)) for name, usual in CHOICES.items()}
    return record(
        ClubRecord,
        club,
        weeks_later=WeeksLater(**later),
        choices=Choices(**chosen),
        mails=mail_times(club),
        season_waits=club.season_asked_at is not None,
    )


def _site(actor: Actor, site: Site) -> dict[str, object]:
    seen = actor.plans or site.kind != Site.Kind.HOME
    return {"retired": site.retired_at is not None, "address": site.address if seen else ""}


def site_records(actor: Actor, wanted: Wanted) -> Slice[SiteRecord]:
    """The club's sites by name; the address of somebody's home is for coordinators."""
    rows = Site.objects.filter(club_id=actor.club_id)
    return records(SiteRecord, rows, ("name", "id"), wanted, lambda site: _site(actor, site))


def site_record(actor: Actor, site_id: int) -> SiteRecord:
    """One site.

    Raises:
        Refused: ``not_found``.
    """
    row = Site.objects.filter(club_id=actor.club_id, pk=site_id).first()
    if row is None:
        raise not_found()
    return record(SiteRecord, row, **_site(actor, row))


def bench_records(actor: Actor, wanted: Wanted, *, site: int | None = None) -> Slice[BenchRecord]:
    """The club's benches by name, or those of one site."""
    rows = Bench.objects.filter(club_id=actor.club_id)
    if site is not None:
        rows = rows.filter(site_id=site)
    return records(
        BenchRecord, rows, ("name", "id"), wanted, lambda bench: {"retired": bench.retired_at is not None}
    )


def bench_record(actor: Actor, bench_id: int) -> BenchRecord:
    """One bench.

    Raises:
        Refused: ``not_found``.
    """
    row = Bench.objects.filter(club_id=actor.club_id, pk=bench_id).first()
    if row is None:
        raise not_found()
    return record(BenchRecord, row, retired=row.retired_at is not None)
