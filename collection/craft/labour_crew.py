"""How many people a job needs at once, and which triggers ask for them; the strictest wins.

None of these figures says that a lift or a bend is safe. They say when to get help.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from collection.craft.labour_types import EstimateRequest
from collection.craft.quantities import Amount, default_pot_litres, guessed_mass_kg
from collection.craft.reasons import Reason

# Groups with kinds that snap: needle juniper, hornbeam, azalea, olive (assumption).
BRITTLE_GROUPS = frozenset({"G04", "G10", "G11", "G13"})
ONE_PERSON_KG, TWO_PERSON_KG, LIFTING_AID_KG = 15.0, 30.0, 40.0
LIMIT_MM, BRITTLE_LIMIT_MM = 20.0, 10.0
TRUNK_MM, THREE_PEOPLE_MM, HELD_WIRE_MM = 25.0, 50.0, 5.0
LIFTS = {"REPOT": 2, "UP_POT": 2, "PROTECT": 1, "TURN": 1, "SHOW_PREP": 1}
_WIRE_LAID = ("WIRE_STRUCT", "WIRE_DETAIL")


@dataclass(frozen=True, slots=True)
class Mass:
    """Mass of tree and pot, kg, weighed or guessed."""

    kg: float
    guessed: bool


@dataclass(frozen=True, slots=True)
class CrewNeed:
    """People needed at once and every trigger that asked for them."""

    people: int
    reasons: tuple[Reason, ...]


def is_brittle(request: EstimateRequest) -> bool:
    """Whether the wood is brittle: as said, else by species group (assumption)."""
    if request.brittle is not None:
        return request.brittle
    return "brittle" in request.conditions or request.group in BRITTLE_GROUPS


def mass_of(request: EstimateRequest) -> Mass | None:
    """The tree's mass: weighed, else guessed from pot or height, else not known."""
    counted = request.quantities.get("mass_kg")
    if request.mass_kg is not None:
        return Mass(request.mass_kg, False)
    if counted is not None:
        return Mass(counted.value, counted.origin == "default")
    pot = request.quantities.get("pot_litres")
    litres = pot.value if pot is not None else request.pot_litres
    if litres is None and request.height_cm is not None:
        litres = default_pot_litres(request.height_cm)
    return None if litres is None else Mass(guessed_mass_kg(litres, request.height_cm), True)


def needs_two_to_lift(request: EstimateRequest) -> bool:
    """Whether the tree and pot are over 15 kg, weighed or guessed (assumption)."""
    mass = mass_of(request)
    return mass is not None and mass.kg > ONE_PERSON_KG


def lifts_of(request: EstimateRequest) -> int:
    """How often the job lifts or turns the tree by hand (assumption by task)."""
    return LIFTS.get(request.task, 0) if request.lifts is None else request.lifts


def crew_for(request: EstimateRequest, amounts: Mapping[str, Amount], row_crew: int) -> CrewNeed:
    """People needed at once: the largest number any trigger asks for.

    Args:
        amounts: What the estimate counts, by kind; ``bend_mm`` and ``pot_litres`` among them.
        row_crew: Most people asked for by a row of the pace table.

    Source: assumption and common practice. Three people at a bend of about 6 cm: an owner and two
    helpers in two reports (apprentice's web log, 12 February 2012; forum report of a class, 14 June
    2009). Three to four people or a lift for a large oak: National Bonsai Foundation note on
    repotting a coast live oak.
    """
    found = [*_bend(request, amounts), *_mass(request), *_wire(request), *_said(request)]
    if row_crew > 1:
        found.append((row_crew, Reason.of("crew_table", task=request.task, people=row_crew)))
    return CrewNeed(max((people for people, _ in found), default=1), tuple(reason for _, reason in found))


def _bend(request: EstimateRequest, amounts: Mapping[str, Amount]) -> list[tuple[int, Reason]]:
    if request.task != "HEAVY_BEND":
        return []
    found = []
    diameter_mm = amounts["bend_mm"].value
    limit_mm = request.group_limit_mm or (BRITTLE_LIMIT_MM if is_brittle(request) else LIMIT_MM)
    if diameter_mm >= limit_mm:
        found.append((2, Reason.of("crew_bend", diameter_mm=diameter_mm, limit_mm=limit_mm, people=2)))
    if diameter_mm >= THREE_PEOPLE_MM:
        found.append((3, Reason.of("crew_bend", diameter_mm=diameter_mm, limit_mm=THREE_PEOPLE_MM, people=3)))
    if "trunk_bend" in request.circumstances and diameter_mm > TRUNK_MM:
        people = 3 if "pot_must_be_held" in request.circumstances else 2
        found.append((people, Reason.of("crew_trunk", diameter_mm=diameter_mm, people=people)))
    return found


def _mass(request: EstimateRequest) -> list[tuple[int, Reason]]:
    mass = mass_of(request)
    if mass is None or not lifts_of(request) or mass.kg <= ONE_PERSON_KG:
        return []
    people = 3 if mass.kg > TWO_PERSON_KG else 2
    return [(people, Reason.of("crew_mass", mass_kg=mass.kg, guessed=mass.guessed, people=people))]


def _wire(request: EstimateRequest) -> list[tuple[int, Reason]]:
    if request.task not in _WIRE_LAID:
        return []
    found = []
    if request.thickest_wire_mm is not None and request.thickest_wire_mm >= HELD_WIRE_MM:
        found.append((2, Reason.of("crew_wire", wire_mm=request.thickest_wire_mm, people=2)))
    if _learner_on_primaries(request):
        found.append((2, Reason.of("crew_novice_primary", people=2)))
    return found


def _said(request: EstimateRequest) -> list[tuple[int, Reason]]:
    codes = {
        "lever_under_load": "crew_tool",
        "powered_carving": "crew_carving",
        "steps": "crew_steps",
    }
    said = [codes[name] for name in sorted(request.circumstances) if name in codes]
    return [(2, Reason.of(code, people=2)) for code in said]


def watched(request: EstimateRequest) -> bool:
    """Whether the second person watches or teaches, so that all work takes both people's time."""
    return _learner_on_primaries(request) or bool({"powered_carving", "steps"} & request.circumstances)


def _learner_on_primaries(request: EstimateRequest) -> bool:
    return request.skill == "novice" and request.task == "WIRE_STRUCT"
