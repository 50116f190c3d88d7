"""What to have at hand for a task: common practice, no source."""

from __future__ import annotations

KIT = {
    "wiring": "Wire by gauge, wire cutters, pliers, eye protection.",
    "bending": "Raffia or tape, pads, lever bar, turnbuckle or jack, wire cutters, eye protection.",
    "roots": "Root hook and rake, chopsticks, screens, tie wire, mix, a mat, gloves.",
    "trimming": "Clean scissors, cut paste, a tray for cuttings.",
    "pruning": "Concave and knob cutters, saw, cut paste, disinfectant.",
    "needles": "Tweezers, fine scissors, a tray.",
    "deadwood": "Jin pliers, carving knife, gloves, eye protection.",
    "lime": "Gloves, long sleeves, goggles, brush, a cover for the soil, water at hand.",
    "spray": "The label, gloves, mask, goggles, the spray book.",
    "feed": "Feed, a measure, gloves.",
    "grafting": "A sharp clean knife, tape, paste, labels.",
}
OF_TASK = {
    "WIRE_DETAIL": "wiring",
    "WIRE_STRUCT": "wiring",
    "WIRE_OFF": "wiring",
    "WIRE_CHECK": "wiring",
    "GUY": "wiring",
    "HEAVY_BEND": "bending",
    "REPOT": "roots",
    "UP_POT": "roots",
    "TRIM": "trimming",
    "PINCH": "trimming",
    "DEFOL_PART": "trimming",
    "DEFOL_FULL": "trimming",
    "DEADHEAD": "trimming",
    "FLOWER_THIN": "trimming",
    "PRUNE_STRUCT": "pruning",
    "CANDLE_BREAK": "needles",
    "DECANDLE": "needles",
    "CANDLE_PINCH": "needles",
    "BUD_SELECT": "needles",
    "NEEDLE_PLUCK": "needles",
    "DEADWOOD": "deadwood",
    "LIME": "lime",
    "SPRAY": "spray",
    "FEED_START": "feed",
    "FEED_STOP": "feed",
    "GRAFT": "grafting",
    "LAYER": "grafting",
}


def kit_for(task: str) -> str:
    """What to fetch before the work begins; "" where nothing special is needed."""
    return KIT.get(OF_TASK.get(task, ""), "")
