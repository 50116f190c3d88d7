"""Letters of welcome: a coordinator sends and takes back, whoever holds one comes in."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.contrib.auth import login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from collection.queries.accounts import account_by_id
from collection.queries.errors import Refused
from collection.queries.person import person, person_to_change
from collection.queries.sentences import say
from collection.queries.welcomes import Letter, letter_of
from collection.usecases import welcomes
from collection.web.forms.door import WelcomeForm
from collection.web.forms.people import InviteForm
from collection.web.pages import people as people_pages
from collection.web.pages import welcome as pages
from collection.web.views.base import act, at_field, page
from collection.web.views.people import read_and_send, shown_person

BACKEND = "allauth.account.auth_backends.AuthenticationBackend"


@require_POST
@page
def invite(request: Any, member_id: int) -> HttpResponse:
    """Send a letter of welcome; the page that follows shows its link, which is kept nowhere."""
    person_to_change(request.actor, member_id)
    found = person(request.actor, member_id, today=request.today)
    form = InviteForm(request.POST, auto_id="to_%s")
    if form.is_valid():
        try:
            made = welcomes.invite(
                actor=request.actor,
                member_id=member_id,
                email=form.cleaned_data["email"],
                link_to=lambda secret: request.build_absolute_uri(reverse("welcome", args=[secret])),
            )
        except Refused as refused:
            at_field(form, refused)
        else:
            return render(request, "web/person/letter.html", {"page": people_pages.letter_page(found, made)})
    return shown_person(request, found, welcome=form)


@require_POST
@page
def take_back(request: Any, member_id: int) -> HttpResponse:
    """The letter's link stops working."""
    return act(
        request,
        reverse("person", args=[member_id]),
        "The letter is taken back. Its link no longer works.",
        lambda: welcomes.take_back(actor=request.actor, member_id=member_id),
    )


@never_cache
@sensitive_post_parameters("password1", "password2")
@read_and_send
def welcome(request: HttpRequest, secret: str) -> HttpResponse:
    """Whoever holds the letter: choose a password, or join with a sign-in he has. Reading changes nothing."""
    account: Any = request.user if request.user.is_authenticated else None
    form = WelcomeForm(request.POST if request.method == "POST" and account is None else None)
    try:
        letter = letter_of(secret, account_id=account.pk if account else None)
        if request.method == "POST" and account is not None:
            welcomes.join_with(secret=secret, account_id=account.pk)
            return _come_in(request, letter)
        if request.method == "POST" and form.is_valid():
            password = form.cleaned_data["password1"]
            pk = welcomes.accept_letter(secret=secret, password=password)
            login(request, account_by_id(pk), backend=BACKEND)
            return _come_in(request, letter)
    except Refused as refused:
        if refused.field != "password":
            return _closed(request, refused)
        form.add_error("password1", say(refused.reason))
    template, shown = pages.welcome_page(letter, form, account.email if account else "", request.path)
    return render(request, template, {"page": shown}, status=400 if form.is_bound else 200)


def _come_in(request: HttpRequest, letter: Letter) -> HttpResponse:
    request.session["club"] = letter.club_id
    messages.success(request, f"You are in. This is {letter.club_name}.")
    return redirect("you")


def _closed(request: HttpRequest, refused: Refused) -> HttpResponse:
    """A letter that cannot be used says why, and nothing of who signs in."""
    if refused.kind == "not_found":
        return render(request, "404.html", {"sentence": say(refused.reason)}, status=404)
    status = 410 if refused.reason.code.startswith("letter_") else 409
    return render(request, "web/said.html", {"page": pages.closed_page(say(refused.reason))}, status=status)
