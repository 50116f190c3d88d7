"""What a heavy bend asks and what its figures say."""

from __future__ import annotations

import math
from dataclasses import dataclass

from collection.craft.body_force import Pull
from collection.craft.figures import OutOfRange, Step, within
from collection.craft.green_wood import Wood, woods
from collection.craft.labour_crew import CrewNeed
from collection.craft.labour_types import CIRCUMSTANCES
from collection.craft.reasons import Reason
from collection.craft.tasks import SKILL_LEVELS

# Outer-fibre strain from which a bend asks for more (assumption). They rank; wood may fail in any of them.
STRAIN_BANDS = ((0.0, "easy"), (0.05, "wire_and_wrap"), (0.10, "lever_and_expert"), (0.20, "cut_or_stage"))
EXPERT = SKILL_LEVELS[-1]


def band_of(strain: float) -> str:
    """The band a strain falls in; a strain on a limit belongs to the stricter band."""
    return next(band for least, band in reversed(STRAIN_BANDS) if strain >= least - 1e-12)


@dataclass(frozen=True, slots=True)
class BendWish:
    """A bend somebody wants.

    Attributes:
        diameter_mm: Thickness at the bend.
        length_mm: From the bend to where the hand, lever or guy pulls.
        drop_mm: How far that point is to move across the branch.
        radius_mm: Wanted radius of the centre line.
        angle_deg: Wanted angle; worked out from the drop when None.
        group: Species group G01 to G15.
        method: A name of ``bend_methods.METHODS``, or "".
        circumstances: Any of ``labour_types.CIRCUMSTANCES``.
        brittle: None to follow the group.
        wood: Key of a row of green wood to use in place of the nearest one.
        specific_gravity: Of this tree's wood, where somebody knows it.
        load_arm_mm, hand_arm_mm: Lever: pivot to branch and pivot to hand.
        people_on_lever: They share the force.
        guy_deg: Angle between guy wire and branch.
    """

    diameter_mm: float
    length_mm: float | None = None
    drop_mm: float | None = None
    radius_mm: float | None = None
    angle_deg: float | None = None
    group: str | None = None
    method: str = ""
    circumstances: frozenset[str] = frozenset()
    brittle: bool | None = None
    wood: str | None = None
    specific_gravity: float | None = None
    load_arm_mm: float | None = None
    hand_arm_mm: float | None = None
    people_on_lever: int = 1
    guy_deg: float | None = None

    def __post_init__(self) -> None:
        within("bend_diameter", 1, 200, diameter_mm=self.diameter_mm)
        for name, most in (("length_mm", 5000), ("drop_mm", 5000), ("hand_arm_mm", 5000)):
            self._refuse(name, 1, most)
        self._refuse("load_arm_mm", 1, 5000)
        self._refuse("angle_deg", 1, 180)
        self._refuse("specific_gravity", 0.2, 1.2)
        if self.radius_mm is not None and not self.diameter_mm / 2 < self.radius_mm < math.inf:
            raise OutOfRange("bend_radius", given=self.radius_mm, low=self.diameter_mm / 2)
        if self.drop_mm is not None and self.length_mm is None:
            raise OutOfRange("bend_length_missing")
        if (self.load_arm_mm is None) != (self.hand_arm_mm is None):
            raise OutOfRange("bend_lever_half")
        if self.people_on_lever not in (1, 2):
            raise OutOfRange("bend_lever_people", given=self.people_on_lever)
        if self.wood is not None and self.wood not in woods():
            raise OutOfRange("wood_unknown", given=self.wood)
        strange = sorted(self.circumstances - CIRCUMSTANCES)
        if strange:
            raise OutOfRange("circumstance_unknown", given=strange[0])

    def _refuse(self, name: str, low: float, high: float) -> None:
        size = getattr(self, name)
        if size is not None:
            within("bend_size", low, high, **{name: size})


@dataclass(frozen=True, slots=True)
class Range95:
    """A force with the range that holds 95 of 100 trees, N."""

    likely: float
    low: float
    high: float

    def times(self, factor: float) -> Range95:
        """The same, larger or smaller."""
        return Range95(self.likely * factor, self.low * factor, self.high * factor)


@dataclass(frozen=True, slots=True)
class BendFigures:
    """Everything worked out for a bend; None where a figure could not be had, and ``reasons`` says why.

    Attributes:
        strain, band: Outer-fibre strain and its band; they rank, they promise nothing.
        radius_mm: The tighter of the wanted radius and the one the drop makes.
        angle_deg: How far the branch turns.
        wood: The row that stands for this tree.
        force_n: Across the branch where it is pulled.
        hand_n: At each hand, after lever and sharing.
        guy_n: Along the guy wire.
        pull: The high end of the force at the hand against what people can give.
        heavy: Whether it counts as a heavy bend; ``heavy_for`` says why.
        crew: People at once, with every trigger.
        skill: Least skill of the one who leads.
        reasons: What a reader must know, the limits of it all among them.
    """

    wish: BendWish
    strain: float | None
    band: str | None
    radius_mm: float | None
    angle_deg: float | None
    wood: Wood | None
    force_n: Range95 | None
    hand_n: Range95 | None
    guy_n: Range95 | None
    pull: Pull | None
    heavy: bool
    heavy_for: tuple[Reason, ...]
    crew: CrewNeed
    skill: str
    lines: tuple[Step, ...]
    reasons: tuple[Reason, ...]
