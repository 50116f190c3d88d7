"""Cells of the API's heavy bends, places and invitations; the rows are those of ``bends``."""

from __future__ import annotations

from tests.walls.cells import Cell, Write, planners

WISH = {
    "tree_id": "{tree}",
    "branch_id": "{branch}",
    "diameter_mm": 28,
    "opens": "2027-03-08",
    "closes": "2027-04-08",
}
# Only those who ask see or answer somebody else's question.
THEIRS = {"member": 404, "bench_lead": 404, "coordinator": 200, "admin": 200}

CELLS = [
    Cell("api-bends", "/api/v1/bends", get=200, post=Write(planners(201), WISH, empty=400)),
    Cell("api-bends", "/api/v1/bends", query="tree={tree}&state=open", get=200),
    Cell("api-bend", "/api/v1/bends/{bend}", get=200),
    Cell("api-bend-figures", "/api/v1/bends/{bend}/figures", get=200),
    Cell("api-bend-signed", "/api/v1/bends/{bend}/signed", put=Write(planners(200), match="{=bend_version}")),
    Cell(
        "api-bend-refused",
        "/api/v1/bends/{bend}/refused",
        put=Write(planners(200), {"why": "Old wood."}, empty=400, match="{=bend_version}"),
        # Nobody has said no.
        delete=Write(planners(409), match="{=bend_version}"),
    ),
    Cell(
        "api-bend-refused",
        "/api/v1/bends/{refused_bend}/refused",
        delete=Write(planners(200), match="{=refused_bend_version}"),
    ),
    Cell(
        "api-bend-lead",
        "/api/v1/bends/{ready_bend}/lead",
        put=Write(planners(200), {"member_id": None}, empty=400, match="{=ready_bend_version}"),
    ),
    Cell(
        "api-bend-lead",
        "/api/v1/bends/{ready_bend}/lead",
        # The lead who is set already: nothing changes.
        put=Write(planners(200), {"member_id": "{lead}"}, match="{=ready_bend_version}", changes=False),
    ),
    Cell("api-bend-helpers", "/api/v1/bends/{ready_bend}/helpers", get=planners(200)),
    Cell("api-bend-places", "/api/v1/bends/{ready_bend}/places", get=200),
    Cell(
        "api-bend-invitations",
        "/api/v1/bends/{ready_bend}/invitations",
        get=200,
        post=Write(planners(201), {"member_id": "{askable}"}, empty=400),
    ),
    Cell("api-invitations", "/api/v1/invitations", get=200),
    Cell("api-invitation", "/api/v1/invitations/{question}", get=THEIRS),
    Cell("api-invitation-accepted", "/api/v1/invitations/{question}/accepted", put=Write(planners(200))),
    Cell("api-invitation-declined", "/api/v1/invitations/{question}/declined", put=Write(planners(200))),
    Cell("api-invitation-withdrawn", "/api/v1/invitations/{question}/withdrawn", put=Write(planners(200))),
    Cell("api-place-given-back", "/api/v1/places/{won_place}/given-back", put=Write(planners(200))),
]
