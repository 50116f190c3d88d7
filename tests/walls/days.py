"""Cells of workdays and their plans."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

from collection import models
from collection.usecases import workdays
from tests.factories import JobFactory, PlanFactory, SiteFactory
from tests.walls.cells import Cell, Write, planners
from tests.walls.rows import Rows

DAY = {"on": "2027-03-20", "opens": "09:30", "closes": "13:30", "site": "{site}"}
ANSWER = {"member": "{me}", "answer": "yes", "arrives": "10:00", "leaves": "12:00"}
CHANGED = {
    "opens": "10:00", "closes": "13:00", "site": "{site}", "lead": "{member}", "first_aider": "{member}",
    "version": "{=day_version}",
}  # fmt: skip
# The job of the day that took place, as the plan that went out names it.
DONE = {"jobs": ["{past_job}~1"], "key": "walls"}
TELEPHONE = ANSWER | {"member": "{member}", "versions": "{=answered}"}

CELLS = [
    Cell("days", "/days", get=200),
    Cell("day-new", "/days/new", get=planners(200), post=Write(planners(302), DAY, empty=planners(400))),
    Cell("day", "/days/{day}", get=200),
    Cell(
        "day-answer",
        "/days/{day}/answers",
        post=[
            Write(302, ANSWER, empty=400),
            Write({"member": 400, "bench_lead": 400, "coordinator": 302, "admin": 302}, TELEPHONE),
        ],
    ),
    Cell(
        "day-change",
        "/days/{day}/change",
        get=planners(200),
        post=Write(planners(302), CHANGED, empty=planners(400)),
    ),
    Cell("day-open", "/days/{draft}/open", post=Write(planners(302))),
    Cell(
        "day-move",
        "/days/{day}/move",
        get=planners(200),
        post=Write(planners(302), {"on": "2027-03-13", "version": "{=day_version}"}, empty=planners(400)),
    ),
    Cell(
        "day-cancel",
        "/days/{day}/cancel",
        get=planners(200),
        post=Write(planners(302), {"why": "Frost", "version": "{=day_version}"}, empty=planners(400)),
    ),
    Cell("day-missing", "/days/{day}/missing", get=planners(200)),
    Cell("my-day", "/days/{past_day}/mine", get=200),
    Cell(
        "day-came",
        "/days/{past_day}/came",
        get=planners(200),
        post=Write(planners(302), {"came": ["{member}"], "others": ["{me}"], "held": "yes"}),
    ),
    Cell("day-after", "/days/{past_day}/done", get=200),
    Cell("day-record", "/days/{past_day}/record", post=Write(planners(302), DONE, empty=planners(400))),
    Cell("plan", "/plans/{past_plan}", get=200),
    Cell("plan", "/plans/{plan}", get=planners(200) | {"member": 404, "bench_lead": 404}),
    Cell("day-plan", "/days/{day}/plan", post=Write(planners(302))),
    Cell("plan-state", "/plans/{plan}/state", get=200),
    Cell("plan-send", "/plans/{plan}/send", post=Write(planners(302))),
    Cell("plan-leave-out", "/plans/{plan}/jobs/{job}/leave-out", post=Write(planners(302))),
    Cell("plan-put-back", "/plans/{plan}/jobs/{job}/put-back", post=Write(planners(302))),
    Cell("plan-move", "/plans/{plan}/jobs/{job}/move", post=Write(planners(302), {"lead": "{member}"})),
    Cell(
        "plan-not-here",
        "/plans/{plan}/people/{member}/not-here",
        post=[Write(planners(302)), Write(planners(302), {"here": "yes"})],
    ),
]


def furnish(rows: Rows) -> None:
    """A draft, and a day that took place with a plan that had gone out."""
    times = {"opens": time(9, 30), "closes": time(13, 30), "site_id": SiteFactory(club=rows.club).pk}
    rows.ids["draft"] = workdays.create_workday(
        actor=rows.planner, on=date(2027, 5, 1), state="draft", **times
    )
    day = workdays.create_workday(actor=rows.planner, on=date(2027, 2, 27), **times)
    person = rows.ids["member"]
    workdays.offer_hours(actor=rows.planner, workday_id=day, member_id=person, answer="yes")
    plan = PlanFactory(workday_id=day, club=rows.club, number=1, state="ready", sent_out=True, outcome={})
    job = JobFactory(tree=models.Tree.objects.get(pk=rows.ids["tree"]), task="TRIM")
    models.Assignment.objects.create(
        club=rows.club, plan=plan, job=job, member_id=person, person_key=f"member:{person}", role="lead",
        starts=datetime(2027, 2, 27, 10, tzinfo=UTC), ends=datetime(2027, 2, 27, 11, tzinfo=UTC),
        steps=[["work", 600, 660]],
    )  # fmt: skip
    models.Workday.objects.filter(pk=day).update(state="sent")
    workdays.mark_came(actor=rows.planner, workday_id=day, member_ids=[person], today=date(2027, 2, 27))
    rows.words["answered"] = f"{person}:1"
    rows.ids |= {"past_day": day, "past_plan": plan.pk, "past_job": job.pk}
