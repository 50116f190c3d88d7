"""Numbers in an address or a form that no page of ours would send."""

from __future__ import annotations

import pytest
from django.test import Client

from tests.factories import MemberFactory, SiteFactory, TreeFactory

pytestmark = pytest.mark.django_db
ODD = ["²", "٣", "-1", "1e3", "9" * 5000, "x"]


@pytest.mark.parametrize("sent", ODD)
def test_an_odd_number_is_none_and_breaks_nothing(sent):
    site = SiteFactory()
    who = MemberFactory(club=site.club, coordinator=True)
    tree = TreeFactory(site=site)
    browser = Client()
    browser.force_login(who.account)
    for address in ("/people", "/trees", f"/trees/{tree.pk}/history"):
        assert browser.get(address, {"from": sent}).status_code == 200
    assert browser.get("/messages", {"start": sent}).status_code == 200
    assert browser.get("/sittings/new", {"tree": sent}).status_code == 302
    assert browser.post(f"/club/sites/{site.pk}/retire", {"version": sent}).status_code in (302, 409)
    site.refresh_from_db()
    assert site.retired_at is None
