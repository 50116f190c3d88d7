"""Cells of workdays and their plans."""

from __future__ import annotations

from tests.walls.cells import Cell, Write, planners

DAY = {"on": "2027-03-20", "opens": "09:30", "closes": "13:30", "site": "{site}"}
ANSWER = {"member": "{me}", "answer": "yes", "arrives": "10:00", "leaves": "12:00"}
TELEPHONE = ANSWER | {"member": "{member}"}

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
