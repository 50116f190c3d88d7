"""Lines of the trail of changes in words: what was changed, from what to what."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from collection.models import Branch, Care, Change, Guy, Job, Member, Wire
from collection.queries.labels import STAGE_NAMES, dated, group_name, task_name
from collection.queries.two_answers_words import LABELS, UNITS

# Columns that only help another one, or that an event tells better.
QUIET = frozenset(
    {"archived_at", "bench", "bench_id", "by_id", "edited", "ended_on", "moved_closes", "moved_opens"}
    | {"site", "site_id", "tree", "tree_id", "version", "estimate", "crew"}
)
MORE_LABELS = {
    "group": "kind of tree",
    "species": "Latin name",
    "no_hard_work_until": "no hard work until",
    "no_hard_work_why": "no hard work, why",
    "leave_alone_until": "leave alone until",
    "leave_alone_why": "leave alone, why",
    "consent_until": "consent until",
    "ask_first": "asked first",
    "diameter_mm": "thickness",
    "clock": "side of the trunk",
    "label": "label",
    "reason": "reason",
    "state": "state",
    "look_on": "look on",
}
STATES = {
    "open": "open",
    "done": "done",
    "missed": "missed",
    "withdrawn": "taken back",
    "not_this_year": "not this year",
}
PEOPLE = frozenset({"brought_by_id", "member", "member_id", "signed_by_id", "refused_by_id", "lead_id"})


class Names:
    """What rows that lines point to are called; read once for many lines."""

    def __init__(self, lines: Iterable[Change]) -> None:
        found = list(lines)
        self.people = _people(found)
        self.jobs = dict(_of(Job, found, "job").values_list("pk", "task"))
        self.labels = {
            (table, pk): label
            for table, model in (("branch", Branch), ("wire", Wire), ("guy", Guy))
            for pk, label in _of(model, found, table).values_list("pk", "label")
        }
        self.care = dict(_of(Care, found, "care").values_list("pk", "member__name"))


def _of(model: Any, lines: list[Change], table: str) -> Any:
    return model._default_manager.filter(pk__in=[line.row for line in lines if line.table == table])


def _people(lines: list[Change]) -> dict[int, str]:
    ids = {
        value
        for line in lines
        for values in (line.before, line.after)
        for name, value in values.items()
        if name in PEOPLE and isinstance(value, int)
    }
    return dict(Member.objects.filter(pk__in=ids).values_list("pk", "name"))


def change_words(line: Change, names: Names) -> str:
    """A line in a sentence, or "" when there is nothing in it to tell."""
    subject = _subject(line, names)
    if not line.after and line.before:
        return _("%(what)s taken off") % {"what": subject}
    if not line.before:
        return _made(line, names, subject)
    told = [_column(name, line, names) for name in line.after if name not in QUIET]
    return f"{subject}: {'; '.join(told)}" if told else ""


def _made(line: Change, names: Names, subject: str) -> str:
    if line.table == "branch":
        return _("%(what)s drawn") % {"what": subject}
    if line.table == "care":
        role = _("owner") if line.after.get("role") == "owner" else _("carer")
        return _("%(who)s written down as %(role)s") % {"who": subject, "role": role}
    return ""


def _subject(line: Change, names: Names) -> str:
    values = line.before | line.after
    if line.table == "job":
        task = names.jobs.get(line.row)
        return task_name(task) if task else _("A job")
    if line.table in ("branch", "wire", "guy"):
        label = names.labels.get((line.table, line.row)) or str(values.get("label", ""))
        kind = {"branch": _("Branch"), "wire": _("Wire"), "guy": _("Guy wire")}[line.table]
        return f"{kind} {label}".strip()
    if line.table == "care":
        member = values.get("member_id", values.get("member"))
        return names.care.get(line.row) or names.people.get(member or 0, _("Somebody"))
    return {"bend": _("Bend")}.get(line.table, _("Changed"))


def _column(name: str, line: Change, names: Names) -> str:
    label = MORE_LABELS.get(name) or LABELS.get(name) or name.removesuffix("_id").replace("_", " ")
    label = label[:1].lower() + label[1:]
    before, after = (_value(name, values.get(name), names) for values in (line.before, line.after))
    return _("%(label)s %(before)s, now %(after)s") % {"label": label, "before": before, "after": after}


def _value(name: str, value: Any, names: Names) -> str:
    if value is None or value == "":
        return _("nothing")
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if name in PEOPLE and isinstance(value, int):
        return names.people.get(value, _("somebody"))
    known: Mapping[str, Any] = {"stage": STAGE_NAMES, "state": STATES}
    if name in known:
        return str(known[name].get(value, value))
    if name == "group":
        return _kind(str(value))
    if isinstance(value, str):
        return _day(value)
    unit = next((words for end, words in UNITS.items() if name.endswith(end)), "")
    return f"{round(value, 2):g}{unit}" if isinstance(value, (int, float)) else str(value)


def _kind(code: str) -> str:
    try:
        return group_name(code)
    except KeyError:
        return code


def _day(text: str) -> str:
    """A day as people say it, any other text as it is."""
    try:
        return dated(date.fromisoformat(text)) if len(text) == 10 else text
    except ValueError:
        return text
