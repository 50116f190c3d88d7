"""What is due: rounds, bends, jobs, what holds them, and how long they take."""

from __future__ import annotations

from django.db import models

from collection.models.base import InClub, Versioned
from collection.models.club import Bench
from collection.models.member import Member
from collection.models.reference import PaceSet
from collection.models.tree import Branch, Tree


class Round(InClub, Versioned):
    """One repeating task over the trees of a bench on a date; ``bench_key`` is "" for no bench."""

    bench = models.ForeignKey(Bench, null=True, blank=True, on_delete=models.PROTECT, related_name="rounds")
    bench_key = models.CharField(max_length=12, blank=True, default="")
    task = models.CharField(max_length=20)
    on = models.DateField()
    season_year = models.PositiveSmallIntegerField()
    trees = models.ManyToManyField(Tree, through="RoundTree", related_name="rounds")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["club", "bench_key", "task", "on"], name="round_once"),
        ]


class RoundTree(InClub):
    """A tree on a round."""

    round = models.ForeignKey(Round, on_delete=models.CASCADE, related_name="lines")
    tree = models.ForeignKey(Tree, on_delete=models.CASCADE, related_name="round_lines")
    left_out = models.BooleanField(default=False)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["round", "tree"], name="roundtree_once")]


class Bend(InClub, Versioned):
    """A heavy bend somebody wants: its figures, who signed it off, who refused and who released it."""

    tree = models.ForeignKey(Tree, on_delete=models.CASCADE, related_name="bends")
    branch = models.ForeignKey(Branch, null=True, blank=True, on_delete=models.SET_NULL, related_name="bends")
    diameter_mm = models.FloatField()
    length_mm = models.FloatField(null=True, blank=True)
    drop_mm = models.FloatField(null=True, blank=True)
    radius_mm = models.FloatField(null=True, blank=True)
    method = models.CharField(max_length=40, blank=True)
    inputs = models.JSONField(default=dict, blank=True)
    severity = models.FloatField(null=True, blank=True)
    crew = models.PositiveSmallIntegerField(default=2)
    lead = models.ForeignKey(Member, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    signed_by = models.ForeignKey(Member, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    signed_on = models.DateField(null=True, blank=True)
    refused_by = models.ForeignKey(Member, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    refused_why = models.CharField(max_length=200, blank=True)
    released_by = models.ForeignKey(
        Member, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(condition=models.Q(diameter_mm__gt=0), name="bend_diameter"),
            models.CheckConstraint(condition=models.Q(crew__gte=1, crew__lte=4), name="bend_crew"),
            models.CheckConstraint(
                condition=models.Q(released_by=None) | ~models.Q(released_by=models.F("refused_by")),
                name="bend_released_by_another",
            ),
        ]


class Job(InClub, Versioned):
    """A task due on a tree, or on a round.

    ``target`` names the tree or round as text ("tree:12"), so that the key of a job has no null in
    it: target, task, origin, season year, occurrence and subject.
    """

    class State(models.TextChoices):
        OPEN = "open", "open"
        DONE = "done", "done"
        MISSED = "missed", "missed"
        WITHDRAWN = "withdrawn", "withdrawn"
        NOT_THIS_YEAR = "not_this_year", "not this year"

    tree = models.ForeignKey(Tree, null=True, blank=True, on_delete=models.CASCADE, related_name="jobs")
    round = models.ForeignKey(Round, null=True, blank=True, on_delete=models.CASCADE, related_name="jobs")
    target = models.CharField(max_length=30)
    task = models.CharField(max_length=20)
    origin = models.CharField(max_length=60)
    season_year = models.PositiveSmallIntegerField()
    occurrence = models.PositiveSmallIntegerField(default=1)
    subject = models.CharField(max_length=30, blank=True, default="")
    bend = models.ForeignKey(Bend, null=True, blank=True, on_delete=models.PROTECT, related_name="jobs")
    opens = models.DateField()
    closes = models.DateField()
    moved_opens = models.DateField(null=True, blank=True)
    moved_closes = models.DateField(null=True, blank=True)
    stress = models.PositiveSmallIntegerField(default=0)
    priority = models.PositiveSmallIntegerField(default=3)
    crew = models.PositiveSmallIntegerField(default=1)
    state = models.CharField(max_length=14, choices=State, default=State.OPEN)
    ended_on = models.DateField(null=True, blank=True)
    reason = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(Member, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    edited = models.BooleanField(default=False)
    estimate = models.ForeignKey(
        "Estimate", null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["club", "target", "task", "origin", "season_year", "occurrence", "subject"],
                name="job_once",
            ),
            models.CheckConstraint(
                condition=models.Q(tree=None, round__isnull=False) | models.Q(tree__isnull=False, round=None),
                name="job_has_one_target",
            ),
            models.CheckConstraint(
                condition=models.Q(closes__gte=models.F("opens")), name="job_window_order"
            ),
            models.CheckConstraint(condition=models.Q(priority__gte=1, priority__lte=5), name="job_priority"),
            models.CheckConstraint(condition=models.Q(crew__gte=1, crew__lte=4), name="job_crew"),
            models.CheckConstraint(condition=models.Q(stress__lte=3), name="job_stress"),
            models.CheckConstraint(
                condition=models.Q(state__in=["open", "done", "missed", "withdrawn", "not_this_year"]),
                name="job_state",
            ),
        ]
        indexes = [
            models.Index(fields=["club", "state", "closes"], name="job_open_by_close"),
            models.Index(fields=["tree", "state"], name="job_by_tree"),
        ]


class JobHold(InClub):
    """Something that holds a job until a date, or until it is lifted."""

    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="holds")
    rule = models.CharField(max_length=30)
    until = models.DateField(null=True, blank=True)
    since = models.DateField()
    why = models.CharField(max_length=200, blank=True)
    lifted_by = models.ForeignKey(Member, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    lifted_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["job", "rule"], condition=models.Q(lifted_on=None), name="jobhold_one_open_of_a_rule"
            ),
            models.CheckConstraint(
                condition=models.Q(lifted_on=None) | models.Q(lifted_by__isnull=False),
                name="jobhold_lifted_by",
            ),
        ]


class Estimate(InClub):
    """A time estimate with every line of its sum; append-only, a job points to its newest.

    Minutes are of labour, all people together, unless the name says elapsed or held. ``sd_min`` is the
    spread of the lines alone; ``log_sd`` adds what person and tree share.
    """

    job = models.ForeignKey(Job, null=True, blank=True, on_delete=models.CASCADE, related_name="estimates")
    pace_set = models.ForeignKey(PaceSet, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    inputs = models.JSONField()
    lines = models.JSONField()
    low_min = models.FloatField()
    likely_min = models.FloatField()
    high_min = models.FloatField()
    mean_min = models.FloatField()
    sd_min = models.FloatField()
    log_sd = models.FloatField()
    shared_log_sd = models.FloatField()
    p10_min = models.FloatField()
    p90_min = models.FloatField()
    cautious_min = models.FloatField()
    elapsed_min = models.FloatField()
    elapsed_cautious_min = models.FloatField()
    held_min = models.FloatField(default=0)
    crew = models.PositiveSmallIntegerField(default=1)
    crew_reasons = models.JSONField(default=list)
    sittings = models.PositiveSmallIntegerField(default=1)
    notes = models.JSONField(default=list)
    edition = models.CharField(max_length=20)
    trust = models.CharField(max_length=10, default="guess")
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(mean_min__gte=0, log_sd__gte=0, crew__gte=1, crew__lte=4),
                name="estimate_sizes",
            ),
            models.CheckConstraint(
                condition=models.Q(trust__in=["guess", "estimate", "measured"]), name="estimate_trust"
            ),
        ]
