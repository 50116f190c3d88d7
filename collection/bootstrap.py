"""Make ``.venv`` from the lock when the packages are missing, then start again inside it.

Standard library only, and no syntax newer than Python 3.8: an old interpreter must get as far as the
sentence that says it is too old. Everything said here goes to standard error, in one clear sentence.

Two small files tell the state of ``.venv``: ``teire-stamp`` (finished: for which lock, which Python, in
which place) and ``teire-building`` (begun, not finished). A ``.venv`` with neither was made by somebody
else: it is used as it is when it holds what the lock asks for, and filled up when it does not.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import platform
import re
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from importlib import metadata
from pathlib import Path

OLDEST = (3, 11)
TICK_S = 2.0
AGAIN = "TEIRE_SET_UP"
STAMP = "teire-stamp"
BUILDING = "teire-building"
FILLING = "teire-filling"
PIN = re.compile(r"^([A-Za-z0-9._-]+)(?:\[[^\]]*\])?==([^\s;\\]+)\s*(?:;\s*([^\\]+?))?\s*(?:--hash=.*|\\)?$")
FETCHED = re.compile(r"Collecting ([A-Za-z0-9._-]+)|Processing (?:\S*[/\\])?([A-Za-z0-9._]+)-")
MARKER = re.compile(r"^(\w+) (<|<=|>|>=|==|!=) '([^']*)'$")


class Stop(Exception):
    """Setting up cannot go on; the text says what is missing and what to do."""


def ready(here: str, argv: list[str]) -> None:
    """Return when the packages of the lock can be imported; otherwise get them and start again."""
    try:
        _ready(Path(here), argv)
    except Stop as stop:
        say(str(stop))
        sys.exit(2)
    except KeyboardInterrupt:
        say("Stopped. Nothing is broken: run the same command again to carry on.")
        sys.exit(130)


def _ready(here: Path, argv: list[str]) -> None:
    too_old(sys.version_info[:3])
    lock = here / "requirements.lock"
    if not lock.is_file():
        raise Stop("The file requirements.lock is missing. Fetch a whole copy of the project again.")
    venv = here / ".venv"
    inside = os.path.realpath(sys.prefix) == os.path.realpath(str(venv))
    if fits(venv, lock) if inside and is_ours(venv) else not missing(lock):
        os.environ.pop(AGAIN, None)
        return
    if os.environ.get(AGAIN):
        raise Stop(
            "Setting up finished, but these packages still cannot be used: "
            + ", ".join(missing(lock)[:5])
            + ". Delete the folder .venv and run the same command again."
        )
    if inside:  # never rebuild the folder this very process runs from
        start_again(getattr(sys, "_base_executable", sys.executable), argv, again=False)
    if not fits(venv, lock):
        with faults(venv):
            make(venv, lock)
    start_again(str(python_of(venv)), argv, again=True)


# --- what is there ----------------------------------------------------------------------------------


def too_old(version: tuple[int, ...]) -> None:
    """Refuse a Python older than the oldest that works."""
    if tuple(version[:2]) < OLDEST:
        raise Stop(
            "This needs Python {}.{} or newer, and this is Python {}. Install a newer Python and "
            "run the same command with it.".format(*OLDEST, ".".join(str(part) for part in version))
        )


def python_of(venv: Path) -> Path:
    """The interpreter of a virtual environment; Windows keeps it in another folder."""
    return venv / "Scripts" / "python.exe" if windows() else venv / "bin" / "python"


def windows() -> bool:
    return os.name == "nt"


def is_ours(venv: Path) -> bool:
    """Was this folder made, or begun, by this module?"""
    return (venv / STAMP).exists() or (venv / BUILDING).exists()


def stamp_text(venv: Path, lock: Path) -> str:
    """What a finished folder must say: the lock, the Python and the place it was made for."""
    digest = hashlib.sha256(lock.read_bytes()).hexdigest()
    python = f"{platform.python_implementation()} {platform.python_version()} {platform.machine()}"
    return "\n".join((digest, python, os.path.realpath(str(venv)), ""))


def fits(venv: Path, lock: Path) -> bool:
    """Is ``.venv`` finished, unmoved, and made for this lock and this Python?"""
    if not python_of(venv).exists() or (venv / BUILDING).exists():
        return False
    if (venv / STAMP).exists():
        return (venv / STAMP).read_text(encoding="utf-8") == stamp_text(venv, lock)
    return probe(venv, lock)


def probe(venv: Path, lock: Path) -> bool:
    """Does a ``.venv`` made by somebody else run, and hold every pinned package?"""
    code = (
        "import sys; sys.path.insert(0, sys.argv[1]); from pathlib import Path; import bootstrap as b; "
        "sys.exit(sys.version_info[:2] < b.OLDEST or bool(b.missing(Path(sys.argv[2]))))"
    )
    folder = str(Path(__file__).resolve().parent)
    command = [str(python_of(venv)), "-I", "-c", code, folder, str(lock)]
    try:
        return subprocess.run(command, capture_output=True, check=False).returncode == 0
    except OSError:
        return False


def pins(lock: Path) -> list[tuple[str, str]]:
    """Name and version of every package the lock asks for on this machine."""
    found = (PIN.match(line) for line in lock.read_text(encoding="utf-8").splitlines())
    wanted = [(pin[1], pin[2]) for pin in found if pin and applies(pin[3] or "")]
    if not wanted:  # nothing wanted would count as nothing missing
        raise Stop("The file requirements.lock names no package. Fetch a whole copy of the project again.")
    return wanted


def missing(lock: Path) -> list[str]:
    """Names of the pinned packages that this interpreter lacks or has in another version."""
    return [name for name, version in pins(lock) if _installed(name) != version]


def _installed(name: str) -> str:
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:
        return ""


def applies(marker: str) -> bool:
    """Does a lock's condition hold here? One that this cannot read counts as "not here"."""
    return all(_holds(part.strip()) for part in marker.split(" and ")) if marker else True


def _holds(comparison: str) -> bool:
    found = MARKER.match(comparison)
    if not found:
        return False
    name, sign, wanted = found.groups()
    have = {
        "python_full_version": platform.python_version(),
        "python_version": ".".join(str(part) for part in sys.version_info[:2]),
        "sys_platform": sys.platform,
        "implementation_name": sys.implementation.name,
        "platform_python_implementation": platform.python_implementation(),
        "platform_machine": platform.machine(),
        "os_name": os.name,
    }.get(name)
    if have is None:
        return False
    if name.startswith("python"):
        left, right = (tuple(int(n) for n in re.findall(r"\d+", text)) for text in (have, wanted))
        return _compare(left, sign, right)
    return (have == wanted) == (sign == "==")


def _compare(left: tuple[int, ...], sign: str, right: tuple[int, ...]) -> bool:
    order = (left > right) - (left < right)
    return order in {"<": (-1,), "<=": (-1, 0), ">": (1,), ">=": (1, 0), "==": (0,), "!=": (-1, 1)}[sign]


# --- making it --------------------------------------------------------------------------------------


def make(venv: Path, lock: Path) -> None:
    """Build ``.venv``, or fill up one that somebody else made. One process at a time."""
    can_make_venv()
    ours = is_ours(venv) or not runs(venv)
    venv.mkdir(exist_ok=True)
    with alone(venv / (BUILDING if ours else FILLING)) as waited:
        if waited and (venv / STAMP).exists():
            return  # the other process has done it
        say("Setting up in the folder .venv. This is needed once and takes about half a minute.")
        if ours:
            empty(venv)
            run("Making .venv", [sys.executable, "-m", "venv", "--without-pip", str(venv)])
        python = str(python_of(venv))
        if subprocess.run(
            [python, "-I", "-m", "pip", "--version"], capture_output=True, check=False
        ).returncode:
            run("Adding pip", [python, "-I", "-m", "ensurepip", "--default-pip"])
        install(python, lock)
        if ours:
            (venv / STAMP).write_text(stamp_text(venv, lock), encoding="utf-8")
            (venv / BUILDING).unlink()
        say("Set up.")


def can_make_venv() -> None:
    """Debian and Ubuntu ship Python without these two modules."""
    try:
        import ensurepip  # noqa: F401
        import venv  # noqa: F401
    except ImportError:
        raise Stop(
            "This Python cannot make virtual environments. On Debian or Ubuntu run "
            "'sudo apt-get install python3-venv', then run the same command again."
        ) from None


def runs(venv: Path) -> bool:
    """Does the interpreter in ``.venv`` start, and is it new enough?"""
    code = "import sys; sys.exit(sys.version_info[:2] < ({}, {}))".format(*OLDEST)
    try:
        done = subprocess.run([str(python_of(venv)), "-I", "-c", code], capture_output=True, check=False)
    except OSError:
        return False
    return done.returncode == 0


def empty(venv: Path) -> None:
    """Take out everything but the mark that says the folder is being made."""
    for entry in venv.iterdir():
        if entry.name == BUILDING:
            continue
        if entry.is_dir() and not entry.is_symlink():
            shutil.rmtree(str(entry))
        else:
            entry.unlink()


@contextlib.contextmanager
def alone(mark: Path) -> Iterator[bool]:
    """Hold the mark so that two commands started together do not build the same folder at once.

    Gives whether somebody else had to be waited for. Where the system has no such lock (Windows) the
    second command does not wait.
    """
    with mark.open("a", encoding="utf-8") as held:
        waited = False
        try:
            import fcntl
        except ImportError:
            yield waited
            return
        while True:
            try:
                fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
                break
            except BlockingIOError:
                if not waited:
                    say("Another command is setting up .venv; waiting for it.")
                waited = True
                time.sleep(0.2)
        yield waited


def install(python: str, lock: Path) -> None:
    """Install the lock with plain pip: hashes checked, wheels only."""
    command = [python, "-I", "-m", "pip", "install", "--no-input", "--disable-pip-version-check"]
    command += ["--retries", "2", "--require-hashes", "--only-binary", ":all:", "-r", str(lock)]
    run("Installing packages", command, total=len(pins(lock)))


def run(what: str, command: list[str], total: int = 0) -> None:
    """Run one step; while it takes longer than two seconds say every two seconds how far it is."""
    dropped = ("PYTHONHOME", "PYTHONPATH", "PIP_TARGET", "PIP_PREFIX", "PIP_USER", "PIP_REQUIRE_VIRTUALENV")
    settings = {name: value for name, value in os.environ.items() if name not in dropped}
    settings["LC_ALL"] = settings.get("LC_ALL", "C.UTF-8")
    lines = []  # type: list[str]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, env=settings, text=True, errors="replace"
    ) as child:
        reader = threading.Thread(target=keep_lines, args=(child, lines), daemon=True)
        reader.start()
        began = time.monotonic()
        while True:
            reader.join(TICK_S)
            if not reader.is_alive():
                break
            say(f"  {what}: {time.monotonic() - began:.0f} seconds{how_far(lines, total)}")
    if child.returncode:
        raise Stop(explain(what, "".join(lines)))


def keep_lines(child: subprocess.Popen[str], lines: list[str]) -> None:
    """Read what a step prints until it ends, or until the step is stopped by hand and its pipe closed."""
    with contextlib.suppress(ValueError):  # what reading from a pipe that was just closed raises
        lines.extend(child.stdout or ())


def how_far(lines: list[str], total: int) -> str:
    """Where pip is, from its own lines."""
    begun = [found[1] or found[2] for found in map(FETCHED.match, list(lines)) if found]
    if not begun:
        return ""
    if any(line.startswith("Installing collected") for line in list(lines)):
        return f", unpacking {len(begun)} packages"
    return f", {len(begun)} of {total} fetched, now {begun[-1]}"


# --- what went wrong --------------------------------------------------------------------------------

FULL_DISK = "The disk is full. Free about one gigabyte and run the same command again."
TROUBLES = (
    (r"No space left on device|Disk quota exceeded", FULL_DISK),
    (
        r"Read-only file system|Permission denied",
        "Files in .venv cannot be written. Check who owns the folder.",
    ),
    (
        r"DO NOT MATCH THE HASHES(?:.|\n)*?\n\s+([A-Za-z0-9._-]+)",
        "The package {} is not the file that requirements.lock expects, so it was not installed. The copy "
        "that was fetched is damaged or was changed. Try again later, or from another network.",
    ),
    (
        r"Hashes are required(?:.|\n)*?\n\s+([A-Za-z0-9._-]+)",
        "The package {} has no checksum in requirements.lock. Fetch a whole copy of the project again.",
    ),
    (
        r"CERTIFICATE_VERIFY_FAILED|SSLError",
        "The package server could not be trusted: its certificate was refused. Check the date of this "
        "computer and the proxy settings.",
    ),
    (
        r"NewConnectionError|name resolution|Connection refused|ConnectTimeout|ReadTimeout|ProxyError|"
        r"Network is unreachable|Connection broken|RemoteDisconnected|Max retries",
        "The packages could not be fetched: there is no way to the package server. Check the network and "
        "run the same command again.",
    ),
    (
        r"(?:No matching distribution found for|satisfies the requirement) ([A-Za-z0-9._-]+)",
        "There is no ready-made package of {} for this computer and this Python. Use Python 3.11 to 3.13 "
        "on Linux, macOS or Windows, or a package server that has it.",
    ),
)


def explain(what: str, output: str) -> str:
    """One sentence for a step that failed, from what it printed."""
    for pattern, sentence in TROUBLES:
        found = re.search(pattern, output)
        if found:
            return sentence.format(*found.groups())
    tail = " / ".join(output.strip().splitlines()[-3:]) or "it printed nothing"
    return f"{what} did not work. Its last words were: {tail}"


@contextlib.contextmanager
def faults(venv: Path) -> Iterator[None]:
    """Turn a fault of the file system into a sentence."""
    try:
        yield
    except OSError as fault:
        if fault.errno in (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)):
            raise Stop(FULL_DISK) from fault
        if fault.errno in (errno.EACCES, errno.EROFS, errno.EPERM):
            raise Stop(
                f"The folder {venv.parent} cannot be written to. Copy the project to a folder of your "
                "own and run the same command there."
            ) from fault
        raise Stop(f"Setting up .venv did not work: {fault}. Delete .venv and run it again.") from fault


def start_again(python: str, argv: list[str], *, again: bool) -> None:
    """Run the same command with another interpreter; this process does not come back."""
    if again:
        os.environ[AGAIN] = "1"
    command = [python, os.path.abspath(argv[0]), *argv[1:]]
    sys.stdout.flush()
    sys.stderr.flush()
    if windows():  # there, exec would hand the prompt back before the command has ended
        sys.exit(subprocess.call(command))
    os.execv(python, command)


def say(sentence: str) -> None:
    """Tell the person at the keyboard, at once."""
    sys.stderr.write(sentence + "\n")
    sys.stderr.flush()
