"""Keys with which a person's own programs sign in."""

from __future__ import annotations

from django.db import models

from collection.models.base import InClub
from collection.models.member import Member


class ProgramKey(InClub):
    """A key a member made for a program: good in one club, until its token ends or is taken back.

    The token holds only a digest of the secret.
    """

    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="program_keys")
    token = models.OneToOneField("knox.AuthToken", on_delete=models.CASCADE, related_name="program_key")
    name = models.CharField(max_length=60)
    reads_only = models.BooleanField(default=True)
    made_at = models.DateTimeField(auto_now_add=True)
    last_used_on = models.DateField(null=True, blank=True)
