"""Sentences about how a program asks: keys of requests, versions, pages of a list, keys for programs."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.utils.translation import gettext as _

API_SENTENCES: dict[str, Callable[[Mapping[str, Any]], str]] = {
    "cursor_unreadable": lambda v: _("This cursor does not belong to this list. Start again without one."),
    "key_days": lambda v: _("Choose how long the key is good: from 1 to %(most)d days.") % v,
    "key_name_missing": lambda v: _("Name the program that will use the key."),
    "key_reads_only": lambda v: _("This key may only read. Use one that may write."),
    "keys_enough": lambda v: _("You have %(most)d keys. Take one back before you make another.") % v,
    "no_sign_in": lambda v: _("Somebody without a sign-in cannot have keys for programs."),
    "parameter_twice": lambda v: _("%(name)s stands in the address twice. Write it once.") % v,
    "parameter_unknown": lambda v: _("This address has no %(name)s. Leave it out.") % v,
    "request_key_missing": lambda v: _(
        "Send an Idempotency-Key with this write: 8 to 64 characters, new each time."
    ),
    "request_key_unreadable": lambda v: _(
        "An Idempotency-Key has 8 to 64 letters, digits, dots, dashes or colons."
    ),
    "request_key_used": lambda v: _("This Idempotency-Key came with another request. Take a new one."),
    "request_running": lambda v: _(
        "The first request with this key is still running. Ask again in a second."
    ),
    "body_too_long": lambda v: _("The body is too long. At most %(most)d bytes fit.") % v,
    "version_needed": lambda v: _("Send If-Match with the ETag you read, so that nobody's edit is lost."),
    "version_unreadable": lambda v: _('If-Match takes one ETag as it was sent, like "7".'),
}
