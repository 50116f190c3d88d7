"""A club's settings, its sites and benches as pages."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from django.urls import reverse

from collection.craft.season import ANCHORS
from collection.queries.club_pages import BenchRow, ClubSheet, SiteRow
from collection.queries.labels import counted, dated
from collection.queries.what_moves import Moves
from collection.web.forms.club import BENCH_WEEKS, CHOICE_LABELS, MAILS, SITE_KINDS, BenchForm, SiteForm
from collection.web.pages.parts import Action, Empty, Fact, hidden, lead, page

MOST_MOVED = 8
SECTIONS = (
    ("The club", "", ("name", "zone", "inches")),
    (
        "Place",
        "North or south of the equator decides which season is which.",
        ("latitude", "longitude", "altitude_m"),
    ),
    ("Frost", "From your own notes or a weather station near by.", ("last_frost", "first_frost")),
    (
        "Earlier or later",
        "Set these only where the dates have been wrong in your garden.",
        tuple(f"weeks_{anchor}" for anchor in ANCHORS),
    ),
    ("Where sources disagree", "The club decides.", tuple(CHOICE_LABELS)),
    ("Mails", "In quiet weeks nobody gets a round-up, save for what cannot wait.", tuple(MAILS)),
)


def club_page(sheet: ClubSheet, form: Any, moves: Moves | None = None) -> SimpleNamespace:
    """Everything ``club.html`` reads; with ``moves`` what would move is shown and asked for."""
    said = "Where the club is and when frost ends and begins. The season's dates follow from it."
    return page(
        title="Club settings",
        lead=lead(said),
        url=reverse("club"),
        form=form,
        sections=[
            SimpleNamespace(title=title, about=about, fields=[form[name] for name in names])
            for title, about, names in SECTIONS
        ],
        moves=_moves(moves) if moves else None,
        words=f"Keep it and move {counted(moves.windows, 'window', 'windows')}" if moves else "Keep these",
        actions=[
            Action("Sites and benches", reverse("sites"), plain=True),
            Action("Season programme", reverse("programme"), plain=True),
            Action("Bring a list in", reverse("imports"), plain=True),
            Action("Download your lists", reverse("download"), plain=True),
            Action("Getting started", reverse("club-start"), plain=True),
        ],
        waits="The season is being worked out again." if sheet.season_waits else "",
        foot_left="Corrections go up to four weeks. A region differs by no more than that.",
        foot_right="",
    )


def _moves(moves: Moves) -> SimpleNamespace:
    jobs = f"{counted(moves.jobs, 'open job hangs', 'open jobs hang')} on them." if moves.jobs else ""
    kept = ""
    if moves.kept:
        kept = (
            f"{counted(moves.kept, 'job is', 'jobs are')} planned, begun or changed by hand. "
            "They stay until somebody chooses, on the tree's own page."
        )
    left = moves.windows - MOST_MOVED
    return SimpleNamespace(
        sentence=f"{counted(moves.windows, 'window moves', 'windows move')}. Nothing is kept yet.",
        notes=[note for note in (jobs, kept) if note],
        rows=[
            SimpleNamespace(
                work=row.work,
                was=f"{dated(row.was.opens)} to {dated(row.was.closes)}",
                becomes=f"{dated(row.becomes.opens)} to {dated(row.becomes.closes)}",
            )
            for row in moves.rows[:MOST_MOVED]
        ],
        more=f"{left} more." if left > 0 else "",
        seen=seen_of(moves),
    )


def seen_of(moves: Moves) -> str:
    """What the page showed, so that a confirmation is of this and of nothing else."""
    return f"{moves.windows}-{moves.jobs}-{moves.kept}"


def sites_page(
    rows: tuple[SiteRow, ...], new_site: Any, new_benches: dict[int, Any], bad: int = 0
) -> SimpleNamespace:
    """Everything ``sites.html`` reads."""
    there = [row for row in rows if not row.retired]
    benches = sum(not bench.retired for row in there for bench in row.benches)
    said = f"{counted(len(there), 'site', 'sites')} with {counted(benches, 'bench', 'benches')}."
    return page(
        title="Sites and benches",
        lead=lead(said if there else "A site is where trees stand: the club's ground, a home, a show."),
        sites=[_site(row, new_benches.get(row.id), bad) for row in there],
        retired=[_retired_site(row) for row in rows if row.retired],
        empty=None
        if there
        else Empty("The club's sites will be listed here.", "Alder Yard, club ground, three benches."),
        small=SimpleNamespace(
            title="Another site", about="", url=reverse("sites"), form=new_site, words="Add a site"
        ),
        back_url=reverse("club"),
        foot_left="A retired site or bench keeps its past. It can be brought back.",
        foot_right="",
    )


def _site(row: SiteRow, form: Any, bad: int) -> SimpleNamespace:
    kind = dict(SITE_KINDS)[row.kind]
    return SimpleNamespace(
        title=row.name,
        facts=[
            Fact("What it is", kind),
            *([Fact("Address", row.address)] if row.address else []),
            Fact("Trees here", str(row.trees)),
        ],
        benches=[_bench(bench) for bench in row.benches if not bench.retired],
        retired=[_retired_bench(bench) for bench in row.benches if bench.retired],
        actions=[
            Action("Change", reverse("site", args=[row.id]), plain=True, small=True),
            Action(
                "Retire this site",
                reverse("site-retire", args=[row.id]),
                post=True,
                plain=True,
                small=True,
                hidden=hidden(version=row.version),
            ),
        ],
        small=SimpleNamespace(
            url=reverse("site-benches", args=[row.id]),
            form=form or BenchForm(auto_id=f"id_{row.id}_%s"),
            words=f"Add a bench to {row.name}",
            open=row.id == bad,
        ),
    )


def _bench(bench: BenchRow) -> SimpleNamespace:
    return SimpleNamespace(
        name=bench.name,
        url=reverse("bench", args=[bench.id]),
        trees=bench.trees,
        wakes=dict(BENCH_WEEKS)[bench.weeks_later],
    )


def _retired_site(row: SiteRow) -> SimpleNamespace:
    url = reverse("site-back", args=[row.id])
    return SimpleNamespace(
        name=row.name,
        action=Action(
            "Bring back", url, post=True, plain=True, small=True, hidden=hidden(version=row.version)
        ),
    )


def _retired_bench(bench: BenchRow) -> SimpleNamespace:
    url = reverse("bench-back", args=[bench.id])
    action = Action(
        "Bring back", url, post=True, plain=True, small=True, hidden=hidden(version=bench.version)
    )
    return SimpleNamespace(name=bench.name, action=action)


def site_page(row: SiteRow, form: SiteForm) -> SimpleNamespace:
    """One site to change."""
    return _one(row.name, form, reverse("site", args=[row.id]), "Keep this site", retire=None)


def bench_page(row: BenchRow, form: BenchForm) -> SimpleNamespace:
    """One bench to change, or to retire."""
    retire = Action(
        "Retire this bench",
        reverse("bench-retire", args=[row.id]),
        post=True,
        plain=True,
        hidden=hidden(version=row.version),
    )
    about = f"On {row.site}. {counted(row.trees, 'tree stands', 'trees stand')} on it."
    return _one(
        row.name, form, reverse("bench", args=[row.id]), "Keep this bench", retire=retire, about=about
    )


def _one(
    title: str, form: Any, url: str, words: str, *, retire: Action | None, about: str = ""
) -> SimpleNamespace:
    return page(
        title=title,
        lead=lead(about) if about else (),
        url=url,
        form=form,
        words=words,
        actions=[retire] if retire else [],
        back_url=reverse("sites"),
        foot_left="",
        foot_right="",
    )
