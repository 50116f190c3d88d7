"""The words that fields choose from."""

from __future__ import annotations

from collection.craft.labour_types import CIRCUMSTANCES
from collection.craft.reference import groups, table, tasks
from collection.craft.tasks import FAMILIES, SKILL_LEVELS
from collection.queries.find_number import GROWTH_KINDS, WEEK_KINDS
from collection.usecases.counts import COUNT_KINDS
from collection.usecases.tree_events import WAYS_OUT

GROUPS = tuple(sorted(groups()))
TASKS = tuple(sorted(tasks()))
FAMILY = tuple(sorted(FAMILIES))
LEVELS = tuple(SKILL_LEVELS)
STAGES = ("R", "B", "F", "S")
CONDITIONS = ("sound", "weak", "sick", "collected", "imported")
SITE_KINDS = ("ground", "home", "show")
DECLARED = ("can_lift", "power_tools", "sprays", "first_aid", "wants_bends")
ROLES = ("member", "bench_lead", "coordinator", "admin")
METALS = ("copper", "aluminium")
FITS = ("snug", "loose")
SEEN = ("loose", "snug", "marking")
ANSWERS = ("yes", "perhaps", "no")
COUNTED = tuple(sorted(COUNT_KINDS))
CARE_ROLES = ("owner", "carer")
SIGNS = tuple(sorted(row["code"] for row in table("tree_signs")))
OUT = tuple(WAYS_OUT)
JOB_STATES = ("open", "done", "missed", "withdrawn", "not_this_year")
DAY_STATES = ("draft", "open", "sent", "held", "cancelled")
PLAN_STATES = ("waiting", "working", "ready", "out_of_date", "failed")
BEND_SAID = tuple(sorted(CIRCUMSTANCES))
NUMBER_KINDS = ("job", "seat", "short-weeks", "window", *sorted(GROWTH_KINDS), *WEEK_KINDS)
TRUST = ("guess", "estimate", "measured")
