"""A restore that is killed leaves the house as it was or as it should be, never half."""

from __future__ import annotations

import subprocess
import time
from pathlib import Path

from tests.keeping.house import house_in

SPECIES = "SELECT DISTINCT species FROM collection_tree ORDER BY species"
TRIES = 5


def test_a_killed_restore_leaves_no_third_state(tmp_path: Path):
    with house_in(tmp_path) as house:
        house.found()
        whole = house.ask(SPECIES)
        house.run("backup", f"--to={tmp_path}")
        (backup,) = tmp_path.glob("teire-*.zip")
        house.ask("UPDATE collection_tree SET species = 'lost'")
        began = time.monotonic()
        house.run("restore", str(backup))
        span = time.monotonic() - began
        seen = set()
        for step in range(TRIES):
            house.ask("UPDATE collection_tree SET species = 'lost'")
            running = subprocess.Popen(
                house.command("restore", str(backup)),
                env=house.environment(),
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
            )
            time.sleep(span * (0.3 + 0.7 * step / TRIES))
            running.kill()
            running.wait()
            found = house.ask(SPECIES)
            assert found in ([("lost",)], whole)
            assert house.ask("SELECT count(*) FROM collection_tree") == [(60,)]
            seen.add(found == whole)
        house.run("restore", str(backup))
        assert house.ask(SPECIES) == whole
        assert False in seen, "no try was killed before the change: the test kills too late to tell"
