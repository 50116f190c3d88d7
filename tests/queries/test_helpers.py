"""The search for helpers reads the club's rows: each line of the points, each day, each hard stop."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from collection.craft.reasons import Reason
from collection.models import Assignment, Bend, Care, Declaration, Member, Sitting, Tree, TreeEvent, Workday
from collection.planning.helper_facts import Hand
from collection.queries.access import Actor
from collection.queries.bend_case import wanted
from collection.queries.bends import bend_list, bend_sheet
from collection.queries.errors import Refused
from collection.queries.find_number import find
from collection.queries.helpers import helpers_of
from collection.usecases import bends, places, sittings, workdays
from collection.usecases.sittings import TaskDone, Worked
from tests.factories import JobFactory, PlanFactory, SiteFactory, TreeFactory, WorkdayFactory
from tests.usecases.bend_world import CLOSES, DAY, OPENS, TODAY, World, trio, world

pytestmark = pytest.mark.django_db


def hand(made: World, name: str) -> Hand:
    return wanted(made.planner, made.bend.pk, today=TODAY).case.hand(made.people[name].pk)


def worked(
    made: World, tree: Tree, *names: str, task: str = "TRIM", ago: int = 30, minutes: float = 60.0
) -> None:
    began = datetime(2027, 3, 1, 9, tzinfo=UTC) - timedelta(days=ago)
    sittings.record(
        actor=made.planner,
        trees=[tree.pk],
        tasks=[TaskDone(task)],
        people=[Worked(made.people[name].pk, minutes) for name in names],
        started=began,
        ended=began + timedelta(minutes=minutes),
        request_key=f"{tree.pk}-{task}-{ago}-{names}",
    )


def test_bends_tree_hours_and_partners_come_from_the_sittings():
    made = trio()
    juniper, pine = TreeFactory(site=made.site, group="G03"), TreeFactory(site=made.site, group="G01")
    worked(made, juniper, "Dilip", "Imke", task="HEAVY_BEND", ago=200)
    worked(made, pine, "Dilip", task="HEAVY_BEND", ago=500, minutes=90)
    worked(made, made.tree, "Petra", ago=300)
    worked(made, made.tree, "Dilip", ago=20, minutes=30)
    dilip, petra = hand(made, "Dilip"), hand(made, "Petra")
    assert (dilip.bends_on_group, dilip.bends_any) == (1, 2)
    assert (petra.bends_on_group, petra.bends_any) == (0, 0)
    assert (dilip.tree_before, dilip.tree_last) == (True, True)
    assert (petra.tree_before, petra.tree_last) == (True, False)
    assert dilip.worked_with == {made.people["Imke"].pk}
    # The bend of 500 days ago is no hour of the past year.
    assert (dilip.hours_given, petra.hours_given) == (1.5, 1.0)
    # Carol, Imke (1 h), Dilip and Petra share 3.5 h.
    assert wanted(made.planner, made.bend.pk, today=TODAY).case.average_h == pytest.approx(3.5 / 4)


def test_a_corrected_sitting_counts_no_more():
    made = trio()
    worked(made, made.tree, "Dilip", task="HEAVY_BEND", ago=200)
    old = Sitting.objects.get()
    began = old.started
    Sitting.objects.create(
        club=old.club, tree=old.tree, started=began, ended=began, corrects=old, request_key="again"
    )
    assert (hand(made, "Dilip").bends_any, hand(made, "Dilip").tree_before) == (0, False)


@pytest.mark.parametrize(
    ("answers", "expected"),
    [
        ([], None),
        ([(True, date(2026, 1, 1), None)], True),
        ([(True, date(2026, 1, 1), None), (False, date(2026, 6, 1), None)], False),
        ([(False, date(2026, 1, 1), None), (True, date(2026, 6, 1), date(2026, 12, 31))], False),
        ([(True, date(2026, 1, 1), date(2026, 12, 31))], None),
        ([(True, date(2027, 6, 1), None)], None),
    ],
)
def test_lifting_is_the_newest_answer_that_is_valid_today(answers: list, expected: bool | None):
    made = world()
    made.add("Wilma", lifts=None)
    for answer, given, until in answers:
        Declaration.objects.create(
            club=made.site.club,
            member=made.people["Wilma"],
            kind="can_lift",
            answer=answer,
            given_on=given,
            until=until,
        )
    assert hand(made, "Wilma").can_lift is expected


def days(made: World):
    return wanted(made.planner, made.bend.pk, today=TODAY).case.days


def test_hours_are_those_offered_with_briefing_and_closing_taken_out():
    made = trio()
    made.add("Late", arrives=time(10, 2), leaves=time(12, 58))
    [found] = days(made)
    # 9:00 to 14:00 with 15 min of briefing and 30 min of closing; 10:02 to 12:58 in steps of five.
    assert found.hours[made.people["Dilip"].pk] == (9 * 60 + 15, 13 * 60 + 30)
    assert found.hours[made.people["Late"].pk] == (10 * 60 + 5, 12 * 60 + 55)


def test_only_days_in_the_window_that_are_open_or_sent_and_people_who_said_yes():
    made = trio()
    for on, state in ((date(2027, 3, 13), "draft"), (date(2027, 4, 3), "open"), (date(2027, 3, 27), "sent")):
        WorkdayFactory(site=made.site, date=on, state=state)
    workdays.offer_hours(
        actor=made.planner, workday_id=made.day, member_id=made.people["Petra"].pk, answer="perhaps"
    )
    first, second = days(made)
    assert (first.date, second.date) == (DAY, date(2027, 3, 27))
    assert set(first.hours) == {made.people["Imke"].pk, made.people["Dilip"].pk}
    PlanFactory(workday_id=made.day, club=made.site.club, wishes={"away": [made.people["Dilip"].pk]})
    assert set(days(made)[0].hours) == {made.people["Imke"].pk}


def test_a_held_step_of_a_plan_sent_out_is_promised_and_one_of_this_bend_is_not():
    made = trio()
    plan = PlanFactory(workday_id=made.day, club=made.site.club)
    other = JobFactory(tree=TreeFactory(site=made.site))
    for job, confirmed in ((other, True), (made.job, True), (other, False)):
        Assignment.objects.create(
            club=made.site.club,
            plan=plan if confirmed else PlanFactory(workday_id=made.day, club=made.site.club),
            job=job,
            member=made.people["Dilip"],
            person_key="member:1" if job is other and confirmed else "member:2",
            role="hand",
            starts=datetime(2027, 3, 6, 10, tzinfo=UTC),
            ends=datetime(2027, 3, 6, 12, tzinfo=UTC),
            held_from=datetime(2027, 3, 6, 10, 30, tzinfo=UTC),
            held_to=datetime(2027, 3, 6, 11, tzinfo=UTC),
            confirmed=confirmed,
        )
    [found] = days(made)
    assert found.held == {made.people["Dilip"].pk: ((630, 660),)}


def test_a_rule_a_loan_or_another_place_holds_a_day():
    made = trio()
    tree = made.tree
    assert days(made)[0].holds == ()
    Tree.objects.filter(pk=tree.pk).update(condition="weak")
    assert days(made)[0].holds[0].code == "tree_is_weak"
    Tree.objects.filter(pk=tree.pk).update(condition="sound")
    TreeEvent.objects.create(
        club=made.site.club, tree=tree, kind="lent", on=date(2027, 3, 2), until=date(2027, 3, 9), cause="Joss"
    )
    assert [r.code for r in days(made)[0].holds] == ["tree_away"]
    TreeEvent.objects.create(club=made.site.club, tree=tree, kind="back", on=date(2027, 3, 3))
    assert days(made)[0].holds == ()
    Tree.objects.filter(pk=tree.pk).update(site=SiteFactory(club=made.site.club))
    assert [r.code for r in days(made)[0].holds] == ["tree_not_here"]


def test_the_owners_no_stops_the_bend_and_a_yes_that_ends_holds_the_days_after():
    made = trio()
    care = Care.objects.create(
        club=made.site.club, tree=made.tree, member=made.people["Petra"], role="owner", ask_first=True
    )
    case = wanted(made.planner, made.bend.pk, today=TODAY).case
    assert case.bend.stops == (Reason.of("needs_consent", owner="Petra"),)
    care.consent_until = date(2027, 3, 5)
    care.save()
    case = wanted(made.planner, made.bend.pk, today=TODAY).case
    assert case.bend.stops == ()
    assert "consent_runs_out" in [r.code for r in case.days[0].holds]


def test_without_a_workday_in_the_window_peoples_usual_days_are_taken():
    made = world()
    made.add("Imke", "expert", comes=False)
    made.add("Dilip", comes=False)
    made.add("Alone", comes=False)
    Workday.objects.all().delete()
    for name, weekday in (("Imke", 5), ("Dilip", 5), ("Alone", 2)):
        made.people[name].habits.create(
            club=made.site.club, weekday=weekday, minutes=183, starts=date(2027, 1, 1)
        )
    found = days(made)
    assert [d.date for d in found] == [date(2027, 3, d) for d in (6, 13, 20, 27)]
    assert {d.dated for d in found} == {False}
    assert found[0].hours == {made.people["Imke"].pk: (0, 180), made.people["Dilip"].pk: (0, 180)}
    told = helpers_of(wanted(made.planner, made.bend.pk, today=TODAY))
    assert told.when == "Saturday 6 March 2027, hour to be agreed"


def test_somebody_who_left_before_the_day_is_not_there():
    made = trio()
    Member.objects.filter(pk=made.people["Dilip"].pk).update(active_to=date(2027, 3, 4))
    assert made.people["Dilip"].pk not in days(made)[0].hours
    Member.objects.filter(pk=made.people["Petra"].pk).update(active_to=date(2027, 2, 1))
    assert not hand(made, "Petra").active


def test_reasons_are_for_coordinators_and_the_lead_only():
    made = trio()
    made.add("Wilma", lifts=False)

    def seen(actor: Actor):
        return bend_sheet(actor, made.bend.pk, today=TODAY)

    for actor in (made.planner, made.actor("Imke")):
        helpers = seen(actor).helpers
        assert helpers is not None
        assert [(p.name, p.why) for p in helpers.left_out] == [("Wilma", ("Asked for no lifting.",))]
        assert [c.name for c in helpers.helpers] == ["Dilip", "Petra"]
    places.ask(actor=made.planner, bend_id=made.bend.pk, member_id=made.people["Petra"].pk, today=TODAY)
    member = seen(made.actor("Dilip"))
    assert member.helpers is None
    assert (member.team.asked, member.team.mine) == ((), ())
    assert "Petra" not in member.state
    asked = seen(made.actor("Petra"))
    assert [q.name for q in asked.team.mine] == ["Petra"]
    assert "Petra" in seen(made.planner).state


def test_the_points_open_at_an_address_for_those_who_may_see_them():
    made = trio()
    key = f"{made.bend.pk}~{made.people['Imke'].pk}~{made.people['Dilip'].pk}"
    found = find(made.planner, "helper", key, today=TODAY)
    shown = bend_sheet(made.planner, made.bend.pk, today=TODAY).helpers
    assert shown is not None
    assert found.number == shown.helpers[0].number
    assert found.number.value == sum(line.value for line in found.number.lines) == 40
    assert find(made.actor("Imke"), "bend-lead", f"{made.bend.pk}~{made.people['Imke'].pk}", today=TODAY)
    for actor, kind, wrong in (
        (made.actor("Dilip"), "helper", key),
        (made.planner, "helper", f"{made.bend.pk}~{made.people['Dilip'].pk}~{made.people['Imke'].pk}"),
        (made.planner, "helper", str(made.bend.pk)),
        (made.planner, "bend-lead", f"{made.bend.pk}~{made.people['Dilip'].pk}"),
        (made.planner, "helper", "1~x~2"),
        (world().planner, "helper", key),
    ):
        with pytest.raises(Refused) as refused:
            find(actor, kind, wrong, today=TODAY)
        assert refused.value.kind == "not_found"


def test_the_number_of_queries_does_not_grow_with_people_days_and_bends():
    made = trio()

    def cost(call) -> int:
        call()
        with CaptureQueriesContext(connection) as taken:
            call()
        return len(taken)

    def both() -> tuple[int, int]:
        return (
            cost(lambda: bend_sheet(made.planner, made.bend.pk, today=TODAY)),
            cost(lambda: bend_list(made.planner, today=TODAY)),
        )

    invitation = places.ask(
        actor=made.planner, bend_id=made.bend.pk, member_id=made.people["Dilip"].pk, today=TODAY
    )
    few = both()
    for n in range(6):
        made.add(f"More {n}", "expert" if n % 2 else "practised")
        tree = TreeFactory(site=made.site, group="G03")
        bends.want_bend(actor=made.planner, tree_id=tree.pk, diameter_mm=25.0, opens=OPENS, closes=CLOSES)
        workdays.create_workday(
            actor=made.planner,
            site_id=made.site.pk,
            on=date(2027, 3, 10 + n),
            opens=time(9),
            closes=time(14),
        )
        worked(made, tree, f"More {n}", "Imke", task="HEAVY_BEND", ago=100 + n)
        worked(made, made.tree, f"More {n}", ago=10 + n)
        places.ask(
            actor=made.planner, bend_id=made.bend.pk, member_id=made.people[f"More {n}"].pk, today=TODAY
        )
    assert both() == few
    assert max(few) <= 40
    assert invitation


def test_a_bends_state_is_told_step_by_step():
    made = world(signed=False)
    for name, level in (("Imke", "expert"), ("Dilip", "practised"), ("Petra", "practised")):
        made.add(name, level)

    def state() -> str:
        [row] = bend_list(made.planner, today=TODAY)
        sheet = bend_sheet(made.planner, made.bend.pk, today=TODAY)
        assert row.state == sheet.state
        return row.state

    assert state() == "It waits for a sign-off."
    bends.sign_off(actor=made.planner, bend_id=made.bend.pk, version=made.bend.version, today=TODAY)
    assert state() == "Signed off. Nobody leads it yet."
    made.lead("Imke")
    assert state() == "Imke leads. A second pair of hands is wanted."
    first = places.ask(
        actor=made.planner, bend_id=made.bend.pk, member_id=made.people["Dilip"].pk, today=TODAY
    )
    assert state() == "Imke leads. Dilip has been asked."
    places.accept(actor=made.actor("Dilip"), invitation_id=first, today=TODAY)
    assert state().startswith("Imke and Dilip, Saturday 6 March 2027, 9:15 to ")
    bend = Bend.objects.get(pk=made.bend.pk)
    bends.refuse(actor=made.planner, bend_id=bend.pk, version=bend.version, why="Old wood", today=TODAY)
    assert state() == "Carol said no: Old wood"
    worked(made, made.tree, "Imke", "Dilip", task="HEAVY_BEND", ago=0)
    assert state() == "Done on Mon 1 Mar 2027."
