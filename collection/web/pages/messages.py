"""Messages: one's own, and those of the club."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace

from django.urls import reverse

from collection.queries.access import Actor
from collection.queries.labels import counted, dated, in_words
from collection.queries.messages import PAGE, Hearer, Letter, Letters
from collection.web.pages.parts import Action, Empty, lead, page

EXAMPLE = "You on Saturday 28 November, one wire to look at"


def own_page(found: Letters, actor: Actor) -> SimpleNamespace:
    """Everything ``message/list.html`` reads, for one person."""
    club = [Action("Messages of the club", reverse("messages-club"))] if actor.plans else []
    return _page(
        found,
        title="Your messages",
        said=f"A round-up comes from {found.hour}:00 on, {_at_most(found)} a week. "
        "News that cannot wait comes besides.",
        url=reverse("messages"),
        actions=club,
        named=False,
    )


def club_page(found: Letters, to_hear: Sequence[Hearer]) -> SimpleNamespace:
    """Everything ``message/list.html`` reads, for those who plan."""
    waiting = sum(1 for row in found.rows if row.waits)
    parked = len(found.to_telephone)
    said = f"{counted(found.total, 'message', 'messages')} in all."
    if waiting:
        said += f" {in_words(waiting)} on this page {'waits' if waiting == 1 else 'wait'} to be sent."
    if parked:
        said += f" {in_words(parked)} {'is' if parked == 1 else 'are'} to be told by telephone."
    if to_hear:
        said += f" {in_words(len(to_hear))} {'is' if len(to_hear) == 1 else 'are'} still to hear news."
    return _page(
        found,
        title="Messages of the club",
        said=said,
        url=reverse("messages-club"),
        actions=[Action("Your messages", reverse("messages"), plain=True)],
        named=True,
        to_hear=[_hearer(one) for one in to_hear],
    )


def _hearer(one: Hearer) -> SimpleNamespace:
    news = counted(one.news, "piece of news", "pieces of news")
    if one.has_email:
        how = "Goes out by mail."
    elif one.telephone:
        how = f"No e-mail. Telephone {one.telephone}."
    else:
        how = "No e-mail and no telephone. Tell by word of mouth."
    return SimpleNamespace(name=one.name, news=news, how=how, missing=not one.has_email)


def _at_most(found: Letters) -> str:
    return "one at most" if found.most_a_week == 1 else f"{in_words(found.most_a_week).lower()} at most"


def _page(
    found: Letters,
    *,
    title: str,
    said: str,
    url: str,
    actions: list[Action],
    named: bool,
    to_hear: Sequence[SimpleNamespace] = (),
) -> SimpleNamespace:
    older, newer = found.start + PAGE, max(found.start - PAGE, 0)
    turn = []
    if found.start:
        turn.append(Action("Newer", f"{url}?start={newer}" if newer else url, plain=True))
    if older < found.total:
        turn.append(Action("Older", f"{url}?start={older}", plain=True))
    return page(
        title=title,
        lead=lead(said),
        actions=actions,
        telephone=[_row(row, named=True) for row in found.to_telephone],
        to_hear=to_hear,
        from_hour=f"{found.hour}:00",
        rows=[_row(row, named=named) for row in found.rows],
        empty=None if found.rows else Empty("Messages will be listed here.", EXAMPLE),
        turn=turn,
        foot_left="A message is kept as it was sent, without the secret part of its links.",
    )


def _row(row: Letter, *, named: bool) -> SimpleNamespace:
    return SimpleNamespace(
        day=dated(row.day),
        to=row.to if named else "",
        telephone=row.telephone,
        subject=row.subject,
        stands=row.stands,
        parked=row.parked,
        text=row.text,
    )
