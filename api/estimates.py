"""How long will it take, without needing a tree."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers

from api.fields import Body, Choice, Number, Shown, Whole, Words
from api.operations import Asked, Noun, asks
from api.words import GROUPS, LEVELS, STAGES
from collection.queries import estimates

SIZE = {"required": False, "min_value": 0, "max_value": 100_000}


class Work(Body):
    """What is known of the work; a task and one count are enough."""

    task = Choice(choices=estimates.TASKS_TO_ASK)
    branches_total = Number(**SIZE)
    primary = Number(**SIZE)
    secondary = Number(**SIZE)
    fine = Number(**SIZE)
    wire_m = Number(**SIZE)
    amount = Number(**SIZE, help_text="Of the one other thing the task counts, such as cut sites.")
    diameter_mm = Number(**SIZE)
    pot_litres = Number(**SIZE)
    height_cm = Number(**SIZE)
    group = Choice(choices=GROUPS, required=False)
    stage = Choice(choices=STAGES, required=False)
    skill = Choice(choices=LEVELS, required=False, default="practised")

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        if attrs.get("amount") and not estimates.other_kind(attrs["task"]):
            sentence = "This task counts branches or wire. Use those fields instead."
            raise serializers.ValidationError({"amount": [sentence]})
        return attrs


class SumLine(Shown):
    """One line of a sum."""

    label = Words()
    minutes = Number()
    weight = Number()
    trust = Words()


class WorkedOut(Shown):
    """Minutes of labour, all people together, unless the name says otherwise."""

    task = Words()
    low_min = Number()
    most_common_min = Number()
    high_min = Number()
    likely_min = Number()
    range80_min = serializers.ListField(child=Number(), min_length=2, max_length=2)
    cautious_min = Number()
    elapsed_min = Number()
    held_min = Number()
    people = Whole()
    sittings = Whole()
    trust = Choice(choices=("guess", "estimate", "measured"))
    rule = Words()
    lines = SumLine(many=True)
    notes = serializers.ListField(child=Words())


class Estimates(Noun):
    """The work, as far as it is known; its hours, with every line of the sum."""

    noun = "estimates"

    @asks(WorkedOut, body=Work)
    def post(self, asked: Asked) -> dict[str, Any]:
        """How long a piece of work takes."""
        return answer(asked.actor.club_id, asked.body)


def answer(club_id: int, data: dict[str, Any]) -> dict[str, Any]:
    """The estimate in plain figures: minutes of labour unless the name says otherwise."""
    counts = {name: data[name] for name in ("primary", "secondary", "fine") if data.get(name)}
    other = estimates.other_kind(data["task"])
    if data.get("amount") and other:
        counts[other] = data["amount"]
    if data.get("diameter_mm"):
        counts["bend_mm"] = data["diameter_mm"]
    found = estimates.ask(
        club_id,
        task=data["task"],
        counts=counts,
        branches_total=data.get("branches_total"),
        wire_m=data.get("wire_m"),
        group=data.get("group", ""),
        stage=data.get("stage", ""),
        height_cm=data.get("height_cm"),
        pot_litres=data.get("pot_litres"),
        skill=data["skill"],
    )
    number = estimates.opened(found)
    return {
        "task": data["task"],
        "low_min": found.low_min,
        "most_common_min": found.likely_min,
        "high_min": found.high_min,
        "likely_min": found.mean_min,
        "range80_min": list(found.range80_min),
        "cautious_min": found.cautious_min,
        "elapsed_min": found.elapsed_min,
        "held_min": found.held_min,
        "people": found.crew,
        "sittings": found.sittings,
        "trust": found.trust,
        "rule": number.rule,
        "lines": [
            {"label": line.label, "minutes": line.value, "weight": line.weight, "trust": line.trust}
            for line in number.lines
        ],
        "notes": list(number.notes),
    }
