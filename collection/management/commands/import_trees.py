"""Take a club's own spreadsheet of trees in: show first, write only with --accept."""

from __future__ import annotations

from collection.management.importing import ImportCommand


class Command(ImportCommand):
    help = "Show what a spreadsheet of trees would add; with --accept, add it."
    kind = "trees"
