"""Messages: one's own for everybody, the club's for those who plan, with who is to be telephoned."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from collection import models
from collection.queries.messages import stands
from tests.factories import MemberFactory, SiteFactory

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 3, 3, 9, tzinfo=UTC)
PARKED = (
    "address_comes_back", "address_comes_back:550", "address_wrong", "cannot_be_written",
    "killed_its_process", "no_address", "put_off_too_often:451", "refused:550",
    "too_late", "unsure", "wants_no_mail",
)  # fmt: skip


class House:
    def __init__(self) -> None:
        self.club = SiteFactory().club
        self.coordinator = MemberFactory(club=self.club, coordinator=True)
        self.member = MemberFactory(club=self.club, name="Dilip Moss")
        self.written = 0

    def write(self, member: models.Member, **fields) -> models.Message:
        self.written += 1
        values = {
            "local_day": NOW.date(), "number": self.written, "subject": f"Subject {self.written}",
            "text": f"Text {self.written}\nHello", "message_id": f"<{member.pk}.{self.written}@example.org>",
        }  # fmt: skip
        return models.Message.objects.create(club=member.club, member=member, **(values | fields))


@pytest.fixture
def house(time_machine) -> House:
    time_machine.move_to(NOW, tick=False)
    return House()


def page(member: models.Member, address: str, status: int = 200) -> str:
    browser = Client()
    browser.force_login(member.account)
    answer = browser.get(address)
    assert answer.status_code == status
    return answer.content.decode()


def test_a_member_reads_his_own_messages_and_nobody_elses(house):
    house.write(house.member, sent_at=NOW)
    house.write(house.coordinator, sent_at=NOW)
    mine = page(house.member, "/messages")
    assert "Subject 1" in mine
    assert "Hello" in mine
    assert "Sent on Wednesday 3 March, 9:00." in mine
    assert "Subject 2" not in mine
    page(house.member, "/messages/club", 403)


def test_a_coordinator_reads_all_of_the_club_and_nothing_of_another(house):
    other = House()
    other.write(other.member, subject="Another club's secret")
    house.write(house.member, sent_at=NOW)
    house.write(house.coordinator)
    everything = page(house.coordinator, "/messages/club")
    assert "Dilip Moss" in everything
    assert "Subject 1" in everything
    assert "Subject 2" in everything
    assert "2 messages in all. One on this page waits to be sent." in everything
    assert "Another club's secret" not in everything
    assert "Messages of the club" in page(house.coordinator, "/messages")


def test_whom_no_mail_reaches_is_listed_with_his_telephone_and_what_to_tell(house):
    models.Contact.objects.create(club=house.club, member=house.member, telephone="0123 456")
    house.write(house.member, parked_reason="no_address")
    found = page(house.coordinator, "/messages/club")
    part = found.split('id="telephone"')[1].split("</section>")[0]
    for words in ("Dilip Moss", "0123\N{NO-BREAK SPACE}456", "There is no e-mail address.", "Text 1"):
        assert words in part
    assert "0123" not in page(house.member, "/messages")


def test_what_is_old_over_or_out_of_date_is_on_no_list_to_telephone(house):
    house.write(house.member, parked_reason="no_address", local_day=NOW.date() - timedelta(days=14))
    house.write(house.member, parked_reason="too_late")
    over = house.write(house.member, parked_reason="no_address")
    models.Notice.objects.create(
        club=house.club, kind="day_ahead", member=house.member, subject="workday:1", period="2027-03-01",
        due_at=NOW - timedelta(days=3), expires_at=NOW, message=over,
    )  # fmt: skip
    assert 'id="telephone"' not in page(house.coordinator, "/messages/club")


@pytest.mark.parametrize("reason", PARKED)
def test_every_reason_is_a_sentence_that_says_what_to_do(house, reason):
    said = stands(house.write(house.member, parked_reason=reason), "Europe/London")
    assert said.endswith(".")
    assert "%" not in said
    assert reason.partition(":")[2] in said


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({}, "Waiting to be sent."),
        ({"try_after": NOW}, "The mail server asked to wait. Next try on Wednesday 3 March, 9:00."),
        ({"try_after": NOW, "unsure": True}, "It may have arrived"),
        ({"sent_at": NOW}, "Sent on Wednesday 3 March, 9:00."),
    ],
)
def test_how_a_message_stands_is_said_in_the_clubs_own_time(house, fields, words):
    assert words in stands(house.write(house.member, **fields), "Europe/London")


def test_an_empty_list_says_what_will_be_there(house):
    assert "Messages will be listed here." in page(house.member, "/messages")


def test_fifty_on_a_page_and_the_older_ones_behind_it(house):
    for _ in range(51):
        house.write(house.member, sent_at=NOW)
    first, second = page(house.member, "/messages"), page(house.member, "/messages?start=50")
    assert first.count("Read it") == 50
    assert second.count("Read it") == 1
    assert "/messages?start=50" in first
    assert page(house.member, "/messages?start=nonsense").count("Read it") == 50


def test_a_name_or_a_text_is_never_markup(house):
    house.write(house.member, subject="<b>x</b>", text="<script>alert(1)</script>")
    found = page(house.member, "/messages")
    assert "<script>alert" not in found
    assert "&lt;b&gt;x" in found


def test_three_times_the_messages_cost_the_same_queries(house):
    def cost(address: str) -> int:
        browser = Client()
        browser.force_login(house.coordinator.account)
        browser.get(address)
        with CaptureQueriesContext(connection) as taken:
            browser.get(address)
        return len(taken)

    def fill(count: int) -> None:
        for _ in range(count):
            member = MemberFactory(club=house.club)
            message = house.write(member, parked_reason="no_address")
            models.Contact.objects.create(club=house.club, member=member, telephone="0123")
            models.Notice.objects.create(
                club=house.club, kind="day_ahead", member=member, subject="workday:1",
                period=f"{date(2027, 3, 6)}", due_at=NOW, message=message,
            )  # fmt: skip

    fill(3)
    few = {address: cost(address) for address in ("/messages", "/messages/club")}
    fill(9)
    assert {address: cost(address) for address in few} == few
    assert max(few.values()) <= 15


def test_the_club_s_page_says_who_is_still_to_hear_news_and_whom_to_telephone(house):
    reached = MemberFactory(club=house.club, name="Una Reed")
    MemberFactory(club=house.club, name="Old Tom", account=None, active_to=date(2027, 3, 1))
    called = MemberFactory(club=house.club, name="Bert Alder", account=None)
    models.Contact.objects.create(club=house.club, member=called, telephone="01632 960001")
    silent = MemberFactory(club=house.club, name="Ivo Brook", account=None)
    gone = models.Member.objects.get(name="Old Tom")
    for number, member in enumerate((reached, reached, called, silent, gone)):
        notice(house, member, f"workday:{number}")
    notice(house, house.member, "workday:9", due_at=NOW + timedelta(hours=1))
    notice(house, house.member, "workday:8", due_at=NOW - timedelta(days=2), expires_at=NOW)
    said = page(house.coordinator, "/messages/club").split('id="to-hear"')[1].split("</section>")[0]
    assert "<b>Una Reed</b>, 2 pieces of news" in said
    assert "Goes out by mail." in said
    assert "No e-mail. Telephone" in said
    assert "960001" in said
    assert "No e-mail and no telephone. Tell by word of mouth." in said
    assert "Old Tom" not in said
    assert house.member.name not in said


def notice(house: House, member: models.Member, subject: str, **fields) -> None:
    values = {"kind": "day_moved", "period": "1", "due_at": NOW, "values": {}} | fields
    models.Notice.objects.create(club=house.club, member=member, subject=subject, **values)
