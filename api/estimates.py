"""How long will it take, without needing a tree."""

from __future__ import annotations

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from api.people import actor_for
from collection.queries import estimates

NUMBER = {"required": False, "min_value": 0, "max_value": 100_000}
SKILLS = ("novice", "learning", "practised", "expert")


class Asked(serializers.Serializer[Any]):
    """What is known of the work; task and one count are enough."""

    task = serializers.ChoiceField(choices=estimates.TASKS_TO_ASK)
    branches_total = serializers.FloatField(**NUMBER)
    primary = serializers.FloatField(**NUMBER)
    secondary = serializers.FloatField(**NUMBER)
    fine = serializers.FloatField(**NUMBER)
    wire_m = serializers.FloatField(**NUMBER)
    amount = serializers.FloatField(**NUMBER)
    diameter_mm = serializers.FloatField(**NUMBER)
    pot_litres = serializers.FloatField(**NUMBER)
    height_cm = serializers.FloatField(**NUMBER)
    group = serializers.RegexField(r"^G(0[1-9]|1[0-5])$", required=False)
    stage = serializers.ChoiceField(choices=("R", "B", "F", "S"), required=False)
    skill = serializers.ChoiceField(choices=SKILLS, required=False, default="practised")

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        unknown = sorted(set(self.initial_data) - set(self.fields))
        if unknown:
            raise serializers.ValidationError({unknown[0]: "There is no such field. Leave it out."})
        if attrs.get("amount") and not estimates.other_kind(attrs["task"]):
            sentence = "This task counts branches or wire. Use those fields instead."
            raise serializers.ValidationError({"amount": sentence})
        return attrs


class Estimates(APIView):
    """POST the work, get its hours with every line of the sum."""

    def post(self, request: Request) -> Response:
        actor = actor_for(request)
        asked = Asked(data=request.data)
        asked.is_valid(raise_exception=True)
        return Response(answer(actor.club_id, asked.validated_data))


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
