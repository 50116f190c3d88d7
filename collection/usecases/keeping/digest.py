"""What a database holds, as a count and a digest per table, to compare two copies."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from typing import Any

WHOLE = 2**256
Digests = dict[str, tuple[int, str]]


def digest_of(rows: Iterable[tuple[Any, ...]]) -> tuple[int, str]:
    """(rows, digest) of a table, whatever the order of its rows."""
    count, total = 0, 0
    for row in rows:
        count += 1
        total += int.from_bytes(hashlib.sha256(repr(row).encode()).digest(), "big")
    return count, f"{total % WHOLE:064x}"


def differing(one: Digests, other: Digests) -> list[str]:
    """Names of the tables that are not the same, sorted."""
    return sorted(name for name in one.keys() | other.keys() if one.get(name) != other.get(name))
