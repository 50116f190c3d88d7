"""Which column is what: guessed from heading and cells, shown with samples, never settled in silence."""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from difflib import SequenceMatcher
from functools import cache, lru_cache

from collection.craft.reasons import Reason
from collection.usecases.importing import numbers
from collection.usecases.importing.dates import day_order, read_date
from collection.usecases.importing.fitting import fit
from collection.usecases.importing.headings import DAY, GIRTH, HEADINGS, KINDS, SHEET_NAME, TABLES, Field
from collection.usecases.importing.numbers import CannotRead, Style, unit_in, unit_style
from collection.usecases.importing.tabs import CELL_ERRORS
from collection.usecases.importing.vocabulary import key, unaccented, vocabulary

SURE = 0.45
SAMPLES = 3
LOOKED_AT = 60


@dataclass(frozen=True, slots=True)
class Guess:
    """What one column seems to be.

    Attributes:
        column: Its place, from 0.
        heading: Its heading as written.
        field: The field, or "" when the column means nothing to us (its cells are still kept).
        style: How its cells are read.
        samples: The first three different cells that are not empty.
        asked: Question for the person, such as "Is this the trunk thickness?".
        told: The person said so, so nothing was guessed.
    """

    column: int
    heading: str
    field: str
    style: Style
    samples: tuple[str, ...]
    asked: Reason
    told: bool = False


def heading_words(heading: str) -> tuple[str, str]:
    """A heading without its unit, and the unit: "Höhe (in cm)" gives ("hohe", "cm")."""
    body = unaccented(heading).replace("_", " ")
    unit = ""
    for inside in re.findall(r"[(\[]([^)\]]*)[)\]]", body):
        unit = unit or unit_in(inside)
    bare = re.sub(r"[(\[][^)\]]*[)\]]", " ", body)
    listed = re.findall(r"[^\W_]+|#|ø", bare)
    if len(listed) > 1 and not unit and listed[-1] in numbers.UNIT_WORDS:
        unit = numbers.UNIT_WORDS[listed.pop()]
        if listed and listed[-1] in ("in", "en"):
            listed.pop()
    return " ".join(listed) or " ".join(re.findall(r"[^\W_]+", body)), unit


@cache
def _known(kind: str) -> tuple[tuple[str, str, float], ...]:
    """Plain heading, field, and how much it says: "name" above species says less than "species"."""
    with HEADINGS.open(encoding="utf-8", newline="") as lines:
        return tuple(
            (
                heading_words(row["heading"])[0] or row["heading"],
                row["field"],
                0.92 if row["strength"] == "weak" else 1.0,
            )
            for row in csv.DictReader(lines)
            if row["kind"] == kind
        )


@lru_cache(maxsize=4096)
def heading_scores(heading: str, kind: str) -> Mapping[str, float]:
    """How well a heading fits each field, from 0 to 1."""
    body = heading_words(heading)[0]
    scores: dict[str, float] = {}
    if kind == "trees" and GIRTH & set(re.findall(r"[^\W_]+", unaccented(heading))):
        return {"girth": 1.0}  # the way around is another number than the thickness
    for known, name, strength in _known(kind):
        score = _alike(body, known) * strength
        if score > scores.get(name, 0.0):
            scores[name] = score
    return scores


# Words that say nothing about which column it is.
FILLERS = frozenset(
    {"a", "an", "the", "of", "our", "my", "on", "in", "at", "for", "to", "is", "it", "its", "total", "number",
     "count", "club", "tree", "trees", "bonsai", "baum", "arbol", "arbre", "de", "del",
     "la", "el", "du", "le", "der", "die", "das", "und", "y", "et"}
)  # fmt: skip


@lru_cache(maxsize=4096)
def _core(body: str) -> str:
    """The telling words of a heading; all of them when none tells."""
    return " ".join(word for word in body.split() if word not in FILLERS) or body


def _alike(body: str, known: str) -> float:
    if not body:
        return 0.0
    if body == known:
        return 1.0
    if any("\u3040" <= letter <= "\u9fff" for letter in known):
        return 0.6 + 0.35 * len(known) / len(body) if known in body and len(known) > 1 else 0.0
    body, known = _core(body), _core(known)
    if body == known:
        return 0.95
    if len(known) > 2 and f" {known} " in f" {body} ":
        return 0.15 + 0.8 * len(known) / len(body)
    return _nearly_alike(body, known)


def _nearly_alike(body: str, known: str) -> float:
    """A slip of the pen, or a longer word made of the known one ("Pflegezustand")."""
    if min(len(body), len(known)) < 4:
        return 0.0
    if " " not in body and (body.endswith(known) or body.startswith(known)):
        return 0.2 + 0.7 * len(known) / len(body)
    ratio = SequenceMatcher(None, body, known).ratio() if min(len(body), len(known)) > 4 else 0.0
    return 0.8 * ratio if ratio >= 0.85 else 0.0


def is_heading(text: str, kind: str) -> bool:
    """Whether a cell reads like a heading we know."""
    return bool(text) and len(text) <= 60 and max(heading_scores(text, kind).values(), default=0.0) >= 0.7


def guess(
    headings: Sequence[str],
    columns: Sequence[Sequence[str]],
    kind: str,
    *,
    today: date,
    inches: bool = False,
    told: Mapping[str, str] | None = None,
    people: frozenset[str] = frozenset(),
    sites: frozenset[str] = frozenset(),
    benches: frozenset[str] = frozenset(),
) -> tuple[Guess, ...]:
    """One guess a column.

    Args:
        headings: Heading of each column.
        columns: Cells of each column, same order.
        kind: "trees", "people" or "offers".
        today: The club's date.
        inches: The club measures in inches.
        told: Field by heading, as the person said ("Height" -> "height" or "height:cm"; "" leaves it out).
        people: Plain names of the club's members; sheets called by them are one sheet per owner.
        sites: Plain names of the club's sites.
        benches: Plain names of its benches; with ``sites`` they tell what a column "Where" names.

    Returns:
        In the order of the columns; each field at most once, save notes and days.
    """
    said = _said(headings, kind, told or {})
    fields = {place: field for place, (field, _) in said.items()}
    for place, heading in enumerate(headings):
        if place not in fields and kind == "offers" and (day := _day_heading(heading, today)):
            fields[place] = day
    fields |= _best(headings, columns, kind, fields, today)
    fields |= _whereabouts(columns, {p: f for p, f in fields.items() if p not in said}, sites, benches)
    fields |= _sheet_name(headings, columns, kind, fields, people)
    return tuple(
        _shown(place, heading, fields.get(place, ""), columns[place], kind, said, inches)
        for place, heading in enumerate(headings)
    )


def _said(headings: Sequence[str], kind: str, told: Mapping[str, str]) -> dict[int, tuple[str, str]]:
    said: dict[int, tuple[str, str]] = {}
    for heading, answer in told.items():
        field, _, unit = (answer, "", "") if answer.startswith(DAY) else answer.partition(":")
        if field and not field.startswith(DAY) and field not in KINDS[kind]:
            raise CannotRead("import_no_such_field", field=field, fields=tuple(KINDS[kind]))
        if unit and unit not in numbers.UNIT_WORDS.values():
            raise CannotRead("import_no_such_unit", unit=unit)
        places = [place for place, name in enumerate(headings) if unaccented(name) == unaccented(heading)]
        if not places:
            raise CannotRead("import_no_such_column", heading=heading, headings=tuple(headings))
        said[places[0]] = (field, unit)
    return said


def _day_heading(heading: str, today: date) -> str:
    year = today.year
    for text in (heading, f"{heading} {year}", f"{heading.rstrip('. ')}.{year}"):
        try:
            day = read_date(text, Style(), today)
        except CannotRead:
            continue
        if text != heading and day < today - timedelta(days=60):
            day = day.replace(year=year + 1) if (day.month, day.day) != (2, 29) else day
        return f"{DAY}{day.isoformat()}" if not re.fullmatch(r"\d{1,5}", heading) else ""
    return ""


def _best(
    headings: Sequence[str],
    columns: Sequence[Sequence[str]],
    kind: str,
    taken: Mapping[int, str],
    today: date,
) -> dict[int, str]:
    marks: list[tuple[float, int, str]] = []
    for place, heading in enumerate(headings):
        if place in taken:
            continue
        cells = [cell for cell in columns[place] if cell and cell not in CELL_ERRORS][:LOOKED_AT]
        scores = heading_scores(heading, kind)
        for name, field in KINDS[kind].items():
            mark = _mark(scores.get(name, 0.0), field, cells, today, heading)
            if mark >= SURE:
                marks.append((mark, -place, name))
    found: dict[int, str] = {}
    used = {name for name in taken.values() if name and not _many(kind, name)}
    for _, negative, name in sorted(marks, reverse=True):
        if -negative not in found and name not in used:
            found[-negative] = name
            if not _many(kind, name):
                used.add(name)
    return found


def _sheet_name(
    headings: Sequence[str],
    columns: Sequence[Sequence[str]],
    kind: str,
    taken: Mapping[int, str],
    people: frozenset[str],
) -> dict[int, str]:
    """What the names of the sheets say: an owner when a sheet is called like a member, else a bench."""
    if SHEET_NAME not in headings or kind != "trees" or headings.index(SHEET_NAME) in taken:
        return {}
    place = headings.index(SHEET_NAME)
    owners = any(unaccented(cell) in people for cell in columns[place])
    field = "owner" if owners else "bench"
    return {} if field in taken.values() else {place: field}


def _whereabouts(
    columns: Sequence[Sequence[str]],
    fields: Mapping[int, str],
    sites: frozenset[str],
    benches: frozenset[str],
) -> dict[int, str]:
    """A column "Where" may name benches or whole sites: what stands in it decides."""
    if ("bench" in fields.values()) == ("site" in fields.values()):
        return {}
    place, field = next((p, f) for p, f in fields.items() if f in ("bench", "site"))
    cells = [key(cell) for cell in columns[place] if cell]
    on_site = sum(cell in sites for cell in cells)
    on_bench = sum(cell in benches for cell in cells)
    if field == "site":
        return {place: "bench"} if on_bench > on_site and on_bench * 2 >= len(cells) else {}
    if not on_bench and on_site * 2 < len(cells):
        grounds = set(vocabulary()["sites"])
        on_site = sum(bool(grounds & set(cell.split())) for cell in cells)
    return {place: "site"} if on_site > on_bench and on_site * 2 >= len(cells) else {}


def _many(kind: str, name: str) -> bool:
    return name.startswith(DAY) or (name in KINDS[kind] and KINDS[kind][name].many)


def _mark(by_heading: float, field: Field, cells: list[str], today: date, heading: str) -> float:
    if heading == SHEET_NAME:
        by_heading = 0.0
    if not by_heading and not field.by_value:
        return 0.0
    fits = fit(field, cells, today, heading_words(heading)[1])
    if not by_heading:
        return 0.6 * fits if fits >= 0.8 and cells else 0.0
    if not cells:
        return by_heading * 0.9
    special = 0.15 if field.reads != "text" and fits >= 0.6 else 0.0
    return by_heading * (0.45 + 0.55 * fits) + special


def _shown(
    place: int,
    heading: str,
    field: str,
    cells: Sequence[str],
    kind: str,
    said: Mapping[int, tuple[str, str]],
    inches: bool,
) -> Guess:
    samples = tuple(dict.fromkeys(cell for cell in cells if cell))[:SAMPLES]
    told = place in said
    style = column_style(KINDS[kind].get(field), heading, cells, said.get(place, ("", ""))[1], inches)
    if not field:
        asked = Reason.of("import_column_kept" if kind == "trees" else "import_column_left", heading=heading)
    elif field.startswith(DAY):
        asked = Reason.of("import_ask_day", heading=heading, day=date.fromisoformat(field[len(DAY) :]))
    else:
        bare = [cell for cell in cells if cell and not numbers.unit_in(cell)]
        unsaid = KINDS[kind][field].reads in TABLES and not style.unit and bool(bare)
        asked = Reason.of(
            "import_ask",
            heading=heading,
            field=f"{kind}.{field}",
            unit=style.unit,
            assumed=style.assumed,
            unsaid=unsaid,
        )
    return Guess(place, heading, field, style, samples, asked, told)


def column_style(field: Field | None, heading: str, cells: Sequence[str], unit: str, inches: bool) -> Style:
    """How a column's cells are to be read: unit, decimal mark, order of day and month."""
    if field is None:
        return Style()
    if field.reads in TABLES:
        return unit_style(cells, unit or heading_words(heading)[1], TABLES[field.reads], field.usual, inches)
    if field.reads in ("date", "past_date"):
        return Style(day_first=_told_order(heading, day_order(cells)))
    return Style(decimal=numbers.decimal_of(cells))


def _told_order(heading: str, seen: bool | None) -> bool | None:
    """The heading may say the order itself: "Date (dd/mm/yyyy)"."""
    body = unaccented(heading)
    if re.search(r"d+[/.\- ]m+[/.\- ]y|t+[/.\- ]m+[/.\- ]j", body):
        return True
    return False if re.search(r"m+[/.\- ]d+[/.\- ]y", body) else seen
