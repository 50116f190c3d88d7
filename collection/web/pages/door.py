"""The pages of the way in."""

from __future__ import annotations

from types import SimpleNamespace

from django.forms import Form
from django.urls import reverse

from collection.web.pages.forms import form_page, part, said_page
from collection.web.pages.parts import Action, hidden


def sign_in(form: Form, onward: str) -> SimpleNamespace:
    """E-mail and password."""
    return form_page(
        title="Sign in",
        said="With the e-mail and the password you chose.",
        form=form,
        parts=[
            part(
                form,
                "Who are you?",
                about="No sign-in yet? A coordinator of your club sends you a letter of welcome.",
            )
        ],
        send="Sign in",
        hidden=hidden(next=onward) if onward else (),
        back=(reverse("password-forgotten"), "Forgotten your password?"),
    )


def forgotten(form: Form) -> SimpleNamespace:
    """Where to send a letter."""
    return form_page(
        title="A new password",
        said="We send you a letter with a link, and you choose a new one.",
        form=form,
        parts=[part(form, "Your e-mail")],
        send="Send me the letter",
        back=(reverse("sign-in"), "Back to sign in"),
    )


def sent(*, leaves: bool = True) -> SimpleNamespace:
    """The same, whether there is such a sign-in or not; ``leaves`` False where no mail goes out."""
    if not leaves:
        return said_page(
            "No mail goes out",
            "No mail goes out from here yet, so no letter can reach you.",
            "Ask whoever runs these pages. With the command changepassword, they give you a new password.",
            actions=(Action("Back to sign in", reverse("sign-in")),),
        )
    return said_page(
        "A letter is on its way",
        "Look into your mail in some minutes, and open the link in it.",
        "Look among unwanted mail, and see whether you use another address.",
        "Without a mail of your own, ask a coordinator of your club.",
        heading="Nothing there?",
        actions=(Action("Back to sign in", reverse("sign-in")),),
    )


def new_password(form: Form) -> SimpleNamespace:
    """Choose it."""
    return form_page(
        title="Choose a new password",
        said="It takes the place of the old one at once.",
        form=form,
        parts=[part(form, "New password")],
        send="Keep this password",
    )


def link_gone() -> SimpleNamespace:
    """A link that was used, or is too old."""
    return said_page(
        "This link is used up",
        "It works once, for three days. Ask for a new one.",
        actions=(Action("Send me a new letter", reverse("password-forgotten"), main=True),),
    )


def change_password(form: Form) -> SimpleNamespace:
    """Another password for somebody who is signed in."""
    return form_page(
        title="Change your password",
        said="You stay signed in here. Other devices must sign in again.",
        form=form,
        parts=[part(form, "Password")],
        send="Keep this password",
        back=(reverse("you"), "Back to your page"),
    )
