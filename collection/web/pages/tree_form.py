"""Adding a tree, and changing what is known of it."""

from __future__ import annotations

from types import SimpleNamespace

from django.urls import reverse

from collection.queries.tree_fields import TreeFields
from collection.web.forms.register import TreeForm
from collection.web.pages.forms import form_page, part
from collection.web.pages.parts import Tag


def new_page(form: TreeForm) -> SimpleNamespace:
    """A new tree."""
    return form_page(
        title="Add a tree",
        said="Only the tag, the kind of tree and the place are needed. The rest can come later.",
        url=reverse("tree-new"),
        form=form,
        parts=_parts(form),
        send="Put it on the register",
        back=(reverse("trees"), "Back to the trees"),
        foot_left="A tree keeps its number for ever, also when it has gone.",
    )


def edit_page(tree: TreeFields, form: TreeForm) -> SimpleNamespace:
    """A tree that is known already."""
    here = reverse("tree", args=[tree.id])
    return form_page(
        title=f"Change {tree.title}",
        tags=[Tag(tree.accession, here)],
        said="Its jobs are brought in line with what you change.",
        url=reverse("tree-edit", args=[tree.id]),
        form=form,
        parts=_parts(form),
        send="Keep these changes",
        back=(here, "Back to the tree"),
        foot_left="Where it stands is changed on its page, so that the move is remembered.",
    )


def _parts(form: TreeForm) -> list[SimpleNamespace]:
    sizes = "A plain number is read in the unit named. You can write another unit beside it."
    return [
        part(form, "What it is", ("accession", "name", "common_name", "species", "group", "stage", "style")),
        part(form, "Where it stands", ("place", "acquired_on", "batch", "brought_by_id", "may_travel")),
        part(
            form,
            "How large",
            ("height_mm", "spread_mm", "trunk_mm", "pot", "pot_litres", "mass_kg", "mass_weighed"),
            sizes,
        ),
        part(
            form,
            "How it is",
            ("condition", "no_hard_work_until", "no_hard_work_why", "leave_alone_until", "leave_alone_why"),
        ),
        part(form, "Note", ("note",)),
    ]
