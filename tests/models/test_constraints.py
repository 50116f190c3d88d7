"""Every constraint of every table is in the database, on SQLite and on PostgreSQL."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from django.apps import apps
from django.db import IntegrityError, connection, transaction

from collection import models
from collection.models import walls
from tests.factories import BenchFactory, ClubFactory, JobFactory, MemberFactory, PlanFactory, TreeFactory

pytestmark = pytest.mark.django_db


def test_every_constraint_of_every_table_is_in_the_database():
    expected, found = set(), set()
    with connection.cursor() as cursor:
        for model in apps.get_app_config("collection").get_models():
            expected |= {(model._meta.db_table, c.name) for c in model._meta.constraints}
            held = connection.introspection.get_constraints(cursor, model._meta.db_table)
            found |= {(model._meta.db_table, name) for name in held}
    if connection.vendor == "sqlite":
        # SQLite keeps an expression index and a check by name in its schema; introspection misses some.
        with connection.cursor() as cursor:
            cursor.execute("SELECT tbl_name, sql FROM sqlite_master WHERE sql IS NOT NULL")
            schema = [(table, sql) for table, sql in cursor.fetchall()]
        found |= {(t, n) for t, n in expected if any(t == table and f'"{n}"' in sql for table, sql in schema)}
    assert expected - found == set()
    assert len(expected) >= 100


def test_every_wall_stands_and_no_other():
    held = {n for n in walls.held(connection) if n.startswith(("wall_", "keep_", "assignment_no_overlap"))}
    assert held == walls.expected(connection.vendor)
    assert len(walls.club_walls()) >= 75


def test_walls_are_put_back_when_a_table_rebuild_dropped_one():
    name = "wall_job_tree" if connection.vendor == "postgresql" else "wall_job_tree_ins"
    drop = (
        f'ALTER TABLE collection_job DROP CONSTRAINT "{name}"'
        if connection.vendor == "postgresql"
        else f'DROP TRIGGER "{name}"'
    )
    with connection.cursor() as cursor:
        cursor.execute(drop)
    assert name not in walls.held(connection)
    walls.put_back()
    assert name in walls.held(connection)


def _at_commit(write) -> None:
    """Write, and have the walls that wait for the commit looked at now."""
    with transaction.atomic():
        write()
        if connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")


def test_a_job_cannot_point_at_a_tree_of_another_club():
    tree, other = TreeFactory(), ClubFactory()
    with pytest.raises(IntegrityError):
        _at_commit(lambda: JobFactory(tree=tree, club=other))


def test_a_tree_cannot_be_moved_to_a_bench_of_another_club():
    tree, bench = TreeFactory(), BenchFactory()
    with pytest.raises(IntegrityError):
        _at_commit(lambda: models.Tree.objects.filter(pk=tree.pk).update(bench=bench))


def _assign(plan: models.Plan, member: models.Member, job: models.Job, hour: int, **fields: object):
    return models.Assignment.objects.create(
        club=plan.club,
        plan=plan,
        job=job,
        member=member,
        person_key=f"account:{member.account_id}",
        role="lead",
        starts=datetime(2027, 3, 6, hour, tzinfo=UTC),
        ends=datetime(2027, 3, 6, hour + 2, tzinfo=UTC),
        **fields,
    )


def test_nobody_is_in_two_confirmed_assignments_at_once_even_in_two_clubs():
    here, there = PlanFactory(), PlanFactory()
    member = MemberFactory(club=here.club)
    twin = MemberFactory(club=there.club, account=member.account)
    _assign(here, member, JobFactory(tree__site__club=here.club), 9, confirmed=True)
    job = JobFactory(tree__site__club=there.club)
    with pytest.raises(IntegrityError), transaction.atomic():
        _assign(there, twin, job, 10, confirmed=True)
    _assign(there, twin, job, 11, confirmed=True)
    draft = _assign(there, twin, JobFactory(tree__site__club=there.club), 10)
    with pytest.raises(IntegrityError), transaction.atomic():
        models.Assignment.objects.filter(pk=draft.pk).update(confirmed=True)


def test_what_was_counted_stays():
    tree = TreeFactory()
    count = models.Count.objects.create(
        club=tree.club, tree=tree, on=date(2027, 3, 1), kind="fine", amount=40
    )
    with pytest.raises(IntegrityError), transaction.atomic():
        models.Count.objects.filter(pk=count.pk).update(amount=50)


def test_a_job_has_a_tree_or_a_round_and_no_null_in_its_key():
    job = JobFactory()
    with pytest.raises(IntegrityError), transaction.atomic():
        models.Job.objects.filter(pk=job.pk).update(tree=None)
    key = next(c for c in models.Job._meta.constraints if c.name == "job_once")
    assert not any(models.Job._meta.get_field(name).null for name in key.fields)
    again = {name: getattr(job, name) for name in key.fields}
    with pytest.raises(IntegrityError), transaction.atomic():
        models.Job.objects.create(tree=job.tree, opens=job.opens, closes=job.closes, **again)


def test_an_open_tree_needs_a_handover_note():
    tree = TreeFactory()
    now = datetime(2027, 3, 1, tzinfo=UTC)
    with pytest.raises(IntegrityError), transaction.atomic():
        models.Sitting.objects.create(
            club=tree.club, tree=tree, started=now, ended=now, left_open=True, request_key="a"
        )


def test_a_refused_bend_is_released_by_another_member():
    tree = TreeFactory()
    who = MemberFactory(club=tree.club)
    with pytest.raises(IntegrityError), transaction.atomic():
        models.Bend.objects.create(club=tree.club, tree=tree, diameter_mm=30, refused_by=who, released_by=who)
