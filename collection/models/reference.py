"""Trade figures with their label and source, and each club's own versions of them."""

from __future__ import annotations

from django.db import models

from collection.models.base import InClub, Versioned


class ReferenceRow(models.Model):
    """A row shared by all clubs, loaded from ``fixtures/reference``; an edition is never edited.

    ``values`` holds the row's columns as text, under the names of the file.
    """

    edition = models.CharField(max_length=20)
    key = models.CharField(max_length=60)
    values = models.JSONField(default=dict)
    label = models.CharField(max_length=120)
    source = models.TextField()
    note = models.TextField(blank=True)

    class Meta:
        abstract = True


class TaskType(ReferenceRow):
    """A kind of work: ``key`` is its code, such as DECANDLE."""

    family = models.CharField(max_length=30)
    stress = models.PositiveSmallIntegerField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["edition", "key"], name="tasktype_key_once"),
            models.CheckConstraint(condition=models.Q(stress__lte=3), name="tasktype_stress"),
        ]


class Programme(ReferenceRow):
    """When a species group wants a task, at the northern baseline; ``group`` "" means every group."""

    group = models.CharField(max_length=3, blank=True)
    task = models.CharField(max_length=20)
    anchor = models.CharField(max_length=1)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["edition", "key"], name="programme_key_once"),
            models.CheckConstraint(
                condition=models.Q(anchor__in=["W", "G", "A", "D", "C"]), name="programme_anchor"
            ),
        ]


class Pace(ReferenceRow):
    """Minutes per unit for a practised hand."""

    task = models.CharField(max_length=20)
    low_min = models.FloatField()
    likely_min = models.FloatField()
    high_min = models.FloatField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["edition", "key"], name="pace_key_once"),
            models.CheckConstraint(
                condition=models.Q(low_min__gt=0)
                & models.Q(low_min__lte=models.F("likely_min"))
                & models.Q(likely_min__lte=models.F("high_min")),
                name="pace_order",
            ),
        ]


class Rule(ReferenceRow):
    """An order, clash, rest, stress or repotting rule; ``kind`` is the name of its table."""

    kind = models.CharField(max_length=20)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["edition", "kind", "key"], name="rule_key_once"),
        ]


class ClubRow(InClub, Versioned):
    """The club's own version of a reference row, in the club's own dates."""

    class Table(models.TextChoices):
        PROGRAMME = "programme"
        PACE = "pace"
        RULE = "rule"
        TASK = "tasktype"

    table = models.CharField(max_length=12, choices=Table)
    key = models.CharField(max_length=60)
    values = models.JSONField(default=dict)
    dropped = models.BooleanField(default=False)
    why = models.TextField(blank=True)
    by = models.ForeignKey("collection.Member", null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(auto_now=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["club", "table", "key"], name="clubrow_once"),
            models.CheckConstraint(
                condition=models.Q(table__in=["programme", "pace", "rule", "tasktype"]), name="clubrow_table"
            ),
        ]


class PaceSet(InClub):
    """A numbered result of learning from the club's logs."""

    number = models.PositiveIntegerField()
    values = models.JSONField(default=dict)
    logs = models.PositiveIntegerField(default=0)
    in_use = models.BooleanField(default=False)
    undone_by = models.ForeignKey("collection.Member", null=True, on_delete=models.SET_NULL, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["club", "number"], name="paceset_number_once"),
            models.UniqueConstraint(
                fields=["club"], condition=models.Q(in_use=True), name="paceset_one_in_use"
            ),
        ]
