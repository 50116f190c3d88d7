"""A club's own facts: what is taken, what is refused, and that a season that moves is worked out again."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from collection.models import Change, Club, Job
from collection.queries.access import Actor
from collection.queries.errors import Refused, Stale
from collection.queries.what_moves import what_moves
from collection.usecases import season, season_asked, sweep
from collection.usecases.club_settings import change_club
from collection.usecases.season import regenerate
from collection.usecases.sites import change_bench
from tests.factories import BenchFactory, ClubFactory, MemberFactory, SiteFactory, TreeFactory, actor_of

pytestmark = pytest.mark.django_db
TODAY = date(2027, 1, 11)


@pytest.fixture(autouse=True)
def _clock(time_machine: object) -> None:
    time_machine.move_to(datetime(2027, 1, 11, 9, tzinfo=ZoneInfo("UTC")), tick=False)  # type: ignore[attr-defined]


@pytest.fixture
def actor() -> Actor:
    return actor_of(MemberFactory(club=ClubFactory(name="Alder Circle"), coordinator=True))


def club(actor: Actor) -> Club:
    return Club.objects.get(pk=actor.club_id)


def furnish(actor: Actor, group: str = "G01") -> Job:
    """A pine with its season; returns its decandling."""
    site = SiteFactory(club=club(actor))
    TreeFactory(site=site, bench=BenchFactory(site=site), group=group, stage="F", height_mm=700)
    regenerate(actor=actor, today=TODAY)
    return Job.objects.filter(task="DECANDLE").order_by("opens").first() or Job()


def test_facts_are_kept_with_their_trail(actor: Actor):
    changes = {"name": " The  Circle ", "altitude_m": 240.0, "inches": True, "zone": "Europe/Madrid"}
    assert change_club(actor=actor, version=1, changes=changes) is False
    kept = club(actor)
    assert (kept.name, kept.altitude_m, kept.inches, kept.zone, kept.version) == (
        "The Circle", 240.0, True, "Europe/Madrid", 2
    )  # fmt: skip
    line = Change.objects.get(table="club", row=kept.pk)
    assert (line.before["name"], line.after["name"], line.who_id) == (
        "Alder Circle", "The Circle", actor.member_id
    )  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "code", "field"),
    [
        ({"name": "  "}, "club_name_missing", "name"),
        ({"name": "N" * 121}, "club_name_missing", "name"),
        ({"name": "other club"}, "club_name_taken", "name"),
        ({"latitude": 91}, "club_range", "latitude"),
        ({"longitude": -181}, "club_range", "longitude"),
        ({"altitude_m": 9000}, "club_range", "altitude_m"),
        ({"zone": "Mars/Base"}, "zone_unknown", "zone"),
        ({"last_frost": "02-30"}, "month_day", "last_frost"),
        ({"first_frost": "soon"}, "month_day", "first_frost"),
        ({"weeks_later": {"W": 5}}, "weeks_later_range", "weeks_later"),
        ({"weeks_later": {"X": 1}}, "weeks_later_range", "weeks_later"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field(actor: Actor, changes: dict, code: str, field: str):
    ClubFactory(name="Other Club")
    with pytest.raises(Refused) as caught:
        change_club(actor=actor, version=1, changes=changes)
    assert (caught.value.reason.code, caught.value.field) == (code, field)
    assert club(actor).version == 1


def test_only_a_coordinator_changes_the_club(actor: Actor):
    member = actor_of(MemberFactory(club=club(actor)))
    with pytest.raises(Refused, match="coordinators_only"):
        change_club(actor=member, version=1, changes={"name": "Ours"})


def test_a_change_made_on_an_old_page_is_refused(actor: Actor):
    change_club(actor=actor, version=1, changes={"name": "First"})
    with pytest.raises(Stale):
        change_club(actor=actor, version=1, changes={"name": "Second"})
    assert club(actor).name == "First"


def test_what_else_is_kept_in_the_settings_stays(actor: Actor):
    Club.objects.filter(pk=actor.club_id).update(settings={"other": 1})
    change_club(actor=actor, version=1, changes={"settings": {"long_season": True}})
    assert club(actor).settings == {"other": 1, "long_season": True}


class TestFrostMovesTheSeason:
    def test_what_would_move_is_what_moves(self, actor: Actor):
        job = furnish(actor)
        changes = {"first_frost": "11-14"}  # 20 days later: autumn work moves by half of it
        found = what_moves(actor, TODAY, changes)
        assert (found.windows, found.jobs, found.kept) != (0, 0, 0)
        assert change_club(actor=actor, version=1, changes=changes) is True
        before = dict(Job.objects.values_list("pk", "opens"))
        done = regenerate(actor=actor, today=TODAY)
        moved = [pk for pk, opens in Job.objects.filter(tree__isnull=False).values_list("pk", "opens")
                 if before.get(pk) not in (None, opens)]  # fmt: skip
        assert done.moved == len(moved) == found.jobs
        assert Job.objects.get(pk=job.pk).opens > job.opens

    def test_nothing_moves_when_nothing_of_the_climate_changes(self, actor: Actor):
        furnish(actor)
        assert what_moves(actor, TODAY, {"name": "New", "longitude": 3.0}).windows == 0

    def test_the_other_half_of_the_world_moves_nearly_everything(self, actor: Actor):
        furnish(actor)
        found = what_moves(actor, TODAY, {"latitude": -38.0, "last_frost": "10-25", "first_frost": "04-25"})
        was, becomes = found.rows[0].was, found.rows[0].becomes
        assert found.windows > 5
        assert abs((becomes.opens - was.opens).days) > 90

    def test_a_job_that_somebody_changed_is_counted_as_staying(self, actor: Actor):
        job = furnish(actor)
        Job.objects.filter(pk=job.pk).update(edited=True)
        assert what_moves(actor, TODAY, {"first_frost": "11-14"}).kept == 1

    def test_the_sweep_works_the_season_out_and_the_question_is_answered(self, actor: Actor):
        job = furnish(actor)
        change_club(actor=actor, version=1, changes={"first_frost": "11-14"})
        assert club(actor).season_asked_at is not None
        assert Job.objects.get(pk=job.pk).opens == job.opens
        assert sweep.run() == 1
        assert club(actor).season_asked_at is None
        assert Job.objects.get(pk=job.pk).opens > job.opens
        assert sweep.run() == 0

    def test_a_season_asked_for_again_meanwhile_waits_on(self, actor: Actor, time_machine):
        furnish(actor)
        season_asked.ask_again(actor.club_id)
        first = club(actor)
        time_machine.move_to(datetime(2027, 1, 11, 10, tzinfo=ZoneInfo("UTC")), tick=False)
        season_asked.ask_again(actor.club_id)
        season.answered(actor.club_id, first.season_asked_at)
        assert club(actor).season_asked_at is not None


def test_a_bench_in_shade_moves_its_trees_by_a_week_and_no_others(actor: Actor):
    job = furnish(actor)
    other = TreeFactory(site=job.tree.site, group="G01", stage="F", height_mm=700)
    regenerate(actor=actor, today=TODAY)
    assert change_bench(
        actor=actor, bench_id=job.tree.bench_id, version=1, name=job.tree.bench.name, weeks_later=1
    )
    assert sweep.run() == 1
    shaded = Job.objects.get(pk=job.pk)
    assert ((shaded.opens - job.opens).days, (shaded.closes - job.closes).days) == (7, 7)
    elsewhere = Job.objects.get(tree=other, task="DECANDLE", occurrence=job.occurrence, season_year=2027)
    assert elsewhere.opens == job.opens


@pytest.mark.parametrize(
    ("mails", "code", "field"),
    [
        ({"hour": 24}, "mail_hour", "hour"),
        ({"most_a_week": 0}, "mails_a_week", "most_a_week"),
        ({"quiet": "own", "quiet_from": "12-01", "quiet_to": ""}, "quiet_weeks", "quiet_from"),
        ({"quiet": "own", "quiet_from": "12-01", "quiet_to": "02-30"}, "month_day", "quiet_to"),
    ],
)
def test_when_mails_go_out_is_checked(actor: Actor, mails: dict, code: str, field: str):
    with pytest.raises(Refused) as refused:
        change_club(actor=actor, version=1, changes={"mails": mails})
    assert (refused.value.reason.code, refused.value.field) == (code, field)
    assert club(actor).settings == {}


def test_a_part_of_the_mails_settings_leaves_the_rest_with_its_trail(actor: Actor):
    Club.objects.filter(pk=actor.club_id).update(settings={"other": 1, "quiet_weeks": ["12-01", "12-31"]})
    assert change_club(actor=actor, version=1, changes={"mails": {"hour": 17}}) is False
    kept = {"other": 1, "mail_hour": 17, "mails_a_week": 2, "quiet_weeks": ["12-01", "12-31"]}
    assert club(actor).settings == kept
    assert Change.objects.get(table="club", row=actor.club_id).after["settings"] == kept
