"""Signing in, a forgotten password, a new one."""

from __future__ import annotations

from typing import Any

from allauth.account import forms as library
from django import forms
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from collection.usecases.letters import send_letter
from collection.web.signing_in import NotSent

EMAIL = _("Write your e-mail address, like ana@example.org.")
PASSWORD = _("Write your password.")
NEW = _("At least 12 letters. Four odd words are easy to keep.")


def plain(form: forms.Form, **labels: Any) -> None:
    """Our labels and sentences, and no grey words inside the fields."""
    for name, field in form.fields.items():
        field.widget.attrs.pop("placeholder", None)
        field.help_text = NEW if name == "password1" else ""
        field.label = labels.get(name, field.label)
        wrong = EMAIL if isinstance(field, forms.EmailField) else PASSWORD
        field.error_messages |= {"required": wrong, "invalid": wrong}


class SignInForm(library.LoginForm):
    """E-mail and password."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        plain(self, login=_("E-mail"), password=_("Password"))


class ForgottenForm(library.ResetPasswordForm):
    """Where to send the letter."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        plain(self, email=_("E-mail"))

    def save(self, request: HttpRequest, **kwargs: Any) -> str:
        """Send a letter either way, so that the answer tells nobody whether there is such a sign-in.

        Raises:
            NotSent: When the mail server did not take it.
        """
        if self.users:
            said: str = super().save(request, **kwargs)
            return said
        email: str = self.cleaned_data["email"]
        if not send_letter(kind="no_sign_in", to=email, values={"host": request.get_host()}):
            raise NotSent
        return email


class NewPasswordForm(library.ResetPasswordKeyForm):
    """A new password, twice."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        plain(self, password1=_("New password"), password2=_("The same again"))


class ChangePasswordForm(library.ChangePasswordForm):
    """The old password, and a new one twice."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        plain(
            self,
            oldpassword=_("Your password now"),
            password1=_("New password"),
            password2=_("The same again"),
        )


class WelcomeForm(forms.Form):
    """The first password, twice."""

    password1 = forms.CharField(
        label=_("Password"),
        strip=False,
        help_text=NEW,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        error_messages={"required": PASSWORD},
    )
    password2 = forms.CharField(
        label=_("The same again"),
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        error_messages={"required": PASSWORD},
    )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not self.errors and data["password1"] != data["password2"]:
            self.add_error("password2", _("The two differ. Write the same password twice."))
        return data
