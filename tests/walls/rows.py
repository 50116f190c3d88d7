"""A club with at least one row of everything an address can name."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from collection import models
from collection.queries.access import Actor
from collection.usecases import (
    bends,
    branches,
    care,
    counts,
    jobs,
    members,
    reference,
    sittings,
    trees,
    workdays,
)
from collection.usecases.estimates import refresh_jobs
from tests.factories import (
    BenchFactory,
    JobFactory,
    MemberFactory,
    PlanFactory,
    SiteFactory,
    TreeFactory,
    actor_of,
)
from tests.walls.cells import MEMBERS

NOW = datetime(2027, 3, 3, 9, tzinfo=UTC)
TODAY = NOW.date()
# A row of the programme belongs to no club; it stands in addresses as it is, not in braces.
PROGRAMME_ROW = "G01-DECANDLE-0601"


@dataclass
class Rows:
    """The rows of one club: ``ids`` are tried out against another club's, ``words`` are only put in."""

    club: models.Club
    people: dict[str, models.Member] = field(default_factory=dict)
    ids: dict[str, Any] = field(default_factory=dict)
    words: dict[str, Any] = field(default_factory=dict)

    @property
    def planner(self) -> Actor:
        """The club's coordinator."""
        return actor_of(self.people["coordinator"])

    def keep(self, name: str, row: Any) -> Any:
        """Take a row into the ids, and its version into the words."""
        assert self.ids.get(name, row.pk) == row.pk, (
            f"another module has a {name} already: choose another name"
        )
        self.ids[name] = row.pk
        if hasattr(row, "version"):
            self.words[f"{name}_version"] = row.version
        return row


def furnish(club: models.Club) -> Rows:
    """One row of everything: see the calls of ``keep`` and the assignments to ``ids`` for the names."""
    rows = Rows(club)
    for role in MEMBERS:
        rows.people[role] = MemberFactory(club=club, role=role)
    _people(rows)
    _places(rows)
    _work(rows)
    _day(rows)
    _record(rows)
    _told(rows)
    for name in ("job", "hand_job", "bend", "tree", "day", "offer"):
        table = {"hand_job": models.Job, "day": models.Workday}.get(name) or _table(name)
        rows.keep(name, table.objects.get(pk=rows.ids[name]))
    return rows


def _table(name: str) -> Any:
    return getattr(models, name.capitalize())


def _people(rows: Rows) -> None:
    club, planner = rows.club, rows.planner
    added = members.add_member(
        actor=planner,
        name=f"Ottilie of {club.pk}",
        today=date(2020, 1, 1),
        email=f"o{club.pk}@example.org",
        telephone=f"0{club.pk}77",
    )
    person = rows.keep("member", models.Member.objects.get(pk=added))
    rows.keep("contact", models.Contact.objects.get(member=person))
    members.set_skill(
        actor=planner, member_id=person.pk, family="wiring", level="expert", since=date(2026, 1, 1)
    )
    rows.keep("skill", models.MemberSkill.objects.get(member=person))
    members.declare(actor=planner, member_id=person.pk, kind="can_lift", answer=True, on=date(2026, 1, 1))
    rows.keep("declaration", models.Declaration.objects.get(member=person))
    rows.keep(
        "habit",
        models.Habit.objects.create(
            club=club, member=person, weekday=2, minutes=120, starts=date(2027, 1, 1)
        ),
    )
    letter = models.Welcome.objects.create(
        club=club, member=person, email="o@example.org", secret_digest=f"{club.pk:064d}",
        good_until=NOW + timedelta(days=7),
    )  # fmt: skip
    rows.keep("welcome", letter)


def _places(rows: Rows) -> None:
    club, planner = rows.club, rows.planner
    site = rows.keep("site", SiteFactory(club=club))
    bench = rows.keep("bench", BenchFactory(site=site))
    tree = rows.keep("tree", TreeFactory(site=site, bench=bench, group="G03"))
    rows.words["accession"] = tree.accession
    counts.record_counts(actor=planner, tree_id=tree.pk, on=TODAY, counts={"primary": 8.0, "fine": 40.0})
    rows.ids["branch"] = branches.add_branch(actor=planner, tree_id=tree.pk, label="B1", diameter_mm=12.0)
    gear = {"gauge_mm": 2.0, "metal": "copper", "on": date(2026, 11, 1), "branch_id": rows.ids["branch"]}
    rows.ids["wire"] = trees.put_wire_on(actor=planner, tree_id=tree.pk, label="W1", length_m=1.2, **gear)
    rows.ids["guy"] = trees.add_guy(actor=planner, tree_id=tree.pk, label="Y1", **gear)
    trees.look(actor=planner, wire_id=rows.ids["wire"], on=date(2026, 12, 1), seen="snug")
    care.set_care(actor=planner, tree_id=tree.pk, member_id=rows.ids["member"], ask_first=True)
    trees.see_sign(actor=planner, tree_id=tree.pk, sign="buds_swelling", on=date(2027, 3, 1))
    rows.keep("care", models.Care.objects.get(tree=tree))
    rows.keep("look", models.Look.objects.get(wire=rows.ids["wire"]))
    rows.keep("sign", models.TreeSign.objects.get(tree=tree))
    rows.keep("branch", models.Branch.objects.get(pk=rows.ids["branch"]))
    rows.keep("wire", models.Wire.objects.get(pk=rows.ids["wire"]))
    rows.keep("guy", models.Guy.objects.get(pk=rows.ids["guy"]))
    rows.keep("stock", models.WireStock.objects.create(club=club, metal="copper", gauge_mm=2.0, grams=500))


def _work(rows: Rows) -> None:
    planner, tree = rows.planner, models.Tree.objects.get(pk=rows.ids["tree"])
    job = JobFactory(tree=tree, moved_opens=date(2027, 3, 8), moved_closes=date(2027, 4, 7))
    rows.ids["job"] = job.pk
    rows.ids["hand_job"] = jobs.add_job(
        actor=planner, tree_id=tree.pk, task="TRIM", opens=TODAY, closes=date(2027, 4, 1)
    )
    refresh_jobs([job.pk], today=TODAY)
    bend_job = bends.want_bend(
        actor=planner, tree_id=tree.pk, diameter_mm=25.0, opens=date(2027, 3, 1), closes=date(2027, 4, 1)
    )
    rows.ids["bend_job"] = bend_job
    rows.ids["bend"] = models.Job.objects.get(pk=bend_job).bend_id
    round_ = models.Round.objects.create(
        club=rows.club, bench_id=rows.ids["bench"], bench_key=f"bench:{rows.ids['bench']}", task="WIRE_CHECK",
        on=date(2027, 3, 10), season_year=2027,
    )  # fmt: skip
    rows.keep("round", round_)
    rows.keep(
        "round_tree", models.RoundTree.objects.create(club=rows.club, round=round_, tree_id=rows.ids["tree"])
    )
    models.Job.objects.create(
        club=rows.club, round=round_, target=f"round:{round_.pk}", task="WIRE_CHECK", origin="programme",
        season_year=2027, opens=date(2027, 3, 10), closes=date(2027, 3, 24),
    )  # fmt: skip
    reference.own_row(
        actor=planner, table_name="programme", key=PROGRAMME_ROW, values={"opens": "06-05", "closes": "07-12"}
    )
    rows.keep("club_row", models.ClubRow.objects.get(club=rows.club))
    models.Club.objects.filter(pk=rows.club.pk).update(season_asked_at=None)


def _day(rows: Rows) -> None:
    club, planner = rows.club, rows.planner
    day = workdays.create_workday(
        actor=planner, site_id=rows.ids["site"], on=date(2027, 3, 6), opens=time(9, 30), closes=time(13, 30)
    )
    rows.ids["day"] = day
    workdays.offer_hours(actor=planner, workday_id=day, member_id=rows.ids["member"], answer="yes")
    rows.ids["offer"] = models.Offer.objects.get(workday=day).pk
    plan = PlanFactory(workday_id=day, club=club, number=1, state="ready", ready_at=NOW, outcome={})
    rows.keep("plan", plan)
    seat = models.Assignment.objects.create(
        club=club, plan=plan, job_id=rows.ids["job"], member_id=rows.ids["member"],
        person_key=f"member:{rows.ids['member']}", role="lead", starts=datetime(2027, 3, 6, 10, tzinfo=UTC),
        ends=datetime(2027, 3, 6, 11, tzinfo=UTC), done_min=60,
        steps=[["setup", 600, 610], ["work", 610, 660]],
    )  # fmt: skip
    rows.keep("assignment", seat)
    place = models.Place.objects.create(club=club, workday_id=day, job_id=rows.ids["bend_job"], number=1)
    rows.keep("place", place)
    asked = models.Invitation.objects.create(club=club, place=place, order=1, member_id=rows.ids["member"])
    rows.keep("invitation", asked)
    rows.keep(
        "attendance",
        models.Attendance.objects.create(club=club, workday_id=day, member_id=rows.ids["member"], came=True),
    )


def _record(rows: Rows) -> None:
    began = datetime(2026, 10, 3, 9, tzinfo=UTC)
    [sitting] = sittings.record(
        actor=rows.planner, trees=[rows.ids["tree"]], tasks=[sittings.TaskDone("REPOT")],
        people=[sittings.Worked(rows.ids["member"], 50)], started=began, ended=began + timedelta(hours=1),
        request_key=f"walls{rows.club.pk}", left_open=True, note="Stopped at the roots.",
    )  # fmt: skip
    rows.ids["sitting"] = sitting
    rows.keep(
        "incident",
        models.Incident.objects.create(
            club=rows.club,
            kind="near_miss",
            on=began.date(),
            what="A pot slid off the bench.",
            told_by_id=rows.ids["member"],
        ),
    )


def _told(rows: Rows) -> None:
    message = models.Message.objects.create(
        club=rows.club, member_id=rows.ids["member"], local_day=TODAY, message_id=f"<{rows.club.pk}@walls>",
        subject="This week", text="One wire to look at.",
    )  # fmt: skip
    rows.keep("message", message)
    notice = models.Notice.objects.create(
        club=rows.club, kind="wire_look", member_id=rows.ids["member"], subject=f"wire:{rows.ids['wire']}",
        period="2027-03", due_at=NOW, message=message,
    )  # fmt: skip
    rows.keep("notice", notice)
