"""The main job on two invented clubs, told as it goes; then the site."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from collection.management import telling, telling_letters
from collection.management.progress import Progress
from collection.queries.clubs import other_clubs, sample_actors
from collection.usecases import plans, posting, reminders, season
from collection.usecases.sample.replay import CLUBS, load, new_passwords


class Command(BaseCommand):
    help = "Set up two sample clubs, run the main job on them and print it, then serve the site."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--no-serve", action="store_true", help="stop after printing")
        parser.add_argument("--port", type=int, default=8000, help="first port to try")

    def handle(self, *args: Any, no_serve: bool, port: int, **options: Any) -> None:
        with Progress(self.stdout) as progress:  # type: ignore[arg-type]
            self._work(progress)
        now = timezone.now()
        reminders.run(now)
        for actor in sample_actors():
            for line in (*telling.club(actor), *telling_letters.letters(actor, now, settings.MAIL_DIR)):
                self.stdout.write(line)
        self._sign_in()
        if no_serve:
            posting.send_waiting()
        else:
            # The background process sends them, with links that lead to the address it is told.
            call_command("serve", port=port)

    def _work(self, progress: Progress) -> None:
        progress.say("Making the database ...")
        call_command("migrate", interactive=False, verbosity=0)
        if strangers := other_clubs():
            raise CommandError(
                f"This database holds {strangers[0]}, which is not a sample club. "
                "The demo keeps to a database of its own: unset DATABASE_URL and TEIRE_DATA_DIR."
            )
        today = timezone.localdate()
        for name in CLUBS:
            progress.say(f"Taking in the sheets of {name.capitalize()} ...")
            load(club=name, today=today, progress=progress.say)
        for actor in sample_actors():
            progress.say(f"{telling.name_of(actor)}: working the season out ...")
            season.regenerate(actor=actor, today=telling.today_of(actor))
            progress.say(f"{telling.name_of(actor)}: working out the plan of the next workday ...")
            self._plan(actor)

    def _plan(self, actor: Any) -> None:
        """Ask for a plan and work it out here, as the background process would."""
        day = telling.next_day(actor)
        if day is None or telling.has_fresh_plan(actor, day):
            return
        plans.work_out(plans.request_plan(actor=actor, workday_id=day))

    def _sign_in(self) -> None:
        self.stdout.write("\nSign in with one of these. The passwords are new at every start.")
        for club, who, email, password in new_passwords():
            self.stdout.write(f"  {club}: {who}, {email}, password {password}")
