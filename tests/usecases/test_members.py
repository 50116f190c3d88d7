"""People of a club: joining, changing, their part in it, and how they are reached."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from collection.models import Change, Contact, Declaration, Member, MemberSkill
from collection.queries import access
from collection.queries.access import Actor
from collection.queries.errors import Refused
from collection.queries.people import declared
from collection.queries.sentences import say
from collection.usecases import members
from tests.factories import ClubFactory, MemberFactory, actor_of

pytestmark = pytest.mark.django_db
TODAY = date(2027, 3, 3)


@pytest.fixture
def club():
    return ClubFactory()


@pytest.fixture
def admin(club) -> Actor:
    return actor_of(MemberFactory(club=club, role="admin", name="Edith Mossgrave"))


@pytest.fixture
def planner(club) -> Actor:
    return actor_of(MemberFactory(club=club, coordinator=True, name="Anselm Roper"))


@pytest.fixture
def member(club) -> Member:
    return MemberFactory(club=club, name="Wilma Sand")


def refused(call) -> tuple[str, str, str]:
    with pytest.raises(Refused) as caught:
        call()
    assert say(caught.value.reason)
    return caught.value.reason.code, caught.value.kind, caught.value.field


def test_a_coordinator_adds_a_person_with_contact_and_the_trail_keeps_no_address(planner):
    pk = members.add_member(
        actor=planner, name="  Joss   Alder ", today=TODAY, email="Joss@Example.org", telephone="01 23 45"
    )
    joined = Member.objects.get(pk=pk)
    assert (joined.name, joined.role, joined.active_from) == ("Joss Alder", "member", TODAY)
    assert (joined.contact.email, joined.contact.telephone) == ("joss@example.org", "01 23 45")
    members.change_contact(
        actor=planner, member_id=pk, version=1, email="j@example.org", telephone="01 23 45"
    )
    trail = [str(row.after) + str(row.before) for row in Change.objects.filter(club_id=planner.club_id)]
    assert not any("example.org" in line for line in trail)
    lines = Change.objects.filter(table="contact").order_by("id")
    assert [line.after for line in lines] == [{"email": None, "telephone": None}, {"email": None}]


@pytest.mark.parametrize(
    ("fields", "expected"),
    [
        ({"name": " "}, ("member_name_needed", "invalid", "name")),
        ({"name": "x" * 81}, ("member_name_needed", "invalid", "name")),
        ({"name": "Wilma Sand"}, ("member_name_taken", "conflict", "name")),
        ({"role": "king"}, ("role_unknown", "invalid", "role")),
        ({"role": "coordinator"}, ("club_admins_only", "forbidden", "")),
        ({"email": "not an address"}, ("email_unreadable", "invalid", "email")),
        ({"telephone": "ring me"}, ("telephone_unreadable", "invalid", "telephone")),
    ],
)
def test_a_person_is_not_added_with(planner, member, fields, expected):
    before = Member.objects.count()
    values = {"name": "Joss Alder", **fields}
    assert refused(lambda: members.add_member(actor=planner, today=TODAY, **values)) == expected
    assert Member.objects.count() == before


def test_a_name_is_changed_once_and_a_stale_page_changes_nothing(planner, member):
    members.change_member(actor=planner, member_id=member.pk, version=1, today=TODAY, name="Wilma Sande")
    stale = refused(
        lambda: members.change_member(actor=planner, member_id=member.pk, version=1, today=TODAY, name="W")
    )
    assert stale == ("stale", "stale", "")
    member.refresh_from_db()
    assert (member.name, member.version) == ("Wilma Sande", 2)
    assert Change.objects.get(table="member", row=member.pk).after == {"name": "Wilma Sande"}


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"active_to": date(2019, 1, 1)}, "member_dates"),
        ({"active_to": date(2027, 3, 2)}, "leave_instead"),
        ({"name": "Anselm Roper"}, "member_name_taken"),
        ({"role": "admin"}, "field_unknown"),
    ],
)
def test_a_change_is_refused(planner, member, changes, code):
    call = lambda: members.change_member(  # noqa: E731
        actor=planner, member_id=member.pk, version=1, today=TODAY, **changes
    )
    assert refused(call)[0] == code


@pytest.mark.parametrize("use", ["add", "change", "role", "back", "sign_in", "contact", "skill", "declare"])
def test_a_member_changes_nobody_else(club, member, use):
    actor, other = actor_of(member), MemberFactory(club=club)
    who = {"actor": actor, "member_id": other.pk}
    calls = {
        "add": lambda: members.add_member(actor=actor, name="X", today=TODAY),
        "change": lambda: members.change_member(**who, version=1, today=TODAY, name="X"),
        "role": lambda: members.change_role(**who, version=1, role="bench_lead", today=TODAY),
        "back": lambda: members.come_back(**who, version=1, today=TODAY),
        "sign_in": lambda: members.give_sign_in(**who, email="x@example.org", password=None),
        "contact": lambda: members.change_contact(**who, version=1, email="", telephone="1"),
        "skill": lambda: members.set_skill(**who, family="wiring", level="expert", since=TODAY),
        "declare": lambda: members.declare(**who, kind="can_lift", answer=True, on=TODAY),
    }
    assert refused(calls[use])[:2] == ("coordinators_only", "forbidden")


def test_another_clubs_person_is_no_person(admin):
    stranger = MemberFactory()
    who = {"actor": admin, "member_id": stranger.pk}
    for call in (
        lambda: members.change_member(**who, version=1, today=TODAY, name="X"),
        lambda: members.change_role(**who, version=1, role="admin", today=TODAY),
        lambda: members.come_back(**who, version=1, today=TODAY),
        lambda: members.change_contact(**who, version=1, email="", telephone=""),
        lambda: members.erase_contact(**who),
        lambda: members.want_mail(**who, version=1, wants=False),
        lambda: members.set_skill(**who, family="wiring", level="expert", since=TODAY),
        lambda: members.declare(**who, kind="can_lift", answer=True, on=TODAY),
        lambda: members.forget_declaration(**who, kind="can_lift"),
    ):
        assert refused(call)[:2] == ("not_found", "not_found")


@pytest.mark.parametrize(
    ("old", "new", "may"),
    [
        ("member", "bench_lead", True),
        ("bench_lead", "member", True),
        ("member", "coordinator", False),
        ("member", "admin", False),
        ("coordinator", "member", False),
        ("admin", "bench_lead", False),
    ],
)
def test_only_a_club_admin_names_coordinators_and_admins(club, admin, planner, old, new, may):
    who = MemberFactory(club=club, role=old)
    change = {"member_id": who.pk, "version": 1, "role": new, "today": TODAY}
    if may:
        members.change_role(actor=planner, **change)
    else:
        assert refused(lambda: members.change_role(actor=planner, **change))[0] == "club_admins_only"
        members.change_role(actor=admin, **change)
    who.refresh_from_db()
    assert who.role == new


def test_the_last_admin_who_can_sign_in_does_not_step_down(club, admin):
    MemberFactory(club=club, role="admin", account=None)
    MemberFactory(club=club, role="admin", active_to=date(2027, 6, 1))
    step = {"member_id": admin.member_id, "role": "member", "today": TODAY}
    assert refused(lambda: members.change_role(actor=admin, version=1, **step))[0] == "last_admin"
    ends = {"member_id": admin.member_id, "active_to": date(2027, 12, 1), "today": TODAY}
    assert refused(lambda: members.change_member(actor=admin, version=1, **ends))[0] == "last_admin"
    MemberFactory(club=club, role="admin")
    members.change_role(actor=admin, version=1, **step)
    assert Member.objects.get(pk=admin.member_id).role == "member"


def test_who_left_comes_back_and_who_is_here_cannot(planner, club):
    gone = MemberFactory(club=club, active_to=date(2026, 1, 1))
    members.come_back(actor=planner, member_id=gone.pk, version=1, today=TODAY)
    gone.refresh_from_db()
    assert (gone.active_to, gone.version) == (None, 2)
    again = refused(lambda: members.come_back(actor=planner, member_id=gone.pk, version=2, today=TODAY))
    assert again[:2] == ("has_not_left", "conflict")


def test_a_person_keeps_his_own_contact_and_may_erase_it(member):
    me = actor_of(member)
    members.change_contact(actor=me, member_id=member.pk, version=0, email="w@example.org", telephone="12")
    members.erase_contact(actor=me, member_id=member.pk)
    contact = Contact.objects.get(member=member)
    assert (contact.email, contact.telephone, contact.version) == ("", "", 2)
    late = refused(
        lambda: members.change_contact(
            actor=me, member_id=member.pk, version=1, email="w@example.org", telephone=""
        )
    )
    assert late[0] == "stale"


def test_a_person_says_whether_he_wants_mail(member):
    members.want_mail(actor=actor_of(member), member_id=member.pk, version=1, wants=False)
    member.refresh_from_db()
    assert not member.wants_mail


def test_an_answer_is_dated_the_newest_counts_and_all_can_be_taken_away(member):
    me = {"actor": actor_of(member), "member_id": member.pk, "kind": "can_lift"}
    members.declare(**me, answer=True, on=date(2026, 1, 1))
    members.declare(**me, answer=False, on=TODAY)
    assert declared([member.pk], "can_lift", TODAY) == frozenset()
    assert declared([member.pk], "can_lift", date(2026, 6, 1)) == {member.pk}
    members.forget_declaration(**me)
    assert not Declaration.objects.filter(member=member).exists()
    trail = Change.objects.filter(table="declaration")
    assert trail.count() == 4
    assert not any("answer" in {**row.before, **row.after} for row in trail)


def test_a_level_is_kept_with_its_day_and_who_said_it(planner, member):
    for level, since in (("learning", date(2026, 1, 1)), ("practised", TODAY)):
        members.set_skill(actor=planner, member_id=member.pk, family="wiring", level=level, since=since)
    rows = MemberSkill.objects.filter(member=member).order_by("since")
    assert [(row.level, row.by_id) for row in rows] == [
        ("learning", planner.member_id),
        ("practised", planner.member_id),
    ]


@pytest.mark.parametrize(
    "change",
    [
        lambda who: members.change_member(**who, version=1, today=TODAY, active_from=date(2099, 1, 1)),
        lambda who: members.change_member(**who, version=1, today=TODAY, active_to=TODAY),
        lambda who: members.change_contact(**who, version=0, email="o@example.org", telephone=""),
    ],
    ids=["starts later", "last day", "e-mail"],
)
def test_a_coordinator_does_not_shut_an_admin_out(admin, planner, club, change):
    other = MemberFactory(club=club, role="admin", name="Tamsin Reed")
    with pytest.raises(Refused) as refused:
        change({"actor": planner, "member_id": other.pk})
    assert refused.value.reason.code == "club_admins_only"
    change({"actor": admin, "member_id": other.pk})


def test_the_last_admin_does_not_start_later(admin):
    with pytest.raises(Refused) as refused:
        members.change_member(
            actor=admin, member_id=admin.member_id, version=1, today=TODAY, active_from=date(2099, 1, 1)
        )
    assert refused.value.reason.code == "last_admin"


@pytest.mark.parametrize(
    ("zone", "now", "inside"),
    [
        ("Australia/Melbourne", datetime(2027, 3, 2, 14, tzinfo=UTC), True),  # the 3rd there
        ("Australia/Melbourne", datetime(2027, 3, 2, 12, tzinfo=UTC), False),
        ("America/Los_Angeles", datetime(2027, 3, 4, 2, tzinfo=UTC), True),  # still the 3rd
        ("America/Los_Angeles", datetime(2027, 3, 4, 9, tzinfo=UTC), False),
    ],
)
def test_membership_goes_by_the_clubs_own_date(zone, now, inside, time_machine):
    found = MemberFactory(club=ClubFactory(zone=zone), active_from=TODAY, active_to=TODAY)
    time_machine.move_to(now, tick=False)
    if inside:
        assert access.actor_of(found.account).member_id == found.pk
    else:
        with pytest.raises(Refused):
            access.actor_of(found.account)
