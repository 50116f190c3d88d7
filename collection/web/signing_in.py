"""How the sign-in library behaves in this house: nobody signs up, and it speaks our words."""

from __future__ import annotations

from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from collection.queries.errors import Refused
from collection.queries.sentences import say
from collection.usecases.letters import send_letter
from collection.usecases.welcomes import check_password

LETTERS = {"account/email/password_reset_key": "new_password"}


class NotSent(Exception):
    """The mail server did not take a letter."""


class Adapter(DefaultAccountAdapter):
    """Invitation only, letters as plain text, sentences of ours."""

    error_messages = DefaultAccountAdapter.error_messages | {
        "email_password_mismatch": _("E-mail and password do not fit together. Look at both again."),
        "enter_current_password": _("This is not your password. Write the one you sign in with now."),
        "invalid_password_reset": _("This link cannot be used any more. Ask for a new one."),
        "too_many_login_attempts": _("Too many tries. Wait five minutes, then try again."),
        "rate_limited": _("Too many tries. Wait five minutes, then try again."),
    }

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        """Nobody makes a sign-in for himself."""
        return False

    def is_ajax(self, request: HttpRequest) -> bool:
        """Pages are pages."""
        return False

    def get_client_ip(self, request: HttpRequest) -> str:
        """The asker's address; askers without one, as by a socket file, share their limit."""
        return (request.META.get("REMOTE_ADDR") and super().get_client_ip(request)) or "0.0.0.0"

    def clean_password(self, password: str, user: Any = None) -> str:
        """Refuse a weak password in our words."""
        try:
            check_password(password, getattr(user, "email", ""))
        except Refused as refused:
            raise ValidationError(say(refused.reason)) from None
        return password

    def get_reset_password_from_key_url(self, key: str) -> str:
        """Where the link of a letter leads."""
        account, _, secret = key.partition("-")
        return str(self.request.build_absolute_uri(reverse("password-new", args=[account, secret])))

    def send_mail(self, template_prefix: str, email: str, context: dict[str, Any]) -> None:
        """Send one of our letters.

        Raises:
            NotSent: When the mail server did not take it.
        """
        values = {"link": context["password_reset_url"]}
        if not send_letter(kind=LETTERS[template_prefix], to=email, values=values):
            raise NotSent

    def respond_user_inactive(self, request: HttpRequest, user: Any) -> HttpResponse:
        """Say that a sign-in is closed; only somebody who knows its password gets here."""
        messages.error(request, _("This sign-in is closed. Ask a coordinator of your club."))
        return HttpResponseRedirect(reverse("sign-in"))

    def get_password_change_redirect_url(self, request: HttpRequest) -> str:
        """Back to the person's own page."""
        return reverse("you")
