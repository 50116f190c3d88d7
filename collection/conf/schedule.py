"""What beat wakes and when: clock times with an expiry, named as text."""

from __future__ import annotations

from celery.schedules import crontab

SCHEDULE = {
    "sweep": {"task": "workers.sweep.run", "schedule": crontab(minute="*"), "options": {"expires": 90}},
    "reminders": {
        "task": "workers.reminders.run",
        "schedule": crontab(minute="*"),
        "options": {"expires": 90},
    },
}
