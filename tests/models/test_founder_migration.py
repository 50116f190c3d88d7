"""Clubs founded before there was a club admin: their first coordinator becomes one."""

from __future__ import annotations

from importlib import import_module

import pytest
from django.apps import apps

from collection.models import Change, Member
from tests.factories import ClubFactory, MemberFactory

pytestmark = pytest.mark.django_db


def test_the_first_coordinator_of_a_club_whose_admin_cannot_sign_in_becomes_admin_once():
    old, led, empty = ClubFactory(), ClubFactory(), ClubFactory()
    MemberFactory(club=old, role="admin", account=None)
    MemberFactory(club=old, coordinator=True, account=None)
    founder, second = (MemberFactory(club=old, coordinator=True) for _ in range(2))
    MemberFactory(club=led, role="admin")
    planner = MemberFactory(club=led, coordinator=True)
    MemberFactory(club=empty)
    step = import_module("collection.migrations.0005_the_founder_is_club_admin")
    for _ in range(2):
        step.name_founders(apps, None)
    roles = dict(Member.objects.values_list("pk", "role"))
    assert (roles[founder.pk], roles[second.pk], roles[planner.pk]) == ("admin", "coordinator", "coordinator")
    assert [(c.row, c.after) for c in Change.objects.all()] == [(founder.pk, {"role": "admin"})]
