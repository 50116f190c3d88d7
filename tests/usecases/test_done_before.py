"""Work from before the club kept records, priorities, and "this year after all"."""

from __future__ import annotations

from datetime import date

import pytest

from collection.craft.due import due
from collection.models import Change, Job, Sitting
from collection.queries.errors import Refused
from collection.queries.programme import climate_of, programme_of
from collection.queries.season_inputs import tree_inputs
from collection.usecases import care, jobs, trees
from tests.factories import MemberFactory, TreeFactory, actor_of
from tests.usecases.garden import TODAY, Garden

pytestmark = pytest.mark.django_db


@pytest.fixture
def garden() -> Garden:
    garden = Garden()
    garden.again()
    return garden


def asked(garden: Garden) -> set[str]:
    club = garden.site.club
    found = due(
        tree_inputs(club.pk), programme_of(club.pk), climate_of(club), today=TODAY, until=date(2027, 11, 30)
    )
    return {question.task for question in found.questions}


def remember(garden: Garden, on: date, **more: object) -> int:
    given = {"actor": garden.actor, "task": "REPOT", "why": "Gerd remembers it", "today": TODAY} | more
    return jobs.done_before(tree_id=garden.tree.pk, on=on, **given)


def test_the_answer_to_when_was_it_last_repotted_makes_the_job_in_its_year(garden):
    assert "REPOT" in asked(garden)
    assert not Job.objects.filter(tree=garden.tree, task="REPOT").exists()
    # A refined two-flush pine: 3 to 5 years, the middle is 4; up in spring 2027.
    remember(garden, date(2023, 4, 1))
    assert "REPOT" not in asked(garden)
    job = garden.job("REPOT", state="open")
    assert job.opens.year == 2027
    assert job.estimate is not None


def test_a_later_answer_takes_the_job_back_again(garden):
    remember(garden, date(2021, 4, 1))
    assert garden.job("REPOT").state == "open"
    remember(garden, date(2025, 4, 1))
    assert garden.job("REPOT").state == "withdrawn"


def test_the_same_answer_twice_is_one_answer(garden):
    assert remember(garden, date(2024, 1, 1)) == remember(garden, date(2024, 1, 1))
    sitting = Sitting.objects.get()
    assert (sitting.remembered, sitting.note, sitting.people.count()) == (True, "Gerd remembers it", 0)


def test_a_job_said_to_be_done_before_ends_by_its_window(garden):
    inside, before = garden.job("BUD_SELECT", season_year=2026), garden.job("NEEDLE_PLUCK", season_year=2026)
    for job, on in ((inside, date(2026, 10, 20)), (before, date(2020, 10, 20))):
        remember(garden, on, task=job.task, job_id=job.pk, version=job.version)
    inside.refresh_from_db()
    before.refresh_from_db()
    assert (inside.state, inside.ended_on) == ("done", date(2026, 10, 20))
    assert (before.state, before.ended_on) == ("withdrawn", TODAY)
    assert before.reason == "Done before we kept records: Gerd remembers it"
    garden.again()
    assert Job.objects.get(pk=before.pk).state == "withdrawn"


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"why": " "}, "reason_needed"),
        ({"task": "HAIRCUT"}, "task_unknown"),
        ({"on": date(2026, 11, 26)}, "day_ahead"),
        ({"on": date(1900, 1, 1)}, "day_long_ago"),
    ],
)
def test_a_wrong_answer_is_not_kept(garden, more, code):
    with pytest.raises(Refused) as refused:
        remember(garden, **({"on": date(2024, 1, 1)} | more))
    assert refused.value.reason.code == code
    assert not Sitting.objects.exists()


def test_a_job_of_another_tree_is_not_ended(garden):
    other = TreeFactory(site=garden.site)
    job = garden.job("BUD_SELECT")
    with pytest.raises(Refused, match="not_found"):
        jobs.done_before(
            actor=garden.actor, tree_id=other.pk, task="BUD_SELECT", on=TODAY, why="w", today=TODAY,
            job_id=job.pk, version=job.version,
        )  # fmt: skip


def test_the_trees_own_people_may_answer_and_others_not(garden):
    carer, other = MemberFactory(club=garden.site.club), MemberFactory(club=garden.site.club)
    care.set_care(actor=garden.actor, tree_id=garden.tree.pk, member_id=carer.pk, role="carer")
    assert remember(garden, date(2024, 1, 1), actor=actor_of(carer))
    with pytest.raises(Refused, match="carers_only"):
        remember(garden, date(2023, 1, 1), actor=actor_of(other))


def test_left_out_this_year_and_after_all(garden):
    job = garden.job("BUD_SELECT")
    jobs.not_this_year(actor=garden.actor, job_id=job.pk, version=job.version, reason="It rests", today=TODAY)
    left = Job.objects.get(pk=job.pk)
    assert (left.state, left.ended_on) == ("not_this_year", TODAY)
    jobs.this_year_after_all(actor=garden.actor, job_id=job.pk, version=left.version)
    back = Job.objects.get(pk=job.pk)
    assert (back.state, back.ended_on, back.reason) == ("open", None, "")
    with pytest.raises(Refused, match="job_not_left_out"):
        jobs.this_year_after_all(actor=garden.actor, job_id=job.pk, version=back.version)


def test_a_priority_is_one_to_five_and_in_the_trail(garden):
    job = garden.job("BUD_SELECT")
    jobs.set_priority(actor=garden.actor, job_id=job.pk, version=job.version, priority=5)
    assert Job.objects.get(pk=job.pk).priority == 5
    line = Change.objects.filter(table="job", row=job.pk).latest("id")
    assert (line.before, line.after) == ({"priority": 3}, {"priority": 5})
    for wrong in (0, 6):
        with pytest.raises(Refused, match="priority_range"):
            jobs.set_priority(actor=garden.actor, job_id=job.pk, version=2, priority=wrong)


def test_an_added_tree_has_its_jobs_at_once_and_a_weak_one_loses_them_until_it_is_sound(garden):
    new = trees.add_tree(
        actor=garden.actor, accession="2026.900", group="G01", stage="F", site_id=garden.site.pk, on=TODAY,
        today=TODAY, height_mm=400.0,
    )  # fmt: skip
    assert Job.objects.filter(tree_id=new, task="BUD_SELECT", state="open").exists()
    trees.change_tree(actor=garden.actor, tree_id=new, version=1, today=TODAY, condition="weak")
    assert not Job.objects.filter(tree_id=new, state="open").exists()
    trees.change_tree(actor=garden.actor, tree_id=new, version=2, today=TODAY, condition="sound")
    assert Job.objects.filter(tree_id=new, task="BUD_SELECT", state="open").exists()
