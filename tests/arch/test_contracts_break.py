"""Each import contract is seen to break: a copy of the packages, one offending line, the linter's verdict."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from tests.arch.files import ROOT

# Contract, file, the line that breaks it. A file that does not exist is made.
BREAKS = [
    ("layers", "collection/queries/errors.py", "from collection.usecases import edit"),
    ("layers", "collection/craft/reasons.py", "import collection.planning"),
    ("layers", "collection/web/apps.py", "import api"),
    ("layers", "workers/__init__.py", "import collection.web.apps"),
    ("layers", "collection/usecases/edit.py", "import collection.conf.urls"),
    ("every-package-has-a-place", "collection/attic/__init__.py", ""),
    ("pure-core", "collection/craft/reasons.py", "import django"),
    ("pure-core", "collection/planning/attic.py", "import openpyxl"),
    ("models-are-private", "collection/web/apps.py", "from collection.models import Tree"),
    ("models-are-private", "api/__init__.py", "import collection.models.tree"),
    ("models-order", "collection/models/club.py", "from collection.models.tree import Tree"),
    ("models-order", "collection/models/attic.py", ""),
    ("one-door-to-the-solver", "collection/usecases/edit.py", "import ortools"),
    ("one-door-to-the-solver", "collection/planning/attic.py", "import ortools"),
    ("one-door-to-the-sun", "collection/queries/errors.py", "import astral"),
    ("drf-only-in-api", "collection/web/apps.py", "import rest_framework"),
    ("celery-at-three-places", "collection/web/apps.py", "import celery"),
    ("migrations-stand-alone", "collection/migrations/0001_initial.py", "import collection.craft.reasons"),
    ("no-cycles", "collection/queries/errors.py", "import collection.queries.access"),
]


def test_every_contract_has_a_case_that_breaks_it() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    contracts = [contract["id"] for contract in settings["tool"]["importlinter"]["contracts"]]
    assert {contract for contract, _, _ in BREAKS} == set(contracts)
    assert len(contracts) == len(set(contracts)) == 11


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """The packages and their contracts, ours to spoil."""
    for name in ("collection", "api", "workers"):
        left_out = shutil.ignore_patterns("__pycache__", "static")
        shutil.copytree(ROOT / name, tmp_path / name, ignore=left_out)
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


def lint(folder: Path, *arguments: str) -> tuple[int, str]:
    command = [str(Path(sys.executable).parent / "lint-imports"), "--no-cache", *arguments]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
    return done.returncode, done.stdout + done.stderr


@pytest.mark.ci
def test_the_contracts_hold_as_the_code_stands(copy: Path) -> None:
    code, words = lint(copy)
    assert code == 0, words
    assert "11 kept, 0 broken" in words


@pytest.mark.ci
@pytest.mark.parametrize(("contract", "name", "line"), BREAKS)
def test_a_contract_reports_its_break(copy: Path, contract: str, name: str, line: str) -> None:
    path = copy / name
    path.parent.mkdir(parents=True, exist_ok=True)
    before = path.read_text(encoding="utf-8") if path.exists() else ""
    path.write_text(f"{before}\n{line}\n", encoding="utf-8")
    code, words = lint(copy, "--contract", contract)
    assert code == 1, words
    assert "0 kept, 1 broken" in words
