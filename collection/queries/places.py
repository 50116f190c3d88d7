"""Where trees stand and days are held."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Count

from collection.models import Site
from collection.queries.access import Actor
from collection.queries.errors import Refused


@dataclass(frozen=True, slots=True)
class Place:
    """A site by its id and name."""

    id: int
    name: str


def sites(actor: Actor) -> list[Place]:
    """The club's sites in use: grounds first, and among them the one where most trees stand."""
    rows = Site.objects.filter(club_id=actor.club_id, retired_at=None).annotate(held=Count("trees"))
    ordered = sorted(rows, key=lambda s: (s.kind != Site.Kind.GROUND, -s.held, s.pk))
    return [Place(site.pk, site.name) for site in ordered]


def site_named(actor: Actor, name: str = "") -> Place:
    """The site of that name, or the club's ground when no name is given.

    Raises:
        Refused: ``site_unknown`` naming the sites there are.
    """
    known = sites(actor)
    for site in known:
        if not name or site.name.casefold() == name.casefold():
            return site
    raise Refused("site_unknown", kind="not_found", field="site", known=", ".join(s.name for s in known))
