"""Reading the lock, the state of ``.venv`` and pip's lines."""

from __future__ import annotations

import ast
import platform
import sys
from pathlib import Path

import pytest

from collection import bootstrap
from tests.bootstrap.conftest import Built

OWN = ".".join(str(part) for part in sys.version_info[:2])


@pytest.mark.parametrize("name", ["manage.py", "collection/bootstrap.py", "collection/__init__.py"])
def test_an_old_python_can_read_it_as_far_as_the_sentence(root: Path, name: str) -> None:
    ast.parse((root / name).read_text(encoding="utf-8"), feature_version=(3, 8))


def test_every_line_of_our_lock_is_understood(root: Path) -> None:
    for name in ("requirements.lock", ".ci/requirements.lock"):
        lines = [line for line in (root / name).read_text().splitlines() if "==" in line and line[0] != " "]
        found = [bootstrap.PIN.match(line) for line in lines]
        assert len(lines) > 40
        assert all(found), [line for line, pin in zip(lines, found, strict=True) if not pin]
        conditions = {pin[3].strip() for pin in found if pin and pin[3]}
        assert conditions
        assert all(
            bootstrap.MARKER.match(part.strip()) for text in conditions for part in text.split(" and ")
        )


def test_the_packages_of_this_very_run_are_those_of_the_lock(root: Path) -> None:
    assert bootstrap.missing(root / "requirements.lock") == []


def test_a_package_in_another_version_counts_as_missing(tmp_path: Path) -> None:
    lock = tmp_path / "requirements.lock"
    lock.write_text("django==1.0 \\\n    --hash=sha256:00\nbudwood==1.0 \\\n    --hash=sha256:00\n")
    assert bootstrap.missing(lock) == ["django", "budwood"]


@pytest.mark.parametrize(
    ("marker", "holds"),
    [
        ("", True),
        (f"python_full_version >= '{OWN}'", True),
        (f"python_full_version < '{OWN}'", False),
        ("python_full_version >= '3.9' and python_full_version < '3.100'", True),  # 100 > 11 as numbers
        (f"sys_platform == '{sys.platform}'", True),
        (f"sys_platform != '{sys.platform}'", False),
        (f"platform_python_implementation != '{platform.python_implementation()}'", False),
        ("extra == 'pdf'", False),
    ],
)
def test_a_condition_in_the_lock_is_worked_out_for_this_computer(marker: str, holds: bool) -> None:
    assert bootstrap.applies(marker) is holds


def test_a_changed_lock_makes_the_venv_stale(built: Built, tmp_path: Path) -> None:
    lock = tmp_path / "requirements.lock"
    lock.write_text(built.project.lock.read_text())
    assert bootstrap.fits(built.project.venv, lock)
    lock.write_text(lock.read_text() + "# one more line\n")
    assert not bootstrap.fits(built.project.venv, lock)


def test_another_python_makes_the_venv_stale(built: Built, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(platform, "python_version", lambda: "3.99.0")
    assert not bootstrap.fits(built.project.venv, built.project.lock)


def test_a_slow_step_says_how_far_it_is_and_a_quick_one_says_nothing(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(bootstrap, "TICK_S", 0.25)  # two seconds in life
    code = "import time; print('Collecting budwood==1.0', flush=True); time.sleep({})"
    bootstrap.run("Installing packages", [sys.executable, "-c", code.format(0)], total=9)
    assert capsys.readouterr().err == ""
    bootstrap.run("Installing packages", [sys.executable, "-c", code.format(0.9)], total=9)
    assert "seconds, 1 of 9 fetched, now budwood\n" in capsys.readouterr().err


def test_the_interpreter_is_where_each_system_keeps_it(monkeypatch: pytest.MonkeyPatch) -> None:
    venv = Path("club") / ".venv"
    assert bootstrap.python_of(venv) == venv / "bin" / "python"
    monkeypatch.setattr(bootstrap, "windows", lambda: True)
    assert bootstrap.python_of(venv) == venv / "Scripts" / "python.exe"
