"""The last place at a bend, with real processes on a real file: two say yes at once, one has it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
ROUNDS = 8
BUILD = f"""
import django; django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from tests.usecases.bend_world import TODAY, trio
from collection.usecases import places
for n in range({ROUNDS}):
    made = trio()
    for name in ("Dilip", "Petra"):
        places.ask(actor=made.planner, bend_id=made.bend.pk, member_id=made.people[name].pk, today=TODAY)
"""
# Both wait for the same file to appear, so that they begin together.
ANSWER = """
import django; django.setup()
import os, sys, time
from collection.models import Invitation
from collection.queries.errors import Refused
from collection.usecases import places
from tests.factories import actor_of
from tests.usecases.bend_world import TODAY
mine = list(Invitation.objects.filter(member__name=sys.argv[1]).select_related("member").order_by("place_id"))
print("ready", flush=True)
while not os.path.exists(sys.argv[2]):
    time.sleep(0.001)
for invitation in mine:
    try:
        places.accept(actor=actor_of(invitation.member), invitation_id=invitation.pk, today=TODAY)
        print("won")
    except Refused as refused:
        print(refused.reason.code)
"""
LOOK = """
import django; django.setup()
from collection.models import Invitation, Place, Plan
for place in Place.objects.order_by("pk"):
    answers = sorted(place.invitations.values_list("answer", flat=True))
    winners = list(place.invitations.filter(answer="accepted").values_list("member_id", flat=True))
    pinned = Plan.objects.filter(workday=place.workday).order_by("-number")[0].wishes["pins"][0]["people"][1:]
    print(*answers, winners == [place.winner_id] == pinned)
"""


def test_of_two_who_say_yes_at_once_one_has_the_place_and_the_other_is_thanked(tmp_path: Path):
    settings = {"DJANGO_SETTINGS_MODULE": "collection.conf.settings_test", "TEIRE_DATA_DIR": str(tmp_path)}
    env = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"} | settings

    def start(code: str, *words: str) -> subprocess.Popen[str]:
        return subprocess.Popen(
            [sys.executable, "-W", "error", "-c", code, *words],
            cwd=ROOT, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )  # fmt: skip

    def end(child: subprocess.Popen[str]) -> list[str]:
        out, err = child.communicate(timeout=120)
        assert child.returncode == 0, err
        return out.splitlines()

    end(start(BUILD))
    go = tmp_path / "go"
    children = [start(ANSWER, name, str(go)) for name in ("Dilip", "Petra")]
    for child in children:
        assert child.stdout is not None
        assert child.stdout.readline() == "ready\n"
    go.touch()
    one, two = (end(child) for child in children)
    assert [sorted(pair) for pair in zip(one, two, strict=True)] == [["place_taken", "won"]] * ROUNDS
    assert end(start(LOOK)) == ["accepted late True"] * ROUNDS
