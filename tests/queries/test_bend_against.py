"""What speaks against a bend is said on its page before anybody signs it off."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.test import Client

from collection.models import Branch, Member, Wire
from collection.queries.bends import bend_sheet
from collection.usecases import sittings
from collection.usecases.sittings import TaskDone, Worked
from tests.usecases.bend_world import TODAY, World, world

pytestmark = pytest.mark.django_db


def against(made: World) -> list[tuple[str, bool]]:
    found = bend_sheet(made.planner, made.bend.pk, today=TODAY).against
    return [(one.sentence, one.hard) for one in found]


def repotted(made: World, on: datetime) -> None:
    sittings.record(
        actor=made.planner, trees=[made.tree.pk], tasks=[TaskDone("REPOT")],
        people=[Worked(made.planner.member_id, 60)], started=on, ended=on + timedelta(hours=1),
        request_key=f"r{on}",
    )  # fmt: skip


def wired(made: World, label: str, look_on: date, **fields) -> None:
    Wire.objects.create(
        club=made.site.club, tree=made.tree, label=label, length_m=1, gauge_mm=3, metal="copper",
        on=date(2026, 10, 1), look_on=look_on, **fields,
    )  # fmt: skip


def test_a_tree_whose_roots_nobody_knows_of_is_asked_about():
    made = world(signed=False)
    said = "Nobody has written down when this tree was last repotted. Find out before you bend it."
    assert (said, False) in against(made)
    repotted(made, datetime(2021, 3, 1, 10, tzinfo=UTC))
    assert said not in [sentence for sentence, _ in against(made)]


def test_a_tree_that_rests_after_root_work_stops_the_bend_and_stands_first():
    made = world(signed=False)
    wired(made, "W1", TODAY)
    repotted(made, datetime(2027, 2, 20, 10, tzinfo=UTC))
    found = against(made)
    assert found[0][1]
    assert [hard for _, hard in found] == sorted((hard for _, hard in found), reverse=True)
    browser = Client()
    browser.force_login(Member.objects.get(pk=made.planner.member_id).account)
    page = browser.get(f"/bends/{made.bend.pk}").content.decode()
    stands = page.split("How it stands")[1].split("</section>")[0]
    assert stands.index("<b>Stop.</b>") < stands.index("Sign the bend off")


def test_only_wire_on_the_branch_itself_whose_look_is_due_is_named():
    made = world(signed=False)
    branch = Branch.objects.create(club=made.site.club, tree=made.tree, label="B2")
    other = Branch.objects.create(club=made.site.club, tree=made.tree, label="B3")
    made.bend.branch = branch
    made.bend.save()
    wired(made, "W1", TODAY, branch=branch)
    wired(made, "W2", TODAY + timedelta(days=1), branch=branch)
    wired(made, "W3", TODAY, branch=other)
    wired(made, "W4", TODAY, branch=branch, off=TODAY)
    named = [sentence for sentence, _ in against(made) if sentence.startswith("Wire ")]
    assert named == ["Wire W1 was to be looked at by Mon 1 Mar 2027. Look before you bend."]
