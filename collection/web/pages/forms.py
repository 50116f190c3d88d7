"""Pages that are one form in ruled parts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from types import SimpleNamespace

from django.forms import BoundField, CheckboxInput, Form

from collection.web.pages.parts import Action, Piece, Tag, page


def part(form: Form, title: str, names: Iterable[str], about: str = "") -> SimpleNamespace:
    """A part of a form: its fields in order, yes-or-no fields below; names not in the form are left out."""
    bound = [form[name] for name in names if name in form.fields]
    ticks = [field for field in bound if _is_tick(field)]
    return SimpleNamespace(
        title=title, about=about, fields=[field for field in bound if field not in ticks], ticks=ticks
    )


def _is_tick(field: BoundField) -> bool:
    return isinstance(field.field.widget, CheckboxInput)


def form_page(
    *,
    title: str,
    lead: Sequence[Piece],
    url: str,
    form: Form,
    parts: Sequence[SimpleNamespace],
    send: str,
    tags: Sequence[Tag] = (),
    about: Sequence[str] = (),
    back: tuple[str, str] | None = None,
    after: Sequence[Action] = (),
    foot_left: str = "",
) -> SimpleNamespace:
    """Everything ``form_page.html`` reads; ``back`` is an address and its words."""
    return page(
        title=title,
        tags=tags,
        lead=lead,
        about=about,
        url=url,
        form=form,
        parts=parts,
        send=send,
        back=SimpleNamespace(url=back[0], words=back[1]) if back else None,
        after=after,
        foot_left=foot_left,
        foot_right="",
    )
