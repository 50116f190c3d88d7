"""Links from mails: looking changes nothing, a button does one act, and no other token opens anything."""

from __future__ import annotations

import logging
import re
from datetime import UTC, date, datetime, time, timedelta

import pytest
from django.core.signing import TimestampSigner
from django.test import Client, override_settings

from collection import models
from collection.conf.logging import JsonLines
from collection.queries.link_pages import PAGES
from collection.queries.links import PURPOSES, Ticket, ticket_in, token_of
from collection.web.middleware import SECRET_PIECE, AddRequestId
from tests.factories import JobFactory, MemberFactory, SiteFactory, TreeFactory, WorkdayFactory
from tests.walls.asking import digests

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 3, 3, 9, tzinfo=UTC)
END = datetime(2027, 3, 6, 13, 30, tzinfo=UTC)


class House:
    def __init__(self) -> None:
        self.site = SiteFactory()
        self.club = self.site.club
        self.member = MemberFactory(club=self.club, coordinator=True)
        self.other = MemberFactory(club=self.club, name="Somebody Else")
        self.tree = TreeFactory(site=self.site)
        self.day = WorkdayFactory(site=self.site, date=date(2027, 3, 6), bring="gloves")
        self.wire = models.Wire.objects.create(
            club=self.club, tree=self.tree, label="W1", length_m=1, gauge_mm=2, metal="copper",
            on=date(2026, 10, 1), look_on=date(2027, 3, 1),
        )  # fmt: skip
        self.guy = models.Guy.objects.create(
            club=self.club, tree=self.tree, label="Y1", gauge_mm=1, metal="copper", on=date(2026, 10, 1)
        )
        place = models.Place.objects.create(
            club=self.club, workday=self.day, number=1, job=JobFactory(tree=self.tree), starts=time(10),
            ends=time(11),
        )  # fmt: skip
        self.question = models.Invitation.objects.create(
            club=self.club, place=place, member=self.member, order=1
        )

    def ticket(self, purpose: str, **changes) -> Ticket:
        row = {"day": self.day, "place": self.question, "wire": self.wire, "guy": self.guy,
               "stop": self.member}[purpose]  # fmt: skip
        fields = {"purpose": purpose, "row": row.pk, "member_id": self.member.pk, "version": 1, "until": END}
        return Ticket(**(fields | changes))

    def address(self, purpose: str, **changes) -> str:
        return "/a/" + token_of(self.ticket(purpose, **changes))

    def offer(self) -> str | None:
        return models.Offer.objects.filter(member=self.member).values_list("answer", flat=True).first()


@pytest.fixture
def house(time_machine) -> House:
    time_machine.move_to(NOW, tick=False)
    return House()


@pytest.fixture
def browser() -> Client:
    return Client()


ANSWERS = {
    "day": ("yes", "no"),
    "place": ("no",),
    "wire": ("loose", "snug", "marking"),
    "guy": ("loose", "snug", "marking"),
    "stop": ("stop",),
}


def test_every_purpose_has_a_page_and_is_tried_here():
    assert set(PURPOSES) == set(PAGES) == set(ANSWERS)


@pytest.mark.parametrize("purpose", PURPOSES)
def test_looking_changes_nothing_however_often(house, browser, purpose):
    before = digests()
    pages = {browser.get(house.address(purpose) + extra).status_code for extra in ("", "?say=yes") * 10}
    pages |= {browser.head(house.address(purpose)).status_code}
    assert pages == {200}
    assert digests() == before


@pytest.mark.parametrize("purpose", PURPOSES)
def test_pressing_twice_is_pressing_once_and_an_answer_can_be_flipped(house, browser, purpose):
    address = house.address(purpose)
    for answer in ANSWERS[purpose]:
        assert browser.post(address, {"answer": answer}).status_code == 302
        after = digests()
        assert browser.post(address, {"answer": answer}).status_code == 302
        assert digests() == after
        page = browser.get(address).content.decode()
        assert f'value="{answer}"' not in page  # said, and no longer a button
        assert 'role="status"' in page or purpose == "stop"


@pytest.mark.parametrize("purpose", PURPOSES)
def test_an_answer_that_no_button_gives_does_nothing(house, browser, purpose):
    before = digests()
    assert browser.post(house.address(purpose), {"answer": "everything"}).status_code == 409
    assert browser.post(house.address(purpose)).status_code == 409
    assert digests() == before


# --- tokens ---------------------------------------------------------------------------------------


def test_any_changed_letter_makes_it_no_token(house, browser):
    token = token_of(house.ticket("day"))
    gone = browser.get("/a/day-nonsense").content
    for n in range(len(token)):
        for letter in "Ax":
            changed = token[:n] + letter + token[n + 1 :]
            if changed != token:
                answer = browser.get(f"/a/{changed}")
                assert (answer.status_code, answer.content) == (404, gone), changed


def test_a_token_of_one_purpose_opens_no_other(house):
    for purpose in PURPOSES:
        signed = token_of(house.ticket(purpose)).partition("-")[2]
        for other in set(PURPOSES) - {purpose}:
            assert ticket_in(f"{other}-{signed}", NOW) is None


@pytest.mark.parametrize(
    "payload", [[1, 2, 3], ["a"], 7, None, {"row": 1}, [1, 2, 3, 4, 5], [1, 2, 3, "never"], [1, 2, 3, 10**18]]
)
def test_a_signed_token_of_another_shape_opens_nothing(payload):
    signed = TimestampSigner(salt="teire.link.day", sep=".").sign_object(payload)
    assert ticket_in(f"day-{signed}", NOW) is None


def test_wrong_old_and_foreign_links_are_one_and_the_same_page(house, browser):
    elsewhere = House()
    old = house.address("day", until=NOW - timedelta(seconds=1))
    with override_settings(SECRET_KEY="another-key-of-another-house-0123456789"):
        foreign = house.address("day")
    other_clubs_row = house.address("day", row=elsewhere.day.pk)
    no_row = house.address("day", row=999_999)
    not_his = house.address("place", member_id=house.other.pk)
    no_person = house.address("day", member_id=999_999)
    pages = {
        browser.get(address).content
        for address in ("/a/x", "/a/day-", old, foreign, other_clubs_row, no_row, not_his, no_person)
    }
    assert len(pages) == 1
    assert b"This link is old, or not whole." in pages.pop()


def test_a_key_used_before_still_opens_its_links(house, settings, browser):
    with override_settings(SECRET_KEY="the-key-of-last-year-0123456789-0123456789"):
        address = house.address("day")
    assert browser.get(address).status_code == 404
    settings.SECRET_KEY_FALLBACKS = ["the-key-of-last-year-0123456789-0123456789"]
    assert browser.get(address).status_code == 200


def test_who_has_left_the_club_has_no_links(house, browser):
    models.Member.objects.filter(pk=house.member.pk).update(active_to=date(2027, 3, 2))
    for purpose in PURPOSES:
        assert browser.get(house.address(purpose)).status_code == 404
        assert browser.post(house.address(purpose), {"answer": ANSWERS[purpose][0]}).status_code == 404


def test_a_token_is_a_secret_piece_for_the_log_and_never_in_it(house, caplog):
    caplog.set_level(logging.DEBUG)
    strict = Client(enforce_csrf_checks=True)
    token = token_of(house.ticket("day"))
    assert SECRET_PIECE.fullmatch(token)
    strict.get(f"/a/{token}?say=yes")
    strict.post(f"/a/{token}", {"answer": "yes"})
    strict.get(f"/a/{token}x")
    assert strict.put(f"/a/{token}").status_code == 405
    assert caplog.records
    for record in caplog.records:
        AddRequestId().filter(record)
        assert token not in JsonLines().format(record)
        assert token.partition("-")[2][:30] not in JsonLines().format(record)


def test_a_post_needs_the_forms_own_token_save_for_the_one_tap_stop(house):
    strict = Client(enforce_csrf_checks=True)
    before = digests()
    for purpose in PURPOSES:
        answer = strict.post(house.address(purpose), {"answer": ANSWERS[purpose][0]})
        assert answer.status_code == 403
        tap = strict.post(house.address(purpose), {"List-Unsubscribe": "One-Click", "answer": "yes"})
        assert tap.status_code == (200 if purpose == "stop" else 404)
        if purpose != "stop":
            assert digests() == before
    house.member.refresh_from_db()
    assert house.member.wants_mail is False


def test_a_page_of_a_link_is_kept_by_nobody_and_tells_no_other_site_where_it_is(house, browser):
    answer = browser.get(house.address("day"))
    assert "no-store" in answer["Cache-Control"]
    assert answer["Referrer-Policy"] == "same-origin"
    assert "<script" not in answer.content.decode()


# --- a day --------------------------------------------------------------------------------------


def test_yes_and_no_are_answers_by_the_door_of_the_mail(house, browser):
    browser.post(house.address("day"), {"answer": "yes"})
    assert house.offer() == "yes"
    browser.post(house.address("day"), {"answer": "no"})
    assert house.offer() == "no"
    doors = models.Change.objects.filter(table="offer").values_list("door", "who")
    assert set(doors) == {("mail", house.member.pk)}


def test_hours_said_before_are_kept(house, browser):
    models.Offer.objects.create(
        club=house.club,
        workday=house.day,
        member=house.member,
        answer="yes",
        arrives=time(10),
        leaves=time(12),
    )
    browser.post(house.address("day"), {"answer": "no"})
    browser.post(house.address("day"), {"answer": "yes"})
    offer = models.Offer.objects.get()
    assert (offer.answer, offer.arrives, offer.leaves) == ("yes", time(10), time(12))


def test_after_the_evening_before_nothing_can_be_pressed(house, browser, time_machine):
    browser.post(house.address("day"), {"answer": "yes"})
    time_machine.move_to(datetime(2027, 3, 5, 18, tzinfo=UTC), tick=False)
    page = browser.get(house.address("day")).content.decode()
    assert "It is too late to change it here." in page
    assert "You said you come." in page
    assert "<button" not in page.split("<main")[1]
    assert browser.post(house.address("day"), {"answer": "no"}).status_code == 409
    assert house.offer() == "yes"


@pytest.mark.parametrize(
    ("state", "words"), [("cancelled", "This day is cancelled."), ("held", "This day has begun or is over.")]
)
def test_a_day_that_is_off_or_over_asks_nothing(house, browser, state, words):
    models.Workday.objects.update(state=state)
    page = browser.get(house.address("day")).content.decode()
    assert words in page
    assert browser.post(house.address("day"), {"answer": "yes"}).status_code == 409
    assert house.offer() is None


def test_a_day_that_has_changed_shows_how_it_stands_now(house, browser):
    models.Workday.objects.update(date=date(2027, 3, 7), version=2)
    page = browser.get(house.address("day")).content.decode()
    assert "Something has changed since that mail." in page
    assert "Sunday 7 March, 9:30" in page


def test_a_full_day_says_so_and_keeps_the_page(house, browser):
    models.Workday.objects.update(least_people=1, most_people=1)
    models.Offer.objects.create(club=house.club, workday=house.day, member=house.other, answer="yes")
    answer = browser.post(house.address("day"), {"answer": "yes"})
    assert answer.status_code == 409
    assert 'role="alert"' in answer.content.decode()
    assert house.offer() is None


# --- a place ------------------------------------------------------------------------------------


def test_a_place_of_somebody_else_is_said_without_a_name(house, browser):
    models.Place.objects.update(winner=house.other)
    page = browser.get(house.address("place")).content.decode()
    assert "This place is now someone else’s. Thank you for answering." in page
    assert house.other.name not in page
    assert browser.post(house.address("place"), {"answer": "yes"}).status_code == 409
    models.Place.objects.get(winner=house.other)


def test_a_no_to_a_place_is_kept_and_leaves_it_free(house, browser):
    browser.post(house.address("place"), {"answer": "no"})
    house.question.refresh_from_db()
    assert house.question.answer == "declined"
    assert models.Place.objects.get().winner is None


def test_a_question_taken_back_is_said(house, browser):
    models.Invitation.objects.update(answer="withdrawn")
    assert "This question has been taken back." in browser.get(house.address("place")).content.decode()


# --- a wire -------------------------------------------------------------------------------------


def test_a_look_is_written_down_once_and_moves_the_next_one(house, browser):
    for _ in range(3):
        browser.post(house.address("wire"), {"answer": "snug"})
    look = models.Look.objects.get()
    assert (look.seen, look.by_id, look.on) == ("snug", house.member.pk, date(2027, 3, 3))
    house.wire.refresh_from_db()
    assert house.wire.look_on > date(2027, 3, 3)


def test_wire_that_marks_is_told_to_come_off(house, browser):
    browser.post(house.address("wire"), {"answer": "marking"})
    page = browser.get(house.address("wire")).content.decode()
    assert "Wire that marks comes off at once." in page
    assert "Follow local rules and licensed practice." in page


def test_who_comes_late_reads_that_somebody_has_looked(house, browser):
    models.Look.objects.create(
        club=house.club, wire=house.wire, on=date(2027, 3, 2), seen="loose", by=house.other
    )
    models.Wire.objects.update(version=2)
    page = browser.get(house.address("wire")).content.decode()
    assert "Somebody has looked since that mail, on Tuesday 2 March: loose." in page
    assert house.other.name not in page


def test_wire_that_is_off_asks_nothing(house, browser):
    models.Wire.objects.update(off=date(2027, 3, 2))
    assert "there is nothing to look at" in browser.get(house.address("wire")).content.decode()
    assert browser.post(house.address("wire"), {"answer": "snug"}).status_code == 409


# --- the mails ------------------------------------------------------------------------------------


def test_mails_are_stopped_and_sent_again(house, browser):
    address = house.address("stop")
    browser.post(address, {"answer": "stop"})
    house.member.refresh_from_db()
    assert house.member.wants_mail is False
    assert "Send them" in browser.get(address).content.decode()
    browser.post(address, {"answer": "go_on"})
    house.member.refresh_from_db()
    assert house.member.wants_mail is True


def test_a_coordinators_link_has_no_more_rights_than_a_members(house, browser):
    token = house.address("day", row=house.day.pk, member_id=house.member.pk)
    browser.post(token, {"answer": "yes", "member": house.other.pk})
    assert list(models.Offer.objects.values_list("member", flat=True)) == [house.member.pk]


def shown_on(browser: Client, address: str) -> str:
    """What the page's buttons say of the page they stand on."""
    found = re.search(r'name="shown" value="([0-9a-f]{16})"', browser.get(address).content.decode())
    assert found
    return found[1]


def test_an_answer_to_a_page_that_shows_something_else_now_is_not_taken(house, browser):
    address = house.address("day")
    shown = shown_on(browser, address)
    models.Workday.objects.filter(pk=house.day.pk).update(date=date(2027, 3, 20), version=2)
    answer = browser.post(address, {"answer": "yes", "shown": shown})
    assert answer.status_code == 409
    assert b"Something changed while you read this." in answer.content
    assert b"Saturday 20 March" in answer.content
    assert house.offer() is None
    assert browser.post(address, {"answer": "yes", "shown": shown_on(browser, address)}).status_code == 302
    assert house.offer() == "yes"


def test_an_answer_that_a_coordinator_wrote_meanwhile_is_shown_and_not_overwritten(house, browser):
    address = house.address("day")
    shown = shown_on(browser, address)
    models.Offer.objects.create(club=house.club, workday=house.day, member=house.member, answer="no")
    answer = browser.post(address, {"answer": "yes", "shown": shown})
    assert answer.status_code == 409
    assert b"You said you cannot come." in answer.content
    assert house.offer() == "no"
