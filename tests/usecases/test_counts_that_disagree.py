"""Counts of several days and hands may contradict each other; the season is worked out all the same."""

from __future__ import annotations

from datetime import date

import pytest

from collection.craft.labour import estimate
from collection.craft.labour_lines import settled
from collection.craft.labour_types import EstimateRequest
from collection.craft.quantities import Amount
from collection.models import Job
from collection.usecases import jobs, sittings
from collection.usecases.counts import record_counts
from collection.usecases.season import regenerate
from tests.factories import SiteFactory, TreeFactory, coordinator

ON = date(2027, 3, 3)


@pytest.mark.django_db
@pytest.mark.parametrize(
    "counts",
    [
        {"primary": 8.0, "wire_thick_m": 0.0},
        {"secondary": 0.0, "fine": 0.0, "wire_thin_m": 5.0},
        {"branches_total": 0.0, "wire_thin_m": 5.0, "wire_thick_m": 3.0},
        {"branches_total": 40.0, "wire_thin_m": 0.0, "wire_thick_m": 0.0},
    ],
)
@pytest.mark.parametrize("task", ["WIRE_STRUCT", "WIRE_DETAIL", "WIRE_OFF"])
def test_branches_beside_no_wire_and_wire_beside_no_branches_give_an_estimate(counts, task):
    actor = coordinator()
    tree = TreeFactory(site=SiteFactory(club_id=actor.club_id), group="G03")
    record_counts(actor=actor, tree_id=tree.pk, on=ON, counts=counts)
    job = jobs.add_job(actor=actor, tree_id=tree.pk, task=task, opens=ON, closes=date(2027, 4, 1))
    regenerate(actor=actor, today=ON)
    found = Job.objects.select_related("estimate").get(pk=job).estimate
    assert found is not None
    assert found.mean_min > 0


def minutes(**counts: float) -> float:
    request = EstimateRequest("WIRE_STRUCT", {kind: Amount(n, "counted") for kind, n in counts.items()})
    return estimate(settled(request)).mean_min


def test_no_metres_beside_branches_count_as_not_measured():
    assert minutes(primary=8, wire_thick_m=0) == pytest.approx(minutes(primary=8))
    assert minutes(primary=0, wire_thick_m=4) == pytest.approx(minutes(wire_thick_m=4))


def test_what_does_not_contradict_stays_as_it_is():
    agree = EstimateRequest("WIRE_STRUCT", {"primary": Amount(8), "wire_thick_m": Amount(4)})
    none = EstimateRequest("WIRE_STRUCT", {"primary": Amount(0), "wire_thick_m": Amount(0)})
    other = EstimateRequest("REPOT", {"pots": Amount(1)})
    assert [settled(request) is request for request in (agree, none, other)] == [True] * 3


@pytest.mark.django_db
def test_a_task_named_twice_in_a_sitting_is_refused():
    from datetime import UTC, datetime

    actor = coordinator()
    tree = TreeFactory(site=SiteFactory(club_id=actor.club_id))
    began = datetime(2027, 3, 3, 9, tzinfo=UTC)
    with pytest.raises(sittings.Refused, match="task_twice"):
        sittings.record(
            actor=actor,
            trees=[tree.pk],
            tasks=[sittings.TaskDone("TRIM"), sittings.TaskDone("TRIM")],
            people=[sittings.Worked(actor.member_id, 30)],
            started=began,
            ended=began,
            request_key="twice",
        )
