"""Wanting a bend, who leads it, a no and its release by another qualified person."""

from __future__ import annotations

from datetime import date, time

import pytest

from collection.models import Bend, Change, Job, Plan
from collection.queries.errors import Refused
from collection.queries.sentences import say
from collection.usecases import bends, members, places
from tests.factories import MemberFactory, actor_of
from tests.usecases.bend_world import CLOSES, OPENS, TODAY, trio, world

pytestmark = pytest.mark.django_db


def code_of(call) -> str:
    with pytest.raises(Refused) as refused:
        call()
    assert say(refused.value.reason)
    return refused.value.reason.code


def again(bend: Bend) -> Bend:
    bend.refresh_from_db()
    return bend


def test_what_is_said_of_a_bend_asks_for_more_people():
    plain = world(diameter_mm=15.0)
    assert (plain.job.crew, plain.job.estimate.crew_reasons) == (2, [])
    trunk = world(diameter_mm=30.0, circumstances=["trunk_bend", "pot_must_be_held", "lever_under_load"])
    assert trunk.job.crew == 3
    codes = {reason["code"] for reason in trunk.job.estimate.crew_reasons}
    assert codes == {"crew_bend", "crew_trunk", "crew_tool", "crew_table"}


@pytest.mark.parametrize(
    ("fields", "code"),
    [
        ({"diameter_mm": 0.0}, "size_range"),
        ({"length_mm": -1.0}, "size_range"),
        ({"radius_mm": 6000.0}, "size_range"),
        ({"circumstances": ["moonlight"]}, "circumstance_unknown"),
        ({"closes": date(2027, 1, 1)}, "window_order"),
        ({"branch_id": 999_999}, "not_found"),
    ],
)
def test_a_bend_that_cannot_be_is_refused_and_nothing_is_kept(fields: dict, code: str):
    made = world()
    wanted = {"diameter_mm": 25.0, "opens": OPENS, "closes": CLOSES} | fields
    assert code_of(lambda: bends.want_bend(actor=made.planner, tree_id=made.tree.pk, **wanted)) == code
    assert Bend.objects.count() == 1


def test_a_member_wants_no_bend():
    made = world()
    member = actor_of(MemberFactory(club=made.site.club))
    wanted = {"tree_id": made.tree.pk, "diameter_mm": 25.0, "opens": OPENS, "closes": CLOSES}
    assert code_of(lambda: bends.want_bend(actor=member, **wanted)) == "coordinators_only"


def test_a_refused_bend_is_released_by_another_than_the_refuser_and_then_needs_a_sign_off():
    made = world()
    made.add("Imke", "expert")
    expert = made.actor("Imke")
    bend = again(made.bend)
    bends.refuse(actor=made.planner, bend_id=bend.pk, version=bend.version, why=" old wood ", today=TODAY)
    again(bend)
    assert (bend.refused_why, bend.signed_by_id, bend.signed_on) == ("old wood", None, None)

    def release(actor):
        return lambda: bends.release(actor=actor, bend_id=bend.pk, version=bend.version, today=TODAY)

    assert code_of(release(made.planner)) == "release_by_another"
    member = actor_of(MemberFactory(club=made.site.club))
    assert code_of(release(member)) == "bend_judges_only"

    def sign(version: int):
        return lambda: bends.sign_off(actor=made.planner, bend_id=bend.pk, version=version, today=TODAY)

    assert code_of(sign(bend.version)) == "release_by_another"
    release(expert)()
    again(bend)
    assert (bend.released_by_id, bend.signed_by_id) == (expert.member_id, None)
    assert code_of(sign(bend.version - 1)) == "stale"
    sign(bend.version)()
    assert again(bend).signed_by_id == made.planner.member_id
    assert code_of(release(expert)) == "bend_not_refused"


def test_a_second_no_takes_the_release_back():
    made = world()
    made.add("Imke", "expert")
    other = actor_of(MemberFactory(club=made.site.club, coordinator=True))
    bend = again(made.bend)
    bends.refuse(actor=made.planner, bend_id=bend.pk, version=bend.version, why="old wood", today=TODAY)
    bends.release(actor=other, bend_id=bend.pk, version=again(bend).version, today=TODAY)
    bends.refuse(
        actor=made.actor("Imke"), bend_id=bend.pk, version=again(bend).version, why="cracks", today=TODAY
    )
    again(bend)
    assert (bend.released_by_id, bend.refused_by_id) == (None, made.people["Imke"].pk)


def test_a_no_needs_a_reason_and_a_fresh_view_and_is_in_the_trail():
    made = world()
    bend = again(made.bend)
    seen = bend.version

    def refuse(why: str, version: int):
        return lambda: bends.refuse(
            actor=made.planner, bend_id=bend.pk, version=version, why=why, today=TODAY
        )

    assert code_of(refuse("  ", seen)) == "reason_needed"
    assert code_of(refuse("old wood", seen - 1)) == "stale"
    refuse("old wood", seen)()
    change = Change.objects.filter(table="bend", row=bend.pk).order_by("-id")[0]
    assert change.after["refused_why"] == "old wood"
    assert change.who_id == made.planner.member_id


def test_only_an_expert_who_can_hold_and_is_free_leads():
    made = world()
    made.add("Imke", "expert")
    made.add("Dilip")
    made.add("Wilma", "expert", lifts=False)
    bend = again(made.bend)

    def lead(name: str, version: int | None = None):
        return lambda: bends.set_lead(
            actor=made.planner,
            bend_id=bend.pk,
            version=version or again(bend).version,
            member_id=made.people[name].pk,
            today=TODAY,
        )

    assert code_of(lead("Dilip")) == "level_too_low"
    assert code_of(lead("Wilma")) == "lead_not_free"
    assert code_of(lead("Imke", again(bend).version - 1)) == "stale"
    lead("Imke")()
    assert again(bend).lead_id == made.people["Imke"].pk
    stranger = MemberFactory()
    made.people["stranger"] = stranger
    assert code_of(lead("stranger")) == "not_found"


def test_a_new_lead_must_be_free_when_somebody_was_asked_and_takes_the_pair_over():
    made = trio()
    made.add("Late", "expert", arrives=time(12))
    made.add("Other", "expert")
    invitation = places.ask(
        actor=made.planner, bend_id=made.bend.pk, member_id=made.people["Dilip"].pk, today=TODAY
    )
    with pytest.raises(Refused) as refused:
        made.lead("Late")
    assert refused.value.reason.code == "lead_not_free_then"
    places.accept(actor=made.actor("Dilip"), invitation_id=invitation, today=TODAY)
    with pytest.raises(Refused) as refused:
        made.lead("Late")
    assert refused.value.reason.code == "lead_not_free_then"
    made.lead("Other")
    pins = Plan.objects.order_by("-number")[0].wishes["pins"]
    assert pins[0]["people"] == [made.people["Other"].pk, made.people["Dilip"].pk]


def test_a_bend_that_is_done_is_not_judged_and_not_led():
    made = trio()
    Job.objects.filter(pk=made.job.pk).update(state="done")
    bend = again(made.bend)
    assert (
        code_of(
            lambda: bends.refuse(
                actor=made.planner, bend_id=bend.pk, version=bend.version, why="no", today=TODAY
            )
        )
        == "bend_over"
    )
    assert (
        code_of(
            lambda: bends.set_lead(
                actor=made.planner, bend_id=bend.pk, version=bend.version, member_id=None, today=TODAY
            )
        )
        == "bend_over"
    )


def test_another_clubs_bend_is_no_bend():
    made, other = trio(), world()
    for call in (
        lambda: bends.sign_off(actor=other.planner, bend_id=made.bend.pk, version=1, today=TODAY),
        lambda: bends.refuse(actor=other.planner, bend_id=made.bend.pk, version=1, why="no", today=TODAY),
        lambda: bends.release(actor=other.planner, bend_id=made.bend.pk, version=1, today=TODAY),
        lambda: places.ask(actor=other.planner, bend_id=made.bend.pk, member_id=1, today=TODAY),
    ):
        assert code_of(call) == "not_found"


def test_a_level_that_runs_out_of_date_is_the_newest_one():
    made = world()
    person = made.add("Imke", "expert")
    members.set_skill(actor=made.planner, member_id=person, family="bending", level="practised", since=TODAY)
    with pytest.raises(Refused) as refused:
        made.lead("Imke")
    assert refused.value.reason.code == "level_too_low"
