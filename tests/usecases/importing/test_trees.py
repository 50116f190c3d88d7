from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.db import connection

from collection.models import (
    Accepted,
    Bench,
    Care,
    Change,
    Count,
    Site,
    Sitting,
    SittingTask,
    Tree,
    TreeEvent,
)
from collection.queries.access import Actor
from collection.queries.errors import Refused
from collection.queries.sentences import say
from collection.usecases.importing.accept import Preview, accept, preview
from tests.factories import BenchFactory, ClubFactory, MemberFactory, SiteFactory, actor_of, coordinator
from tests.usecases.importing.sheets import TODAY, Rows, text

pytestmark = pytest.mark.django_db
HEAD = [
    "No",
    "Species",
    "Height (cm)",
    "Trunk (mm)",
    "Stage",
    "Bench",
    "Owner",
    "Primary branches",
    "Last repotted",
]
GOOD: Rows = [
    HEAD,
    ["007", "Acer palmatum", "62", "45", "refining", "Bench A", "Ana Bell", "6", "3 May 2019"],
    ["008", "Larch", "45", "30", "raw", "Bench B", "Ana Bell and Ben Cole", "5", ""],
]


@pytest.fixture
def actor() -> Actor:
    club = ClubFactory(name="Mill Lane")
    MemberFactory(club=club, name="Ana Bell")
    MemberFactory(club=club, name="Ben Cole")
    return coordinator(club)


def given(actor: Actor, rows: Rows, **more: Any) -> dict[str, Any]:
    return {
        "actor": actor,
        "data": text(rows),
        "file_name": "club.csv",
        "kind": "trees",
        "today": TODAY,
    } | more


def look(actor: Actor, rows: Rows, **more: Any) -> Preview:
    return preview(**given(actor, rows, **more))


def problems(actor: Actor, rows: Rows, **more: Any) -> list[tuple[str, str, str]]:
    return [(problem.place, problem.column, problem.code) for problem in look(actor, rows, **more).problems]


def everything() -> tuple[int, ...]:
    tables = (Tree, TreeEvent, Care, Count, Site, Bench, Sitting, SittingTask, Change, Accepted)
    return tuple(table.objects.count() for table in tables)


def test_a_preview_writes_nothing(actor: Actor) -> None:
    before = everything()
    shown = look(actor, GOOD)
    assert (len(shown.ready), shown.problems, everything()) == (2, (), before)


def test_accepting_writes_trees_with_sizes_in_mm_owners_counts_places_and_their_changes(actor: Actor) -> None:
    done = accept(**given(actor, GOOD))
    assert (done.created, done.unchanged, done.set_aside, done.already) == (2, 0, 0, False)
    tree = Tree.objects.get(accession="007")
    assert (tree.species, tree.group, tree.stage, tree.height_mm, tree.trunk_mm) == (
        "Acer palmatum",
        "G07",
        "F",
        620,
        45,
    )
    assert (tree.site.name, tree.bench and tree.bench.name) == ("Club ground", "Bench A")
    assert [(count.kind, count.amount, count.on, count.guessed) for count in tree.counts.all()] == [
        ("primary", 6, TODAY, False)
    ]
    other = Tree.objects.get(accession="008")
    assert (other.common_name, other.group) == ("Larch", "G06")
    assert sorted(care.member.name for care in other.care.filter(role="owner")) == ["Ana Bell", "Ben Cole"]
    assert [(event.kind, event.on) for event in tree.events.all()] == [("in", TODAY)]
    changed = Change.objects.filter(club_id=actor.club_id, table="tree", row=tree.pk).get()
    assert changed.after == {"accession": "007", "group": "G07", "stage": "F"}
    assert Change.objects.filter(table__in=["site", "bench"]).count() == 3


def test_the_last_repotting_becomes_work_remembered_from_before_the_records(actor: Actor) -> None:
    accept(**given(actor, GOOD))
    sitting = Sitting.objects.get()
    assert (sitting.tree.accession, sitting.remembered, sitting.started.date()) == (
        "007",
        True,
        date(2019, 5, 3),
    )
    assert [task.task for task in sitting.tasks.all()] == ["REPOT"]
    assert sitting.people.count() == 0


def test_every_original_cell_is_kept_with_its_heading_even_of_unknown_columns(actor: Actor) -> None:
    rows = [[*HEAD, "Price paid"], [*GOOD[1], "40"]]
    accept(**given(actor, rows))
    extra = Tree.objects.get().extra
    assert extra["columns"]["Price paid"] == "40"
    assert extra["columns"]["Height (cm)"] == "62"
    assert (extra["file"], extra["sheet"], extra["row"]) == ("club.csv", "club.csv", "2")


def test_the_same_file_accepted_twice_is_once(actor: Actor) -> None:
    accept(**given(actor, GOOD))
    before = everything()
    assert look(actor, GOOD).already
    assert accept(**given(actor, GOOD)).already
    assert everything() == before


def test_another_file_with_the_same_trees_changes_nothing(actor: Actor) -> None:
    accept(**given(actor, GOOD))
    before = everything()
    again = [["A later print of the list"], [], *GOOD]
    done = accept(**given(actor, again))
    assert (done.created, done.unchanged, done.already) == (0, 2, False)
    assert everything()[:-1] == before[:-1]  # only the file itself is remembered


def test_a_tree_that_differs_from_the_register_is_a_problem_that_shows_both_values(actor: Actor) -> None:
    accept(**given(actor, GOOD))
    shown = look(actor, [HEAD, ["007", "Acer palmatum", "64", *GOOD[1][3:]], GOOD[2]])
    [problem] = shown.problems
    assert (problem.place, problem.column) == ("2", "Height (cm)")
    assert say(problem.reason) == (
        "007 is on the register and the height of the tree is '620 mm' there, '640 mm' here. "
        "Change one, or set the row aside."
    )
    assert len(shown.unchanged) == 1


@pytest.mark.parametrize(
    ("column", "value", "heading"),
    [
        (5, "Bench B", "Bench"),
        (6, "Ben Cole", "Owner"),
        (7, "9", "Primary branches"),
        (8, "4 May 2019", "Last repotted"),
        (4, "show", "Stage"),
    ],
)
def test_no_changed_cell_of_a_known_tree_is_dropped_in_silence(
    actor: Actor, column: int, value: str, heading: str
) -> None:
    accept(**given(actor, GOOD))
    row = [*GOOD[1]]
    row[column] = value
    assert problems(actor, [HEAD, row]) == [("2", heading, "import_differs")]


def test_a_number_of_a_tree_that_left_is_never_used_again(actor: Actor) -> None:
    accept(**given(actor, GOOD))
    Tree.objects.filter(accession="007").update(archived_at="2026-01-01T00:00Z")
    assert problems(actor, GOOD) == [("2", "No", "import_accession_past")]


BAD: list[tuple[list[str], str, str]] = [
    (["007", "Elm", "tall"], "Height", "import_not_a_length"),
    (["007", "Elm", "9000 cm"], "Height", "import_size_too_large"),
    (["007", "Elm", "#N/A"], "Height", "import_cell_error"),
    (["007", "Elm", "10-12 cm"], "Height", "import_range"),
    (["007", "Wollemi", ""], "Species", "import_species_unknown"),
    (["007", "Pine", ""], "Species", "import_species_two_groups"),
    (["007", "", "40 cm"], "Species", "import_species_missing"),
    (["", "Elm", "40 cm"], "No", "import_accession_missing"),
    (["x" * 31, "Elm", ""], "No", "import_too_long"),
]


@pytest.mark.parametrize(("row", "column", "code"), BAD)
def test_a_faulty_cell_is_named_by_row_and_column_and_its_sentence_says_what_to_do(
    actor: Actor, row: list[str], column: str, code: str
) -> None:
    rows = [["No", "Species", "Height"], ["001", "Larch", "50 cm"], row, ["002", "Larch", "60 cm"]]
    shown = look(actor, rows)
    found = [(problem.place, problem.column, problem.code) for problem in shown.problems]
    assert ("3", column, code) in found
    assert {place for place, *_ in found} == {"3"}
    told = say(shown.problems[0].reason)
    assert any(
        word in told for word in ("Write", "set the row aside", "Check the unit", "Shorten", "Put the value")
    )


@pytest.mark.parametrize(
    ("heading", "cell", "code"),
    [
        ("Owner", "Ana Bel", "import_member_unknown"),
        ("Stage", "lovely", "import_not_a_stage"),
        ("Acquired", "3/5/2019", "import_date_two_ways"),
        ("Acquired", "1 Jan 2027", "import_date_ahead"),
        ("Condition", "purple", "import_not_a_condition"),
        ("May travel", "sometimes", "import_not_yes_or_no"),
        ("Branches", "many", "import_not_a_count"),
        ("Group", "G16", "import_no_such_group"),
        ("Weight", "heavy", "import_not_a_mass"),
        ("Pot litres", "big", "import_not_a_volume"),
        ("How many", "0", "import_no_trees"),
    ],
)
def test_each_kind_of_column_has_its_own_reason(actor: Actor, heading: str, cell: str, code: str) -> None:
    rows = [["No", "Species", heading], ["1", "Larch", cell]]
    field = {"Owner": "owner", "Stage": "stage", "Acquired": "acquired_on", "Condition": "condition"}
    field |= {"May travel": "may_travel", "Branches": "count_branches_total", "Group": "group"}
    field |= {"Weight": "mass", "Pot litres": "pot_litres", "How many": "batch"}
    assert problems(actor, rows, told={heading: field[heading]}) == [("2", heading, code)]


def test_an_unknown_owner_is_answered_with_the_nearest_name(actor: Actor) -> None:
    shown = look(actor, [["No", "Species", "Owner"], ["1", "Larch", "Ana Bel"]])
    assert say(shown.problems[0].reason).startswith("'Ana Bel' is not a member. Write Ana Bell if you mean")


def test_trees_of_the_club_itself_have_no_owner(actor: Actor) -> None:
    accept(**given(actor, [["No", "Species", "Owner"], ["1", "Larch", "Mill Lane"], ["2", "Elm", "club"]]))
    assert (Tree.objects.count(), Care.objects.count()) == (2, 0)


def test_a_doubled_number_faults_both_rows_when_they_differ_and_the_second_when_they_are_alike(
    actor: Actor,
) -> None:
    head = ["No", "Species"]
    assert problems(actor, [head, ["1", "Elm"], ["1", "Larch"]]) == [
        ("2", "No", "import_doubled"),
        ("3", "No", "import_doubled"),
    ]
    assert problems(actor, [head, ["a1", "Elm"], ["a1", "Elm"]]) == [("3", "No", "import_doubled")]
    assert problems(actor, [head, ["a1", "Elm"], ["A1", "Elm"]])[0][2] == "import_doubled"


def test_one_faulty_row_keeps_all_rows_out(actor: Actor) -> None:
    before = everything()
    with pytest.raises(Refused) as caught:
        accept(**given(actor, [*GOOD, ["009", "Elm", "tall", *[""] * 6]]))
    assert caught.value.reason.values == {"rows": 1, "place": "4", "column": "Height (cm)"}
    assert everything() == before


def test_faulty_rows_set_aside_let_the_rest_in_and_come_in_later_from_the_same_file(actor: Actor) -> None:
    rows = [*GOOD, ["009", "Elm", "40", "20", "raw", "Bench A", "Cleo Dunn", "4", ""]]
    done = accept(**given(actor, rows, set_aside="faulty"))
    assert (done.created, done.set_aside) == (2, 1)
    assert accept(**given(actor, rows, set_aside="faulty")).already
    MemberFactory(club_id=actor.club_id, club=None, name="Cleo Dunn")
    done = accept(**given(actor, rows))
    assert (done.created, done.unchanged, done.set_aside) == (1, 2, 0)
    assert accept(**given(actor, rows)).already


def test_rows_can_be_set_aside_by_hand(actor: Actor) -> None:
    done = accept(**given(actor, GOOD, set_aside=[("club.csv", "3")]))
    assert (done.created, done.set_aside) == (1, 1)
    assert [tree.accession for tree in Tree.objects.all()] == ["007"]


def test_a_sheet_without_numbers_gets_the_next_free_ones_in_the_club_s_manner(actor: Actor) -> None:
    accept(**given(actor, [["No", "Species"], ["B-41", "Elm"], ["B-07", "Elm"]]))
    rows = [["Species", "Height"], ["Larch", "40 cm"], ["Larch", "40 cm"], ["Elm", "30 cm"]]
    shown = look(actor, rows)
    assert say(shown.makes[-1]) == "No column holds tree numbers. The new trees get B-42 to B-44."
    accept(**given(actor, rows))
    assert Tree.objects.filter(accession__in=["B-42", "B-43", "B-44"]).count() == 3
    more = [*rows, ["Yew", "20 cm"]]  # a later edition of the list, one tree longer
    done = accept(**given(actor, more))
    assert (done.created, done.unchanged) == (1, 3)


def test_an_empty_stage_is_taken_as_building_and_the_preview_asks(actor: Actor) -> None:
    shown = look(actor, [["No", "Species"], ["1", "Elm"]])
    assert "import_stage_assumed" in [reason.code for reason in shown.makes]
    accept(**given(actor, [["No", "Species"], ["1", "Elm"]]))
    assert (Tree.objects.get().stage, Tree.objects.get().extra["stage_assumed"]) == ("B", True)


def test_places_that_are_missing_are_named_before_they_are_made(actor: Actor) -> None:
    site = SiteFactory(club_id=actor.club_id, club=None, name="Old yard")
    BenchFactory(site=site, name="Bench A")
    said = [say(reason) for reason in look(actor, GOOD).makes]
    assert "The bench 'Bench B' will be made." in said
    assert not any("Bench A" in line or "place" in line for line in said)
    accept(**given(actor, GOOD))
    assert {tree.site.name for tree in Tree.objects.all()} == {"Old yard"}


def test_a_bench_stands_in_one_place_only(actor: Actor) -> None:
    rows = [["No", "Species", "Garden", "Bench"], ["1", "Elm", "Yard", "A"], ["2", "Elm", "Home of Ana", "A"]]
    assert problems(actor, rows) == [("3", "Bench", "import_bench_elsewhere")]


def test_with_several_grounds_a_row_must_say_which(actor: Actor) -> None:
    for name in ("North yard", "South yard"):
        SiteFactory(club_id=actor.club_id, club=None, name=name)
    assert [code for *_, code in problems(actor, [["No", "Species"], ["1", "Elm"]])] == ["import_which_site"]


def test_inches_are_kept_as_mm(actor: Actor) -> None:
    accept(**given(actor, [["No", "Species", "Height (in)"], ["1", "Elm", "24"], ["2", "Elm", "2 ft 3"]]))
    assert [tree.height_mm for tree in Tree.objects.order_by("accession")] == [609.6, 685.8]


def test_a_batch_of_like_trees_is_one_row(actor: Actor) -> None:
    accept(**given(actor, [["No", "Species", "How many"], ["1", "Elm", "12"], ["2", "Elm", "1"]]))
    assert list(Tree.objects.order_by("accession").values_list("batch", flat=True)) == [12, None]


def test_only_coordinators_take_files_in(actor: Actor) -> None:
    plain = actor_of(MemberFactory(club_id=actor.club_id, club=None, name="Dora Eve"))
    for step in (preview, accept):
        with pytest.raises(Refused) as caught:
            step(**given(plain, GOOD))
        assert caught.value.kind == "forbidden"


def test_another_club_s_people_and_numbers_are_not_seen(actor: Actor) -> None:
    accept(**given(actor, GOOD))
    other = coordinator(ClubFactory())
    codes = {code for *_, code in problems(other, GOOD)}
    assert codes == {"import_member_unknown"}
    rows = [row[:6] for row in GOOD]
    assert accept(**given(other, rows)).created == 2
    assert Tree.objects.filter(accession="007").count() == 2


def test_a_file_without_a_column_of_species_says_which_column_is_missing(actor: Actor) -> None:
    with pytest.raises(Refused) as caught:
        look(actor, [["Tag", "Height"], ["1", "40 cm"]])
    assert say(caught.value.reason) == (
        "No column holds the species or the common name or the tree's own name or the species group. "
        "Say which one does."
    )


def test_ten_times_the_rows_cost_a_few_longer_statements_not_one_query_a_row(actor: Actor) -> None:
    def sheet(first: int, rows: int) -> Rows:
        return [HEAD, *([f"{first + n}", *GOOD[1][1:]] for n in range(rows))]

    accept(**given(actor, sheet(1, 2)))  # makes place and bench
    with _Counted() as few:
        accept(**given(actor, sheet(100, 10)))
    with _Counted() as many:
        accept(**given(actor, sheet(1000, 100)))
    # 90 more rows into seven tables; SQLite takes only so many values a statement, so a few are split.
    assert many.number - few.number <= 6


class _Counted:
    """Queries run inside the block."""

    number = 0

    def __enter__(self) -> _Counted:
        def count(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
            self.number += 1
            return execute(sql, params, many, context)

        self._wrapper = connection.execute_wrapper(count)
        self._wrapper.__enter__()
        return self

    def __exit__(self, *error: Any) -> None:
        self._wrapper.__exit__(*error)
