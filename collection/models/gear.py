"""Wire and guys on trees, looks at them, and wire in stock."""

from __future__ import annotations

from django.db import models

from collection.models.base import InClub, Versioned
from collection.models.member import Member
from collection.models.tree import Branch, Tree


class Wire(InClub, Versioned):
    """Wire wound on a branch or trunk."""

    tree = models.ForeignKey(Tree, on_delete=models.CASCADE, related_name="wires")
    branch = models.ForeignKey(Branch, null=True, blank=True, on_delete=models.SET_NULL, related_name="wires")
    label = models.CharField(max_length=20)
    length_m = models.FloatField()
    gauge_mm = models.FloatField()
    metal = models.CharField(max_length=10, choices=[("copper", "copper"), ("aluminium", "aluminium")])
    fit = models.CharField(max_length=6, choices=[("snug", "snug"), ("loose", "loose")], default="snug")
    on = models.DateField()
    off = models.DateField(null=True, blank=True)
    look_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["tree", "label"], condition=models.Q(off=None), name="wire_one_open_of_a_label"
            ),
            models.CheckConstraint(
                condition=models.Q(length_m__gt=0, gauge_mm__gt=0, metal__in=["copper", "aluminium"]),
                name="wire_sizes",
            ),
            models.CheckConstraint(
                condition=models.Q(off=None) | models.Q(off__gte=models.F("on")), name="wire_off_after_on"
            ),
        ]


class Guy(InClub, Versioned):
    """A straight wire that pulls a branch to an anchor."""

    tree = models.ForeignKey(Tree, on_delete=models.CASCADE, related_name="guys")
    branch = models.ForeignKey(Branch, null=True, blank=True, on_delete=models.SET_NULL, related_name="guys")
    label = models.CharField(max_length=20)
    anchor = models.CharField(max_length=60, blank=True)
    gauge_mm = models.FloatField()
    metal = models.CharField(max_length=10, choices=[("copper", "copper"), ("aluminium", "aluminium")])
    on = models.DateField()
    off = models.DateField(null=True, blank=True)
    look_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["tree", "label"], condition=models.Q(off=None), name="guy_one_open_of_a_label"
            ),
            models.CheckConstraint(
                condition=models.Q(gauge_mm__gt=0, metal__in=["copper", "aluminium"]), name="guy_sizes"
            ),
            models.CheckConstraint(
                condition=models.Q(off=None) | models.Q(off__gte=models.F("on")), name="guy_off_after_on"
            ),
        ]


class Look(InClub):
    """Somebody looked at a wire or a guy; append-only."""

    wire = models.ForeignKey(Wire, null=True, blank=True, on_delete=models.CASCADE, related_name="looks")
    guy = models.ForeignKey(Guy, null=True, blank=True, on_delete=models.CASCADE, related_name="looks")
    on = models.DateField()
    seen = models.CharField(
        max_length=8, choices=[("loose", "loose"), ("snug", "snug"), ("marking", "marking")]
    )
    by = models.ForeignKey(Member, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(wire=None, guy__isnull=False) | models.Q(wire__isnull=False, guy=None),
                name="look_at_one_thing",
            ),
            models.CheckConstraint(
                condition=models.Q(seen__in=["loose", "snug", "marking"]), name="look_seen"
            ),
        ]


class WireStock(InClub, Versioned):
    """Wire on the club's rack."""

    metal = models.CharField(max_length=10, choices=[("copper", "copper"), ("aluminium", "aluminium")])
    gauge_mm = models.FloatField()
    grams = models.FloatField(default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["club", "metal", "gauge_mm"], name="wirestock_once"),
            models.CheckConstraint(
                condition=models.Q(grams__gte=0, gauge_mm__gt=0, metal__in=["copper", "aluminium"]),
                name="wirestock_sizes",
            ),
        ]
