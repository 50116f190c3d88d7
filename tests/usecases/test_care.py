"""Consent: who gives it, for how long, and that a job waits for it."""

from __future__ import annotations

from datetime import date

import pytest

from collection.models import Care, Change
from collection.queries.consent import missing_consent, season_ends
from collection.queries.errors import Refused
from collection.queries.programme import rules_of
from collection.usecases import care
from tests.factories import ClubFactory, MemberFactory, SiteFactory, TreeFactory, actor_of, coordinator

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)
UNTIL = date(2027, 12, 31)


class Owned:
    """A tree whose owner wants to be asked first."""

    def __init__(self) -> None:
        self.tree = TreeFactory(site=SiteFactory())
        self.boss = coordinator(self.tree.club)
        self.owner = MemberFactory(club=self.tree.club, name="Gerd")
        self.own = actor_of(self.owner)
        self.id = care.set_care(
            actor=self.boss, tree_id=self.tree.pk, member_id=self.owner.pk, ask_first=True
        )

    @property
    def row(self) -> Care:
        return Care.objects.get(pk=self.id)

    def missing(self, on: date = TODAY) -> bool:
        return self.tree.pk in missing_consent([self.tree.pk], on)


@pytest.fixture
def owned() -> Owned:
    return Owned()


def test_an_owner_who_wants_to_be_asked_is_missing_until_he_agrees_and_again_after_the_day(owned):
    assert owned.missing()
    care.give_consent(actor=owned.own, care_id=owned.id, version=1, until=UNTIL, today=TODAY)
    assert not owned.missing()
    assert not owned.missing(UNTIL)
    assert owned.missing(date(2028, 1, 1))


def test_an_owner_who_never_asked_to_be_asked_is_not_waited_for_until_he_takes_consent_back(owned):
    care.ask_first(actor=owned.own, care_id=owned.id, version=1, ask=False)
    assert not owned.missing()
    care.withdraw_consent(actor=owned.own, care_id=owned.id, version=2)
    assert owned.missing()
    assert (owned.row.ask_first, owned.row.consent_until) == (True, None)


def test_a_coordinator_writes_down_what_he_was_told_and_the_trail_says_who_wrote(owned):
    care.give_consent(actor=owned.boss, care_id=owned.id, version=1, until=UNTIL, today=TODAY)
    line = Change.objects.filter(table="care", row=owned.id).latest("id")
    assert (line.who_id, line.after) == (owned.boss.member_id, {"consent_until": "2027-12-31"})


def test_nobody_else_speaks_for_the_owner(owned):
    other = actor_of(MemberFactory(club=owned.tree.club))
    for call in (
        lambda: care.give_consent(actor=other, care_id=owned.id, version=1, until=UNTIL, today=TODAY),
        lambda: care.withdraw_consent(actor=other, care_id=owned.id, version=1),
        lambda: care.ask_first(actor=other, care_id=owned.id, version=1, ask=False),
        lambda: care.give_consent_for_all(actor=other, member_id=owned.owner.pk, until=UNTIL, today=TODAY),
    ):
        with pytest.raises(Refused) as refused:
            call()
        assert (refused.value.reason.code, refused.value.kind) == ("owner_only", "forbidden")
    assert owned.row.version == 1


def test_a_carer_has_no_consent_to_give(owned):
    carer = MemberFactory(club=owned.tree.club)
    line = care.set_care(actor=owned.boss, tree_id=owned.tree.pk, member_id=carer.pk, role="carer")
    with pytest.raises(Refused, match="owner_only"):
        care.give_consent(actor=actor_of(carer), care_id=line, version=1, until=UNTIL, today=TODAY)


def test_one_go_agrees_for_all_of_his_own_trees_and_shortens_none(owned):
    longer, sold = TreeFactory(site=owned.tree.site), TreeFactory(site=owned.tree.site)
    for tree, until in ((longer, date(2028, 6, 1)), (sold, None)):
        care.set_care(
            actor=owned.boss, tree_id=tree.pk, member_id=owned.owner.pk, consent_until=until, ask_first=True
        )
    sold.archived_at = "2026-01-01T00:00:00Z"
    sold.save()
    given = care.give_consent_for_all(actor=owned.own, member_id=owned.owner.pk, until=UNTIL, today=TODAY)
    assert given == 1
    assert set(Care.objects.values_list("tree_id", "consent_until")) == {
        (owned.tree.pk, UNTIL),
        (longer.pk, date(2028, 6, 1)),
        (sold.pk, None),
    }


@pytest.mark.parametrize("until", [date(2026, 11, 24), date(2030, 1, 1)])
def test_consent_runs_from_today_and_for_three_years_at_most(owned, until):
    with pytest.raises(Refused, match="consent_day"):
        care.give_consent(actor=owned.own, care_id=owned.id, version=1, until=until, today=TODAY)


def test_the_last_day_of_february_does_not_break_the_three_years(owned):
    leap = date(2028, 2, 29)
    care.give_consent(actor=owned.own, care_id=owned.id, version=1, until=date(2028, 3, 1), today=leap)
    assert owned.row.consent_until == date(2028, 3, 1)


def test_an_old_page_changes_no_consent_and_ends_no_care(owned):
    care.give_consent(actor=owned.own, care_id=owned.id, version=1, until=UNTIL, today=TODAY)
    for call in (
        lambda: care.withdraw_consent(actor=owned.boss, care_id=owned.id, version=1),
        lambda: care.end_care(actor=owned.boss, care_id=owned.id, version=1),
    ):
        with pytest.raises(Refused, match="stale"):
            call()
    assert owned.row.consent_until == UNTIL


def test_care_that_ended_stays_in_the_trail(owned):
    care.end_care(actor=owned.boss, care_id=owned.id, version=1)
    assert not Care.objects.exists()
    line = Change.objects.filter(table="care").latest("id")
    assert (line.row, line.before["member_id"], line.after) == (owned.id, owned.owner.pk, {})


def test_the_same_care_twice_is_one_line(owned):
    again = care.set_care(actor=owned.boss, tree_id=owned.tree.pk, member_id=owned.owner.pk)
    assert again == owned.id
    assert (Care.objects.count(), owned.row.ask_first) == (1, True)
    care.set_care(actor=owned.boss, tree_id=owned.tree.pk, member_id=owned.owner.pk, consent_until=UNTIL)
    assert (owned.row.consent_until, owned.row.ask_first) == (UNTIL, True)


@pytest.mark.parametrize(
    ("club", "today", "ends"),
    [
        ({}, date(2026, 3, 1), date(2026, 12, 31)),
        ({}, date(2026, 11, 25), date(2027, 12, 31)),
        ({"southern": True}, date(2026, 3, 1), date(2026, 6, 30)),
        ({"southern": True}, date(2026, 6, 1), date(2027, 6, 30)),
    ],
)
def test_a_season_ends_in_the_clubs_own_half_of_the_world(club, today, ends):
    assert season_ends(rules_of(ClubFactory(**club)), today) == ends
