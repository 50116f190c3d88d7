"""Bringing a list in, as pages: the file, the questions, the faults, the count, and taking it back."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from django.urls import reverse

from collection.queries.access import Actor
from collection.queries.clock import local
from collection.queries.labels import counted, dated
from collection.queries.uploads import Fault, TakeBackSheet, TakenRow, UploadRow, UploadSheet
from collection.web.forms.imports import AnswersForm
from collection.web.pages.parts import Action, Empty, lead, page

MOST_CELLS = 30
NOUNS = {"trees": ("tree", "trees"), "people": ("person", "people"), "offers": ("row", "rows")}
KIND_WORDS = {"trees": "Trees", "people": "People", "offers": "Answers and hours"}
STATE_WORDS = {
    "reading": "being read",
    "read": "has questions for you",
    "unreadable": "cannot be read",
    "taking": "being taken in",
}
NEXT = {
    "trees": ("Work the season out", "season-again", True),
    "people": ("To the days", "days", False),
    "offers": ("To the days", "days", False),
}


def bring_page(
    form: Any, waiting: tuple[UploadRow, ...], taken: tuple[TakenRow, ...], zone: str
) -> SimpleNamespace:
    """Where a file is brought, with those that wait and those that came in."""
    return page(
        title="Bring a list in",
        lead=lead("Bring the sheet you have. You see what was understood before anything is written."),
        url=reverse("imports"),
        form=form,
        waiting=[
            SimpleNamespace(
                name=row.file_name,
                url=reverse("import", args=[row.id]),
                what=f"{KIND_WORDS[row.kind]}: {STATE_WORDS[row.state]}",
                when=_when(row.at, zone),
                who=row.who,
            )
            for row in waiting
        ],
        taken=[
            SimpleNamespace(
                name=row.file_name,
                what=f"{KIND_WORDS[row.kind]}{', in part' if row.half else ''}",
                rows=row.rows,
                when=_when(row.at, zone),
                who=row.who,
                state="Taken back" if row.undone else "",
                undo=reverse("import-undo", args=[row.id]) if row.undo_until else "",
            )
            for row in taken
        ],
        empty=None if taken else Empty("Files that came in will be listed here.", "trees.xlsx, 120 trees."),
        downloads=Action("Download your lists", reverse("download"), plain=True),
        foot_left="A file that waits is kept for two days, and only coordinators of this club see it.",
        foot_right="",
    )


def _when(at: Any, zone: str) -> str:
    then = local(at, zone)
    return f"{dated(then.date())}, {then.hour}:{then:%M}"


def cells_at_fault(sheet: UploadSheet) -> list[str]:
    """Cells that can be put right on the page, by their key; the first thirty."""
    found = [_cell(fault) for fault in sheet.faults if fault.column]
    return list(dict.fromkeys(found))[:MOST_CELLS]


def _cell(fault: Fault) -> str:
    return "\t".join((fault.sheet, fault.place, fault.column))


def upload_page(sheet: UploadSheet, form: AnswersForm | None, *, look_again: bool = False) -> SimpleNamespace:
    """A file with its questions; while it is read or taken in, a page that waits."""
    if sheet.state in ("reading", "taking"):
        return _waiting(sheet)
    if sheet.state == "taken":
        return _done(sheet)
    return _questions(sheet, form, look_again)


def _base(sheet: UploadSheet, **values: Any) -> SimpleNamespace:
    usual: dict[str, Any] = {
        "title": sheet.file_name,
        "url": reverse("import", args=[sheet.id]),
        "poll_url": "",
        "status": "",
        "stop": "",
        "actions": [],
        "form": None,
        "columns": [],
        "faults": [],
        "makes": [],
        "buttons": [],
        "back_url": reverse("imports"),
        "foot_left": "Nothing is written before you take it in.",
        "foot_right": "",
    }
    return page(**usual | values)


def _waiting(sheet: UploadSheet) -> SimpleNamespace:
    reading = sheet.state == "reading"
    said = (
        "The file is being read. This page comes back by itself."
        if reading
        else ("The rows are being taken in. You can leave this page and work on.")
    )
    of = f"{sheet.rows_in:,} of {sheet.ready:,} rows are in so far."
    return _base(
        sheet,
        lead=lead("It is a long list." if reading else of),
        status=said,
        poll_url=reverse("import-state", args=[sheet.id]),
        actions=[Action("Look again", reverse("import", args=[sheet.id]), plain=True)],
    )


def _done(sheet: UploadSheet) -> SimpleNamespace:
    one, many = NOUNS[sheet.kind]
    words, name, post = NEXT[sheet.kind]
    actions = [Action(words, reverse(name), post=post, main=True)]
    if sheet.accepted_id:
        actions.append(Action("Take it back", reverse("import-undo", args=[sheet.accepted_id]), plain=True))
    actions.append(Action("Bring another list in", reverse("imports"), plain=True))
    there = f" {sheet.unchanged} were there already." if sheet.unchanged else ""
    aside = f" {counted(sheet.aside, 'row was', 'rows were')} left out." if sheet.aside else ""
    return _base(
        sheet,
        lead=lead(f"{counted(sheet.created, f'{one} has', f'{many} have')} come in.{there}{aside}"),
        actions=actions,
        foot_left="For thirty days it can be taken back, as far as nobody has touched it.",
    )


def _questions(sheet: UploadSheet, form: AnswersForm | None, look_again: bool) -> SimpleNamespace:
    one, many = NOUNS[sheet.kind]
    drop = Action("Throw this file away", reverse("import-drop", args=[sheet.id]), post=True, plain=True)
    if sheet.state == "unreadable" and len(sheet.tabs) < 2:
        actions = [Action("Bring another file", reverse("imports"), main=True)]
        if sheet.accepted_id:
            actions.append(
                Action("Take it back", reverse("import-undo", args=[sheet.accepted_id]), plain=True)
            )
        return _base(sheet, lead=(), stop=sheet.refused, actions=[*actions, drop])
    takes = sheet.ready > 0 and not sheet.missing and sheet.state == "read"
    return _base(
        sheet,
        lead=lead(_opening(sheet)),
        stop=sheet.refused or sheet.missing,
        status=_status(sheet, look_again),
        form=form,
        tab_field=form["sheet"] if form and "sheet" in form.fields else None,
        columns=[_column(form, n, column) for n, column in enumerate(sheet.columns)] if form else [],
        kept_note="Columns left out are kept with each tree as they are." if sheet.kind == "trees" else "",
        faults=_faults(sheet, form) if form else [],
        faults_more=_more(sheet),
        set_aside=form["set_aside"] if form and sheet.faulty else None,
        makes=[*sheet.makes, *_already(sheet)] if takes or sheet.unchanged else [],
        notes=sheet.notes,
        take=f"Take in {counted(sheet.ready, one, many)}" if takes else "",
        again="Read it again with these answers",
        drop=drop,
    )


def _opening(sheet: UploadSheet) -> str:
    one, many = NOUNS[sheet.kind]
    if not sheet.rows:
        return "Nothing was read yet."
    new = counted(sheet.ready, f"{one} is", f"{many} are")
    parts = [f"{counted(sheet.rows, 'row', 'rows')} found: {new} new"]
    if sheet.unchanged:
        parts.append(f"{counted(sheet.unchanged, 'is', 'are')} there already")
    if sheet.faulty:
        parts.append(f"{counted(sheet.faulty, 'row has', 'rows have')} a fault")
    return ", ".join(parts) + "."


def _status(sheet: UploadSheet, look_again: bool) -> str:
    if look_again:
        return "You changed an answer. Look at what was understood now, then take it in."
    if sheet.already:
        return "This file came in before. Taking it in again changes nothing."
    if sheet.as_last_time:
        return "The headings are those of your last file, so the answers are too. Change what is different."
    return ""


def _column(form: AnswersForm, number: int, column: Any) -> SimpleNamespace:
    unit = f"unit_{number}"
    return SimpleNamespace(
        heading=column.heading,
        question=column.question,
        samples=column.samples,
        field=form[f"column_{number}"],
        unit=form[unit] if unit in form.fields else None,
    )


def _faults(sheet: UploadSheet, form: AnswersForm) -> list[SimpleNamespace]:
    places = {cell: number for number, cell in enumerate(form.cells)}
    seen: set[str] = set()
    rows = []
    for fault in sheet.faults:
        cell = _cell(fault)
        number = places.get(cell) if fault.column and cell not in seen else None
        seen.add(cell)
        rows.append(
            SimpleNamespace(
                where=fault.where,
                said=fault.said,
                field=form[f"cell_{number}"] if number is not None else None,
            )
        )
    return rows


def _more(sheet: UploadSheet) -> str:
    return f"And {counted(sheet.faults_left, 'fault', 'faults')} more." if sheet.faults_left else ""


def _already(sheet: UploadSheet) -> list[str]:
    if not sheet.unchanged:
        return []
    return [f"{counted(sheet.unchanged, 'row is', 'rows are')} there already and stay as they are."]


def undo_page(found: TakeBackSheet, actor: Actor, zone: str) -> SimpleNamespace:
    """What taking a file back would do."""
    one, many = NOUNS[found.taken.kind]
    late = found.taken.undo_until is None
    said = f"Came in on {_when(found.taken.at, zone)}, {counted(found.taken.rows, one, many)}."
    stop = ""
    if found.taken.undone:
        stop = "This file was taken back already."
    elif late:
        stop = "A file can be taken back for 30 days. This one came in before that."
    elif not found.goes:
        stop = "Everything it made has been touched since, so nothing can be taken back."
    words = f"Take back {counted(found.goes, one, many)}"
    goes = "" if stop else f"{counted(found.goes, f'{one} goes', f'{many} go')}: nobody touched them since."
    return page(
        title=f"Take back {found.taken.file_name}",
        lead=lead(said),
        stop=stop,
        goes=goes,
        stays=[SimpleNamespace(name=name, why=why) for name, why in found.stays[:100]],
        actions=[]
        if stop
        else [
            Action(words, reverse("import-undo", args=[found.taken.id]), post=True, main=True),
            Action("Leave it", reverse("imports"), plain=True),
        ],
        back_url=reverse("imports"),
        foot_left="What stays can be changed or taken off the register on its own page.",
        foot_right="",
    )
