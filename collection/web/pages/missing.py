"""What is missing before a day."""

from __future__ import annotations

from types import SimpleNamespace

from django.urls import reverse

from collection.queries.labels import day, in_words
from collection.queries.missing import Lack, Missing
from collection.web.pages.parts import Empty, Tag, lead, page

GROUPS = (
    ("People", ("people", "lead", "first_aider")),
    ("Consent", ("consent",)),
    ("Sign-off", ("sign_off",)),
    ("Second pair of hands", ("second", "invitation")),
    ("Trees to bring", ("bring",)),
)
MEND = {
    "people": "See who has not answered",
    "lead": "Name a lead",
    "first_aider": "Name a first aider",
    "consent": "Write the consent down",
    "sign_off": "See the bend",
    "second": "Find somebody",
    "bring": "Say who brings it",
    "invitation": "Ask somebody else",
}
# Where on that page: the list of who has not answered, the field that names who brings a tree.
AT = {"people": "#silent", "bring": "#id_brought_by_id"}


def missing_page(found: Missing) -> SimpleNamespace:
    """Everything ``day/missing.html`` reads."""
    groups = [
        SimpleNamespace(title=title, rows=[_row(lack) for lack in found.lacks if lack.kind in kinds])
        for title, kinds in GROUPS
    ]
    return page(
        title=f"Missing before {day(found.date)}",
        lead=lead(count_words(len(found.lacks))),
        groups=[group for group in groups if group.rows],
        brought=[
            SimpleNamespace(
                tag=Tag(accession, reverse("tree", args=[tree])), sentence=f"{name} brings this tree."
            )
            for tree, accession, name in found.brought
        ],
        empty=None if found.lacks else Empty("Nothing is missing. Everything is ready for the day."),
        back=SimpleNamespace(url=reverse("day", args=[found.workday_id]), words="Back to the day"),
        foot_left="Telephone numbers are seen by coordinators only.",
        foot_right="",
    )


def count_words(number: int) -> str:
    """How many things are missing, in a sentence."""
    if not number:
        return "Nothing is missing before this day."
    verb = "thing is" if number == 1 else "things are"
    return f"{in_words(number)} {verb} missing before this day."


def _row(lack: Lack) -> SimpleNamespace:
    name, key = lack.mend
    words = MEND[lack.kind]
    if name == "day" and lack.kind != "people":
        words = "See the day"
    return SimpleNamespace(
        tag=Tag(lack.tree[1], reverse("tree", args=[lack.tree[0]])) if lack.tree else None,
        sentence=lack.sentence,
        call=SimpleNamespace(
            url="tel:" + "".join(lack.call[1].split()), words=f"Telephone {lack.call[0]}, {lack.call[1]}"
        )
        if lack.call
        else None,
        url=reverse(name, args=[key]) + AT.get(lack.kind, ""),
        words=words,
    )
