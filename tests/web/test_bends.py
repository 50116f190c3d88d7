"""Pages of heavy bends: who sees what, what the buttons do, what a refusal says."""

from __future__ import annotations

import re
from datetime import date

import pytest
from django.http import HttpResponse
from django.test import Client

from collection.models import Bend, Branch, Invitation, Place
from collection.usecases import bends, members, places
from tests.factories import MemberFactory
from tests.usecases.bend_world import TODAY, World, trio, world

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _clock(time_machine: object) -> None:
    time_machine.move_to("2027-03-01T09:00:00+00:00", tick=False)  # type: ignore[attr-defined]


def browser(made: World, name: str = "") -> Client:
    client = Client()
    member = made.people[name] if name else MemberFactory(club=made.site.club, coordinator=True)
    client.force_login(member.account)
    return client


def text(answer: HttpResponse) -> str:
    plain = re.sub(r"<[^>]+>", " ", answer.content.decode()).replace("\N{NO-BREAK SPACE}", " ")
    return re.sub(r"\s+", " ", plain.replace("&#x27;", "'"))


def page(made: World, name: str = "") -> str:
    answer = browser(made, name).get(f"/bends/{made.bend.pk}")
    assert answer.status_code == 200
    return text(answer)


def test_a_coordinator_reads_the_pair_why_two_the_order_and_who_is_left_out():
    made = trio()
    made.add("Wilma", lifts=False)
    made.add("Away", comes=False)
    said = page(made)
    for words in (
        "Imke leads, keeps a hand on the bend",
        "second pair of hands steadies pot and trunk",
        "Imke leads. A second pair of hands is wanted.",
        "Why two",
        "The branch is 28 mm thick; from 20 mm this takes 2 people.",
        "One person bends up to 20 mm on juniper, scale (assumption).",
        "Who fits best",
        "Here 9:15 to 13:30 on Saturday 6 March 2027, free at 9:15",
        "40 points",
        "Ask Dilip",
        "Wilma: Asked for no lifting.",
        "more people have not said yes for a day in the window.",
        "Follow local rules and licensed practice.",
        "Nobody swaps while the branch is held.",
    ):
        assert words in said, words
    assert said.index("Ask Dilip") < said.index("Ask Petra")


def test_a_member_sees_the_helper_who_accepted_and_no_reasons():
    made = trio()
    made.add("Wilma", lifts=False)
    invitation = places.ask(
        actor=made.planner, bend_id=made.bend.pk, member_id=made.people["Petra"].pk, today=TODAY
    )
    said = page(made, "Dilip")
    for hidden in ("Petra", "Wilma", "no lifting", "points", "Ask ", "Who fits best"):
        assert hidden not in said, hidden
    assert "Only coordinators and the one who leads see who else could help." in said
    places.accept(actor=made.actor("Petra"), invitation_id=invitation, today=TODAY)
    said = page(made, "Dilip")
    assert "Petra steadies pot and trunk" in said
    assert "Give the place back" not in said


def test_the_lead_sees_the_helpers_and_may_ask():
    made = trio()
    assert "Ask Dilip" in page(made, "Imke")
    answer = browser(made, "Imke").post(
        f"/bends/{made.bend.pk}/ask", {"member": made.people["Dilip"].pk}, follow=True
    )
    assert "The question is on its way. The first to say yes has the place." in text(answer)
    assert "Asked: Saturday 6 March 2027, 9:15" in text(answer)


def test_who_was_asked_says_yes_on_the_page_and_the_pair_is_complete():
    made = trio()
    for name in ("Dilip", "Petra"):
        places.ask(actor=made.planner, bend_id=made.bend.pk, member_id=made.people[name].pk, today=TODAY)
    mine = page(made, "Petra")
    assert "You are asked to hold at this bend: Saturday 6 March 2027, 9:15" in mine
    asked = Invitation.objects.get(member=made.people["Petra"])
    done = browser(made, "Petra").post(f"/invitations/{asked.pk}/answer", {"answer": "yes"}, follow=True)
    assert "Thank you. The place is yours." in text(done)
    assert Place.objects.get().winner == made.people["Petra"]
    late = Invitation.objects.get(member=made.people["Dilip"])
    told = browser(made, "Dilip").post(f"/invitations/{late.pk}/answer", {"answer": "yes"}, follow=True)
    assert "This place is now someone else's. Thank you for answering." in text(told)
    assert "Imke and Petra, Saturday 6 March 2027, 9:15" in page(made)


def test_without_a_lead_the_page_offers_those_who_may_lead():
    made = world()
    made.add("Imke", "expert")
    made.add("Dilip")
    said = page(made)
    assert "Signed off. Nobody leads it yet." in said
    assert "Imke leads" in said
    assert "Ask Dilip" not in said
    version = Bend.objects.get().version
    answer = browser(made).post(
        f"/bends/{made.bend.pk}/lead", {"member": made.people["Imke"].pk, "version": version}, follow=True
    )
    assert "The lead is written down." in text(answer)
    assert "Ask Dilip" in text(answer)


def test_a_stale_lead_is_asked_about_and_not_overwritten():
    made = trio()
    made.add("Oswin", "expert")
    seen = Bend.objects.get().version
    bends.set_lead(
        actor=made.planner,
        bend_id=made.bend.pk,
        version=seen,
        member_id=made.people["Oswin"].pk,
        today=TODAY,
    )
    answer = browser(made).post(f"/bends/{made.bend.pk}/lead", {"member": "", "version": seen})
    assert answer.status_code == 409
    assert Bend.objects.get().lead == made.people["Oswin"]


def test_a_sign_off_of_what_was_refused_meanwhile_is_asked_about_and_not_written():
    made = world(signed=False)
    made.add("Imke", "expert")
    client = browser(made)
    at, sent = f"/bends/{made.bend.pk}/sign", {"version": str(made.bend.version)}
    assert f'value="{made.bend.version}"' in client.get(f"/bends/{made.bend.pk}").content.decode()
    bends.refuse(actor=made.actor("Imke"), bend_id=made.bend.pk, version=1, why="Old wood.", today=TODAY)
    late = client.post(at, sent)
    assert late.status_code == 409
    assert "Refused: Old wood." in text(late)
    assert "Signed off on Mon 1 Mar 2027" in text(late)
    made.bend.refresh_from_db()
    assert (made.bend.signed_by_id, made.bend.released_by_id) == (None, None)
    choice = {"version": "2", "two_seen": "1", "two_asked": "0"}
    columns = re.search(r'name="two_columns_0" value="([^"]*)"', late.content.decode())
    assert columns is not None
    theirs = choice | {"two_columns_0": columns.group(1), "two_choice_0": "theirs"}
    assert "It stays as it was." in text(client.post(at, theirs, follow=True))
    made.bend.refresh_from_db()
    assert (made.bend.signed_by_id, made.bend.version) == (None, 2)
    client.post(at, theirs | {"two_choice_0": "yours"})
    made.bend.refresh_from_db()
    assert made.bend.signed_by_id == made.bend.released_by_id is not None


def test_a_no_without_a_reason_keeps_the_page_and_one_with_a_reason_stops_the_search():
    made = trio()
    client = browser(made)
    version = Bend.objects.get().version
    empty = client.post(f"/bends/{made.bend.pk}/refuse", {"why": " ", "version": version})
    assert empty.status_code == 400
    assert "Write why, in a few words." in text(empty)
    client.post(f"/bends/{made.bend.pk}/refuse", {"why": "Old wood cracks", "version": version})
    said = text(client.get(f"/bends/{made.bend.pk}"))
    assert "said no: Old wood cracks" in said
    assert "It waits until another coordinator or expert in bends allows it again." in said
    assert "Stop." in said
    assert "Ask Dilip" not in said
    # The refuser has no button to release it; another coordinator has.
    assert "Release the bend" not in said
    other = browser(made)
    assert "Release the bend" in text(other.get(f"/bends/{made.bend.pk}"))
    version = Bend.objects.get().version
    mine = client.post(f"/bends/{made.bend.pk}/release", {"version": version})
    assert mine.status_code == 403
    other.post(f"/bends/{made.bend.pk}/release", {"version": version})
    assert Bend.objects.get().released_by is not None
    assert "Sign the bend off" in text(other.get(f"/bends/{made.bend.pk}"))


def test_a_bend_is_wanted_from_the_trees_page_with_the_branchs_own_thickness():
    made = world()
    branch = Branch.objects.create(
        club=made.site.club, tree=made.tree, label="B2", place="left", diameter_mm=26.0
    )
    client = browser(made)
    assert f"/trees/{made.tree.pk}/bends/new" in client.get(f"/trees/{made.tree.pk}").content.decode()
    form = client.get(f"/trees/{made.tree.pk}/bends/new")
    assert "B2, left, 26 mm" in text(form)
    typed = {
        "branch": branch.pk,
        "method": "Lever bar",
        "radius_mm": "120",
        "opens": "2027-03-08",
        "closes": "2027-03-30",
    }
    answer = client.post(f"/trees/{made.tree.pk}/bends/new", typed, follow=True)
    bend = Bend.objects.latest("pk")
    assert (bend.diameter_mm, bend.branch, bend.radius_mm) == (26.0, branch, 120.0)
    said = text(answer)
    assert "Heavy bend, branch B2" in said
    assert "A lever, jack or clamp under load needs a second person." in said
    assert "The window opens on Monday 8 March 2027 and closes on Tuesday 30 March 2027." in said


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"diameter_mm": ""}, "Write how thick the branch is at the bend, in mm."),
        ({"diameter_mm": "thick"}, "Write a size in mm, like 28."),
        ({"diameter_mm": "900"}, "Write a size up to 400 mm, or leave it empty."),
        ({"closes": "2027-03-01"}, "The window closes before it opens. Write a later closing day."),
        ({"opens": ""}, "Write a day, like 2027-03-06."),
    ],
)
def test_what_is_wrong_is_said_at_its_field_and_what_was_typed_stays(wrong: dict, sentence: str):
    made = world()
    typed = {"diameter_mm": "28", "length_mm": "311", "opens": "2027-03-08", "closes": "2027-03-30"} | wrong
    answer = browser(made).post(f"/trees/{made.tree.pk}/bends/new", typed)
    assert answer.status_code == 400
    assert sentence in text(answer)
    assert 'value="311"' in answer.content.decode()
    assert Bend.objects.count() == 1


def test_the_list_says_how_each_bend_stands_and_leads_to_it():
    made = trio()
    said = text(browser(made, "Dilip").get("/bends"))
    assert "One heavy bend wants people." in said
    assert "everybody" not in said
    assert "A branch, 28 mm" in said
    assert "Imke leads. A second pair of hands is wanted." in said
    assert "/bends" in browser(made).get("/season").content.decode()
    made.job.state, made.job.ended_on = "done", date(2027, 3, 1)
    made.job.save()
    said = text(browser(made).get("/bends"))
    assert "No heavy bend is wanted now." in said
    assert "Done on Mon 1 Mar 2027." in said


def test_a_place_is_given_back_by_the_one_who_has_it():
    made = trio()
    invitation = places.ask(
        actor=made.planner, bend_id=made.bend.pk, member_id=made.people["Dilip"].pk, today=TODAY
    )
    places.accept(actor=made.actor("Dilip"), invitation_id=invitation, today=TODAY)
    assert "Give the place back" in page(made, "Dilip")
    place = Place.objects.get()
    answer = browser(made, "Dilip").post(f"/places/{place.pk}/give-back", follow=True)
    assert "The place is open again, and those who lead are told." in text(answer)


def test_powered_tools_bring_their_own_caution_and_a_lead_who_is_trained():
    made = world(circumstances=["powered_carving"])
    made.add("Imke", "expert")
    said = page(made)
    assert "Powered tools. Full face shield" in said
    assert "Powered tools are used, and this person is not trained for them." in said
    members.declare(
        actor=made.planner,
        member_id=made.people["Imke"].pk,
        kind="power_tools",
        answer=True,
        on=date(2026, 1, 1),
    )
    assert "Imke leads" in page(made)
