"""Finding and gathering: one notice a fact, one message a person and day, quiet when it should be."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from collection import models
from collection.queries.due_notices import facts_on
from collection.usecases import reminders
from collection.usecases.notices import NoticeKind, tell, workday_subject
from tests.factories import JobFactory, MemberFactory, SiteFactory, TreeFactory, WorkdayFactory

pytestmark = pytest.mark.django_db
TODAY = date(2027, 3, 3)
NOW = datetime(2027, 3, 3, 9, tzinfo=UTC)


def days(count: float) -> timedelta:
    return timedelta(days=count)


class House:
    def __init__(self, **club) -> None:
        self.site = SiteFactory(**{f"club__{name}": value for name, value in club.items()})
        self.club = self.site.club
        self.member = MemberFactory(club=self.club, name="Dilip Moss")
        self.tree = TreeFactory(site=self.site)
        models.Care.objects.create(club=self.club, tree=self.tree, member=self.member, role="owner")

    def window(self, opens: date) -> models.Job:
        return JobFactory(tree=self.tree, opens=opens, closes=opens + days(30))

    def day(self, on: date, **fields) -> models.Workday:
        return WorkdayFactory(site=self.site, date=on, **fields)

    def booked(self, on: date) -> models.Workday:
        day = self.day(on)
        models.Offer.objects.create(club=self.club, workday=day, member=self.member, answer="yes")
        return day

    def cancelled(self, day: models.Workday, now: datetime) -> None:
        models.Workday.objects.filter(pk=day.pk).update(state="cancelled")
        tell(
            kind=NoticeKind.DAY_CANCELLED, club_id=self.club.pk, member_ids=[self.member.pk],
            subject=workday_subject(day.pk), period=f"{day.date} v2", due_at=now,
            expires_at=datetime.combine(day.date, time(16), UTC),
            values={
                "date": f"{day.date}", "opens": "09:30", "closes": "13:30", "site": "Shed", "why": "Snow.",
            },
        )  # fmt: skip

    def look(self, now: datetime) -> int:
        return reminders.look_through(self.club, now)


@pytest.fixture
def house() -> House:
    return House()


def messages() -> list[models.Message]:
    return list(models.Message.objects.order_by("local_day", "number", "id"))


def test_found_twice_is_written_once_and_gathered_twice_is_one_message(house):
    house.window(TODAY + days(7))
    house.booked(TODAY + days(1))
    assert house.look(NOW) == 1
    assert house.look(NOW + timedelta(hours=2)) == 0
    [message] = messages()
    assert models.Notice.objects.filter(message=message).count() == models.Notice.objects.count() == 2
    assert message.subject == "You on Thursday 4 March, a window opens"
    assert message.message_id.startswith("<")
    assert message.sent_at is None
    assert "Hello Dilip," in message.text
    assert "/a/" not in message.text


def test_nothing_goes_out_before_the_clubs_own_hour(house):
    house.booked(TODAY + days(1))
    assert house.look(NOW.replace(hour=7, minute=59)) == 0
    models.Club.objects.update(settings={"mail_hour": 10})
    house.club.refresh_from_db()
    assert house.look(NOW) == 0
    assert house.look(NOW.replace(hour=10)) == 1


def test_the_hour_and_the_day_are_the_clubs_own():
    house = House(southern=True)  # eleven hours ahead in March
    house.booked(TODAY + days(2))
    assert house.look(datetime(2027, 3, 3, 20, 59, tzinfo=UTC)) == 0
    assert house.look(datetime(2027, 3, 3, 21, 0, tzinfo=UTC)) == 1
    assert [m.local_day for m in messages()] == [date(2027, 3, 4)]


def test_what_can_wait_comes_once_a_week_with_everything_that_waits(house):
    house.window(TODAY + days(27))
    assert house.look(NOW) == 1
    house.window(TODAY + days(28))
    for later in (1, 6):
        assert house.look(NOW + days(later)) == 0
    assert house.look(NOW + days(7)) == 1
    assert models.Notice.objects.filter(message=None).count() == 0


def test_a_booked_day_may_be_the_second_of_a_week_but_not_the_third(house):
    house.window(TODAY + days(27))
    assert house.look(NOW) == 1
    house.booked(TODAY + days(3))
    assert house.look(NOW + days(1)) == 1
    house.booked(TODAY + days(5))
    assert house.look(NOW + days(3)) == 0


def test_a_wire_whose_day_has_come_breaks_the_weeks_limit(house):
    house.window(TODAY + days(27))
    house.booked(TODAY + days(2))
    assert house.look(NOW) == 1
    models.Wire.objects.create(
        club=house.club, tree=house.tree, label="W1", length_m=1, gauge_mm=2, metal="copper",
        on=date(2026, 10, 1), look_on=TODAY + days(1),
    )  # fmt: skip
    assert house.look(NOW + days(1)) == 1
    assert messages()[-1].subject == "One wire to look at"


def test_what_no_longer_holds_is_left_out(house):
    job = house.window(TODAY + days(7))
    house.booked(TODAY + days(1))
    facts = facts_on(house.club, NOW)
    reminders.find(house.club, facts, NOW)
    models.Job.objects.filter(pk=job.pk).update(state="done")
    assert reminders.gather(house.club, facts_on(house.club, NOW), NOW) == 1
    [message] = messages()
    assert "Detail wiring" not in message.text
    assert [n.kind for n in message.notices.all()] == ["day_ahead"]


def test_a_notice_past_its_time_goes_out_no_more(house):
    day = house.booked(TODAY + days(1))
    reminders.find(house.club, facts_on(house.club, NOW), NOW)
    later = datetime.combine(day.date, time(12), UTC)
    assert house.look(later) == 0


# --- quiet --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("southern", "on", "quiet"),
    [
        (False, date(2026, 11, 30), False), (False, date(2026, 12, 1), True),
        (False, date(2027, 1, 15), True), (False, date(2027, 1, 16), False),
        (True, date(2026, 12, 24), False), (True, date(2027, 6, 1), True),
        (True, date(2027, 7, 15), True), (True, date(2027, 7, 16), False),
    ],
)  # fmt: skip
def test_in_the_quiet_weeks_only_what_cannot_wait_goes_out(southern, on, quiet):
    house = House(southern=True) if southern else House()
    now = datetime.combine(on, time(9), UTC)
    house.window(on + days(20))
    house.booked(on + days(2))
    assert house.look(now) == 1
    assert ("Detail wiring" in messages()[0].text) is not quiet


def test_a_club_may_choose_its_own_quiet_weeks(house):
    house.club.settings = {"quiet_weeks": ["03-01", "03-10"]}
    house.club.save()
    house.window(TODAY + days(20))
    assert house.look(NOW) == 0
    assert house.look(NOW + days(8)) == 1


# --- news ---------------------------------------------------------------------------------------


def test_a_day_cancelled_soon_comes_at_once_besides_the_round_up(house):
    day = house.booked(TODAY + days(2))
    assert house.look(NOW) == 1
    house.cancelled(day, NOW + timedelta(hours=8))
    assert house.look(NOW + timedelta(hours=9)) == 1
    first, second = messages()
    assert (first.local_day, second.local_day) == (TODAY, TODAY)
    assert (first.number, second.number) == (1, 2)
    assert "This comes besides your round-up, because it cannot wait until tomorrow." in second.text
    assert "Why: Snow." in second.text


def test_a_day_cancelled_in_good_time_waits_for_the_next_morning(house):
    day = house.booked(TODAY + days(9))
    house.window(TODAY + days(7))
    assert house.look(NOW) == 1
    house.cancelled(day, NOW + timedelta(hours=8))
    assert house.look(NOW + timedelta(hours=9)) == 0
    assert house.look(NOW + days(1)) == 1
    assert [m.number for m in messages()] == [1, 1]


def test_urgent_news_goes_out_before_the_clubs_hour_too(house):
    day = house.booked(TODAY)
    house.cancelled(day, NOW.replace(hour=5))
    assert house.look(NOW.replace(hour=6)) == 1


def test_the_sweep_finds_urgent_news_between_two_looks(house, time_machine):
    time_machine.move_to(NOW, tick=False)
    day = house.booked(TODAY + days(1))
    assert reminders.run(NOW) == 1
    assert reminders.run(NOW + timedelta(minutes=1)) == 0
    house.cancelled(day, NOW)
    assert reminders.run(NOW + timedelta(minutes=2)) == 1


def test_a_day_no_longer_cancelled_is_not_told_as_cancelled(house):
    day = house.booked(TODAY + days(5))
    house.cancelled(day, NOW)
    models.Workday.objects.update(state="open")
    house.look(NOW)
    assert "cancelled" not in "".join(m.text for m in messages())


def test_a_club_whose_rows_cannot_be_told_keeps_no_other_waiting(house, time_machine):
    time_machine.move_to(NOW, tick=False)
    other = House()
    for place in (house, other):
        place.booked(TODAY + days(1))
    models.Workday.objects.filter(club=house.club).update(zone="Nowhere/At all")
    assert reminders.run(NOW) == 1
    assert [m.club_id for m in messages()] == [other.club.pk]


# --- people -------------------------------------------------------------------------------------


def test_who_has_no_address_is_on_the_list_to_be_telephoned(house):
    models.Member.objects.update(account=None)
    house.booked(TODAY + days(1))
    assert house.look(NOW) == 1
    [message] = messages()
    assert message.parked_reason == "no_address"
    assert "Thursday 4 March" in message.text


def test_who_wants_no_mail_gets_none_but_is_on_that_list_for_urgent_news(house):
    models.Member.objects.update(wants_mail=False)
    day = house.booked(TODAY + days(1))
    assert house.look(NOW) == 0
    house.cancelled(day, NOW)
    assert house.look(NOW) == 1
    assert [m.parked_reason for m in messages()] == ["wants_no_mail"]


def test_who_is_in_two_clubs_gets_one_round_up_a_day(house):
    other = House()
    models.Member.objects.filter(pk=other.member.pk).update(account=house.member.account)
    for place in (house, other):
        place.window(TODAY + days(7))
    assert house.look(NOW) + other.look(NOW) == 1
    assert house.look(NOW + days(1)) + other.look(NOW + days(1)) == 1
    assert [m.club_id for m in messages()] == [house.club.pk, other.club.pk]


def test_a_member_who_has_left_gets_nothing(house):
    day = house.booked(TODAY + days(1))
    house.cancelled(day, NOW)
    models.Member.objects.update(active_to=TODAY - days(1))
    assert house.look(NOW) == 0


# --- a season -----------------------------------------------------------------------------------

EVENT = st.tuples(
    st.integers(0, 20), st.sampled_from(["window", "book", "wire", "day", "leave_open"]), st.integers(0, 30)
)


@settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(events=st.lists(EVENT, max_size=14), hours=st.lists(st.integers(0, 23), min_size=0, max_size=2))
def test_over_three_weeks_nobody_gets_two_mails_a_day_and_nobody_is_told_anything_twice(events, hours):
    house = House()
    for on in range(21):
        for n, (when, what, ahead) in enumerate(events):
            if when == on:
                happen(house, what, TODAY + days(on + ahead), n)
        for hour in sorted({*hours, 9}):
            house.look(NOW.replace(hour=hour) + days(on))
    written = [m for m in messages() if m.club_id == house.club.pk]
    sent = [(m.member_id, m.local_day) for m in written]
    assert max(Counter(sent).values(), default=0) <= 1
    urgent = models.Notice.objects.filter(kind__in=["wire_today", "window_closes"], message__isnull=False)
    broke = set(urgent.values_list("message", flat=True))
    calm = [m.local_day for m in written if m.pk not in broke]
    assert all(sum(0 <= (day - first).days < 7 for day in calm) <= 2 for first in calm)
    assert all(m.notices.exists() for m in written)


def happen(house: House, what: str, on: date, n: int) -> None:
    if what == "window":
        house.window(on)
    elif what == "wire":
        models.Wire.objects.create(
            club=house.club, tree=house.tree, label=f"W{n}", length_m=1, gauge_mm=2, metal="copper",
            on=date(2026, 10, 1), look_on=on,
        )  # fmt: skip
    elif what == "leave_open":
        ended = datetime.combine(on, time(12), UTC)
        sitting = models.Sitting.objects.create(
            club=house.club, tree=house.tree, started=ended, ended=ended, left_open=True, note="Half.",
            request_key=f"k{n}",
        )  # fmt: skip
        models.SittingMember.objects.create(club=house.club, sitting=sitting, member=house.member, minutes=10)
    elif not models.Workday.objects.filter(club=house.club, date=on).exists():
        house.booked(on) if what == "book" else house.day(on)
