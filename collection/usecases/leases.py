"""A named right to do something alone, kept in a row so that every process sees it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta

from django.db import IntegrityError, transaction
from django.db.models import Q
from django.utils import timezone

from collection.models import Lease


def take(name: str, holder: str, length: timedelta) -> bool:
    """Take or renew the lease; False while another holder has it."""
    now = timezone.now()
    mine = Lease.objects.filter(Q(holder=holder) | Q(until__lt=now), name=name)
    if mine.update(holder=holder, until=now + length):
        return True
    if Lease.objects.filter(name=name).exists():
        return False
    try:
        with transaction.atomic():
            Lease.objects.create(name=name, holder=holder, until=now + length)
    except IntegrityError:
        return False
    return True


def held(names: Iterable[str]) -> set[str]:
    """Which of these somebody holds now; a look only, it writes nothing."""
    return set(
        Lease.objects.filter(name__in=list(names), until__gte=timezone.now()).values_list("name", flat=True)
    )


def give_back(name: str, holder: str) -> None:
    """Let the lease go, so that another need not wait."""
    Lease.objects.filter(name=name, holder=holder).delete()
