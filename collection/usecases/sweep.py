"""Everything that waits, found in the rows: the same sweep with Redis and without."""

from __future__ import annotations

import logging

from django.utils import timezone

from collection.usecases import plans, post, posting, reminders, request_keys, season_asked, uploads

log = logging.getLogger("teire.sweep")


def run() -> int:
    """Do everything that waits, mails last; returns how many plans and seasons were worked out."""
    done = work_out()
    remind()
    return done


def work_out() -> int:
    """Work out plans, files and seasons that wait; give up on what killed its worker. Returns how many.

    What fails is written down and does not keep the rest waiting.
    """
    plans.park_lost_plans()
    request_keys.forget_old_answers()
    post.tidy_folder(timezone.now())
    done = 0
    for plan_id in plans.waiting_plans():
        try:
            done += plans.work_out(plan_id)
        except (RuntimeError, ValueError):
            log.exception("a plan could not be worked out", extra={"plan": plan_id})
    uploads.tidy_uploads()
    for upload_id in uploads.waiting_uploads():
        try:
            done += uploads.work_on(upload_id)
        except (RuntimeError, ValueError):
            log.exception("a file could not be read", extra={"job": upload_id})
    for club_id in season_asked.waiting_seasons():
        try:
            done += season_asked.work_out_season(club_id)
        except (RuntimeError, ValueError):
            log.exception("a season could not be worked out", extra={"club": club_id})
    return done


def remind(*, longest_s: float = 20.0) -> int:
    """Find what people are to be told, gather it, and send what waits; returns how many were sent."""
    reminders.run(timezone.now())
    return posting.send_waiting(longest_s=longest_s)
