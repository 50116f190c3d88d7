"""Found a club of your own in this database."""

from __future__ import annotations

import secrets
from argparse import ArgumentParser
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.core.management.base import BaseCommand

from collection.craft.tasks import FAMILIES
from collection.management.house import ready_database, refusals
from collection.queries.people import has_account
from collection.usecases import clubs, members, reference

NEXT = (
    "import_people PEOPLE.xlsx --accept",
    "import_trees TREES.xlsx --accept",
    "season_jobs",
    "new_workday 2027-03-06 9:30 13:30",
    "serve",
)


class Command(BaseCommand):
    help = "Found a club with its first coordinator, and print how to sign in and what to do next."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("name", metavar="NAME", help="the club's name")
        parser.add_argument("--latitude", type=float, required=True, help="degrees, south below 0")
        parser.add_argument("--zone", required=True, help="time zone, like Europe/London")
        parser.add_argument("--coordinator", required=True, metavar="NAME", help="who plans")
        parser.add_argument("--email", required=True, help="the coordinator's e-mail, to sign in with")
        parser.add_argument("--last-frost", default="", metavar="MM-DD", help="usual last frost of spring")
        parser.add_argument("--first-frost", default="", metavar="MM-DD", help="usual first frost of autumn")
        parser.add_argument("--altitude", type=float, default=0.0, metavar="M", help="metres above the sea")
        parser.add_argument(
            "--level",
            default="",
            metavar="LEVEL",
            help="how well the coordinator works: novice, learning, practised or expert",
        )
        parser.add_argument("--ground", default="Club ground", metavar="NAME", help="where the trees stand")

    def handle(self, *args: Any, **options: Any) -> None:
        ready_database(self.stdout)  # type: ignore[arg-type]
        known = has_account(options["email"])
        password = secrets.token_urlsafe(12)
        with refusals():
            clubs.check_zone(options["zone"])
            today = datetime.now(ZoneInfo(options["zone"])).date()
            actor = clubs.create_club(
                name=options["name"],
                latitude=options["latitude"],
                zone=options["zone"],
                coordinator=options["coordinator"],
                email=options["email"],
                password=password,
                today=today,
                altitude_m=options["altitude"],
                last_frost=options["last_frost"],
                first_frost=options["first_frost"],
            )
            clubs.add_site(actor=actor, name=options["ground"])
            for family in FAMILIES if options["level"] else ():
                members.set_skill(
                    actor=actor,
                    member_id=actor.member_id or 0,
                    family=family,
                    level=options["level"],
                    since=today,
                )
        reference.load()
        self.stdout.write(f"{options['name']} is founded. Its trees stand on: {options['ground']}.")
        if known:
            self.stdout.write(f"Sign in as {options['email']} with the password you have already.")
        else:
            self.stdout.write(f"Sign in as {options['email']} with the password {password}")
            self.stdout.write("Keep it now: it is shown only once.")
        self.stdout.write(f"{options['coordinator']} is the club admin: plans days, and says who else may.")
        self.stdout.write("Next:")
        for command in NEXT:
            self.stdout.write(f"  python3 manage.py {command}")
