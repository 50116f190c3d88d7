"""Cells of the register, of jobs and of sittings."""

from __future__ import annotations

from datetime import date

from collection import models
from collection.usecases import branches, care, jobs
from tests.walls.cells import Cell, Write, planners
from tests.walls.rows import TODAY, Rows

JOB = {"task": "PEST", "opens": "2027-03-08", "closes": "2027-04-08", "priority": "3"}
SITTING = {
    "people": "{me}",
    "on": "2027-03-01",
    "minutes": "30",
    "key": "walls",
    "tasks-TOTAL_FORMS": "1",
    "tasks-INITIAL_FORMS": "0",
    "tasks-0-task": "TRIM",
    "tasks-0-finished": "on",
}

TREE = {
    "name": "Heron",
    "group": "G01",
    "stage": "F",
    "condition": "sound",
    "height_mm": "61",
    "brought_by_id": "{member}",
}
SEASON = {"until": "2027-12-31"}
CARE = {"version": "{=care_version}"}
CARER = {"member": "{member}", "role": "carer"}
DAY = {"on": "2027-03-02"}
SEEN = {"version": "{=tree_version}"}
EVENTS = {
    "out": {"how": "sold"} | SEEN,
    "died": {"cause": "not known"} | SEEN,
    "lent": {"to": "the museum"},
    "show": {"where": "Spring show", "until": "2027-03-04"},
    "moved": {"place": "{site}"} | SEEN,
}
NEW_TREE = TREE | {"accession": "2027.001", "place": "{site}"}


def furnish(rows: Rows) -> None:
    """An owner who wants to be asked first and has agreed for a short while."""
    line = models.Care.objects.get(pk=rows.ids["care"])
    care.give_consent(
        actor=rows.planner, care_id=line.pk, version=line.version, until=date(2027, 3, 31), today=TODAY
    )
    out = jobs.add_job(
        actor=rows.planner, tree_id=rows.ids["tree"], task="DEADWOOD", opens=TODAY, closes=date(2027, 4, 1)
    )
    jobs.not_this_year(actor=rows.planner, job_id=out, version=1, reason="It rests.", today=TODAY)
    rows.keep("left_job", models.Job.objects.get(pk=out))
    loose = branches.add_branch(actor=rows.planner, tree_id=rows.ids["tree"], label="B2")
    rows.keep("loose_branch", models.Branch.objects.get(pk=loose))
    rows.keep("care", models.Care.objects.get(pk=line.pk))


CELLS = [
    Cell("trees", "/trees", "where=bench:{bench}&carer={member}", get=200),
    Cell(
        "tree-new",
        "/trees/new",
        get=planners(200),
        post=Write(planners(302), NEW_TREE, empty=planners(400)),
    ),
    Cell(
        "tree-edit",
        "/trees/{tree}/edit",
        get=planners(200),
        post=Write(planners(302), TREE | {"version": "{=tree_version}"}, empty=planners(400)),
    ),
    Cell("tree", "/trees/{tree}", get=200),
    Cell("trees-mine", "/trees/mine", get=200),
    Cell("trees-of", "/trees/of/{member}", get=planners(200)),
    Cell(
        "trees-of-consent",
        "/trees/of/{member}/consent",
        post=Write(planners(302), SEASON, empty=planners(400)),
    ),
    Cell(
        "tree-people", "/trees/{tree}/people", get=200, post=Write(planners(302), CARER, empty=planners(400))
    ),
    Cell("care-consent", "/care/{care}/consent", post=Write(planners(302), SEASON | CARE, empty=400)),
    Cell("care-take-back", "/care/{care}/take-back", post=Write(planners(302), CARE)),
    Cell("care-ask-first", "/care/{care}/ask-first", post=Write(planners(302), CARE)),
    Cell("care-end", "/care/{care}/end", post=Write(planners(302), CARE)),
    *(
        Cell(
            "tree-event",
            f"/trees/{{tree}}/events/{kind}",
            get=planners(200),
            post=Write(planners(302), DAY | body, empty=planners(400)),
        )
        for kind, body in EVENTS.items()
    ),
    Cell("tree-job", "/trees/{tree}/jobs", post=Write(planners(302), JOB, empty=400)),
    Cell(
        "tree-counts",
        "/trees/{tree}/counts",
        get=200,
        post=[
            Write(302, {"primary": "9"}, empty=400),
            # A small button changes the figures on the page only.
            Write(200, {"primary": "9", "step": "primary:1"}, changes=False),
        ],
    ),
    Cell("tree-branches", "/trees/{tree}/branches", get=200, post=Write(302, {"label": "B7"}, empty=400)),
    Cell(
        "branch",
        "/branches/{branch}",
        get=200,
        post=Write(302, {"label": "B8", "version": "{=branch_version}"}, empty=400),
    ),
    Cell(
        "branch-remove",
        "/branches/{loose_branch}/remove",
        post=Write(302, {"version": "{=loose_branch_version}"}),
    ),
    Cell("tree-sign", "/trees/{tree}/signs", post=Write(302, {"sign": "first_green"}, empty=400)),
    Cell(
        "job-window",
        "/jobs/{job}/window",
        post=[
            Write(planners(302), {"choice": "new", "version": "{=job_version}"}),
            Write(planners(409), {"choice": "new", "version": "99"}),
        ],
    ),
    Cell(
        "job-not-this-year",
        "/jobs/{job}/not-this-year",
        post=[
            Write(planners(302), {"reason": "It was repotted.", "version": "{=job_version}"}),
            Write(planners(409), {"reason": "It was repotted.", "version": "99"}),
        ],
    ),
    Cell("job", "/jobs/{job}", get=200),
    Cell(
        "job-priority",
        "/jobs/{job}/priority",
        post=Write(planners(302), {"priority": "5", "version": "{=job_version}"}, empty=planners(400)),
    ),
    Cell(
        "job-this-year",
        "/jobs/{left_job}/this-year",
        post=Write(planners(302), {"version": "{=left_job_version}"}),
    ),
    Cell(
        "job-done-before",
        "/jobs/{job}/done-before",
        post=Write(
            planners(302), {"on": "2024", "why": "Known.", "version": "{=job_version}"}, empty=planners(400)
        ),
    ),
    Cell(
        "tree-before",
        "/trees/{tree}/before",
        get=planners(200),
        post=Write(
            planners(302), {"task": "WIRE_DETAIL", "on": "2024", "why": "Known."}, empty=planners(400)
        ),
    ),
    Cell("tree-history", "/trees/{tree}/history", get=200),
    Cell(
        "sitting-correct",
        "/sittings/{sitting}/correct",
        get=planners(200),
        post=Write(planners(302), SITTING | {"tree": "{=accession}"}, empty=planners(400)),
    ),
    Cell("sitting-new", "/sittings/new", "tree={tree}", get=200, post=Write(302, SITTING, empty=400)),
]
