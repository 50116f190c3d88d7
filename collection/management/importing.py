"""What the three import commands share: arguments, the preview in words, and taking the file in."""

from __future__ import annotations

from argparse import ArgumentParser
from datetime import date
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from collection.queries.access import Actor
from collection.queries.errors import Refused
from collection.queries.imports import importing_club, problem_line
from collection.queries.sentences import say
from collection.usecases.importing.accept import Preview, accept, preview

SHOWN_PROBLEMS = 200
NOTHING = "(no cell filled)"


class ImportCommand(BaseCommand):
    """Show what a file would do; write only with ``--accept``."""

    kind = ""

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", metavar="FILE", help="the spreadsheet: .xlsx or .csv")
        parser.add_argument(
            "--club", default="", metavar="NAME", help="needed when there is more than one club"
        )
        parser.add_argument(
            "--accept", action="store_true", help="take the rows in; without it nothing is written"
        )
        parser.add_argument("--set-aside", action="store_true", help="leave out the rows that have problems")
        parser.add_argument("--sheet", default="", metavar="NAME", help="read this sheet only")
        parser.add_argument(
            "--column",
            action="append",
            default=[],
            metavar='"HEADING=FIELD"',
            help='say what a column is, such as "Base=trunk:mm"; nothing after the = leaves it out',
        )

    def handle(self, *args: Any, **options: Any) -> None:
        path = Path(options["file"])
        try:
            actor, today = importing_club(options["club"])
            given = self._given(path, actor, today, options)
            shown = preview(**given)
            self._show(shown)
            if options["accept"]:
                self._accept(given, options["set_aside"])
            else:
                self._say_next(shown)
        except Refused as refusal:
            raise CommandError(say(refusal.reason)) from None

    def _given(self, path: Path, actor: Actor, today: date, options: dict[str, Any]) -> dict[str, Any]:
        try:
            data = path.read_bytes()
        except OSError:
            raise CommandError(f"There is no file {path} to read. Check its name.") from None
        return {
            "actor": actor,
            "data": data,
            "file_name": path.name,
            "kind": self.kind,
            "today": today,
            "told": _told(options["column"]),
            "sheet": options["sheet"],
        }

    def _show(self, shown: Preview) -> None:
        self.stdout.write(f"{shown.file_name}, rows found: {shown.rows}")
        for note in shown.notes:
            self.stdout.write(f"  {say(note)}")
        self._show_columns(shown)
        self._show_problems(shown)
        self.stdout.write("\nWhat would be made")
        for reason in shown.makes:
            self.stdout.write(f"  {say(reason)}")
        if shown.unchanged:
            self.stdout.write(f"  Rows that are there already and stay as they are: {len(shown.unchanged)}.")
        if shown.already:
            self.stdout.write("  This file was taken in before. Taking it in again changes nothing.")

    def _show_columns(self, shown: Preview) -> None:
        self.stdout.write("\nColumns")
        width = min(30, max(len(column.heading) for column in shown.columns))
        for column in shown.columns:
            field = f" [{column.field}]" if column.field else ""
            self.stdout.write(f"  {column.heading:<{width}}  {say(column.asked)}{field}")
            samples = " | ".join(_short(cell) for cell in column.samples) or NOTHING
            self.stdout.write(f"  {'':<{width}}  {samples}")

    def _show_problems(self, shown: Preview) -> None:
        self.stdout.write(f"\nProblems: {len(shown.problems) or 'none'}")
        several = len({problem.sheet for problem in shown.problems}) > 1
        for problem in shown.problems[:SHOWN_PROBLEMS]:
            line = problem_line(
                problem.sheet, problem.place, problem.column, problem.reason, several_sheets=several
            )
            self.stdout.write(f"  {line}")
        if len(shown.problems) > SHOWN_PROBLEMS:
            self.stdout.write(f"  ... and {len(shown.problems) - SHOWN_PROBLEMS} more.")

    def _accept(self, given: dict[str, Any], set_aside: bool) -> None:
        done = accept(**given, set_aside="faulty" if set_aside else "none")
        if done.already:
            self.stdout.write("\nThis file was taken in before. Nothing was changed.")
            return
        self.stdout.write(
            f"\nDone. Rows taken in: {done.created}. There already: {done.unchanged}. "
            f"Set aside: {done.set_aside}."
        )

    def _say_next(self, shown: Preview) -> None:
        self.stdout.write("\nNothing was written.")
        if shown.faulty:
            self.stdout.write(
                f"Rows with problems: {len(shown.faulty)}. "
                "Put them right, or add --set-aside to leave them out."
            )
        self.stdout.write(
            'To take the rows in, add --accept. To correct a column, add --column "HEADING=FIELD".'
        )


def _told(answers: list[str]) -> dict[str, str]:
    told = {}
    for answer in answers:
        heading, mark, field = answer.rpartition("=")
        if not mark:
            raise CommandError(f'Write --column "HEADING=FIELD", not "{answer}".')
        told[heading.strip()] = field.strip()
    return told


def _short(cell: str) -> str:
    line = " ".join(cell.split())
    return line if len(line) <= 40 else f"{line[:39]}\u2026"
