"""What a watcher sees."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta

import pytest
from django.db import OperationalError, connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.test import RequestFactory

from collection.queries.health import health
from collection.web.views.health import healthz, readyz
from tests.factories import PlanFactory

NOW = datetime(2027, 4, 1, 9, 0, tzinfo=UTC)


def test_the_process_says_that_it_runs_without_a_database() -> None:
    response = healthz(RequestFactory().get("/healthz"))
    assert (response.status_code, json.loads(response.content)) == (200, {"ok": True})
    assert "no-store" in response["Cache-Control"]


@pytest.mark.django_db
def test_a_migrated_database_with_nothing_waiting_is_ready() -> None:
    response = readyz(RequestFactory().get("/readyz"))
    assert response.status_code == 200
    assert json.loads(response.content) == {
        "ok": True,
        "database": True,
        "migrated": True,
        "oldest_waiting_s": None,
    }


@pytest.mark.django_db
def test_the_same_is_told_in_plain_words_to_a_reader_who_asks_for_text() -> None:
    response = readyz(RequestFactory().get("/readyz", headers={"Accept": "text/plain"}))
    assert response["Content-Type"].startswith("text/plain")
    assert response.content.decode() == "ok: yes\ndatabase: yes\nmigrated: yes\noldest_waiting_s: none\n"


@pytest.mark.django_db
def test_the_oldest_waiting_plan_is_told_in_seconds_and_a_ready_one_is_not() -> None:
    PlanFactory(state="waiting", asked_at=NOW - timedelta(minutes=3))
    PlanFactory(state="waiting", asked_at=NOW - timedelta(minutes=2))
    PlanFactory(state="ready", asked_at=NOW - timedelta(days=1))
    found = health(now=NOW)
    assert found.oldest_waiting_s == 180
    assert found.ready


@pytest.mark.django_db
def test_a_migration_that_has_not_run_makes_it_not_ready() -> None:
    newest = MigrationLoader(connection).graph.leaf_nodes("collection")[0]
    MigrationRecorder(connection).record_unapplied(*newest)
    response = readyz(RequestFactory().get("/readyz"))
    assert response.status_code == 503
    assert json.loads(response.content)["migrated"] is False


@pytest.mark.django_db
def test_a_database_that_does_not_answer_is_a_finding_and_not_an_error() -> None:
    def refuse(*_: object) -> None:
        raise OperationalError("no answer")

    with connection.execute_wrapper(refuse):
        found = health(now=NOW)
    assert (found.ready, found.database) == (False, False)
