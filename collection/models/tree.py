"""The register: trees, who keeps them, what was counted on them."""

from __future__ import annotations

from django.db import models

from collection.models.base import InClub, Versioned
from collection.models.club import Bench, Site
from collection.models.member import Member

STAGES = [("R", "raw"), ("B", "building"), ("F", "refining"), ("S", "show")]
CONDITIONS = ["sound", "weak", "sick", "collected", "imported"]


class Tree(InClub, Versioned):
    """One accession: a tree, or a batch of like trees when ``batch`` is set.

    The accession number is the tree's for ever and is never used again.
    """

    accession = models.CharField(max_length=30)
    name = models.CharField(max_length=120, blank=True)
    species = models.CharField(max_length=120, blank=True)
    common_name = models.CharField(max_length=120, blank=True)
    group = models.CharField(max_length=3)
    stage = models.CharField(max_length=1, choices=STAGES)
    style = models.CharField(max_length=60, blank=True, default="")
    batch = models.PositiveIntegerField(null=True, blank=True)
    height_mm = models.FloatField(null=True, blank=True)
    spread_mm = models.FloatField(null=True, blank=True)
    trunk_mm = models.FloatField(null=True, blank=True)
    pot = models.CharField(max_length=120, blank=True, default="")
    pot_litres = models.FloatField(null=True, blank=True)
    mass_kg = models.FloatField(null=True, blank=True)
    mass_weighed = models.BooleanField(default=False)
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="trees")
    bench = models.ForeignKey(Bench, null=True, blank=True, on_delete=models.PROTECT, related_name="trees")
    may_travel = models.BooleanField(default=False)
    brought_by = models.ForeignKey(Member, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    condition = models.CharField(max_length=10, default="sound")
    no_hard_work_until = models.DateField(null=True, blank=True)
    no_hard_work_why = models.CharField(max_length=200, blank=True, default="")
    leave_alone_until = models.DateField(null=True, blank=True)
    leave_alone_why = models.CharField(max_length=200, blank=True)
    acquired_on = models.DateField(null=True, blank=True)
    note = models.TextField(blank=True)
    extra = models.JSONField(default=dict, blank=True)
    archived_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["club", "accession"], name="tree_accession_once"),
            models.CheckConstraint(condition=models.Q(stage__in=["R", "B", "F", "S"]), name="tree_stage"),
            models.CheckConstraint(condition=models.Q(condition__in=CONDITIONS), name="tree_condition"),
            models.CheckConstraint(
                condition=models.Q(batch=None) | models.Q(batch__gte=2), name="tree_batch"
            ),
            models.CheckConstraint(condition=~models.Q(accession=""), name="tree_accession_said"),
            models.CheckConstraint(
                condition=(models.Q(height_mm=None) | models.Q(height_mm__gt=0))
                & (models.Q(pot_litres=None) | models.Q(pot_litres__gt=0))
                & (models.Q(mass_kg=None) | models.Q(mass_kg__gt=0))
                & (models.Q(trunk_mm=None) | models.Q(trunk_mm__gt=0)),
                name="tree_sizes",
            ),
        ]

    def __str__(self) -> str:
        return self.accession


class TreeEvent(InClub):
    """What happened to a tree as a possession; append-only."""

    KINDS = ["in", "out", "died", "lent", "back", "moved", "show"]

    tree = models.ForeignKey(Tree, on_delete=models.CASCADE, related_name="events")
    kind = models.CharField(max_length=10)
    on = models.DateField()
    until = models.DateField(null=True, blank=True)
    cause = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(Member, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(kind__in=["in", "out", "died", "lent", "back", "moved", "show"]),
                name="treeevent_kind",
            ),
        ]


class TreeSign(InClub):
    """A sign seen on a tree (buds swelling, leaves hardened ...) that opens or holds a window."""

    tree = models.ForeignKey(Tree, on_delete=models.CASCADE, related_name="signs")
    sign = models.CharField(max_length=30)
    seen_on = models.DateField()
    by = models.ForeignKey(Member, null=True, on_delete=models.SET_NULL, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["tree", "sign", "seen_on"], name="treesign_once_a_day")
        ]


class Care(InClub, Versioned):
    """Who owns or cares for a tree, and until when his consent to the season's work runs."""

    tree = models.ForeignKey(Tree, on_delete=models.CASCADE, related_name="care")
    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="care")
    role = models.CharField(max_length=6, choices=[("owner", "owner"), ("carer", "carer")])
    consent_until = models.DateField(null=True, blank=True)
    ask_first = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["tree", "member", "role"], name="care_once"),
            models.CheckConstraint(condition=models.Q(role__in=["owner", "carer"]), name="care_role"),
        ]


class Count(InClub):
    """Something counted on a tree: branches by order, cut sites, shoots; append-only."""

    tree = models.ForeignKey(Tree, on_delete=models.CASCADE, related_name="counts")
    on = models.DateField()
    kind = models.CharField(max_length=20)
    amount = models.FloatField()
    guessed = models.BooleanField(default=False)
    by = models.ForeignKey(Member, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(amount__gte=0), name="count_not_negative")]
        indexes = [models.Index(fields=["tree", "kind", "-on", "-id"], name="count_latest")]


class Branch(InClub, Versioned):
    """A branch by its label; position by the clock seen from above, height as a part of the tree's."""

    tree = models.ForeignKey(Tree, on_delete=models.CASCADE, related_name="branches")
    label = models.CharField(max_length=20)
    parent = models.ForeignKey("self", null=True, blank=True, on_delete=models.SET_NULL, related_name="side")
    place = models.CharField(max_length=60, blank=True)
    clock = models.PositiveSmallIntegerField(null=True, blank=True)
    height_mm = models.FloatField(null=True, blank=True)
    diameter_mm = models.FloatField(null=True, blank=True)
    length_mm = models.FloatField(null=True, blank=True)
    side_branches = models.PositiveSmallIntegerField(default=0)
    stage = models.CharField(max_length=1, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["tree", "label"], name="branch_label_once"),
            models.CheckConstraint(
                condition=models.Q(clock=None) | models.Q(clock__gte=1, clock__lte=12), name="branch_clock"
            ),
            models.CheckConstraint(
                condition=(models.Q(diameter_mm=None) | models.Q(diameter_mm__gt=0))
                & (models.Q(length_mm=None) | models.Q(length_mm__gt=0)),
                name="branch_sizes",
            ),
        ]

    def __str__(self) -> str:
        return self.label
