"""The project's own text files, as the arch tests read them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LEFT_OUT = {"__pycache__", "var", "node_modules", "venv", "build", "dist"}
TEXT = {".css", ".csv", ".html", ".js", ".json", ".md", ".py", ".svg", ".toml", ".txt", ".yml", ".lock"}


def text_files() -> Iterator[Path]:
    """Every text file that belongs to the project; nothing fetched and nothing vendored."""
    for path in _walk(ROOT):
        named = path.suffix in TEXT or path.name in {"LICENSE", "Makefile", ".gitignore", "run"}
        if named and "vendor" not in path.parts:
            yield path


def _walk(folder: Path) -> Iterator[Path]:
    for entry in sorted(folder.iterdir()):
        hidden = entry.name.startswith(".") and entry.name not in {".ci", ".gitignore"}
        if hidden or entry.name in LEFT_OUT or entry.is_symlink():
            continue
        if entry.is_dir():
            yield from _walk(entry)
        else:
            yield entry


def python_files(*folders: str) -> list[Path]:
    """The modules of some folders, migrations left out: those are written by Django."""
    found = [path for name in folders for path in _walk(ROOT / name) if path.suffix == ".py"]
    return [path for path in found if "migrations" not in path.parts]


def shown(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()
