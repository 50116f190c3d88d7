"""What the demo prints is read back from the rows: one count and one offer change what it says."""

from __future__ import annotations

import re
from datetime import date, timedelta
from io import StringIO

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from collection.management import telling
from collection.models import Assignment, Job, Member, Offer, Plan, Tree
from collection.queries.access import Actor
from collection.queries.season import season_of
from collection.usecases import counts, plans, season, workdays
from collection.usecases.sample.replay import load
from tests.factories import ClubFactory

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)


@pytest.fixture
def actor(time_machine) -> Actor:
    time_machine.move_to("2026-11-25T09:00:00+00:00", tick=False)
    made = load(club="osierholt", today=TODAY, progress=lambda _: None, weeks=8)
    member = Member.objects.get(club_id=made.club_id, name=made.coordinator.name)
    found = Actor(made.club_id, member.pk, member.role, member.name, "command")
    season.regenerate(actor=found, today=TODAY)
    plan(found)
    return found


def plan(actor: Actor) -> int:
    day = telling.next_day(actor)
    assert day is not None
    plans.work_out(plans.request_plan(actor=actor, workday_id=day), effort=1.0)
    return day


def told(actor: Actor) -> list[str]:
    return list(telling.club(actor))


def weeks(lines: list[str]) -> dict[str, tuple[float, float]]:
    """Week -> (likely work, hours offered), as printed."""
    found = {}
    for line in lines:
        if seen := re.match(
            r"\s+(Mon \d+ \w+)\s+work\s+([\d.]+)\s+cautious\s+[\d.]+\s+offered\s+([\d.]+)", line
        ):
            found[seen[1]] = (float(seen[2]), float(seen[3]))
    return found


def test_the_printed_load_is_the_load_of_the_rows(actor: Actor):
    load_now = season_of(actor, today=TODAY).load
    printed = weeks(told(actor))
    assert len(printed) == len(load_now) == 26
    for (likely, offered), (_, row) in zip(printed.values(), load_now.iterrows(), strict=True):
        assert (likely, offered) == (round(row["likely_h"], 1), round(row["offered_h"], 1))
    short = [line for line in told(actor) if "SHORT by" in line]
    assert len(short) == int((load_now["missing_h"] >= 0.1).sum())


def test_the_printed_plan_is_the_plan_of_the_rows(actor: Actor):
    lines = told(actor)
    for seat in Assignment.objects.filter(plan__state="ready").select_related("member", "job__tree"):
        assert any(seat.member.name in line and seat.job.tree.accession in line for line in lines)
    for job, why in Plan.objects.get(state="ready").outcome["unplaced"][:5]:
        accession = Job.objects.select_related("tree").get(pk=job).tree.accession
        assert why
        assert any(line.strip().startswith(f"{accession} ") for line in lines)


def test_one_branch_count_changes_the_printed_load_and_nothing_else_in_it(actor: Actor):
    before = weeks(told(actor))
    wiring = Job.objects.filter(task="WIRE_DETAIL", state="open", closes__lte=TODAY + timedelta(weeks=25))
    alone = [job for job in wiring if job.tree.jobs.filter(state="open", estimate__isnull=False).count() == 1]
    job = next(iter(alone or [job for job in wiring if wiring.filter(tree=job.tree).count() == 1]))
    counts.record_counts(actor=actor, tree_id=job.tree_id, on=TODAY, counts={"secondary": 60, "fine": 400})
    after = weeks(told(actor))
    # The weeks carry exactly what the job's own sum grew by (26 weeks hold its window; each rounded to 0.1).
    job.refresh_from_db()
    old, new = (e.mean_min / 60 for e in job.estimates.order_by("id")[job.estimates.count() - 2 :])
    assert new > 10
    grown = sum(a for a, _ in after.values()) - sum(b for b, _ in before.values())
    assert grown == pytest.approx(new - old, abs=26 * 0.1)
    assert after["Mon 23 Nov"][0] > before["Mon 23 Nov"][0]
    assert [offered for _, offered in after.values()] == [offered for _, offered in before.values()]


def test_one_offer_changes_the_printed_hours_and_the_printed_plan(actor: Actor):
    before = told(actor)
    day = telling.next_day(actor)
    busy = Assignment.objects.filter(plan__workday_id=day, plan__state="ready").first()
    assert busy is not None
    offer = Offer.objects.get(workday_id=day, member_id=busy.member_id)
    workdays.offer_hours(actor=actor, workday_id=offer.workday_id, member_id=busy.member_id, answer="no")
    assert Plan.objects.latest("number").state == "out_of_date"
    plan(actor)
    after = told(actor)
    assert weeks(after)["Mon 23 Nov"][1] < weeks(before)["Mon 23 Nov"][1]
    assert any(f"  {busy.member.name}" in line for line in before)
    seats = [line for line in after if re.match(r"\s+\d+:\d\d to ", line)]
    assert seats
    assert not any(busy.member.name in line for line in seats)


def test_one_branch_count_changes_the_printed_plan(actor: Actor):
    day = telling.next_day(actor)
    seat = (
        Assignment.objects.filter(plan__workday_id=day, job__task="WIRE_DETAIL")
        .select_related("job__tree")
        .first()
    )
    assert seat is not None
    accession = seat.job.tree.accession
    wanted = re.compile(rf"\s+\d+:\d\d to +\d+:\d\d .*{re.escape(accession)}.*detail wiring")
    before = [line for line in told(actor) if wanted.match(line)]
    counts.record_counts(actor=actor, tree_id=seat.job.tree_id, on=TODAY, counts={"secondary": 1, "fine": 1})
    plan(actor)
    after = [line for line in told(actor) if wanted.match(line)]
    assert (len(before), len(after)) == (1, 1)
    # 1 side and 1 fine branch at practised pace take 5.33 + 2.08 min, and the set-up about 40.
    starts, ends = (60 * int(h) + int(m) for h, m in re.findall(r"(\d+):(\d\d)", after[0])[:2])
    assert 45 <= ends - starts <= 65


def test_the_demo_refuses_a_database_that_holds_a_real_club():
    ClubFactory(name="Hill Street", sample=False)
    with pytest.raises(CommandError, match="Hill Street, which is not a sample club"):
        call_command("demo", no_serve=True, stdout=StringIO())
    assert not Tree.objects.exists()
