"""Places at a bend: asked, accepted once, given back; the pair goes into the day's plan."""

from __future__ import annotations

from datetime import date, time

import pytest

from collection.models import Assignment, Bend, Care, Invitation, Job, Notice, Place, Plan, Workday
from collection.queries.errors import Refused
from collection.queries.sentences import say
from collection.usecases import bends, members, places, plans, workdays
from tests.factories import MemberFactory, TreeFactory, actor_of
from tests.usecases.bend_world import CLOSES, OPENS, TODAY, World, trio, world

pytestmark = pytest.mark.django_db


def refusal(call) -> tuple[str, str]:
    with pytest.raises(Refused) as refused:
        call()
    return refused.value.reason.code, say(refused.value.reason)


def ask(made: World, name: str, actor=None) -> int:
    return places.ask(
        actor=actor or made.planner,
        bend_id=made.bend.pk,
        member_id=made.people[name].pk,
        today=TODAY,
    )


def accept(made: World, name: str, invitation: int) -> None:
    places.accept(actor=made.actor(name), invitation_id=invitation, today=TODAY)


def told(kind: str) -> list[str]:
    return sorted(Notice.objects.filter(kind=kind).values_list("member__name", flat=True))


def test_somebody_asked_hears_of_it_with_day_time_tree_and_lead():
    made = trio()
    ask(made, "Dilip")
    notice = Notice.objects.get(kind="place_asked")
    assert notice.member == made.people["Dilip"]
    said = notice.values
    assert (said["date"], said["starts"], said["tree"], said["lead"]) == (
        "2027-03-06",
        "9:15",
        "2011.007",
        "Imke",
    )
    place = Place.objects.get()
    assert (place.starts, place.job_id, place.workday_id) == (time(9, 15), made.job.pk, made.day)


def test_the_first_to_accept_has_the_place_and_the_other_hears_it_kindly():
    made = trio()
    first, second = ask(made, "Dilip"), ask(made, "Petra")
    assert Place.objects.count() == 1
    accept(made, "Petra", second)
    code, sentence = refusal(lambda: accept(made, "Dilip", first))
    assert code == "place_taken"
    assert sentence == "This place is now someone else's. Thank you for answering."
    assert Place.objects.get().winner == made.people["Petra"]
    assert dict(Invitation.objects.values_list("member__name", "answer")) == {
        "Dilip": "late",
        "Petra": "accepted",
    }
    assert told("place_given") == ["Imke", "Petra"]
    # Saying yes twice changes nothing.
    accept(made, "Petra", second)
    assert Place.objects.get().version == 2


def test_nobody_is_asked_when_the_crew_is_complete():
    made = trio()
    accept(made, "Dilip", ask(made, "Dilip"))
    assert refusal(lambda: ask(made, "Petra"))[0] == "crew_is_complete"


def test_a_bend_for_three_has_two_places_and_each_is_given_once():
    made = trio()
    made.add("Joss")
    Bend.objects.update(crew=3)
    Job.objects.filter(pk=made.job.pk).update(crew=3)
    asked = {name: ask(made, name) for name in ("Dilip", "Petra")}
    assert Place.objects.count() == 1
    accept(made, "Dilip", asked["Dilip"])
    assert refusal(lambda: accept(made, "Petra", asked["Petra"]))[0] == "place_taken"
    accept(made, "Joss", ask(made, "Joss"))
    assert Place.objects.exclude(winner=None).count() == 2
    assert refusal(lambda: ask(made, "Petra"))[0] == "crew_is_complete"
    pin = Plan.objects.order_by("-number")[0].wishes["pins"][0]
    assert pin["people"] == [made.people[name].pk for name in ("Imke", "Dilip", "Joss")]


def test_the_accepted_pair_is_in_the_plan_of_the_day_at_its_time():
    made = trio()
    accept(made, "Petra", ask(made, "Petra"))
    plan = Plan.objects.get()
    assert plan.wishes["pins"] == [
        {"job": made.job.pk, "people": [made.people["Imke"].pk, made.people["Petra"].pk], "start": "09:15"}
    ]
    plans.work_out(plan.pk, effort=0.2)
    seats = Assignment.objects.filter(plan=plan, job=made.job).order_by("id")
    assert [(s.member.name, s.role) for s in seats] == [("Imke", "lead"), ("Petra", "hand")]
    assert {f"{s.starts:%H:%M}" for s in seats} == {"09:15"}


def test_a_place_given_back_is_open_again_and_leaves_the_plan():
    made = trio()
    accept(made, "Dilip", ask(made, "Dilip"))
    place = Place.objects.get()
    stranger = actor_of(MemberFactory(club=made.site.club))
    assert refusal(lambda: places.give_back(actor=stranger, place_id=place.pk))[0] == "coordinators_only"
    places.give_back(actor=made.actor("Dilip"), place_id=place.pk)
    place.refresh_from_db()
    assert place.winner is None
    assert Invitation.objects.get().answer == "declined"
    assert told("place_back") == ["Imke"]
    assert Plan.objects.order_by("-number")[0].wishes["pins"] == []
    accept(made, "Petra", ask(made, "Petra"))
    assert Place.objects.get().winner == made.people["Petra"]
    assert refusal(lambda: places.give_back(actor=made.planner, place_id=9_999))[0] == "not_found"


def test_a_no_and_a_question_taken_back():
    made = trio()
    first, second = ask(made, "Dilip"), ask(made, "Petra")
    places.decline(actor=made.actor("Dilip"), invitation_id=first)
    assert refusal(lambda: places.withdraw(actor=made.actor("Dilip"), invitation_id=second))[0] == (
        "bend_askers_only"
    )
    places.withdraw(actor=made.actor("Imke"), invitation_id=second)
    assert refusal(lambda: accept(made, "Petra", second))[0] == "question_withdrawn"
    assert Place.objects.get().winner is None
    # Asked again after a no: the same question is open again.
    assert ask(made, "Dilip") == first
    assert Invitation.objects.get(pk=first).answer == ""
    assert refusal(lambda: ask(made, "Dilip"))[0] == "asked_already"


def test_a_yes_is_given_back_and_not_declined():
    made = trio()
    invitation = ask(made, "Dilip")
    accept(made, "Dilip", invitation)
    for call in (places.decline, places.withdraw):
        assert refusal(lambda call=call: call(actor=made.planner, invitation_id=invitation))[0] == (
            "place_given_already"
        )


def test_a_coordinator_answers_for_somebody_and_another_member_does_not():
    made = trio()
    invitation = ask(made, "Dilip")
    assert refusal(lambda: accept(made, "Petra", invitation))[0] == "coordinators_only"
    places.accept(actor=made.planner, invitation_id=invitation, today=TODAY)
    assert Place.objects.get().winner == made.people["Dilip"]


def test_the_lead_asks_and_a_member_does_not():
    made = trio()
    assert refusal(lambda: ask(made, "Dilip", made.actor("Petra")))[0] == "bend_askers_only"
    assert ask(made, "Dilip", made.actor("Imke"))


@pytest.mark.parametrize(
    ("spoil", "code"),
    [
        ("no lifting", "helper_cannot"),
        ("nothing said", "helper_cannot"),
        ("novice", "helper_cannot"),
        ("no day", "helper_cannot"),
        ("the lead", "helper_cannot"),
        ("owner", "helper_cannot"),
        ("refused", "helper_cannot"),
        ("unsigned", "needs_sign_off"),
        ("no lead", "bend_needs_lead"),
        ("done", "bend_over"),
    ],
)
def test_whom_or_what_a_hard_stop_holds_is_not_asked(spoil: str, code: str):
    made = trio()
    made.add("Wilma", lifts=False)
    made.add("Quiet", lifts=None)
    made.add("New", "novice")
    made.add("Away", comes=False)
    who = {
        "no lifting": "Wilma",
        "nothing said": "Quiet",
        "novice": "New",
        "no day": "Away",
        "the lead": "Imke",
    }
    if spoil == "owner":
        Care.objects.create(
            club=made.site.club, tree=made.tree, member=made.people["Dilip"], role="owner", ask_first=True
        )
    if spoil == "refused":
        Bend.objects.update(refused_by=made.people["Petra"], refused_why="old wood")
    if spoil == "unsigned":
        Bend.objects.update(signed_by=None)
    if spoil == "no lead":
        Bend.objects.update(lead=None)
    if spoil == "done":
        made.job.state = "done"
        made.job.save()
    assert refusal(lambda: ask(made, who.get(spoil, "Dilip")))[0] == code
    assert not Place.objects.exists()
    assert not Notice.objects.filter(kind="place_asked").exists()


def test_what_changed_after_the_question_is_seen_at_the_answer():
    made = trio()
    invitation = ask(made, "Dilip")
    members.declare(
        actor=made.actor("Dilip"), member_id=made.people["Dilip"].pk, kind="can_lift", answer=False, on=TODAY
    )
    assert refusal(lambda: accept(made, "Dilip", invitation))[0] == "helper_cannot"
    other = ask(made, "Petra")
    workdays.offer_hours(
        actor=made.actor("Petra"),
        workday_id=made.day,
        member_id=made.people["Petra"].pk,
        answer="yes",
        arrives=time(9, 30),
    )
    assert refusal(lambda: accept(made, "Petra", other))[0] == "place_time_gone"
    assert Place.objects.get().winner is None


def test_a_place_moves_to_a_time_that_suits_unless_somebody_thinks_about_the_old_one():
    made = trio()
    made.add("Late", arrives=time(10))
    first = ask(made, "Dilip")
    assert refusal(lambda: ask(made, "Late"))[0] == "asked_for_another_time"
    places.decline(actor=made.actor("Dilip"), invitation_id=first)
    ask(made, "Late")
    assert Place.objects.get().starts == time(10)


def test_without_a_workday_in_the_window_nobody_is_asked():
    made = world()
    made.add("Imke", "expert")
    made.add("Dilip")
    made.lead("Imke")
    Workday.objects.update(state="cancelled")
    for name in ("Imke", "Dilip"):
        made.people[name].habits.create(club=made.site.club, weekday=5, minutes=240, starts=date(2027, 1, 1))
    assert refusal(lambda: ask(made, "Dilip"))[0] == "bend_needs_day"


def test_places_of_a_cancelled_day_do_not_count_as_taken():
    made = trio()
    accept(made, "Dilip", ask(made, "Dilip"))
    Workday.objects.update(state="cancelled")
    later = workdays.create_workday(
        actor=made.planner, site_id=made.site.pk, on=date(2027, 3, 20), opens=time(9), closes=time(14)
    )
    for name in ("Imke", "Petra"):
        workdays.offer_hours(
            actor=made.planner, workday_id=later, member_id=made.people[name].pk, answer="yes"
        )
    ask(made, "Petra")
    assert Place.objects.get(workday_id=later).winner is None


def test_nobody_accepts_two_places_at_one_time():
    made = trio()
    tree = TreeFactory(site=made.site, group="G03")
    other = bends.want_bend(actor=made.planner, tree_id=tree.pk, diameter_mm=25.0, opens=OPENS, closes=CLOSES)
    bend = Bend.objects.get(jobs=other)
    bends.sign_off(actor=made.planner, bend_id=bend.pk, version=bend.version, today=TODAY)
    made.add("Oswin", "expert")
    bends.set_lead(
        actor=made.planner, bend_id=bend.pk, version=2, member_id=made.people["Oswin"].pk, today=TODAY
    )
    here = ask(made, "Dilip")
    there = places.ask(actor=made.planner, bend_id=bend.pk, member_id=made.people["Dilip"].pk, today=TODAY)
    accept(made, "Dilip", here)
    assert refusal(lambda: accept(made, "Dilip", there))[0] in ("place_time_gone", "helper_cannot")
    assert Place.objects.filter(winner=made.people["Dilip"]).count() == 1


def test_who_leaves_gives_every_place_and_question_back():
    made = trio()
    accept(made, "Dilip", ask(made, "Dilip"))
    assert places.free_places_of(actor=made.planner, member_id=made.people["Dilip"].pk) == 1
    assert Place.objects.get().winner is None
