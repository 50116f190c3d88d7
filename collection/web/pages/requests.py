"""What a member is asked to help with, on the pages he comes to first."""

from __future__ import annotations

from collections.abc import Iterable
from types import SimpleNamespace

from django.urls import reverse

from collection.queries.labels import dated, day
from collection.queries.requests import Request


def asked_rows(requests: Iterable[Request]) -> list[SimpleNamespace]:
    """Questions that wait for an answer, as ``web/_asked.html`` reads them."""
    return [
        SimpleNamespace(
            said=f"You are asked to help at the heavy bend of {one.accession} on {day(one.on)}.",
            url=reverse("bend", args=[one.bend_id]),
            words="Say yes or no",
        )
        for one in requests
        if not one.yes
    ]


def taken_rows(requests: Iterable[Request]) -> list[SimpleNamespace]:
    """Bends somebody said yes to, as rows of his coming days."""
    return [
        SimpleNamespace(
            when=dated(one.on),
            url=reverse("bend", args=[one.bend_id]),
            said=f"Heavy bend of {one.accession}: you help",
            site=f"{_clock(one.starts)} to {_clock(one.ends)}" if one.starts and one.ends else "",
            mine="",
        )
        for one in requests
        if one.yes
    ]


def _clock(value: object) -> str:
    return f"{value:%H:%M}".removeprefix("0")
