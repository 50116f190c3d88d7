"""Sentences of messages and links: why a mail is not sent, and what a link no longer does."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.utils.translation import gettext as _

Values = Mapping[str, Any]

REMINDER_SENTENCES: dict[str, Callable[[Values], str]] = {
    "link_changed": lambda v: _("Something changed while you read this. Look again, then answer."),
    "link_gone": lambda v: _("This link is old, or not whole. Sign in, or ask your coordinator."),
    "link_too_late": lambda v: _("It is too late for that answer here. Telephone the lead of the day."),
    "mail_address_comes_back": lambda v: (
        _("Letters to this address come back%(number)s. Tell by telephone and ask for a new one.")
        % {"number": "" if v["number"] == "0" else f" ({v['number']})"}
    ),
    "mail_address_wrong": lambda v: _(
        "The e-mail address cannot be right. Tell by telephone and ask for it."
    ),
    "mail_cannot_be_written": lambda v: _("This mail could not be written. Tell the club admin."),
    "mail_killed_its_process": lambda v: _("Sending broke off three times. Tell by telephone."),
    "mail_no_address": lambda v: _("There is no e-mail address. Tell by telephone."),
    "mail_put_off_too_often": lambda v: (
        _("The other mail server did not take it for a day (%(number)s). Tell by telephone.") % v
    ),
    "mail_refused": lambda v: (
        _("The other mail server refuses this letter (%(number)s). Tell by telephone.") % v
    ),
    "mail_too_late": lambda v: _("It was out of date before it could be sent."),
    "mail_unsure": lambda v: _(
        "It may have arrived: the other server broke off twice. Ask by telephone whether it did."
    ),
    "mail_wants_no_mail": lambda v: _("This person wants no mails. Tell by telephone."),
}
