"""What the commands of one club share: which club, a ready database, refusals in words."""

from __future__ import annotations

from argparse import ArgumentParser
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, time
from typing import TextIO

from django.core.management import call_command
from django.core.management.base import CommandError

from collection.management.progress import Progress
from collection.queries.errors import Refused
from collection.queries.sentences import say


def add_club(parser: ArgumentParser) -> None:
    """The option that names the club."""
    parser.add_argument("--club", default="", metavar="NAME", help="needed when there is more than one club")


def ready_database(out: TextIO) -> None:
    """Make or update the tables; quick when nothing is to be done, with a sign of life when not."""
    with Progress(out):
        call_command("migrate", interactive=False, verbosity=0)


@contextmanager
def refusals() -> Iterator[None]:
    """A refusal ends the command with its sentence."""
    try:
        yield
    except Refused as refused:
        raise CommandError(say(refused.reason)) from None


def day_in(text: str) -> date:
    """A day typed as 2027-03-06.

    Raises:
        CommandError: If it is not one.
    """
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise CommandError(f"{text} is not a day. Write year, month and day, like 2027-03-06.") from None


def time_in(text: str) -> time:
    """A time typed as 9:30.

    Raises:
        CommandError: If it is not one, or lies between the steps of five minutes.
    """
    try:
        hour, _, minute = text.partition(":")
        found = time(int(hour), int(minute or 0))
    except ValueError:
        raise CommandError(f"{text} is not a time. Write hours and minutes, like 9:30.") from None
    if found.minute % 5:
        raise CommandError(f"{text} is not in steps of five minutes. Write a time like 9:30 or 9:35.")
    return found
