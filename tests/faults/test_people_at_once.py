"""People at the same moment, with real processes on either database: one letter, one admin left."""

from __future__ import annotations

from tests.faults.real import Real

ROUNDS = 8
BUILD = f"""
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
RACE = """
import sys
from datetime import date
from collection.models import Member
from collection.queries.errors import Refused
from collection.usecases import members, welcomes
from tests.factories import actor_of
number, rows = int(sys.argv[1]), [line.split() for line in ROWS]
admins = [actor_of(Member.objects.get(pk=row[number])) for row in rows]
for n, (admin, row) in enumerate(zip(admins, rows)):
    turn(2 * n)
    try:
        welcomes.accept_letter(secret=row[2], password=f"four odd garden words {number}")
        print("won")
    except Refused as refused:
        print(refused.reason.code)
    turn(2 * n + 1)
    try:
        members.change_role(
            actor=admin, member_id=admin.member_id, version=1, role="member", today=date(2027, 3, 3)
        )
        print("stepped down")
    except Refused as refused:
        print(refused.reason.code)
"""
LOOK = """
from collection.models import Account, Club, Member, Welcome
for club in Club.objects.order_by("pk"):
    wilma = Member.objects.get(club=club, role="member", welcomes__used_at__isnull=False)
    print(wilma.account is not None, Member.objects.filter(club=club, role="admin").count())
"""


def test_a_letter_is_used_once_and_a_club_keeps_an_admin_when_two_act_at_once(real: Real):
    rows = real.run(BUILD)
    assert len(rows) == ROUNDS
    one, two = real.race(f"ROWS = {rows}\n{RACE}", ["0", "1"], 2 * ROUNDS)
    letters = [sorted(pair) for pair in zip(one[::2], two[::2], strict=True)]
    steps = [sorted(pair) for pair in zip(one[1::2], two[1::2], strict=True)]
    assert letters == [["letter_used", "won"]] * ROUNDS
    assert steps == [["last_admin", "stepped down"]] * ROUNDS
    assert real.run(LOOK) == ["True 1"] * ROUNDS
