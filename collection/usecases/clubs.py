"""Founding a club and its places."""

from __future__ import annotations

from datetime import date
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.db import transaction

from collection.models import Account, Bench, Club, Contact, Member, Site
from collection.queries.access import Actor, must_plan
from collection.queries.errors import Refused
from collection.usecases.edit import created


def create_club(
    *,
    name: str,
    latitude: float,
    zone: str,
    coordinator: str,
    email: str,
    password: str | None,
    today: date,
    longitude: float = 0.0,
    altitude_m: float = 0.0,
    last_frost: str = "",
    first_frost: str = "",
    sample: bool = False,
    door: str = "command",
) -> Actor:
    """Found a club with its first coordinator, who is its club admin too, and return him as the actor.

    Raises:
        Refused: ``club_name_taken``, ``zone_unknown``, ``latitude_range`` or ``month_day`` for a frost date.
    """
    _check_place(latitude, zone, last_frost, first_frost)
    if Club.objects.filter(name__iexact=name.strip()).exists():
        raise Refused("club_name_taken", kind="conflict", field="name", name=name)
    with transaction.atomic():
        club = Club.objects.create(
            name=name,
            latitude=latitude,
            longitude=longitude,
            altitude_m=altitude_m,
            zone=zone,
            last_frost=last_frost,
            first_frost=first_frost,
            sample=sample,
        )
        account = Account.objects.filter(email=email.lower()).first()
        account = account or Account.objects.create_user(email, password)
        member = Member.objects.create(
            club=club, account=account, name=coordinator, role=Member.Role.ADMIN, active_from=today
        )
        contact = Contact.objects.create(club=club, member=member, email=email)
        actor = Actor(club.pk, member.pk, member.role, member.name, door)
        created(club, actor, "name", "latitude", "zone")
        created(member, actor, "name", "role")
        created(contact, actor, "email")
    return actor


def check_zone(zone: str) -> None:
    """Refuse what is not a time zone: ``zone_unknown``."""
    try:
        ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError):
        raise Refused("zone_unknown", field="zone", zone=zone) from None


def _check_place(latitude: float, zone: str, *frosts: str) -> None:
    if not -90 <= latitude <= 90:
        raise Refused("latitude_range", field="latitude", latitude=latitude)
    check_zone(zone)
    for text in frosts:
        if text:
            try:
                date.fromisoformat(f"2027-{text}")
            except ValueError:
                raise Refused("month_day", field="frost", text=text) from None


def add_site(*, actor: Actor, name: str, kind: str = "ground", address: str = "") -> int:
    """Add a place where trees stand, or return the one of that name.

    Raises:
        Refused: ``coordinators_only`` or ``site_kind``.
    """
    must_plan(actor)
    if kind not in Site.Kind.values:
        raise Refused("site_kind", field="kind", given=kind)
    with transaction.atomic():
        site, made = Site.objects.get_or_create(
            club_id=actor.club_id, name=name, defaults={"kind": kind, "address": address}
        )
        if made:
            created(site, actor, "name", "kind")
    return site.pk


def add_bench(*, actor: Actor, site_id: int, name: str) -> int:
    """Add a bench to a site of the club, or return the one of that name."""
    must_plan(actor)
    with transaction.atomic():
        site = Site.objects.filter(club_id=actor.club_id, pk=site_id).first()
        if site is None:
            raise Refused("not_found", kind="not_found")
        bench, made = Bench.objects.get_or_create(club_id=actor.club_id, name=name, defaults={"site": site})
        if made:
            created(bench, actor, "name", "site")
    return bench.pk
