"""Plan a workday from here and print the plan."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from collection.management import telling
from collection.management.house import add_club, day_in, ready_database, refusals
from collection.management.progress import Progress
from collection.queries.imports import importing_club
from collection.queries.workdays import workday_on
from collection.usecases import plans


class Command(BaseCommand):
    help = "Work out the plan of a workday and print it: who does what on which tree when."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("date", metavar="DATE", help="like 2027-03-06")
        add_club(parser)

    def handle(self, *args: Any, date: str, club: str, **options: Any) -> None:
        ready_database(self.stdout)  # type: ignore[arg-type]
        with refusals(), Progress(self.stdout) as progress:  # type: ignore[arg-type]
            actor, _ = importing_club(club)
            day = workday_on(actor, day_in(date))
            progress.say("Working the plan out ...")
            plans.work_out(plans.request_plan(actor=actor, workday_id=day))
        for line in telling.day_lines(actor, day):
            self.stdout.write(line)
