"""A club's own facts and places as its coordinators read and change them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from django.db.models import Count, Q, QuerySet

from collection.craft.season import ANCHORS
from collection.models import Bench, Club, Site
from collection.queries.access import Actor, club_of, must_plan
from collection.queries.errors import not_found
from collection.queries.mail_times import MailTimes, mail_times
from collection.queries.programme import CHOICES

STANDING = Count("trees", filter=Q(trees__archived_at=None), distinct=True)


@dataclass(frozen=True, slots=True)
class ClubSheet:
    """A club's facts as they are kept; frost dates are "MM-DD", empty for never.

    ``season_waits`` is true while the season waits to be worked out again.
    """

    name: str
    zone: str
    latitude: float
    longitude: float
    altitude_m: float
    last_frost: str
    first_frost: str
    weeks_later: Mapping[str, int]
    inches: bool
    choices: Mapping[str, bool]
    mails: MailTimes
    version: int
    season_waits: bool


@dataclass(frozen=True, slots=True)
class BenchRow:
    """A bench with the trees that stand on it now."""

    id: int
    name: str
    site_id: int
    site: str
    weeks_later: int
    trees: int
    version: int
    retired: bool


@dataclass(frozen=True, slots=True)
class SiteRow:
    """A site with the trees that stand there now, on its benches or beside them."""

    id: int
    name: str
    kind: str
    address: str
    trees: int
    version: int
    retired: bool
    benches: tuple[BenchRow, ...]


def club_sheet(actor: Actor) -> ClubSheet:
    """The club's facts, for those who may change them.

    Raises:
        Refused: ``coordinators_only``.
    """
    must_plan(actor)
    club = club_of(actor)
    return ClubSheet(
        club.name,
        club.zone,
        club.latitude,
        club.longitude,
        club.altitude_m,
        club.last_frost,
        club.first_frost,
        {anchor: int(club.weeks_later.get(anchor, 0)) for anchor in ANCHORS},
        club.inches,
        {name: bool(club.settings.get(name, usual)) for name, usual in CHOICES.items()},
        mail_times(club),
        club.version,
        club.season_asked_at is not None,
    )


def season_waits(club_id: int) -> bool:
    """Whether a club's season waits to be worked out again."""
    return Club.objects.filter(pk=club_id).exclude(season_asked_at=None).exists()


def site_rows(actor: Actor) -> tuple[SiteRow, ...]:
    """Every site with its benches, retired ones last: two queries.

    Raises:
        Refused: ``coordinators_only``.
    """
    must_plan(actor)
    benches: dict[int, list[BenchRow]] = {}
    for bench in _benches(actor):
        benches.setdefault(bench.site_id, []).append(_bench_row(bench))
    rows = [_site_row(site, tuple(benches.get(site.pk, ()))) for site in _sites(actor)]
    return tuple(sorted(rows, key=lambda row: (row.retired, row.kind != "ground", row.name.casefold())))


def site_row(actor: Actor, site_id: int) -> SiteRow:
    """One site, without its benches.

    Raises:
        Refused: ``coordinators_only`` or ``not_found``.
    """
    must_plan(actor)
    site = _sites(actor).filter(pk=site_id).first()
    if site is None:
        raise not_found()
    return _site_row(site, ())


def bench_row(actor: Actor, bench_id: int) -> BenchRow:
    """One bench.

    Raises:
        Refused: ``coordinators_only`` or ``not_found``.
    """
    must_plan(actor)
    bench = _benches(actor).filter(pk=bench_id).first()
    if bench is None:
        raise not_found()
    return _bench_row(bench)


def _sites(actor: Actor) -> QuerySet[Site]:
    return Site.objects.filter(club_id=actor.club_id).annotate(standing=STANDING)


def _benches(actor: Actor) -> QuerySet[Bench]:
    rows = Bench.objects.filter(club_id=actor.club_id).select_related("site").annotate(standing=STANDING)
    return rows.order_by("name", "pk")


def _site_row(site: Site, benches: tuple[BenchRow, ...]) -> SiteRow:
    trees: int = site.standing  # type: ignore[attr-defined]
    retired = site.retired_at is not None
    return SiteRow(site.pk, site.name, site.kind, site.address, trees, site.version, retired, benches)


def _bench_row(bench: Bench) -> BenchRow:
    return BenchRow(
        bench.pk,
        bench.name,
        bench.site_id,
        bench.site.name,
        bench.weeks_later,
        bench.standing,  # type: ignore[attr-defined]
        bench.version,
        bench.retired_at is not None,
    )
