"""Heavy bends: the list, and one bend with its pair, its reasons and its helpers."""

from __future__ import annotations

from datetime import date, timedelta
from types import SimpleNamespace

from django.urls import reverse

from collection.craft.reasons import Reason
from collection.queries.access import Actor
from collection.queries.bend_values import Asked, BendRow, BendSheet, Trigger
from collection.queries.branch_choices import TreeChoice
from collection.queries.labels import dated, day, in_words, short_day
from collection.queries.sentences import say
from collection.web.forms.bend import BendForm, RefuseForm
from collection.web.pages.bend_figures import figures_part
from collection.web.pages.bend_helpers import leads_of, no_lead, search_of
from collection.web.pages.parts import (
    Action,
    Cautions,
    Empty,
    Fact,
    Person,
    Piece,
    Tag,
    hidden,
    lead,
    number_of,
    page,
    people_in,
)

# A window that closes within this many days is said loud.
CLOSING_DAYS = 21
ROLES = (
    "leads, keeps a hand on the bend, gives the only orders",
    "steadies pot and trunk, then holds the branch or turns the screw on call",
    "looks after pot, kit and photographs",
    "looks after pot, kit and photographs",
)


def list_page(rows: tuple[BendRow, ...], today: date) -> SimpleNamespace:
    """Everything ``bend/list.html`` reads."""
    wanted = [row for row in rows if not row.over]
    return page(
        title="Heavy bends",
        lead=lead(_count([row for row in wanted if len(row.people) < row.crew], wanted)),
        bends=[_row(row, today) for row in wanted],
        over=[
            SimpleNamespace(
                tag=Tag(row.accession, reverse("tree", args=[row.tree_id])),
                what=f"{row.title}: {row.what}",
                url=reverse("bend", args=[row.id]),
                state=row.state,
            )
            for row in rows
            if row.over
        ],
        empty=Empty(
            "No heavy bend is wanted now. Ask for one on the page of a tree.",
            "2011.007, branch B2, 28 mm, 1 to 30 November",
            Action("See the trees", reverse("trees")),
        )
        if not wanted
        else None,
        foot_left="A heavy bend takes two people or more, and a sign-off.",
        foot_right="",
    )


def _count(short: list[BendRow], rows: list[BendRow]) -> str:
    """How many want people still, and how many have everybody."""
    if not rows:
        return "No heavy bend is wanted now."
    full, said = len(rows) - len(short), []
    if short:
        want = "bend wants" if len(short) == 1 else "bends want"
        said.append(f"{in_words(len(short))} heavy {want} people.")
    if full:
        what = "more" if short else "heavy bend" if full == 1 else "heavy bends"
        said.append(f"{in_words(full)} {what} {'has' if full == 1 else 'have'} everybody.")
    return " ".join(said)


def _row(row: BendRow, today: date) -> SimpleNamespace:
    late = " The window has closed." if row.closes < today else ""
    return SimpleNamespace(
        tag=Tag(row.accession, reverse("tree", args=[row.tree_id])),
        species=row.title,
        what=row.what,
        when=f"{short_day(row.opens)} to {dated(row.closes)}",
        hours=number_of(row.number, inline=False) if row.number else None,
        people=people_in(row.people, row.crew),
        action=Action("Open the bend", reverse("bend", args=[row.id])),
        note=row.state + late,
    )


def bend_page(sheet: BendSheet, actor: Actor, today: date, form: RefuseForm | None = None) -> SimpleNamespace:
    """Everything ``bend/bend.html`` reads; ``form`` is a refusal that was not accepted."""
    wish, team = sheet.wish, sheet.team
    may_do = actor.plans or team.lead_id == actor.member_id
    mine = [_mine(question) for question in team.mine if not sheet.over]
    # One filled button a page: whoever is asked answers first.
    main = not any(action.main for question in mine for action in question.actions)
    return page(
        tag=Tag(wish.accession, reverse("tree", args=[wish.tree_id])),
        tree=f"{wish.tree_title}, {wish.where}",
        title=_title(sheet),
        lead=_when(sheet, today),
        state=sheet.state,
        against=[SimpleNamespace(words=one.sentence, hard=one.hard) for one in sheet.against],
        mine=mine,
        people=[Person(p.name, ROLES[min(n, 3)]) for n, p in enumerate(_people(sheet))],
        hours=number_of(sheet.number) if sheet.number else None,
        each="" if sheet.number and sheet.number.text.endswith("each") else "each",
        hands=_hands(sheet),
        hold=f"{_all(team.crew)} hold {sheet.held_words}" if sheet.held_words else "",
        given=[_given(q, actor) for q in team.accepted if not sheet.over],
        facts=_facts(sheet),
        why_title=f"Why {_words(team.crew)}",
        why=[_trigger(t, team.crew) for t in sheet.triggers],
        limit=wish.limit,
        figures=figures_part(sheet.figures),
        sanction=_sanction(sheet, actor, main=main),
        refuse=_refuse(sheet, form),
        cautions=Cautions(bends=True, lifting=True, wire=True, held=True, power=wish.power_kit),
        leads=leads_of(sheet, actor, main=main) if sheet.helpers else [],
        change_lead=no_lead(sheet, actor),
        search=search_of(sheet, may_do=may_do, main=main) if sheet.helpers else None,
        closed="Only coordinators and the one who leads see who else could help." if not may_do else "",
        foot_left="The order of helpers rests on assumptions. Who does what is decided by the people there.",
        foot_right=f"Worked out {dated(today)}",
    )


def _title(sheet: BendSheet) -> str:
    return f"Heavy bend, branch {sheet.wish.branch}" if sheet.wish.branch else "Heavy bend"


def _when(sheet: BendSheet, today: date) -> tuple[Piece, ...]:
    closes = sheet.wish.closes
    first = f"{sheet.team.when}. " if sheet.team.when else ""
    if sheet.over:
        return lead(first or f"{sheet.state}")
    if closes < today:
        return lead(first, Piece(f"The window closed on {day(closes)}.", missing=True))
    said = f"The window closes on {day(closes)}."
    if sheet.wish.opens > today:
        said = f"The window opens on {day(sheet.wish.opens)} and closes on {day(closes)}."
    near = closes - today <= timedelta(days=CLOSING_DAYS)
    return lead(first, Piece(said, missing=near))


def _people(sheet: BendSheet) -> list[Person]:
    names = [sheet.team.lead, *(q.name for q in sheet.team.accepted)]
    return list(people_in(names, sheet.team.crew))


def _hands(sheet: BendSheet) -> str:
    return f"{sheet.hands_min / 60:.1f} h of hands" if sheet.hands_min else ""


def _all(crew: int) -> str:
    return "both" if crew == 2 else "all" if crew > 2 else "you"


def _words(number: int) -> str:
    return in_words(number).lower()


def _mine(question: Asked) -> SimpleNamespace:
    """A question to whoever looks, with its two answers."""
    at = reverse("invitation-answer", args=[question.invitation_id])
    yes = Action("Yes, I will help", at, post=True, main=True, hidden=hidden(answer="yes"))
    no = Action("No, not this time", at, post=True, plain=True, hidden=hidden(answer="no"))
    if question.answer == "accepted":
        said, actions = f"The place is yours: {question.when}.", list[Action]()
    elif question.taken:
        said, actions = say(Reason.of("place_taken")), []
    elif question.answer == "declined":
        said, actions = "You said no. You can still change your mind.", [yes]
    else:
        said, actions = f"You are asked to hold at this bend: {question.when}.", [yes, no]
    return SimpleNamespace(sentence=said, actions=actions)


def _given(question: Asked, actor: Actor) -> SimpleNamespace:
    """Somebody who said yes, with the way back for himself and for coordinators."""
    may = actor.plans or actor.member_id == question.member_id
    back = Action(
        "Give the place back", reverse("place-give-back", args=[question.place_id]), post=True, plain=True,
        small=True,
    )  # fmt: skip
    return SimpleNamespace(name=question.name, when=question.when, actions=[back] if may else [])


def _facts(sheet: BendSheet) -> list[Fact]:
    wish = sheet.wish
    sizes = (
        ("Thickness", wish.diameter_mm),
        ("Length", wish.length_mm),
        ("Tip comes down", wish.drop_mm),
        ("Radius", wish.radius_mm),
    )
    facts = [Fact(label, f"{value:.0f} mm") for label, value in sizes if value]
    facts.append(Fact("How", wish.method or "not decided yet"))
    facts += [Fact("Also", words) for words in wish.circumstances]
    return facts


def _trigger(trigger: Trigger, crew: int) -> SimpleNamespace:
    note = "" if trigger.people <= crew else "for the lift only"
    return SimpleNamespace(words=trigger.words, people=_words(trigger.people), most=trigger.most, note=note)


def _sanction(sheet: BendSheet, actor: Actor, *, main: bool) -> SimpleNamespace:
    """What the sign-off says, and what may be done about it."""
    found, said = sheet.sanction, []
    if found.refused:
        said.append(f"{found.refused[0]} said no: {found.refused[1]}")
        said.append(
            f"{found.released} released it."
            if found.released
            else "It waits until another coordinator or expert in bends allows it again."
        )
    said.append(f"Signed off by {found.signed}." if found.signed else "Nobody has signed it off yet.")
    actions = []
    if not sheet.over:
        if found.held and found.may_judge and not found.refuser_looks:
            at = reverse("bend-release", args=[sheet.id])
            actions.append(
                Action("Release the bend", at, post=True, main=main, hidden=hidden(version=sheet.version))
            )
        if not found.signed and not found.held and actor.plans:
            at = reverse("bend-sign", args=[sheet.id])
            actions.append(
                Action("Sign the bend off", at, post=True, main=main, hidden=hidden(version=sheet.version))
            )
    return SimpleNamespace(sentences=said, actions=actions)


def _refuse(sheet: BendSheet, form: RefuseForm | None) -> SimpleNamespace | None:
    if sheet.over or not sheet.sanction.may_judge or (sheet.sanction.held and form is None):
        return None
    return SimpleNamespace(
        title="Say no",
        about="The bend then waits until a coordinator or an expert in bends allows it again.",
        url=reverse("bend-refuse", args=[sheet.id]),
        form=form or RefuseForm(initial={"version": sheet.version}),
        words="Say no to this bend",
    )


def new_page(tree: TreeChoice, form: BendForm) -> SimpleNamespace:
    """Everything ``bend/new.html`` reads."""
    return page(
        title="A heavy bend",
        tag=Tag(tree.accession, reverse("tree", args=[tree.id])),
        name=tree.title,
        lead=lead("Say which branch, how thick it is and when. It then waits for a sign-off and a lead."),
        url=reverse("bend-new", args=[tree.id]),
        form=form,
        words="Put the bend on the list",
        cautions=Cautions(bends=True, lifting=True, wire=True),
        foot_left="Over 20 mm, or 10 mm where wood is brittle, hands alone are not enough (assumption).",
        foot_right="",
    )
