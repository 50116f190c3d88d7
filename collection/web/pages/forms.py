"""Pages that are one form in ruled parts, and pages that only say something."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from types import SimpleNamespace

from django.forms import BoundField, CheckboxInput, Form

from collection.web.pages.parts import Action, Piece, Tag, lead, page


def part(form: Form, title: str, names: Iterable[str] | None = None, about: str = "") -> SimpleNamespace:
    """A part of a form: its fields in order, yes-or-no fields below; names not in the form are left out.

    Without names it holds every field of the form, one below the other.
    """
    wanted = form.fields if names is None else names
    bound = [form[name] for name in wanted if name in form.fields and not form[name].is_hidden]
    ticks = [field for field in bound if _is_tick(field)]
    fields = [field for field in bound if field not in ticks]
    return SimpleNamespace(title=title, about=about, fields=fields, ticks=ticks, column=names is None)


def _is_tick(field: BoundField) -> bool:
    return isinstance(field.field.widget, CheckboxInput)


def form_page(
    *,
    title: str,
    said: str | Sequence[Piece],
    form: Form,
    parts: Sequence[SimpleNamespace],
    send: str,
    url: str = "",
    tags: Sequence[Tag] = (),
    about: Sequence[str] = (),
    hidden: Sequence[SimpleNamespace] = (),
    back: tuple[str, str] | None = None,
    after: Sequence[Action] = (),
    foot_left: str = "",
) -> SimpleNamespace:
    """Everything ``form_page.html`` reads; ``back`` is an address and its words."""
    return page(
        title=title,
        tags=tags,
        lead=lead(said) if isinstance(said, str) else said,
        about=about,
        url=url,
        form=form,
        hidden=hidden,
        parts=parts,
        send=send,
        back=SimpleNamespace(url=back[0], words=back[1]) if back else None,
        after=after,
        foot_left=foot_left,
        foot_right="",
    )


def said_page(
    title: str, *sentences: str, heading: str = "What to do", actions: tuple[Action, ...] = ()
) -> SimpleNamespace:
    """A page that only says something, as ``web/said.html`` reads it."""
    return page(
        title=title, lead=lead(sentences[0]), heading=heading, sentences=sentences[1:], actions=actions
    )
