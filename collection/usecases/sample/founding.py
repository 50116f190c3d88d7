"""Founding an invented club: the club, its places, and its three sheets taken in by the importer."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from collection.models import Branch, Site, Tree
from collection.queries.access import Actor
from collection.usecases import branches, clubs, members, reference
from collection.usecases.importing.accept import accept
from collection.usecases.sample.files import ClubFiles

DOOR = "sample"


def found(files: ClubFiles, on: date, password: str) -> Actor:
    """Found the club with its first coordinator, who signs in with the password given."""
    founder = files.founder
    actor = clubs.create_club(
        name=files.name,
        latitude=files.latitude,
        longitude=files.longitude,
        altitude_m=files.altitude_m,
        zone=files.zone,
        last_frost=files.last_frost,
        first_frost=files.first_frost,
        coordinator=founder.name,
        email=founder.email,
        password=password,
        today=min(founder.joined, on),
        sample=True,
        door=DOOR,
    )
    me = actor.member_id or 0
    for family, level in founder.skills.items():
        members.set_skill(actor=actor, member_id=me, family=family, level=level, since=on)
    for kind, answer in [(k, True) for k in founder.says_yes] + [(k, False) for k in founder.says_no]:
        members.declare(actor=actor, member_id=me, kind=kind, answer=answer, on=on)
    return actor


def add_places(files: ClubFiles, actor: Actor) -> dict[str, int]:
    """Sites and benches; returns site ids by name."""
    ids = {
        site.name: clubs.add_site(actor=actor, name=site.name, kind=site.kind, address=site.address)
        for site in files.sites
    }
    for site, bench in files.benches:
        clubs.add_bench(actor=actor, site_id=ids[site], name=bench)
    return ids


def differ(files: ClubFiles, actor: Actor) -> None:
    """The club's own rows of the season programme."""
    for row in files.own_rows:
        reference.own_row(
            actor=actor,
            table_name="programme",
            key=row.key,
            values=row.values,
            why=row.why,
            dropped=row.dropped,
        )


def take_in(actor: Actor, sheet: Path, kind: str, on: date) -> int:
    """Take one sheet in whole through the importer; returns the rows made.

    Raises:
        Refused: ``import_has_problems`` when a row cannot be read; nothing is written then.
    """
    taken = accept(actor=actor, data=sheet.read_bytes(), file_name=sheet.name, kind=kind, today=on)
    return taken.created


def draw_branches(files: ClubFiles, actor: Actor, ids: dict[str, int]) -> dict[tuple[str, str], int]:
    """Branches of the trees that have been drawn; returns branch ids by tree and label."""
    return {
        (row.tree, row.label): branches.add_branch(
            actor=actor,
            tree_id=ids[row.tree],
            label=row.label,
            place=row.place,
            clock=row.clock,
            height_mm=row.height_mm,
            diameter_mm=row.diameter_mm,
            length_mm=row.length_mm,
            side_branches=row.side_branches,
        )
        for row in files.branches
    }


def tree_ids(club_id: int) -> dict[str, int]:
    """Tree id by accession number."""
    return dict(Tree.objects.filter(club_id=club_id).order_by("accession").values_list("accession", "pk"))


def home_sites(club_id: int) -> dict[str, int]:
    """Sites at members' homes by name."""
    return dict(Site.objects.filter(club_id=club_id, kind=Site.Kind.HOME).values_list("name", "pk"))


def branch_of(tree_id: int, label: str) -> Branch | None:
    """A drawn branch of a tree."""
    return Branch.objects.filter(tree_id=tree_id, label=label).first()
