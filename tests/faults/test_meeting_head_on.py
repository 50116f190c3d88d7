"""Two use cases that write the same rows at one moment, on either database: both end, each with a word.

On PostgreSQL every written row holds its writer up a little, so that the two surely meet in the middle: who
locks rows in another order than the other stands still, is thrown out by the database, and fails here.
"""

from __future__ import annotations

import pytest

from tests.faults.real import Real

TURNS = 3
SLOW = """
from django.db import connection
TABLES = "club member bend workday plan place offer assignment job welcome".split()
if connection.vendor == "postgresql":
    with connection.cursor() as cursor:
        cursor.execute(
            "CREATE FUNCTION linger() RETURNS trigger LANGUAGE plpgsql AS "
            "$$ BEGIN PERFORM pg_sleep(0.05); RETURN NULL; END $$"
        )
        for table in TABLES:
            cursor.execute(
                f"CREATE TRIGGER linger AFTER UPDATE ON collection_{table} "
                "FOR EACH ROW EXECUTE FUNCTION linger()"
            )
"""
RACE = """
import sys
from datetime import time
from collection import models
from collection.queries.errors import Refused
from tests.factories import actor_of
from tests.usecases.bend_world import TODAY
from collection.usecases import leaving, members, places, sending, workdays
from tests.faults.race_world import sitting_on
me = int(sys.argv[1])
def planner(club_id):
    return actor_of(models.Member.objects.filter(club_id=club_id, role="coordinator").order_by("id")[0])
for n in range({turns}):
    club = models.Club.objects.order_by("id")[n]
    own = dict(club=club)
    plan = models.Plan.objects.filter(**own).order_by("id").last()
    day = models.Workday.objects.filter(**own).order_by("id").first()
    person = models.Member.objects.filter(**own).order_by("id").last()
    by = planner(club.pk)
    def first(): {first}
    def second(): {second}
    turn(n)
    try:
        (first, second)[me]()
        print("done")
    except Refused as refused:
        print(refused.reason.code)
"""
SEND = "sending.send_out(actor=by, plan_id=plan.pk)"
CANCEL = "workdays.cancel_workday(actor=by, workday_id=day.pk, why='Rain')"
MOVE_HOURS = "workdays.change_workday(actor=by, workday_id=day.pk, changes={'opens': time(8)})"
ACCEPT = (
    "invitation = models.Invitation.objects.filter(**own).order_by('id').last(); "
    "places.accept(actor=actor_of(invitation.member), invitation_id=invitation.pk, today=TODAY)"
)
LEAVE = (
    "leaving.leave(actor=by, member_id=person.pk, version=person.version, today=TODAY, owned={}, cared={})"
)
STEP_DOWN = (
    "members.change_role(actor=actor_of(person), member_id=person.pk, version=person.version, role='member', "
    "today=TODAY)"
)
NO_MAIL = "members.want_mail(actor=by, member_id=person.pk, version=person.version, wants=False)"
RECORD = "sitting_on(models.Tree.objects.get(**own), by, {order})"
ONE_DAY, ASKED, ADMINS, TWO_JOBS = "one_day()", "one_asked()", "two_admins()", "two_jobs()"


@pytest.mark.parametrize(
    ("world", "first", "second", "words"),
    [
        (ONE_DAY, SEND, CANCEL, {"done", "day_over", "plan_not_ready"}),
        (ONE_DAY, SEND, LEAVE, {"done", "plan_not_ready"}),
        (ONE_DAY, SEND, MOVE_HOURS, {"done", "plan_not_ready"}),
        (ASKED, ACCEPT, MOVE_HOURS, {"done"}),
        (ASKED, ACCEPT, CANCEL, {"done", "day_over", "helper_cannot"}),
        (ADMINS, STEP_DOWN, NO_MAIL, {"done", "stale"}),
        (TWO_JOBS, RECORD.format(order="1"), RECORD.format(order="-1"), {"done"}),
    ],
    ids=["send-cancel", "send-leave", "send-hours", "accept-hours", "accept-cancel", "role-mail", "sittings"],
)
def test_two_who_write_the_same_rows_wait_for_each_other(
    real: Real, world: str, first: str, second: str, words: set[str]
):
    real.run(f"from tests.faults.race_world import *\nfor _ in range({TURNS}): {world}\n{SLOW}")
    code = RACE.format(turns=TURNS, first=first, second=second)
    one, two = real.race(code, ["0", "1"], TURNS)
    assert len(one) == len(two) == TURNS
    assert {*one, *two} <= words
    assert all("done" in pair for pair in zip(one, two, strict=True))
