"""How many people move a tree, on its page."""

from __future__ import annotations

from types import SimpleNamespace

from collection.queries.moving import Moving
from collection.web.pages.parts import number_of


def moving_part(found: Moving) -> SimpleNamespace:
    """Everything ``tree/_moving.html`` reads."""
    return SimpleNamespace(
        answer=found.answer or "Nobody knows what it weighs.",
        mass=number_of(found.mass) if found.mass else None,
        rules=[
            SimpleNamespace(
                name=one.name[0].upper() + one.name[1:],
                answer=one.answer,
                number=number_of(one.number),
                said=one.sentence,
                decides=one.decides,
            )
            for one in found.rules
        ],
        notes=found.notes,
    )
