"""The club itself, its sites and benches."""

from __future__ import annotations

from typing import Any

from api.fields import Body, Choice, Id, Number, Text, Whole, YesNo
from api.operations import Asked, Noun, edits, makes, reads
from api.shapes import shown
from api.words import SITE_KINDS
from collection.queries.records import places as records
from collection.queries.slices import Slice
from collection.usecases import club_settings, sites

SAID = {"required": False, "allow_blank": True}
WEEKS = {"required": False, "min_value": -4, "max_value": 4}


class Later(Body):
    """Whole weeks by what a window hangs on: spring, autumn, the calendar; what is left out is 0."""

    W = Whole(**WEEKS)
    G = Whole(**WEEKS)
    A = Whole(**WEEKS)
    D = Whole(**WEEKS)
    C = Whole(**WEEKS)


class Chosen(Body):
    """The club's choice where sources disagree."""

    azalea_rests_after_repot = YesNo(required=False)
    long_season = YesNo(required=False)


class Mails(Body):
    """When round-ups go out; ``quiet_from`` and ``quiet_to`` ("MM-DD") hold where ``quiet`` is "own"."""

    hour = Whole(required=False, min_value=0, max_value=23)
    most_a_week = Whole(required=False, min_value=1, max_value=7)
    quiet = Choice(required=False, choices=("usual", "none", "own"))
    quiet_from = Text(**SAID, max_length=5)
    quiet_to = Text(**SAID, max_length=5)


class ClubChanges(Body):
    """Facts of the club; frost dates are "MM-DD", empty where frost never comes."""

    name = Text(required=False, max_length=120)
    zone = Text(required=False, max_length=60)
    latitude = Number(required=False, min_value=-90, max_value=90)
    longitude = Number(required=False, min_value=-180, max_value=180)
    altitude_m = Number(required=False, min_value=-450, max_value=6000)
    last_frost = Text(**SAID, max_length=5)
    first_frost = Text(**SAID, max_length=5)
    weeks_later = Later(required=False)
    inches = YesNo(required=False)
    choices = Chosen(required=False)
    mails = Mails(required=False)


class Club(Noun):
    noun = "club"

    @reads(shown(records.ClubRecord))
    def get(self, asked: Asked) -> records.ClubRecord:
        """The club."""
        return records.club_record(asked.actor)

    @edits(shown(records.ClubRecord), body=ClubChanges)
    def patch(self, asked: Asked) -> records.ClubRecord:
        """Change facts of the club; the season is worked out again where windows move."""
        changes = dict(asked.body)
        if "choices" in changes:
            changes["settings"] = changes.pop("choices")
        club_settings.change_club(actor=asked.actor, version=asked.version, changes=changes)
        return records.club_record(asked.actor)


class SiteFields(Body):
    """A site."""

    name = Text(max_length=120)
    kind = Choice(choices=SITE_KINDS)
    address = Text(**SAID, default="")


class Sites(Noun):
    noun = "sites"

    @reads(shown(records.SiteRecord), paged=True)
    def get(self, asked: Asked) -> Slice[Any]:
        """The club's sites by name."""
        return records.site_records(asked.actor, asked.wanted)

    @makes(shown(records.SiteRecord), body=SiteFields, at="api-site")
    def post(self, asked: Asked) -> records.SiteRecord:
        """Add a site."""
        site = sites.new_site(actor=asked.actor, **asked.body)
        return records.site_record(asked.actor, site)


class Site(Noun):
    noun = "sites"

    @reads(shown(records.SiteRecord))
    def get(self, asked: Asked, site_id: int) -> records.SiteRecord:
        """One site."""
        return records.site_record(asked.actor, site_id)

    @edits(shown(records.SiteRecord), body=SiteFields)
    def put(self, asked: Asked, site_id: int) -> records.SiteRecord:
        """Write a site anew."""
        sites.change_site(actor=asked.actor, site_id=site_id, version=asked.version, **asked.body)
        return records.site_record(asked.actor, site_id)


class SiteRetired(Noun):
    noun = "sites"

    @edits(shown(records.SiteRecord))
    def put(self, asked: Asked, site_id: int) -> records.SiteRecord:
        """Take a site off every list."""
        sites.retire_site(actor=asked.actor, site_id=site_id, version=asked.version)
        return records.site_record(asked.actor, site_id)

    @edits(shown(records.SiteRecord))
    def delete(self, asked: Asked, site_id: int) -> records.SiteRecord:
        """Put a retired site back on the lists."""
        sites.bring_site_back(actor=asked.actor, site_id=site_id, version=asked.version)
        return records.site_record(asked.actor, site_id)


class BenchQuery(Body):
    """Of which site."""

    site = Id(required=False)


class BenchFields(Body):
    """A bench; ``weeks_later`` is 1 in shade, -1 under glass or a roof."""

    site_id = Id()
    name = Text(max_length=60)
    weeks_later = Whole(required=False, default=0, min_value=-1, max_value=1)


class Benches(Noun):
    noun = "benches"

    @reads(shown(records.BenchRecord), query=BenchQuery, paged=True)
    def get(self, asked: Asked) -> Slice[Any]:
        """The club's benches by name."""
        return records.bench_records(asked.actor, asked.wanted, **asked.query)

    @makes(shown(records.BenchRecord), body=BenchFields, at="api-bench")
    def post(self, asked: Asked) -> records.BenchRecord:
        """Add a bench to a site."""
        bench = sites.new_bench(actor=asked.actor, **asked.body)
        return records.bench_record(asked.actor, bench)


class Bench(Noun):
    noun = "benches"

    @reads(shown(records.BenchRecord))
    def get(self, asked: Asked, bench_id: int) -> records.BenchRecord:
        """One bench."""
        return records.bench_record(asked.actor, bench_id)

    @edits(shown(records.BenchRecord), body=BenchFields)
    def put(self, asked: Asked, bench_id: int) -> records.BenchRecord:
        """Write a bench anew; the season is worked out again where windows move."""
        sites.change_bench(actor=asked.actor, bench_id=bench_id, version=asked.version, **asked.body)
        return records.bench_record(asked.actor, bench_id)


class BenchRetired(Noun):
    noun = "benches"

    @edits(shown(records.BenchRecord))
    def put(self, asked: Asked, bench_id: int) -> records.BenchRecord:
        """Take a bench off every list."""
        sites.retire_bench(actor=asked.actor, bench_id=bench_id, version=asked.version)
        return records.bench_record(asked.actor, bench_id)

    @edits(shown(records.BenchRecord))
    def delete(self, asked: Asked, bench_id: int) -> records.BenchRecord:
        """Put a retired bench back on the lists."""
        sites.bring_bench_back(actor=asked.actor, bench_id=bench_id, version=asked.version)
        return records.bench_record(asked.actor, bench_id)
