"""Where trees stand: the club's sites and benches, added, changed, retired and brought back."""

from __future__ import annotations

from typing import Any

from django.db import transaction
from django.utils import timezone

from collection.models import Bench, Site, Tree, Workday
from collection.queries.access import Actor, must_plan
from collection.queries.errors import Refused, not_found
from collection.usecases.edit import created, edit
from collection.usecases.season_asked import ask_again

LONGEST_SITE, LONGEST_BENCH, LONGEST_ADDRESS = 120, 60, 200


def new_site(*, actor: Actor, name: str, kind: str = "ground", address: str = "") -> int:
    """Add a site of the club and return its id.

    Raises:
        Refused: ``coordinators_only``, ``site_name_missing``, ``site_name_taken``, ``address_long`` or
            ``site_kind``.
    """
    must_plan(actor)
    fields = _site_fields(actor, name, kind, address)
    with transaction.atomic():
        site = Site.objects.create(club_id=actor.club_id, **fields)
        created(site, actor, "name", "kind", "address")
    return site.pk


def change_site(*, actor: Actor, site_id: int, version: int, name: str, kind: str, address: str) -> None:
    """Change a site's name, kind and address.

    Raises:
        Refused: As ``new_site``; ``not_found`` or ``stale``.
    """
    must_plan(actor)
    site = _site(actor, site_id)
    edit(site, version, _site_fields(actor, name, kind, address, but=site.pk), actor)


def retire_site(*, actor: Actor, site_id: int, version: int) -> None:
    """Take a site off every list; what happened there stays.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``site_in_use`` (trees), ``site_has_days`` (workdays
            ahead), ``site_only_ground`` or ``stale``.
    """
    must_plan(actor)
    site = _site(actor, site_id)
    if trees := Tree.objects.filter(site=site, archived_at=None).count():
        raise Refused("site_in_use", kind="conflict", trees=trees, name=site.name)
    if days := Workday.objects.filter(site=site, state__in=["draft", "open", "sent"]).count():
        raise Refused("site_has_days", kind="conflict", days=days, name=site.name)
    grounds = Site.objects.filter(club_id=actor.club_id, kind=Site.Kind.GROUND, retired_at=None)
    if site.kind == Site.Kind.GROUND and not grounds.exclude(pk=site.pk).exists():
        raise Refused("site_only_ground", kind="conflict", name=site.name)
    edit(site, version, {"retired_at": timezone.now()}, actor)


def bring_site_back(*, actor: Actor, site_id: int, version: int) -> None:
    """Put a retired site back on the lists."""
    must_plan(actor)
    edit(_site(actor, site_id), version, {"retired_at": None}, actor)


def new_bench(*, actor: Actor, site_id: int, name: str, weeks_later: int = 0) -> int:
    """Add a bench to a site and return its id.

    Args:
        actor: A coordinator or club admin.
        site_id: A site of the club.
        name: Its name, the club's only bench of that name.
        weeks_later: 1 in shade, -1 under glass or a roof.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``bench_name_missing``, ``bench_name_taken`` or
            ``bench_weeks``.
    """
    must_plan(actor)
    site = _site(actor, site_id)
    fields = _bench_fields(actor, name, weeks_later)
    with transaction.atomic():
        bench = Bench.objects.create(club_id=actor.club_id, site=site, **fields)
        created(bench, actor, "name", "site_id", "weeks_later")
    return bench.pk


def change_bench(
    *, actor: Actor, bench_id: int, version: int, name: str, weeks_later: int, site_id: int | None = None
) -> bool:
    """Change a bench; True when windows of its trees move, so that the season is asked for again.

    Raises:
        Refused: As ``new_bench``; ``bench_in_use`` when it would go to another site with trees on it.
    """
    must_plan(actor)
    bench = _bench(actor, bench_id)
    fields = _bench_fields(actor, name, weeks_later, but=bench.pk)
    if site_id is not None and site_id != bench.site_id:
        fields["site"] = _site(actor, site_id)
        if trees := Tree.objects.filter(bench=bench, archived_at=None).count():
            raise Refused("bench_in_use", kind="conflict", field="site", trees=trees, name=bench.name)
    before = bench.weeks_later
    with transaction.atomic():
        edit(bench, version, fields, actor)
        moved = bench.weeks_later != before and Tree.objects.filter(bench=bench, archived_at=None).exists()
        if moved:
            ask_again(actor.club_id)
    return moved


def retire_bench(*, actor: Actor, bench_id: int, version: int) -> None:
    """Take a bench off every list; what happened on it stays.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``bench_in_use`` or ``stale``.
    """
    must_plan(actor)
    bench = _bench(actor, bench_id)
    if trees := Tree.objects.filter(bench=bench, archived_at=None).count():
        raise Refused("bench_in_use", kind="conflict", trees=trees, name=bench.name)
    edit(bench, version, {"retired_at": timezone.now()}, actor)


def bring_bench_back(*, actor: Actor, bench_id: int, version: int) -> None:
    """Put a retired bench back on the lists."""
    must_plan(actor)
    edit(_bench(actor, bench_id), version, {"retired_at": None}, actor)


def _site(actor: Actor, site_id: int) -> Site:
    site = Site.objects.filter(club_id=actor.club_id, pk=site_id).first()
    if site is None:
        raise not_found()
    return site


def _bench(actor: Actor, bench_id: int) -> Bench:
    bench = Bench.objects.filter(club_id=actor.club_id, pk=bench_id).first()
    if bench is None:
        raise not_found()
    return bench


def _site_fields(actor: Actor, name: str, kind: str, address: str, but: int = 0) -> dict[str, Any]:
    name, address = " ".join(name.split()), address.strip()
    if not name or len(name) > LONGEST_SITE:
        raise Refused("site_name_missing", field="name", most=LONGEST_SITE)
    if len(address) > LONGEST_ADDRESS:
        raise Refused("address_long", field="address", most=LONGEST_ADDRESS)
    if kind not in Site.Kind.values:
        raise Refused("site_kind", field="kind", given=kind)
    if Site.objects.filter(club_id=actor.club_id, name__iexact=name).exclude(pk=but).exists():
        raise Refused("site_name_taken", kind="conflict", field="name", name=name)
    return {"name": name, "kind": kind, "address": address}


def _bench_fields(actor: Actor, name: str, weeks_later: int, but: int = 0) -> dict[str, Any]:
    name = " ".join(name.split())
    if not name or len(name) > LONGEST_BENCH:
        raise Refused("bench_name_missing", field="name", most=LONGEST_BENCH)
    if weeks_later not in (-1, 0, 1):
        raise Refused("bench_weeks", field="weeks_later")
    if Bench.objects.filter(club_id=actor.club_id, name__iexact=name).exclude(pk=but).exists():
        raise Refused("bench_name_taken", kind="conflict", field="name", name=name)
    return {"name": name, "weeks_later": weeks_later}
