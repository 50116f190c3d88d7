"""Questions about a tree's past, as they are put to its people."""

from __future__ import annotations

from django.utils.translation import gettext as _

from collection.queries.labels import task_name


def question(task: str) -> str:
    """The question for a task whose last time nobody knows."""
    known = {
        "REPOT": _("When was it last repotted?"),
        "WIRE_DETAIL": _("When was it last fully wired?"),
        "WIRE_STRUCT": _("When was its main wiring last done?"),
    }
    return known.get(task) or _("When was this last done: %(task)s?") % {"task": task_name(task).lower()}
