"""Tasks in words that fit into a sentence: "the repotting was done on ..."."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

WORDS = {
    "BUD_SELECT": _("the bud thinning"),
    "CANDLE_BREAK": _("the candle breaking"),
    "CANDLE_PINCH": _("the candle pinching"),
    "DEADHEAD": _("the deadheading"),
    "DEADWOOD": _("the deadwood work"),
    "DECANDLE": _("the candle cutting"),
    "DEFOL_FULL": _("the full leaf cutting"),
    "DEFOL_PART": _("the part leaf cutting"),
    "FEED_START": _("the feed"),
    "FEED_STOP": _("taking the feed off"),
    "FLOWER_THIN": _("the flower thinning"),
    "GRAFT": _("the grafting"),
    "GUY": _("the guy wire work"),
    "HEAVY_BEND": _("the heavy bend"),
    "LAYER": _("the layering"),
    "LIME": _("the lime sulphur"),
    "LOOK_OVER": _("the look-over"),
    "NEEDLE_PLUCK": _("the needle plucking"),
    "PEST": _("the pest look-over"),
    "PINCH": _("the pinching"),
    "PROTECT": _("the shelter work"),
    "PRUNE_STRUCT": _("the structure pruning"),
    "RECORD": _("the stocktake"),
    "REPOT": _("the repotting"),
    "SHOW": _("the journey to the show"),
    "SHOW_PREP": _("the show preparation"),
    "SPRAY": _("the spraying"),
    "TRIM": _("the trimming"),
    "TURN": _("the turning"),
    "UP_POT": _("the move to a larger pot"),
    "WATER": _("the watering"),
    "WIRE_CHECK": _("the look at the wire"),
    "WIRE_DETAIL": _("the fine wiring"),
    "WIRE_OFF": _("taking the wire off"),
    "WIRE_STRUCT": _("the main wiring"),
    "WRAP": _("the wrap"),
}


def work(code: str) -> str:
    """A task in words.

    Raises:
        KeyError: If the task has no words; a test finds such tasks before a reader does.
    """
    return str(WORDS[code])
