"""Short ways to put a question to the rules."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from collection.craft import reference
from collection.craft.rules import Done, Hold, RuleSettings, TreeFacts, holds
from collection.craft.season import Climate, MonthDay

RULES = reference.rule_settings()
SOUTH = reference.rule_settings(Climate(-37, MonthDay(10, 25), MonthDay(4, 25)))


def d(text: str) -> date:
    return date.fromisoformat(text)


def done(task: str, on: str, **more: object) -> Done:
    return Done(task, d(on), **more)  # type: ignore[arg-type]


def tree(group: str, *history: Done, **more: object) -> TreeFacts:
    return TreeFacts(group, more.pop("stage", "B"), history=history, **more)  # type: ignore[arg-type]


@dataclass
class Ask:
    """One question to the rules; ``also`` is changed in the twin where the rule lets go."""

    facts: TreeFacts
    task: str
    on: str
    more: dict[str, object] = field(default_factory=dict)
    rules: RuleSettings = RULES

    def found(self) -> tuple[Hold, ...]:
        return holds(self.facts, self.task, d(self.on), settings=self.rules, **self.more)  # type: ignore[arg-type]

    def of(self, rule: str) -> list[Hold]:
        return [hold for hold in self.found() if hold.rule == rule]


FEEDS = (done("FEED_START", "2026-03-01"), done("FEED_START", "2026-03-29"), done("FEED_START", "2026-04-26"))
PASS_1 = done("DECANDLE", "2026-06-08")
HARDENED = {"leaves_hardened": d("2026-06-01")}


def asked(facts: TreeFacts, task: str, on: str, rule: str, **more: object) -> list[Hold]:
    """What one rule says of a job."""
    return Ask(facts, task, on, more).of(rule)
