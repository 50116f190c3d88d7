"""A day on its pages: answers, two plans, a person's own day, who came, what was done."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from collection.models import Assignment, Attendance, Contact, Job, Member, Offer, Plan, Sitting, Workday
from collection.usecases import sending, workdays
from collection.usecases.estimates import refresh_jobs
from tests.factories import (
    JobFactory,
    MemberFactory,
    PlanFactory,
    SiteFactory,
    TreeFactory,
    WorkdayFactory,
    actor_of,
)

pytestmark = pytest.mark.django_db
DAY = date(2027, 3, 6)


class House:
    """A coordinator, two members and a day on which both come."""

    def __init__(self) -> None:
        self.site = SiteFactory(name="Malthouse")
        club = self.site.club
        self.boss = MemberFactory(club=club, name="Edith Mossgrave", role="coordinator")
        self.wilma = MemberFactory(club=club, name="Wilma Sedge")
        self.ivo = MemberFactory(club=club, name="Ivo Larchmere")
        self.day = WorkdayFactory(site=self.site, lead=self.boss)
        self.actor = actor_of(self.boss)
        for member in (self.wilma, self.ivo):
            workdays.offer_hours(actor=self.actor, workday_id=self.day.pk, member_id=member.pk, answer="yes")
        self.jobs: list[Job] = []

    def plan(self, number: int, *teams: tuple[Member, ...], part: bool = False) -> Plan:
        """A ready plan: each team has a job of an hour, one after the other from 10:00."""
        plan = PlanFactory(
            workday=self.day, club=self.site.club, number=number, state="ready",
            ready_at=datetime(2027, 3, 1, tzinfo=UTC),
        )  # fmt: skip
        for n, team in enumerate(teams):
            job = JobFactory(tree=TreeFactory(site=self.site), task="TRIM")
            refresh_jobs([job.pk])
            self.jobs.append(job)
            for m, member in enumerate(team):
                Assignment.objects.create(
                    club=self.site.club, plan=plan, job=job, member=member,
                    person_key=f"account:{member.account_id}", role="hand" if m else "lead", part=part,
                    starts=datetime(2027, 3, 6, 10 + n, tzinfo=UTC),
                    ends=datetime(2027, 3, 6, 11 + n, tzinfo=UTC),
                    steps=[["setup", 600 + 60 * n, 610 + 60 * n], ["work", 610 + 60 * n, 660 + 60 * n]],
                )  # fmt: skip
        return plan

    def send(self, *teams: tuple[Member, ...], part: bool = False) -> Plan:
        plan = self.plan(1, *teams, part=part)
        sending.send_out(actor=self.actor, plan_id=plan.pk)
        return plan


@pytest.fixture
def house(time_machine_at) -> House:
    time_machine_at(date(2027, 3, 3))
    return House()


def browser(member: Member) -> Client:
    client = Client()
    client.force_login(member.account)
    return client


def text(member: Member, name: str, *args: int) -> str:
    """What somebody reads at an address, tags left out."""
    answer = browser(member).get(reverse(name, args=args))
    assert answer.status_code == 200, answer.status_code
    return words(answer)


def words(answer) -> str:
    body = answer.content.decode().split("<main", 1)[1]
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", body)).replace("\N{NO-BREAK SPACE}", " ")


# --- from draft to open -----------------------------------------------------------------------


def test_a_draft_is_on_the_list_of_coordinators_only(house: House):
    draft = WorkdayFactory(site=house.site, date=date(2027, 4, 3), state="draft")
    assert "Draft, only coordinators see it" in text(house.boss, "days")
    assert "Draft" not in text(house.wilma, "days")
    assert browser(house.wilma).get(reverse("day", args=[draft.pk])).status_code == 404
    assert "Open for offers" in text(house.boss, "day", draft.pk)
    browser(house.boss).post(reverse("day-open", args=[draft.pk]))
    assert "Do you come?" in text(house.wilma, "day", draft.pk)
    assert "One waits for your answer." in text(house.wilma, "days")


def test_a_day_is_changed_with_all_its_facts_and_a_garden_joins_the_places(house: House):
    typed = {
        "opens": "10:00", "closes": "14:00", "site": house.site.pk, "garden": "Wilma's garden",
        "address": "4 Mill Lane", "break_from": "11:15", "break_to": "11:30", "briefing_min": "10",
        "closing_min": "20", "lead": house.ivo.pk, "first_aider": house.wilma.pk, "least_people": "3",
        "most_people": "6", "bring": "Gloves", "version": house.day.version,
    }  # fmt: skip
    answer = browser(house.boss).post(reverse("day-change", args=[house.day.pk]), typed)
    assert answer.status_code == 302
    day = Workday.objects.select_related("site").get(pk=house.day.pk)
    assert (day.site.name, day.site.kind, day.site.address) == ("Wilma's garden", "home", "4 Mill Lane")
    assert (day.opens, day.closes, day.breaks) == (time(10), time(14), [["11:15", "11:30"]])
    assert (day.briefing_min, day.closing_min, day.least_people, day.most_people) == (10, 20, 3, 6)
    assert (day.lead, day.first_aider, day.bring) == (house.ivo, house.wilma, "Gloves")
    page = text(house.wilma, "day", day.pk)
    for said in (
        "4 Mill Lane",
        "11:15 to 11:30",
        "Ivo Larchmere",
        "Gloves",
        "One more is needed, 3 at least.",
    ):
        assert said in page


def test_a_change_over_somebody_elses_asks_which_is_right(house: House):
    url = reverse("day-change", args=[house.day.pk])
    form = browser(house.boss).get(url).content.decode()
    seen = re.search(r'name="version" value="(\d+)"', form)[1]
    workdays.change_workday(actor=house.actor, workday_id=house.day.pk, changes={"bring": "Boots"})
    typed = {"opens": "09:30", "closes": "13:30", "site": house.site.pk, "bring": "Gloves", "version": seen}
    answer = browser(house.boss).post(url, typed)
    assert answer.status_code == 409
    assert "What to bring" in words(answer)
    assert "Boots" in words(answer)
    assert Workday.objects.get(pk=house.day.pk).bring == "Boots"


def test_a_day_is_moved_and_called_off_from_its_pages(house: House):
    move, cancel = (reverse(name, args=[house.day.pk]) for name in ("day-move", "day-cancel"))
    client = browser(house.boss)
    assert "2 people have answered and will be told" in words(client.get(move))
    version = house.day.version
    late = client.post(move, {"on": "2027-03-02", "version": version})
    assert (late.status_code, "has passed" in words(late)) == (400, True)
    assert client.post(move, {"on": "2027-03-13", "version": version}).status_code == 302
    assert Workday.objects.get(pk=house.day.pk).date == date(2027, 3, 13)
    assert not Offer.objects.exists()
    empty = client.post(cancel, {"version": version + 1})
    assert (empty.status_code, "Write why, in a few words." in words(empty)) == (400, True)
    assert client.post(cancel, {"why": "Hard frost", "version": version + 1}).status_code == 302
    assert "This day is cancelled. Hard frost" in text(house.wilma, "day", house.day.pk)
    assert "Cancelled: Hard frost" in text(house.wilma, "days")


# --- answers ----------------------------------------------------------------------------------


def test_who_has_not_answered_is_seen_by_coordinators_with_the_telephone(house: House):
    silent = MemberFactory(club=house.site.club, name="Samir Foxglade")
    Contact.objects.create(club=house.site.club, member=silent, telephone="01234 567")
    for planner, seen in ((True, True), (False, False)):
        page = text(house.boss if planner else house.wilma, "day", house.day.pk)
        assert ("Samir Foxglade" in page, "01234 567" in page, "Not answered yet" in page) == (seen,) * 3
    answer = browser(house.boss).post(
        reverse("day-answer", args=[house.day.pk]), {"member": silent.pk, "answer": "yes"}, follow=True
    )
    assert "The answer of Samir Foxglade is written down." in answer.content.decode()
    offer = Offer.objects.get(member=silent)
    assert (offer.answer, offer.by, offer.arrives, offer.leaves) == (
        "yes",
        house.boss,
        time(9, 30),
        time(13, 30),
    )


def test_a_full_day_says_so_and_takes_no_further_yes(house: House):
    Workday.objects.update(most_people=2)
    late = MemberFactory(club=house.site.club)
    assert "This day takes 2 people, and all have said yes." in text(late, "day", house.day.pk)
    url = reverse("day-answer", args=[house.day.pk])
    answer = browser(late).post(url, {"member": late.pk, "answer": "yes"})
    assert (answer.status_code, "all have said yes" in words(answer)) == (400, True)
    assert browser(late).post(url, {"member": late.pk, "answer": "perhaps"}).status_code == 302
    assert "The day is full." in text(house.boss, "day", house.day.pk)


@pytest.mark.parametrize("answer", ["perhaps", "no"])
def test_hours_the_wrong_way_round_are_told_or_do_not_matter(house: House, answer: str):
    typed = {"member": house.wilma.pk, "answer": answer, "arrives": "12:00", "leaves": "11:00"}
    got = browser(house.wilma).post(reverse("day-answer", args=[house.day.pk]), typed)
    assert got.status_code == (400 if answer == "perhaps" else 302)


def test_a_coordinator_reads_how_many_things_are_missing_and_opens_them(house: House):
    said = "Two things are missing before this day."
    assert said in text(house.boss, "day", house.day.pk)
    assert "missing" not in text(house.wilma, "day", house.day.pk)
    page = text(house.boss, "day-missing", house.day.pk)
    assert (said in page, "There is no first aider yet." in page) == (True, True)
    assert "Edith Mossgrave leads the day and has not said yes." in page


# --- two plans --------------------------------------------------------------------------------


def test_members_see_the_plan_that_was_sent_out_while_a_newer_one_is_made(house: House):
    first = house.plan(1, (house.wilma,))
    assert "The plan is not out yet." in text(house.wilma, "day", house.day.pk)
    assert browser(house.wilma).get(reverse("plan", args=[first.pk])).status_code == 404
    sending.send_out(actor=house.actor, plan_id=first.pk)
    second = house.plan(2, (house.ivo,))
    old, new = (job.tree.accession for job in house.jobs)
    member, boss = (text(who, "day", house.day.pk) for who in (house.wilma, house.boss))
    assert (old in member, new in member, "Plan 1" in member) == (True, False, True)
    assert "Members see plan 1, which was sent out. Plan 2 below is newer." in boss
    assert new in boss
    frozen = text(house.boss, "plan", first.pk)
    assert "Plan 1 as it was sent out." in frozen
    assert (old in frozen, "Not here" in frozen) == (True, False)
    assert old in text(house.wilma, "plan", first.pk)
    assert browser(house.wilma).get(reverse("plan", args=[second.pk])).status_code == 404
    number = reverse("number", args=["seat", f"{second.pk}~{house.jobs[1].pk}~1"])
    assert browser(house.wilma).get(number).status_code == 404
    assert browser(house.boss).get(number).status_code == 200


def test_a_change_after_the_plan_went_out_is_said_to_both(house: House):
    house.send((house.wilma,))
    workdays.offer_hours(
        actor=actor_of(house.ivo), workday_id=house.day.pk, member_id=house.ivo.pk, answer="no"
    )
    assert "Something changed since this plan went out." in text(house.wilma, "day", house.day.pk)
    assert "sent out, and something changed since" in text(house.boss, "day", house.day.pk)


def test_a_plan_that_books_somebody_twice_is_not_sent_and_says_who_and_where(house: House):
    house.send((house.wilma,))
    other = WorkdayFactory(site=SiteFactory(club=house.site.club, name="Dovetail garden"))
    house.day, at = other, house.day
    plan = house.plan(1, (house.wilma,))
    house.day = at
    answer = browser(house.boss).post(reverse("plan-send", args=[plan.pk]), follow=True)
    assert "Wilma Sedge is busy at Malthouse from 10:00 to 11:00." in answer.content.decode()


# --- a person's own day -----------------------------------------------------------------------


def test_my_day_opens_the_next_job_and_records_it_with_what_was_planned(house: House, time_machine_at):
    house.send((house.wilma, house.ivo), (house.wilma,))
    assert ", next" not in text(house.ivo, "my-day", house.day.pk)
    time_machine_at(DAY)
    page = text(house.ivo, "my-day", house.day.pk)
    assert "You are here 9:30 to 13:30. One job, one with Wilma Sedge." in page
    assert "10:00 to 11:00, next" in page
    client = browser(house.wilma)
    mine = client.get(reverse("my-day", args=[house.day.pk])).content.decode()
    link = re.search(r'main" href="(/sittings/new[^"]*)"', mine)[1].replace("&amp;", "&")
    form = client.get(link).content.decode()
    assert "Planned: Saturday 6 March 2027, 10:00 to 11:00." in form.replace("\N{NO-BREAK SPACE}", " ")
    assert form.count("checked") == 3  # both people, and that the task is finished
    typed = {
        "people": [house.wilma.pk, house.ivo.pk], "on": "2027-03-06", "minutes": "45", "key": "k1",
        "tasks-TOTAL_FORMS": "1", "tasks-INITIAL_FORMS": "1", "tasks-0-task": "TRIM",
        "tasks-0-finished": "on",
    }  # fmt: skip
    assert client.post(link, typed)["Location"] == reverse("my-day", args=[house.day.pk])
    sitting = Sitting.objects.get()
    assert (sitting.workday_id, sitting.tasks.get().job_id) == (house.day.pk, house.jobs[0].pk)
    after = client.get(reverse("my-day", args=[house.day.pk])).content.decode()
    assert re.search(r"<s>1\. Trimming, [^<]*</s><br>Done", after)
    assert "11:00 to 12:00, next" in after.replace("\N{NO-BREAK SPACE}", " ")


def test_a_day_without_a_plan_and_a_person_without_a_job_are_told_so(house: House):
    early = browser(house.wilma).get(reverse("my-day", args=[house.day.pk]))
    assert (early.status_code, "is not out yet" in early.content.decode()) == (409, True)
    house.send((house.wilma,))
    assert "No job has your name on it." in text(house.ivo, "my-day", house.day.pk)


@pytest.mark.parametrize("swap", ["day", "job", "part", "tree"])
def test_a_planned_sitting_that_does_not_exist_is_not_found(house: House, swap: str):
    house.send((house.wilma,))
    asked = {"tree": house.jobs[0].tree_id, "day": house.day.pk, "job": house.jobs[0].pk, "part": 1}
    other = TreeFactory(site=house.site).pk if swap == "tree" else 999_999
    answer = browser(house.wilma).get(reverse("sitting-new"), asked | {swap: other})
    assert answer.status_code == 404


# --- who came, what was done ------------------------------------------------------------------


def test_those_who_said_yes_are_ticked_and_the_day_is_held(house: House, time_machine_at):
    guest = MemberFactory(club=house.site.club, name="Samir Foxglade")
    url = reverse("day-came", args=[house.day.pk])
    client = browser(house.boss)
    assert client.get(url).status_code == 409
    time_machine_at(DAY)
    assert client.get(url).content.decode().count("checked") == 2
    wrong = {
        "came": [house.wilma.pk],
        f"arrived_{house.wilma.pk}": "11:00",
        f"left_{house.wilma.pk}": "10:00",
    }
    answer = client.post(url, wrong)
    assert (answer.status_code, "The end is before the start." in words(answer)) == (400, True)
    typed = {
        "came": [house.wilma.pk], "others": [guest.pk], "held": "yes",
        f"arrived_{house.wilma.pk}": "09:47",
    }  # fmt: skip
    assert client.post(url, typed)["Location"] == reverse("day-after", args=[house.day.pk])
    came = {a.member_id: (a.came, a.arrived) for a in Attendance.objects.all()}
    assert came == {house.wilma.pk: (True, time(9, 47)), guest.pk: (True, None), house.ivo.pk: (False, None)}
    assert Workday.objects.get(pk=house.day.pk).state == "held"
    assert "Held" in text(house.wilma, "days")
    assert browser(house.wilma).get(url).status_code == 403


def test_all_done_except_records_the_ticked_jobs_at_planned_minutes_marked_so(house: House, time_machine_at):
    house.send((house.wilma, house.ivo), (house.wilma,), (house.ivo,))
    time_machine_at(DAY)
    url, record = (reverse(name, args=[house.day.pk]) for name in ("day-after", "day-record"))
    client = browser(house.boss)
    ticked = [f"{job.pk}~1" for job in house.jobs[:2]]
    first = client.post(record, {"jobs": ticked, "key": "k"})
    assert (first.status_code, "Say first who came." in words(first)) == (400, True)
    workdays.mark_came(
        actor=house.actor, workday_id=house.day.pk, member_ids=[house.wilma.pk], today=DAY, held=True
    )
    assert "Nobody planned for it came." in words(client.get(url))
    absent = client.post(record, {"jobs": [f"{house.jobs[2].pk}~1"], "key": "k"})
    assert (absent.status_code, "Record it with those who did it." in words(absent)) == (400, True)
    assert not Sitting.objects.exists()
    for _ in range(2):
        assert client.post(record, {"jobs": ticked, "key": "k"}).status_code == 302
    told = [
        (s.shared, s.workday_id, [(p.member_id, p.minutes) for p in s.people.all()])
        for s in Sitting.objects.order_by("id")
    ]
    assert told == [(True, house.day.pk, [(house.wilma.pk, 60.0)])] * 2
    assert [Job.objects.get(pk=job.pk).state for job in house.jobs] == ["done", "done", "open"]
    page = words(client.get(url))
    assert "One of 3 planned jobs is not on record yet." in page
    assert client.post(record, {"key": "k"}).status_code == 400
    assert browser(house.wilma).post(record, {"jobs": ticked, "key": "k"}).status_code == 403
    assert 'name="jobs"' not in browser(house.wilma).get(url).content.decode()


def test_a_job_that_goes_on_another_day_is_never_recorded_in_a_row(house: House, time_machine_at):
    house.send((house.wilma,), part=True)
    time_machine_at(DAY)
    workdays.mark_came(actor=house.actor, workday_id=house.day.pk, member_ids=[house.wilma.pk], today=DAY)
    answer = browser(house.boss).post(
        reverse("day-record", args=[house.day.pk]), {"jobs": [f"{house.jobs[0].pk}~1"], "key": "k"}
    )
    assert (answer.status_code, "Record it with a note" in words(answer)) == (400, True)
    assert not Sitting.objects.exists()


def test_four_times_the_jobs_and_people_cost_the_same_queries(house: House, time_machine_at):
    def costs() -> dict[str, int]:
        found = {}
        for name in ("days", "day", "my-day", "day-missing", "day-came", "day-after"):
            url = reverse(name, args=[] if name == "days" else [house.day.pk])
            client = browser(house.boss)
            assert client.get(url).status_code == 200
            with CaptureQueriesContext(connection) as taken:
                client.get(url)
            found[name] = len(taken)
        return found

    time_machine_at(DAY)
    house.send((house.boss, house.wilma))
    few = costs()
    for n in range(2, 6):
        person = MemberFactory(club=house.site.club)
        workdays.offer_hours(actor=house.actor, workday_id=house.day.pk, member_id=person.pk, answer="yes")
        plan = house.plan(n, (house.boss, person), (person, house.ivo), (house.boss,))
        sending.send_out(actor=house.actor, plan_id=plan.pk)
    assert costs() == few
    assert max(few.values()) <= 40
