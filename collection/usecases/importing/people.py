"""Rows of a sheet as members: name, how to reach them, skills, and what they say they may do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from collection.craft.reasons import Reason
from collection.models import Change, Club, Contact, Declaration, Member, MemberSkill
from collection.queries.access import PLANNERS, Actor, must_administer
from collection.usecases.edit import change_of
from collection.usecases.importing.made import Made
from collection.usecases.importing.trees import BATCH, Checked
from collection.usecases.importing.values import Draft
from collection.usecases.importing.vocabulary import key

DECLARED = tuple(Declaration.Kind.values)


def check(drafts: Sequence[Draft], club: Club, today: date) -> Checked:
    """Look every row up among the club's members; problems are added to the drafts. Writes nothing."""
    known = _Known(club)
    first: dict[str, Draft] = {}
    checked = Checked()
    for draft in drafts:
        _settle_name(draft)
        _settle_dates(draft)
        name = draft.values.get("name", "")
        other = first.setdefault(key(name), draft) if name else draft
        if other is not draft:
            place = {"sheet": other.row.sheet, "place": other.row.place}
            draft.wrong("name", Reason.of("import_doubled", value=name, **place), name)
        elif not draft.problems:
            known.compare(draft)
        if not draft.problems:
            (checked.unchanged if draft.values.get("unchanged") else checked.ready).append(draft)
    skills = sum(len(skills_of(draft)) for draft in checked.ready)
    checked.makes = [Reason.of("import_makes_people", people=len(checked.ready), skills=skills)]
    return checked


def _settle_name(draft: Draft) -> None:
    values = draft.values
    if not values.get("name"):
        parts = [values.get("first_name", ""), values.get("last_name", "")]
        values["name"] = " ".join(part for part in parts if part)
    if not values["name"]:
        draft.wrong("name", Reason.of("import_name_missing"))
    elif len(values["name"]) > 80:
        draft.wrong(
            "name",
            Reason.of("import_too_long", value=values["name"][:40], most=80, letters=len(values["name"])),
        )


def _settle_dates(draft: Draft) -> None:
    joined, left = draft.values.get("active_from"), draft.values.get("active_to")
    if joined and left and left < joined:
        reason = Reason.of("import_ends_early", starts=joined, ends=left)
        draft.wrong("active_to", reason, left.isoformat())


def refuse_higher_roles(drafts: Sequence[Draft]) -> None:
    """For somebody who is no club admin: rows that would make one, or a coordinator, are at fault."""
    for draft in drafts:
        role = draft.values.get("role", "")
        if role in PLANNERS:
            draft.wrong("role", Reason.of("import_role_by_admin", value=role), role)


def skills_of(draft: Draft) -> dict[str, str]:
    """Level by family: from one column of skills and from a column for each family; the latter wins."""
    skills: dict[str, str] = dict(draft.values.get("skills", {}))
    for name, level in draft.values.items():
        if name.startswith("skill_") and level:
            skills[name[len("skill_") :]] = level
    return skills


def declared_by(draft: Draft) -> dict[str, bool]:
    """What a person says: can lift, trained for sprays ..."""
    return {kind: draft.values[kind] for kind in DECLARED if kind in draft.values}


class _Known:
    """Members, contacts, skills and declarations in four queries."""

    def __init__(self, club: Club) -> None:
        self._members = {key(member.name): member for member in Member.objects.filter(club=club)}
        self._contacts = {contact.member_id: contact for contact in Contact.objects.filter(club=club)}
        skills = MemberSkill.objects.filter(club=club).order_by("since", "pk")
        self._skills = {(row.member_id, row.family): row.level for row in skills}
        declared = Declaration.objects.filter(club=club).order_by("given_on", "pk")
        self._declared = {(row.member_id, row.kind): row.answer for row in declared}

    def compare(self, draft: Draft) -> None:
        """Mark a row as unchanged when the member says the same, or add the problem that he differs."""
        member = self._members.get(key(draft.values["name"]))
        if member is None:
            return
        for name, here, there in self._facts(draft, member):
            if here != there:
                values = {
                    "name": member.name,
                    "field": f"people.{name}",
                    "there": str(there or ""),
                    "here": str(here),
                }
                draft.wrong(name, Reason.of("import_member_differs", **values), str(here))
                return
        draft.values["unchanged"] = True

    def _facts(self, draft: Draft, member: Member) -> Iterator[tuple[str, object, object]]:
        values = draft.values
        contact = self._contacts.get(member.pk)
        if "role" in values:
            yield "role", values["role"], member.role
        for name in ("active_from", "active_to", "wants_mail"):
            if name in values:
                yield name, values[name], getattr(member, name)
        for name in ("email", "telephone"):
            if name in values:
                yield name, values[name].casefold(), getattr(contact, name, "").casefold()
        for family, level in skills_of(draft).items():
            yield f"skill_{family}", level, self._skills.get((member.pk, family))
        for kind, answer in declared_by(draft).items():
            yield kind, answer, self._declared.get((member.pk, kind))


def write(drafts: Sequence[Draft], club: Club, actor: Actor, today: date, source: str) -> Made:
    """Add the people, inside the caller's transaction; returns what the rows became.

    Raises:
        Refused: ``club_admins_only`` when a coordinator's file names a coordinator or club admin.
    """
    members = [_member(draft, club, today) for draft in drafts]
    if any(member.role in PLANNERS for member in members):
        must_administer(actor)
    Member.objects.bulk_create(members, batch_size=BATCH)
    pairs = list(zip(members, drafts, strict=True))
    contacts = [_contact(member, draft, club) for member, draft in pairs]
    skills = [
        MemberSkill(club=club, member=member, family=family, level=level, since=today, by_id=actor.member_id)
        for member, draft in pairs
        for family, level in skills_of(draft).items()
    ]
    declared = [
        Declaration(club=club, member=member, kind=kind, answer=answer, given_on=today)
        for member, draft in pairs
        for kind, answer in declared_by(draft).items()
    ]
    Contact.objects.bulk_create(contacts, batch_size=BATCH)
    MemberSkill.objects.bulk_create(skills, batch_size=BATCH)
    Declaration.objects.bulk_create(declared, batch_size=BATCH)
    _write_down(members, skills, declared, actor)
    made = Made(len(members))
    made.add(members)
    return made


def _member(draft: Draft, club: Club, today: date) -> Member:
    values: dict[str, Any] = draft.values
    role = values.get("role", str(Member.Role.MEMBER))
    more = {name: values[name] for name in ("active_to", "wants_mail") if name in values}
    starts = values.get("active_from", min(today, values.get("active_to", today)))
    return Member(club=club, name=values["name"], role=role, active_from=starts, **more)


def _contact(member: Member, draft: Draft, club: Club) -> Contact:
    email, telephone = draft.values.get("email", ""), draft.values.get("telephone", "")
    return Contact(club=club, member=member, email=email, telephone=telephone)


def _write_down(
    members: Sequence[Member], skills: Sequence[MemberSkill], declared: Sequence[Declaration], actor: Actor
) -> None:
    lines: list[Change] = []
    for member in members:
        lines.append(change_of(member, actor, before={}, after={"name": member.name, "role": member.role}))
    for skill in skills:
        after = {"family": skill.family, "level": skill.level, "member": skill.member_id}
        lines.append(change_of(skill, actor, before={}, after=after))
    for row in declared:
        lines.append(change_of(row, actor, before={}, after={"kind": row.kind, "member": row.member_id}))
    Change.objects.bulk_create(lines, batch_size=BATCH)
