"""Cutting wire off takes it off the record in the same transaction; putting wire on leads to its form."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from django.test import Client

from collection.models import Change, Club, Guy, Job, Sitting, Wire
from collection.queries.errors import Refused
from collection.queries.facts import trees_with_wire
from collection.usecases import trees
from collection.usecases.sittings import TaskDone, Worked, record
from tests.factories import MemberFactory
from tests.usecases.test_gear import TODAY, Wired

pytestmark = pytest.mark.django_db
BEGAN = datetime(2027, 3, 3, 9, tzinfo=UTC)


@pytest.fixture
def made(time_machine) -> Wired:
    time_machine.move_to("2027-03-03T12:00:00+00:00", tick=False)
    made = Wired()
    kind = {"gauge_mm": 3.0, "metal": "aluminium", "on": date(2026, 11, 1), "length_m": 2.0}
    trees.put_wire_on(actor=made.planner, tree_id=made.tree.pk, label="W2", **kind)
    return made


def cut(made: Wired, task: str = "WIRE_OFF", **more: Any) -> list[int]:
    began = more.pop("started", BEGAN)
    return record(
        actor=made.planner, trees=[made.tree.pk], tasks=[TaskDone(task)],
        people=[Worked(made.planner.member_id, 30)], started=began, ended=began + timedelta(minutes=30),
        request_key="k", **more,
    )  # fmt: skip


def code(call) -> str:
    with pytest.raises(Refused) as refused:
        call()
    return refused.value.reason.code


def test_wire_that_was_cut_off_is_off_with_its_trail_and_its_urgent_job_is_done(made: Wired):
    made.look("marking")
    cut(made, wires_off=[made.wire], guys_off=[made.guy])
    wire, guy = Wire.objects.get(pk=made.wire), Guy.objects.get(pk=made.guy)
    assert (wire.off, guy.off) == (TODAY, TODAY)
    assert Wire.objects.get(label="W2").off is None
    lines = Change.objects.filter(table__in=["wire", "guy"], after__has_key="off")
    assert sorted(lines.values_list("table", "row")) == [("guy", guy.pk), ("wire", wire.pk)]
    assert [state for state, *_ in made.jobs()] == ["done"]


def test_the_day_it_came_off_is_the_clubs_own(made: Wired):
    Club.objects.update(zone="Australia/Sydney")
    cut(made, wires_off=[made.wire], started=datetime(2027, 3, 2, 22, tzinfo=UTC))
    assert Wire.objects.get(pk=made.wire).off == date(2027, 3, 3)


def test_all_wire_off_leaves_the_tree_free(made: Wired):
    cut(made, wires_off=[*Wire.objects.values_list("pk", flat=True)])
    assert made.tree.pk not in trees_with_wire(made.site.club_id)


def test_which_came_off_must_be_said_and_none_may_be(made: Wired):
    assert code(lambda: cut(made)) == "wires_not_said"
    assert not Sitting.objects.exists()
    cut(made, wires_off=[])
    assert not Wire.objects.exclude(off=None).exists()


def test_a_tree_without_wire_needs_no_word(made: Wired):
    Wire.objects.all().delete()
    assert len(cut(made)) == 1


def test_what_cannot_have_come_off_is_refused_and_nothing_is_written(made: Wired):
    other = Wired()
    assert code(lambda: cut(made, wires_off=[other.wire])) == "not_found"
    assert code(lambda: cut(made, wires_off=[made.wire], guys_off=[other.guy])) == "not_found"
    assert code(lambda: cut(made, "TRIM", wires_off=[made.wire])) == "wire_off_untold"
    Wire.objects.filter(pk=made.wire).update(on=date(2027, 3, 4))
    assert code(lambda: cut(made, wires_off=[made.wire])) == "wire_off_early"
    assert not Sitting.objects.exists()
    assert not Wire.objects.exclude(off=None).exists()


def form(made: Wired, task: str) -> dict[str, object]:
    rows = {
        "tasks-TOTAL_FORMS": "1",
        "tasks-INITIAL_FORMS": "0",
        "tasks-0-task": task,
        "tasks-0-finished": "on",
    }
    who = {"people": [made.planner.member_id], "on": "2027-03-03", "minutes": "30", "key": "page"}
    return rows | who


def browser(made: Wired) -> Client:
    client = Client()
    client.force_login(MemberFactory(club=made.site.club).account)
    return client


def test_the_page_asks_which_came_off_with_all_wire_ticked_and_then_keeps_it(made: Wired):
    client, url = browser(made), f"/sittings/new?tree={made.tree.pk}"
    asked = client.post(url, form(made, "WIRE_OFF"))
    html = asked.content.decode()
    assert "Look which came off, then keep the sitting." in html
    assert html.count('name="came_off"') == 3
    assert html.count('name="came_off" value="wire:') == 2
    ticked = [part for part in html.split("<input")[1:] if 'name="came_off"' in part and "checked" in part]
    assert len(ticked) == 2
    assert not Sitting.objects.exists()
    sent = form(made, "WIRE_OFF") | {"wires_shown": "1", "came_off": [f"wire:{made.wire}", f"guy:{made.guy}"]}
    assert client.post(url, sent).status_code == 302
    assert [*Wire.objects.filter(off=None).values_list("label", flat=True)] == ["W2"]
    assert Guy.objects.get(pk=made.guy).off == TODAY


def test_a_wire_that_is_off_already_is_said_at_the_list(made: Wired):
    trees.take_wire_off(actor=made.planner, wire_id=made.wire, on=TODAY)
    sent = form(made, "WIRE_OFF") | {"wires_shown": "1", "came_off": [f"wire:{made.wire}"]}
    late = browser(made).post(f"/sittings/new?tree={made.tree.pk}", sent)
    assert (late.status_code, "This is no longer on the tree." in late.content.decode()) == (400, True)
    assert not Sitting.objects.exists()


def test_other_work_asks_for_no_wire_and_takes_none_off(made: Wired):
    sent = form(made, "TRIM") | {"wires_shown": "1", "came_off": [f"wire:{made.wire}"]}
    assert browser(made).post(f"/sittings/new?tree={made.tree.pk}", sent).status_code == 302
    assert Wire.objects.filter(off=None).count() == 2


@pytest.mark.parametrize(("task", "at"), [("WIRE_DETAIL", "wire/new"), ("GUY", "guys/new"), ("TRIM", None)])
def test_wire_that_went_on_leads_to_its_form(made: Wired, task: str, at: str | None):
    kept = browser(made).post(f"/sittings/new?tree={made.tree.pk}", form(made, task), follow=True)
    link = f'<a href="/trees/{made.tree.pk}/{at}">Write down the wire you put on</a>'
    html = kept.content.decode()
    assert "The sitting is kept. Thank you." in html
    assert (link in html) == (at is not None)


def test_a_program_says_which_came_off(made: Wired):
    client = Client()
    client.force_login(MemberFactory(club=made.site.club).account)
    body = {
        "trees": [made.tree.pk], "tasks": [{"task": "WIRE_OFF"}], "started": "2027-03-03T09:00:00Z",
        "ended": "2027-03-03T09:30:00Z", "people": [{"member_id": made.planner.member_id, "minutes": 30}],
    }  # fmt: skip

    def post(key: str, **more: object):
        sent = {"Idempotency-Key": f"wire-in-sittings-{key}"}
        return client.post("/api/v1/sittings", body | more, content_type="application/json", headers=sent)

    unsaid = post("one")
    assert (unsaid.status_code, unsaid.json()["code"]) == (400, "wires_not_said")
    assert post("two", wires_off=[made.wire]).status_code == 201
    assert Wire.objects.get(pk=made.wire).off == TODAY
    assert not Job.objects.filter(task="WIRE_OFF", state="open").exists()
