"""What would follow if a tree went, and what may happen to it now."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from collection.craft.reference import clash_rules, groups
from collection.models import Assignment, Job, RoundTree, Tree, Wire
from collection.queries.access import Actor, must_plan, tree_for
from collection.queries.away import Away, away_on, not_back
from collection.queries.trees import title_of

# The rule that keeps hard work and journeys apart.
JOURNEY_RULE = "X9"


@dataclass(frozen=True, slots=True)
class OpenJob:
    """A job that the event would touch."""

    task: str
    opens: date
    closes: date


@dataclass(frozen=True, slots=True)
class Planned:
    """Somebody is down for work on the tree in a plan that was sent out."""

    name: str
    on: date


@dataclass(frozen=True, slots=True)
class Outlook:
    """A tree before something happens to it, with everything that would follow.

    Attributes:
        place: Where it stands: "3" for a site, "3:7" for a bench of it.
        away: Where it is when it is not there now.
        journey_days: Days that hard work keeps from a journey.
    """

    id: int
    accession: str
    title: str
    version: int
    place: str
    gone: bool
    away: Away | None
    overdue: bool
    jobs: tuple[OpenJob, ...]
    rounds: int
    planned: tuple[Planned, ...]
    wires: int
    journey_days: int


def outlook(actor: Actor, tree_id: int, today: date) -> Outlook:
    """What would follow from an event, for those who write events down.

    Raises:
        Refused: ``coordinators_only`` or ``not_found``.
    """
    must_plan(actor)
    tree = tree_for(actor, tree_id)
    late = not_back([tree.pk], today).get(tree.pk)
    jobs = Job.objects.filter(tree=tree, state=Job.State.OPEN).order_by("closes", "id")
    seats = Assignment.objects.filter(job__tree=tree, confirmed=True, plan__workday__date__gte=today)
    people = seats.order_by("plan__workday__date", "id").values_list("member__name", "plan__workday__date")
    return Outlook(
        id=tree.pk,
        accession=tree.accession,
        title=title_of(tree),
        version=tree.version,
        place=str(tree.site_id) + (f":{tree.bench_id}" if tree.bench_id else ""),
        gone=tree.archived_at is not None,
        away=away_on([tree.pk], today).get(tree.pk) or late,
        overdue=late is not None,
        jobs=tuple(OpenJob(job.task, job.opens, job.closes) for job in jobs),
        rounds=_rounds(tree, today),
        planned=tuple(Planned(name, on) for name, on in dict.fromkeys(people)),
        wires=Wire.objects.filter(tree=tree, off=None).count(),
        journey_days=clash_rules()[JOURNEY_RULE].gap_days(conifer=groups()[tree.group].is_conifer),
    )


def _rounds(tree: Tree, today: date) -> int:
    rows = RoundTree.objects.filter(
        tree=tree, round__jobs__state=Job.State.OPEN, round__jobs__closes__gte=today
    )
    return rows.values("round_id").distinct().count()
