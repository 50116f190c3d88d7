"""From a species as people write it to the group whose season it follows."""

from __future__ import annotations

import csv
import re
import unicodedata
from functools import cache

from collection.usecases.importing.numbers import CannotRead
from collection.usecases.importing.vocabulary import REFERENCE, unaccented

TABLE = REFERENCE / "species_groups.csv"
GROUPS = tuple(f"G{number:02d}" for number in range(1, 16))


@cache
def names() -> dict[str, tuple[str, ...]]:
    """Groups by plain name; a name that says too little ("pine") has more than one group."""
    with TABLE.open(encoding="utf-8", newline="") as lines:
        return {_words(row["name"]): tuple(row["groups"].split()) for row in csv.DictReader(lines)}


@cache
def _genera() -> frozenset[str]:
    with TABLE.open(encoding="utf-8", newline="") as lines:
        return frozenset(
            word
            for row in csv.DictReader(lines)
            if row["language"] == "latin"
            for word in row["name"].split()[:1]
        )


def is_latin(text: str) -> bool:
    """Whether a species is written by its botanical name."""
    return bool(set(_words(text).split()[:1]) & _genera())


def _words(text: str) -> str:
    body = (
        re.sub(r"['\"\u2019\u2018`(].*$", " ", unaccented(text))
        if not _is_east_asian(text)
        else unaccented(text)
    )
    return " ".join(re.findall(r"[^\W_]+", body))


def _is_east_asian(text: str) -> bool:
    return any("\u3040" <= letter <= "\u9fff" for letter in unicodedata.normalize("NFKC", text))


def groups_named(text: str) -> tuple[str, ...]:
    """The groups a species text may mean, by the longest name found in it; empty when none is known."""
    for body in (_words(text), _words(re.sub(r"['\"\u2019\u2018`()]", " ", text))):
        found = _longest(body)
        if found:
            return found
    return ()


def _longest(body: str) -> tuple[str, ...]:
    table = names()
    words = body.split()
    for length in range(min(len(words), 4), 0, -1):
        for start in range(len(words) - length + 1):
            phrase = " ".join(words[start : start + length])
            for form in (phrase, _singular(phrase)):
                if form in table:
                    return table[form]
    if _is_east_asian(body):
        inside = [name for name in table if _is_east_asian(name) and name in body]
        return table[max(inside, key=len)] if inside else ()
    return ()


def _singular(phrase: str) -> str:
    return phrase[:-1] if phrase.endswith("s") else phrase


def read_group(text: str) -> str:
    """A group code written as such: "G07", "g 7", "G07 Japanese maple"; a bare number is none.

    Raises:
        CannotRead: If there is no such group.
    """
    match = re.match(r"^g\s*0?(\d{1,2})\b", unaccented(text))
    code = f"G{int(match[1]):02d}" if match else ""
    if code not in GROUPS:
        raise CannotRead("import_no_such_group", value=text)
    return code


def group_of(species: str) -> str:
    """The one group a species text means.

    Raises:
        CannotRead: If none is known, or the name covers more than one.
    """
    found = groups_named(species)
    if not found:
        raise CannotRead("import_species_unknown", value=species)
    if len(found) > 1:
        raise CannotRead("import_species_two_groups", value=species, groups=found)
    return found[0]
