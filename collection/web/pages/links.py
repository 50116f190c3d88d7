"""The page of a link from a mail."""

from __future__ import annotations

from types import SimpleNamespace

from collection.queries.link_pages import Asked
from collection.web.pages.parts import Action, cautions_for, hidden, page


def link_page(asked: Asked, url: str, proposed: str, refused: str) -> SimpleNamespace:
    """Everything ``link/link.html`` reads: the answer already given is said, the others are buttons.

    The answer that the mail's own button proposed is the main one; it must still be pressed.
    """
    left = [choice for choice in asked.choices if not choice.given]
    main = next((choice.value for choice in left if choice.value == proposed), "")
    if not main and not asked.given and asked.purpose in ("day", "place") and left:
        main = left[0].value
    return page(
        title=asked.title,
        sentences=asked.sentences,
        given=asked.given,
        refused=refused,
        actions=[
            Action(
                choice.words,
                url,
                post=True,
                main=choice.value == main,
                hidden=hidden(answer=choice.value, shown=asked.digest),
            )
            for choice in left
        ],
        cautions=cautions_for(set(asked.cautions)),
    )
