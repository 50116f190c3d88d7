"""A club with a past, loaded once for the tests that walk its pages."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

import pytest
from django.test import Client

from collection.models import Account, Member
from collection.queries.access import Actor
from collection.queries.workdays import next_workday
from collection.usecases import plans, season
from collection.usecases.sample.replay import load

TODAY = date(2026, 11, 25)


@dataclass(frozen=True, slots=True)
class RichClub:
    """The sample club: its coordinator, his browser, and the planned day."""

    actor: Actor
    account: Account
    day: int

    def browser(self) -> Client:
        client = Client()
        client.force_login(self.account)
        return client


@pytest.fixture
def rich_club(db: None, time_machine_at: Callable[[date], None]) -> RichClub:
    """The northern sample club with eight weeks behind it and its next day planned."""
    time_machine_at(TODAY)
    made = load(club="osierholt", today=TODAY, progress=lambda _: None, weeks=8)
    member = Member.objects.select_related("account").get(club_id=made.club_id, name=made.coordinator.name)
    actor = Actor(made.club_id, member.pk, member.role, member.name, "page")
    season.regenerate(actor=actor, today=TODAY)
    day = next_workday(actor, TODAY)
    assert day is not None
    assert member.account is not None
    plans.work_out(plans.request_plan(actor=actor, workday_id=day), effort=1.0)
    return RichClub(actor, member.account, day)


@pytest.fixture
def time_machine_at(time_machine: object) -> Callable[[date], None]:
    """Stop the clock at nine in the morning of a day."""

    def move(day: date) -> None:
        time_machine.move_to(f"{day.isoformat()}T09:00:00+00:00", tick=False)  # type: ignore[attr-defined]

    return move
