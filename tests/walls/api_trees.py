"""Cells of the API's register: trees, branches, care, wire, jobs and rounds."""

from __future__ import annotations

from datetime import date

from collection import models
from collection.usecases import branches, jobs, tree_events
from tests.factories import SiteFactory, TreeFactory
from tests.walls.cells import Cell, Write, planners
from tests.walls.rows import Rows

TREE = {
    "accession": "2027.900",
    "group": "G07",
    "stage": "F",
    "site_id": "{site}",
    "bench_id": "{bench}",
    "brought_by_id": "{member}",
    "on": "2027-03-01",
}
PLACES = {"site_id": "{site}", "bench_id": "{bench}", "brought_by_id": "{member}", "style": "upright"}
GEAR = {"tree_id": "{tree}", "branch_id": "{branch}", "gauge_mm": 2.5, "metal": "copper", "on": "2027-03-02"}
WALKED = {
    "people": [{"member_id": "{member}", "minutes": 30}],
    "started": "2027-03-02T09:00:00Z",
    "ended": "2027-03-02T09:30:00Z",
}
CARERS = {"member": 403, "bench_lead": 403, "coordinator": 201, "admin": 201}
OWNERS = planners(200)


def furnish(rows: Rows) -> None:
    """A tree that is lent, so that it can come back, with a bare branch and a job that was left out."""
    rows.keep("other_site", SiteFactory(club=rows.club))
    lent = rows.keep("lent", TreeFactory(site_id=rows.ids["site"], club=rows.club))
    tree_events.lend(actor=rows.planner, tree_id=lent.pk, to="A friend", on=lent.created_at.date())
    lent.refresh_from_db()
    rows.keep("lent", lent)
    bare = branches.add_branch(actor=rows.planner, tree_id=lent.pk, label="B1")
    rows.keep("bare_branch", models.Branch.objects.get(pk=bare))
    job = jobs.add_job(
        actor=rows.planner, tree_id=lent.pk, task="TRIM", opens=date(2027, 3, 1), closes=date(2027, 4, 1)
    )
    jobs.not_this_year(actor=rows.planner, job_id=job, version=1, reason="It rests.", today=date(2027, 3, 3))
    rows.keep("left_out_job", models.Job.objects.get(pk=job))


CELLS = [
    Cell("api-trees", "/api/v1/trees", get=200, post=Write(planners(201), TREE, empty=400)),
    Cell("api-trees", "/api/v1/trees", query="carer={member}&site={site}", get=200),
    Cell(
        "api-tree",
        "/api/v1/trees/{tree}",
        get=200,
        patch=Write(planners(200), PLACES, empty=planners(200), match="{=tree_version}"),
    ),
    Cell("api-tree-wire-needed", "/api/v1/trees/{tree}/wire-needed", query="metal=copper", get=200),
    Cell("api-tree-moving", "/api/v1/trees/{tree}/moving", get=200),
    Cell("api-tree-growth", "/api/v1/trees/{tree}/growth", get=200),
    Cell("api-tree-events", "/api/v1/trees/{tree}/events", get=200),
    Cell(
        "api-tree-out",
        "/api/v1/trees/{tree}/out",
        post=Write(planners(200), {"how": "sold", "on": "2027-03-02"}, empty=400, match="{=tree_version}"),
    ),
    Cell(
        "api-tree-death",
        "/api/v1/trees/{tree}/death",
        post=Write(planners(200), {"cause": "Frost", "on": "2027-03-02"}, empty=400, match="{=tree_version}"),
    ),
    Cell(
        "api-tree-loan",
        "/api/v1/trees/{tree}/loan",
        post=Write(planners(201), {"to": "A friend", "on": "2027-03-02"}, empty=400),
    ),
    Cell(
        "api-tree-show",
        "/api/v1/trees/{tree}/show",
        post=Write(
            planners(201), {"where": "The spring show", "on": "2027-04-02", "until": "2027-04-04"}, empty=400
        ),
    ),
    Cell(
        "api-tree-move",
        "/api/v1/trees/{tree}/move",
        post=Write(
            planners(200),
            {"site_id": "{other_site}", "on": "2027-03-02"},
            empty=400,
            match="{=tree_version}",
        ),
    ),
    Cell(
        "api-tree-back",
        "/api/v1/trees/{lent}/back",
        post=Write(planners(200), {"on": "2027-03-03"}, empty=400, match="{=lent_version}"),
    ),
    Cell(
        "api-tree-counts",
        "/api/v1/trees/{tree}/counts",
        get=200,
        post=Write(201, {"on": "2027-03-02", "counts": [{"kind": "fine", "amount": 30}]}, empty=400),
    ),
    Cell(
        "api-tree-signs",
        "/api/v1/trees/{tree}/signs",
        get=200,
        post=Write(201, {"sign": "leaf_fall_done", "on": "2027-03-02"}, empty=400),
    ),
    Cell(
        "api-tree-done-before",
        "/api/v1/trees/{tree}/done-before",
        post=Write(CARERS, {"task": "REPOT", "on": "2024-03-01", "why": "His diary."}, empty=400),
    ),
    Cell(
        "api-branches",
        "/api/v1/trees/{tree}/branches",
        get=200,
        post=Write(201, {"label": "B9", "parent_id": "{branch}", "diameter_mm": 9}, empty=400),
    ),
    Cell(
        "api-branch",
        "/api/v1/branches/{branch}",
        get=200,
        patch=Write(200, {"diameter_mm": 14}, empty=200, match="{=branch_version}"),
        # Wire hangs on it, so it cannot go.
        delete=Write(409, match="{=branch_version}"),
    ),
    Cell("api-branch", "/api/v1/branches/{bare_branch}", delete=Write(204, match="{=bare_branch_version}")),
    Cell(
        "api-tree-care",
        "/api/v1/trees/{tree}/care",
        get=200,
        post=Write(planners(201), {"member_id": "{member}", "role": "carer"}, empty=400),
    ),
    Cell(
        "api-care",
        "/api/v1/care/{care}",
        get=200,
        delete=Write(planners(204), match="{=care_version}"),
    ),
    Cell(
        "api-care-consent",
        "/api/v1/care/{care}/consent",
        put=Write(OWNERS, {"until": "2027-10-31"}, empty=400, match="{=care_version}"),
        delete=Write(OWNERS, match="{=care_version}"),
    ),
    Cell(
        "api-care-ask",
        "/api/v1/care/{care}/ask",
        put=Write(OWNERS, {"ask": False}, empty=400, match="{=care_version}"),
    ),
    Cell(
        "api-wires",
        "/api/v1/wires",
        get=200,
        post=Write(201, {**GEAR, "label": "W9", "length_m": 2}, empty=400),
    ),
    Cell("api-wires", "/api/v1/wires", query="tree={tree}&on_now=true", get=200),
    Cell("api-wire", "/api/v1/wires/{wire}", get=200),
    Cell("api-wire-off", "/api/v1/wires/{wire}/off", post=Write(201, {"on": "2027-03-02"}, empty=400)),
    Cell(
        "api-wire-looks",
        "/api/v1/wires/{wire}/looks",
        get=200,
        post=Write(201, {"on": "2027-03-02", "seen": "loose"}, empty=400),
    ),
    Cell("api-guys", "/api/v1/guys", get=200, post=Write(201, {**GEAR, "label": "Y9"}, empty=400)),
    Cell("api-guys", "/api/v1/guys", query="tree={tree}", get=200),
    Cell("api-guy", "/api/v1/guys/{guy}", get=200),
    Cell("api-guy-off", "/api/v1/guys/{guy}/off", post=Write(201, {"on": "2027-03-02"}, empty=400)),
    Cell("api-wire-clocks", "/api/v1/wire-clocks", get=200),
    Cell("api-wire-clock", "/api/v1/wires/{wire}/clock", get=200),
    Cell(
        "api-wire-stock",
        "/api/v1/wire-stock",
        get=200,
        put=Write(planners(200), {"metal": "copper", "gauge_mm": 2.0, "grams": 750}, empty=400),
        no_ids="the rack of the club of whoever asks",
    ),
    Cell(
        "api-guy-looks",
        "/api/v1/guys/{guy}/looks",
        get=200,
        post=Write(201, {"on": "2027-03-02", "seen": "snug"}, empty=400),
    ),
    Cell(
        "api-jobs",
        "/api/v1/jobs",
        get=200,
        post=Write(
            planners(201),
            {"tree_id": "{tree}", "task": "PINCH", "opens": "2027-05-01", "closes": "2027-06-01"},
            empty=400,
        ),
    ),
    Cell("api-jobs", "/api/v1/jobs", query="tree={tree}&state=open", get=200),
    Cell("api-job", "/api/v1/jobs/{job}", get=200),
    Cell(
        "api-job-not-this-year",
        "/api/v1/jobs/{job}/not-this-year",
        put=Write(planners(200), {"reason": "It rests."}, empty=400, match="{=job_version}"),
        # It was never left out, so there is nothing to take back.
        delete=Write(planners(409), match="{=job_version}"),
    ),
    Cell(
        "api-job-not-this-year",
        "/api/v1/jobs/{left_out_job}/not-this-year",
        delete=Write(planners(200), match="{=left_out_job_version}"),
    ),
    Cell(
        "api-job-window",
        "/api/v1/jobs/{job}/window",
        put=Write(planners(200), {"take_new": True}, empty=400, match="{=job_version}"),
    ),
    Cell(
        "api-job-priority",
        "/api/v1/jobs/{job}/priority",
        put=Write(planners(200), {"priority": 5}, empty=400, match="{=job_version}"),
    ),
    Cell("api-rounds", "/api/v1/rounds", get=200),
    Cell("api-round", "/api/v1/rounds/{round}", get=200),
    Cell("api-round-walked", "/api/v1/rounds/{round}/walked", post=Write(201, WALKED, empty=400)),
]
