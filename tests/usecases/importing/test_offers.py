from __future__ import annotations

from datetime import date, time
from typing import Any

import pytest

from collection.models import Change, Habit, Offer, Plan, Workday
from collection.queries.access import Actor
from collection.usecases.importing.accept import Preview, accept, preview
from tests.factories import ClubFactory, MemberFactory, PlanFactory, SiteFactory, WorkdayFactory, coordinator
from tests.usecases.importing.sheets import TODAY, Rows, text

pytestmark = pytest.mark.django_db
DAY = date(2026, 12, 5)
GOOD: Rows = [
    ["Name", "Date", "From", "To", "Answer"],
    ["Ana Bell", "5 Dec 2026", "10:00", "13:00", "yes"],
    ["Ben Cole", "5 Dec 2026", "", "", "no"],
]


@pytest.fixture
def actor() -> Actor:
    club = ClubFactory()
    for name in ("Ana Bell", "Ben Cole"):
        MemberFactory(club=club, name=name)
    WorkdayFactory(site=SiteFactory(club=club), date=DAY)  # 9:30 to 13:30
    return coordinator(club)


def given(actor: Actor, rows: Rows, **more: Any) -> dict[str, Any]:
    return {"actor": actor, "data": text(rows), "file_name": "o.csv", "kind": "offers", "today": TODAY} | more


def look(actor: Actor, rows: Rows) -> Preview:
    return preview(**given(actor, rows))


def faults(actor: Actor, rows: Rows) -> list[tuple[str, str, str]]:
    return [(problem.place, problem.column, problem.code) for problem in look(actor, rows).problems]


def offers() -> set[tuple[str, str, time | None, time | None]]:
    return {(row.member.name, row.answer, row.arrives, row.leaves) for row in Offer.objects.all()}


def test_answers_for_a_workday_are_written_with_their_hours(actor: Actor) -> None:
    assert accept(**given(actor, GOOD)).created == 2
    assert offers() == {
        ("Ana Bell", "yes", time(10), time(13)),
        ("Ben Cole", "no", time(9, 30), time(13, 30)),  # the day's own hours
    }
    assert Change.objects.filter(table="offer").count() == 2


def test_a_list_with_one_column_a_day_is_read(actor: Actor) -> None:
    rows = [["Name", "5 Dec 2026"], ["Ana Bell", "10-13"], ["Ben Cole", "maybe"]]
    accept(**given(actor, rows))
    assert offers() == {
        ("Ana Bell", "yes", time(10), time(13)),
        ("Ben Cole", "perhaps", time(9, 30), time(13, 30)),
    }


def test_hours_given_most_weeks_become_habits(actor: Actor) -> None:
    rows = [
        ["Name", "Weekday", "Hours a week", "From", "To"],
        ["Ana Bell", "every Tuesday", "2.5", "", ""],
        ["Ben Cole", "Friday", "", "9:00", "11:30"],
    ]
    accept(**given(actor, rows))
    found = [
        (row.member.name, row.weekday, row.minutes, row.starts) for row in Habit.objects.order_by("weekday")
    ]
    # 2.5 h x 60 = 150 min; 9:00 to 11:30 = 150 min
    assert found == [("Ana Bell", 1, 150, TODAY), ("Ben Cole", 4, 150, TODAY)]


def test_people_may_be_named_by_their_address(actor: Actor) -> None:
    member = MemberFactory(club_id=actor.club_id, club=None, name="Cleo Dunn")
    from collection.models import Contact

    Contact.objects.create(club_id=actor.club_id, member=member, email="cleo@example.org")
    accept(**given(actor, [["E-mail", "Date"], ["Cleo@example.org", "5 Dec 2026"]]))
    assert {name for name, *_ in offers()} == {"Cleo Dunn"}


def test_the_same_list_again_changes_nothing_and_another_answer_is_a_problem(actor: Actor) -> None:
    accept(**given(actor, GOOD))
    assert accept(**given(actor, GOOD)).already
    assert len(look(actor, [*GOOD, []]).unchanged) == 2
    changed = [GOOD[0], GOOD[1], ["Ben Cole", "5 Dec 2026", "10:00", "12:00", "yes"]]
    assert faults(actor, changed) == [("3", "Date", "import_offer_differs")]


def test_a_plan_that_was_ready_is_out_of_date_after_new_answers(actor: Actor) -> None:
    plan = PlanFactory(workday=Workday.objects.get(), state="ready")
    accept(**given(actor, GOOD))
    assert Plan.objects.get(pk=plan.pk).state == Plan.State.OUT_OF_DATE


@pytest.mark.parametrize(
    ("row", "column", "code"),
    [
        (["Zed", "5 Dec 2026", "", "", "yes"], "Name", "import_member_unknown"),
        (["", "5 Dec 2026", "", "", "yes"], "Name", "import_name_missing"),
        (["Ana Bell", "6 Dec 2026", "", "", "yes"], "Date", "import_no_workday"),
        (["Ana Bell", "5 Dec 2026", "8:00", "12:00", "yes"], "Date", "import_offer_outside"),
        (["Ana Bell", "5 Dec 2026", "12:00", "10:00", "yes"], "Date", "import_offer_outside"),
        (["Ana Bell", "5 Dec 2026", "noon", "13:00", "yes"], "From", "import_not_a_time"),
        (["Ana Bell", "", "", "", "yes"], "Date", "import_no_day"),
        (["Ana Bell", "5 Dec 2026", "", "", "if sunny"], "Answer", "import_not_an_answer"),
        (["Ben Cole", "5 Dec 2026", "", "", "yes"], "Date", "import_offer_twice"),
    ],
)
def test_a_faulty_offer_is_named_by_row_and_column(
    actor: Actor, row: list[str], column: str, code: str
) -> None:
    assert faults(actor, [*GOOD, row]) == [("4", column, code)]


def test_a_day_that_was_held_takes_no_more_answers(actor: Actor) -> None:
    Workday.objects.update(state="held")
    assert {code for *_, code in faults(actor, GOOD)} == {"import_day_over"}


def test_two_workdays_on_a_date_are_not_guessed_between(actor: Actor) -> None:
    WorkdayFactory(site=SiteFactory(club_id=actor.club_id, club=None), date=DAY)
    assert {code for *_, code in faults(actor, GOOD)} == {"import_two_workdays"}


@pytest.mark.parametrize(
    ("cells", "code"),
    [
        (["Tuesday", "", ""], "import_hours_missing"),
        (["Tuesday", "16", ""], "import_size_too_large"),
        (["Someday", "2", ""], "import_not_a_weekday"),
        (["Tuesday", "2", "1 Nov 2026"], "import_ends_early"),
    ],
)
def test_a_faulty_habit_is_named(actor: Actor, cells: list[str], code: str) -> None:
    rows = [
        ["Name", "Weekday", "Hours a week", "Ends"],
        ["Ana Bell", *cells],
        ["Ben Cole", "Monday", "2", "1 Jan 2027"],
    ]
    assert [found for *_, found in faults(actor, rows)] == [code]


def test_a_habit_with_other_hours_is_a_problem_and_the_same_one_is_unchanged(actor: Actor) -> None:
    rows = [["Name", "Weekday", "Hours a week"], ["Ana Bell", "Tuesday", "2"]]
    accept(**given(actor, rows))
    assert len(look(actor, [["Weekly hours"], [], *rows]).unchanged) == 1
    assert faults(actor, [rows[0], ["Ana Bell", "Tuesday", "3"]]) == [
        ("2", "Weekday", "import_habit_differs")
    ]
