"""What a reading found as plain JSON, so that a page can show it without reading the file again."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from collection.usecases.importing.accept import Preview, answer_of
from collection.usecases.importing.guess import Guess
from collection.usecases.importing.reading import Look
from collection.usecases.importing.values import Problem

MOST_PROBLEMS = 200
MOST_NOTES = 50


def shown_of(preview: Preview, found: Look, *, as_last_time: bool) -> dict[str, Any]:
    """Questions, faults and counts of a reading; reasons as codes, long lists cut and counted."""
    faulty = len(preview.faulty)
    if found.missing is not None:
        # Every row would be at fault: the columns are to be said first.
        preview = replace(preview, ready=(), problems=(), makes=())
        faulty = 0
    return {
        "tabs": list(found.tabs),
        "columns": [_column(column, preview.kind) for column in preview.columns],
        "missing": found.missing.as_json() if found.missing else None,
        "notes": [note.as_json() for note in preview.notes[:MOST_NOTES]],
        "notes_left": max(0, len(preview.notes) - MOST_NOTES),
        "rows": preview.rows,
        "ready": len(preview.ready),
        "unchanged": len(preview.unchanged),
        "faulty": faulty,
        "problems": [_problem(problem) for problem in preview.problems[:MOST_PROBLEMS]],
        "problems_left": max(0, len(preview.problems) - MOST_PROBLEMS),
        "makes": [reason.as_json() for reason in preview.makes],
        "already": preview.already,
        "as_last_time": as_last_time,
        "several": len({problem.sheet for problem in preview.problems}) > 1,
    }


def _column(column: Guess, kind: str) -> dict[str, Any]:
    return {
        "heading": column.heading,
        "answer": answer_of(column, kind),
        "samples": [sample[:80] for sample in column.samples],
        "asked": column.asked.as_json(),
        "told": column.told,
    }


def _problem(problem: Problem) -> dict[str, Any]:
    return {
        "sheet": problem.sheet,
        "place": problem.place,
        "column": problem.column,
        "value": problem.value[:200],
        "reason": problem.reason.as_json(),
    }
