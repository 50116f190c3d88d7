"""Ways to bend heavy wood, and what each asks for (common practice, no source)."""

from __future__ import annotations

# Name -> circumstances that come with it (see ``labour_types.CIRCUMSTANCES``).
METHODS: dict[str, frozenset[str]] = {
    "Coil and hand": frozenset(),
    "Wrap, doubled wire, hand": frozenset(),
    "Guy with tourniquet or turnbuckle": frozenset(),
    "Branch jack or screw clamp": frozenset({"lever_under_load"}),
    "Lever bar": frozenset({"lever_under_load"}),
    "Frame of bar or bamboo": frozenset({"lever_under_load"}),
    "Notch, groove or hollow": frozenset(),
    "Split": frozenset(),
    "In stages": frozenset(),
}


def asks_for(method: str) -> frozenset[str]:
    """What a method by its name brings with it; nothing for one that is not on the list."""
    return METHODS.get(method, frozenset())


# Name -> people at once (common practice, no source). A guy takes a second person above 25 mm.
CREW: dict[str, int] = {
    "Coil and hand": 1,
    "Wrap, doubled wire, hand": 2,
    "Guy with tourniquet or turnbuckle": 1,
    "Branch jack or screw clamp": 2,
    "Lever bar": 2,
    "Frame of bar or bamboo": 2,
    "Notch, groove or hollow": 2,
    "Split": 2,
    "In stages": 1,
}
GUY, GUY_ALONE_TO_MM = "Guy with tourniquet or turnbuckle", 25.0
# Wood is cut, hollowed or split: for an expert only.
CUTS = frozenset({"Notch, groove or hollow", "Split"})


def crew_of(method: str, diameter_mm: float) -> int:
    """People a method takes at once; one for a method that is not on the list."""
    if method == GUY and diameter_mm > GUY_ALONE_TO_MM:
        return 2
    return CREW.get(method, 1)
