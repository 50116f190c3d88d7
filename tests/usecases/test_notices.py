"""Notices: one for each person, kind, subject and period, however often it is told."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from collection.models import Message, Notice
from collection.usecases.notices import NoticeKind, take_back, tell, workday_subject
from tests.factories import MemberFactory

pytestmark = pytest.mark.django_db
DUE = datetime(2027, 3, 1, 9, tzinfo=UTC)


def told(member, **changes):
    fields = {
        "kind": NoticeKind.DAY_OPEN, "club_id": member.club_id, "member_ids": [member.pk, member.pk],
        "subject": workday_subject(7), "period": "2027-03-06", "due_at": DUE, "values": {"site": "Shed"},
    }  # fmt: skip
    return tell(**{**fields, **changes})


def test_telling_twice_writes_one_notice():
    member = MemberFactory()
    assert told(member) == told(member, values={"site": "Garden"}) == 1
    assert [notice.values for notice in Notice.objects.all()] == [{"site": "Shed"}]


@pytest.mark.parametrize(
    "other", [{"kind": NoticeKind.PLAN_OUT}, {"subject": workday_subject(8)}, {"period": "2027-03-07"}]
)
def test_another_kind_subject_or_period_is_another_notice(other):
    member = MemberFactory()
    told(member)
    told(member, **other)
    assert Notice.objects.count() == 2


def test_only_what_nobody_was_sent_is_taken_back():
    sent, waiting = MemberFactory(), MemberFactory()
    told(sent)
    letter = Message.objects.create(
        club=sent.club, member=sent, local_day=DUE.date(), message_id="a@example.org"
    )
    Notice.objects.update(message=letter)
    told(sent, kind=NoticeKind.PLAN_OUT)
    told(sent, subject=workday_subject(8))
    assert take_back(club_id=sent.club_id, subject=workday_subject(7), kinds=list(NoticeKind)) == 1
    told(waiting)
    assert take_back(club_id=sent.club_id, subject=workday_subject(7), kinds=list(NoticeKind)) == 0
    kept = Notice.objects.order_by("id").values_list("kind", "subject", "member")
    assert list(kept) == [
        ("day_open", "workday:7", sent.pk),
        ("day_open", "workday:8", sent.pk),
        ("day_open", "workday:7", waiting.pk),
    ]
