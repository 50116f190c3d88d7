"""Put a workday on the club's list."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from collection.management.house import add_club, day_in, ready_database, refusals, time_in
from collection.queries.imports import importing_club
from collection.queries.labels import day
from collection.queries.people import member_named
from collection.queries.places import site_named
from collection.usecases import workdays


class Command(BaseCommand):
    help = "Put a workday on the club's list, open for offers of hours."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("date", metavar="DATE", help="like 2027-03-06")
        parser.add_argument("starts", metavar="FROM", help="like 9:30")
        parser.add_argument("ends", metavar="TO", help="like 13:30")
        parser.add_argument("--site", default="", metavar="NAME", help="where; the club's ground if left out")
        parser.add_argument(
            "--break", dest="pause", default="", metavar="FROM-TO", help="a break for all, like 11:15-11:30"
        )
        parser.add_argument("--lead", default="", metavar="NAME", help="who leads the day")
        add_club(parser)

    def handle(self, *args: Any, **options: Any) -> None:
        ready_database(self.stdout)  # type: ignore[arg-type]
        on, starts, ends = day_in(options["date"]), time_in(options["starts"]), time_in(options["ends"])
        pauses = []
        if options["pause"]:
            first, dash, last = options["pause"].partition("-")
            if not dash:
                raise CommandError("Write a break as two times with a dash, like 11:15-11:30.")
            pauses = [(time_in(first), time_in(last))]
        with refusals():
            actor, _ = importing_club(options["club"])
            site = site_named(actor, options["site"])
            workdays.create_workday(
                actor=actor,
                site_id=site.id,
                on=on,
                opens=starts,
                closes=ends,
                breaks=pauses,
                lead_id=member_named(actor, options["lead"], on) if options["lead"] else None,
            )
        self.stdout.write(f"{day(on)}, {options['starts']} to {options['ends']}, {site.name}: on the list.")
        self.stdout.write("Next: say who comes, on the day's page or with import_offers, then plan it:")
        self.stdout.write(f"  python3 manage.py plan_day {on.isoformat()}")
