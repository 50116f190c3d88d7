from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from collection.models import Account, Change, Contact, Declaration, Member, MemberSkill
from collection.queries.access import Actor
from collection.queries.errors import Refused
from collection.queries.sentences import say
from collection.usecases.importing.accept import Preview, accept, preview
from tests.factories import MemberFactory, actor_of, coordinator
from tests.usecases.importing.sheets import TODAY, Rows, text

pytestmark = pytest.mark.django_db
HEAD = ["Name", "E-mail", "Phone", "Role", "Joined", "Wiring", "Skills", "Can lift", "First aid", "Hobby"]
GOOD: Rows = [
    HEAD,
    [
        "Ana Bell",
        "Ana@Example.org",
        "01632 960001",
        "Bench lead",
        "2015",
        "expert",
        "repotting",
        "yes",
        "no",
        "chess",
    ],
    ["Ben Cole", "", "", "", "", "", "", "", "", ""],
]


@pytest.fixture
def actor() -> Actor:
    return coordinator()


def given(actor: Actor, rows: Rows, **more: Any) -> dict[str, Any]:
    return {"actor": actor, "data": text(rows), "file_name": "p.csv", "kind": "people", "today": TODAY} | more


def look(actor: Actor, rows: Rows) -> Preview:
    return preview(**given(actor, rows))


def test_people_come_with_contact_role_skills_and_declarations(actor: Actor) -> None:
    assert accept(**given(actor, GOOD)).created == 2
    ana = Member.objects.get(name="Ana Bell")
    assert (ana.role, ana.active_from, ana.account) == ("bench_lead", date(2015, 1, 1), None)
    assert (ana.contact.email, ana.contact.telephone) == ("ana@example.org", "01632 960001")
    assert {(skill.family, skill.level, skill.since) for skill in ana.skills.all()} == {
        ("wiring", "expert", TODAY),
        ("repotting", "learning", TODAY),
    }
    assert {(said.kind, said.answer) for said in ana.declarations.all()} == {
        ("can_lift", True),
        ("first_aid", False),
    }
    ben = Member.objects.get(name="Ben Cole")
    assert (ben.role, ben.active_from, ben.contact.email) == ("member", TODAY, "")


def test_nobody_gets_a_sign_in_by_a_spreadsheet(actor: Actor) -> None:
    before = Account.objects.count()
    accept(**given(actor, GOOD))
    assert Account.objects.count() == before


def test_no_address_or_number_is_written_into_the_trail_of_changes(actor: Actor) -> None:
    accept(**given(actor, GOOD))
    trail = str(list(Change.objects.values_list("after", flat=True)))
    assert "ana@example" not in trail.lower()
    assert "960001" not in trail
    assert Change.objects.filter(table="member").count() == 2


def test_a_column_we_do_not_know_about_people_is_left_out_and_said(actor: Actor) -> None:
    told = [say(column.asked) for column in look(actor, GOOD).columns]
    assert "We do not know 'Hobby'. Its cells are left out." in told


def test_the_same_list_again_changes_nothing_and_a_longer_one_adds_the_new(actor: Actor) -> None:
    accept(**given(actor, GOOD))
    assert accept(**given(actor, GOOD)).already
    done = accept(**given(actor, [*GOOD, ["Cleo Dunn", *[""] * 9]]))
    assert (done.created, done.unchanged) == (1, 2)
    assert (Contact.objects.count(), MemberSkill.objects.count(), Declaration.objects.count()) == (3, 2, 2)


@pytest.mark.parametrize(
    ("column", "value"),
    [(1, "b@example.org"), (2, "01632 960009"), (3, "member"), (5, "novice"), (7, "no")],
)
def test_no_changed_cell_of_a_member_is_dropped_in_silence(actor: Actor, column: int, value: str) -> None:
    accept(**given(actor, GOOD))
    row = [*GOOD[1]]
    row[column] = value
    [problem] = look(actor, [HEAD, row]).problems
    assert (problem.code, problem.column) == ("import_member_differs", HEAD[column])


@pytest.mark.parametrize(
    ("column", "value", "code"),
    [
        (0, "", "import_name_missing"),
        (1, "ana at example", "import_not_an_email"),
        (2, "ring me", "import_not_a_phone"),
        (3, "wizard", "import_not_a_role"),
        (4, "long ago", "import_not_a_date"),
        (5, "superb", "import_not_a_level"),
        (6, "juggling: expert", "import_not_a_skill"),
        (7, "sometimes", "import_not_yes_or_no"),
    ],
)
def test_a_faulty_cell_is_named_and_keeps_everybody_out(
    actor: Actor, column: int, value: str, code: str
) -> None:
    row = [*GOOD[1]]
    row[column] = value
    fine = [
        [
            f"Person {n}",
            "p@example.org",
            "01632 960003",
            "member",
            "2016",
            "expert",
            "wiring",
            "yes",
            "no",
            "",
        ]
        for n in range(3)
    ]
    [problem] = look(actor, [HEAD, *fine, row]).problems
    assert (problem.place, problem.column, problem.code) == ("5", HEAD[column], code)


def test_first_and_last_name_are_joined_and_a_name_comes_once(actor: Actor) -> None:
    rows = [["First name", "Surname"], ["Ana", "Bell"], ["ana", "bell"]]
    shown = look(actor, rows)
    assert [(problem.place, problem.code) for problem in shown.problems] == [("3", "import_doubled")]
    accept(**given(actor, rows, set_aside="faulty"))
    assert Member.objects.filter(name="Ana Bell").count() == 1


def test_a_tick_under_a_skill_counts_as_learning_and_a_no_as_nothing(actor: Actor) -> None:
    accept(
        **given(
            actor, [["Name", "Wiring", "Pruning"], ["Ana Bell", "x", "no"], ["Ben Cole", "expert", "novice"]]
        )
    )
    ana = Member.objects.get(name="Ana Bell")
    assert [(skill.family, skill.level) for skill in ana.skills.all()] == [("wiring", "learning")]


@pytest.mark.parametrize("role", ["Coordinator", "Club admin"])
def test_only_a_club_admins_file_names_coordinators_and_admins(actor: Actor, role: str) -> None:
    rows: Rows = [["Name", "Role"], ["Cleo Dunn", role]]
    with pytest.raises(Refused) as caught:
        accept(**given(actor, rows))
    assert caught.value.reason.code == "import_has_problems"
    assert [p.code for p in preview(**given(actor, rows)).problems] == ["import_role_by_admin"]
    assert not Member.objects.filter(name="Cleo Dunn").exists()
    head = actor_of(MemberFactory(club_id=actor.club_id, role="admin"))
    assert accept(**given(head, rows)).created == 1
