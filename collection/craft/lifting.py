"""How many people move a tree, or that it wants a lifting aid: the strictest of three rules, named.

NIOSH and HSE know work, not gardens, and the club's rule is a habit. The answer says when to get help. No
figure here says that a lift does no harm.
"""

from __future__ import annotations

from dataclasses import dataclass

from collection.craft.figures import OutOfRange, Step, step, within
from collection.craft.hse import CARRY_M, Filter, one_person, reach_of, zone_of
from collection.craft.labour_crew import LIFTING_AID_KG, ONE_PERSON_KG, TWO_PERSON_KG
from collection.craft.niosh import GOAL, Hands, Lift, LiftTask, niosh
from collection.craft.quantities import default_pot_litres
from collection.craft.reasons import Reason
from collection.craft.reference import table
from collection.craft.teams import TEAM_SHARE, team_kg

WITH_AID = 2  # one at the aid, one steadies the tree (assumption)
LOW_HANDS_CM = 25.0
FAIR_TO_CM = 40.0
# Where hands hold a pot when nobody says: on the ground, on a bench, on a turntable (assumption).
GROUND_CM, BENCH_CM, TURNTABLE_CM = 20.0, 75.0, 90.0
USUAL_WIDTH_CM = 40.0  # assumption


# --- mass -------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class PotMass:
    """Mass of tree and pot, kg, weighed or guessed."""

    kg: float
    guessed: bool
    lines: tuple[Step, ...]


def pot_mass(
    *,
    weighed_kg: float | None = None,
    said_kg: float | None = None,
    pot_litres: float | None = None,
    height_cm: float | None = None,
) -> PotMass:
    """A tree's mass: weighed, else as somebody said, else guessed from its pot's volume and its height.

    Raises:
        OutOfRange: ``mass_range`` for a size that cannot be; ``mass_unknown`` if nothing is known.
    """
    if weighed_kg is not None:
        within("mass_range", 0.1, 1000, weighed_kg=weighed_kg)
        return PotMass(weighed_kg, False, (step("mass_weighed", weighed_kg, mass_kg=weighed_kg),))
    if said_kg is not None:
        within("mass_range", 0.1, 1000, said_kg=said_kg)
        return PotMass(said_kg, True, (step("mass_said", said_kg, mass_kg=said_kg),))
    if pot_litres is None and height_cm is None:
        raise OutOfRange("mass_unknown")
    lines: list[Step] = []
    if height_cm is not None:
        within("mass_range", 1, 500, height_cm=height_cm)
    if pot_litres is None:
        pot_litres = default_pot_litres(height_cm)
        lines.append(step("mass_litres", pot_litres, height_cm=height_cm or 0))
    within("mass_range", 0.01, 1000, pot_litres=pot_litres)
    tall = 60.0 if height_cm is None else height_cm
    parts = {"mix_kg": 1.4 * pot_litres, "pot_kg": 0.5 * pot_litres, "tree_kg": 0.05 * tall}
    kg = sum(parts.values())
    lines += [
        step("mass_mix", parts["mix_kg"], pot_litres=pot_litres),
        step("mass_pot", parts["pot_kg"], pot_litres=pot_litres),
        step("mass_tree", parts["tree_kg"], height_cm=tall),
        step("mass_guess", kg, **parts),
    ]
    return PotMass(kg, True, tuple(lines))


def reach_cm(width_cm: float, v_cm: float) -> Step:
    """Reach of the hands, cm, from a pot's width where nobody can measure it (NIOSH manual p. 8).

    Raises:
        OutOfRange: ``lift_width`` or ``lift_hands``.
    """
    within("lift_width", 5, 150, width_cm=width_cm)
    within("lift_hands", 0, 300, v_cm=v_cm)
    near = 25.0 if v_cm < LOW_HANDS_CM else 20.0
    return step("niosh_reach", near + width_cm / 2, width_cm=width_cm, v_cm=v_cm)


def coupling_of(width_cm: float | None) -> str:
    """How well hands hold a pot: fair, or poor when it is wider than 40 cm or nobody knows.

    Source: NIOSH manual pp. 17-18 (a public specification that quotes it): a container over 40 cm, or with
        rough or slippery sides, is held poorly, and in doubt the worse class counts. A pot has no handles.
    """
    return "fair" if width_cm is not None and width_cm <= FAIR_TO_CM else "poor"


# --- the move ---------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Move:
    """Moving one tree by hand.

    Attributes:
        origin, destination: Hands where it is taken up and set down.
        carry_m: How far it is carried.
        coupling, per_min, hours, outside: As in ``niosh.LiftTask``.
        column: HSE column; the stricter one where nobody knows who will lift.
    """

    mass: PotMass
    origin: Hands
    destination: Hands
    carry_m: float = 0.0
    coupling: str = "fair"
    per_min: float = 0.2
    hours: float = 1.0
    outside: frozenset[str] = frozenset()
    column: str = "women"

    def __post_init__(self) -> None:
        within("lift_carry", 0, 1000, carry_m=self.carry_m)


def usual_move(mass: PotMass, *, width_cm: float | None = None, ground: bool = False) -> Move:
    """The usual lift of repotting and moving: from bench or ground to the turntable, hands at the rim.

    Args:
        width_cm: The pot's width; 40 cm and a poor grip when nobody knows (assumption).
        ground: It stands on the ground, not on a bench.

    Raises:
        OutOfRange: ``lift_width``.
    """
    heights = (GROUND_CM if ground else BENCH_CM, TURNTABLE_CM)
    width = USUAL_WIDTH_CM if width_cm is None else width_cm
    start, end = (Hands(reach_cm(width, height).value, height) for height in heights)
    return Move(mass, start, end, coupling=coupling_of(width_cm))


@dataclass(frozen=True, slots=True)
class ClubRule:
    """A club's own steps of mass, kg: one person, two people, and where an aid is a must."""

    one_kg: float = ONE_PERSON_KG
    two_kg: float = TWO_PERSON_KG
    aid_kg: float = LIFTING_AID_KG

    def __post_init__(self) -> None:
        if not 0 < self.one_kg <= self.two_kg <= self.aid_kg <= 500:
            raise OutOfRange("club_steps", one_kg=self.one_kg, two_kg=self.two_kg, aid_kg=self.aid_kg)


@dataclass(frozen=True, slots=True)
class Says:
    """What one rule asks for.

    Attributes:
        rule: "niosh", "hse" or "club".
        people: People at once; None where the rule gives no number.
        aid: It wants a lifting aid.
        reasons: The rule's answer, or why it has none.
    """

    rule: str
    people: int | None
    aid: bool
    lines: tuple[Step, ...]
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class MoveAnswer:
    """The strictest answer.

    Attributes:
        people: At once; with an aid at least two.
        aid: It wants a lifting aid.
        decided_by: The rules that ask for that, each also in ``rules``.
        reasons: What a reader must know beside the rules' own reasons.
    """

    move: Move
    people: int
    aid: bool
    decided_by: tuple[str, ...]
    rules: tuple[Says, ...]
    reasons: tuple[Reason, ...]


def move_answer(move: Move, club: ClubRule | None = None) -> MoveAnswer:
    """How many people move this tree, or that it wants a lifting aid.

    Raises:
        OutOfRange: Sizes no lift can have, as ``niosh.LiftTask`` and ``hse.one_person`` refuse them.
    """
    rules = (_niosh_says(move), _hse_says(move), _club_says(move, club or ClubRule()))
    aid = any(rule.aid for rule in rules)
    most = max(rule.people or 1 for rule in rules)
    # What NIOSH and HSE ask of bare hands does not hold at a trolley; the club's own number does.
    people = max(rules[-1].people or 1, WITH_AID) if aid else most
    decided = tuple(rule.rule for rule in rules if (rule.aid if aid else rule.people == most))
    return MoveAnswer(move, people, aid, decided, rules, _remarks(move, people, aid=aid))


def _remarks(move: Move, people: int, *, aid: bool) -> tuple[Reason, ...]:
    found = []
    if move.mass.guessed:
        found.append(Reason.of("labour_mass_guessed", mass_kg=move.mass.kg))
    too_much = sum(float(row["mass_kg"]) < move.mass.kg for row in table("reference_mass"))
    if people == 1 and too_much:
        found.append(Reason.of("lift_first_step", mass_kg=move.mass.kg, groups=too_much))
    if aid:
        found.append(Reason.of("lift_with_aid", people=WITH_AID))
    found.append(Reason.of("lift_ranks_only"))
    return tuple(found)


# --- the three rules --------------------------------------------------------------------------


def niosh_lift(move: Move) -> Lift:
    """The lifting equation for one person who lifts the whole tree and sets it down with care.

    The carry is left out: the equation does not know it, and the HSE figures take it.
    """
    return niosh(
        LiftTask(
            load_kg=move.mass.kg,
            origin=move.origin,
            d_cm=abs(move.destination.v_cm - move.origin.v_cm),
            destination=move.destination,
            per_min=move.per_min,
            hours=move.hours,
            coupling=move.coupling,
            outside=move.outside,
        )
    )


def _niosh_says(move: Move) -> Says:
    lift = niosh_lift(move)
    if lift.rwl_kg is None or lift.index is None:
        # A factor of nought recommends no mass at all; outside its scope the equation says nothing.
        return Says("niosh", None, lift.multipliers is not None, lift.lines, lift.reasons)
    for people, share in TEAM_SHARE.items():
        index = move.mass.kg / (people * share * lift.rwl_kg)
        if index <= GOAL:
            given = {"load_kg": move.mass.kg, "people": people, "share": share, "rwl_kg": lift.rwl_kg}
            line = step("niosh_people", index, **given)
            why = Reason.of("lift_niosh", people=people, index=lift.index)
            return Says("niosh", people, False, (*lift.lines, line), (why,))
    return Says("niosh", None, True, lift.lines, (Reason.of("lift_niosh_aid", index=lift.index),))


def hse_filter(move: Move) -> Filter:
    """The smallest filter figure of the zones in which the tree is taken up and set down."""
    both = (move.origin, move.destination)
    found = [
        one_person(
            zone_of(hands.v_cm),
            reach_of(hands.h_cm),
            column=move.column,
            a_deg=hands.a_deg,
            per_min=move.per_min,
        )
        for hands in both
    ]
    return min(found, key=lambda one: one.kg)


def _hse_says(move: Move) -> Says:
    one = hse_filter(move)
    if move.carry_m > CARRY_M:
        why = Reason.of("lift_hse_far", carry_m=move.carry_m, most_m=CARRY_M)
        return Says("hse", None, True, one.lines, (why,))
    for people, share in TEAM_SHARE.items():
        together = team_kg((one.kg,) * people)
        line = step("team_share", together, share=share, people=people, each_kg=one.kg)
        if move.mass.kg <= together:
            why = Reason.of("lift_hse", people=people, together_kg=together)
            return Says("hse", people, False, (*one.lines, line), (why,))
    return Says("hse", None, True, (*one.lines, line), (Reason.of("lift_hse_aid", together_kg=together),))


def _club_says(move: Move, club: ClubRule) -> Says:
    kg = move.mass.kg
    people = 1 if kg <= club.one_kg else 2 if kg <= club.two_kg else 3
    steps = {"one_kg": club.one_kg, "two_kg": club.two_kg, "aid_kg": club.aid_kg}
    line = step("club_people", people, mass_kg=kg, **steps)
    if kg > club.aid_kg:
        return Says("club", people, True, (line,), (Reason.of("lift_club_aid", aid_kg=club.aid_kg),))
    return Says("club", people, False, (line,), (Reason.of("lift_club", people=people),))
