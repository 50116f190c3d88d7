"""People: the list, one person, and who sees how somebody is reached."""

from __future__ import annotations

from datetime import UTC, date, datetime, time

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from collection import models
from collection.usecases import abilities, habits, members, sittings, trees, workdays
from collection.usecases.care import set_care
from collection.usecases.sittings import TaskDone, Worked
from tests.factories import MemberFactory, SiteFactory, TreeFactory, actor_of
from tests.usecases.letters import letter_to

pytestmark = pytest.mark.django_db
TODAY = date(2027, 3, 3)


@pytest.fixture(autouse=True)
def clock(time_machine):
    time_machine.move_to("2027-03-03T09:00:00+00:00", tick=False)


def plain(answer) -> str:
    """What a page says, with plain spaces."""
    return answer.content.decode().replace("\xa0", " ")


class House:
    """A club with an admin, a coordinator, a lead and Wilma."""

    def __init__(self) -> None:
        self.site = SiteFactory()
        club = self.site.club
        self.admin = MemberFactory(club=club, role="admin", name="Edith Mossgrave")
        self.boss = MemberFactory(club=club, coordinator=True, name="Anselm Roper")
        self.lead = MemberFactory(club=club, role="bench_lead", name="Oswin Reed")
        self.plain = MemberFactory(club=club, name="Petra Vale")
        self.act = actor_of(self.boss)
        self.wilma = members.add_member(
            actor=self.act, name="Wilma Sand", today=date(2024, 5, 1),
            email="wilma@example.org", telephone="+44 20 7946",
        )  # fmt: skip
        for family, level in (("wiring", "practised"), ("bending", "learning")):
            abilities.set_skill(
                actor=self.act, member_id=self.wilma, family=family, level=level, since=date(2026, 4, 1)
            )
        abilities.declare(
            actor=self.act, member_id=self.wilma, kind="can_lift", answer=False, on=date(2026, 4, 2)
        )
        habits.add_habit(
            actor=self.act, member_id=self.wilma, weekday=2, minutes=150, starts=date(2027, 1, 1)
        )
        self.day = workdays.create_workday(
            actor=self.act, site_id=self.site.pk, on=date(2027, 3, 6), opens=time(9, 30),
            closes=time(13, 30), lead_id=self.lead.pk,
        )  # fmt: skip

    def comes(self, answer: str = "yes") -> None:
        workdays.offer_hours(actor=self.act, workday_id=self.day, member_id=self.wilma, answer=answer)

    def sit(self, number: int, *, left_open: bool = False, on: date = date(2027, 2, 6)) -> models.Tree:
        tree = TreeFactory(site=self.site, accession=f"2019.{number:03d}")
        began = datetime(on.year, on.month, on.day, 9, tzinfo=UTC)
        sittings.record(
            actor=self.act, trees=[tree.pk], tasks=[TaskDone("TRIM")], people=[Worked(self.wilma, 50)],
            started=began, ended=began.replace(hour=10), request_key=f"k{number}", left_open=left_open,
            note="Stopped at the top." if left_open else "",
        )  # fmt: skip
        return tree

    def page(self, who: models.Member, address: str) -> str:
        client = Client()
        client.force_login(who.account)
        answer = client.get(address)
        assert answer.status_code == 200
        return plain(answer)

    def wilmas(self, who: models.Member) -> str:
        return self.page(who, f"/people/{self.wilma}")


@pytest.fixture
def house() -> House:
    return House()


def test_the_list_says_what_each_can_do_and_who_comes_next(house):
    house.comes()
    said = house.page(house.plain, "/people")
    assert "5 people in the club." in said
    assert "Practised: wiring. Learning: heavy bends." in said
    assert "On Sat 6 Mar" in said
    assert "comes" in said
    assert "no answer yet" in said
    assert "example.org" not in said


def test_somebody_is_found_by_a_piece_of_the_name(house):
    said = house.page(house.plain, "/people?q=wil+SAN")
    assert "1 person matches." in said
    assert "Wilma Sand" in said
    assert "Oswin Reed" not in said
    assert "Nobody of that name." in house.page(house.plain, "/people?q=zzz")


def test_who_left_is_listed_only_when_asked_for(house):
    models.Member.objects.filter(pk=house.wilma).update(active_to=date(2027, 2, 1))
    said = house.page(house.plain, "/people")
    assert "Wilma" not in said
    assert "Also 1 person who left" in said
    assert "Has left. Last day: Mon 1 Feb 2027." in house.page(house.plain, "/people?left=1")


def test_a_person_is_looked_up_with_skills_days_trees_and_open_notes(house):
    house.comes()
    tree = house.sit(1, left_open=True)
    house.sit(2)
    set_care(actor=house.act, tree_id=tree.pk, member_id=house.wilma, role="carer")
    said = house.wilmas(house.plain)
    for words in (
        "Wiring",
        "Practised",
        "Wed 1 Apr 2026",
        "Anselm Roper",
        "Wednesday, 2 h 30",
        "Sat 6 Mar 2027",
        "comes, 9:30 to 13:30",
        "cares for it",
        "2019.001",
        "Trimming, 50 min",
        "Left open: Stopped at the top.",
        "On record in 2027: ",
        "1.7 h",
        "For other kinds, plans count on a novice.",
    ):
        assert words in said, words
    assert said.count("Left open:") == 1


def test_a_note_is_open_only_until_somebody_goes_on(house):
    tree = house.sit(1, left_open=True)
    began = datetime(2027, 2, 20, 9, tzinfo=UTC)
    sittings.record(
        actor=house.act, trees=[tree.pk], tasks=[TaskDone("TRIM")], people=[Worked(house.plain.pk, 50)],
        started=began, ended=began.replace(hour=10), request_key="later",
    )  # fmt: skip
    assert "Left open" not in house.wilmas(house.plain)


def test_the_hours_of_a_year_open_month_by_month(house):
    for number, on in enumerate((date(2027, 1, 9), date(2027, 2, 6), date(2027, 2, 13), date(2026, 12, 5))):
        house.sit(number, on=on)
    said = house.page(house.plain, f"/numbers/person-hours/{house.wilma}~2027")
    for words in ("January, one sitting", "February, 2 sittings", "150 min = 2.5 h"):
        assert words in said
    assert house.page(house.plain, f"/numbers/person-hours/{house.wilma}~2026")
    client = Client()
    client.force_login(house.plain.account)
    assert client.get(f"/numbers/person-hours/{house.wilma}~2020").status_code == 404
    assert client.get(f"/numbers/person-hours/{house.wilma}~99999").status_code == 404


@pytest.mark.parametrize("what", ["wilma@example.org", "+44 20 7946", "Can lift and hold: <b>no</b>"])
def test_coordinators_and_the_lead_of_a_day_see_how_to_reach_those_who_come(house, what):
    assert what in house.wilmas(house.boss)
    assert what in house.wilmas(house.admin)
    for answer in ("no", "perhaps"):
        house.comes(answer)
        assert what not in house.wilmas(house.lead)
    house.comes()
    assert what in house.wilmas(house.lead)
    assert what not in house.wilmas(house.plain)
    models.Workday.objects.update(date=date(2027, 3, 2))
    assert what not in house.wilmas(house.lead)


@pytest.mark.parametrize("spoiled", [{"state": "cancelled"}, {"lead": None}])
def test_the_lead_of_no_day_sees_nothing(house, spoiled):
    house.comes()
    models.Workday.objects.update(**spoiled)
    assert "wilma@example.org" not in house.wilmas(house.lead)


def test_others_read_that_coordinators_know(house):
    said = house.wilmas(house.plain)
    assert "What people can lift and are trained for is known to the coordinators." in said
    assert "Sign-in" not in said


def test_the_list_tells_only_coordinators_what_people_say(house):
    abilities.declare(actor=house.act, member_id=house.wilma, kind="first_aid", answer=True, on=TODAY)
    assert "Says: first aider." in house.page(house.boss, "/people")
    assert "first aider" not in house.page(house.plain, "/people")


def browser(member: models.Member) -> Client:
    client = Client()
    client.force_login(member.account)
    return client


def test_a_coordinator_adds_changes_and_takes_back_in(house):
    client = browser(house.boss)
    made = client.post("/people/new", {"name": "Joss Alder", "role": "member"}, follow=True)
    assert b"Joss Alder is in the club." in made.content
    joss = models.Member.objects.get(name="Joss Alder")
    dates = {"active_from": "2027-03-03", "active_to": "2027-03-31", "version": 1}
    client.post(f"/people/{joss.pk}/change", {"name": "Joss A. Alder", **dates})
    client.post(f"/people/{joss.pk}/back", {"version": 2})
    joss.refresh_from_db()
    assert (joss.name, joss.active_to, joss.version) == ("Joss A. Alder", None, 3)


def test_a_name_that_is_taken_is_said_at_its_field_and_what_was_typed_stays(house):
    answer = browser(house.boss).post(
        "/people/new", {"name": "Wilma Sand", "role": "member", "telephone": "1"}
    )
    said = answer.content.decode()
    assert answer.status_code == 400
    assert "There is a Wilma Sand in the club already. Add a letter or a second name." in said
    assert 'name="telephone" value="1"' in said


def test_two_who_change_a_person_at_once_get_both_answers(house):
    client = browser(house.boss)
    body = {"active_from": "2024-05-01", "version": 1}
    client.post(f"/people/{house.wilma}/change", {"name": "Wilma Sande", **body})
    late = client.post(f"/people/{house.wilma}/change", {"name": "Wilma Sandt", **body})
    assert late.status_code == 409
    for words in ("Wilma Sande", "Wilma Sandt", "Which one is right?"):
        assert words in late.content.decode()
    assert models.Member.objects.get(pk=house.wilma).name == "Wilma Sande"


def test_only_a_club_admin_is_offered_to_name_coordinators(house):
    address = f"/people/{house.wilma}/part"
    assert "Club admin, says who coordinates" not in house.page(house.boss, address)
    assert "Club admin, says who coordinates" in house.page(house.admin, address)
    client = browser(house.admin)
    client.post(address, {"role": "coordinator", "version": 1})
    assert models.Member.objects.get(pk=house.wilma).role == "coordinator"
    step = client.post(f"/people/{house.admin.pk}/part", {"role": "member", "version": 1})
    assert step.status_code == 400
    assert b"This is the club&#x27;s only admin." in step.content


def test_levels_answers_and_hours_are_written_down_on_the_page(house):
    client, here = browser(house.boss), f"/people/{house.wilma}"
    client.post(f"{here}/skills", {"family": "wiring", "level": "expert", "since": "2027-03-01"})
    client.post(f"{here}/answers", {"can_lift": "", "first_aid": "yes"})
    client.post(f"{here}/hours", {"weekday": 5, "hours": "1.5", "every_weeks": 2, "starts": "2027-03-06"})
    said = house.wilmas(house.boss)
    for words in (
        "Expert: wiring.", "Can lift and hold: <b>not said</b>", "First aider: <b>yes</b>",
        "Saturday, 1 h 30, every 2 weeks",
    ):  # fmt: skip
        assert words in said, words


LEVEL = {"family": "wiring", "level": "expert", "since": "2027-03-01"}
WEEKLY = {"weekday": 5, "hours": "1", "every_weeks": 1, "starts": "2027-03-06"}


@pytest.mark.parametrize(
    ("part", "body", "sentence"),
    [
        ("skills", LEVEL | {"since": "2027-03-04"}, "This day has not come yet."),
        ("skills", LEVEL | {"family": "flying"}, "Choose one from the list."),
        ("hours", WEEKLY | {"hours": "0"}, "Write hours from 0.25"),
        ("hours", WEEKLY | {"hours": "x"}, "Write hours from 0.25"),
        ("answers", {"can_lift": "maybe"}, "Choose one from the list."),
        ("welcome", {"email": "nowhere"}, "Write an e-mail address"),
    ],
)  # fmt: skip
def test_a_small_form_that_is_refused_stays_open_with_its_sentence(house, part, body, sentence):
    answer = browser(house.boss).post(f"/people/{house.wilma}/{part}", body)
    assert answer.status_code == 400
    assert sentence in answer.content.decode()
    assert '<details class="more no-print" open>' in answer.content.decode()


def test_contacts_are_changed_and_erased(house):
    client, here = browser(house.boss), f"/people/{house.wilma}/contact"
    client.post(here, {"email": "w@example.org", "telephone": "12", "version": 1})
    assert "w@example.org" in house.wilmas(house.boss)
    stale = client.post(here, {"email": "x@example.org", "telephone": "12", "version": 1})
    assert stale.status_code == 409
    assert f'href="{here}/erase">Erase both' in client.get(f"/people/{house.wilma}").content.decode()
    asks = client.get(f"{here}/erase").content.decode()
    assert "They cannot be brought back." in asks
    assert "w@example.org" in house.wilmas(house.boss)
    client.post(f"{here}/erase")
    assert "Nothing is written down." in house.wilmas(house.boss)


def cost(house: House, address: str) -> int:
    client = browser(house.boss)
    client.get(address)
    with CaptureQueriesContext(connection) as taken:
        assert client.get(address).status_code == 200
    return len(taken)


def test_more_rows_cost_no_more_queries(house):
    house.comes()
    house.sit(1)
    addresses = ["/people", f"/people/{house.wilma}"]
    few = [cost(house, address) for address in addresses]
    for number in range(2, 9):
        tree = house.sit(number)
        trees.see_sign(actor=house.act, tree_id=tree.pk, sign="buds_swelling", on=TODAY)
        set_care(actor=house.act, tree_id=tree.pk, member_id=house.wilma)
        abilities.set_skill(
            actor=house.act,
            member_id=house.wilma,
            family="wiring",
            level="expert",
            since=date(2026, 5, number),
        )
        other = MemberFactory(club=house.site.club)
        abilities.declare(actor=house.act, member_id=other.pk, kind="sprays", answer=True, on=TODAY)
        workdays.offer_hours(actor=house.act, workday_id=house.day, member_id=other.pk, answer="yes")
        habits.add_habit(
            actor=house.act,
            member_id=house.wilma,
            weekday=number % 7,
            minutes=60,
            starts=date(2027, 2, number),
        )
    assert [cost(house, address) for address in addresses] == few
    assert max(few) <= 30


def test_a_coordinator_reads_that_letters_come_back(house):
    assert "come back" not in house.wilmas(house.boss)
    letter_to(models.Member.objects.get(pk=house.wilma), parked_reason="address_comes_back:550")
    assert "Letters to this address come back. Ask for a new one." in house.wilmas(house.boss)
    assert "come back" not in house.wilmas(house.plain)
