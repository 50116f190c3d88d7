"""A tiny project with a one-package lock, set up for real from a wheel in a folder. No network."""

from __future__ import annotations

import base64
import hashlib
import os
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

# The faults are brought about with the means of Linux (signals, /dev/full, powers of a process).
collect_ignore = [] if sys.platform == "linux" else ["test_faults.py", "test_set_up.py"]

ROOT = Path(__file__).resolve().parents[2]
BASE_PYTHON = getattr(sys, "_base_executable", sys.executable)
GO = """
import os, sys
HERE = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, HERE)
from collection import bootstrap
bootstrap.ready(HERE, sys.argv)
import budwood
print(budwood.WORD, os.path.realpath(sys.prefix), *sys.argv[1:])
"""


@dataclass(frozen=True)
class Project:
    """A folder with the real bootstrap module, a lock, and a folder of wheels beside it."""

    folder: Path
    wheels: Path

    @property
    def venv(self) -> Path:
        return self.folder / ".venv"

    @property
    def lock(self) -> Path:
        return self.folder / "requirements.lock"

    def environment(self, **more: str) -> dict[str, str]:
        kept = {name: value for name, value in os.environ.items() if not name.startswith(("PIP_", "TEIRE_"))}
        return kept | {"PIP_NO_INDEX": "1", "PIP_FIND_LINKS": str(self.wheels)} | more

    def start(self, *words: str, python: str = BASE_PYTHON, **more: str) -> subprocess.Popen[str]:
        return subprocess.Popen(
            [python, str(self.folder / "go.py"), *words],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            stdin=subprocess.DEVNULL,
            text=True,
            env=self.environment(**more),
            start_new_session=True,
        )

    def go(self, *words: str, python: str = BASE_PYTHON, **more: str) -> tuple[int, str, str]:
        """Run the command; its exit code, what it printed, and what it said on standard error."""
        child = self.start(*words, python=python, **more)
        printed, said = child.communicate(timeout=120)
        return child.returncode, printed, said

    def python(self) -> str:
        return str(self.venv / "bin" / "python")


def write_wheel(folder: Path, *, word: str = "scion", tag: str = "py3-none-any") -> str:
    """A wheel of our own package ``budwood`` 1.0; its SHA-256 is returned."""
    files = {
        "budwood.py": f"WORD = {word!r}\n",
        "budwood-1.0.dist-info/METADATA": "Metadata-Version: 2.1\nName: budwood\nVersion: 1.0\n",
        "budwood-1.0.dist-info/WHEEL": f"Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: {tag}\n",
    }
    rows = []
    for name, text in files.items():
        digest = base64.urlsafe_b64encode(hashlib.sha256(text.encode()).digest()).rstrip(b"=").decode()
        rows.append(f"{name},sha256={digest},{len(text)}")
    files["budwood-1.0.dist-info/RECORD"] = "\n".join([*rows, "budwood-1.0.dist-info/RECORD,,", ""])
    path = folder / f"budwood-1.0-{tag}.whl"
    with zipfile.ZipFile(path, "w") as wheel:
        for name, text in files.items():
            wheel.writestr(name, text)
    return hashlib.sha256(path.read_bytes()).hexdigest()


def make_project(folder: Path, *, tag: str = "py3-none-any") -> Project:
    project = Project(folder / "project", folder / "wheels")
    (project.folder / "collection").mkdir(parents=True)
    project.wheels.mkdir()
    (project.folder / "collection" / "__init__.py").touch()
    shutil.copy(ROOT / "collection" / "bootstrap.py", project.folder / "collection")
    (project.folder / "go.py").write_text(GO)
    digest = write_wheel(project.wheels, tag=tag)
    project.lock.write_text(f"budwood==1.0 \\\n    --hash=sha256:{digest}\n")
    return project


@pytest.fixture
def project(tmp_path: Path) -> Project:
    """A fresh folder, nothing set up."""
    return make_project(tmp_path)


@dataclass(frozen=True)
class Built:
    project: Project
    answers: list[tuple[int | None, str, str]]


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Built:
    """A folder that was set up by two commands started at the same moment."""
    project = make_project(tmp_path_factory.mktemp("built"))
    children = [project.start("first"), project.start("second")]
    texts = [child.communicate(timeout=120) for child in children]
    return Built(project, [(child.returncode, *text) for child, text in zip(children, texts, strict=True)])


@pytest.fixture
def with_pip_only(built: Built, project: Project) -> Project:
    """A folder whose ``.venv`` was made by hand: pip is there, the package of the lock is not."""
    shutil.copytree(built.project.venv, project.venv, symlinks=True)
    (project.venv / "teire-stamp").unlink()
    site = next(project.venv.glob("lib/python*/site-packages"))
    (site / "budwood.py").unlink()
    shutil.rmtree(site / "budwood-1.0.dist-info")
    return project


@pytest.fixture
def stub_venv(project: Project) -> Callable[[str], Project]:
    """A ``.venv`` whose interpreter is a small script: it starts, lacks the package, and pip does as told."""

    def make(pip_install: str) -> Project:
        python = project.venv / "bin" / "python"
        python.parent.mkdir(parents=True)
        python.write_text(
            "#!/bin/sh\n"
            'case "$*" in\n'
            f'*"pip install"*) {pip_install} ;;\n'
            '*"bootstrap as b"*) exit 1 ;;\n'
            "*) exit 0 ;;\n"
            "esac\n"
        )
        python.chmod(0o755)
        return project

    return make
