"""People of a club, what they can do, and how to reach them."""

from __future__ import annotations

from django.db import models

from collection.models.account import Account
from collection.models.base import InClub, Versioned


class Member(InClub, Versioned):
    """A person in a club, with or without a sign-in."""

    class Role(models.TextChoices):
        MEMBER = "member", "member"
        BENCH_LEAD = "bench_lead", "bench lead"
        COORDINATOR = "coordinator", "coordinator"
        ADMIN = "admin", "club admin"

    account = models.ForeignKey(
        Account, null=True, blank=True, on_delete=models.SET_NULL, related_name="members"
    )
    name = models.CharField(max_length=80)
    role = models.CharField(max_length=12, choices=Role, default=Role.MEMBER)
    active_from = models.DateField()
    active_to = models.DateField(null=True, blank=True)
    wants_mail = models.BooleanField(default=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["club", "account"], name="member_account_once"),
            models.UniqueConstraint(fields=["club", "name"], name="member_name_once"),
            models.CheckConstraint(
                condition=models.Q(role__in=["member", "bench_lead", "coordinator", "admin"]),
                name="member_role",
            ),
            models.CheckConstraint(
                condition=models.Q(active_to=None) | models.Q(active_to__gte=models.F("active_from")),
                name="member_active_order",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Contact(InClub, Versioned):
    """Telephone and e-mail; erasable, and nothing points here."""

    member = models.OneToOneField(Member, on_delete=models.CASCADE, related_name="contact")
    email = models.EmailField(blank=True)
    telephone = models.CharField(max_length=40, blank=True)


class MemberSkill(InClub):
    """How well a member does a family of tasks, from a date on."""

    class Level(models.TextChoices):
        NOVICE = "novice"
        LEARNING = "learning"
        PRACTISED = "practised"
        EXPERT = "expert"

    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="skills")
    family = models.CharField(max_length=30)
    level = models.CharField(max_length=12, choices=Level)
    since = models.DateField()
    by = models.ForeignKey(Member, null=True, on_delete=models.SET_NULL, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["member", "family", "since"], name="skill_once_a_day"),
            models.CheckConstraint(
                condition=models.Q(level__in=["novice", "learning", "practised", "expert"]),
                name="skill_level",
            ),
        ]


class Declaration(InClub):
    """A plain yes or no a member gives about himself, without reasons, valid until a date."""

    class Kind(models.TextChoices):
        CAN_LIFT = "can_lift", "can lift and hold"
        POWER_TOOLS = "power_tools", "trained for powered tools"
        SPRAYS = "sprays", "trained for sprays"
        FIRST_AID = "first_aid", "first aider"
        WANTS_BENDS = "wants_bends", "would like to learn bends"

    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="declarations")
    kind = models.CharField(max_length=20, choices=Kind)
    answer = models.BooleanField(default=True)
    given_on = models.DateField()
    until = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["member", "kind", "given_on"], name="declaration_once_a_day"),
            models.CheckConstraint(
                condition=models.Q(
                    kind__in=["can_lift", "power_tools", "sprays", "first_aid", "wants_bends"]
                ),
                name="declaration_kind",
            ),
        ]


class Welcome(InClub):
    """A letter that lets a member set up a sign-in: only the digest of its secret is kept, good once."""

    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="welcomes")
    email = models.EmailField()
    secret_digest = models.CharField(max_length=64, unique=True)
    by = models.ForeignKey(Member, null=True, on_delete=models.SET_NULL, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    good_until = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)
    taken_back_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["member"],
                condition=models.Q(used_at=None, taken_back_at=None),
                name="welcome_one_open_a_member",
            ),
        ]
