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
