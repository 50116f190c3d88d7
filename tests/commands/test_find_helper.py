"""The command that says who leads and who helps tells what the page tells."""

from __future__ import annotations

from io import StringIO

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from collection.management.telling_bends import next_bend
from collection.queries.access import house
from collection.usecases import bends
from tests.factories import TreeFactory
from tests.usecases.bend_world import TODAY, World, trio

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _clock(time_machine: object) -> None:
    time_machine.move_to("2027-03-01T09:00:00+00:00", tick=False)  # type: ignore[attr-defined]


def run(made: World, tree: str) -> str:
    out = StringIO()
    call_command("find_helper", tree, club=made.site.club.name, stdout=out)
    return out.getvalue()


def test_it_prints_lead_helpers_reasons_and_who_is_left_out():
    made = trio()
    made.add("Wilma", lifts=False)
    made.add("Away", comes=False)
    said = run(made, "2011.007")
    for words in (
        "Heavy bend: 2011.007",
        "28 mm",
        "How it stands: Imke leads. A second pair of hands is wanted.",
        "Why two:",
        "The branch is 28 mm thick; from 20 mm this takes 2 people.",
        "Lead: Imke, 40 points",
        "1  Dilip, 40 points: Saturday 6 March 2027, 9:15 to",
        "2  Petra, 40 points",
        "Has held no bend yet, so helps only beside an expert: Imke.",
        "Wilma: Asked for no lifting.",
        "First to ask: Imke with Dilip. Saturday 6 March 2027, 9:15 to",
        "hold from",
        "It cannot tell whether the branch will crack.",
    ):
        assert words in said, words
    assert "\n".join(next_bend(house(made.site.club), TODAY)) in said


def test_a_tree_without_a_bend_and_a_tree_that_is_not_there_are_told_in_words():
    made = trio()
    TreeFactory(site=made.site, accession="2020.001")
    with pytest.raises(CommandError, match=r"No heavy bend is wanted on 2020\.001"):
        run(made, "2020.001")
    with pytest.raises(CommandError, match="There is nothing at this address"):
        run(made, "1999.999")


def test_a_refused_bend_says_stop_and_names_nobody():
    made = trio()
    made.bend.refresh_from_db()
    bends.refuse(
        actor=made.planner, bend_id=made.bend.pk, version=made.bend.version, why="Old wood", today=TODAY
    )
    said = run(made, "2011.007")
    assert "Stop. Carol refused this bend: Old wood." in said
    assert "First to ask" not in said
    assert "Dilip" not in said
