"""Wire: looks that are due, one wire with its three answers, wire put on, and the rack."""

from __future__ import annotations

from datetime import date, timedelta
from types import SimpleNamespace

from django.forms import Form
from django.urls import reverse

from collection.craft.bite_fit import Refit
from collection.queries.access import Actor
from collection.queries.branch_choices import TreeChoice
from collection.queries.gear import OnTree, Stock
from collection.queries.labels import counted, dated, day, in_words
from collection.queries.opened import Opened
from collection.queries.wire_clock import FEWEST_MARKS
from collection.web.forms.wire import OffForm, StockForm
from collection.web.pages.parts import Action, Cautions, Empty, Fact, Tag, hidden, lead, number_of, page

CAUTIONS = Cautions(wire=True)
Clocks = tuple[tuple[str, Refit], ...]
WEEK = timedelta(days=7)


def list_page(rows: tuple[OnTree, ...], today: date, clocks: Clocks = ()) -> SimpleNamespace:
    """Everything ``wire/list.html`` reads."""
    late = [row for row in rows if row.late]
    soon = [row for row in rows if not row.late and row.look_on and row.look_on <= today + WEEK]
    later = [row for row in rows if row not in late and row not in soon]
    return page(
        title="Wire",
        lead=lead(_said(rows, late, len(soon))),
        groups=[
            SimpleNamespace(title=title, rows=[_row(row) for row in group])
            for title, group in (
                ("Late", late),
                # Walked along the benches, so bench by bench.
                ("In the next seven days", sorted(soon, key=lambda row: row.where)),
                ("Later", later),
            )
            if group
        ],
        actions=[
            Action("Wire on the rack", reverse("wire-stock"), plain=True),
            Action("Heavy bends", reverse("bends"), plain=True),
        ],
        clocks=[_clock(name, one) for name, one in clocks],
        empty=None
        if rows
        else Empty(
            "Wire on trees will be listed here with the day to look at it.",
            "2009.014, branch B2, 2.5 mm copper, look on 1 June",
            Action("See the trees", reverse("trees")),
        ),
        cautions=CAUTIONS,
        foot_left="Look dates count growing weeks only. They are assumptions until you look.",
        foot_right=f"Today is {dated(today)}",
    )


def _clock(name: str, found: Refit) -> SimpleNamespace:
    used = "Wire put on from now follows them." if found.marked >= FEWEST_MARKS else ""
    wires = counted(found.seen, "wire", "wires")
    return SimpleNamespace(
        name=name,
        weeks=f"{found.bites_from_weeks:.0f} to {found.bites_to_weeks:.0f} growing weeks",
        beside=f"{wires} looked at, {found.marked} seen to mark. "
        f"{found.factor:.2f} times the table, 8 times in 10 between {found.factor_low:.2f} and "
        f"{found.factor_high:.2f}. {used}".strip(),
    )


def _said(rows: tuple[OnTree, ...], late: list[OnTree], soon: int) -> str:
    if not rows:
        return "No wire is on a tree now."
    week = (
        f" {in_words(soon)} more {'is' if soon == 1 else 'are'} due in the next seven days." if soon else ""
    )
    if late:
        are = "look is" if len(late) == 1 else "looks are"
        return f"{in_words(len(late))} {are} late.{week} The apex swells first, so look there first."
    following = next((row.look_on for row in rows if row.look_on), None)
    return f"No look is late. The next is on {day(following)}." if following else "No look is late."


def _row(row: OnTree) -> SimpleNamespace:
    return SimpleNamespace(
        tag=Tag(row.accession, reverse("tree", args=[row.tree_id])),
        label=row.label,
        where=_where(row),
        bench=row.where,
        wire=_words(row),
        look=dated(row.look_on) if row.look_on else "after every gale",
        apex="Apex, look first" if row.apex else "",
        last=row.last_look or "none yet",
        action=Action("Look", _url("one", row), small=True),
    )


def _url(what: str, row: OnTree) -> str:
    return reverse(f"{'guy' if row.guy else 'wire'}-{what}", args=[row.id])


def _where(row: OnTree) -> str:
    return f"Branch {row.branch}" if row.branch else "Trunk"


def _words(row: OnTree) -> str:
    return row.words + (f", {row.metres:.1f} m" if row.metres else "")


def one_page(row: OnTree, form: OffForm, number: Opened | None = None) -> SimpleNamespace:
    """Everything ``wire/one.html`` reads."""
    at = _url("look", row)
    answers = (("loose", "Loose"), ("snug", "Snug"), ("marking", "It marks"))
    when = f"Look on {day(row.look_on)}." if row.look_on else "Look after every gale."
    return page(
        title=f"{'Guy' if row.guy else 'Wire'} {row.label}",
        tag=Tag(row.accession, reverse("tree", args=[row.tree_id])),
        name=f"{row.tree_title}, {row.where}",
        lead=lead(f"{when} {'This is overdue.' if row.late else ''}".strip()),
        facts=[
            Fact("Where", _where(row) + (", the apex" if row.apex else "")),
            Fact("Wire", _words(row)),
            Fact("Put on", dated(row.on)),
            Fact("Last look", row.last_look or "none yet"),
        ],
        number=number_of(number) if number else None,
        answers=[Action(words, at, post=True, hidden=hidden(seen=seen)) for seen, words in answers],
        after=f"After this look, the next is due in {14 if row.guy else row.every_days} days. "
        "Wire that marks is taken off at once, and becomes an urgent job on the tree.",
        off=SimpleNamespace(
            title="Off",
            about="Cut it off turn by turn, do not unwind copper.",
            url=_url("off", row),
            form=form,
            words="It came off",
        ),
        cautions=CAUTIONS,
        foot_left="How long wire stays on is an assumption; what you see on the branch decides.",
        foot_right="",
    )


def new_page(tree: TreeChoice, form: Form, *, guy: bool) -> SimpleNamespace:
    """Everything ``wire/new.html`` reads."""
    what = "A guy wire" if guy else "Wire"
    return page(
        title=f"{what} put on",
        tag=Tag(tree.accession, reverse("tree", args=[tree.id])),
        name=tree.title,
        lead=lead("Say where it sits and what it is. The day to look follows from the kind of tree."),
        url=reverse("guy-new" if guy else "wire-new", args=[tree.id]),
        form=form,
        words="Write it down",
        cautions=CAUTIONS,
        foot_left="",
        foot_right="",
    )


def stock_page(rows: tuple[Stock, ...], actor: Actor, form: StockForm) -> SimpleNamespace:
    """Everything ``wire/stock.html`` reads."""
    return page(
        title="Wire on the rack",
        lead=lead("Weigh it now and then. Metres follow from the weight, within about 3 %."),
        rows=[
            SimpleNamespace(
                metal=row.metal.capitalize(),
                gauge=f"{row.gauge_mm:g} mm",
                grams=f"{row.grams:,.0f} g",
                metres=f"{row.metres:.0f} m",
            )
            for row in rows
        ],
        none="Nobody has weighed the rack yet.",
        form=SimpleNamespace(
            title="Write the rack down",
            about="The same metal and thickness again replaces the old weight.",
            url=reverse("wire-stock"),
            form=form,
            words="Write a weight down",
        )
        if actor.plans
        else None,
        back=Action("Back to wire", reverse("wire"), plain=True),
        foot_left="From densities of 2.70 and 8.96 g/cm3.",
        foot_right="",
    )
