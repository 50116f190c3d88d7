"""The people of a club, and one person's page."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from types import SimpleNamespace

from django.forms import Form
from django.urls import reverse

from collection.queries.access import Actor
from collection.queries.labels import counted, dated
from collection.queries.people_list import PAGE, PeopleList, can_words, kind_words
from collection.queries.person import Coming, Kept, Person, Weekly, Worked
from collection.queries.reach import Said
from collection.usecases.welcomes import Invited
from collection.web.forms.people import HabitForm, InviteForm, SaysForm, SkillForm
from collection.web.pages.forms import form_page, part, said_page
from collection.web.pages.parts import Action, Empty, Fact, Tag, hidden, lead, number_of, page

PARTS = {
    "member": "Member",
    "bench_lead": "Bench lead",
    "coordinator": "Coordinator",
    "admin": "Club admin",
}


def list_page(found: PeopleList, actor: Actor, query: str, with_left: bool) -> SimpleNamespace:
    """Everything ``person/list.html`` reads."""
    last = found.start + len(found.rows)
    said = counted(found.total, "person", "people")
    matches = f"{said} {'matches' if found.total == 1 else 'match'}."
    first = matches if query else f"{said} in the club." if not with_left else f"{said}, all in all."
    return page(
        title="People",
        lead=lead(first, f" {found.coming} said yes for {found.next_day}." if found.next_day else ""),
        query=query,
        with_left=with_left,
        search_url=reverse("people"),
        next_title=f"On {found.next_day}" if found.next_day else "",
        rows=[
            SimpleNamespace(
                name=row.name,
                url=reverse("person", args=[row.id]),
                role=PARTS[row.role],
                can=row.can,
                says=row.says,
                stays=row.stays,
                next_time=row.next_time,
            )
            for row in found.rows
        ],
        where=f"People {found.start + 1} to {last} of {found.total}" if found.total > PAGE else "",
        before=_step(query, with_left, found.start - PAGE) if found.start > 0 else None,
        after=_step(query, with_left, found.start + PAGE) if last < found.total else None,
        left=_left(found.left, with_left),
        empty=Empty(
            "Nobody of that name." if query else "The people of the club will be listed here.",
            "Wilma Sand. Practised: wiring. Learning: heavy bends.",
            Action("See everybody", reverse("people")) if query else None,
        ),
        actions=_ways_in() if actor.plans else [],
        foot_left="Telephone and e-mail are on a person's page, for those who need them.",
        foot_right="",
    )


def _ways_in() -> list[Action]:
    bring = Action("Bring in a list", f"{reverse('imports')}?kind=people", plain=True)
    return [Action("Add a person", reverse("person-new"), main=True), bring]


def _step(query: str, with_left: bool, start: int) -> SimpleNamespace:
    return SimpleNamespace(
        url=f"{reverse('people')}?q={query}&from={max(0, start)}{'&left=1' if with_left else ''}"
    )


def _left(left: int, with_left: bool) -> Action | None:
    if with_left:
        return Action("Only members", reverse("people"), plain=True, small=True)
    words = f"Also {counted(left, 'person', 'people')} who left"
    return Action(words, f"{reverse('people')}?left=1", plain=True, small=True) if left else None


def person_page(
    found: Person, actor: Actor, today: date, filled: Mapping[str, Form] | None = None
) -> SimpleNamespace:
    """Everything ``person/person.html`` reads; ``filled`` holds a small form that was refused."""
    mine = actor.plans or found.is_me
    return page(
        title=found.name,
        lead=lead(_opening(found)),
        facts=_facts(found, actor),
        actions=_actions(found, actor),
        skills=skill_rows(found),
        rest=_rest(found),
        says=[says_row(said) for said in found.says] if found.says is not None else [],
        not_said=""
        if found.says is not None
        else "What people can lift and are trained for is known to the coordinators.",
        weekly=[weekly_row(row, mine and not found.has_left) for row in found.weekly],
        no_weekly="No hours outside workdays.",
        coming=[coming_row(row) for row in found.coming],
        no_coming="No answer for a coming day.",
        kept=[kept_row(row) for row in found.kept],
        no_kept="No tree in the club's care.",
        kept_actions=kept_actions(found) if mine else [],
        worked=[worked_row(row) for row in found.worked],
        no_worked="No sitting on record.",
        this_year=number_of(found.this_year) if found.this_year else None,
        this_year_words=f"On record in {today.year}: ",
        reach=reach_part(found),
        reach_actions=reach_actions(found) if mine else [],
        letter=_letter(found),
        **_forms(found, actor, today, filled or {}),
        end=_end(found, actor),
        foot_left=f"Member since {dated(found.active_from)}.",
        foot_right="",
    )


def _opening(found: Person) -> str:
    known = {skill.family: skill.level for skill in found.skills}
    said = [found.stays, can_words(known)]
    return " ".join(word for word in said if word)


def _end(found: Person, actor: Actor) -> list[Action]:
    """A coordinator lets somebody leave, or settles what is still open of somebody who left."""
    if not actor.plans or found.is_me:
        return []
    words = "Settle what is still open" if found.has_left else f"{found.name} leaves the club"
    return [Action(words, reverse("person-leave", args=[found.id]), plain=True)]


def _facts(found: Person, actor: Actor) -> list[Fact]:
    facts = [Fact("Part", PARTS[found.role])]
    if actor.plans or found.is_me:
        facts.append(Fact("Sign-in", "yes" if found.signs_in else "none yet"))
        facts.append(Fact("Mail", "yes" if found.wants_mail else "wants none"))
    return facts


def _actions(found: Person, actor: Actor) -> list[Action]:
    here = [found.id]
    actions = []
    if found.is_me:
        actions.append(Action("Your own page", reverse("you")))
    if actor.plans and found.active_to is not None:
        actions.append(
            Action(
                "Take back in", reverse("person-back", args=here), post=True, main=found.has_left,
                hidden=hidden(version=found.version),
            )
        )  # fmt: skip
    if actor.plans:
        actions.append(Action("Name and dates", reverse("person-change", args=here)))
        actions.append(Action("Part in the club", reverse("person-role", args=here)))
    return actions


def skill_rows(found: Person) -> list[SimpleNamespace]:
    """Kinds of work somebody has said a level for."""
    return [
        SimpleNamespace(
            name=skill.name[:1].upper() + skill.name[1:],
            level=skill.level_name,
            since=dated(skill.since),
            by=skill.by,
        )
        for skill in found.skills
        if skill.since is not None
    ]


def _rest(found: Person) -> str:
    known = sum(skill.since is not None for skill in found.skills)
    if not known:
        return "Nobody has written a level down yet, so plans count on a novice."
    return "" if known == len(found.skills) else "For other kinds, plans count on a novice."


def says_row(said: Said) -> SimpleNamespace:
    """An answer of a person in words."""
    words = kind_words(said.kind)
    answer = {True: "yes", False: "no", None: "not said"}[said.answer]
    return SimpleNamespace(
        what=words[:1].upper() + words[1:], answer=answer, on=dated(said.on) if said.on else ""
    )


def weekly_row(row: Weekly, mine: bool) -> SimpleNamespace:
    """Weekly hours, with what can be done about them."""
    until = f", last day {dated(row.ends)}" if row.ends else ""
    actions = []
    if mine:
        actions.append(Action("Change", reverse("habit-change", args=[row.id]), plain=True, small=True))
        if row.ends is None:
            end = reverse("habit-end", args=[row.id])
            version = hidden(version=row.version)
            actions.append(Action("No more", end, post=True, plain=True, small=True, hidden=version))
    return SimpleNamespace(words=row.words, since=f"since {dated(row.starts)}{until}", actions=actions)


def coming_row(row: Coming, *, mine: bool = False) -> SimpleNamespace:
    """A coming day and the answer for it, with the way to one's own page of it."""
    said = f"{row.answer}, {row.hours}" if row.hours else row.answer
    return SimpleNamespace(
        when=dated(row.on),
        url=reverse("day", args=[row.day_id]),
        said=said,
        site=row.site,
        mine=reverse("my-day", args=[row.day_id]) if mine and row.planned else "",
    )


def kept_actions(found: Person) -> list[Action]:
    """Consent for all trees of somebody at once, also written down by telephone."""
    if not found.kept:
        return []
    words = "Consent for your trees" if found.is_me else "Consent for these trees"
    return [Action(words, reverse("trees-of", args=[found.id]), plain=True)]


def kept_row(row: Kept) -> SimpleNamespace:
    """A tree somebody owns or cares for."""
    said = "owns it" if row.role == "owner" else "cares for it"
    if row.ask_first:
        said += f", agreed until {dated(row.consent_until)}" if row.consent_until else ", wants to be asked"
    return SimpleNamespace(
        tag=Tag(row.accession, reverse("tree", args=[row.tree_id])), title=row.title, said=said
    )


def worked_row(row: Worked) -> SimpleNamespace:
    """A sitting of a person."""
    return SimpleNamespace(
        when=dated(row.on),
        tag=Tag(row.accession, reverse("tree", args=[row.tree_id])),
        what=f"{row.what}, {row.minutes}",
        note=f"Left open: {row.note}" if row.note else "",
    )


def reach_part(found: Person) -> SimpleNamespace | None:
    """Telephone and e-mail, for whom may see them."""
    if found.reach is None:
        return None
    return SimpleNamespace(
        email=found.reach.email,
        telephone=found.reach.telephone,
        dial="".join(c for c in found.reach.telephone if c.isdigit() or c == "+"),
        nothing="" if found.reach.email or found.reach.telephone else "Nothing is written down.",
        back=_comes_back(found) if found.reach.comes_back else "",
    )


def _comes_back(found: Person) -> str:
    ask = "Write a new one down" if found.is_me else "Ask for a new one"
    return f"Letters to this address come back. {ask}."


def reach_actions(found: Person) -> list[Action]:
    """What the person himself and a coordinator may do about it."""
    actions = [Action("Change", reverse("person-contact", args=[found.id]), plain=True)]
    if found.reach is not None and (found.reach.email or found.reach.telephone):
        erase = reverse("person-contact-erase", args=[found.id])
        actions.append(Action("Erase both", erase, plain=True))
    return actions


def erase_page(found: Person) -> SimpleNamespace:
    """Asks before telephone and e-mail are erased."""
    whose = "your" if found.is_me else f"{found.name}'s"
    back = reverse("you") if found.is_me else reverse("person", args=[found.id])
    return said_page(
        f"Erase {whose} telephone and e-mail?",
        "They cannot be brought back. Nobody of the club could reach this person by them.",
        heading="Are you sure?",
        actions=(
            Action("Erase both", reverse("person-contact-erase", args=[found.id]), post=True, main=True),
            Action("Keep them", back, plain=True),
        ),
    )


def change_page(member_id: int, name: str, form: Form) -> SimpleNamespace:
    """Name and dates of somebody."""
    return form_page(
        title=f"{name}: name and dates",
        said="Work on record stays with the person, whatever the name.",
        form=form,
        parts=[part(form, "Name and dates")],
        send="Keep this",
        back=_way_back(member_id, name),
    )


def role_page(member_id: int, name: str, form: Form) -> SimpleNamespace:
    """The part somebody has in the club."""
    return form_page(
        title=f"{name}: part in the club",
        said="Only a club admin names coordinators and club admins.",
        form=form,
        parts=[part(form, "Part in the club")],
        send="Keep this",
        back=_way_back(member_id, name),
    )


def contact_page(found: Person, form: Form) -> SimpleNamespace:
    """How somebody is reached."""
    back = (reverse("you"), "Back to your page") if found.is_me else _way_back(found.id, found.name)
    return form_page(
        title="How to reach you" if found.is_me else f"{found.name}: how to reach",
        said="Seen by coordinators, and by whoever leads a day they come to.",
        form=form,
        parts=[part(form, "Telephone and e-mail")],
        send="Keep this",
        back=back,
    )


def habit_page(name: str, back: str, form: Form) -> SimpleNamespace:
    """Hours of somebody most weeks."""
    return form_page(
        title=f"Weekly hours of {name}",
        said="Hours outside workdays. The season counts on them.",
        form=form,
        parts=[part(form, "Most weeks")],
        send="Keep this",
        back=(back, "Back"),
    )


def letter_page(found: Person, made: Invited) -> SimpleNamespace:
    """A letter just made, with its link, which is shown this once."""
    until = f"The link works once, until {dated(made.last_day)}."
    went = f"The letter went to {made.email}. {until}"
    here = f"No mail goes out from here yet. Hand the link over yourself. {until}"
    stayed = f"The letter to {made.email} could not be mailed. Hand the link over yourself. {until}"
    return page(
        title=f"A letter for {found.name}",
        lead=lead((went if made.leaves else here) if made.mailed else stayed),
        link=made.link,
        said="Keep a copy now: the link is shown only this once."
        if not (made.mailed and made.leaves)
        else "If the letter does not arrive, hand this link over yourself. It is shown only this once.",
        actions=[Action(f"Back to {found.name}", reverse("person", args=[found.id]))],
        foot_left="",
        foot_right="",
    )


def _way_back(member_id: int, name: str) -> tuple[str, str]:
    return reverse("person", args=[member_id]), f"Back to {name}"


def _letter(found: Person) -> SimpleNamespace | None:
    if found.letter is None:
        return None
    said = f"It went to {found.letter.email} and works until {dated(found.letter.last_day)}."
    if not found.letter.good:
        said = f"It went to {found.letter.email} and ran out on {dated(found.letter.last_day)}."
    back = Action("Take it back", reverse("welcome-back", args=[found.id]), post=True, plain=True)
    return SimpleNamespace(said=said, actions=[back])


def _forms(
    found: Person, actor: Actor, today: date, filled: Mapping[str, Form]
) -> dict[str, SimpleNamespace | None]:
    """The small forms of a coordinator, each for the part of the page it belongs to."""
    first = {"email": found.reach.email if found.reach else ""}
    forms: dict[str, tuple[str, Form]] = {
        "welcome": (
            "Send a new letter" if found.letter else "Send a letter of welcome",
            InviteForm(initial=first, auto_id="to_%s"),
        ),
        "skill": (
            "Write a level down",
            SkillForm(initial={"since": today}, today=today, auto_id="skill_%s"),
        ),
        "says": ("Write answers down", SaysForm(said=found.says or (), auto_id="says_%s")),
        "habit": ("Add weekly hours", HabitForm(initial={"starts": today}, auto_id="habit_%s")),
    }
    shown: dict[str, SimpleNamespace | None] = {}
    for name, (words, form) in forms.items():
        wanted = actor.plans and not found.has_left and not (name == "welcome" and found.signs_in)
        url = reverse(f"person-{name}", args=[found.id])
        small = SimpleNamespace(url=url, form=filled.get(name, form), words=words)
        shown[f"{name}_form"] = small if wanted else None
    return shown
