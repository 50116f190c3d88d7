"""The last place at a bend, with real processes on either database: two say yes at once, one has it."""

from __future__ import annotations

from tests.faults.real import Real

ROUNDS = 8
BUILD = f"""
from tests.usecases.bend_world import TODAY, trio
from collection.usecases import places
for n in range({ROUNDS}):
    made = trio()
    for name in ("Dilip", "Petra"):
        places.ask(actor=made.planner, bend_id=made.bend.pk, member_id=made.people[name].pk, today=TODAY)
"""
ANSWER = """
import sys
from collection.models import Invitation
from collection.queries.errors import Refused
from collection.usecases import places
from tests.factories import actor_of
from tests.usecases.bend_world import TODAY
mine = list(Invitation.objects.filter(member__name=sys.argv[1]).select_related("member").order_by("place_id"))
for n, invitation in enumerate(mine):
    turn(n)
    try:
        places.accept(actor=actor_of(invitation.member), invitation_id=invitation.pk, today=TODAY)
        print("won")
    except Refused as refused:
        print(refused.reason.code)
"""
LOOK = """
from collection.models import Invitation, Place, Plan
for place in Place.objects.order_by("pk"):
    answers = sorted(place.invitations.values_list("answer", flat=True))
    winners = list(place.invitations.filter(answer="accepted").values_list("member_id", flat=True))
    pinned = Plan.objects.filter(workday=place.workday).order_by("-number")[0].wishes["pins"][0]["people"][1:]
    print(*answers, winners == [place.winner_id] == pinned)
"""


def test_of_two_who_say_yes_at_once_one_has_the_place_and_the_other_is_thanked(real: Real):
    real.run(BUILD)
    one, two = real.race(ANSWER, ["Dilip", "Petra"], ROUNDS)
    assert [sorted(pair) for pair in zip(one, two, strict=True)] == [["place_taken", "won"]] * ROUNDS
    assert real.run(LOOK) == ["accepted late True"] * ROUNDS
