"""A stale edit writes nothing and shows both values; the choice is then written with the version of now."""

from __future__ import annotations

from datetime import UTC, date, datetime
from html.parser import HTMLParser
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client

from collection.models import Change, ClubRow, Contact, Job, Member, Offer, Tree
from collection.queries.errors import Refused, Stale
from collection.queries.two_answers import two_answers
from collection.usecases import jobs, reference, trees
from collection.usecases.edit import edit, edit_many
from collection.usecases.offers import offer_hours
from tests.factories import JobFactory, MemberFactory, SiteFactory, TreeFactory, WorkdayFactory, actor_of

pytestmark = pytest.mark.django_db
ROW = "/programme/G01-BUD_SELECT-1015"
NOW = datetime(2027, 3, 3, 9, 2, tzinfo=UTC)


class Form(HTMLParser):
    """The page's form: where it goes, what it carries, what can be chosen."""

    def __init__(self, answer: HttpResponse) -> None:
        super().__init__()
        self.url, self.carried, self.choices, self.preset = "", {}, {}, []
        self.feed(answer.content.decode())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        name, value = given.get("name") or "", given.get("value") or ""
        if tag == "form" and given.get("class") == "two":
            self.url = given["action"] or ""
        if tag == "input" and given.get("type") == "hidden" and name != "csrfmiddlewaretoken":
            self.carried.setdefault(name, []).append(value)
        if name.startswith("two_choice_") and given.get("type") in ("radio", "submit"):
            self.choices.setdefault(name, []).append(value)
            self.preset += [name] if "checked" in given else []


def text(answer: HttpResponse) -> str:
    return answer.content.decode().replace("\u00a0", " ")


def browser(member: Member) -> Client:
    client = Client()
    client.force_login(member.account)
    return client


def choose(member: Member, form: Form, **choices: str) -> HttpResponse:
    return browser(member).post(form.url, form.carried | choices, follow=True)


class Two:
    """Two coordinators of a club with a tree."""

    def __init__(self) -> None:
        site = SiteFactory(club__zone="Europe/London")
        self.club = site.club
        self.maren = MemberFactory(club=self.club, coordinator=True, name="Maren")
        self.ines = MemberFactory(club=self.club, coordinator=True, name="Ines")
        self.tree: Tree = TreeFactory(site=site, accession="2009.014", two_flush_pine=True, mass_kg=20.0)


@pytest.fixture
def two(time_machine: Any) -> Two:
    time_machine.move_to(NOW, tick=False)
    return Two()


def window_of(two: Two) -> tuple[Job, dict[str, str]]:
    """A job whose window Maren has just set to April, and what Ines sends with the old version."""
    job = JobFactory(tree=two.tree, moved_opens=date(2027, 3, 8), moved_closes=date(2027, 4, 7))
    april = (date(2027, 4, 1), date(2027, 4, 30))
    jobs.choose_window(actor=actor_of(two.maren), job_id=job.pk, version=1, take_new=False, window=april)
    return job, {"version": "1", "choice": "new", "opens": "2027-03-08", "closes": "2027-04-07"}


def test_both_values_stand_there_with_who_and_when_and_nothing_is_chosen(two: Two):
    job, sent = window_of(two)
    answer = browser(two.ines).post(f"/jobs/{job.pk}/window", sent)
    assert answer.status_code == 409
    page, form = text(answer), Form(answer)
    assert "was changed by Maren while you were writing. Which one is right?" in page
    for words in ("Window of detail wiring on", "2009.014", "Maren, today 9:02", "You, today 9:02"):
        assert words in page, words
    for words in ("Keep Thu 1 Apr 2027 to Fri 30 Apr 2027", "Keep Mon 8 Mar 2027 to Wed 7 Apr 2027"):
        assert words in page, words
    assert (form.url, form.choices) == (f"/jobs/{job.pk}/window", {"two_choice_0": ["theirs", "yours"]})
    assert form.preset == []
    assert Job.objects.get(pk=job.pk).opens == date(2027, 4, 1)


def test_the_choice_for_ones_own_is_written_with_its_trail(two: Two):
    job, sent = window_of(two)
    form = Form(browser(two.ines).post(f"/jobs/{job.pk}/window", sent))
    answer = choose(two.ines, form, two_choice_0="yours")
    assert "The window is set." in text(answer)
    now = Job.objects.get(pk=job.pk)
    assert (now.opens, now.closes, now.version) == (date(2027, 3, 8), date(2027, 4, 7), 3)
    newest = Change.objects.filter(table="job", row=job.pk).latest("id")
    assert (newest.who, newest.before["opens"]) == (two.ines, "2027-04-01")


def test_the_choice_for_theirs_writes_nothing_and_says_so(two: Two):
    job, sent = window_of(two)
    form = Form(browser(two.ines).post(f"/jobs/{job.pk}/window", sent))
    before = Change.objects.count()
    answer = choose(two.ines, form, two_choice_0="theirs")
    assert "It stays as it was." in text(answer)
    assert "The window is set." not in text(answer)
    now = Job.objects.get(pk=job.pk)
    assert (now.opens, now.version, Change.objects.count()) == (date(2027, 4, 1), 2, before)


def test_a_third_change_meanwhile_is_asked_about_again(two: Two):
    job, sent = window_of(two)
    form = Form(browser(two.ines).post(f"/jobs/{job.pk}/window", sent))
    may = (date(2027, 5, 1), date(2027, 5, 31))
    jobs.choose_window(actor=actor_of(two.maren), job_id=job.pk, version=2, take_new=False, window=may)
    answer = choose(two.ines, form, two_choice_0="yours")
    assert answer.status_code == 409
    assert "Keep Sat 1 May 2027 to Mon 31 May 2027" in text(answer)
    assert Job.objects.get(pk=job.pk).opens == date(2027, 5, 1)


def lists(**dates: str) -> dict[str, str]:
    """Days of a year as the form sends them: a list for the day, a list for the month."""
    found = {}
    for name, date_ in dates.items():
        month, day = date_.split("-")
        found |= {f"{name}_0": str(int(day)), f"{name}_1": str(int(month))}
    return found


def own_dates(two: Two, opens: str, why: str, version: int | None = None) -> None:
    values = {"opens": opens, "closes": "01-31"}
    reference.own_row(
        actor=actor_of(two.maren), table_name="programme", key="G01-BUD_SELECT-1015", values=values, why=why,
        version=version,
    )  # fmt: skip


@pytest.fixture
def row(two: Two) -> ClubRow:
    reference.load()
    own_dates(two, "11-01", "Mild here")
    return ClubRow.objects.get()


def test_two_questions_are_answered_on_one_page(two: Two, row: ClubRow):
    own_dates(two, "11-08", "Milder still", version=1)
    sent = {**lists(opens="10-20", closes="01-31"), "why": "Cold corner", "version": "1"}
    answer = browser(two.ines).post(ROW, sent)
    form = Form(answer)
    assert list(form.choices) == ["two_choice_0", "two_choice_1"]
    assert form.preset == []
    assert "Keep what I chose" in text(answer)
    choose(two.ines, form, two_choice_0="yours", two_choice_1="theirs")
    row.refresh_from_db()
    assert (row.values["opens"], row.why, row.version) == ("10-20", "Milder still", 3)


def test_a_question_without_an_answer_is_asked_again_and_nothing_is_written(two: Two, row: ClubRow):
    own_dates(two, "11-08", "Milder still", version=1)
    sent = {**lists(opens="10-20", closes="01-31"), "why": "Cold corner", "version": "1"}
    form = Form(browser(two.ines).post(ROW, sent))
    again = choose(two.ines, form, two_choice_0="yours")
    assert again.status_code == 409
    assert list(Form(again).choices) == ["two_choice_0", "two_choice_1"]
    row.refresh_from_db()
    assert (row.values["opens"], row.version) == ("11-08", 2)


def test_what_was_sent_back_as_it_was_read_does_not_overwrite(two: Two, row: ClubRow):
    """Maren changed the reason only, Ines the dates only: nobody loses anything and nobody is asked."""
    own_dates(two, "11-01", "Milder still", version=1)
    sent = {**lists(opens="10-20", closes="01-31"), "why": "Mild here", "version": "1"}
    answer = browser(two.ines).post(ROW, sent)
    form = Form(answer)
    assert answer.status_code == 409
    assert form.choices == {}
    assert "Keep 20 October to 31 January" in text(answer)
    assert "Reason: Milder still. Maren, today 9:02" in text(answer)
    assert "are kept" in text(choose(two.ines, form))
    row.refresh_from_db()
    assert (row.values["opens"], row.why, row.version) == ("10-20", "Milder still", 3)


def test_nothing_of_ones_own_is_left_to_write(two: Two, row: ClubRow):
    own_dates(two, "11-08", "Mild here", version=1)
    sent = {**lists(opens="11-01", closes="01-31"), "why": "Mild here", "version": "1"}
    answer = browser(two.ines).post(ROW, sent)
    assert "Nothing of yours is left to write." in text(answer)
    assert Form(answer).choices == {}


def stale_edit(row: Any, member: Member, **changes: Any) -> Stale:
    with pytest.raises(Stale) as caught:
        edit(row, 1, changes, actor_of(member))
    return caught.value


def test_values_are_said_in_units_and_names(two: Two):
    where = SiteFactory(club=two.club, name="Ada's garden")
    change = {"mass_kg": 24.0, "height_mm": 610.0}
    trees.change_tree(actor=actor_of(two.maren), tree_id=two.tree.pk, version=1, **change)
    row = Tree.objects.get(pk=two.tree.pk)
    stale = stale_edit(row, two.ines, mass_kg=19.0, height_mm=600.0, site_id=where.pk)
    found = two_answers(actor_of(two.ines), stale, NOW)
    asked = [(q.label, q.theirs.text, q.theirs.who, q.yours.text) for q in found.questions]
    assert asked == [("Weight", "24 kg", "Maren", "19 kg")]
    assert found.mine == (("Where it stands", "Ada's garden"),)
    assert [(label, a.text) for label, a in found.meanwhile] == [("Height", "610 mm")]
    assert (found.tree, found.version) == ((two.tree.pk, "2009.014"), 2)


def test_a_contact_is_asked_about_although_its_trail_holds_no_values(two: Two):
    contact = Contact.objects.create(club=two.club, member=two.ines, telephone="0555 1")
    edit(contact, 1, {"telephone": "0555 2"}, actor_of(two.maren))
    found = two_answers(actor_of(two.ines), stale_edit(contact, two.ines, telephone="0555 3"), NOW)
    [question] = found.questions
    assert (question.theirs.text, question.theirs.who, question.yours.text) == ("0555 2", "Maren", "0555 3")
    assert Change.objects.filter(table="contact").get().after == {"telephone": None}


def test_an_answer_for_a_day_changed_by_telephone_meanwhile_is_asked_about(two: Two):
    day = WorkdayFactory(site=SiteFactory(club=two.club))
    me = MemberFactory(club=two.club, name="Ana")
    seen = Form(browser(me).get(f"/days/{day.pk}")).carried["versions"]
    assert seen == [f"{me.pk}:0"]
    offer_hours(actor=actor_of(two.maren), workday_id=day.pk, member_id=me.pk, answer="no")
    sent = {"member": me.pk, "answer": "yes", "arrives": "10:00", "leaves": "12:00", "versions": seen}
    answer = browser(me).post(f"/days/{day.pk}/answers", sent)
    assert answer.status_code == 409
    assert "Answer of Ana for Saturday 6 March 2027" in text(answer)
    assert "Keep No" in text(answer)
    assert "Keep Yes, 10:00 to 12:00" in text(answer)
    assert Offer.objects.get().answer == "no"
    choose(me, Form(answer), two_choice_0="yours")
    assert (Offer.objects.get().answer, Offer.objects.get().version) == ("yes", 2)


def test_another_club_cannot_be_asked_about(two: Two):
    stranger = actor_of(MemberFactory(coordinator=True))
    with pytest.raises(Refused) as caught:
        two_answers(stranger, Stale("tree", two.tree.pk, seen=1, now=2, wanted={"mass_kg": 1.0}), NOW)
    assert caught.value.kind == "not_found"


def test_an_edit_of_a_row_that_was_taken_away_meanwhile_finds_nothing(two: Two):
    contact = Contact.objects.create(club=two.club, member=two.ines, telephone="0555 1")
    Contact.objects.filter(pk=contact.pk).delete()
    with pytest.raises(Refused) as caught:
        edit(contact, 1, {"telephone": "0555 2"}, actor_of(two.maren))
    assert caught.value.kind == "not_found"


@pytest.mark.parametrize("count", [1, 2])
def test_rows_changed_because_of_something_else_are_stale_for_whoever_had_read_them(two: Two, count: int):
    rows = [two.tree, TreeFactory(site=two.tree.site)][:count]
    edit_many([(row, {"name": "Crag"}) for row in rows], actor_of(two.maren))
    assert [*Tree.objects.filter(name="Crag").values_list("version", flat=True)] == [2] * count
    for row in rows:
        assert stale_edit(Tree.objects.get(pk=row.pk), two.ines, name="Elder").now == 2
