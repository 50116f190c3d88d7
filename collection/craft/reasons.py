"""Why something is so, as data: a code and its values.

The core never writes sentences. It says ``Reason.of("tree_rests", until=day)`` and
``collection.queries.sentences`` turns that into words for page, mail, print, command and API.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

Value = str | int | float | bool | date | None | tuple["Value", ...]


@dataclass(frozen=True, slots=True)
class Reason:
    """A stable code with named values.

    Attributes:
        code: Lower-case words joined by underscores; never renamed once released.
        items: The values in the order of their names, so that equal reasons compare equal.
    """

    code: str
    items: tuple[tuple[str, Value], ...] = ()

    @classmethod
    def of(cls, code: str, **values: Value) -> Reason:
        """Make a reason from keyword values."""
        return cls(code, tuple(sorted(values.items())))

    @property
    def values(self) -> dict[str, Value]:
        """The values by name."""
        return dict(self.items)

    def as_json(self) -> dict[str, Any]:
        """The reason as plain JSON; dates become ISO text under ``{"date": ...}``."""
        return {"code": self.code, "values": {name: _plain(value) for name, value in self.items}}

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Reason:
        """Read back what ``as_json`` wrote.

        Raises:
            KeyError: If ``code`` is missing.
        """
        values = {name: _rich(value) for name, value in data.get("values", {}).items()}
        return cls.of(data["code"], **values)


def _plain(value: Value) -> Any:
    if isinstance(value, date):
        return {"date": value.isoformat()}
    if isinstance(value, tuple):
        return [_plain(part) for part in value]
    return value


def _rich(value: Any) -> Value:
    if isinstance(value, dict) and set(value) == {"date"}:
        return date.fromisoformat(value["date"])
    if isinstance(value, list):
        return tuple(_rich(part) for part in value)
    return value  # type: ignore[no-any-return]
