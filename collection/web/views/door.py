"""The way in: signing in and out, a forgotten password, a new one. The library does the work.

Values for pages skip one class of the library each, which would look for addresses that we do not have.
"""

from __future__ import annotations

from typing import Any

from allauth.account import views as library
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse_lazy

from collection.usecases.letters import mail_leaves
from collection.web.pages import door as pages
from collection.web.signing_in import NotSent
from collection.web.views.base import page

READ_AND_SEND = ["get", "head", "post"]
NOT_SENT = "The letter could not be sent. Try again in some minutes, or ask a coordinator of your club."


class OurForm:
    """What our form pages share: they answer a form with faults by 400, and take no other methods."""

    http_method_names = READ_AND_SEND
    template_name = "web/form_page.html"

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> Any:
        """A method we do not serve is refused before anything else is looked at."""
        if str(request.method).lower() not in self.http_method_names:
            return self.http_method_not_allowed(request)  # type: ignore[attr-defined]
        return super().dispatch(request, *args, **kwargs)  # type: ignore[misc]

    def form_invalid(self, form: Any) -> Any:
        response: Any = super().form_invalid(form)  # type: ignore[misc]
        response.status_code = 400
        return response


class SignIn(OurForm, library.LoginView):
    """E-mail and password."""

    def get_context_data(self, **kwargs: Any) -> Any:
        found = super(library.LoginView, self).get_context_data(**kwargs)
        return found | {"page": pages.sign_in(found["form"], found["redirect_field_value"] or "")}


class SignOut(library.LogoutView):
    """End this visit."""

    http_method_names = ["post"]


class Forgotten(OurForm, library.PasswordResetView):
    """Ask for a letter that lets one choose a new password."""

    success_url = reverse_lazy("password-sent")

    def get_context_data(self, **kwargs: Any) -> Any:
        found = super(library.PasswordResetView, self).get_context_data(**kwargs)
        return found | {"page": pages.forgotten(found["form"])}

    def form_valid(self, form: Any) -> Any:
        """Send it; a mail server that refuses is said in words, whoever asked."""
        try:
            return super().form_valid(form)
        except NotSent:
            form.add_error(None, NOT_SENT)
            response = self.render_to_response(self.get_context_data(form=form))
            response.status_code = 503
            return response


class Sent(library.PasswordResetDoneView):
    """The letter is on its way, if there is such a sign-in."""

    http_method_names = ["get", "head"]
    template_name = "web/said.html"

    def get_context_data(self, **kwargs: Any) -> Any:
        return super(library.PasswordResetDoneView, self).get_context_data(**kwargs) | {
            "page": pages.sent(leaves=mail_leaves())
        }


class NewPassword(OurForm, library.PasswordResetFromKeyView):
    """Choose a new password with the link of a letter."""

    success_url = reverse_lazy("sign-in")

    def get_context_data(self, **kwargs: Any) -> Any:
        found = super(library.PasswordResetFromKeyView, self).get_context_data(**kwargs)
        shown = pages.link_gone() if found.get("token_fail") else pages.new_password(found["form"])
        return found | {"page": shown}

    def render_to_response(self, context: dict[str, Any], **kwargs: Any) -> HttpResponse:
        """A link that is used up or too old is gone."""
        if context.get("token_fail"):
            return render(self.request, "web/said.html", context, status=410)
        answer: HttpResponse = super().render_to_response(context, **kwargs)
        return answer

    def form_valid(self, form: Any) -> Any:
        response = super().form_valid(form)
        messages.success(self.request, "Your new password is kept. Sign in with it.")
        return response


class ChangePassword(OurForm, library.PasswordChangeView):
    """Somebody who is signed in chooses another password; other visits of his end."""

    template_name = "web/form_page.html"

    def get_context_data(self, **kwargs: Any) -> Any:
        found = super().get_context_data(**kwargs)
        return found | {"page": pages.change_password(found["form"])}

    def form_valid(self, form: Any) -> Any:
        response = super().form_valid(form)
        messages.success(self.request, "Your new password is kept. Other devices must sign in again.")
        return response


def too_many(request: HttpRequest) -> HttpResponse:
    """Too many tries in a short time."""
    return render(request, "429.html", status=429)


change_password = page(ChangePassword.as_view())
