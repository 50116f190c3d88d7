"""What the import commands need to know, and a problem in words."""

from __future__ import annotations

from datetime import date

from collection.craft.reasons import Reason
from collection.models import Club
from collection.queries.access import Actor, house
from collection.queries.clock import today_in
from collection.queries.errors import Refused
from collection.queries.import_words import where
from collection.queries.sentences import say


def importing_club(name: str = "") -> tuple[Actor, date]:
    """The club of that name, or the only one, acting for itself by the door "import"; and its date.

    Raises:
        Refused: ``import_no_such_club`` or ``import_which_club``.
    """
    clubs = Club.objects.order_by("name")
    found = [club for club in clubs if not name or club.name.casefold() == name.strip().casefold()]
    if len(found) != 1:
        names = tuple(club.name for club in clubs)
        raise Refused("import_which_club" if found else "import_no_such_club", name=name, names=names)
    return house(found[0], door="import"), today_in(found[0].zone)


def problem_line(sheet: str, place: str, column: str, reason: Reason, *, several_sheets: bool) -> str:
    """A problem in words: "Row 14, column Height: 'tall' is not a length. ..."."""
    return f"{where(sheet if several_sheets else '', place, column)}: {say(reason)}"
