"""A club, its places, and where it differs from the reference."""

from __future__ import annotations

from django.db import models

from collection.models.base import InClub, Versioned


class Club(Versioned):
    """One club: the wall around everything else.

    Frost dates are ``MM-DD`` texts in the club's own calendar; empty means frost never comes.
    ``season_asked_at`` is set while the season waits to be worked out again.
    """

    name = models.CharField(max_length=120, unique=True)
    latitude = models.FloatField()
    longitude = models.FloatField(default=0.0)
    altitude_m = models.FloatField(default=0.0)
    zone = models.CharField(max_length=60)
    last_frost = models.CharField(max_length=5, blank=True)
    first_frost = models.CharField(max_length=5, blank=True)
    weeks_later = models.JSONField(default=dict, blank=True)
    inches = models.BooleanField(default=False)
    settings = models.JSONField(default=dict, blank=True)
    sample = models.BooleanField(default=False)
    season_asked_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(latitude__gte=-90, latitude__lte=90), name="club_latitude"
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Site(InClub, Versioned):
    """Where trees stand: the club's ground, a member's home, a show; kept for the past when retired."""

    class Kind(models.TextChoices):
        GROUND = "ground", "club ground"
        HOME = "home", "home"
        SHOW = "show", "show"

    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=10, choices=Kind, default=Kind.GROUND)
    address = models.CharField(max_length=200, blank=True)
    retired_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["club", "name"], name="site_name_once"),
            models.CheckConstraint(condition=models.Q(kind__in=["ground", "home", "show"]), name="site_kind"),
        ]

    def __str__(self) -> str:
        return self.name


class Bench(InClub, Versioned):
    """A table or shelf in a site; ``weeks_later`` for shade, glass or a roof, one week either way.

    Kept for the past when retired.
    """

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="benches")
    name = models.CharField(max_length=60)
    weeks_later = models.SmallIntegerField(default=0)
    retired_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["club", "name"], name="bench_name_once"),
            models.CheckConstraint(
                condition=models.Q(weeks_later__gte=-1, weeks_later__lte=1), name="bench_weeks_later"
            ),
        ]

    def __str__(self) -> str:
        return self.name
