"""Words clubs use, as data, and the plain form in which words are compared."""

from __future__ import annotations

import csv
import re
import unicodedata
from functools import cache
from pathlib import Path

REFERENCE = Path(__file__).resolve().parents[3] / "fixtures" / "reference"
VULGAR = re.compile(r"[\u00bc-\u00be\u2150-\u215e]")


def plain(text: str) -> str:
    """Lower case, one kind of space, full-width letters and digits made plain, fractions as 1/2."""
    text = VULGAR.sub(
        lambda match: " " + unicodedata.normalize("NFKC", match[0]).replace("\u2044", "/"), text
    )
    return " ".join(unicodedata.normalize("NFKC", text).casefold().split())


def _spelt_out(match: re.Match[str]) -> str:
    return " " + unicodedata.normalize("NFKC", match[0]).replace("\u2044", "/")


def unaccented(text: str) -> str:
    """Plain text with its accents taken off: "März" and "marz" become one."""
    letters = unicodedata.normalize("NFD", plain(text))
    return "".join(letter for letter in letters if not "\u0300" <= letter <= "\u036f")


def key(text: str) -> str:
    """Words without marks and accents; a lone sign such as a tick stays itself."""
    return " ".join(re.findall(r"[^\W_]+", unaccented(text))) or text.strip()


@cache
def vocabulary() -> dict[str, dict[str, str]]:
    """Code by word, one table each for units, stages, conditions, levels, roles, answers ..."""
    tables: dict[str, dict[str, str]] = {}
    with (REFERENCE / "sheet_words.csv").open(encoding="utf-8", newline="") as lines:
        for row in csv.DictReader(lines):
            tables.setdefault(row["table"], {})[key(row["word"])] = row["code"]
    return tables
