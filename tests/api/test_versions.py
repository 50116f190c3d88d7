"""Versions on edits: nobody's edit is lost without a word."""

from __future__ import annotations

import pytest

from collection.models import Change, Site, Tree
from tests.api.conftest import Program
from tests.factories import MemberFactory, SiteFactory, TreeFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def tree(planner) -> Tree:
    return TreeFactory(site=SiteFactory(club=planner.club), name="Elder")


def code(answer) -> tuple[int, str]:
    assert answer["Content-Type"] == "application/problem+json"
    return answer.status_code, answer.json()["code"]


def test_an_edit_against_the_version_that_was_read_is_written_with_its_trail(program, tree):
    read = program.get(f"trees/{tree.pk}")
    answer = program.patch(f"trees/{tree.pk}", {"name": "Crag"}, If_Match=read["ETag"])
    assert (answer.status_code, answer.json()["name"], answer["ETag"]) == (200, "Crag", '"2"')
    assert program.get(f"trees/{tree.pk}")["ETag"] == '"2"'
    [line] = Change.objects.filter(table="tree", row=tree.pk)
    assert (line.door, line.before, line.after) == ("api", {"name": "Elder"}, {"name": "Crag"})


def test_the_second_of_two_edits_is_refused_and_changes_nothing(program, planner, tree):
    other = Program(MemberFactory(club=planner.club, coordinator=True))
    assert program.patch(f"trees/{tree.pk}", {"name": "Crag"}, If_Match='"1"').status_code == 200
    assert code(other.patch(f"trees/{tree.pk}", {"name": "Lost"}, If_Match='"1"')) == (412, "stale")
    assert Tree.objects.get().name == "Crag"


@pytest.mark.parametrize("tag", ["", "*"])
def test_an_edit_that_names_no_version_is_refused(program, tree, tag):
    answer = program.patch(f"trees/{tree.pk}", {"name": "Crag"}, If_Match=tag)
    assert code(answer) == (428, "version_needed")
    assert Tree.objects.get().name == "Elder"


@pytest.mark.parametrize("tag", ["1", 'W/"1"', '"1", "2"', '"one"', '"01"', '"1" ' + '"2"'])
def test_what_is_no_tag_of_ours_is_refused(program, tree, tag):
    answer = program.patch(f"trees/{tree.pk}", {"name": "Crag"}, If_Match=tag)
    assert code(answer) == (400, "version_unreadable")


def test_what_nobody_has_written_yet_is_version_nought(program, planner):
    SiteFactory(club=planner.club)
    read = program.get("programme/G01-DECANDLE-0601")
    assert read["ETag"] == '"0"'


def test_a_stale_edit_elsewhere_is_a_conflict(program, planner):
    """Without If-Match there is no precondition that could have failed."""
    site = SiteFactory(club=planner.club)
    Site.objects.filter(pk=site.pk).update(version=5)
    answer = program.send("PUT", f"sites/{site.pk}/retired", If_Match='"4"')
    assert code(answer)[0] in (409, 412)


def test_a_sign_off_names_the_version_of_the_bend_that_was_read(program, planner, tree):
    wish = {"tree_id": tree.pk, "diameter_mm": 28, "opens": "2027-03-08", "closes": "2027-04-08"}
    made = program.post("bends", wish)
    at = f"bends/{made.json()['id']}"
    assert code(program.send("PUT", f"{at}/signed", If_Match="")) == (428, "version_needed")
    other = Program(MemberFactory(club=planner.club, coordinator=True))
    refused = other.send("PUT", f"{at}/refused", {"why": "Old wood."}, If_Match=made["ETag"])
    assert refused.status_code == 200
    assert code(program.send("PUT", f"{at}/signed", If_Match=made["ETag"])) == (412, "stale")
    assert program.get(at).json()["signed_by_id"] is None
