"""Writing down what happened to a tree: the page says first what follows."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client

from collection.models import Job, Tree, TreeEvent
from tests.factories import BenchFactory, JobFactory, MemberFactory, SiteFactory, TreeFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def tree(time_machine) -> Tree:
    time_machine.move_to("2027-03-03T09:00:00+00:00", tick=False)
    bench = BenchFactory(site=SiteFactory(name="Orchard"), name="A2")
    found = TreeFactory(site=bench.site, bench=bench, name="Heron")
    JobFactory(tree=found, task="TRIM")
    JobFactory(tree=found, task="REPOT")
    return found


@pytest.fixture
def browser(tree) -> Client:
    client = Client()
    client.force_login(MemberFactory(club=tree.club, coordinator=True).account)
    return client


def text(answer) -> str:
    return answer.content.decode().replace("\u00a0", " ")


def ways(browser: Client, tree: Tree) -> set[str]:
    page = text(browser.get(f"/trees/{tree.pk}"))
    kinds = ("moved", "lent", "show", "back", "out", "died")
    return {kind for kind in kinds if f"/trees/{tree.pk}/events/{kind}" in page}


def test_the_page_of_a_death_names_the_jobs_it_takes_back_and_then_does(browser, tree):
    at = f"/trees/{tree.pk}/events/died"
    assert "2 open jobs are taken back: trimming and repotting." in text(browser.get(at))
    done = browser.post(at, {"on": "2027-03-01", "cause": "Root rot", "version": "1"}, follow=True)
    assert "2 jobs were taken back." in text(done)
    assert set(Job.objects.values_list("state", flat=True)) == {"withdrawn"}
    assert (TreeEvent.objects.get().cause, TreeEvent.objects.get().on) == ("Root rot", date(2027, 3, 1))


def test_only_what_can_happen_next_is_offered(browser, tree):
    assert ways(browser, tree) == {"moved", "lent", "show", "out", "died"}
    browser.post(f"/trees/{tree.pk}/events/lent", {"to": "the museum", "on": "2027-03-01"} | {"version": "1"})
    assert ways(browser, tree) == {"moved", "back", "out", "died"}
    browser.post(f"/trees/{tree.pk}/events/out", {"how": "sold", "on": "2027-03-02", "version": "1"})
    assert ways(browser, tree) == {"back"}
    browser.post(f"/trees/{tree.pk}/events/back", {"on": "2027-03-03", "version": "2"})
    assert ways(browser, tree) == {"moved", "lent", "show", "out", "died"}
    assert Job.objects.filter(state="open", origin="hand").count() == 2


def test_a_move_is_chosen_from_the_clubs_places(browser, tree):
    other = BenchFactory(site=tree.site, name="B10")
    at = f"/trees/{tree.pk}/events/moved"
    assert "B10, Orchard" in text(browser.get(at))
    browser.post(at, {"place": f"{tree.site_id}:{other.pk}", "on": "2027-03-03", "version": "1"})
    assert "B10, Orchard" in text(browser.get(f"/trees/{tree.pk}"))


@pytest.mark.parametrize(
    ("kind", "sent", "words"),
    [
        ("out", {"how": "", "on": "2027-03-01"}, "Choose how it left."),
        ("out", {"how": "sold", "on": "2027-04-01"}, "This day has not come yet."),
        ("died", {"cause": "", "on": "2027-03-01"}, "as far as anybody knows"),
        ("lent", {"to": "A", "on": "2027-03-01", "until": "2027-02-01"}, "Write a last day on or after"),
        ("show", {"where": "A", "on": "2027-03-01"}, "Write a day, like 2027-03-06."),
        ("moved", {"place": "", "on": "2027-03-01"}, "Choose where it stands."),
        ("back", {"on": "2027-03-01"}, "The tree is not away."),
    ],
)
def test_a_wrong_entry_is_said_and_nothing_is_written(browser, tree, kind, sent, words):
    answer = browser.post(f"/trees/{tree.pk}/events/{kind}", sent | {"version": "1"})
    assert answer.status_code == 400
    assert words in text(answer)
    assert not TreeEvent.objects.exists()


def test_there_is_no_other_kind_of_event_and_no_event_by_a_member(browser, tree):
    assert browser.get(f"/trees/{tree.pk}/events/stolen").status_code == 404
    member = Client()
    member.force_login(MemberFactory(club=tree.club).account)
    assert member.get(f"/trees/{tree.pk}/events/out").status_code == 403
    assert "/events/" not in text(member.get(f"/trees/{tree.pk}"))
