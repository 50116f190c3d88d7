"""Facts people are told about, the envelopes that carry them, and the trail of changes."""

from __future__ import annotations

from django.db import models

from collection.models.base import InClub, Versioned
from collection.models.member import Member


class Message(InClub):
    """The envelope: one message to one person by one channel for one local day.

    ``number`` is 1 for the day's round-up; a further one is news that cannot wait for tomorrow's.
    ``body`` holds its finished sentences, written once; ``text`` is kept as it was sent, without the
    secret part of its links. ``attempts`` counts claims that never came back, ``put_off`` how often the
    mail server asked to wait; ``unsure`` means that the server broke off after it had the whole mail.
    """

    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="messages")
    channel = models.CharField(max_length=10, default="mail")
    local_day = models.DateField()
    number = models.PositiveSmallIntegerField(default=1)
    subject = models.CharField(max_length=200, blank=True)
    text = models.TextField(blank=True)
    body = models.JSONField(default=dict, blank=True)
    written_at = models.DateTimeField(null=True, blank=True)
    try_after = models.DateTimeField(null=True, blank=True)
    lease_until = models.DateTimeField(null=True, blank=True)
    attempts = models.PositiveSmallIntegerField(default=0)
    put_off = models.PositiveSmallIntegerField(default=0)
    unsure = models.BooleanField(default=False)
    message_id = models.CharField(max_length=120)
    sent_at = models.DateTimeField(null=True, blank=True)
    parked_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["club", "member", "channel", "local_day", "number"], name="message_once_a_day"
            ),
            models.UniqueConstraint(fields=["message_id"], name="message_id_once"),
        ]
        indexes = [
            models.Index(
                fields=["id"],
                condition=models.Q(sent_at=None, parked_reason=""),
                name="message_waiting",
            ),
            models.Index(fields=["club", "-local_day", "-id"], name="message_of_club"),
        ]


class Notice(InClub):
    """The fact: somebody is to be told something about a subject for a period."""

    kind = models.CharField(max_length=30)
    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="notices")
    subject = models.CharField(max_length=60)
    period = models.CharField(max_length=20)
    due_at = models.DateTimeField()
    expires_at = models.DateTimeField(null=True, blank=True)
    values = models.JSONField(default=dict, blank=True)
    message = models.ForeignKey(
        Message, null=True, blank=True, on_delete=models.SET_NULL, related_name="notices"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["club", "kind", "member", "subject", "period"], name="notice_once"
            ),
            models.CheckConstraint(
                condition=models.Q(expires_at=None) | models.Q(expires_at__gte=models.F("due_at")),
                name="notice_expiry",
            ),
        ]
        indexes = [
            models.Index(fields=["club", "due_at"], condition=models.Q(message=None), name="notice_waiting"),
        ]


class Change(InClub):
    """Who changed what, by which door; append-only. For contacts only the names of the fields."""

    who = models.ForeignKey(Member, null=True, on_delete=models.SET_NULL, related_name="+")
    door = models.CharField(max_length=12)
    table = models.CharField(max_length=30)
    row = models.BigIntegerField()
    before = models.JSONField(default=dict)
    after = models.JSONField(default=dict)
    at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(door__in=["page", "api", "command", "worker", "import", "sample", "mail"]),
                name="change_door",
            ),
        ]
        indexes = [models.Index(fields=["club", "table", "row", "-at"], name="change_of_row")]


class Accepted(InClub):
    """A file that was taken in, by its digest, so that taking it in twice does nothing twice.

    ``headings`` is a digest of the file's headings and ``told`` what was answered about them, so that
    the next file with the same headings need not be asked. ``made`` holds the ids it made, by table. A long
    file comes in piece by piece: it is ``half`` in until the last one, and ``way`` says how far it is.
    """

    kind = models.CharField(max_length=10)
    digest = models.CharField(max_length=64)
    file_name = models.CharField(max_length=200)
    rows = models.PositiveIntegerField()
    headings = models.CharField(max_length=64, blank=True)
    told = models.JSONField(default=dict, blank=True)
    made = models.JSONField(default=dict, blank=True)
    half = models.BooleanField(default=False)
    way = models.JSONField(default=dict, blank=True)
    undone_at = models.DateTimeField(null=True, blank=True)
    by = models.ForeignKey(Member, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["club", "kind", "digest"],
                condition=models.Q(undone_at=None, half=False),
                name="accepted_once",
            )
        ]


class Upload(InClub, Versioned):
    """A file somebody brought, kept until it is taken in, thrown away or out of date.

    ``told`` holds answers about columns, ``corrected`` cells put right on the page, ``shown`` what the
    last reading found: the questions, the faults, the count. Nothing of it is written elsewhere before
    it is accepted.
    """

    class State(models.TextChoices):
        READING = "reading", "being read"
        READ = "read", "read"
        UNREADABLE = "unreadable", "cannot be read"
        TAKING = "taking", "being taken in"
        TAKEN = "taken", "taken in"

    kind = models.CharField(max_length=10)
    file_name = models.CharField(max_length=200)
    data = models.BinaryField()
    state = models.CharField(max_length=10, choices=State, default=State.READING)
    sheet = models.CharField(max_length=120, blank=True)
    told = models.JSONField(default=dict, blank=True)
    corrected = models.JSONField(default=dict, blank=True)
    shown = models.JSONField(default=dict, blank=True)
    set_aside = models.BooleanField(default=False)
    accepted = models.ForeignKey(
        Accepted, null=True, blank=True, on_delete=models.SET_NULL, related_name="uploads"
    )
    by = models.ForeignKey(Member, null=True, on_delete=models.SET_NULL, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    good_until = models.DateTimeField()
    lease_until = models.DateTimeField(null=True, blank=True)
    attempts = models.PositiveSmallIntegerField(default=0)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=models.Q(kind__in=["trees", "people", "offers"]), name="upload_kind"
            ),
            models.CheckConstraint(
                condition=models.Q(state__in=["reading", "read", "unreadable", "taking", "taken"]),
                name="upload_state",
            ),
        ]


class RequestKey(InClub):
    """A write that came through the API with a key of the caller's: the same again gets the same answer.

    ``status`` is empty while the first is still running; ``digest`` is of method, path and body.
    """

    member = models.ForeignKey(Member, on_delete=models.CASCADE, related_name="+")
    key = models.CharField(max_length=64)
    digest = models.CharField(max_length=64)
    status = models.PositiveSmallIntegerField(null=True, blank=True)
    answer = models.JSONField(null=True, blank=True)
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["member", "key"], name="requestkey_once")]


class Lease(models.Model):
    """A named right to do something alone, such as running the sweep."""

    name = models.CharField(max_length=40, unique=True)
    holder = models.CharField(max_length=80)
    until = models.DateTimeField()
