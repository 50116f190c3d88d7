"""What whoever holds a letter of welcome sees."""

from __future__ import annotations

from types import SimpleNamespace

from django.forms import Form
from django.urls import reverse
from django.utils.http import urlencode

from collection.queries.labels import dated
from collection.queries.welcomes import Letter
from collection.web.pages.forms import form_page, part, said_page
from collection.web.pages.parts import Action


def welcome_page(letter: Letter, form: Form, signed_in: str, here: str) -> tuple[str, SimpleNamespace]:
    """Template and page: choose a password, sign in first, or join with the sign-in one has."""
    title = f"Welcome to {letter.club_name}"
    sign_in = Action("Sign in", f"{reverse('sign-in')}?{urlencode({'next': here})}", main=letter.known)
    if signed_in and letter.in_club:
        said = f"You are signed in as {signed_in}, another person of this club."
        return "web/said.html", said_page(title, said, "Sign out below, then open the link again.")
    if signed_in:
        return "web/form_page.html", form_page(
            title=title,
            said=f"{letter.name}, the club counts on you. You are signed in as {signed_in}.",
            form=Form(),
            parts=[part(Form(), "Join", about="Another sign-in? Sign out below, then open the link again.")],
            send=f"Join {letter.club_name} with this sign-in",
        )
    if letter.known:
        said = f"There is a sign-in with {letter.email} already, most likely yours of another club."
        return "web/said.html", said_page(
            title, said, "Sign in with it. You come back here and say yes.", actions=(sign_in,)
        )
    return "web/form_page.html", form_page(
        title=title,
        said=f"{letter.name}, choose a password. You sign in with it and {letter.email}.",
        form=form,
        parts=[part(form, "Your password", about=f"This link works once, until {dated(letter.last_day)}.")],
        send="Keep this password and come in",
        back=(sign_in.url, "I have a sign-in already"),
    )


def closed_page(sentence: str) -> SimpleNamespace:
    """A link that cannot be used."""
    return said_page("This link cannot be used", sentence, actions=(Action("Sign in", reverse("sign-in")),))
