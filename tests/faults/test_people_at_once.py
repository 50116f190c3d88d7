"""People at the same moment, with real processes on a real file: one letter used once, one admin left."""

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
from collection.usecases import welcomes
from tests.factories import ClubFactory, MemberFactory, actor_of
for n in range({ROUNDS}):
    club = ClubFactory()
    one, two = MemberFactory(club=club, role="admin"), MemberFactory(club=club, role="admin")
    wilma = MemberFactory(club=club, account=None)
    welcomes.invite(
        actor=actor_of(one), member_id=wilma.pk, email=f"w{{n}}@example.org",
        link_to=lambda secret: print(one.pk, two.pk, secret, flush=True) or secret,
    )
"""
# Both wait for the same file to appear, so that they begin together.
RACE = """
import django; django.setup()
import os, sys, time
from datetime import date
from collection.models import Member
from collection.queries.errors import Refused
from collection.usecases import members, welcomes
from tests.factories import actor_of
number, rows = int(sys.argv[1]), [line.split() for line in sys.argv[3].splitlines()]
admins = [actor_of(Member.objects.get(pk=row[number])) for row in rows]
print("ready", flush=True)
while not os.path.exists(sys.argv[2]):
    time.sleep(0.001)
for admin, row in zip(admins, rows):
    try:
        welcomes.accept_letter(secret=row[2], password=f"four odd garden words {number}")
        print("won")
    except Refused as refused:
        print(refused.reason.code)
    try:
        members.change_role(
            actor=admin, member_id=admin.member_id, version=1, role="member", today=date(2027, 3, 3)
        )
        print("stepped down")
    except Refused as refused:
        print(refused.reason.code)
"""
LOOK = """
import django; django.setup()
from collection.models import Account, Club, Member, Welcome
for club in Club.objects.order_by("pk"):
    wilma = Member.objects.get(club=club, role="member", welcomes__used_at__isnull=False)
    print(wilma.account is not None, Member.objects.filter(club=club, role="admin").count())
"""


def test_a_letter_is_used_once_and_a_club_keeps_an_admin_when_two_act_at_once(tmp_path: Path):
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

    rows = end(start(BUILD))
    assert len(rows) == ROUNDS
    go = tmp_path / "go"
    children = [start(RACE, number, str(go), "\n".join(rows)) for number in ("0", "1")]
    for child in children:
        assert child.stdout is not None
        assert child.stdout.readline() == "ready\n"
    go.touch()
    one, two = (end(child) for child in children)
    letters = [sorted(pair) for pair in zip(one[::2], two[::2], strict=True)]
    steps = [sorted(pair) for pair in zip(one[1::2], two[1::2], strict=True)]
    assert letters == [["letter_used", "won"]] * ROUNDS
    assert steps == [["last_admin", "stepped down"]] * ROUNDS
    assert end(start(LOOK)) == ["True 1"] * ROUNDS
