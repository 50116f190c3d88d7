"""The page that sets our hours beside what others report."""

from __future__ import annotations

import pytest
from django.test import Client

from tests.factories import MemberFactory

pytestmark = pytest.mark.django_db


def test_a_member_finds_it_from_the_programme_and_reads_verdict_trust_and_source():
    client = Client()
    client.force_login(MemberFactory().account)
    assert 'href="/evidence"' in client.get("/programme").content.decode()
    said = client.get("/evidence").content.decode().replace("\u00a0", " ")
    assert "Nearly every branch of a shimpaku wired" in said
    assert "6 to 8 h, one report, no study." in said
    assert "<b>Inside ours</b>: 3.97 to 12.7 h for 8 main, 30 side and 100 fine branches, no set-up." in said
    assert "It compares two ways of pay, not two kinds of work." in said
