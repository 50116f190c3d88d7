"""What people can push or pull, and how many hands a force asks for.

Reference forces of a published standard, the household column: helpers are volunteers. They sort jobs into
"one person" and "get help"; nothing below them is called harmless.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from collection.craft.figures import OutOfRange, Step, looked_up, positive, step
from collection.craft.reference import table
from collection.craft.teams import TEAM_SHARE

ADVISED, AVOIDED = 0.5, 0.7  # EN 1005-3, as quoted by a public work-safety program
# From memory, unverified; 1 unless somebody says otherwise.
SPEED = {"still": 1.0, "moving": 0.8}
DURATION = {1.0: 1.0, 2.0: 0.8, 8.0: 0.5}
BANDS = ("advised", "with_care", "avoided")


@dataclass(frozen=True, slots=True)
class Action:
    """One action and its basic forces, N."""

    action: str
    work_n: float
    home_n: float
    label: str
    source: str


@dataclass(frozen=True, slots=True)
class Pull:
    """A force against what people can give.

    Attributes:
        cap_n: What the people together can give, N.
        ratio: Force over that.
        band: One of ``BANDS``.
    """

    people: int
    force_n: float
    cap_n: float
    ratio: float
    band: str
    lines: tuple[Step, ...]


@cache
def actions() -> dict[str, Action]:
    """The table by action."""
    return {
        row["action"]: Action(
            row["action"], float(row["work_n"]), float(row["home_n"]), row["label"], row["source"]
        )
        for row in table("body_force")
    }


def duration_factor(hours: float) -> float:
    """Factor for how long in a day: up to 1, 2 or 8 hours (from memory).

    Raises:
        OutOfRange: ``force_hours`` beyond eight hours.
    """
    for most, factor in DURATION.items():
        if 0 < hours <= most:
            return factor
    raise OutOfRange("force_hours", given=hours)


def band_of(ratio: float) -> str:
    """Up to 0.5 advised, above 0.7 avoided, between them with care."""
    if ratio <= ADVISED:
        return "advised"
    return "with_care" if ratio <= AVOIDED else "avoided"


def pull(
    force_n: float,
    people: int = 1,
    *,
    action: str = "body_pull",
    column: str = "home",
    speed: str = "still",
    hours: float = 1.0,
    frequency: float = 1.0,
) -> Pull:
    """A force at the hands against what that many people can give together.

    Args:
        action: A key of ``actions``.
        column: "home" (one person of a hundred cannot) or "work" (fifteen of a hundred cannot).
        frequency: Factor for repetition; its table was not found, so 1 unless somebody says otherwise.

    Raises:
        OutOfRange: ``force_people``, ``force_hours``, ``force_action`` or ``size_above_zero``.
    """
    positive("size_above_zero", force_n=force_n)
    if people not in TEAM_SHARE:
        raise OutOfRange("force_people", given=people, high=max(TEAM_SHARE))
    if action not in actions() or column not in ("home", "work") or speed not in SPEED:
        raise OutOfRange("force_action", given=f"{action}, {column}, {speed}")
    if not 0 < frequency <= 1:
        raise OutOfRange("force_action", given=f"{action}, {frequency}")
    row = actions()[action]
    base = row.home_n if column == "home" else row.work_n
    factors = {"speed": SPEED[speed], "frequency": frequency, "duration": duration_factor(hours)}
    one = base * factors["speed"] * factors["frequency"] * factors["duration"]
    cap = TEAM_SHARE[people] * people * one
    lines = [
        looked_up("force_base", base, row.label, row.source, action=action, column=column),
        step("force_cap", one, base_n=base, **factors),
    ]
    if people > 1:
        lines.append(step("force_team", cap, share=TEAM_SHARE[people], people=people, cap_n=one))
    ratio = force_n / cap
    lines.append(step("force_ratio", ratio, force_n=force_n, cap_n=cap))
    return Pull(people, force_n, cap, ratio, band_of(ratio), tuple(lines))


def people_for(force_n: float) -> Pull:
    """The fewest people, at most three, for whom a pull is not to be avoided; else the pull of three."""
    tried = [pull(force_n, people) for people in TEAM_SHARE]
    return next((found for found in tried if found.band != "avoided"), tried[-1])
