"""What belongs to a sign-in and not to a club."""

from __future__ import annotations

from collection.models import Account
from collection.queries.errors import Refused

THEMES = ("", "light", "dark")


def choose_theme(*, account_id: int, theme: str) -> None:
    """Light, dark, or "" for as the device says.

    Raises:
        Refused: ``theme_unknown``.
    """
    if theme not in THEMES:
        raise Refused("theme_unknown", field="theme", given=theme)
    Account.objects.filter(pk=account_id).update(theme=theme)
