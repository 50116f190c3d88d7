"""From founding a club to a planned day, by the commands of the README."""

from __future__ import annotations

import re
from io import StringIO

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError
from django.test import Client

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
    with pytest.raises(CommandError, match="9:32 is not in steps of five minutes"):
        run("new_workday", "2027-03-06", "9:32", "13:30")
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


def test_a_day_gets_its_lead_by_name_and_a_stranger_is_refused():
    found_club()
    run("import_people", f"{SAMPLE}/people.csv", accept=True)
    with pytest.raises(CommandError, match=r"Nobody Known is not a member. Choose one of: .*Edith Mossgrave"):
        run("new_workday", "2027-03-06", "9:30", "13:30", lead="Nobody Known")
    assert not Workday.objects.exists()
    run("new_workday", "2027-03-06", "9:30", "13:30", lead="edith mossgrave")
    assert Workday.objects.get().lead.name == "Edith Mossgrave"


def test_the_password_shown_signs_in_and_an_account_that_is_there_keeps_its_own():
    said = found_club()
    password = re.search(r"with the password (\S+)", said).group(1)
    assert Client().login(username="edith@example.org", password=password)
    assert "python3 manage.py season_jobs" in said
    place = {"latitude": 1.0, "zone": "Europe/London", "coordinator": "Edith Mossgrave"}
    second = run("new_club", "Lower Street", email="Edith@example.org", **place)
    assert "with the password you have already" in second
    assert Client().login(username="edith@example.org", password=password)
    with pytest.raises(CommandError, match="already"):
        run("new_club", "hill street", email="other@example.org", **place)


def test_an_answer_for_a_day_that_is_not_there_says_how_to_make_the_day():
    found_club()
    run("import_people", f"{SAMPLE}/people.csv", accept=True)
    said = run("import_offers", f"{SAMPLE}/answers.csv")
    assert "manage.py new_workday 2027-03-06 9:30 13:30" in said
    assert not Workday.objects.exists()


def test_an_estimate_takes_a_group_by_code_or_name_and_says_what_is_wrong():
    by_name = run("estimate", "Heavy bend", diameter=18, group="larch")
    assert by_name == run("estimate", "HEAVY_BEND", diameter=18, group="g06")
    assert by_name != run("estimate", "HEAVY_BEND", diameter=18, group="G09")
    for wrong, said in (
        ({"group": "pines"}, "There is no group pines. Use one of: G01 two-flush pine"),
        ({"stage": "old"}, "There is no stage old"),
        ({"skill": "wizard"}, "use one of novice, learning, practised, expert"),
        ({"fine": -3.0}, "must be 0 or more"),
        ({"fine": float("nan")}, "must be 0 or more"),
    ):
        with pytest.raises(CommandError, match=said):
            run("estimate", "WIRE_DETAIL", **wrong)


def test_a_day_where_no_tree_stands_is_told_as_such_and_not_as_unplanned():
    found_club()
    run("import_people", f"{SAMPLE}/people.csv", accept=True)
    run("new_workday", "2027-03-06", "9:30", "13:30")
    run("import_offers", f"{SAMPLE}/answers.csv", accept=True)
    said = run("plan_day", "2027-03-06")
    assert "no job could be placed. Do trees stand at Malthouse Garden" in said
    assert "No plan yet" not in said
