"""The watch over the tables sees a planted write of each sort, and its undoing."""

from __future__ import annotations

import pytest
from django.db import connection

from collection import models
from tests.factories import SiteFactory
from tests.walls.asking import digests, watched, watched_tables

pytestmark = pytest.mark.django_db


def test_a_new_row_a_changed_one_and_one_that_went_are_seen():
    site = SiteFactory()
    gone = models.Bench.objects.create(club=site.club, site=site, name="Gone")
    for act in (
        lambda: models.Bench.objects.create(club=site.club, site=site, name="Shelf"),
        lambda: models.Bench.objects.bulk_create([models.Bench(club=site.club, site=site, name="Shelf")]),
        lambda: models.Site.objects.filter(pk=site.pk).update(name="Other"),
        gone.delete,
        lambda: connection.cursor().execute("UPDATE collection_site SET name = 'unquoted'"),
    ):
        with watched(digests()) as watch:
            act()
            assert watch.changed


def test_what_is_put_back_to_what_it_was_is_no_change():
    site = SiteFactory()
    with watched(digests()) as watch:
        models.Site.objects.filter(pk=site.pk).update(name="Other")
        models.Site.objects.filter(pk=site.pk).update(name=site.name)
        assert watch.written == {"collection_site"}
        assert not watch.changed


def test_the_log_of_changes_and_every_noun_of_the_club_are_watched():
    watched_ones = set(watched_tables())
    assert {"collection_change", "collection_tree", "collection_job", "collection_sitting"} <= watched_ones
