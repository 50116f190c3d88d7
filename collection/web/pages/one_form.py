"""Pages that are one form, and pages that only say something."""

from __future__ import annotations

from types import SimpleNamespace

from django.forms import Form

from collection.web.pages.parts import Action, lead, page


def form_page(
    title: str,
    said: str,
    heading: str,
    form: Form,
    button: str,
    *,
    links: tuple[Action, ...] = (),
    fields: tuple[SimpleNamespace, ...] = (),
    about: str = "",
) -> SimpleNamespace:
    """A page that is one form, as ``form.html`` reads it."""
    return page(
        title=title,
        lead=lead(said),
        heading=heading,
        about=about,
        form=form,
        hidden=fields,
        button=button,
        links=links,
    )


def said_page(
    title: str, *sentences: str, heading: str = "What to do", actions: tuple[Action, ...] = ()
) -> SimpleNamespace:
    """A page that only says something, as ``web/said.html`` reads it."""
    return page(
        title=title, lead=lead(sentences[0]), heading=heading, sentences=sentences[1:], actions=actions
    )
