"""Who leads and who helps at the heavy bend of a tree."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from collection.management import telling
from collection.management.house import add_club, ready_database, refusals
from collection.management.telling_bends import bends_of_tree
from collection.queries.imports import importing_club


class Command(BaseCommand):
    help = "Say who leads and who helps at the heavy bend wanted on a tree, when, and why."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("tree", metavar="TREE", help="the number on its tag, like 2019.014")
        add_club(parser)

    def handle(self, *args: Any, tree: str, club: str, **options: Any) -> None:
        ready_database(self.stdout)  # type: ignore[arg-type]
        with refusals():
            actor, _ = importing_club(club)
            lines = list(bends_of_tree(actor, tree, telling.today_of(actor)))
        for line in lines:
            self.stdout.write(line)
