"""Cells of the API's workdays, plans and sittings."""

from __future__ import annotations

from datetime import date, time

from collection import models
from collection.usecases import workdays
from tests.walls.cells import Cell, Write, planners
from tests.walls.rows import Rows

DAY = {
    "site_id": "{site}",
    "date": "2027-03-20",
    "opens": "09:30",
    "closes": "13:30",
    "lead_id": "{member}",
    "first_aider_id": "{member}",
    "state": "open",
}
WORKED = [{"member_id": "{member}", "minutes": 45}]
SPELL = {
    "tasks": [{"task": "TRIM", "job_id": "{hand_job}"}],
    "people": WORKED,
    "started": "2027-03-02T09:00:00Z",
    "ended": "2027-03-02T10:00:00Z",
}


def furnish(rows: Rows) -> None:
    """A draft, and a day that is over but not yet written down as held."""
    times = {"opens": time(9, 30), "closes": time(13, 30)}
    for name, on, state in (("draft", date(2027, 4, 3), "draft"), ("past_day", date(2027, 2, 27), "open")):
        pk = workdays.create_workday(
            actor=rows.planner, site_id=rows.ids["site"], on=on, state=state, **times
        )
        rows.keep(name, models.Workday.objects.get(pk=pk))
    rows.words["nothing_yet"] = 0


CELLS = [
    Cell("api-workdays", "/api/v1/workdays", get=200, post=Write(planners(201), DAY, empty=400)),
    Cell(
        "api-workday",
        "/api/v1/workdays/{day}",
        get=200,
        patch=Write(planners(200), {"lead_id": "{member}"}, empty=planners(200), match="{=day_version}"),
    ),
    Cell(
        "api-workday",
        "/api/v1/workdays/{draft}",
        get={"member": 404, "bench_lead": 404, "coordinator": 200, "admin": 200},
    ),
    Cell(
        "api-workday-open",
        "/api/v1/workdays/{draft}/open",
        put=Write(planners(200), match="{=draft_version}"),
    ),
    Cell(
        "api-workday-date",
        "/api/v1/workdays/{day}/date",
        put=Write(planners(200), {"date": "2027-03-13"}, empty=400, match="{=day_version}"),
    ),
    Cell(
        "api-workday-cancelled",
        "/api/v1/workdays/{day}/cancelled",
        put=Write(planners(200), {"why": "Storm."}, empty=400, match="{=day_version}"),
    ),
    Cell("api-workday-offers", "/api/v1/workdays/{day}/offers", get=200),
    Cell(
        "api-workday-offer",
        "/api/v1/workdays/{day}/offers/{member}",
        get=200,
        put=Write(planners(200), {"answer": "no"}, empty=400, match="{=offer_version}"),
    ),
    Cell(
        "api-workday-offer",
        "/api/v1/workdays/{day}/offers/{me}",
        get=200,
        put=Write(200, {"answer": "yes", "arrives": "10:00"}, match="{=nothing_yet}"),
    ),
    Cell(
        "api-workday-attendance",
        "/api/v1/workdays/{past_day}/attendance",
        get=planners(200),
        put=Write(
            planners(200),
            {"member_ids": ["{member}"], "hours": [{"member_id": "{member}", "arrived": "09:30"}]},
            empty=400,
        ),
    ),
    Cell("api-workday-wire", "/api/v1/workdays/{day}/wire", get=200),
    Cell(
        "api-workday-plans",
        "/api/v1/workdays/{day}/plans",
        get=200,
        post=Write(planners(201)),
    ),
    # The plan was not sent out.
    Cell(
        "api-plan",
        "/api/v1/plans/{plan}",
        get={"member": 404, "bench_lead": 404, "coordinator": 200, "admin": 200},
    ),
    Cell("api-plan-send", "/api/v1/plans/{plan}/send", post=Write(planners(200))),
    Cell(
        "api-plan-move",
        "/api/v1/plans/{plan}/move",
        post=Write(planners(201), {"job_id": "{job}", "people": ["{member}"]}, empty=400),
    ),
    Cell(
        "api-plan-leave-out",
        "/api/v1/plans/{plan}/leave-out",
        post=Write(planners(201), {"job_id": "{job}"}, empty=400),
    ),
    Cell(
        "api-plan-put-back",
        "/api/v1/plans/{plan}/put-back",
        post=Write(planners(201), {"job_id": "{job}"}, empty=400),
    ),
    Cell(
        "api-plan-not-here",
        "/api/v1/plans/{plan}/not-here",
        post=Write(planners(201), {"member_id": "{member}"}, empty=400),
    ),
    Cell(
        "api-workday-recorded",
        "/api/v1/workdays/{past_day}/recorded",
        post=Write(planners(201), {"jobs": [{"job_id": "{past_job}"}]}, empty=400),
    ),
    Cell(
        "api-sittings",
        "/api/v1/sittings",
        get=200,
        post=Write(201, {**SPELL, "trees": ["{tree}"], "workday_id": "{day}"}, empty=400),
    ),
    Cell("api-sittings", "/api/v1/sittings", query="tree={tree}&member={member}&workday={day}", get=200),
    Cell("api-sitting", "/api/v1/sittings/{sitting}", get=200),
    Cell(
        "api-sitting-correction",
        "/api/v1/sittings/{sitting}/corrections",
        post=Write(
            {"member": 403, "bench_lead": 403, "coordinator": 201, "admin": 201},
            {**SPELL, "tasks": [{"task": "REPOT"}], "tree_id": "{tree}"},
            empty=400,
        ),
    ),
]
