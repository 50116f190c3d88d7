"""How long will it take, without needing a tree."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from collection.craft.reference import groups
from collection.management.house import refusals
from collection.queries import estimates
from collection.queries.labels import STAGE_NAMES, TASK_NAMES, hours_range, length, task_name


class Command(BaseCommand):
    help = "Work out how long a task takes from branches, wire or another count, and print the sum."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("task", metavar="TASK", help='code or name, like WIRE_DETAIL or "detail wiring"')
        for name, what in (
            ("branches", "branches in all"),
            ("primary", "main branches"),
            ("secondary", "side branches"),
            ("fine", "fine branches"),
            ("metres", "metres of wire"),
            ("count", "cut sites, shoots, candles or whatever the task counts"),
            ("diameter", "mm at the bend"),
            ("pot", "litres"),
            ("height", "cm"),
        ):
            parser.add_argument(f"--{name}", type=float, metavar="N", help=what)
        parser.add_argument(
            "--group", default="", metavar="GROUP", help='code or name, like G01 or "two-flush pine"'
        )
        parser.add_argument("--stage", default="", metavar="STAGE", help="raw, building, refining or show")
        parser.add_argument("--skill", default="practised", help="novice, learning, practised or expert")

    def handle(self, *args: Any, **options: Any) -> None:
        task = self._task(options["task"])
        counts = {name: options[name] for name in ("primary", "secondary", "fine") if options[name]}
        other = estimates.other_kind(task)
        if options["count"]:
            if not other:
                raise CommandError(f"{task_name(task)} counts branches or wire, not --count.")
            counts[other] = options["count"]
        if options["diameter"]:
            counts["bend_mm"] = options["diameter"]
        with refusals():
            found = estimates.ask(
                None,
                task=task,
                counts=counts,
                branches_total=options["branches"],
                wire_m=options["metres"],
                group=self._group(options["group"]),
                stage=self._stage(options["stage"]),
                height_cm=options["height"],
                pot_litres=options["pot"],
                skill=options["skill"],
            )
        self._tell(task, found)

    def _tell(self, task: str, found: Any) -> None:
        number = estimates.opened(found)
        self.stdout.write(f"{task_name(task)}: likely {number.text}, {self._people(found.crew)}")
        for line in number.lines:
            self.stdout.write(f"  {line.label:<48} {line.figure:>9}  {line.trust}")
        self.stdout.write(f"  {number.total_label:<48} {number.total}")
        rows = hours_range(
            found.low_min, found.likely_min, found.high_min, found.mean_min, found.cautious_min
        )
        self.stdout.write("  " + ", ".join(f"{name} {value}" for name, value in rows))
        for note in number.notes:
            self.stdout.write(f"  {note}")
        if found.crew > 1:
            self.stdout.write(f"  On the clock: {length(found.elapsed_min)}.")

    def _people(self, crew: int) -> str:
        return "one person" if crew == 1 else f"{crew} people together"

    def _task(self, text: str) -> str:
        wanted = text.strip().casefold()
        for code in estimates.TASKS_TO_ASK:
            if wanted in (code.casefold(), TASK_NAMES.get(code, "").casefold()):
                return code
        known = ", ".join(sorted(task_name(code).lower() for code in estimates.TASKS_TO_ASK))
        raise CommandError(f"There is no task {text}. Use one of: {known}.")

    def _group(self, text: str) -> str:
        wanted = text.strip().casefold()
        for code, group in groups().items():
            if wanted in (code.casefold(), group.name.casefold()):
                return code
        if not wanted:
            return ""
        known = ", ".join(f"{code} {group.name}" for code, group in groups().items())
        raise CommandError(f"There is no group {text}. Use one of: {known}.")

    def _stage(self, text: str) -> str:
        if not text:
            return ""
        for code, name in STAGE_NAMES.items():
            if text.casefold() in (code.casefold(), name.casefold()):
                return code
        raise CommandError(f"There is no stage {text}. Use raw, building, refining or show.")
