"""Stages, levels, roles, answers and yes or no, from the words clubs use in five languages."""

from __future__ import annotations

import re

from collection.usecases.importing.numbers import CannotRead
from collection.usecases.importing.vocabulary import key, vocabulary


def look_up(text: str, table: str) -> str:
    """The code of a word in one of the tables, or "" when the table does not know it."""
    return vocabulary()[table].get(key(text), "")


def _read(text: str, table: str, code: str) -> str:
    found = look_up(text, table)
    if not found:
        raise CannotRead(code, value=text)
    return found


def read_stage(text: str) -> str:
    """R, B, F or S.

    Raises:
        CannotRead: If the word is none of the stages.
    """
    first = re.split(r"[(/,;:]", text)[0]
    return look_up(text, "stages") or _read(first, "stages", "import_not_a_stage")


def read_condition(text: str) -> str:
    """sound, weak, sick, collected or imported.

    Raises:
        CannotRead: If the word is none of them.
    """
    return _read(text, "conditions", "import_not_a_condition")


def read_level(text: str) -> str:
    """novice, learning, practised or expert.

    Raises:
        CannotRead: If the word is none of them.
    """
    return _read(text, "levels", "import_not_a_level")


def read_role(text: str) -> str:
    """member, bench_lead, coordinator or admin.

    Raises:
        CannotRead: If the word is none of them.
    """
    return _read(text, "roles", "import_not_a_role")


def read_answer(text: str) -> str:
    """yes, no or perhaps.

    Raises:
        CannotRead: If the cell is none of them.
    """
    return _read(text, "answers", "import_not_an_answer")


def read_yes_no(text: str) -> bool:
    """True for yes, False for no.

    Raises:
        CannotRead: If the cell is neither.
    """
    answer = look_up(text, "answers")
    if answer not in ("yes", "no"):
        raise CannotRead("import_not_yes_or_no", value=text)
    return answer == "yes"


def read_skills(text: str) -> dict[str, str]:
    """Level by family from one cell: "wiring: expert, repotting (learning)"; a bare family is "learning".

    Raises:
        CannotRead: If a family or a level is not known.
    """
    skills: dict[str, str] = {}
    for part in re.split(r"[,;\n|、]", text):
        if not part.strip():
            continue
        match = re.fullmatch(r"\s*([^:=(]+?)\s*(?:[:=(]\s*([^)]+?)\s*\)?)?\s*", part)
        family = look_up(match[1], "families") if match else ""
        if match is None or not family:
            raise CannotRead("import_not_a_skill", value=part.strip())
        skills[family] = read_level(match[2]) if match[2] else "learning"
    return skills
