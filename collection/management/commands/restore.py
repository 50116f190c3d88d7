"""Put a backup back, or see that it could be."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand
from django.utils import timezone

from collection.management.house import refusals
from collection.management.keeping import holds
from collection.usecases.keeping import house


class Command(BaseCommand):
    help = "Put a backup back, after keeping what is there now. With --check only see that it could be."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", help="a file that the backup command made")
        parser.add_argument("--check", action="store_true", help="try it in another place and change nothing")

    def handle(self, *args: Any, file: str, check: bool, **options: Any) -> None:
        source = Path(file)
        with refusals():
            if check:
                contents = house.check(source)
                self.stdout.write(f"This backup of {contents.made_at} can be put back: {holds(contents)}.")
                self.stdout.write("Every file and every table is as it was written. Nothing was changed.")
                return
            contents, before = house.put_back(source, timezone.now())
        call_command("migrate", interactive=False, verbosity=0)
        self.stdout.write(f"Put back as of {contents.made_at}: {holds(contents)}.")
        self.stdout.write("Every table was compared. Everybody has to sign in again.")
        if before is not None:
            self.stdout.write(f"What was there before is kept in {before.path}.")
