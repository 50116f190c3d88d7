"""Cells of heavy bends and of the places at them."""

from __future__ import annotations

from datetime import date, time

from collection import models
from collection.usecases import bends, branches, members, places
from collection.usecases.offers import offer_hours
from collection.usecases.workdays import create_workday
from tests.factories import SiteFactory, TreeFactory
from tests.walls.cells import Cell, Write, planners
from tests.walls.rows import TODAY, Rows

WISH = {
    "branch": "{branch}",
    "diameter_mm": "28",
    "method": "Lever bar",
    "opens": "2027-03-08",
    "closes": "2027-04-08",
}


def furnish(rows: Rows) -> None:
    """A bend with a lead, somebody to ask and somebody asked, on a day of its own; and a refused one."""
    planner, site = rows.planner, SiteFactory(club=rows.club)
    tree = TreeFactory(site=site, group="G03")
    branches.add_branch(actor=planner, tree_id=tree.pk, label="B1", diameter_mm=22.0)
    day = create_workday(actor=planner, site_id=site.pk, on=date(2027, 3, 20), opens=time(9), closes=time(14))
    ready = _bend(rows, tree)
    bends.sign_off(actor=planner, bend_id=ready.pk, version=1, today=TODAY)
    lead, askable, asked = (_hand(rows, day, *hand) for hand in HANDS)
    ready.refresh_from_db()
    bends.set_lead(actor=planner, bend_id=ready.pk, version=ready.version, member_id=lead, today=TODAY)
    question = places.ask(actor=planner, bend_id=ready.pk, member_id=asked, today=TODAY)
    ready.refresh_from_db()
    rows.keep("ready_bend", ready)
    rows.ids |= {"lead": lead, "askable": askable, "question": question}
    rows.ids["question_place"] = models.Invitation.objects.get(pk=question).place_id
    won = models.Place.objects.create(club=rows.club, workday_id=day, number=90, winner_id=rows.ids["member"])
    rows.keep("won_place", won)
    refused = _bend(rows, tree)
    models.Bend.objects.filter(pk=refused.pk).update(
        refused_by_id=rows.ids["member"], refused_why="Old wood."
    )
    rows.keep("refused_bend", refused)


HANDS = (("Imke", "expert"), ("Dilip", "practised"), ("Petra", "practised"))


def _bend(rows: Rows, tree: models.Tree) -> models.Bend:
    job = bends.want_bend(
        actor=rows.planner,
        tree_id=tree.pk,
        diameter_mm=22.0,
        opens=date(2027, 3, 1),
        closes=date(2027, 4, 1),
    )
    return models.Bend.objects.get(jobs=job)


def _hand(rows: Rows, day: int, name: str, level: str) -> int:
    planner, since = rows.planner, date(2026, 1, 1)
    person = members.add_member(actor=planner, name=f"{name} of {rows.club.pk}", today=since)
    members.set_skill(actor=planner, member_id=person, family="bending", level=level, since=since)
    members.declare(actor=planner, member_id=person, kind="can_lift", answer=True, on=since)
    offer_hours(actor=planner, workday_id=day, member_id=person, answer="yes")
    return person


CELLS = [
    Cell("bends", "/bends", get=200),
    Cell("bend", "/bends/{bend}", get=200),
    Cell(
        "bend-new",
        "/trees/{tree}/bends/new",
        get=planners(200),
        post=Write(planners(302), WISH, empty=planners(400)),
    ),
    Cell(
        "bend-sign",
        "/bends/{bend}/sign",
        post=Write(planners(302), {"version": "{=bend_version}"}, empty=planners(409)),
    ),
    Cell(
        "bend-refuse",
        "/bends/{bend}/refuse",
        post=Write(planners(302), {"why": "Old wood.", "version": "{=bend_version}"}, empty=planners(400)),
    ),
    Cell(
        "bend-release",
        "/bends/{refused_bend}/release",
        post=Write(planners(302), {"version": "{=refused_bend_version}"}),
    ),
    Cell(
        "bend-lead",
        "/bends/{ready_bend}/lead",
        post=[
            Write(planners(302), {"member": "", "version": "{=ready_bend_version}"}),
            # The lead who is set already: nothing changes.
            Write(planners(302), {"member": "{lead}", "version": "{=ready_bend_version}"}, changes=False),
        ],
    ),
    Cell("bend-ask", "/bends/{ready_bend}/ask", post=Write(planners(302), {"member": "{askable}"})),
    Cell(
        "invitation-answer",
        "/invitations/{question}/answer",
        post=[Write(planners(302), {"answer": "yes"}), Write(planners(302), {"answer": "no"})],
    ),
    Cell("invitation-withdraw", "/invitations/{question}/withdraw", post=Write(planners(302))),
    Cell("place-give-back", "/places/{won_place}/give-back", post=Write(planners(302))),
]
