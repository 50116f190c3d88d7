"""The words that fields choose from."""

from __future__ import annotations

from collection.craft.quantities import KINDS
from collection.craft.reference import groups, tasks
from collection.craft.tasks import FAMILIES, SKILL_LEVELS

GROUPS = tuple(sorted(groups()))
TASKS = tuple(sorted(tasks()))
FAMILY = tuple(sorted(FAMILIES))
LEVELS = tuple(SKILL_LEVELS)
STAGES = ("R", "B", "F", "S")
CONDITIONS = ("sound", "weak", "sick", "collected", "imported")
ROLES = ("member", "bench_lead", "coordinator", "admin")
METALS = ("copper", "aluminium")
SEEN = ("loose", "snug", "marking")
ANSWERS = ("yes", "perhaps", "no")
COUNTED = tuple(sorted({kind for kinds in KINDS.values() for kind in kinds} | {"branches_total"}))
JOB_STATES = ("open", "done", "missed", "withdrawn", "not_this_year")
DAY_STATES = ("draft", "open", "sent", "held", "cancelled")
PLAN_STATES = ("waiting", "working", "ready", "out_of_date", "failed")
TRUST = ("guess", "estimate", "measured")
