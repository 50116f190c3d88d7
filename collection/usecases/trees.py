"""The register: adding and changing trees, signs seen on them, wire and guys."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from django.db import IntegrityError, transaction

from collection.craft.bite import next_look
from collection.craft.reference import groups
from collection.models import Bench, Branch, Guy, Look, Member, Site, Tree, TreeEvent, TreeSign, Wire
from collection.models.tree import CONDITIONS, STAGES
from collection.queries.access import Actor, must_plan, tree_for
from collection.queries.errors import Refused, not_found
from collection.queries.wire_clock import clock_day, club_clock, used_factor
from collection.usecases.edit import created, edit
from collection.usecases.estimates import refresh_tree
from collection.usecases.gear import wire_is_off, wire_marks
from collection.usecases.season import bring_up_to_date

# What decides which jobs the programme asks for.
PROGRAMME_READS = ("acquired_on", "condition", "group", "height_mm", "stage")
LOOKS = ("loose", "snug", "marking")
# A guy wire bites like a coil: looked at every fortnight in growth (assumption).
GUY_LOOK_EVERY = timedelta(days=14)
METALS = ("copper", "aluminium")
EDITABLE = frozenset(
    {
        "acquired_on",
        "batch",
        "bench_id",
        "brought_by_id",
        "common_name",
        "condition",
        "group",
        "height_mm",
        "leave_alone_until",
        "leave_alone_why",
        "mass_kg",
        "mass_weighed",
        "may_travel",
        "name",
        "no_hard_work_until",
        "no_hard_work_why",
        "note",
        "pot",
        "pot_litres",
        "site_id",
        "species",
        "spread_mm",
        "stage",
        "style",
        "trunk_mm",
    }
)
SIZES = ("height_mm", "spread_mm", "trunk_mm", "pot_litres", "mass_kg")


def add_tree(
    *,
    actor: Actor,
    accession: str,
    group: str,
    stage: str,
    site_id: int,
    on: date,
    today: date | None = None,
    **fields: Any,
) -> int:
    """Put a tree, or a batch of like trees, on the register under its number for ever.

    With ``today`` the jobs that the programme asks for are made at once.

    Raises:
        Refused: ``coordinators_only``, ``accession_taken``, ``accession_missing``, ``group_unknown``,
            ``stage_unknown``, ``size_range``, ``bench_elsewhere`` or ``field_unknown`` ...
    """
    must_plan(actor)
    _check_fields(actor, {"group": group, "stage": stage, "site_id": site_id, **fields}, None)
    if not 1 <= len(accession.strip()) <= 30:
        raise Refused("accession_missing", field="accession")
    try:
        with transaction.atomic():
            tree = Tree.objects.create(
                club_id=actor.club_id,
                accession=accession.strip(),
                group=group,
                stage=stage,
                site_id=site_id,
                **fields,
            )
            TreeEvent.objects.create(
                club_id=actor.club_id, tree=tree, kind="in", on=on, by_id=actor.member_id
            )
            created(tree, actor, "accession", "group", "stage")
            if today is not None:
                bring_up_to_date(actor, tree, today)
    except IntegrityError:
        raise Refused("accession_taken", kind="conflict", field="accession", accession=accession) from None
    return tree.pk


def change_tree(
    *, actor: Actor, tree_id: int, version: int, today: date | None = None, **changes: Any
) -> None:
    """Change fields of a tree; a stale version is refused and nothing is written.

    With ``today`` its jobs are brought in line with the programme when group, stage, height or
    condition changed.

    Raises:
        Refused: ``coordinators_only``, ``not_found``, ``stale``, ``field_unknown`` ...
    """
    must_plan(actor)
    tree = tree_for(actor, tree_id)
    _check_fields(actor, changes, tree)
    asked_anew = any(name in changes and changes[name] != getattr(tree, name) for name in PROGRAMME_READS)
    with transaction.atomic():
        edit(tree, version, changes, actor)
        if today is not None and asked_anew and tree.archived_at is None:
            bring_up_to_date(actor, tree, today)
        refresh_tree(tree)


def _check_fields(actor: Actor, fields: Mapping[str, Any], tree: Tree | None) -> None:
    """Refuse what cannot be; ``tree`` is the row as it was, None for a new one."""
    if unknown := set(fields) - EDITABLE:
        raise Refused("field_unknown", field=sorted(unknown)[0], given=sorted(unknown)[0])
    if "group" in fields and fields["group"] not in groups():
        raise Refused("group_unknown", field="group", given=str(fields["group"]))
    if "stage" in fields and fields["stage"] not in dict(STAGES):
        raise Refused("stage_unknown", field="stage", given=str(fields["stage"]))
    if fields.get("condition", "sound") not in CONDITIONS:
        raise Refused("condition_unknown", field="condition")
    if fields.get("batch") is not None and not 2 <= fields["batch"] <= 10_000:
        raise Refused("batch_range", field="batch")
    _check_places(actor, fields, tree)
    _check_leave_alone(fields, tree)
    for name in SIZES:
        if fields.get(name) is not None and not 0 < fields[name] < 100_000:
            raise Refused("size_range", field=name, given=fields[name])


def _check_places(actor: Actor, fields: Mapping[str, Any], tree: Tree | None) -> None:
    for name, table in (("site_id", Site), ("bench_id", Bench), ("brought_by_id", Member)):
        wanted = fields.get(name)
        if wanted and not table._default_manager.filter(club_id=actor.club_id, pk=wanted).exists():
            raise not_found()
    if not {"site_id", "bench_id"} & set(fields):
        return
    site = fields.get("site_id", tree.site_id if tree else None)
    bench = fields.get("bench_id", tree.bench_id if tree else None)
    if bench and not Bench.objects.filter(pk=bench, site_id=site).exists():
        raise Refused("bench_elsewhere", field="bench_id")


def _check_leave_alone(fields: Mapping[str, Any], tree: Tree | None) -> None:
    """Only a weak tree, or its owner's wish, keeps everybody's hands off: so say why."""
    if not {"leave_alone_until", "leave_alone_why", "condition"} & set(fields):
        return
    now = {n: fields.get(n, getattr(tree, n, "")) for n in ("leave_alone_until", "leave_alone_why")}
    condition = fields.get("condition", tree.condition if tree else "sound")
    if now["leave_alone_until"] and not (now["leave_alone_why"] or "").strip() and condition == "sound":
        raise Refused("leave_alone_reason", field="leave_alone_why")


def see_sign(*, actor: Actor, tree_id: int, sign: str, on: date) -> None:
    """Write down a sign seen on a tree, such as buds swelling."""
    tree = tree_for(actor, tree_id)
    with transaction.atomic():
        row, made = TreeSign.objects.get_or_create(
            club_id=actor.club_id, tree=tree, sign=sign, seen_on=on, defaults={"by_id": actor.member_id}
        )
        if made:
            created(row, actor, "tree", "sign", "seen_on")


def put_wire_on(
    *,
    actor: Actor,
    tree_id: int,
    label: str,
    length_m: float,
    gauge_mm: float,
    metal: str,
    on: date,
    branch_id: int | None = None,
    fit: str = "snug",
    look_on: date | None = None,
) -> int:
    """Write down wire put on a tree; without a look date the wire clock gives one.

    Raises:
        Refused: ``not_found``, ``metal_unknown``, ``wire_size`` or ``wire_label_taken``.
    """
    tree = tree_for(actor, tree_id)
    _check_wire(actor, tree, branch_id, metal, gauge_mm)
    if not 0 < length_m <= 200:
        raise Refused("wire_length", field="length_m", given=length_m)
    try:
        with transaction.atomic():
            wire = Wire.objects.create(
                club_id=actor.club_id,
                tree=tree,
                branch_id=branch_id,
                label=label,
                length_m=length_m,
                gauge_mm=gauge_mm,
                metal=metal,
                fit=fit,
                on=on,
                look_on=look_on or _look_date(tree, branch_id, metal, fit, on),
            )
            created(wire, actor, "label", "tree", "length_m", "gauge_mm", "metal", "on")
    except IntegrityError:
        raise Refused("wire_label_taken", kind="conflict", field="label", label=label) from None
    return wire.pk


def _look_date(tree: Tree, branch_id: int | None, metal: str, fit: str, on: date) -> date:
    branch = Branch.objects.filter(pk=branch_id).first() if branch_id else None
    return clock_day(tree, branch, metal, fit, on, used_factor(club_clock(tree.club, tree.group)))


def add_guy(
    *,
    actor: Actor,
    tree_id: int,
    label: str,
    gauge_mm: float,
    metal: str,
    on: date,
    branch_id: int | None = None,
    anchor: str = "",
    look_on: date | None = None,
) -> int:
    """Write down a guy wire; it is looked at every fortnight in growth and after every gale."""
    tree = tree_for(actor, tree_id)
    _check_wire(actor, tree, branch_id, metal, gauge_mm)
    with transaction.atomic():
        guy = Guy.objects.create(
            club_id=actor.club_id,
            tree=tree,
            branch_id=branch_id,
            label=label,
            anchor=anchor,
            gauge_mm=gauge_mm,
            metal=metal,
            on=on,
            look_on=look_on,
        )
        created(guy, actor, "label", "tree", "on")
    return guy.pk


def _check_wire(actor: Actor, tree: Tree, branch_id: int | None, metal: str, gauge_mm: float) -> None:
    if metal not in METALS:
        raise Refused("metal_unknown", field="metal", given=metal)
    if not 0.3 <= gauge_mm <= 12:
        raise Refused("wire_size", field="gauge_mm", given=gauge_mm)
    if branch_id is not None and not Branch.objects.filter(tree=tree, pk=branch_id).exists():
        raise not_found()


def take_wire_off(*, actor: Actor, wire_id: int, on: date) -> None:
    """Write down that wire came off."""
    wire = Wire.objects.filter(club_id=actor.club_id, pk=wire_id, off=None).first()
    if wire is None:
        raise not_found()
    if on < wire.on:
        raise Refused("wire_off_early", field="on", on=wire.on)
    with transaction.atomic():
        edit(wire, wire.version, {"off": on}, actor)
        wire_is_off(actor=actor, wire=wire, on=on)


def look(*, actor: Actor, wire_id: int, on: date, seen: str, look_next: date | None = None) -> None:
    """Write down a look at a wire: loose, snug or marking; and when to look next.

    Raises:
        Refused: ``not_found`` or ``look_unknown``.
    """
    wire = Wire.objects.filter(club_id=actor.club_id, pk=wire_id, off=None).select_related("tree").first()
    if wire is None:
        raise not_found()
    _see(actor, wire, on, seen, look_next or next_look(wire.tree.group, on), wire=wire)


def look_at_guy(*, actor: Actor, guy_id: int, on: date, seen: str, look_next: date | None = None) -> None:
    """Write down a look at a guy wire; the next one follows after a fortnight unless a day is given.

    Raises:
        Refused: ``not_found`` or ``look_unknown``.
    """
    guy = Guy.objects.filter(club_id=actor.club_id, pk=guy_id, off=None).first()
    if guy is None:
        raise not_found()
    _see(actor, guy, on, seen, look_next or on + GUY_LOOK_EVERY, guy=guy)


def _see(actor: Actor, row: Wire | Guy, on: date, seen: str, later: date, **link: Wire | Guy) -> None:
    if seen not in LOOKS:
        raise Refused("look_unknown", field="seen", given=seen)
    with transaction.atomic():
        Look.objects.create(club_id=actor.club_id, on=on, seen=seen, by_id=actor.member_id, **link)
        edit(row, row.version, {"look_on": later}, actor)
        if seen == "marking" and isinstance(row, Wire):
            wire_marks(actor=actor, wire=row, on=on)
