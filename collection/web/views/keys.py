"""Keys for programs: a person's own, made and taken back."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from collection.queries.errors import Refused
from collection.queries.labels import dated
from collection.queries.program_keys import KeyRow, keys_of
from collection.queries.sentences import say
from collection.usecases import program_keys
from collection.web.forms.keys import KeyForm
from collection.web.pages.parts import Action, Empty, lead
from collection.web.pages.parts import page as values
from collection.web.views.base import act, page


@require_http_methods(["GET", "HEAD", "POST"])
@never_cache
@page
def keys_view(request: Any) -> HttpResponse:
    """The keys that are good now; a new one's secret is shown on this answer and never again."""
    form = KeyForm(request.POST if request.method == "POST" else None)
    secret, status = "", 200
    if request.method == "POST":
        secret = _made(request, form)
        status = 201 if secret else 400
    return render(request, "web/you/keys.html", {"page": _shown(request, form, secret)}, status=status)


def _made(request: Any, form: KeyForm) -> str:
    """The secret of a new key, "" when the form says why not."""
    if not form.is_valid():
        return ""
    typed = form.cleaned_data
    try:
        _, secret = program_keys.make_key(
            actor=request.actor,
            name=typed["name"],
            days=int(typed["days"]),
            reads_only=typed["may"] == "read",
        )
    except Refused as refused:
        form.add_error(refused.field if refused.field in form.fields else None, say(refused.reason))
        return ""
    return secret


def _shown(request: Any, form: KeyForm, secret: str) -> SimpleNamespace:
    rows = keys_of(request.actor, request.club.zone)
    return values(
        title="Keys for programs",
        lead=lead("With a key your own program asks in your name, in this club only."),
        secret=secret,
        rows=[_row(row) for row in rows],
        empty=None if rows else Empty("No key yet.", "a sheet that reads the season's hours each morning"),
        small=SimpleNamespace(
            title="A new key",
            about="The key is shown once. Keep it like a password.",
            url=reverse("keys"),
            form=KeyForm() if secret else form,
            words="Make a key",
        ),
        api_url=reverse("api"),
        foot_left="",
        foot_right="",
    )


def _row(row: KeyRow) -> SimpleNamespace:
    return SimpleNamespace(
        name=row.name,
        begins=row.begins,
        may="read only" if row.reads_only else "read and write",
        until=dated(row.good_until) if row.good_until else "",
        used=dated(row.last_used_on) if row.last_used_on else "not yet",
        take_back=Action("Take back", reverse("key-take-back", args=[row.id]), post=True, small=True),
    )


@require_POST
@page
def take_back(request: Any, key_id: int) -> HttpResponse:
    """End a key at once."""
    return act(
        request,
        reverse("keys"),
        "The key is taken back. A program that uses it is refused from now on.",
        lambda: program_keys.take_back(actor=request.actor, key_id=key_id),
    )
