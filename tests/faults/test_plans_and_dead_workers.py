"""Real processes on either database: a worker killed in the middle, two workers at once."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

from tests.faults.real import ROOT, Real, within

BUILD = """
from datetime import date, time
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
from collection.models import Assignment, Plan
from django.db.models import Count
for plan in Plan.objects.order_by("pk"):
    print(plan.state, plan.attempts, plan.assignments.count())
seats = Assignment.objects.values("plan", "job", "sitting", "member").annotate(n=Count("id"))
print("doubles", seats.filter(n__gt=1).count())
"""
EXPIRE = """
from datetime import timedelta
from django.utils import timezone
from collection.models import Plan
Plan.objects.filter(state="working").update(lease_until=timezone.now() - timedelta(seconds=1))
"""


SWEEP = """
from collection.usecases import sweep
print(sweep.run())
"""
SWEEP_TOGETHER = """
from collection.usecases import sweep
turn(0)
print(sweep.run())
"""


def test_a_worker_killed_in_the_middle_leaves_a_plan_that_another_finishes_once(real: Real):
    assert real.run(BUILD.format(plans=1)) == ["1"]
    real.run(DIE, expect=-signal.SIGKILL)
    assert real.run(LOOK) == ["working 1 0", "doubles 0"]
    assert real.run(SWEEP) == ["0"]  # the lease still runs
    real.run(EXPIRE)
    assert real.run(SWEEP) == ["1"]
    state, attempts, seats = real.run(LOOK)[0].split()
    assert (state, attempts) == ("ready", "2")
    assert int(seats) >= 1
    assert real.run(LOOK)[-1] == "doubles 0"


def test_two_workers_at_once_work_each_plan_out_once(real: Real):
    assert real.run(BUILD.format(plans=6)) == ["6"]
    one, two = real.race(SWEEP_TOGETHER, ["0", "1"])
    assert int(one[0]) + int(two[0]) == 6
    states = real.run(LOOK)
    assert [line.split()[:2] for line in states[:-1]] == [["ready", "1"]] * 6
    assert states[-1] == "doubles 0"


def test_the_background_process_ends_with_the_one_that_started_it(real: Real, tmp_path: Path):
    manage = str(ROOT / "manage.py")
    code = (
        "import os, subprocess, sys, time; "
        f"child = subprocess.Popen([sys.executable, {manage!r}, 'work', '--pause', '0.1', "
        "'--parent', str(os.getpid())]); print(child.pid, flush=True); time.sleep(60)"
    )
    told = tmp_path / "pid"
    with told.open("w") as out:
        parent = subprocess.Popen([sys.executable, "-c", code], env=real.env, cwd=ROOT, stdout=out)
    try:
        assert within(20, lambda: told.read_text().strip() != "")
        pid = int(told.read_text())
        assert within(20, lambda: alive(pid))
        assert not within(1, lambda: not alive(pid))
    finally:
        parent.kill()
        parent.wait()
    ended = within(20, lambda: not alive(pid))
    if not ended:
        os.kill(pid, signal.SIGKILL)
    assert ended


def alive(pid: int) -> bool:
    """A process that runs, not one that has ended and waits to be told off."""
    status = Path(f"/proc/{pid}/status")
    return status.exists() and "zombie" not in status.read_text()
