"""Everything that waits, found in the rows: the same sweep with Redis and without."""

from __future__ import annotations

import logging

from collection.usecases import plans

log = logging.getLogger("teire.sweep")


def run() -> int:
    """Work out every waiting plan and give up on those that killed their worker; returns how many.

    A plan that fails is written down and does not keep the others waiting.
    """
    plans.park_lost_plans()
    done = 0
    for plan_id in plans.waiting_plans():
        try:
            done += plans.work_out(plan_id)
        except (RuntimeError, ValueError):
            log.exception("a plan could not be worked out", extra={"plan": plan_id})
    return done
