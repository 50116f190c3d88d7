"""Two people at one moment, as real processes, on either database: one wins, the other is told in words."""

from __future__ import annotations

import pytest

from tests.faults.real import Real

TURNS = 6
SAID = """
import sys
from collection import models
from collection.queries.errors import Refused
from collection.queries.sentences import say
from tests.factories import actor_of
me = int(sys.argv[1])
def try_it(n, use_case):
    turn(n)
    try:
        use_case()
        print("won")
    except Refused as refused:
        assert len(say(refused.reason).split()) > 4
        print(refused.reason.code)
"""
SEND = """
from collection.usecases.sending import send_out
plans = list(models.Plan.objects.order_by("id"))[me::2]
for n, plan in enumerate(plans):
    who = models.Member.objects.filter(club_id=plan.club_id, role="coordinator").order_by("id")
    planner = list(who)[me % who.count()]
    try_it(n, lambda: send_out(actor=actor_of(planner), plan_id=plan.pk))
"""
CONFIRMED = """
from collection import models
for plans in zip(*[iter(models.Plan.objects.order_by("id"))] * 2):
    print(*sorted((p.sent_out, p.assignments.filter(confirmed=True).count(), p.workday.state) for p in plans))
"""


def outcomes(real: Real, code: str) -> list[list[str]]:
    """What the two were told, turn by turn."""
    one, two = real.race(SAID + code, ["0", "1"], TURNS)
    assert len(one) == len(two) == TURNS
    return [sorted(pair) for pair in zip(one, two, strict=True)]


@pytest.mark.parametrize(
    ("world", "told"),
    [
        ("two_clubs_one_team(3)", {"busy_in_another_club", "already_busy"}),
        ("one_club_two_days(3)", {"busy_elsewhere", "already_busy"}),
    ],
)
def test_of_two_plans_that_need_the_same_people_one_goes_out(real: Real, world: str, told: set[str]):
    real.run(f"from tests.faults.race_world import *\nfor _ in range({TURNS}): {world}\n")
    for one, two in outcomes(real, SEND):
        assert {one, two} - told == {"won"}, (one, two)
        assert one != two
    assert real.run(CONFIRMED) == ["(False, 0, 'open') (True, 3, 'sent')"] * TURNS


OFFER = """
from collection.usecases.offers import offer_hours
for n, day in enumerate(models.Workday.objects.order_by("id")):
    person = list(models.Member.objects.filter(club_id=day.club_id).order_by("id"))[me]
    try_it(n, lambda: offer_hours(
        actor=actor_of(person), workday_id=day.pk, member_id=person.pk, answer="yes"))
"""
COMING = """
from collection import models
print(*[d.offers.filter(answer="yes").count() for d in models.Workday.objects.all()])
"""


def test_of_two_who_take_the_last_seat_of_a_day_one_comes(real: Real):
    real.run(f"from tests.faults.race_world import *\nfor _ in range({TURNS}): one_seat_left()\n")
    assert outcomes(real, OFFER) == [["day_has_no_room", "won"]] * TURNS
    assert real.run(COMING) == [" ".join(["1"] * TURNS)]


CHANGE = """
from collection.usecases.trees import change_tree
for n, tree in enumerate(models.Tree.objects.order_by("id")):
    person = list(models.Member.objects.filter(club_id=tree.club_id).order_by("id"))[me]
    try_it(n, lambda: change_tree(actor=actor_of(person), tree_id=tree.pk, version=1, mass_kg=21.0 + me))
"""
WEIGHED = """
from collection import models
for tree in models.Tree.objects.order_by("id"):
    lines = models.Change.objects.filter(table="tree", row=tree.pk)
    print(tree.version, len(lines), lines[0].after["mass_kg"] == tree.mass_kg)
"""


def test_of_two_who_change_one_version_one_is_written_and_has_the_line(real: Real):
    real.run(f"from tests.faults.race_world import *\nfor _ in range({TURNS}): one_tree()\n")
    assert outcomes(real, CHANGE) == [["stale", "won"]] * TURNS
    assert real.run(WEIGHED) == ["2 1 True"] * TURNS
