"""One job on its page, what nobody knows of a tree, and why work waits."""

from __future__ import annotations

import re
from datetime import date

import pytest
from django.test import Client

from collection.models import Care, Job, Member, Sitting, Tree
from collection.usecases import tree_events
from tests.factories import JobFactory, MemberFactory, SiteFactory, TreeFactory, actor_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(time_machine) -> Job:
    time_machine.move_to("2027-03-03T09:00:00+00:00", tick=False)
    tree = TreeFactory(site=SiteFactory(), two_flush_pine=True, name="Heron")
    return JobFactory(tree=tree, task="TRIM", stress=2)


@pytest.fixture
def boss(job) -> Member:
    return MemberFactory(club=job.club, coordinator=True, name="Maren")


def browser(who: Member) -> Client:
    client = Client()
    client.force_login(who.account)
    return client


def text(answer) -> str:
    page = answer.content.decode().replace("\u00a0", " ").replace("&#x27;", "'")
    return " ".join(re.sub(r"<[^>]*>", " ", page).split())


def lend(job: Job, boss: Member, on: date, until: date) -> None:
    assert job.tree_id is not None
    tree_events.lend(actor=actor_of(boss), tree_id=job.tree_id, to="the museum", on=on, until=until)


def test_a_priority_is_set_and_shown(job, boss):
    client = browser(boss)
    client.post(f"/jobs/{job.pk}/priority", {"priority": "5", "version": job.version})
    assert "Priority 5 of 5" in text(client.get(f"/trees/{job.tree_id}"))
    assert client.post(f"/jobs/{job.pk}/priority", {"priority": "9", "version": 2}).status_code == 400


def test_left_out_with_a_reason_in_ones_own_words_and_back_again(job, boss):
    client = browser(boss)
    bad = client.post(f"/jobs/{job.pk}/not-this-year", {"reason": "", "version": job.version})
    assert bad.status_code == 400
    assert "Write why, in a few words." in text(bad)
    client.post(f"/jobs/{job.pk}/not-this-year", {"reason": "Too hot in June", "version": job.version})
    page = text(client.get(f"/trees/{job.tree_id}"))
    assert "Left out on Wed 3 Mar 2027, Maren: Too hot in June" in page
    job.refresh_from_db()
    client.post(f"/jobs/{job.pk}/this-year", {"version": job.version})
    assert Job.objects.get(pk=job.pk).state == "open"


def test_a_job_done_before_the_records_ends_with_how_it_is_known(job, boss):
    answer = browser(boss).post(
        f"/jobs/{job.pk}/done-before", {"on": "2026-09", "why": "Gerd remembers", "version": job.version}
    )
    assert answer.status_code == 302
    job.refresh_from_db()
    assert (job.state, job.reason) == ("withdrawn", "Done before we kept records: Gerd remembers")
    assert Sitting.objects.get().started.date() == date(2026, 9, 1)


def test_the_question_of_the_last_repotting_is_answered_from_the_trees_page(job, boss):
    client = browser(boss)
    at = f"/trees/{job.tree_id}"
    assert "When was it last repotted?" in text(client.get(at))
    assert f"{at}/before?task=REPOT" in client.get(at).content.decode()
    assert '<option value="REPOT" selected>' in client.get(f"{at}/before?task=REPOT").content.decode()
    client.post(f"{at}/before", {"task": "REPOT", "on": "2023", "why": "A label in the pot"})
    page = text(client.get(at))
    assert "When was it last repotted?" not in page
    assert "Repotting" in page


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"on": "long ago"}, "Write a year like 2024"),
        ({"on": "2031"}, "This has not come yet."),
        ({"on": "1800"}, "That is long ago."),
        ({"why": ""}, "Write how that is known"),
        ({"task": ""}, "Choose what was done."),
    ],
)
def test_a_wrong_answer_is_said_at_its_field(job, boss, typed, words):
    answer = browser(boss).post(
        f"/trees/{job.tree_id}/before", {"task": "REPOT", "on": "2023", "why": "known"} | typed
    )
    assert answer.status_code == 400
    assert words in text(answer)
    assert not Sitting.objects.exists()


def test_a_carer_answers_and_another_member_does_not(job, boss):
    carer, other = (MemberFactory(club=job.club) for _ in range(2))
    Care.objects.create(club=job.club, tree=job.tree, member=carer, role="carer")
    at = f"/trees/{job.tree_id}/before"
    assert browser(carer).post(at, {"task": "REPOT", "on": "2023", "why": "known"}).status_code == 302
    assert browser(other).get(at).status_code == 403
    page = browser(other).get(f"/trees/{job.tree_id}").content.decode()
    assert "/before" not in page
    assert "/jobs/" in page
    assert "form" not in text(browser(other).get(f"/jobs/{job.pk}")).split()


def test_a_job_that_waits_for_consent_says_so_and_leads_to_where_it_is_given(job, boss):
    owner = MemberFactory(club=job.club, name="Gerd")
    Care.objects.create(club=job.club, tree=job.tree, member=owner, role="owner", ask_first=True)
    for page in (f"/trees/{job.tree_id}", f"/jobs/{job.pk}"):
        html = browser(boss).get(page).content.decode()
        assert "Gerd asked to be asked first" in html
        assert f'<a href="/trees/{job.tree_id}/people">People and consent</a>' in html


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (
            {"no_hard_work_until": date(2027, 5, 1), "no_hard_work_why": "Root work."},
            "No hard work on this tree until Saturday 1 May 2027. Root work.",
        ),
        (
            {"leave_alone_until": date(2027, 5, 1), "leave_alone_why": "It is weak."},
            "The tree is left alone until Saturday 1 May 2027.",
        ),
    ],
)
def test_a_job_says_why_the_tree_is_spared(job, boss, more, words):
    Tree.objects.filter(pk=job.tree_id).update(**more)
    assert words in text(browser(boss).get(f"/trees/{job.tree_id}"))
    Job.objects.filter(pk=job.pk).update(stress=1)
    light = text(browser(boss).get(f"/trees/{job.tree_id}"))
    assert (words in light) == ("leave_alone_until" in more)


def test_a_lent_tree_says_where_it_is_and_its_job_waits(job, boss):
    lend(job, boss, date(2027, 3, 1), date(2027, 3, 20))
    page = text(browser(boss).get(f"/trees/{job.tree_id}"))
    assert page.count("The tree is lent until Saturday 20 March 2027, to the museum.") == 2


def test_a_loan_past_its_day_asks_whether_the_tree_is_back(job, boss):
    lend(job, boss, date(2027, 1, 1), date(2027, 2, 1))
    page = text(browser(boss).get(f"/trees/{job.tree_id}"))
    assert "This tree was lent until Monday 1 February 2027, to the museum. Is it back?" in page
