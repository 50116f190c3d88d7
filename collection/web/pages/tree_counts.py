"""Counting a tree in steps, and drawing its branches."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from types import SimpleNamespace

from django.forms import Form
from django.urls import reverse

from collection.craft.quantities import ORDERS
from collection.queries.facts import WIRED
from collection.queries.labels import KIND_NAMES, dated
from collection.queries.quantities import THICKNESS
from collection.queries.tree_counts import BranchRow, BranchSheet, CountSheet, Earlier
from collection.web.forms.counts import MORE, STEPS, BranchForm, CountForm
from collection.web.pages.forms import form_page, part
from collection.web.pages.parts import Action, Empty, Tag, hidden, lead, page


def count_page(sheet: CountSheet, form: CountForm, today: date) -> SimpleNamespace:
    """Everything ``tree/counts.html`` reads."""
    here = reverse("tree", args=[sheet.tree_id])
    return page(
        title=f"Count {sheet.title}",
        tags=[Tag(sheet.accession, here)],
        lead=lead("What you leave empty stays as it was. Hours are worked out again at once."),
        url=reverse("tree-counts", args=[sheet.tree_id]),
        form=form,
        everything=_everything(sheet, today),
        orders=[_order(order, sheet, form, today) for order in ORDERS],
        more=[_steps(kind, sheet, form, today) for kind in MORE],
        more_open=any(form[kind].value() not in (None, "") for kind in MORE),
        guessed=form["guessed"],
        send="Write the counts down",
        back=SimpleNamespace(url=here, words="Back to the tree"),
        foot_left="Counts are kept with their day. An older one is never changed.",
        foot_right="",
    )


def _everything(sheet: CountSheet, today: date) -> str:
    """The words of the button that fills in every figure again; "" when nothing was counted before."""
    days = {earlier.on for kind, earlier in sheet.earlier.items() if kind in STEPS}
    if not days:
        return ""
    last = all(on.year == today.year - 1 for on in days)
    return "All the same as last year" if last else "All the same as last time"


def _order(order: str, sheet: CountSheet, form: CountForm, today: date) -> SimpleNamespace:
    return SimpleNamespace(
        title=KIND_NAMES[order][1].capitalize(),
        steps=_steps(order, sheet, form, today),
        thickness=form[THICKNESS[order]],
        thickness_same=_value(THICKNESS[order], sheet, form),
        wired=form[WIRED[order]],
        wired_same=_value(WIRED[order], sheet, form),
    )


def _steps(kind: str, sheet: CountSheet, form: CountForm, today: date) -> SimpleNamespace:
    one, many = KIND_NAMES[kind]
    step, field = STEPS[kind], form[kind]
    earlier = sheet.earlier.get(kind)
    far = "One" if step == 1 else str(step)
    what = one if step == 1 else many
    return SimpleNamespace(
        id=field.id_for_label,
        name=kind,
        label=many.capitalize(),
        value=field.value() if field.value() is not None else "",
        errors=field.errors,
        step=step,
        less=_button(f"{kind}:-{step}", f"{far} less: {what}", "\u2212", step),
        more=_button(f"{kind}:{step}", f"{far} more: {what}", "+", step),
        last=_last(earlier, today) if earlier else "",
        same=_same(earlier, today) if earlier else "",
        same_value=f"{earlier.amount:.0f}" if earlier else "",
    )


def _button(value: str, label: str, sign: str, step: int) -> SimpleNamespace:
    return SimpleNamespace(value=value, label=label, shown=sign if step == 1 else f"{sign}{step}")


def _last(earlier: Earlier, today: date) -> str:
    guess = ", a guess" if earlier.guessed else ""
    if earlier.on.year == today.year - 1:
        return f"Last year: {earlier.amount:.0f}{guess}."
    return f"On {dated(earlier.on)}: {earlier.amount:.0f}{guess}."


def _same(earlier: Earlier, today: date) -> str:
    return "Same as last year" if earlier.on.year == today.year - 1 else "Same as then"


def _value(kind: str, sheet: CountSheet, form: CountForm) -> str:
    """What a field would hold if it were the same again, as the field shows it."""
    earlier = sheet.earlier.get(kind)
    return same_text(kind, earlier, form) if earlier else ""


def same_text(kind: str, earlier: Earlier, form: CountForm) -> str:
    """An earlier figure as its field shows it."""
    unit = getattr(form.fields[kind], "unit", None)
    return unit.shown(earlier.amount) if unit else f"{earlier.amount:.0f}"


def branches_page(sheet: BranchSheet, form: Form, show: Sequence[SimpleNamespace]) -> SimpleNamespace:
    """Everything ``tree/branches.html`` reads."""
    here = reverse("tree", args=[sheet.tree_id])
    return page(
        title=f"Draw {sheet.title}",
        tags=[Tag(sheet.accession, here)],
        lead=lead("Main branches from the trunk, lowest first. The drawing on the tree's page follows."),
        rows=show,
        empty=Empty("Branches will be listed here, lowest first.", "B1, lower left, 22 mm, 4 side branches"),
        url=reverse("tree-branches", args=[sheet.tree_id]),
        form=form,
        part=part(form, "Add a branch", BRANCH_FIELDS, BRANCH_ABOUT),
        send="Add this branch",
        actions=[Action("See the drawing", f"{here}#front-view", plain=True)] if sheet.rows else [],
        back=SimpleNamespace(url=here, words="Back to the tree"),
        foot_left="" if sheet.height_mm else "The drawing needs the tree's height as well.",
        foot_right="",
    )


BRANCH_FIELDS = ("label", "place", "clock", "height_mm", "diameter_mm", "length_mm", "side_branches")
BRANCH_ABOUT = "Only the label is needed."


def branch_rows(sheet: BranchSheet, form: BranchForm) -> list[SimpleNamespace]:
    """The branches as rows of a table, sizes in the form's units."""
    return [
        SimpleNamespace(
            label=row.label,
            url=reverse("branch", args=[row.id]),
            place=row.place,
            side=f"{row.clock} o'clock" if row.clock else "",
            height=_size(form, "height_mm", row.height_mm),
            thickness=_size(form, "diameter_mm", row.diameter_mm),
            length=_size(form, "length_mm", row.length_mm),
            side_branches=row.side_branches,
        )
        for row in sheet.rows
    ]


def _size(form: BranchForm, name: str, value: float | None) -> str:
    unit = form.fields[name].unit  # type: ignore[attr-defined]
    return f"{unit.shown(value)} {unit.name}" if value is not None else "not measured"


def branch_page(sheet: BranchSheet, branch: BranchRow, form: Form) -> SimpleNamespace:
    """One branch to change."""
    at = reverse("branch", args=[branch.id])
    return form_page(
        title=f"Branch {branch.label}",
        tags=[Tag(sheet.accession, reverse("tree", args=[sheet.tree_id]))],
        said=f"Of {sheet.title}.",
        url=at,
        form=form,
        parts=[part(form, "What it is like", BRANCH_FIELDS)],
        send="Keep these changes",
        back=(reverse("tree-branches", args=[sheet.tree_id]), "Back to the branches"),
        after=[
            Action(
                "Take it off the drawing",
                reverse("branch-remove", args=[branch.id]),
                post=True,
                plain=True,
                small=True,
                hidden=hidden(version=branch.version),
            )
        ],
        foot_left="A branch that was cut is taken off the drawing. The history keeps its figures.",
    )
