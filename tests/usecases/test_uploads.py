"""A file on its way in: kept, read, asked about, taken in once, thrown away, never another club's."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.apps import apps

from collection.models import Accepted, Change, Site, Tree, Upload
from collection.queries.access import Actor
from collection.queries.errors import Refused
from collection.queries.uploads import upload_sheet, upload_state
from collection.usecases import sweep, uploads
from collection.usecases.importing.accept import remembered
from tests.factories import ClubFactory, MemberFactory, SiteFactory, TreeFactory, actor_of, coordinator
from tests.usecases.importing.sheets import Rows, book, text

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 1, 11, 9, tzinfo=ZoneInfo("UTC"))
ROWS = [
    ["No", "Species", "Height (cm)"],
    ["007", "Larch", "62"],
    ["008", "Elm", "tall"],
    ["009", "Elm", "40"],
]


@pytest.fixture(autouse=True)
def _clock(time_machine: object) -> None:
    time_machine.move_to(NOW, tick=False)  # type: ignore[attr-defined]


@pytest.fixture
def actor() -> Actor:
    return coordinator(SiteFactory(name="Alder Yard").club)


def bring(actor: Actor, rows: Rows = ROWS, kind: str = "trees", name: str = "list.csv") -> int:
    return uploads.bring(actor=actor, kind=kind, file_name=name, data=text(rows))


def heavy(rows: int = 12) -> bytes:
    """A list that is read by the sweep: few rows, much text."""
    note = "x" * 19_000
    lines = [["No", "Species", "Notes"], *([f"{n:03d}", "Larch", note] for n in range(rows))]
    data = text(lines)
    assert not uploads.is_light(data)
    return data


def register() -> dict[str, int]:
    kept = {m.__name__: m.objects.count() for m in apps.get_app_config("collection").get_models()}
    kept.pop("Upload")
    return kept


def code_of(act: Callable[[], object]) -> str:
    with pytest.raises(Refused) as caught:
        act()
    return caught.value.reason.code


class TestReading:
    def test_a_small_file_is_read_at_once_and_writes_nothing_else(self, actor: Actor):
        before = register()
        sheet = upload_sheet(actor, bring(actor))
        assert (sheet.state, sheet.rows, sheet.ready, sheet.faulty) == ("read", 3, 2, 1)
        [fault] = sheet.faults
        assert (fault.where, fault.value) == ("Row 3, column Height (cm)", "tall")
        assert register() == before

    def test_each_column_asks_with_three_samples(self, actor: Actor):
        columns = upload_sheet(actor, bring(actor)).columns
        assert [(c.heading, c.answer, c.samples) for c in columns] == [
            ("No", "accession", ("007", "008", "009")),
            ("Species", "species", ("Larch", "Elm")),
            ("Height (cm)", "height:cm", ("62", "tall", "40")),
        ]
        assert columns[2].question == "Is this the height of the tree? Plain numbers are centimetres."

    def test_a_large_file_waits_for_the_sweep(self, actor: Actor):
        upload = uploads.bring(actor=actor, kind="trees", file_name="big.csv", data=heavy())
        assert upload_state(actor, upload) == {"state": "waiting"}
        assert sweep.run() == 1
        assert upload_state(actor, upload) == {"state": "ready"}
        assert upload_sheet(actor, upload).ready == 12

    @pytest.mark.parametrize(
        ("data", "said"),
        [
            (b"%PDF-1.7 not a list", "This file is not a spreadsheet we can read."),
            (b"\xd0\xcf\x11\xe0 old", "This is an old .xls file or it has a password."),
            (b"PK\x03\x04 broken", "This file is not a spreadsheet we can read."),
            (b"No,Species\n", "There are headings but no rows below them."),
        ],
    )
    def test_what_cannot_be_read_says_why_whatever_its_name(self, actor: Actor, data: bytes, said: str):
        sheet = upload_sheet(
            actor, uploads.bring(actor=actor, kind="trees", file_name="trees.xlsx", data=data)
        )
        assert sheet.state == "unreadable"
        assert sheet.refused.startswith(said)

    def test_sizes_and_numbers_of_files_have_limits(self, actor: Actor):
        big = b"a,b\n" + b"x" * (uploads.MOST_MIB * 2**20)
        given = {"actor": actor, "kind": "trees", "file_name": "a.csv"}
        assert code_of(lambda: uploads.bring(**given, data=big)) == "import_file_too_big"
        assert code_of(lambda: uploads.bring(**given, data=b"  \n")) == "import_empty"
        assert code_of(lambda: uploads.bring(**given | {"kind": "pots"}, data=b"a")) == "import_kind"
        for _ in range(uploads.MOST_WAITING):
            bring(actor)
        assert code_of(lambda: bring(actor)) == "import_too_many_waiting"
        bring(coordinator())  # another club's files are not counted

    def test_a_name_with_folders_and_control_letters_is_made_plain(self, actor: Actor):
        upload = bring(actor, name="..\\..\\etc/pass\nwd\x00.csv")
        assert upload_sheet(actor, upload).file_name == "passwd.csv"

    def test_without_a_needed_column_it_asks_for_it_first(self, actor: Actor):
        upload = bring(actor, [["No", "Height"], ["1", "60 cm"]])
        sheet = upload_sheet(actor, upload)
        assert sheet.missing.startswith("No column holds")
        assert (sheet.faults, sheet.ready) == ((), 0)
        take = lambda: uploads.take(actor=actor, upload_id=upload, version=sheet.version)  # noqa: E731
        assert code_of(take) == "import_say_columns"

    def test_one_sheet_of_several_can_be_chosen(self, actor: Actor):
        sheets = {
            "Here": [["No", "Species"], [1, "Larch"]],
            "There": [["No", "Species"], [2, "Elm"], [3, "Elm"]],
        }
        upload = uploads.bring(actor=actor, kind="trees", file_name="a.xlsx", data=book(sheets))
        both = upload_sheet(actor, upload)
        assert (both.tabs, both.rows) == (("Here", "There"), 3)
        uploads.answer(actor=actor, upload_id=upload, version=both.version, told={}, sheet="There")
        assert upload_sheet(actor, upload).rows == 2


class TestAnswers:
    def test_another_answer_is_read_again(self, actor: Actor):
        upload = bring(actor, [["No", "Species", "Collar"], ["1", "Larch", "45"]])
        sheet = upload_sheet(actor, upload)
        uploads.answer(
            actor=actor, upload_id=upload, version=sheet.version, told={"Collar": "trunk:mm", "No": ""}
        )
        again = upload_sheet(actor, upload)
        assert [(c.heading, c.answer, c.told) for c in again.columns] == [
            ("No", "", True), ("Species", "species", False), ("Collar", "trunk:mm", True)
        ]  # fmt: skip
        uploads.take(actor=actor, upload_id=upload, version=again.version)
        assert Tree.objects.get().trunk_mm == 45

    def test_a_cell_put_right_is_a_fault_less(self, actor: Actor):
        upload = bring(actor)
        sheet = upload_sheet(actor, upload)
        [fault] = sheet.faults
        cell = "\t".join((fault.sheet, fault.place, fault.column))
        uploads.answer(actor=actor, upload_id=upload, version=sheet.version, told={}, corrected={cell: "55"})
        again = upload_sheet(actor, upload)
        assert (again.ready, again.faults) == (3, ())
        uploads.take(actor=actor, upload_id=upload, version=again.version)
        assert Tree.objects.get(accession="008").height_mm == 550

    def test_the_next_file_with_the_same_headings_is_answered_as_the_last(self, actor: Actor):
        rows = [["No", "Species", "Collar"], ["1", "Larch", "45"]]
        first = bring(actor, rows)
        uploads.answer(actor=actor, upload_id=first, version=2, told={"Collar": "trunk:mm"})
        uploads.take(actor=actor, upload_id=first, version=upload_sheet(actor, first).version)
        again = upload_sheet(actor, bring(actor, [rows[0], ["2", "Elm", "30"]]))
        assert again.as_last_time
        assert again.columns[2].answer == "trunk:mm"
        other = upload_sheet(actor, bring(actor, [["No", "Collar", "Species"], ["3", "30", "Elm"]]))
        assert not other.as_last_time
        theirs = coordinator()
        assert not upload_sheet(theirs, bring(theirs, rows)).as_last_time

    def test_two_people_answering_at_once_do_not_overwrite_each_other(self, actor: Actor):
        upload = bring(actor)
        version = upload_sheet(actor, upload).version
        answer = lambda: uploads.answer(actor=actor, upload_id=upload, version=version, told={})  # noqa: E731
        answer()
        assert code_of(answer) == "import_answered_meanwhile"


class TestTaking:
    def test_faults_keep_everything_out_until_their_rows_are_set_aside(self, actor: Actor):
        upload = bring(actor)
        take = lambda **more: uploads.take(actor=actor, upload_id=upload, version=2, **more)  # noqa: E731
        assert code_of(take) == "import_has_problems"
        assert not Tree.objects.exists()
        take(set_aside=True)
        sheet = upload_sheet(actor, upload)
        assert (sheet.state, sheet.created, sheet.aside) == ("taken", 2, 1)
        assert {c.door for c in Change.objects.filter(table="tree")} == {"import"}
        assert bytes(Upload.objects.get(pk=upload).data) == b""

    def test_pressed_twice_it_is_taken_once(self, actor: Actor):
        upload = bring(actor)
        take = lambda: uploads.take(actor=actor, upload_id=upload, version=2, set_aside=True)  # noqa: E731
        take()
        assert code_of(take) == "import_taken"
        again = bring(actor)
        sheet = upload_sheet(actor, again)
        assert (sheet.ready, sheet.unchanged) == (0, 2)
        nothing = lambda: uploads.take(actor=actor, upload_id=again, version=2, set_aside=True)  # noqa: E731
        assert code_of(nothing) == "import_nothing_new"
        assert Tree.objects.count() == 2

    def test_a_large_one_is_taken_in_by_the_sweep_and_once_for_two_workers(self, actor: Actor):
        upload = uploads.bring(actor=actor, kind="trees", file_name="big.csv", data=heavy())
        sweep.run()
        uploads.take(actor=actor, upload_id=upload, version=upload_sheet(actor, upload).version)
        assert not Tree.objects.exists()
        assert [uploads.work_on(upload), uploads.work_on(upload)] == [True, False]
        assert Tree.objects.count() == 12

    def test_a_worker_that_died_leaves_the_file_to_the_next(self, actor: Actor, time_machine):
        upload = uploads.bring(actor=actor, kind="trees", file_name="big.csv", data=heavy())
        Upload.objects.filter(pk=upload).update(lease_until=NOW + uploads.LEASE, attempts=1)
        assert sweep.run() == 0
        time_machine.shift(timedelta(minutes=6))
        assert sweep.run() == 1
        assert upload_sheet(actor, upload).ready == 12

    def test_a_file_that_kills_its_worker_three_times_is_given_up(self, actor: Actor, time_machine):
        upload = uploads.bring(actor=actor, kind="trees", file_name="big.csv", data=heavy())
        Upload.objects.filter(pk=upload).update(lease_until=NOW, attempts=3)
        time_machine.shift(timedelta(minutes=1))
        sweep.run()
        sheet = upload_sheet(actor, upload)
        assert sheet.state == "unreadable"
        assert sheet.refused == "This file could not be read in three tries. Save it again, or split it."

    def test_what_changed_meanwhile_is_shown_instead_of_written(self, actor: Actor):
        upload = bring(actor, [ROWS[0], ROWS[1]])
        site = Site.objects.get(club_id=actor.club_id)
        TreeFactory(site=site, accession="007", species="Ulmus parvifolia")
        uploads.take(actor=actor, upload_id=upload, version=2)
        sheet = upload_sheet(actor, upload)
        assert (sheet.state, sheet.created) == ("read", 0)
        assert "is on the register" in sheet.faults[0].said
        assert not Accepted.objects.exists()


class TestKeeping:
    def test_a_file_is_thrown_away_by_hand_or_after_two_days(self, actor: Actor, time_machine):
        first, second = bring(actor), bring(actor)
        uploads.drop(actor=actor, upload_id=first)
        assert [*Upload.objects.values_list("pk", flat=True)] == [second]
        time_machine.shift(timedelta(days=2, minutes=1))
        sweep.run()
        assert not Upload.objects.exists()

    def test_another_clubs_file_is_not_there(self, actor: Actor):
        theirs, other = bring(actor), coordinator(ClubFactory())
        for act in (
            lambda: upload_sheet(other, theirs),
            lambda: upload_state(other, theirs),
            lambda: uploads.answer(actor=other, upload_id=theirs, version=2, told={}),
            lambda: uploads.take(actor=other, upload_id=theirs, version=2, set_aside=True),
            lambda: uploads.drop(actor=other, upload_id=theirs),
        ):
            assert code_of(act) == "not_found"

    def test_only_coordinators_bring_files(self, actor: Actor):
        member = actor_of(MemberFactory(club_id=actor.club_id))
        assert code_of(lambda: bring(member)) == "coordinators_only"


def test_a_person_whose_role_was_taken_meanwhile_takes_nothing_in(actor: Actor):
    upload = uploads.bring(actor=actor, kind="trees", file_name="big.csv", data=heavy())
    sweep.run()
    uploads.take(actor=actor, upload_id=upload, version=upload_sheet(actor, upload).version)
    Upload.objects.get(pk=upload).by.__class__.objects.filter(pk=actor.member_id).update(role="member")
    sweep.run()
    assert not Tree.objects.exists()
    assert upload_sheet(actor, upload).refused == "Only a coordinator can do this. Ask yours."


def test_the_day_of_a_year_in_a_heading_is_not_remembered(actor: Actor):
    club = ClubFactory()
    Accepted.objects.create(
        club=club, kind="offers", digest="d", file_name="f", rows=1, headings="h",
        told={"Name": "member", "5 December": f"day:{date(2026, 12, 5)}"},
    )  # fmt: skip
    assert remembered(club, "offers", "h") == {"Name": "member"}
