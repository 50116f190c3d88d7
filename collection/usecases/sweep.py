"""Everything that waits, found in the rows: the same sweep with Redis and without."""

from __future__ import annotations

from collection.usecases import plans


def run() -> int:
    """Work out every waiting plan and give up on those that killed their worker; returns how many."""
    plans.park_lost_plans()
    return sum(plans.work_out(plan_id) for plan_id in plans.waiting_plans())
