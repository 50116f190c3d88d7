"""Every reason the season rules can give is a sentence a volunteer understands."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from collection.craft import reference, rules_clash, rules_order, rules_stress
from collection.craft.tasks import EVENTS
from collection.queries.sentences import SENTENCES, say
from collection.queries.task_words import WORDS, work
from tests.craft.test_rules import CASES


def codes_in_the_rules() -> set[str]:
    """Reason codes written in the three modules: the text after the day a hold ends."""
    found: set[str] = set()
    for module in (rules_order, rules_clash, rules_stress):
        text = Path(module.__file__ or "").read_text(encoding="utf-8")
        found |= set(re.findall(r'(?:None|until|spring|rest\.until),\s+"([a-z_]+)"', text))
    return found


def test_every_code_the_rules_use_has_a_sentence():
    codes = codes_in_the_rules()
    assert len(codes) == 27
    assert codes <= set(SENTENCES)


@pytest.mark.parametrize("case", CASES, ids=[case[0] for case in CASES])
def test_a_hold_is_said_in_one_or_two_short_sentences(case):
    ask = case[3]
    for hold in ask.found():
        said = say(hold.reason)
        assert said.endswith(".")
        assert "%" not in said
        assert "!" not in said
        assert "_" not in said
        assert len(said.split()) <= 28
        assert all(len(part.split()) <= 20 for part in re.split(r"[.;] ", said))


def test_a_hold_by_rest_names_the_work_and_the_days():
    rest = next(case for case in CASES if case[0] == "rest")
    (hold,) = rest[3].of("rest")
    assert say(hold.reason) == (
        "It rests until Sunday 6 September 2026, after the repotting of Tuesday 10 March 2026."
    )


def test_every_task_and_event_has_words():
    assert set(WORDS) == set(reference.tasks()) | EVENTS
    assert work("REPOT") == "the repotting"
