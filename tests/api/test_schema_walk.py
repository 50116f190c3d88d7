"""The OpenAPI document walked by a tool that was not written here: every operation, right and wrong.

For each operation: the full body of its cell in the table of walls, then the tool's own coverage of every
bound and every missing part, and a few at random. No answer may be a server error or differ from the document
in status, type, headers or shape; what the document forbids must be refused. Each request is taken back
before the next one, so ids and versions stay good.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import hypothesis
import pytest
import time_machine
from django.core.cache import cache
from django.db import transaction
from django.test import override_settings
from django.urls import resolve

from collection.usecases import reference
from collection.usecases.program_keys import make_key
from tests.factories import actor_of
from tests.walls.asking import BRACES, Fill, Way, taken_back, ways
from tests.walls.cells import METHODS
from tests.walls.conftest import furnished
from tests.walls.rows import NOW, Rows

pytestmark = pytest.mark.ci
WRITES = ("POST", "PUT", "PATCH", "DELETE")
FEW = 5
# What a list of ids or a field without _id names.
NAMED = {
    "carer": "member",
    "member_ids": "member",
    "people": "member",
    "trees": "tree",
    "parent_id": "branch",
    "lead_id": "member",
    "first_aider_id": "member",
    "brought_by_id": "member",
    "workday_id": "day",
    "workday": "day",
}


@dataclass
class House:
    """A furnished club, a key that may write in it, and what came of every request."""

    rows: Rows
    secret: str
    schema: Any
    asked: int = 0
    full: dict[str, Counter[int]] = field(default_factory=lambda: defaultdict(Counter))
    made_up: dict[str, Counter[int]] = field(default_factory=lambda: defaultdict(Counter))

    def id_of(self, name: str) -> int | None:
        """The id of the club's own row that a parameter or field names; None for what is no id."""
        found = self.rows.ids.get(NAMED.get(name) or name.removesuffix("_id"))
        return found if isinstance(found, int) else None

    def pointed(self, body: Any, name: str = "") -> Any:
        """The body with the club's own rows where it names rows."""
        if isinstance(body, dict):
            return {part: self.pointed(value, part) for part, value in body.items()}
        if isinstance(body, list):
            return [self.pointed(value, name) for value in body]
        if isinstance(body, int) and not isinstance(body, bool):
            return self.id_of(name) or body
        return body

    def point(self, case: Any) -> None:
        """Lead a made-up request to rows that exist, where it is not wrong on purpose."""
        self.asked += 1
        modes = {where.value: part.mode.value for where, part in case.meta.components.items()}
        if modes.get("path", "positive") == "positive":
            for name in case.path_parameters or {}:
                case.path_parameters[name] = self.id_of(name) or case.path_parameters[name]
        if modes.get("header", "positive") == "positive":
            if "Idempotency-Key" in (case.headers or {}):
                case.headers["Idempotency-Key"] = f"walk-{self.asked:08d}"
            if "If-Match" in (case.headers or {}):
                case.headers["If-Match"] = f'"{self.version(case.operation.label)}"'
        if modes.get("body") == "positive" and isinstance(case.body, (dict, list)):
            case.body = self.pointed(case.body)

    def version(self, label: str) -> Any:
        """The version of the row an operation edits, as its cell says."""
        found = [way.write.match for way in CELLS.get(label, []) if way.write and way.write.match]
        return Fill(self.rows, me=self.rows.people["admin"].pk).text(found[0]) if found else 1


def _cells() -> dict[str, list[Way]]:
    """The ways of the table of walls by the operation they ask."""
    found = defaultdict(list)
    for way in ways(METHODS):
        if way.cell.api:
            route = resolve(BRACES.sub("1", way.cell.path)).route
            path = "/" + "".join(
                f"{{{part.split(':')[1]}}}" if ":" in part else part for part in _parts(route)
            )
            found[f"{way.method} {path}"].append(way)
    return found


def _parts(route: str) -> list[str]:
    return route.replace(">", "<").split("<")


CELLS = _cells()
# The list for people and the document itself are no operations.
NONE = ("GET /api/v1/", "GET /api/v1/schema", "GET /api/v1/schema.yaml")
LABELS = sorted(label for label in CELLS if not label.startswith("HEAD") and label not in NONE)


@pytest.fixture(scope="module")
def house(django_db_setup: None, django_db_blocker: Any) -> Iterator[House]:
    settings = override_settings(API_READS_A_MINUTE=10**9, API_WRITES_A_MINUTE=10**9)
    with django_db_blocker.unblock(), time_machine.travel(NOW, tick=False), settings:
        around = transaction.atomic()
        around._from_testcase = True  # type: ignore[attr-defined]
        around.__enter__()
        try:
            cache.clear()
            reference.load()
            rows = furnished()
            admin = rows.people["admin"]
            _, secret = make_key(actor=actor_of(admin), name="Walk", days=30, reads_only=False)
            # Only here: the full check has the tool, and a server's handler looks for its files at once.
            import schemathesis
            from schemathesis.config import SchemathesisConfig

            from collection.conf.wsgi import application

            # A missing If-Match has a status of its own (RFC 6585).
            missing = {"expected-statuses": [400, 401, 403, 428]}
            settled = SchemathesisConfig.from_dict({"checks": {"missing_required_header": missing}})
            schema = schemathesis.openapi.from_wsgi("/api/v1/schema", application, config=settled)
            yield House(rows, secret, schema)
        finally:
            cache.clear()
            transaction.set_rollback(True)
            around.__exit__(None, None, None)


def operation_of(house: House, label: str) -> Any:
    return next(r.ok() for r in house.schema.get_all_operations() if r.ok().label == label)


def asked(house: House, case: Any) -> int:
    """The status of an answer that fits the document."""
    from schemathesis.checks import CHECKS

    headers = {"Authorization": f"Bearer {house.secret}"}
    with taken_back():
        answer = case.call(headers=headers)
        # What fits the document may still break a rule of the club, and is then refused by its code.
        case.validate_response(
            answer, headers=headers, excluded_checks=[CHECKS.get_one("positive_data_acceptance")]
        )
    return int(answer.status_code)


def test_the_document_and_the_table_of_walls_name_the_same_operations(house: House, db: None):
    assert sorted(result.ok().label for result in house.schema.get_all_operations()) == LABELS


@pytest.mark.parametrize("label", LABELS)
def test_what_the_cell_asks_is_answered_as_the_document_says(label: str, house: House, db: None):
    me = house.rows.people["admin"].pk
    assert CELLS[label], "an operation without a cell in the table of walls"
    for way in CELLS[label]:
        fill = Fill(house.rows, me=me)
        path = fill.text(way.cell.path)
        house.asked += 1
        headers = {"Idempotency-Key": f"walk-{house.asked:08d}"}
        if way.write and way.write.match:
            headers["If-Match"] = f'"{fill.text(way.write.match)}"'
        case = operation_of(house, label).Case(
            path_parameters=resolve(path).kwargs,
            headers=headers if way.write else {},
            query=dict(part.split("=") for part in fill.text(way.cell.query).split("&") if part),
            **({"body": fill.any(dict(way.write.body))} if way.write and way.write.body else {}),
        )
        house.full[label][asked(house, case)] += 1


@pytest.mark.parametrize("label", LABELS)
def test_what_the_tool_makes_up_is_answered_as_the_document_says(label: str, house: House, db: None):
    from schemathesis.generation.hypothesis.builder import (
        HypothesisTestConfig,
        HypothesisTestMode,
        create_test,
    )

    def ask(case: Any) -> None:
        house.point(case)
        status = asked(house, case)
        if case.meta.generation.mode.value == "positive":
            house.made_up[label][status] += 1

    modes = [HypothesisTestMode.COVERAGE, HypothesisTestMode.FUZZING]
    settings = hypothesis.settings(
        max_examples=FEW,
        derandomize=True,
        deadline=None,
        database=None,
        suppress_health_check=list(hypothesis.HealthCheck),
    )
    config = HypothesisTestConfig(project=house.schema.config, modes=modes, settings=settings)
    create_test(operation=operation_of(house, label), test_func=ask, config=config)()


def test_every_write_has_written_and_most_do_with_made_up_bodies(house: House, db: None):
    """Runs last: what the two walks above found."""
    writes = [label for label in LABELS if label.split()[0] in WRITES]
    assert [label for label in writes if not any(status < 300 for status in house.full[label])] == []
    made_up = [label for label in writes if any(status < 300 for status in house.made_up[label])]
    assert len(made_up) > 0.6 * len(writes), sorted(set(writes) - set(made_up))
