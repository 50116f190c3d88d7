"""Back the house up into one file."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from collection.management.house import refusals
from collection.management.keeping import holds
from collection.usecases.keeping import house


class Command(BaseCommand):
    help = "Back up database and pictures into one file, read it back and compare. The site may go on."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--to", default="", metavar="FOLDER", help="best on another disk")
        parser.add_argument("--keep", type=int, default=0, metavar="N", help="remove all but the newest N")

    def handle(self, *args: Any, to: str, keep: int, **options: Any) -> None:
        folder = Path(to) if to else house.folder()
        with refusals():
            kept = house.back_up(folder, timezone.now())
        size = kept.path.stat().st_size / 1e6
        self.stdout.write(f"Kept in {kept.path} ({size:.1f} MB): {holds(kept.contents)}.")
        self.stdout.write("It was read back: every file and every table is as it was written.")
        if keep and (gone := house.forget_old(folder, keep)):
            self.stdout.write(f"Older backups removed: {gone}.")
        self.stdout.write(f"Try it, changing nothing: python3 manage.py restore {kept.path} --check")
