"""The record: every spell of work on a tree, who did it and where they stopped."""

from __future__ import annotations

from django.db import models

from collection.models.base import InClub
from collection.models.job import Job
from collection.models.member import Member
from collection.models.tree import Tree
from collection.models.workday import Workday


class Sitting(InClub):
    """One spell of work on a tree; append-only, a correction is a new row that names the old one.

    ``remembered`` marks work known from before the club kept records: it has a date and no minutes.
    ``shared`` marks minutes that were shared out between several trees by their estimates.
    """

    tree = models.ForeignKey(Tree, on_delete=models.CASCADE, related_name="sittings")
    workday = models.ForeignKey(
        Workday, null=True, blank=True, on_delete=models.SET_NULL, related_name="sittings"
    )
    started = models.DateTimeField()
    ended = models.DateTimeField()
    left_open = models.BooleanField(default=False)
    note = models.TextField(blank=True)
    harm = models.TextField(blank=True)
    remembered = models.BooleanField(default=False)
    shared = models.BooleanField(default=False)
    estimated_min = models.FloatField(null=True, blank=True)
    request_key = models.CharField(max_length=64)
    corrects = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="corrected_by"
    )
    recorded_by = models.ForeignKey(Member, null=True, on_delete=models.SET_NULL, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["club", "request_key", "tree"], name="sitting_request_once"),
            models.CheckConstraint(condition=models.Q(ended__gte=models.F("started")), name="sitting_times"),
            models.CheckConstraint(
                condition=models.Q(left_open=False) | ~models.Q(note=""), name="sitting_open_has_note"
            ),
        ]
        indexes = [models.Index(fields=["tree", "-started"], name="sitting_last_hands")]


class SittingTask(InClub):
    """A task done in a sitting, with what was done of it."""

    sitting = models.ForeignKey(Sitting, on_delete=models.CASCADE, related_name="tasks")
    job = models.ForeignKey(
        Job, null=True, blank=True, on_delete=models.SET_NULL, related_name="sitting_tasks"
    )
    task = models.CharField(max_length=20)
    amount = models.FloatField(null=True, blank=True)
    unit = models.CharField(max_length=20, blank=True)
    finished = models.BooleanField(default=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["sitting", "task", "unit"], name="sittingtask_once"),
            models.CheckConstraint(
                condition=models.Q(amount=None) | models.Q(amount__gte=0), name="sittingtask_amount"
            ),
        ]


class SittingMember(InClub):
    """A person in a sitting and his own minutes, breaks left out."""

    sitting = models.ForeignKey(Sitting, on_delete=models.CASCADE, related_name="people")
    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="sittings")
    minutes = models.FloatField()
    role = models.CharField(max_length=8, default="hand")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["sitting", "member"], name="sittingmember_once"),
            models.CheckConstraint(condition=models.Q(minutes__gt=0), name="sittingmember_minutes"),
        ]


class Incident(InClub):
    """A near miss or an injury, kept apart from the work record and seen by coordinators."""

    on = models.DateField()
    kind = models.CharField(max_length=10, choices=[("near_miss", "near miss"), ("injury", "injury")])
    what = models.TextField()
    sitting = models.ForeignKey(Sitting, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    told_by = models.ForeignKey(Member, null=True, on_delete=models.SET_NULL, related_name="+")

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(kind__in=["near_miss", "injury"]), name="incident_kind")
        ]
