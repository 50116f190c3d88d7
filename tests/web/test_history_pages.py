"""The whole history of a tree, and a sitting put right from it."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta

import pytest
from django.test import Client

from collection.models import Job, Look, Member, Sitting, Tree, Wire
from collection.queries.tree_history import PAGE
from collection.usecases import branches, care, counts, jobs, tree_events, trees
from collection.usecases.sittings import TaskDone, Worked, record
from tests.factories import BenchFactory, JobFactory, MemberFactory, SiteFactory, TreeFactory, actor_of

pytestmark = pytest.mark.django_db
TODAY = date(2027, 3, 3)


@pytest.fixture
def tree(time_machine) -> Tree:
    time_machine.move_to("2027-03-03T15:00:00+00:00", tick=False)
    bench = BenchFactory(site=SiteFactory(name="Orchard"), name="A2")
    return TreeFactory(site=bench.site, bench=bench, name="Heron", accession="2009.014")


@pytest.fixture
def boss(tree) -> Member:
    return MemberFactory(club=tree.club, coordinator=True, name="Maren")


def browser(who: Member) -> Client:
    client = Client()
    client.force_login(who.account)
    return client


def text(answer) -> str:
    page = answer.content.decode().replace("\u00a0", " ").replace("&#x27;", "'")
    return " ".join(re.sub(r"<[^>]*>", " ", page).split())


def worked(tree: Tree, who: Member, task: str = "TRIM", on: date = TODAY, **more: object) -> int:
    began = datetime(on.year, on.month, on.day, 10, tzinfo=UTC)
    [sitting] = record(
        actor=actor_of(who), trees=[tree.pk], tasks=[TaskDone(task)], people=[Worked(who.pk, 75)],
        started=began, ended=began + timedelta(minutes=75), request_key=f"{task}{on}", **more,
    )  # fmt: skip
    return sitting


def sent(people: list[Member], **more: object) -> dict[str, object]:
    return {
        "people": [person.pk for person in people],
        "tree": "2009.014",
        "on": "2027-03-03",
        "started": "10:00",
        "minutes": "40",
        "key": "right",
        "note": "",
        "tasks-TOTAL_FORMS": "1",
        "tasks-INITIAL_FORMS": "1",
        "tasks-0-task": "TRIM",
        "tasks-0-finished": "on",
    } | more


def filled(page: str, people: list[Member], **more: object) -> dict[str, object]:
    """The form of a correction as it came, and what was changed in it."""
    held = {}
    for name in ("started", "stopped", "minutes", "breaks_min"):
        [field] = re.findall(rf'<input[^>]* name="{name}"[^>]*>', page)
        found = re.search(r'value="([^"]*)"', field)
        held[name] = found[1] if found else ""
    return sent(people, **held) | more


def everything(tree: Tree, boss: Member) -> None:
    actor = actor_of(boss)
    worked(tree, boss, note="Top is done.")
    counts.record_counts(
        actor=actor, tree_id=tree.pk, on=TODAY, counts={"primary": 8, "primary_mm": 14, "primary_wired": 1}
    )
    trees.see_sign(actor=actor, tree_id=tree.pk, sign="buds_swelling", on=TODAY)
    branch = branches.add_branch(actor=actor, tree_id=tree.pk, label="B1", diameter_mm=22.0)
    branches.change_branch(actor=actor, branch_id=branch, version=1, diameter_mm=24.0)
    wire = trees_wire(tree, boss, branch)
    care.set_care(actor=actor, tree_id=tree.pk, member_id=boss.pk, role="carer")
    trees.change_tree(actor=actor, tree_id=tree.pk, version=1, mass_kg=24.0, stage="S", brought_by_id=boss.pk)
    job = jobs.add_job(actor=actor, tree_id=tree.pk, task="REPOT", opens=TODAY, closes=TODAY)
    jobs.set_priority(actor=actor, job_id=job, version=Job.objects.get(pk=job).version, priority=5)
    jobs.not_this_year(
        actor=actor, job_id=job, version=Job.objects.get(pk=job).version, reason="It rests", today=TODAY
    )
    days = {"on": date(2027, 2, 1), "until": date(2027, 2, 9)}
    tree_events.lend(actor=actor, tree_id=tree.pk, to="the museum", **days)
    assert wire


def trees_wire(tree: Tree, boss: Member, branch: int) -> int:
    wire = Wire.objects.create(
        club=tree.club, tree=tree, branch_id=branch, label="W1", length_m=1.2, gauge_mm=2.5, metal="copper",
        on=date(2027, 1, 5), off=date(2027, 3, 1),
    )  # fmt: skip
    Look.objects.create(club=tree.club, wire=wire, on=date(2027, 2, 5), seen="snug", by=boss)
    return wire.pk


@pytest.mark.parametrize(
    "words",
    [
        "Trimming, 1 h 15 Top is done. Maren",
        "Counted: 8 main branches, usual thickness of main branches: 14 mm, main branches wired: yes Maren",
        "Seen: buds swelling",
        "Branch B1 drawn Maren",
        "Branch B1: thickness 22 mm, now 24 mm",
        "Maren written down as carer",
        "weight nothing, now 24 kg",
        "stage Refining, now Show",
        "who brings it nothing, now Maren",
        "Repotting: priority 3, now 5",
        "Repotting: not this year. It rests Maren",
        "Lent until Tue 9 Feb 2027: the museum Maren",
        "Wire W1 put on, branch B1, 2.5 mm copper, 1.2 m",
        "Wire W1 came off",
        "Looked at wire W1: snug Maren",
    ],
)
def test_everything_that_happened_is_told_with_who_and_when(tree, boss, words):
    everything(tree, boss)
    assert words in text(browser(boss).get(f"/trees/{tree.pk}/history"))


def test_the_newest_comes_first_and_nothing_is_told_twice(tree, boss):
    everything(tree, boss)
    page = text(browser(boss).get(f"/trees/{tree.pk}/history"))
    order = [page.index(words) for words in ("Trimming", "Wire W1 came off", "Lent until", "Wire W1 put on")]
    assert order == sorted(order)
    assert page.count("not this year") == 1
    assert page.count("Lent until") == 1
    assert "Changed: height" not in page


def test_a_branch_that_is_gone_is_still_told(tree, boss):
    actor = actor_of(boss)
    branch = branches.add_branch(actor=actor, tree_id=tree.pk, label="B9")
    branches.remove_branch(actor=actor, branch_id=branch, version=1)
    assert "Branch B9 taken off" in text(browser(boss).get(f"/trees/{tree.pk}/history"))


def test_a_long_history_has_pages(tree, boss):
    for n in range(PAGE + 5):
        worked(tree, boss, on=date(2026, 1, 1) + timedelta(days=n))
    client = browser(boss)
    first = text(client.get(f"/trees/{tree.pk}/history"))
    assert "Entries 1 to 50 of 55" in first
    last = text(client.get(f"/trees/{tree.pk}/history?from=50"))
    assert "Entries 51 to 55 of 55" in last
    assert "Thu 1 Jan 2026" in last
    assert text(client.get(f"/trees/{tree.pk}/history?from=999")) == last


def test_an_empty_history_says_what_will_be_there(tree, boss):
    assert "What happens to this tree will be listed here." in text(
        browser(boss).get(f"/trees/{tree.pk}/history")
    )


def test_a_sitting_is_put_right_and_the_old_entry_is_struck_through(tree, boss):
    petra = MemberFactory(club=tree.club, name="Petra")
    old = worked(tree, boss)
    client = browser(boss)
    form = client.get(f"/sittings/{old}/correct").content.decode()
    assert 'value="75"' in form
    assert 'value="2009.014"' in form
    answer = client.post(f"/sittings/{old}/correct", sent([petra]))
    assert answer["Location"] == f"/trees/{tree.pk}/history"
    page = client.get(f"/trees/{tree.pk}/history").content.decode().replace("\u00a0", " ")
    assert "<s>Trimming, 1 h 15</s>" in page
    assert "Put right by Maren on Wed 3 Mar 2027." in page
    assert "Trimming, 40 min" in page
    assert page.count("/correct") == 1
    assert "Petra" in text(client.get(f"/trees/{tree.pk}"))


def test_minutes_nobody_touched_stay_each_persons_own(tree, boss):
    petra = MemberFactory(club=tree.club, name="Petra")
    began = datetime(2027, 3, 3, 10, tzinfo=UTC)
    [old] = record(
        actor=actor_of(boss), trees=[tree.pk], tasks=[TaskDone("TRIM")],
        people=[Worked(boss.pk, 75), Worked(petra.pk, 30)], started=began,
        ended=began + timedelta(minutes=75), request_key="both",
    )  # fmt: skip
    browser(boss).post(f"/sittings/{old}/correct", sent([boss, petra], minutes="75", note="Wired as well."))
    new = Sitting.objects.get(corrects=old)
    assert sorted(new.people.values_list("member__name", "minutes")) == [("Maren", 75.0), ("Petra", 30.0)]


@pytest.mark.parametrize(
    ("typed", "minutes", "ended"),
    [
        ({"stopped": "12:00"}, 120.0, "12:00"),
        ({"stopped": "12:00", "breaks_min": "20"}, 100.0, "12:00"),
        ({"started": "09:45"}, 90.0, "11:15"),
        ({"stopped": "11:15", "minutes": "60"}, 60.0, "11:15"),
    ],
)
def test_a_changed_time_counts_and_so_do_changed_minutes(tree, boss, typed, minutes, ended):
    old = worked(tree, boss)
    page = browser(boss).get(f"/sittings/{old}/correct").content.decode()
    assert 'value="11:15"' in page
    assert browser(boss).post(f"/sittings/{old}/correct", filled(page, [boss], **typed)).status_code == 302
    new = Sitting.objects.get(corrects=old)
    assert new.people.get().minutes == minutes
    assert f"{new.ended:%H:%M}" == ended


def test_times_and_minutes_that_contradict_each_other_are_refused(tree, boss):
    old = worked(tree, boss)
    page = browser(boss).get(f"/sittings/{old}/correct").content.decode()
    sent_in = filled(page, [boss], stopped="11:30", minutes="120")
    answer = browser(boss).post(f"/sittings/{old}/correct", sent_in)
    assert answer.status_code == 400
    assert "From 10:00 to 11:30 is 90 minutes." in text(answer)
    assert not Sitting.objects.filter(corrects=old).exists()


def test_a_sitting_goes_to_the_tree_it_was_on(tree, boss):
    other = TreeFactory(site=tree.site, accession="2010.002")
    old = worked(tree, boss)
    JobFactory(tree=other, task="TRIM")
    browser(boss).post(f"/sittings/{old}/correct", sent([boss], tree="2010.002"))
    assert Job.objects.get(tree=other, origin="hand").state == "done"
    page = text(browser(boss).get(f"/trees/{tree.pk}/history"))
    assert "Put right by Maren on Wed 3 Mar 2027: it was on 2010.002." in page


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"tree": "9999"}, "No tree has this tag."),
        ({"people": []}, "Choose who worked."),
        ({"left_open": "on"}, "Write where you stopped"),
        ({"minutes": "", "started": ""}, "Say how long"),
    ],
)
def test_a_wrong_correction_is_said_and_nothing_is_written(tree, boss, more, words):
    old = worked(tree, boss)
    answer = browser(boss).post(f"/sittings/{old}/correct", sent([boss]) | more)
    assert answer.status_code == 400
    assert words in text(answer)
    assert Sitting.objects.count() == 1


def test_only_those_concerned_put_a_sitting_right(tree, boss):
    petra, other = (MemberFactory(club=tree.club) for _ in range(2))
    old = worked(tree, petra)
    assert browser(petra).get(f"/sittings/{old}/correct").status_code == 200
    assert browser(other).get(f"/sittings/{old}/correct").status_code == 403
    assert "Put this right" not in text(browser(other).get(f"/trees/{tree.pk}/history"))
    assert "Put this right" in text(browser(petra).get(f"/trees/{tree.pk}/history"))
    browser(petra).post(f"/sittings/{old}/correct", sent([petra]))
    assert browser(petra).get(f"/sittings/{old}/correct").status_code == 409
