"""Request keys: the same write again writes nothing and answers as the first time."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from collection.models import Bench, RequestKey, Site
from collection.queries.errors import Refused
from collection.usecases.request_keys import KEPT, Kept, forget_old_answers, once
from tests.api.conftest import Program
from tests.factories import MemberFactory, actor_of

pytestmark = pytest.mark.django_db
KEY = {"Idempotency_Key": "the-same-key-1"}
GROUND = {"name": "A new ground", "kind": "ground"}
NOON = datetime(2027, 3, 3, 12, tzinfo=UTC)


def code(answer) -> tuple[int, str]:
    return answer.status_code, answer.json()["code"]


def test_the_same_request_again_is_answered_as_the_first_time(program):
    first = program.post("sites", GROUND, **KEY)
    again = program.post("sites", dict(reversed(GROUND.items())), **KEY)
    assert (first.status_code, again.status_code) == (201, 201)
    assert first.json() == again.json()
    assert (first["Location"], first["ETag"]) == (again["Location"], again["ETag"])
    assert "Idempotent-Replayed" not in first
    assert again["Idempotent-Replayed"] == "true"
    assert Site.objects.count() == 1


@pytest.mark.parametrize("key", ['"the-same-key-1"', "the-same-key-1"])
def test_a_key_may_stand_in_quotes(program, key):
    program.post("sites", GROUND, **KEY)
    assert program.post("sites", GROUND, Idempotency_Key=key)["Idempotent-Replayed"] == "true"


def test_the_same_key_with_another_body_or_address_is_refused(program):
    program.post("sites", GROUND, **KEY)
    assert code(program.post("sites", GROUND | {"name": "Another"}, **KEY)) == (422, "request_key_used")
    site = Site.objects.get().pk
    bench = program.post("benches", {"site_id": site, "name": "Bench"}, **KEY)
    assert code(bench) == (422, "request_key_used")
    assert not Bench.objects.exists()


def test_anothers_key_is_a_new_key(planner, program):
    program.post("sites", GROUND, **KEY)
    other = Program(MemberFactory(club=planner.club, coordinator=True))
    answer = other.post("sites", GROUND | {"name": "Another"}, **KEY)
    assert answer.status_code == 201
    assert "Idempotent-Replayed" not in answer


def test_a_write_without_a_key_is_refused(program):
    assert code(program.post("sites", GROUND, Idempotency_Key="")) == (400, "request_key_missing")
    assert not Site.objects.exists()


@pytest.mark.parametrize("key", ["short", "x" * 65, "with space", "ключ-ключ", '"unclosed1'])
def test_a_key_that_is_none_is_refused(program, key):
    answer = program.post("sites", GROUND, Idempotency_Key=key)
    assert code(answer) == (400, "request_key_unreadable")


def test_while_the_first_is_running_the_second_is_told_to_wait(planner, program):
    RequestKey.objects.create(club=planner.club, member=planner, key="the-same-key-1", digest="x" * 64)
    other_body = program.post("sites", GROUND, **KEY)
    assert code(other_body) == (422, "request_key_used")
    digest = _digest_of(program, planner)
    RequestKey.objects.update(digest=digest)
    answer = program.post("sites", GROUND, **KEY)
    assert code(answer) == (409, "request_running")
    assert answer["Retry-After"] == "1"
    assert not Site.objects.exists()


def _digest_of(program: Program, member) -> str:
    """The digest of the ground's request, as the service works it out."""
    program.post("sites", GROUND, Idempotency_Key="another-key-2")
    found = RequestKey.objects.get(key="another-key-2").digest
    Site.objects.all().delete()
    return found


def test_a_first_that_died_is_done_by_the_second(planner, time_machine):
    time_machine.move_to(NOON, tick=False)
    program = Program(planner)
    digest = _digest_of(program, planner)
    RequestKey.objects.create(club=planner.club, member=planner, key="the-same-key-1", digest=digest)
    time_machine.move_to(NOON + timedelta(minutes=1), tick=False)
    assert program.post("sites", GROUND, **KEY).status_code == 409
    time_machine.move_to(NOON + timedelta(minutes=3), tick=False)
    assert program.post("sites", GROUND, **KEY).status_code == 201
    assert program.post("sites", GROUND, **KEY)["Idempotent-Replayed"] == "true"
    assert Site.objects.count() == 1


def test_a_refused_write_keeps_nothing_so_its_key_may_be_used_again(program):
    program.post("sites", GROUND)
    taken = program.post("sites", GROUND, **KEY)
    assert code(taken) == (409, "site_name_taken")
    assert not RequestKey.objects.filter(key="the-same-key-1").exists()
    assert program.post("sites", GROUND | {"name": "Another"}, **KEY).status_code == 201


def test_of_two_at_work_only_the_one_that_holds_the_claim_writes(planner):
    """The first was thought dead and the second took over; then the first comes back to life."""
    actor = actor_of(planner)

    def slow() -> Kept:
        # Another request took the claim over meanwhile.
        RequestKey.objects.filter(key="k").update(at=NOON)
        Site.objects.create(club=planner.club, name="Written by the first")
        return Kept(201, {})

    with pytest.raises(Refused, match="request_running"):
        once(actor=actor, key="k", digest="d", work=slow)
    assert not Site.objects.exists()


def test_answers_are_forgotten_after_a_day(planner, time_machine):
    time_machine.move_to(NOON, tick=False)
    once(actor=actor_of(planner), key="k", digest="d", work=lambda: Kept(200, {}))
    time_machine.move_to(NOON + KEPT, tick=False)
    assert forget_old_answers() == 0
    time_machine.move_to(NOON + KEPT + timedelta(seconds=1), tick=False)
    assert forget_old_answers() == 1


def test_an_edit_with_a_key_is_answered_again_although_its_version_is_gone(program):
    site = program.post("sites", GROUND).json()
    named = {"name": "A better name", "kind": "ground"}
    first = program.send("PUT", f"sites/{site['id']}", named, If_Match='"1"', **KEY)
    again = program.send("PUT", f"sites/{site['id']}", named, If_Match='"1"', **KEY)
    assert (first.status_code, again.status_code) == (200, 200)
    assert again["Idempotent-Replayed"] == "true"
    assert Site.objects.get().version == 2


def test_rights_that_were_lost_open_no_stored_answer(planner, program):
    program.post("sites", GROUND, **KEY)
    planner.active_to = datetime(2021, 1, 1, tzinfo=UTC).date()
    planner.save()
    assert code(program.post("sites", GROUND, **KEY)) == (403, "not_a_member")
