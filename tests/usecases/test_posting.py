"""Sending to a real mail server that takes, refuses, asks to wait, breaks off, or is not there."""

from __future__ import annotations

import email.policy
from datetime import UTC, datetime, timedelta
from email import message_from_bytes
from pathlib import Path

import pytest
from django.core import mail as outgoing

from collection import models
from collection.queries.access import Actor
from collection.queries.reach import comes_back
from collection.usecases import post, posting
from collection.usecases.members import change_contact
from tests.factories import ClubFactory, MemberFactory
from tests.mailsink import Server, free_port
from tests.usecases.letters import letter_to

pytestmark = pytest.mark.django_db
NOW = datetime(2027, 3, 3, 9, tzinfo=UTC)


@pytest.fixture
def server(settings):
    with Server() as found:
        settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
        settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", found.port
        yield found


@pytest.fixture
def clock(time_machine):
    def move(to: datetime) -> None:
        time_machine.move_to(to, tick=False)

    move(NOW)
    return move


def message(**fields) -> models.Message:
    return letter_to(fields.pop("member", None) or MemberFactory(), **fields)


def state(row: models.Message) -> models.Message:
    row.refresh_from_db()
    return row


def test_a_message_goes_out_once_with_its_own_id_and_both_forms(server, clock):
    row = message(member=MemberFactory(name="Aoife O'Hara", club=ClubFactory(name="Larkfold Bonsai Club")))
    assert posting.send_waiting() == 1
    assert posting.send_waiting() == 0
    [mail] = server.sink.mails
    assert state(row).sent_at == NOW
    assert mail["Message-ID"] == row.message_id
    assert mail["To"] == row.member.account.email
    assert mail["From"] == "Larkfold Bonsai Club <teire@localhost>"
    assert [part.get_content_type() for part in mail.walk()] == [
        "multipart/alternative", "text/plain", "text/html",
    ]  # fmt: skip
    plain, html = (part.get_payload(decode=True).decode() for part in mail.walk() if not part.is_multipart())
    for words in ("Hello Aoife,", "Imke T. leads", "I’m coming", "You get this because"):
        assert words in plain.replace("  [ ", "")
    assert "Bench shed & yard" in plain
    assert "Bench shed &amp; yard" in html
    assert "http://127.0.0.1:8000/a/day-" in plain
    assert html.count("<hr") == 4


def test_one_tap_stops_the_mails_as_mail_programs_ask(server, clock):
    message()
    posting.send_waiting()
    [mail] = server.sink.mails
    address = mail["List-Unsubscribe"].strip()
    assert address.startswith("<http://127.0.0.1:8000/a/stop-")
    assert address.endswith(">")
    assert mail["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    assert mail["Auto-Submitted"] == "auto-generated"
    plain = next(part for part in mail.walk() if part.get_content_type() == "text/plain")
    assert f"Stop these mails: {address[1:-1]}" in plain.get_payload(decode=True).decode()


def test_many_go_out_over_one_line(server, clock):
    rows = [message() for _ in range(12)]
    assert posting.send_waiting() == 12
    assert server.sink.ids() == [row.message_id for row in rows]
    assert server.sink.lines == 1


def test_a_server_that_ends_long_lines_is_called_again_and_nothing_is_lost_or_doubled(server, clock):
    server.sink.most_on_one_line = 5
    rows = [message() for _ in range(12)]
    assert posting.send_waiting() == 12
    assert sorted(server.sink.ids()) == sorted(row.message_id for row in rows)
    assert server.sink.lines == 3


# --- not now ------------------------------------------------------------------------------------


def test_not_now_is_tried_again_after_15_minutes_1_hour_4_hours_a_day_and_then_given_up(server, clock):
    server.sink.say["*"] = "451 later"
    row, now = message(), NOW
    for wait in (timedelta(minutes=15), timedelta(hours=1), timedelta(hours=4), timedelta(hours=24)):
        assert posting.send_waiting() == 0
        assert state(row).try_after == now + wait
        assert row.attempts == 0
        clock(now + wait - timedelta(seconds=1))
        assert posting.send_waiting() == 0
        assert state(row).try_after == now + wait
        now += wait
        clock(now)
    posting.send_waiting()
    assert state(row).parked_reason == "put_off_too_often:451"
    clock(now + timedelta(days=9))
    posting.send_waiting()
    assert server.sink.mails == []


@pytest.mark.parametrize("said", ["421 closing", "450 busy", "452 full"])
@pytest.mark.parametrize("where", ["*", "data"])
def test_a_passing_refusal_of_one_keeps_no_other_back(server, clock, said, where):
    late, fine = message(), message()
    server.sink.say[late.member.account.email if where == "*" else where] = said
    posting.send_waiting()
    if where == "data":
        server.sink.say.clear()
        clock(NOW + timedelta(minutes=1))
        assert state(fine).put_off == 1
    else:
        assert server.sink.ids() == [fine.message_id]
    clock(NOW + timedelta(minutes=15))
    server.sink.say.clear()
    posting.send_waiting()
    assert sorted(server.sink.ids()) == sorted([late.message_id, fine.message_id])
    assert state(late).sent_at is not None


@pytest.mark.parametrize("said", ["550 unknown", "551 not here", "552 too large", "553 bad name", "554 no"])
@pytest.mark.parametrize("where", ["*", "data"])
def test_a_lasting_refusal_parks_the_one_with_its_number_and_is_never_tried_again(server, clock, said, where):
    bad = message()
    server.sink.say[bad.member.account.email if where == "*" else where] = said
    assert posting.send_waiting() == 0
    known = said[:3] in ("550", "551", "553") and where == "*"
    assert state(bad).parked_reason == f"{'address_comes_back' if known else 'refused'}:{said[:3]}"
    server.sink.say.clear()
    fine = message()
    clock(NOW + timedelta(days=2))
    assert posting.send_waiting() == 1
    assert server.sink.ids() == [fine.message_id]


def test_an_address_that_comes_back_is_not_written_to_again_until_it_is_changed(server, clock):
    row = message()
    member = row.member
    server.sink.say[member.account.email] = "550 5.1.1 no such mailbox"
    posting.send_waiting()
    assert comes_back(member.pk)
    server.sink.say.clear()
    second = message(member=member, number=2)
    assert posting.send_waiting() == 0
    assert state(second).parked_reason == "address_comes_back"
    assert server.sink.mails == []

    clock(NOW + timedelta(hours=1))
    coordinator = MemberFactory(club=member.club, role="coordinator")
    actor = Actor(coordinator.club_id, coordinator.pk, "coordinator", coordinator.name)
    reach = {"actor": actor, "member_id": member.pk}
    change_contact(**reach, version=0, email="", telephone="0555 010 020")
    contact = models.Contact.objects.get(member=member)
    models.Change.objects.filter(table="contact", row=contact.pk).delete()
    change_contact(**reach, version=1, email="", telephone="0555 010 021")
    assert comes_back(member.pk)  # another telephone number changes nothing
    change_contact(**reach, version=2, email="aoife@larkfold.example", telephone="")
    assert not comes_back(member.pk)
    third = message(member=member, number=3)
    assert posting.send_waiting() == 1
    assert server.sink.ids() == [third.message_id]
    assert server.sink.mails[0]["To"] == "aoife@larkfold.example"


def test_a_server_that_minds_the_sender_is_no_fault_of_the_address(server, clock):
    row = message()
    server.sink.say[row.member.account.email] = "550 5.7.1 relaying denied"
    posting.send_waiting()
    assert state(row).parked_reason == "refused:550"
    assert not comes_back(row.member.pk)


def test_a_server_that_is_not_there_is_asked_once_a_minute_and_nothing_is_lost(settings, clock):
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", free_port()
    first, second = message(), message()
    assert posting.send_waiting() == 0
    assert (state(first).put_off, state(second).put_off) == (1, 0)
    assert first.try_after == NOW + timedelta(minutes=15)
    assert posting.send_waiting() == 0
    assert state(second).put_off == 0  # the server rests
    with Server() as found:
        settings.EMAIL_PORT = found.port
        clock(NOW + timedelta(seconds=61))
        assert posting.send_waiting() == 1
        clock(NOW + timedelta(minutes=16))
        assert posting.send_waiting() == 1
        assert found.sink.ids() == [second.message_id, first.message_id]


# --- unsure -------------------------------------------------------------------------------------


def test_a_server_that_breaks_off_after_the_mail_is_tried_once_more_with_the_same_id(server, clock):
    server.sink.drop_after_data = True
    row = message()
    assert posting.send_waiting() == 0
    assert state(row).unsure is True
    assert row.try_after == NOW + timedelta(minutes=15)
    clock(NOW + timedelta(minutes=15))
    posting.send_waiting()
    assert state(row).parked_reason == "unsure"
    clock(NOW + timedelta(days=3))
    posting.send_waiting()
    assert server.sink.ids() == [row.message_id] * 2


def test_after_an_unsure_end_a_yes_is_a_yes(server, clock):
    server.sink.drop_after_data = True
    row = message()
    posting.send_waiting()
    server.sink.drop_after_data = False
    clock(NOW + timedelta(minutes=15))
    assert posting.send_waiting() == 1
    assert state(row).sent_at is not None


def test_a_server_that_breaks_off_before_the_mail_is_not_unsure(server, clock):
    server.sink.drop_at_start = True
    row = message()
    posting.send_waiting()
    assert (state(row).unsure, row.put_off) == (False, 1)


# --- claims ---------------------------------------------------------------------------------------


def test_a_claimed_message_is_left_to_its_process_until_the_claim_runs_out(server, clock):
    row = message()
    assert posting.claim(row.pk) is not None
    assert posting.claim(row.pk) is None
    assert posting.send_waiting() == 0
    clock(NOW + posting.LEASE + timedelta(seconds=1))
    assert posting.send_waiting() == 1


def test_a_message_that_killed_its_process_three_times_is_given_up_and_the_others_go_on(server, clock):
    deadly = message()
    for n in range(3):
        clock(NOW + (posting.LEASE + timedelta(seconds=1)) * n)
        assert posting.claim(deadly.pk) is not None
    clock(NOW + (posting.LEASE + timedelta(seconds=1)) * 3)
    fine = message()
    assert posting.send_waiting() == 1
    assert state(deadly).parked_reason == "killed_its_process"
    assert server.sink.ids() == [fine.message_id]


def test_a_process_that_lost_its_claim_writes_nothing(server, clock):
    row = message()
    first = posting.claim(row.pk)
    assert first is not None
    clock(NOW + posting.LEASE + timedelta(seconds=1))
    assert posting.claim(row.pk) is not None
    assert posting._mine(first).update(sent_at=NOW) == 0


# --- who gets it and where it goes ------------------------------------------------------------------


def test_contact_comes_before_sign_in_and_no_address_is_no_mail(server, clock):
    named, nobody = MemberFactory(), MemberFactory(account=None)
    models.Contact.objects.create(club=named.club, member=named, email="garden@example.org")
    message(member=named)
    alone = message(member=nobody)
    assert posting.send_waiting() == 1
    assert [mail["To"] for mail in server.sink.mails] == ["garden@example.org"]
    assert state(alone).parked_reason == "no_address"


@pytest.mark.parametrize(
    "address", ["a@example.org, b@example.org", "a@example.org\nBcc: b@example.org", "no"]
)
def test_what_is_not_one_address_gets_no_mail(server, clock, address):
    member = MemberFactory()
    models.Contact.objects.create(club=member.club, member=member, email=address)
    row = message(member=member)
    assert posting.send_waiting() == 0
    assert state(row).parked_reason == "address_wrong"


def test_a_line_break_in_a_clubs_name_makes_no_header(server, clock):
    club = ClubFactory(name="Hill\r\nBcc: b@example.org")
    message(member=MemberFactory(club=club))
    assert posting.send_waiting() == 1
    [mail] = server.sink.mails
    assert mail["Bcc"] is None


def test_who_stops_the_mails_before_it_goes_gets_none(server, clock):
    row = message()
    models.Member.objects.update(wants_mail=False)
    assert posting.send_waiting() == 0
    assert state(row).parked_reason == "wants_no_mail"


def test_a_message_whose_every_notice_is_past_its_time_is_not_sent(server, clock):
    row = message()
    models.Notice.objects.create(
        club=row.club, kind="day_ahead", member=row.member, subject="workday:7", period="2027-03-01",
        due_at=NOW - timedelta(days=2), expires_at=NOW - timedelta(hours=1), message=row,
    )  # fmt: skip
    assert posting.send_waiting() == 0
    assert state(row).parked_reason == "too_late"


def test_a_body_that_cannot_be_written_parks_its_message_and_no_other(server, clock):
    broken, fine = message(), message()
    models.Message.objects.filter(pk=broken.pk).update(body={"parts": []})
    assert posting.send_waiting() == 1
    assert state(broken).parked_reason == "cannot_be_written"
    assert state(fine).sent_at == NOW


def test_a_sample_clubs_mails_stay_on_this_machine(server, clock, settings, tmp_path):
    settings.MAIL_DIR = tmp_path / "mail"
    row = message(member=MemberFactory(club=ClubFactory(sample=True)))
    assert posting.send_waiting() == 1
    assert server.sink.mails == []
    [file] = Path(settings.MAIL_DIR).iterdir()
    assert row.message_id in file.read_text(encoding="utf-8")


def test_without_a_server_each_mail_is_a_file(clock, settings, tmp_path):
    settings.EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
    settings.MAIL_DIR = tmp_path / "mail"
    for _ in range(3):
        message()
    assert posting.send_waiting() == 3
    files = sorted(tmp_path.glob("mail/*.eml"))
    assert len(files) == 3
    kept = message_from_bytes(files[0].read_bytes(), policy=email.policy.default)
    assert kept["Subject"] == "You on Saturday 6 March"
    assert outgoing.outbox == []


def test_a_line_that_takes_too_long_is_cut(clock, settings, monkeypatch):
    import socket
    import threading

    monkeypatch.setattr(post, "LONGEST_S", 0.5)
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    held = threading.Event()
    with socket.create_server(("127.0.0.1", 0)) as slow:
        settings.EMAIL_HOST, settings.EMAIL_PORT = slow.getsockname()

        def trickle() -> None:
            line, _ = slow.accept()
            with line:
                while not held.wait(0.1):
                    try:
                        line.send(b"2")
                    except OSError:
                        return

        other = threading.Thread(target=trickle, daemon=True)
        other.start()
        row = message()
        assert posting.send_waiting() == 0
        held.set()
        other.join(5)
    assert (state(row).put_off, row.unsure) == (1, False)


def test_a_server_that_says_nothing_is_waited_for_a_bounded_time(settings):
    assert settings.EMAIL_TIMEOUT
    assert 0 < settings.EMAIL_TIMEOUT < post.LONGEST_S < posting.LEASE.total_seconds()
