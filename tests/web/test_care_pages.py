"""Consent on the pages: an owner's own list, a coordinator's telephone, and the way from the hold."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client

from collection.models import Care, Member, Tree
from tests.factories import MemberFactory, SiteFactory, TreeFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def trees(time_machine) -> list[Tree]:
    time_machine.move_to("2027-03-03T09:00:00+00:00", tick=False)
    site = SiteFactory()
    return [TreeFactory(site=site, name=name) for name in ("Heron", "Crane")]


@pytest.fixture
def owner(trees) -> Member:
    found = MemberFactory(club=trees[0].club, name="Gerd")
    for tree in trees:
        Care.objects.create(club=tree.club, tree=tree, member=found, role="owner", ask_first=True)
    return found


def browser(who: Member) -> Client:
    client = Client()
    client.force_login(who.account)
    return client


def boss_of(owner: Member) -> Member:
    return MemberFactory(club=owner.club, coordinator=True)


def text(answer) -> str:
    return answer.content.decode().replace("\u00a0", " ").replace("&#x27;", "'")


def test_an_owner_agrees_for_all_of_his_trees_in_one_go(owner, trees):
    client = browser(owner)
    page = text(client.get("/trees/mine"))
    assert "You own 2 trees. 2 trees wait for your word." in page
    # The season of a northern club ends with the year.
    assert 'value="2027-12-31"' in page
    answer = client.post(f"/trees/of/{owner.pk}/consent", {"until": "2027-12-31"}, follow=True)
    assert "Consent is written down for 2 trees." in text(answer)
    assert "Work on none of them waits." in text(answer)
    assert set(Care.objects.values_list("consent_until", flat=True)) == {date(2027, 12, 31)}


def test_one_tree_is_agreed_to_and_taken_back_from_the_same_list(owner, trees):
    client, line = browser(owner), Care.objects.get(tree=trees[0])
    sent = {"version": line.version, "until": "2027-12-31", "to": "person"}
    assert client.post(f"/care/{line.pk}/consent", sent)["Location"] == "/trees/mine"
    assert "You agreed until Fri 31 Dec 2027." in text(client.get("/trees/mine"))
    client.post(f"/care/{line.pk}/take-back", {"version": line.version + 1, "to": "person"})
    line.refresh_from_db()
    assert (line.consent_until, line.ask_first) == (None, True)


def test_a_coordinator_writes_down_what_he_was_told_by_telephone(owner, trees):
    boss = boss_of(owner)
    page = text(browser(boss).get(f"/trees/{trees[0].pk}/people"))
    assert "Gerd agrees" in page
    assert "also by telephone" in page
    line = Care.objects.get(tree=trees[0])
    browser(boss).post(f"/care/{line.pk}/consent", {"version": line.version, "until": "2027-06-30"})
    assert "Gerd agreed until Wed 30 Jun 2027." in text(browser(boss).get(f"/trees/of/{owner.pk}"))


def test_another_member_sees_who_owns_a_tree_and_no_button(owner, trees):
    other = browser(MemberFactory(club=owner.club))
    page = text(other.get(f"/trees/{trees[0].pk}/people"))
    assert "Gerd" in page
    assert "/consent" not in page
    assert other.get(f"/trees/of/{owner.pk}").status_code == 403


@pytest.mark.parametrize("until", ["", "soon", "2026-01-01", "2040-01-01"])
def test_a_wrong_day_is_said_at_the_field_and_changes_nothing(owner, trees, until):
    line = Care.objects.get(tree=trees[0])
    for at, sent in (
        (f"/care/{line.pk}/consent", {"version": line.version, "until": until}),
        (f"/trees/of/{owner.pk}/consent", {"until": until}),
    ):
        answer = browser(owner).post(at, sent)
        assert answer.status_code == 400
        assert "has-error" in text(answer)
    assert not Care.objects.exclude(consent_until=None).exists()


def test_a_coordinator_adds_a_carer_and_ends_the_care(owner, trees):
    boss, ann = boss_of(owner), MemberFactory(club=owner.club, name="Ann")
    client = browser(boss)
    client.post(f"/trees/{trees[0].pk}/people", {"member": ann.pk, "role": "carer"})
    line = Care.objects.get(member=ann)
    assert "cares for it" in text(client.get(f"/trees/{trees[0].pk}/people"))
    assert trees[0].accession in text(browser(ann).get("/trees/mine"))
    client.post(f"/care/{line.pk}/end", {"version": line.version})
    assert not Care.objects.filter(member=ann).exists()


def test_somebody_without_trees_is_told_what_the_list_is_for(owner):
    page = text(browser(MemberFactory(club=owner.club)).get("/trees/mine"))
    assert "Trees that you own or care for will be listed here." in page


def test_the_list_costs_the_same_however_many_trees(owner, trees, django_assert_num_queries):
    client = browser(owner)
    client.get("/trees/mine")
    with django_assert_num_queries(7):
        client.get("/trees/mine")
    for _ in range(10):
        tree = TreeFactory(site=trees[0].site)
        Care.objects.create(club=tree.club, tree=tree, member=owner, role="owner", ask_first=True)
    with django_assert_num_queries(7):
        client.get("/trees/mine")
