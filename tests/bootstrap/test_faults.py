"""Each thing that can be missing, brought about for real: one clear sentence, exit code 2, no traceback."""

from __future__ import annotations

import ctypes
import os
import socket
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from collection import bootstrap
from tests.bootstrap.conftest import BASE_PYTHON, Project, write_wheel


def told(project: Project, **more: str) -> str:
    """What a command that cannot go on said last; it must have stopped with code 2."""
    code, printed, said = project.go(**more)
    assert (code, printed) == (2, ""), said
    assert "Traceback" not in said
    return said.strip().splitlines()[-1]


def test_a_package_that_is_not_the_one_in_the_lock_is_named_and_not_installed(with_pip_only: Project) -> None:
    write_wheel(with_pip_only.wheels, word="changed by somebody")
    sentence = told(with_pip_only)
    assert sentence.startswith("The package budwood is not the file that requirements.lock expects")
    assert not list(with_pip_only.venv.glob("lib/python*/site-packages/budwood.py"))


def test_a_lock_without_checksums_is_refused_by_name(with_pip_only: Project) -> None:
    with_pip_only.lock.write_text("budwood==1.0\n")
    assert told(with_pip_only).startswith("The package budwood has no checksum in requirements.lock")


def test_no_way_to_the_package_server_is_said_so(with_pip_only: Project) -> None:
    with socket.socket() as taken:  # bound and never listening: every connection is refused
        taken.bind(("127.0.0.1", 0))
        address = f"http://127.0.0.1:{taken.getsockname()[1]}/simple"
        sentence = told(with_pip_only, PIP_NO_INDEX="0", PIP_FIND_LINKS="", PIP_INDEX_URL=address)
    assert sentence.startswith("The packages could not be fetched: there is no way to the package server")


def test_a_package_without_a_wheel_for_this_computer_is_named(with_pip_only: Project) -> None:
    (with_pip_only.wheels / "budwood-1.0-py3-none-any.whl").unlink()
    digest = write_wheel(with_pip_only.wheels, tag="cp311-cp311-win_arm64")
    with_pip_only.lock.write_text(f"budwood==1.0 --hash=sha256:{digest}\n")
    assert told(with_pip_only).startswith("There is no ready-made package of budwood for this computer")


def test_python_without_venv_names_the_line_that_installs_it(project: Project, tmp_path: Path) -> None:
    # What Debian's python3 without python3-venv does: the module is not there.
    (tmp_path / "ensurepip.py").write_text("raise ModuleNotFoundError('No module named ensurepip')\n")
    assert "sudo apt-get install python3-venv" in told(project, PYTHONPATH=str(tmp_path))
    assert not project.venv.exists()


def test_a_disk_that_fills_up_while_installing_is_said_so(stub_venv: Callable[[str], Project]) -> None:
    # Its "pip" writes to the device that is always full, and says what Python says then.
    full = f"exec {sys.executable} -c \"open('/dev/full', 'w', 1).write('x' * 9 + chr(10))\""
    assert told(stub_venv(full)) == bootstrap.FULL_DISK


def test_a_disk_that_is_full_before_pip_starts_is_said_so(tmp_path: Path) -> None:
    with pytest.raises(bootstrap.Stop, match="The disk is full"), bootstrap.faults(tmp_path / ".venv"):
        os.write(os.open("/dev/full", os.O_WRONLY), b"x")


def test_an_unknown_fault_of_pip_is_passed_on_in_its_own_words(stub_venv: Callable[[str], Project]) -> None:
    sentence = told(stub_venv("echo the roots are bound; exit 3"))
    assert sentence == "Installing packages did not work. Its last words were: the roots are bound"


def test_pip_that_succeeds_without_the_package_does_not_start_a_circle(
    stub_venv: Callable[[str], Project],
) -> None:
    project = stub_venv("exit 0")
    code, _, said = project.go(TEIRE_SET_UP="1")
    assert code == 2
    assert "these packages still cannot be used: budwood" in said


def without_root_powers() -> None:
    """Root writes into folders nobody may write to; take that power from the child before it starts."""
    if os.geteuid() == 0:
        libc = ctypes.CDLL(None)
        for power in (1, 2):  # CAP_DAC_OVERRIDE, CAP_DAC_READ_SEARCH (linux/capability.h)
            if libc.prctl(24, power, 0, 0, 0):  # PR_CAPBSET_DROP (linux/prctl.h)
                os._exit(99)


def test_a_folder_that_cannot_be_written_to_is_named(project: Project) -> None:
    project.folder.chmod(0o555)
    try:
        done = subprocess.run(
            [BASE_PYTHON, str(project.folder / "go.py")],
            capture_output=True,
            text=True,
            env=project.environment(),
            preexec_fn=without_root_powers,
            check=False,
        )
    finally:
        project.folder.chmod(0o755)
    assert done.returncode == 2, done.stderr
    assert done.stderr.startswith(f"The folder {project.folder} cannot be written to.")


def test_a_missing_lock_is_said_so(project: Project) -> None:
    project.lock.unlink()
    assert told(project).startswith("The file requirements.lock is missing")


def test_a_lock_without_a_package_is_not_taken_as_nothing_missing(project: Project) -> None:
    project.lock.write_text("# nothing here\n")
    assert told(project).startswith("The file requirements.lock names no package")


def test_an_old_python_is_told_its_own_version() -> None:
    with pytest.raises(bootstrap.Stop, match=r"needs Python 3\.11 or newer, and this is Python 3\.9\.18"):
        bootstrap.too_old((3, 9, 18))
    bootstrap.too_old((3, 11, 0))
