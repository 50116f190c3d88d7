"""The register and one tree's sheet."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from types import SimpleNamespace

from django.forms import Form
from django.urls import reverse

from collection.craft.labour_crew import ONE_PERSON_KG
from collection.queries.access import Actor
from collection.queries.labels import STAGE_NAMES, counted, dated, day, group_name, task_name
from collection.queries.sentences import say
from collection.queries.speech import listed
from collection.queries.tree_sheet import Sheet, SheetBranch, SheetCount, SheetWire
from collection.queries.trees import Hands, hands_sentence, when_of
from collection.web.drawings.tree import BranchMark, GuyMark, draw_tree
from collection.web.forms.tree import JobForm, SignForm
from collection.web.pages.growth import growth_part
from collection.web.pages.moving import moving_part
from collection.web.pages.parts import (
    Action,
    Fact,
    Tag,
    cautions_for,
    page,
)
from collection.web.pages.tree_jobs import job_row, left_out_row, question_rows
from collection.web.pages.tree_ways import tree_ways


def tree_page(
    sheet: Sheet, actor: Actor, today: date, filled: Mapping[str, Form] | None = None
) -> SimpleNamespace:
    """Everything ``tree/tree.html`` reads; ``filled`` holds a small form that was refused."""
    here = reverse("tree", args=[sheet.id])
    record = reverse("sitting-new") + f"?tree={sheet.id}"
    drawing = draw_tree(sheet.title, _marks(sheet), _guys(sheet)) if sheet.branches else None
    looks = [wire for wire in sheet.wires if wire.look_on]
    return page(
        tag=Tag(sheet.accession, here),
        name=sheet.title,
        latin=sheet.species if sheet.species != sheet.title else "",
        latin_after=_after(sheet),
        facts=_facts(sheet),
        open=_open(sheet, record),
        actions=_actions(sheet, actor, record),
        jobs=[job_row(job, sheet.id, actor) for job in sheet.jobs],
        no_jobs="Nothing is due on this tree now.",
        questions=question_rows(sheet.questions, sheet.id, may_answer=sheet.may_answer),
        left_out=[left_out_row(job, actor) for job in sheet.left_out],
        drawing=drawing,
        no_drawing="Nobody has drawn this tree yet.",
        branches=[_branch(branch) for branch in sheet.branches],
        first_look=_first_look(looks, today),
        first_look_number=None,
        counts=[_count(count) for count in sheet.counts],
        growth=growth_part(sheet.growth) if sheet.growth else None,
        moving=moving_part(sheet.moving),
        wires=[_wire(wire) for wire in sheet.wires],
        last_hands=[_hands(hands) for hands in sheet.hands[:3]],
        no_hands="Nobody has worked on this tree since the club keeps records.",
        rest=_rest(sheet, today),
        whole_history=reverse("tree-history", args=[sheet.id]),
        state=_state(sheet),
        forms=_forms(sheet, actor, today, filled or {}),
        ways=tree_ways(sheet, actor),
        cautions=cautions_for({job.task for job in sheet.jobs}, lifting=(sheet.mass_kg or 0) > ONE_PERSON_KG),
        foot_left=f"In the collection since {dated(sheet.acquired_on)}" if sheet.acquired_on else "",
        foot_right=f"Changed {dated(sheet.changed[1])} by {sheet.changed[0]}" if sheet.changed else "",
    )


def _actions(sheet: Sheet, actor: Actor, record: str) -> list[Action]:
    actions = [Action("Record work on this tree", record, main=sheet.open_hands is None)]
    actions.append(Action("Put wire on", reverse("wire-new", args=[sheet.id]), plain=True))
    actions.append(Action("Put a guy on", reverse("guy-new", args=[sheet.id]), plain=True))
    if actor.plans:
        actions.append(Action("Ask for a heavy bend", reverse("bend-new", args=[sheet.id]), plain=True))
    return actions


def _count(count: SheetCount) -> SimpleNamespace:
    return SimpleNamespace(
        what=count.what,
        amount=_amount(count),
        when=dated(count.on),
        trust="a guess" if count.guessed else "counted",
    )


def _amount(count: SheetCount) -> str:
    if count.kind.endswith("_wired"):
        return "yes" if count.amount else "no"
    return f"{count.amount:g}" + (" mm" if count.kind.endswith("_mm") and count.kind != "bend_mm" else "")


def _state(sheet: Sheet) -> str:
    """Where the tree is when it is not where it stands."""
    if sheet.gone:
        return "This tree is no longer in the collection. Its history stays."
    if sheet.overdue and sheet.away and sheet.away.until:
        return f"This tree was lent until {day(sheet.away.until)}, to {sheet.away.where}. Is it back?"
    return say(sheet.away.reason) if sheet.away else ""


def _forms(sheet: Sheet, actor: Actor, today: date, filled: Mapping[str, Form]) -> list[SimpleNamespace]:
    first = {"opens": today, "closes": today + timedelta(days=30)}
    small: list[tuple[str, str, str, str, Form]] = [
        ("sign", "Tree signs", "A sign opens or holds a window.", "Write a sign down", SignForm()),
    ]
    if actor.plans:
        small.append(("job", "Add a job", "", "Add the job", JobForm(initial=first)))
    return [
        SimpleNamespace(
            title=title,
            about=about,
            url=reverse(f"tree-{name}", args=[sheet.id]),
            form=filled.get(name, form),
            words=words,
            beside=Action("How long would it take?", reverse("estimate")) if name == "job" else None,
        )
        for name, title, about, words, form in small
    ]


def _after(sheet: Sheet) -> str:
    parts = [sheet.common_name if sheet.common_name != sheet.title else "", group_name(sheet.group)]
    said = ", ".join(part for part in parts if part)
    return f", {said}" if sheet.species and sheet.species != sheet.title else said


def _facts(sheet: Sheet) -> list[Fact]:
    facts = [Fact("Stands", sheet.where), Fact("Stage", STAGE_NAMES[sheet.stage])]
    if sheet.batch:
        facts.append(Fact("Batch", counted(sheet.batch, "tree", "trees")))
    if sheet.height_mm:
        facts.append(Fact("Height", f"{sheet.height_mm / 10:.0f} cm"))
    if sheet.pot_litres:
        facts.append(Fact("Pot", f"{sheet.pot_litres:g} l"))
    if sheet.mass_kg:
        guessed = "" if sheet.mass_weighed else ", guessed"
        facts.append(Fact("Weighs", f"{round(sheet.mass_kg, 1):g} kg{guessed}"))
    if sheet.condition != "sound":
        facts.append(Fact("Condition", sheet.condition))
    facts += [Fact("Owned by" if role == "owner" else "Kept by", name) for role, name in sheet.keepers]
    return facts


def _open(sheet: Sheet, record: str) -> SimpleNamespace | None:
    hands = sheet.open_hands
    if hands is None:
        return None
    who = listed(hands.who) if hands.who else "Somebody"
    closes = min((job.closes for job in sheet.jobs), default=None)
    return SimpleNamespace(
        aside=f"Left unfinished. A window closes {dated(closes)}." if closes else "Left unfinished.",
        who_wrote=f"{who} wrote on {day(hands.on)}:",
        note=hands.note,
        action=Action("Record work on this tree", record, main=True),
    )


def _marks(sheet: Sheet) -> list[BranchMark]:
    return [
        BranchMark(
            label=branch.label,
            place=branch.place,
            clock=branch.clock,
            height=branch.height,
            diameter_mm=branch.diameter_mm,
            length_mm=branch.length_mm,
            side_branches=branch.side_branches,
            wire=_wire_words(branch.wire) if branch.wire else "",
            look=f"look {branch.wire.look_on.day} {branch.wire.look_on:%B}"
            if branch.wire and branch.wire.look_on
            else "",
        )
        for branch in sheet.branches
    ]


def _wire_words(wire: SheetWire) -> str:
    metres = f", {wire.metres:.1f} m" if wire.metres else ""
    return f"{wire.gauge_mm:g} mm {wire.metal}{metres}"


def _guys(sheet: Sheet) -> list[GuyMark]:
    return [
        GuyMark(
            wire.branch,
            f"{wire.gauge_mm:g} mm {wire.metal}" + (f", to the {wire.anchor}" if wire.anchor else ""),
            f"look {wire.look_on.day} {wire.look_on:%B}" if wire.look_on else "look after every gale",
        )
        for wire in sheet.wires
        if wire.guy and wire.branch
    ]


def _branch(branch: SheetBranch) -> SimpleNamespace:
    wire = branch.wire
    return SimpleNamespace(
        label=branch.label,
        place=branch.place,
        thickness=f"{branch.diameter_mm:.0f} mm" if branch.diameter_mm else "not measured",
        wire=_wire_words(wire) if wire else "not wired",
        look=dated(wire.look_on) if wire and wire.look_on else "",
    )


def _first_look(wires: list[SheetWire], today: date) -> str:
    if not wires:
        return ""
    first = min(wires, key=lambda wire: wire.look_on or date.max)
    assert first.look_on is not None
    if first.look_on < today:
        return f"A look is overdue: {day(first.look_on)}, at {first.label}. Look at the wire on this tree."
    return f"First look: {day(first.look_on)}, at {first.label}. The earliest wire sets the tree's date."


def _wire(wire: SheetWire) -> SimpleNamespace:
    return SimpleNamespace(
        label=wire.label,
        where=f"Branch {wire.branch}" if wire.branch else (wire.anchor or "Trunk"),
        wire=wire.words,
        metres=f"{wire.metres:.1f}" if wire.metres else "",
        on=dated(wire.on),
        look=dated(wire.look_on) if wire.look_on else "after every gale",
        state=wire.last_look or "none yet",
        url=reverse("guy-one" if wire.guy else "wire-one", args=[wire.id]),
    )


def _hands(hands: Hands) -> SimpleNamespace:
    return SimpleNamespace(
        when=when_of(hands),
        who=listed(hands.who) if hands.who else "Not known who",
        what=hands_sentence(hands),
        url="",
    )


def _rest(sheet: Sheet, today: date) -> SimpleNamespace | None:
    rest = sheet.rest
    if rest is None or rest.until <= today:
        return None
    return SimpleNamespace(
        until=day(rest.until),
        sentences=(
            f"{rest.days} days after the {task_name(rest.task).lower()} of {dated(rest.since)}.",
            "No hard work before that date. Light work may go on.",
        ),
    )
