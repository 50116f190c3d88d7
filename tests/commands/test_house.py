"""From founding a club to a planned day, by the commands of the README."""

from __future__ import annotations

from io import StringIO

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from collection.models import Assignment, Club, Job, Tree, Workday

pytestmark = pytest.mark.django_db(transaction=True)
SAMPLE = "fixtures/sample/osierholt"


def run(name: str, *args: str, **options: object) -> str:
    out = StringIO()
    call_command(name, *args, stdout=out, **options)
    return out.getvalue()


def found_club() -> str:
    return run(
        "new_club",
        "Hill Street",
        latitude=51.2,
        zone="Europe/London",
        coordinator="Edith Mossgrave",
        email="edith@example.org",
        last_frost="04-20",
        first_frost="11-01",
        ground="Malthouse Garden",
    )


def test_a_club_goes_from_its_sheets_to_a_planned_day():
    assert "Sign in as edith@example.org" in found_club()
    assert "Rows taken in: 11" in run("import_people", f"{SAMPLE}/people.csv", accept=True)
    assert "Rows taken in: 60" in run("import_trees", f"{SAMPLE}/trees.csv", accept=True)
    said = run("season_jobs")
    assert f"Open now: {Job.objects.filter(tree__isnull=False).count()} jobs on 60 trees" in said
    assert Tree.objects.count() == 60
    assert "Saturday 6 March 2027" in run("new_workday", "2027-03-06", "9:30", "13:30", pause="11:15-11:30")
    assert "Rows taken in: 7" in run("import_offers", f"{SAMPLE}/answers.csv", accept=True)
    plan = run("plan_day", "2027-03-06")
    seats = Assignment.objects.select_related("job__tree", "member")
    assert seats.exists()
    for seat in seats:
        assert f"{seat.member.name}" in plan
        assert seat.job.tree.accession in plan
    assert "Not placed" in plan
    again = run("season_jobs")
    assert "New: 0 jobs and 0 rounds." in again


def test_what_cannot_be_done_is_said_in_words():
    found_club()
    with pytest.raises(CommandError, match="There is a club called Hill Street already"):
        found_club()
    assert Club.objects.count() == 1
    with pytest.raises(CommandError, match="2027-13-06 is not a day"):
        run("new_workday", "2027-13-06", "9:30", "13:30")
    with pytest.raises(CommandError, match="half past is not a time"):
        run("new_workday", "2027-03-06", "half past", "13:30")
    with pytest.raises(CommandError, match="Choose one of: Malthouse Garden"):
        run("new_workday", "2027-03-06", "9:30", "13:30", site="The moon")
    with pytest.raises(CommandError, match="There is no workday on Saturday 6 March 2027"):
        run("plan_day", "2027-03-06")
    run("new_workday", "2027-03-06", "9:30", "13:30")
    with pytest.raises(CommandError, match="There is a workday at this place"):
        run("new_workday", "2027-03-06", "9:30", "13:30")
    with pytest.raises(CommandError, match="Nobody has said yes"):
        run("plan_day", "2027-03-06")
    assert Workday.objects.count() == 1
    with pytest.raises(CommandError, match="There is no task haircut"):
        run("estimate", "haircut")
    with pytest.raises(CommandError, match="Nowhere is not a time zone"):
        run("new_club", "Other", latitude=1.0, zone="Nowhere", coordinator="A", email="a@example.org")
