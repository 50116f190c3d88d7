"""Cells of the API's people and places."""

from __future__ import annotations

from datetime import date

from collection import models
from tests.factories import BenchFactory, MemberFactory, SiteFactory, TreeFactory
from tests.walls.cells import Cell, Write, planners
from tests.walls.rows import Rows


def furnish(rows: Rows) -> None:
    """The version of the club, a site and a bench with nothing on them, and somebody who is to leave."""
    rows.words["club_version"] = rows.club.version
    rows.keep("spare_site", SiteFactory(club=rows.club))
    rows.keep("api_leaver", MemberFactory(club=rows.club, active_to=date(2027, 12, 31)))
    goer = rows.keep("api_goer", MemberFactory(club=rows.club, account=None))
    owned = TreeFactory(site_id=rows.ids["site"], club=rows.club, accession=f"G.{rows.club.pk}")
    models.Care.objects.create(club=rows.club, tree=owned, member=goer, role="owner")
    rows.keep("goer_tree", owned)
    rows.keep("spare_bench", BenchFactory(site_id=rows.ids["site"], club=rows.club))


HABIT = {"weekday": 5, "minutes": 90, "starts": "2027-04-01"}
ADMINS = {"member": 403, "bench_lead": 403, "coordinator": 403, "admin": 200}
CELLS = [
    Cell(
        "api-club",
        "/api/v1/club",
        get=200,
        patch=Write(
            planners(200),
            {"altitude_m": 50, "mails": {"hour": 7, "quiet": "none"}},
            empty=planners(200),
            match="{=club_version}",
        ),
        no_ids="the club of whoever asks",
    ),
    Cell(
        "api-sites",
        "/api/v1/sites",
        get=200,
        post=Write(planners(201), {"name": "A new ground", "kind": "ground"}, empty=400),
        no_ids="makes a new site",
    ),
    Cell(
        "api-site",
        "/api/v1/sites/{site}",
        get=200,
        put=Write(
            planners(200), {"name": "Another name", "kind": "ground"}, empty=400, match="{=site_version}"
        ),
    ),
    Cell(
        "api-site-retired",
        "/api/v1/sites/{spare_site}/retired",
        put=Write(planners(200), match="{=spare_site_version}"),
        # It is not retired, so nothing changes.
        delete=Write(planners(200), match="{=spare_site_version}", changes=False),
    ),
    Cell(
        "api-site-retired",
        "/api/v1/sites/{site_left}/retired",
        delete=Write(planners(200), match="{=site_left_version}"),
    ),
    Cell(
        "api-benches",
        "/api/v1/benches",
        get=200,
        post=Write(planners(201), {"site_id": "{site}", "name": "A new bench"}, empty=400),
    ),
    Cell("api-benches", "/api/v1/benches", query="site={site}", get=200),
    Cell(
        "api-bench",
        "/api/v1/benches/{spare_bench}",
        get=200,
        put=Write(
            planners(200),
            {"site_id": "{site}", "name": "Another name"},
            empty=400,
            match="{=spare_bench_version}",
        ),
    ),
    Cell(
        "api-bench-retired",
        "/api/v1/benches/{spare_bench}/retired",
        put=Write(planners(200), match="{=spare_bench_version}"),
        # It is not retired, so nothing changes.
        delete=Write(planners(200), match="{=spare_bench_version}", changes=False),
    ),
    Cell(
        "api-bench-retired",
        "/api/v1/benches/{bench_left}/retired",
        delete=Write(planners(200), match="{=bench_left_version}"),
    ),
    Cell(
        "api-members",
        "/api/v1/members",
        get=200,
        post=Write(planners(201), {"name": "Wiltrud New"}, empty=400),
        no_ids="makes a new member",
    ),
    Cell(
        "api-member",
        "/api/v1/members/{member}",
        get=200,
        patch=Write(planners(200), {"name": "Ottilie Other"}, empty=planners(200), match="{=member_version}"),
    ),
    Cell(
        "api-member-role",
        "/api/v1/members/{member}/role",
        put=[
            Write(planners(200), {"role": "bench_lead"}, empty=400, match="{=member_version}"),
            Write(ADMINS, {"role": "coordinator"}, match="{=member_version}"),
        ],
    ),
    Cell(
        "api-member-last-day",
        "/api/v1/members/{member}/last-day",
        # Nobody has said that he leaves.
        delete=Write(planners(409), match="{=member_version}"),
    ),
    Cell(
        "api-member-last-day",
        "/api/v1/members/{api_leaver}/last-day",
        delete=Write(planners(200), match="{=api_leaver_version}"),
    ),
    Cell(
        "api-member-left",
        "/api/v1/members/{api_goer}/left",
        put=Write(
            planners(200),
            {"owned": [{"tree_id": "{goer_tree}", "to_id": "{member}"}]},
            # A tree he owns alone must be named.
            empty=planners(400),
            match="{=api_goer_version}",
        ),
    ),
    Cell(
        "api-member-consent",
        "/api/v1/members/{api_goer}/consent",
        post=Write(planners(200), {"until": "2027-12-31"}, empty=400),
    ),
    Cell(
        "api-member-contact",
        "/api/v1/members/{member}/contact",
        get=planners(200),
        put=Write(
            planners(200),
            {"email": "ottilie@example.org", "telephone": "0 12"},
            empty=400,
            match="{=contact_version}",
        ),
        delete=Write(planners(204)),
    ),
    Cell(
        "api-member-contact",
        "/api/v1/members/{me}/contact",
        get=200,
        put=Write(200, {"email": "me@example.org", "telephone": ""}, match="{=nothing_yet}"),
    ),
    Cell(
        "api-member-mail",
        "/api/v1/members/{member}/mail",
        put=Write(planners(200), {"wants": False}, empty=400, match="{=member_version}"),
    ),
    Cell("api-member-skills", "/api/v1/members/{member}/skills", get=200),
    Cell(
        "api-member-skill",
        "/api/v1/members/{member}/skills/pruning",
        put=Write(planners(200), {"level": "practised"}, empty=400),
    ),
    Cell("api-member-declarations", "/api/v1/members/{member}/declarations", get=planners(200)),
    Cell(
        "api-member-declaration",
        "/api/v1/members/{member}/declarations/can_lift",
        get=planners(200),
        put=Write(planners(200), {"answer": False}, empty=400),
        delete=Write(planners(204)),
    ),
    Cell(
        "api-member-declaration",
        "/api/v1/members/{me}/declarations/first_aid",
        put=Write(200, {"answer": True}),
    ),
    Cell(
        "api-member-habits",
        "/api/v1/members/{member}/habits",
        get=planners(200),
        post=Write(planners(201), HABIT, empty=400),
    ),
    Cell("api-member-habits", "/api/v1/members/{me}/habits", get=200, post=Write(201, HABIT)),
    Cell(
        "api-habit",
        "/api/v1/habits/{habit}",
        get=planners(200),
        patch=Write(
            planners(200),
            {"minutes": 60},
            empty=planners(200),
            match="{=habit_version}",
        ),
    ),
    Cell(
        "api-habit-end",
        "/api/v1/habits/{habit}/end",
        put=Write(
            planners(204),
            {"last_day": "2027-06-30"},
            empty=400,
            match="{=habit_version}",
        ),
    ),
]
