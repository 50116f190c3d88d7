"""Turn the season programme into jobs and rounds."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from collection.management.house import add_club, ready_database, refusals
from collection.management.progress import Progress
from collection.queries.clubs import holdings
from collection.queries.imports import importing_club
from collection.usecases import reference, season


class Command(BaseCommand):
    help = "Turn the season programme into jobs and rounds; any number of times, without doubles."

    def add_arguments(self, parser: ArgumentParser) -> None:
        add_club(parser)

    def handle(self, *args: Any, club: str, **options: Any) -> None:
        ready_database(self.stdout)  # type: ignore[arg-type]
        reference.load()
        with refusals(), Progress(self.stdout) as progress:  # type: ignore[arg-type]
            actor, today = importing_club(club)
            progress.say("Working the season out ...")
            made = season.regenerate(actor=actor, today=today)
        held = holdings(actor)
        self.stdout.write(f"New: {made.jobs} jobs and {made.rounds} rounds. Moved: {made.moved}.")
        self.stdout.write(f"Open now: {held.jobs} jobs on {held.trees} trees, and {held.rounds} rounds.")
        self.stdout.write("Next: python3 manage.py new_workday 2027-03-06 9:30 13:30")
