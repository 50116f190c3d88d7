"""What a team can lift together, against what each could alone.

Source: HSE, Manual handling, guidance on regulations L23: two people two thirds of the sum, three people one
half, more than four unlikely to work (read in a stored extract and on three pages that quote it). No share
is published for four.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from collection.craft.figures import OutOfRange, positive

TEAM_SHARE = {1: 1.0, 2: 2 / 3, 3: 1 / 2}
UNLIKELY_ABOVE = 4


def team_kg(each_kg: Sequence[float]) -> float:
    """What a team is reckoned to lift, kg, from what each could lift alone.

    Raises:
        OutOfRange: ``team_none``, ``team_of_four`` (no figure published), ``team_too_many`` or
            ``size_above_zero``.
    """
    people = len(each_kg)
    if not people:
        raise OutOfRange("team_none")
    if people > UNLIKELY_ABOVE:
        raise OutOfRange("team_too_many", given=people)
    if people not in TEAM_SHARE:
        raise OutOfRange("team_of_four", given=people)
    for kg in each_kg:
        positive("size_above_zero", each_kg=kg)
    return TEAM_SHARE[people] * math.fsum(each_kg)


def third_helps(first_kg: float, second_kg: float, third_kg: float) -> bool:
    """Whether a third person adds to a pair: only one who lifts more than a third of their sum."""
    return team_kg((first_kg, second_kg, third_kg)) > team_kg((first_kg, second_kg))
