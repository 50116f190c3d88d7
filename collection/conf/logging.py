"""Logs: one JSON object a line on standard error, and nothing personal in it.

What a line may hold is a closed list (``FIELDS``). A traceback is kept as places in the code; the
words of an exception are left out, because a database puts row values into them.
"""

from __future__ import annotations

import json
import logging
import traceback
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

FIELDS = ("request_id", "method", "path", "status", "ms", "club", "plan", "job", "worker")


class JsonLines(logging.Formatter):
    """A record as one line of JSON; a line break inside a value is escaped, so it cannot forge a line."""

    def format(self, record: logging.LogRecord) -> str:
        line: dict[str, Any] = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "logger": record.name,
            "event": record.getMessage(),
        }
        line |= {name: record.__dict__[name] for name in FIELDS if record.__dict__.get(name) is not None}
        if record.exc_info and record.exc_info[1] is not None:
            line |= places(record.exc_info[1])
        return json.dumps(line, ensure_ascii=True, default=str)


def places(error: BaseException) -> dict[str, Any]:
    """The kind of an error and where it came through, without its words."""
    frames = traceback.extract_tb(error.__traceback__)
    return {
        "error": type(error).__qualname__,
        "where": [f"{frame.filename}:{frame.lineno} {frame.name}" for frame in frames],
    }


LOG_BYTES = 5_000_000


def logging_in(file: Path | None) -> dict[str, Any]:
    """The logging of a server, to standard error, or of one machine, to a file beside its database."""
    if file is None:
        return LOGGING
    file.parent.mkdir(parents=True, exist_ok=True)
    handler = {
        "class": "logging.handlers.RotatingFileHandler",
        "filename": str(file),
        "maxBytes": LOG_BYTES,
        "backupCount": 3,
        "delay": True,
        "formatter": "json",
        "filters": ["request_id"],
    }
    return LOGGING | {"handlers": {"lines": handler}}


LOGGING: dict[str, Any] = {
    "version": 1,
    "disable_existing_loggers": False,
    "filters": {"request_id": {"()": "collection.web.middleware.AddRequestId"}},
    "formatters": {"json": {"()": "collection.conf.logging.JsonLines"}},
    "handlers": {
        "lines": {"class": "logging.StreamHandler", "formatter": "json", "filters": ["request_id"]},
    },
    "root": {"handlers": ["lines"], "level": "WARNING"},
    "loggers": {
        "teire": {"level": "INFO"},
        "django": {"handlers": ["lines"], "level": "WARNING", "propagate": False},
        # Our own two lines about a request say more, and with the path shortened.
        "django.request": {"level": "CRITICAL"},
        "django.server": {"handlers": ["lines"], "level": "CRITICAL", "propagate": False},
    },
}
