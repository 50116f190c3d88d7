"""Whose consent is missing: owners who want to be asked first and have not agreed for a day."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, timedelta

from collection.craft.reasons import Reason
from collection.craft.rule_types import RuleSettings
from collection.models import Care

# With less of the season left than this, agreeing "for the season" means the next one too (assumption).
SEASON_NEARLY_OVER = timedelta(days=60)


def missing_consent(tree_ids: Iterable[int], on: date) -> dict[int, tuple[Reason, ...]]:
    """Why work on a tree waits for its owner on a day; trees without such an owner are left out."""
    rows = Care.objects.filter(tree_id__in=list(tree_ids), role="owner", ask_first=True)
    owners: dict[int, list[Care]] = defaultdict(list)
    for care in rows.select_related("member").order_by("id"):
        owners[care.tree_id].append(care)
    missing = {tree: waits_for(its, on) for tree, its in owners.items()}
    return {tree: reasons for tree, reasons in missing.items() if reasons}


def waits_for(owners: Iterable[Care], on: date) -> tuple[Reason, ...]:
    """Of owners who want to be asked first, those who have not agreed for a day."""
    return tuple(
        Reason.of("needs_consent", owner=care.member.name)
        for care in owners
        if care.consent_until is None or care.consent_until < on
    )


def season_ends(rules: RuleSettings, today: date) -> date:
    """Last day of the growing season that a consent given today is meant for."""
    ends = rules.growing_year_ends(today) - timedelta(days=1)
    if ends - today < SEASON_NEARLY_OVER:
        ends = rules.growing_year_ends(ends + timedelta(days=1)) - timedelta(days=1)
    return ends
