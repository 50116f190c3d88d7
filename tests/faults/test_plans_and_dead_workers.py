"""Real processes on a real file: a worker killed in the middle, two workers at once."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
BUILD = """
import django; django.setup()
from datetime import date, time
from django.core.management import call_command
call_command("migrate", verbosity=0)
from tests.usecases.test_plans import House
from collection.models import Plan
from collection.usecases.workdays import create_workday
house = House()
house.ask()
for n in range({plans} - 1):
    house.day = create_workday(
        actor=house.actor, site_id=house.site.pk, on=date(2027, 3, 7 + n), opens=time(9), closes=time(12)
    )
    house.person()
    house.ask()
print(Plan.objects.filter(state="waiting").count())
"""
# A worker that kills itself after the real search and before anything is written, as a power cut might.
DIE = """
import django; django.setup()
import os, signal
from collection.usecases import plans
real = plans.solve
def solve(*args, **kwargs):
    found = real(*args, **kwargs)
    os.kill(os.getpid(), signal.SIGKILL)
    return found
plans.solve = solve
plans.work_out(plans.waiting_plans()[0], effort=0.5)
"""
LOOK = """
import django; django.setup()
from collection.models import Assignment, Plan
from django.db.models import Count
for plan in Plan.objects.order_by("pk"):
    print(plan.state, plan.attempts, plan.assignments.count())
seats = Assignment.objects.values("plan", "job", "sitting", "member").annotate(n=Count("id"))
print("doubles", seats.filter(n__gt=1).count())
"""
EXPIRE = """
import django; django.setup()
from datetime import timedelta
from django.utils import timezone
from collection.models import Plan
Plan.objects.filter(state="working").update(lease_until=timezone.now() - timedelta(seconds=1))
"""


@pytest.fixture
def run(tmp_path: Path):
    env = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "collection.conf.settings_test",
        "DATABASE_URL": "",
        "TEIRE_DATA_DIR": str(tmp_path),
    }
    env.pop("DATABASE_URL")

    def start(code: str) -> subprocess.Popen[str]:
        return subprocess.Popen(
            [sys.executable, "-W", "error", "-c", code],
            cwd=ROOT, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )  # fmt: skip

    def go(code: str, *, expect: int = 0) -> list[str]:
        child = start(code)
        out, err = child.communicate(timeout=120)
        assert child.returncode == expect, err
        return out.splitlines()

    go.start = start  # type: ignore[attr-defined]
    return go


def test_a_worker_killed_in_the_middle_leaves_a_plan_that_another_finishes_once(run):
    assert run(BUILD.format(plans=1)) == ["1"]
    run(DIE, expect=-signal.SIGKILL)
    assert run(LOOK) == ["working 1 0", "doubles 0"]
    sweep = "import django; django.setup(); from collection.usecases import sweep; print(sweep.run())"
    assert run(sweep) == ["0"]  # the lease still runs
    run(EXPIRE)
    assert run(sweep) == ["1"]
    state, attempts, seats = run(LOOK)[0].split()
    assert (state, attempts) == ("ready", "2")
    assert int(seats) >= 1
    assert run(LOOK)[-1] == "doubles 0"


def test_two_workers_at_once_work_each_plan_out_once(run):
    assert run(BUILD.format(plans=6)) == ["6"]
    sweep = "import django; django.setup(); from collection.usecases import sweep; print(sweep.run())"
    children = [run.start(sweep) for _ in range(2)]
    done = []
    for child in children:
        out, err = child.communicate(timeout=180)
        assert child.returncode == 0, err
        done.append(int(out))
    assert sum(done) == 6
    states = run(LOOK)
    assert [line.split()[:2] for line in states[:-1]] == [["ready", "1"]] * 6
    assert states[-1] == "doubles 0"


def test_the_background_process_ends_with_the_one_that_started_it(tmp_path: Path):
    settings = {"DJANGO_SETTINGS_MODULE": "collection.conf.settings_test", "TEIRE_DATA_DIR": str(tmp_path)}
    env = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"} | settings
    manage = str(ROOT / "manage.py")
    subprocess.run([sys.executable, manage, "migrate", "-v0"], env=env, cwd=ROOT, check=True)
    code = (
        "import os, subprocess, sys, time; "
        f"child = subprocess.Popen([sys.executable, {manage!r}, 'work', '--pause', '0.1', "
        "'--parent', str(os.getpid())]); print(child.pid, flush=True); time.sleep(60)"
    )
    told = tmp_path / "pid"
    with told.open("w") as out:
        parent = subprocess.Popen([sys.executable, "-c", code], env=env, cwd=ROOT, stdout=out)
    try:
        assert within(20, lambda: told.read_text().strip() != "")
        pid = int(told.read_text())
        assert within(20, lambda: alive(pid))
        time.sleep(1)
        assert alive(pid)
    finally:
        parent.kill()
        parent.wait()
    ended = within(20, lambda: not alive(pid))
    if not ended:
        os.kill(pid, signal.SIGKILL)
    assert ended


def within(seconds: float, true) -> bool:
    """Whether something becomes true in time."""
    for _ in range(int(seconds * 10)):
        if true():
            return True
        time.sleep(0.1)
    return False


def alive(pid: int) -> bool:
    """A process that runs, not one that has ended and waits to be told off."""
    status = Path(f"/proc/{pid}/status")
    return status.exists() and "zombie" not in status.read_text()
