"""One description of each operation, used twice: to serve it, and to write the OpenAPI document.

A view's method is marked ``reads`` or ``writes``. The mark says what comes in and what goes out; the method
itself only calls one query or one use case.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import wraps
from typing import Any

from django.urls import reverse
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from api import headers, paging
from api.fields import Body, Shown
from api.people import actor_for, may_write
from collection.queries.access import Actor
from collection.queries.clock import today_in
from collection.queries.errors import Refused
from collection.queries.people import club_facts
from collection.queries.slices import Slice, Wanted
from collection.usecases.request_keys import Kept, once

METHODS = ["get", "post", "put", "patch", "delete", "head"]


@dataclass(frozen=True, slots=True)
class Operation:
    """What comes in and what goes out.

    Attributes:
        answer: Shape of the answer, None for an answer without a body.
        body: Shape of the request's body.
        query: Shape of the query in the address.
        key: Whether an Idempotency-Key is "needed", "taken" or, "", of no use.
        edits: Whether If-Match is needed.
        at: Name of the address of what was made, for Location.
    """

    answer: type[Shown] | None
    status: int = 200
    body: type[Body] | None = None
    query: type[Body] | None = None
    paged: bool = False
    writes: bool = False
    key: str = ""
    edits: bool = False
    at: str = ""


@dataclass(frozen=True, slots=True)
class Asked:
    """A request whose person is known and whose parts have been read."""

    actor: Actor
    zone: str
    today: date
    body: dict[str, Any]
    query: dict[str, Any]
    wanted: Wanted
    version: int
    key: str


def own_key(asked: Asked) -> str:
    """The request's key as the record of work keeps it: the asker's own, 52 characters."""
    own = f"{asked.actor.member_id}:{asked.key}"
    return "api-" + hashlib.sha256(own.encode()).hexdigest()[:48]


class Noun(APIView):
    """The operations at one address; ``noun`` gathers them in the document."""

    noun = ""
    http_method_names = METHODS


def reads(
    answer: type[Shown], *, query: type[Body] | None = None, paged: bool = False
) -> Callable[[Callable[..., Any]], Callable[..., Response]]:
    """Mark a method that only looks; a paged one gets ``asked.wanted`` and returns a ``Slice``."""
    return _marked(Operation(answer, query=query, paged=paged))


def asks(answer: type[Shown], *, body: type[Body]) -> Callable[[Callable[..., Any]], Callable[..., Response]]:
    """Mark a POST that works something out and writes nothing."""
    return _marked(Operation(answer, body=body))


def makes(
    answer: type[Shown], *, body: type[Body] | None = None, at: str = "", status: int = 201
) -> Callable[[Callable[..., Any]], Callable[..., Response]]:
    """Mark a write that makes something: it needs an Idempotency-Key."""
    return _marked(Operation(answer, status, body, writes=True, key="needed", at=at))


def edits(
    answer: type[Shown] | None, *, body: type[Body] | None = None
) -> Callable[[Callable[..., Any]], Callable[..., Response]]:
    """Mark a write to a row that has a version: it needs If-Match."""
    status = 200 if answer else 204
    return _marked(Operation(answer, status, body, writes=True, key="taken", edits=True))


def sets(
    answer: type[Shown] | None, *, body: type[Body] | None = None, key: str = "taken", status: int = 200
) -> Callable[[Callable[..., Any]], Callable[..., Response]]:
    """Mark a write that may be done again without harm, to a row without a version.

    With ``key`` "" no transaction is held around it: for what takes long.
    """
    return _marked(Operation(answer, status if answer else 204, body, writes=True, key=key))


def _marked(operation: Operation) -> Callable[[Callable[..., Any]], Callable[..., Response]]:
    def mark(method: Callable[..., Any]) -> Callable[..., Response]:
        @wraps(method)
        def serve(view: Noun, request: Request, **named: Any) -> Response:
            asked = _read(operation, request)

            def work() -> Kept:
                return _shown(operation, request, asked, method(view, asked, **named))

            if not asked.key:
                return _response(work())
            digest = headers.digest_of(request)
            return _response(once(actor=asked.actor, key=asked.key, digest=digest, work=work))

        serve.operation = operation  # type: ignore[attr-defined]
        return serve

    return mark


def _read(operation: Operation, request: Request) -> Asked:
    """Everything a method needs, or the refusal that says what is wrong."""
    actor = actor_for(request)
    if operation.writes and not may_write(request):
        raise Refused("key_reads_only", kind="forbidden")
    key = headers.request_key(request, needed=operation.key == "needed") if operation.key else ""
    zone = club_facts(actor.club_id).zone
    query = _query(operation, request)
    piece = paging.wanted(request.path, query) if operation.paged else Wanted()
    version = headers.seen_version(request) if operation.edits else 0
    body: dict[str, Any] = {}
    if operation.body is not None:
        read = operation.body(data=request.data)
        read.is_valid(raise_exception=True)
        body = dict(read.validated_data)
    return Asked(actor, zone, today_in(zone), body, query, piece, version, key)


def _query(operation: Operation, request: Request) -> dict[str, Any]:
    sent = request.query_params
    known = shape_of(operation)
    for name in sent:
        if known is None or name not in known._declared_fields:
            raise Refused("parameter_unknown", field=name, name=name)
        if len(sent.getlist(name)) > 1:
            raise Refused("parameter_twice", field=name, name=name)
    if known is None:
        return {}
    read = known(data=sent.dict(), context={"query": True})
    read.is_valid(raise_exception=True)
    return dict(read.validated_data)


def shape_of(operation: Operation) -> type[Body] | None:
    """Everything the query of an address may hold, with limit and cursor for a list."""
    if not operation.paged:
        return operation.query
    bases = (paging.Paged,) if operation.query is None else (operation.query, paging.Paged)
    return type(f"{(operation.query or paging.Paged).__name__}Page", bases, {})


def _shown(operation: Operation, request: Request, asked: Asked, found: Any) -> Kept:
    if operation.answer is None:
        return Kept(operation.status, None)
    if operation.paged:
        assert isinstance(found, Slice)
        rows = operation.answer(found.rows, many=True).data
        return Kept(200, {"items": rows, "next": paging.next_of(request.path, asked.query, found)})
    body = operation.answer(found).data
    sent = {}
    if "version" in body:
        sent["ETag"] = headers.tag_of(body["version"])
    if operation.at:
        sent["Location"] = reverse(operation.at, args=[body["id"]])
    return Kept(operation.status, dict(body), sent)


def _response(kept: Kept) -> Response:
    sent = dict(kept.headers)
    if kept.again:
        sent["Idempotent-Replayed"] = "true"
    return Response(kept.body, status=kept.status, headers=sent)
