"""Notices in words: one function a kind turns its values into a line of a letter."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from collection.queries.labels import in_words, task_name
from collection.queries.letter import Act, Line
from collection.queries.notice_kinds import NoticeKind, row_of
from collection.queries.speech import clock, listed

Values = Mapping[str, Any]
Wording = Callable[[Values, date], Line]
SHOWN_TREES = 3
SHOWN_BENCHES = 3


def line_of(kind: str, subject: str, values: Values, today: date) -> Line | None:
    """The line of a notice as read on a day; None for a kind that has no words."""
    wording = WORDINGS.get(kind)
    return wording({"row": row_of(subject)} | dict(values), today) if wording else None


def near(on: str | date, today: date) -> str:
    """A day with its date, and with the year when that is another: "Saturday 28 November"."""
    day = date.fromisoformat(on) if isinstance(on, str) else on
    year = "" if day.year == today.year else f" {day.year}"
    return f"{day:%A} {day.day} {day:%B}{year}"


def at(text: str) -> str:
    """A time of the clock as people say it: "09:30" is "9:30"."""
    said = time.fromisoformat(text)
    return clock(said.hour * 60 + said.minute)


def until(values: Values, today: date) -> str:
    """Until when an answer may be changed, in the day's own zone: "Friday 27 November, 18:00"."""
    wall = datetime.fromisoformat(values["until"]).astimezone(ZoneInfo(values["zone"]))
    return f"{near(wall.date(), today)}, {wall.hour}:{wall:%M}"


def some(names: list[str], most: int) -> str:
    """The first few names and how many more."""
    if len(names) <= most:
        return listed(names)
    return _("%(names)s and %(count)d more") % {
        "names": ", ".join(names[: most - 1]),
        "count": len(names) - most + 1,
    }


# --- days ---------------------------------------------------------------------------------------


def _when(values: Values, today: date) -> dict[str, Any]:
    found = {name: values.get(name, "") for name in ("site", "bring", "why", "name")}
    found["day"] = near(values["date"], today)
    found["opens"], found["closes"] = at(values["opens"]), at(values["closes"])
    return found


def _answers(values: Values) -> tuple[Act, ...]:
    if not values.get("until"):
        return ()
    fact = {"purpose": "day", "row": values["row"], "version": values["version"], "until": values["ends_at"]}
    return (Act(_("I’m coming"), "yes", **fact), Act(_("I can’t come"), "no", **fact))


def _ahead(values: Values, today: date) -> Line:
    jobs, said = values["jobs"], _when(values, today)
    pieces = [_("%(site)s, until %(closes)s.") % said]
    if not jobs and values["planned"]:
        pieces.append(_("You have no job of your own. The lead of the day has one for you."))
    elif not jobs:
        hours = {"arrives": at(values["arrives"]), "leaves": at(values["leaves"])}
        pieces.append(_("You said you come, %(arrives)s to %(leaves)s.") % hours)
    pieces += [_job(job) for job in jobs]
    if said["bring"]:
        pieces.append(_("Bring: %(bring)s") % said)
    pairs = [job for job in jobs if job["people"]]
    people = tuple((name or _("You"), _role(role)) for name, role in pairs[0]["people"]) if pairs else ()
    below = _("To change it now, telephone the lead of the day.")
    if values.get("until"):
        below = _("Each opens a page where you confirm. You can change it until %(until)s.")
        below %= {"until": until(values, today)}
    return Line(" ".join(pieces), people, _answers(values), below)


def _role(role: str) -> str:
    return {"lead": _("leads"), "hand": _("second pair of hands"), "learner": _("learns beside")}[role]


def _job(job: Values) -> str:
    others = [name for name, _role_ in job["people"] if name]
    who = _("You and %(names)s") % {"names": listed(others)} if others else _("You")
    words = {
        "who": who,
        "task": task_name(job["code"]).lower(),
        "tree": job["tree"],
        "from": at(job["from"]),
        "to": at(job["to"]),
    }
    return _("%(who)s: %(task)s on %(tree)s, %(from)s to %(to)s.") % words


def _unanswered(values: Values, today: date) -> Line:
    said = _when(values, today)
    pieces = [_("%(day)s, %(opens)s to %(closes)s, %(site)s.") % said]
    if "coming" in values:
        pieces.append(_coming(values["coming"]))
        if values["coming"] < values["least_people"]:
            pieces.append(_("It needs %(least)d at least.") % {"least": values["least_people"]})
    return Line(" ".join(pieces), acts=_answers(values))


def _coming(count: int) -> str:
    if count == 0:
        return _("Nobody has said yes yet.")
    return _("One comes so far.") if count == 1 else _("%(count)s come so far.") % {"count": in_words(count)}


def _plan_out(values: Values, today: date) -> Line:
    said = _when(values, today) | {"jobs": values.get("jobs", 0)}
    text = _("The plan for %(day)s is out.")
    if values.get("newer"):
        text = _("There is a new plan for %(day)s, and your part has changed.")
    pieces = [text % said]
    if not said["jobs"]:
        pieces.append(_("You have no job of your own. The lead of the day has one for you."))
    else:
        said["first"] = at(values["first"]) if values.get("first") else said["opens"]
        one = _("You have one job, at %(first)s.") % said
        pieces.append(
            one if said["jobs"] == 1 else _("You have %(jobs)d jobs, the first at %(first)s.") % said
        )
    return Line(" ".join(pieces))


def _moved(values: Values, today: date) -> Line:
    said = _when(values, today)
    was = dict(values.get("was") or values)
    said |= {"was": near(was["date"], today), "was_opens": at(was["opens"])}
    if was["date"] == values["date"]:
        text = _("%(day)s has changed: now %(opens)s to %(closes)s, %(site)s.")
    else:
        text = _("The day of %(was)s has moved to %(day)s, %(opens)s to %(closes)s, %(site)s.")
    pieces = [text % said]
    if values.get("answer_again"):
        pieces.append(_("Your old answer no longer counts. Say again whether you come."))
    return Line(" ".join(pieces), acts=_answers(values))


def _cancelled(values: Values, today: date) -> Line:
    said = _when(values, today)
    pieces = [_("%(day)s, %(opens)s, %(site)s, is cancelled. Nobody need come.") % said]
    if said["why"]:
        pieces.append(_("Why: %(why)s") % said)
    return Line(" ".join(pieces))


def _answer_changed(values: Values, today: date) -> Line:
    said = _when(values, today)
    text = {
        "yes": _("%(name)s now comes on %(day)s, after the plan went out."),
        "no": _("%(name)s cannot come on %(day)s after all."),
        "perhaps": _("%(name)s may not come on %(day)s after all."),
    }[values["answer"]]
    return Line(text % said)


# --- places -------------------------------------------------------------------------------------


def _place(values: Values, today: date) -> dict[str, Any]:
    found = {
        name: values.get(name) or "" for name in ("tree", "what", "starts", "ends", "site", "lead", "who")
    }
    return found | {"day": near(values["date"], today)}


def _place_asked(values: Values, today: date) -> Line:
    said = _place(values, today)
    pieces = [_("A second pair of hands is wanted for a heavy bend of %(what)s on %(tree)s.") % said]
    if said["starts"]:
        pieces.append(_("%(day)s, %(starts)s to %(ends)s, %(site)s.") % said)
    else:
        pieces.append(_("%(day)s, %(site)s.") % said)
    if said["lead"]:
        pieces.append(_("%(lead)s leads.") % said)
    fact = {
        "purpose": "place",
        "row": values["invitation"],
        "version": values["version"],
        "until": values["ends_at"],
    }
    acts = (Act(_("I’ll help"), "yes", **fact), Act(_("I can’t"), "no", **fact))
    return Line(" ".join(pieces), acts=acts, below=_("The first to say yes has the place."))


def _place_given(values: Values, today: date) -> Line:
    said = _place(values, today)
    pieces = [_("%(who)s is the second pair of hands for the bend on %(tree)s.") % said]
    pieces.append(_("%(day)s, %(starts)s to %(ends)s, %(site)s.") % said if said["starts"] else "")
    return Line(" ".join(filter(None, pieces)))


def _place_back(values: Values, today: date) -> Line:
    said = _place(values, today)
    text = _("%(who)s cannot help at the bend on %(tree)s on %(day)s. The place is open again.")
    return Line(text % said)


# --- trees and wire -------------------------------------------------------------------------------


def _benches(values: Values) -> list[str]:
    shown = values["benches"][:SHOWN_BENCHES]
    pieces = [f"{bench}: {some(list(trees), SHOWN_TREES)}." for bench, trees in shown]
    rest = sum(len(trees) for _bench, trees in values["benches"][SHOWN_BENCHES:])
    if rest:
        pieces.append(_("And %(count)d more on other benches.") % {"count": rest})
    return pieces


def _opens(values: Values, today: date) -> Line:
    said = {"task": task_name(values["task"]), "day": near(values["opens"], today)}
    pieces = [_("%(task)s, from %(day)s.") % said, *_benches(values)]
    if values["unkept"]:
        pieces.append(_("Nobody keeps these trees, so this comes to you."))
    return Line(" ".join(pieces))


def _closes(values: Values, today: date) -> Line:
    said = {"task": task_name(values["task"]), "day": near(values["closes"], today)}
    pieces = [_("%(task)s: last day %(day)s, and nobody is down for it.") % said, *_benches(values)]
    return Line(" ".join(pieces))


def _left_open(values: Values, today: date) -> Line:
    said = {"tree": values["tree"], "title": values["title"], "day": near(values["on"], today)}
    text = _("%(tree)s %(title)s, left open on %(day)s.") % said
    note = _("The note: %(note)s") % {"note": values["note"]} if values["note"] else ""
    return Line(text, below=note)


def _wire(values: Values, today: date) -> Line:
    guy = values["guy_wire"]
    said = {
        "tree": values["tree"],
        "title": values["title"],
        "what": _("guy wire") if guy else _("wire"),
        "branch": values["branch"] or values["label"],
        "day": near(values["look_on"], today),
        "since": near(values["on"], today),
    }
    late = date.fromisoformat(values["look_on"]) <= today
    text = _("%(tree)s %(title)s, %(what)s at %(branch)s: look by %(day)s. On since %(since)s.")
    if late:
        text = _("%(tree)s %(title)s, %(what)s at %(branch)s: look now. The day was %(day)s.")
    name = "guy" if guy else "wire"
    act = Act(_("Say what you saw"), "", name, values["row"], values["version"], values["until"])
    return Line(text % said, acts=(act,))


WORDINGS: dict[str, Wording] = {
    NoticeKind.DAY_AHEAD: _ahead,
    NoticeKind.DAY_OPEN: _unanswered,
    NoticeKind.PLAN_OUT: _plan_out,
    NoticeKind.DAY_MOVED: _moved,
    NoticeKind.DAY_CANCELLED: _cancelled,
    NoticeKind.PLACE_ASKED: _place_asked,
    NoticeKind.PLACE_GIVEN: _place_given,
    NoticeKind.PLACE_BACK: _place_back,
    NoticeKind.WINDOW_OPENS: _opens,
    NoticeKind.WINDOW_CLOSES: _closes,
    NoticeKind.TREE_OPEN: _left_open,
    NoticeKind.WIRE_LOOK: _wire,
    NoticeKind.WIRE_TODAY: _wire,
    NoticeKind.ANSWER_CHANGED: _answer_changed,
}
