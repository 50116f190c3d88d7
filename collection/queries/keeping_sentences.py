"""Sentences about backups."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.utils.translation import gettext as _

KINDS = {"sqlite": "one machine (SQLite)", "postgresql": "a server (PostgreSQL)"}

KEEPING_SENTENCES: dict[str, Callable[[Mapping[str, Any]], str]] = {
    "backup_damaged": lambda v: (
        _("This backup is damaged: %(file)s is not as it was written. Nothing was changed.") % v
    ),
    "backup_is_newer": lambda v: (
        _("This backup comes from a newer version (%(first)s). Update this one first.") % v
    ),
    "backup_missing": lambda v: _("There is no file %(file)s. Give the path of a backup.") % v,
    "backup_of_other_kind": lambda v: (
        _("This backup is of %(made)s, and this house is %(here)s. Restore it on the kind it was made on.")
        % {"made": KINDS.get(v["made"], v["made"]), "here": KINDS.get(v["here"], v["here"])}
    ),
    "copy_damaged": lambda v: (
        _("The database did not pass its examination (%(file)s). Keep every copy you have, and ask for help.")
        % v
    ),
    "database_busy": lambda v: _("Somebody is working in the database. Stop the site, then do this again."),
    "no_scratch_database": lambda v: _("The server lets nobody make a database to try the backup in."),
    "not_a_backup": lambda v: _("%(file)s is not a backup of this service.") % v,
    "nothing_to_keep": lambda v: _("There is no database yet, so there is nothing to keep."),
    "restore_differs": lambda v: (
        _("The table %(table)s is not as it was written. Put the backup made just before this one back.") % v
    ),
    "tool_failed": lambda v: _("%(tool)s stopped and said: %(said)s") % v,
    "tool_missing": lambda v: _("%(tool)s is not installed. Install the client programs of PostgreSQL.") % v,
}
