"""From a bare folder to a working command, and back to work after every way it can go stale."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import time

from collection import bootstrap
from tests.bootstrap.conftest import BASE_PYTHON, Built, Project


def test_two_commands_started_together_make_one_venv_and_both_work(built: Built) -> None:
    venv = os.path.realpath(built.project.venv)
    codes = [code for code, _, _ in built.answers]
    assert codes == [0, 0], built.answers
    assert sorted(printed.strip() for _, printed, _ in built.answers) == [
        f"scion {venv} first",
        f"scion {venv} second",
    ]
    builders = [said for _, _, said in built.answers if "Setting up in the folder .venv" in said]
    assert len(builders) == 1


def test_a_folder_that_is_set_up_says_nothing_and_installs_nothing(built: Built) -> None:
    code, printed, said = built.project.go("again", PIP_FIND_LINKS="/nowhere")
    assert (code, said) == (0, "")
    assert printed.endswith("again\n")


def test_inside_the_right_venv_nothing_is_done(built: Built) -> None:
    code, printed, said = built.project.go(python=built.project.python())
    assert (code, said) == (0, "")
    assert printed.startswith("scion ")


def test_an_interpreter_that_has_the_packages_is_used_as_it_is(built: Built, project: Project) -> None:
    code, printed, said = project.go(python=built.project.python())
    assert (code, said) == (0, "")
    assert os.path.realpath(built.project.venv) in printed
    assert not project.venv.exists()


def test_a_moved_venv_is_made_again_in_its_new_place(built: Built, project: Project) -> None:
    shutil.copytree(built.project.venv, project.venv, symlinks=True)
    (project.venv / "left-over").write_text("from the old place")
    code, printed, said = project.go()
    assert code == 0, said
    assert "Setting up in the folder .venv" in said
    assert os.path.realpath(project.venv) in printed
    assert not (project.venv / "left-over").exists()


def started(project: Project) -> subprocess.Popen[str]:
    """A command that is in the middle of making ``.venv``."""
    child = project.start()
    deadline = time.monotonic() + 60
    while not (project.venv / "bin").exists() and time.monotonic() < deadline:
        time.sleep(0.02)
    return child


def test_stopping_it_by_hand_says_so_without_a_traceback(project: Project) -> None:
    child = started(project)
    os.killpg(child.pid, signal.SIGINT)
    printed, said = child.communicate(timeout=60)
    assert (child.returncode, printed) == (130, "")
    assert said.splitlines()[-1].startswith("Stopped. Nothing is broken")
    assert "Traceback" not in said


def test_a_run_that_was_killed_half_way_is_made_again(project: Project) -> None:
    child = started(project)
    os.killpg(child.pid, signal.SIGKILL)
    child.communicate()
    assert (project.venv / "teire-building").exists()
    assert not (project.venv / "teire-stamp").exists()
    (project.venv / "half-made").write_text("")
    code, printed, said = project.go()
    assert code == 0, said
    assert printed.startswith("scion ")
    assert not (project.venv / "half-made").exists()
    assert not (project.venv / "teire-building").exists()


def test_a_venv_without_pip_is_given_pip_and_filled_up_and_kept(project: Project) -> None:
    subprocess.run([BASE_PYTHON, "-m", "venv", "--without-pip", str(project.venv)], check=True)
    (project.venv / "mine").write_text("made by hand")
    code, printed, said = project.go()
    assert code == 0, said
    assert printed.startswith("scion ")
    assert (project.venv / "mine").read_text() == "made by hand"


def test_a_venv_whose_interpreter_is_gone_does_not_fit_and_does_not_run(with_pip_only: Project) -> None:
    assert bootstrap.runs(with_pip_only.venv)
    for link in (with_pip_only.venv / "bin").glob("python*"):
        link.unlink()
        link.symlink_to("/nowhere/python")
    assert not bootstrap.fits(with_pip_only.venv, with_pip_only.lock)
    assert not bootstrap.runs(with_pip_only.venv)


def test_a_venv_made_by_hand_is_kept_when_filling_it_up_fails(with_pip_only: Project) -> None:
    (with_pip_only.venv / "mine").write_text("made by hand")
    wheel = next(with_pip_only.wheels.iterdir())
    away = wheel.rename(with_pip_only.folder / wheel.name)
    assert with_pip_only.go()[0] == 2
    away.rename(wheel)
    code, printed, said = with_pip_only.go()
    assert code == 0, said
    assert printed.startswith("scion ")
    assert (with_pip_only.venv / "mine").read_text() == "made by hand"
