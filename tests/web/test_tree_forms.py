"""A tree's page: a job by hand, not this year, counts, signs and a bend signed off."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from collection.craft.reference import table
from collection.models import Bend, Count, Job, Member, Tree, TreeSign
from collection.usecases.bends import want_bend
from collection.usecases.jobs import add_job
from tests.factories import MemberFactory, SiteFactory, TreeFactory, actor_of

pytestmark = pytest.mark.django_db
JOB = {"task": "WIRE_DETAIL", "opens": "2027-03-01", "closes": "2027-03-31", "priority": "4"}


@pytest.fixture
def tree() -> Tree:
    return TreeFactory(site=SiteFactory())


@pytest.fixture
def boss(tree: Tree) -> Member:
    return MemberFactory(club=tree.club, coordinator=True)


@pytest.fixture
def member(tree: Tree) -> Member:
    return MemberFactory(club=tree.club)


def browser(who: Member) -> Client:
    client = Client()
    client.force_login(who.account)
    return client


def shown(client: Client, tree: Tree) -> str:
    return client.get(reverse("tree", args=[tree.pk])).content.decode()


def made_job(boss: Member, tree: Tree) -> Job:
    days = {"opens": date(2027, 3, 1), "closes": date(2027, 3, 31)}
    return Job.objects.get(pk=add_job(actor=actor_of(boss), tree_id=tree.pk, task="WIRE_DETAIL", **days))


def test_a_coordinator_adds_a_job_and_its_hours_are_on_the_page(boss, tree):
    client = browser(boss)
    assert client.post(reverse("tree-job", args=[tree.pk]), JOB).status_code == 302
    job = Job.objects.get()
    assert (job.task, job.opens, job.closes, job.priority) == (
        "WIRE_DETAIL",
        date(2027, 3, 1),
        date(2027, 3, 31),
        4,
    )
    assert (job.origin, job.by_id) == ("hand", boss.pk)
    assert reverse("job", args=[job.pk]) in shown(client, tree)


@pytest.mark.parametrize("typed", [{"closes": "2027-02-01"}, {"opens": "spring"}, {"task": "HAIRCUT"}])
def test_a_wrong_job_is_not_made_and_what_was_typed_stays(boss, tree, typed):
    answer = browser(boss).post(reverse("tree-job", args=[tree.pk]), JOB | typed)
    page = answer.content.decode()
    assert answer.status_code == 400
    days = [value for name, value in (JOB | typed).items() if name in ("opens", "closes")]
    assert all(f'value="{value}"' in page for value in days)
    assert '<option value="4" selected>' in page
    assert not Job.objects.exists()


def test_the_same_job_twice_is_one_job_and_says_so(boss, tree):
    client = browser(boss)
    client.post(reverse("tree-job", args=[tree.pk]), JOB)
    assert client.post(reverse("tree-job", args=[tree.pk]), JOB).status_code == 400
    assert Job.objects.count() == 1


def test_a_member_adds_no_job_leaves_none_out_and_signs_no_bend(boss, member, tree):
    job, client = made_job(boss, tree), browser(member)
    assert client.post(reverse("tree-job", args=[tree.pk]), JOB | {"task": "REPOT"}).status_code == 403
    leave = client.post(
        reverse("job-not-this-year", args=[job.pk]), {"version": job.version, "reason": "The tree rests"}
    )
    assert leave.status_code == 403
    assert reverse("tree-job", args=[tree.pk]) not in shown(client, tree)
    job.refresh_from_db()
    assert (job.state, Job.objects.count()) == (Job.State.OPEN, 1)


def test_a_job_is_left_out_this_year_with_a_reason_only(boss, tree):
    job, client = made_job(boss, tree), browser(boss)
    at = reverse("job-not-this-year", args=[job.pk])
    client.post(at, {"version": job.version, "reason": " "})
    job.refresh_from_db()
    assert job.state == Job.State.OPEN
    client.post(at, {"version": job.version, "reason": "The tree rests"})
    job.refresh_from_db()
    assert (job.state, job.reason, job.by_id) == (Job.State.NOT_THIS_YEAR, "The tree rests", boss.pk)
    assert "Left out on" in shown(client, tree)
    assert reverse("job-this-year", args=[job.pk]) in shown(client, tree)


def test_an_old_page_leaves_no_job_out(boss, tree):
    job, client = made_job(boss, tree), browser(boss)
    answer = client.post(
        reverse("job-not-this-year", args=[job.pk]),
        {"version": job.version + 7, "reason": "The tree rests"},
        follow=True,
    )
    job.refresh_from_db()
    assert job.state == Job.State.OPEN
    assert "changed" in answer.content.decode()


def test_more_counted_branches_make_the_open_job_longer(boss, member, tree):
    job, client = made_job(boss, tree), browser(member)
    hours = []
    for fine in (20, 200):
        counted = client.post(reverse("tree-counts", args=[tree.pk]), {"secondary": "5", "fine": str(fine)})
        assert counted.status_code == 302
        hours.append(Job.objects.get(pk=job.pk).estimates.order_by("-pk").first().mean_min)
    assert hours[0] < hours[1]
    assert set(Count.objects.values_list("kind", flat=True)) == {"secondary", "fine"}
    assert Count.objects.first().by_id == member.pk


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"fine": "-3"}, "Write a whole number from 0 up"),
        ({"fine": "lots"}, "Write a whole number from 0 up"),
        ({}, "Write at least one number."),
    ],
)
def test_a_wrong_count_is_not_written_and_says_what_to_do(member, tree, typed, said):
    answer = browser(member).post(reverse("tree-counts", args=[tree.pk]), typed)
    page = answer.content.decode()
    assert answer.status_code == 400
    assert said in page
    assert all(f'value="{value}"' in page for value in typed.values())
    assert not Count.objects.exists()


def test_every_sign_of_the_list_can_be_chosen_and_is_written_down(member, tree):
    client = browser(member)
    page = shown(client, tree)
    codes = [row["code"] for row in table("tree_signs")]
    assert all(f'<option value="{code}">' in page for code in codes)
    assert client.post(reverse("tree-sign", args=[tree.pk]), {"sign": codes[0]}).status_code == 302
    assert TreeSign.objects.get().sign == codes[0]
    assert client.post(reverse("tree-sign", args=[tree.pk]), {"sign": "glowing"}).status_code == 400
    assert TreeSign.objects.count() == 1


def test_a_coordinator_signs_a_bend_off_once(boss, member, tree):
    days = {"opens": date(2027, 3, 1), "closes": date(2027, 3, 31)}
    want_bend(actor=actor_of(boss), tree_id=tree.pk, diameter_mm=30.0, **days)
    bend = Bend.objects.get()
    at = reverse("bend-sign", args=[bend.pk])
    assert at not in shown(browser(member), tree)
    assert browser(member).post(at).status_code == 403
    client = browser(boss)
    assert at in shown(client, tree)
    assert 'name="version" value="1"' in shown(client, tree)
    assert client.post(at, {"version": "1"}).status_code == 302
    bend.refresh_from_db()
    assert bend.signed_by_id == boss.pk
    assert at not in shown(client, tree)


def test_the_tree_the_job_and_the_bend_of_another_club_are_not_found(boss, tree):
    stranger = browser(MemberFactory(coordinator=True))
    job = made_job(boss, tree)
    for at in (
        reverse("tree-job", args=[tree.pk]),
        reverse("tree-counts", args=[tree.pk]),
        reverse("tree-sign", args=[tree.pk]),
        reverse("job-not-this-year", args=[job.pk]),
    ):
        assert stranger.post(at, JOB | {"fine": "3"}).status_code == 404
