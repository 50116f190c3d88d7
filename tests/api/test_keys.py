"""Keys for programs: what one opens, for how long, and what it leaves shut."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from django.test import Client
from knox.models import AuthToken

from collection.models import Member, ProgramKey
from collection.usecases import program_keys
from tests.api.conftest import Program, keyed
from tests.factories import ClubFactory, MemberFactory, actor_of

pytestmark = pytest.mark.django_db
LONG_AGO = datetime(2020, 1, 1, tzinfo=UTC)


def code(answer) -> tuple[int, str]:
    assert answer["Content-Type"] == "application/problem+json"
    return answer.status_code, answer.json()["code"]


def test_a_key_asks_in_its_owners_name_and_club(planner):
    said = keyed(planner).get("me").json()
    assert (said["member_id"], said["club_id"], said["role"]) == (planner.pk, planner.club_id, "coordinator")


def test_a_key_is_good_in_its_own_club_only(planner):
    other = MemberFactory(club=ClubFactory(), account=planner.account, name="The same person")
    assert keyed(other).get("me").json()["club_id"] == other.club_id
    assert keyed(planner).get("me").json()["club_id"] == planner.club_id


@pytest.mark.parametrize("secret", ["teire_nothing", "x", "é", "teire_" + "0" * 64])
def test_an_unknown_key_opens_nothing(secret, db):
    assert code(Program(secret=secret).get("me")) == (401, "authentication_failed")


def test_nobody_is_told_how_to_sign_in_otherwise(db):
    answer = Program().get("me")
    assert code(answer) == (401, "not_authenticated")
    assert answer["WWW-Authenticate"] == "Bearer"


def test_a_key_that_has_run_out_opens_nothing_and_is_gone(planner):
    program = keyed(planner)
    AuthToken.objects.update(expiry=LONG_AGO)
    assert code(program.get("me")) == (401, "authentication_failed")
    assert not ProgramKey.objects.exists()


def test_a_key_that_was_taken_back_opens_nothing(planner):
    program = keyed(planner)
    program_keys.take_back(actor=actor_of(planner), key_id=ProgramKey.objects.get().pk)
    assert code(program.get("me")) == (401, "authentication_failed")


def test_the_key_of_somebody_who_has_left_opens_nothing(planner):
    program = keyed(planner)
    Member.objects.filter(pk=planner.pk).update(active_to=date(2021, 1, 1))
    assert code(program.get("me")) == (403, "not_a_member")


def test_only_a_digest_of_the_secret_is_kept(planner):
    _, secret = program_keys.make_key(actor=actor_of(planner), name="Sheet", days=30)
    kept = repr(list(AuthToken.objects.values())) + repr(list(ProgramKey.objects.values()))
    assert secret not in kept
    assert secret.startswith("teire_")


def test_the_last_day_of_use_is_written_once_a_day(planner, time_machine, django_assert_num_queries):
    time_machine.move_to("2027-03-03T09:00:00+00:00", tick=False)
    program = keyed(planner)
    with django_assert_num_queries(6):
        program.get("me")
    assert ProgramKey.objects.get().last_used_on == date(2027, 3, 3)
    with django_assert_num_queries(5):
        program.get("me")


@pytest.mark.parametrize(
    ("wrong", "refused"),
    [({"days": 0}, "key_days"), ({"days": 401}, "key_days"), ({"name": " "}, "key_name_missing")],
)
def test_a_key_has_a_name_and_an_end(planner, wrong, refused):
    with pytest.raises(program_keys.Refused, match=refused):
        program_keys.make_key(**{"actor": actor_of(planner), "name": "Sheet", "days": 30} | wrong)


def test_eleven_keys_are_one_too_many(planner):
    for _ in range(program_keys.MOST_KEYS):
        program_keys.make_key(actor=actor_of(planner), name="Sheet", days=30)
    with pytest.raises(program_keys.Refused, match="keys_enough"):
        program_keys.make_key(actor=actor_of(planner), name="Sheet", days=30)


def test_the_secret_is_shown_once_and_the_page_is_kept_nowhere(planner):
    browser = Client()
    browser.force_login(planner.account)
    made = browser.post("/you/keys", {"name": "The morning sheet", "days": "30", "may": "read"})
    assert made.status_code == 201
    assert "no-store" in made["Cache-Control"]
    secret = made.content.decode().split('class="secret"><code>')[1].split("<")[0]
    assert Program(secret=secret).get("me").status_code == 200
    again = browser.get("/you/keys").content.decode()
    assert secret not in again
    assert "The morning sheet" in again
