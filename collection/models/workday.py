"""Workdays: who offers which hours, plans, and who does what."""

from __future__ import annotations

from django.db import models

from collection.models.base import InClub, Versioned
from collection.models.club import Site
from collection.models.job import Job
from collection.models.member import Member


class Workday(InClub, Versioned):
    """A date on which the club works together; wall times of its own zone."""

    class State(models.TextChoices):
        DRAFT = "draft", "draft"
        OPEN = "open", "open for offers"
        SENT = "sent", "plan sent out"
        HELD = "held", "held"
        CANCELLED = "cancelled", "cancelled"

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="workdays")
    date = models.DateField()
    opens = models.TimeField()
    closes = models.TimeField()
    zone = models.CharField(max_length=60)
    breaks = models.JSONField(default=list, blank=True)
    briefing_min = models.PositiveSmallIntegerField(default=15)
    closing_min = models.PositiveSmallIntegerField(default=30)
    lead = models.ForeignKey(Member, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")
    first_aider = models.ForeignKey(
        Member, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    least_people = models.PositiveSmallIntegerField(default=2)
    most_people = models.PositiveSmallIntegerField(null=True, blank=True)
    bring = models.TextField(blank=True)
    state = models.CharField(max_length=10, choices=State, default=State.DRAFT)
    cancelled_why = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["club", "site", "date"],
                condition=~models.Q(state="cancelled"),
                name="workday_once",
            ),
            models.CheckConstraint(condition=models.Q(closes__gt=models.F("opens")), name="workday_times"),
            models.CheckConstraint(
                condition=models.Q(state__in=["draft", "open", "sent", "held", "cancelled"]),
                name="workday_state",
            ),
            models.CheckConstraint(
                condition=models.Q(most_people=None) | models.Q(most_people__gte=models.F("least_people")),
                name="workday_people",
            ),
        ]


class Offer(InClub, Versioned):
    """A member's answer for a dated workday: yes with hours, perhaps, or no."""

    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="offers")
    workday = models.ForeignKey(Workday, on_delete=models.CASCADE, related_name="offers")
    arrives = models.TimeField(null=True, blank=True)
    leaves = models.TimeField(null=True, blank=True)
    answer = models.CharField(max_length=8, choices=[("yes", "yes"), ("perhaps", "perhaps"), ("no", "no")])
    by = models.ForeignKey(Member, null=True, on_delete=models.SET_NULL, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["member", "workday"], name="offer_once"),
            models.CheckConstraint(
                condition=models.Q(answer__in=["yes", "perhaps", "no"]), name="offer_answer"
            ),
            models.CheckConstraint(
                condition=models.Q(arrives=None)
                | models.Q(leaves=None)
                | models.Q(leaves__gt=models.F("arrives")),
                name="offer_times",
            ),
        ]


class Habit(InClub, Versioned):
    """Hours a member gives most weeks, outside dated workdays; weekday 0 is Monday."""

    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="habits")
    weekday = models.PositiveSmallIntegerField()
    every_weeks = models.PositiveSmallIntegerField(default=1)
    minutes = models.PositiveIntegerField()
    starts = models.DateField()
    ends = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["member", "weekday", "starts"], name="habit_once"),
            models.CheckConstraint(
                condition=models.Q(weekday__lte=6, minutes__gt=0, minutes__lte=900, every_weeks__gte=1),
                name="habit_sizes",
            ),
        ]


class Attendance(InClub):
    """Who came."""

    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="attendance")
    workday = models.ForeignKey(Workday, on_delete=models.CASCADE, related_name="attendance")
    came = models.BooleanField()
    arrived = models.TimeField(null=True, blank=True)
    left = models.TimeField(null=True, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["member", "workday"], name="attendance_once")]


class Plan(InClub):
    """A numbered plan of a workday, worked out in the background.

    ``wishes`` holds what the coordinator asked for: moves, jobs left out, people not here.
    ``outcome`` holds what was worked out besides the assignments: value, bound, jobs not placed and why.
    """

    class State(models.TextChoices):
        WAITING = "waiting", "waiting"
        WORKING = "working", "being worked out"
        READY = "ready", "ready"
        OUT_OF_DATE = "out_of_date", "out of date"
        FAILED = "failed", "failed"

    workday = models.ForeignKey(Workday, on_delete=models.CASCADE, related_name="plans")
    number = models.PositiveIntegerField()
    seed = models.PositiveIntegerField(default=1)
    state = models.CharField(max_length=12, choices=State, default=State.WAITING)
    sent_out = models.BooleanField(default=False)
    wishes = models.JSONField(default=dict, blank=True)
    outcome = models.JSONField(default=dict, blank=True)
    problem_digest = models.CharField(max_length=64, blank=True)
    lease_until = models.DateTimeField(null=True, blank=True)
    attempts = models.PositiveSmallIntegerField(default=0)
    asked_by = models.ForeignKey(Member, null=True, on_delete=models.SET_NULL, related_name="+")
    asked_at = models.DateTimeField()
    ready_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["workday", "number"], name="plan_number_once"),
            models.UniqueConstraint(
                fields=["workday"], condition=models.Q(sent_out=True), name="plan_one_sent_out"
            ),
            models.CheckConstraint(
                condition=models.Q(state__in=["waiting", "working", "ready", "out_of_date", "failed"]),
                name="plan_state",
            ),
        ]
        indexes = [models.Index(fields=["state", "lease_until"], name="plan_waiting")]


class Assignment(InClub):
    """One person on one job in one plan.

    ``person_key`` is the account ("account:5") or, without a sign-in, the member ("member:9"): the
    database refuses two confirmed assignments of one person at the same time, across clubs too.
    ``steps`` are (kind, from, to) in minutes since the day's midnight; ``held_from`` to ``held_to`` spans
    the held ones. ``done_min`` are the practised minutes that count; ``part`` means the job goes on later.
    """

    class Role(models.TextChoices):
        LEAD = "lead", "leads"
        HAND = "hand", "second pair of hands"
        LEARNER = "learner", "learns beside"

    plan = models.ForeignKey(Plan, on_delete=models.CASCADE, related_name="assignments")
    job = models.ForeignKey(Job, on_delete=models.CASCADE, related_name="assignments")
    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="assignments")
    person_key = models.CharField(max_length=30)
    role = models.CharField(max_length=8, choices=Role)
    sitting = models.PositiveSmallIntegerField(default=1)
    starts = models.DateTimeField()
    ends = models.DateTimeField()
    held_from = models.DateTimeField(null=True, blank=True)
    held_to = models.DateTimeField(null=True, blank=True)
    steps = models.JSONField(default=list, blank=True)
    done_min = models.PositiveIntegerField(default=0)
    part = models.BooleanField(default=False)
    confirmed = models.BooleanField(default=False)
    pinned = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["plan", "job", "sitting", "member"], name="assignment_once"),
            models.CheckConstraint(condition=models.Q(ends__gt=models.F("starts")), name="assignment_times"),
            models.CheckConstraint(
                condition=models.Q(role__in=["lead", "hand", "learner"]), name="assignment_role"
            ),
            models.CheckConstraint(
                condition=models.Q(held_from=None, held_to=None)
                | models.Q(held_from__gte=models.F("starts"), held_to__lte=models.F("ends")),
                name="assignment_held_inside",
            ),
        ]


class Place(InClub, Versioned):
    """An opening for a person on a workday, perhaps for one job and from when to when."""

    workday = models.ForeignKey(Workday, on_delete=models.CASCADE, related_name="places")
    job = models.ForeignKey(Job, null=True, blank=True, on_delete=models.SET_NULL, related_name="places")
    number = models.PositiveSmallIntegerField()
    starts = models.TimeField(null=True, blank=True)
    ends = models.TimeField(null=True, blank=True)
    winner = models.ForeignKey(Member, null=True, blank=True, on_delete=models.SET_NULL, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["workday", "number"], name="place_number_once"),
            models.CheckConstraint(
                condition=models.Q(starts=None, ends=None) | models.Q(ends__gt=models.F("starts")),
                name="place_times",
            ),
        ]


class Invitation(InClub):
    """A place offered to a member; the first to accept gets it."""

    place = models.ForeignKey(Place, on_delete=models.CASCADE, related_name="invitations")
    order = models.PositiveSmallIntegerField()
    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="invitations")
    answer = models.CharField(max_length=10, blank=True, default="")
    answered_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["place", "member"], name="invitation_once"),
            models.UniqueConstraint(fields=["place", "order"], name="invitation_order_once"),
            models.UniqueConstraint(
                fields=["place"], condition=models.Q(answer="accepted"), name="invitation_one_winner"
            ),
            models.CheckConstraint(
                condition=models.Q(answer__in=["", "accepted", "declined", "late", "withdrawn"]),
                name="invitation_answer",
            ),
        ]
