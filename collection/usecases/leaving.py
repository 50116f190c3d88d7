"""Leaving the club: one use case for a member's trees, days, places, messages and sign-in.

What he did stays on record: sittings, counts, who wrote what. All of the rest is settled in one
transaction, or nothing is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta

from django.db import transaction

from collection.models import (
    Account,
    Assignment,
    Bend,
    Care,
    Declaration,
    Member,
    Message,
    Offer,
    ProgramKey,
    Workday,
)
from collection.queries.access import Actor
from collection.queries.errors import Refused
from collection.queries.leaving import (
    COMING,
    brought_by,
    care_rows,
    led_bends,
    may_settle,
    open_habits,
    other_owners,
    unsent_notices,
)
from collection.queries.people import active
from collection.usecases.bends import set_lead
from collection.usecases.care import end_care, set_care
from collection.usecases.edit import edit, note
from collection.usecases.habits import end_habit
from collection.usecases.locks import lock
from collection.usecases.members import erase_contact, keep_an_admin
from collection.usecases.offers import offer_hours, out_of_date
from collection.usecases.places import free_places_of
from collection.usecases.tree_events import take_out


@transaction.atomic
def leave(
    *,
    actor: Actor,
    member_id: int,
    version: int,
    today: date,
    owned: Mapping[int, int | None],
    cared: Mapping[int, int | None],
) -> bool:
    """A member leaves today: he himself says so, or a coordinator.

    Args:
        owned: For each tree he owns alone, who owns it from now on; None takes it out of the club.
        cared: For trees he cares for, who cares for them; None or left out for nobody.

    Returns:
        Whether his sign-in stays, because it opens another club.

    Raises:
        Refused: ``coordinators_only``, ``club_admins_only``, ``not_found``, ``stale``, ``last_admin``,
            ``tree_unsettled`` or ``tree_receiver`` for somebody who is no member now.
    """
    member = may_settle(actor, member_id)
    if member.role == Member.Role.ADMIN:
        keep_an_admin(member, today)
    account = member.account_id
    lock(Bend.objects.filter(lead=member))
    lock(Workday.objects.filter(club_id=member.club_id, date__gte=today, state__in=COMING))
    lock(Account.objects.filter(pk=account or 0))
    _leave_the_list(actor, member, version, today)
    # Whoever may leave may settle what he leaves behind, though he does not plan.
    inside = replace(actor, role=Member.Role.COORDINATOR.value)
    _settle_trees(inside, member, owned, cared, today)
    _settle_days(inside, member, today)
    _forget(inside, member)
    return _settle_sign_in(account)


def _leave_the_list(actor: Actor, member: Member, version: int, today: date) -> None:
    """From this moment he is no member: the last day on record is yesterday, so nobody plans on today."""
    last = min(today - timedelta(days=1), member.active_to or today)
    changes = {
        "active_to": last,
        "active_from": min(member.active_from, last),
        "role": Member.Role.MEMBER.value,
        "account_id": None,
    }
    edit(member, version, changes, actor)


def _settle_trees(
    actor: Actor,
    member: Member,
    owned: Mapping[int, int | None],
    cared: Mapping[int, int | None],
    today: date,
) -> None:
    receivers = {person.pk for person in active(member.club_id, today)} - {member.pk}
    if {to for to in (*owned.values(), *cared.values()) if to is not None} - receivers:
        raise Refused("tree_receiver", field="owned")
    shared = other_owners(member)
    for row in care_rows(member, "owner"):
        if row.tree_id in shared:
            end_care(actor=actor, care_id=row.pk, version=row.version)
            continue
        if row.tree_id not in owned:
            field = f"owned_{row.tree_id}"
            raise Refused("tree_unsettled", field=field, accession=row.tree.accession)
        _hand_over(actor, row, owned[row.tree_id], today)
    for row in care_rows(member, "carer"):
        _hand_over(actor, row, cared.get(row.tree_id), today)
    for tree in brought_by(member):
        edit(tree, tree.version, {"brought_by_id": None}, actor)


def _hand_over(actor: Actor, row: Care, to: int | None, today: date) -> None:
    """Give a tree to somebody; without one an owner's tree leaves the club, and a carer's has no carer."""
    end_care(actor=actor, care_id=row.pk, version=row.version)
    if to is not None:
        set_care(actor=actor, tree_id=row.tree_id, member_id=to, role=row.role, ask_first=row.ask_first)
    elif row.role == "owner":
        take_out(
            actor=actor, tree_id=row.tree_id, version=row.tree.version, how="owner", on=today, today=today,
            note=f"{row.member.name} left the club",
        )  # fmt: skip


def _settle_days(actor: Actor, member: Member, today: date) -> None:
    """Offers, places, leads and plans of coming days, and hours outside them."""
    free_places_of(actor=actor, member_id=member.pk)
    coming = Workday.objects.filter(club_id=member.club_id, date__gte=today, state__in=COMING)
    offers = Offer.objects.filter(member=member, workday__in=coming).exclude(answer="no")
    for offer in offers.order_by("workday__date", "id"):
        offer_hours(actor=actor, workday_id=offer.workday_id, member_id=member.pk, answer="no")
    seats = Assignment.objects.filter(member=member, plan__workday__in=coming, confirmed=True)
    for day_id in set(seats.values_list("plan__workday_id", flat=True)):
        out_of_date(day_id)
    seats.update(confirmed=False)
    for day in coming:
        roles = {name: None for name in ("lead_id", "first_aider_id") if getattr(day, name) == member.pk}
        if roles:
            edit(day, day.version, roles, actor)
    for bend in led_bends(member):
        set_lead(actor=actor, bend_id=bend.pk, version=bend.version, member_id=None, today=today)
    for habit in open_habits(member, today):
        end_habit(actor=actor, habit_id=habit.pk, version=habit.version, last_day=today - timedelta(days=1))


def _forget(actor: Actor, member: Member) -> None:
    """What was only for him: telephone and e-mail, answers about himself, letters, messages, keys."""
    erase_contact(actor=actor, member_id=member.pk)
    for row in Declaration.objects.filter(member=member):
        note(row, actor, before={"kind": row.kind, "member": member.pk}, after={})
        row.delete()
    unsent_notices(member).delete()
    Message.objects.filter(member=member, sent_at=None).delete()
    for key in ProgramKey.objects.filter(member=member).select_related("token"):
        note(key, actor, before={"name": key.name}, after={"name": ""})
        key.token.delete()


def _settle_sign_in(account_id: int | None) -> bool:
    """A sign-in that opens no other club goes; whoever uses it is out with the next page he asks for."""
    if account_id is None:
        return False
    if Member.objects.filter(account_id=account_id).exists():
        return True
    Account.objects.filter(pk=account_id).delete()
    return False
