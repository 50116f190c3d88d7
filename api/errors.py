"""Refusals as problem details (RFC 9457): a stable code, a sentence, and each faulty field by its pointer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from django.http import Http404
from django.utils.translation import gettext as _
from rest_framework import exceptions
from rest_framework.response import Response
from rest_framework.views import exception_handler

from collection.queries.errors import Refused, Stale
from collection.queries.sentences import say

STATUS = {"not_found": 404, "forbidden": 403, "invalid": 400, "stale": 409, "conflict": 409}
TYPE = "application/problem+json"
# Where the codes are listed for people.
ABOUT = "/api/v1/#"
# Refusals with a status of their own, whatever their kind.
OWN_STATUS = {
    "request_key_used": 422,
    "version_needed": 428,
    "body_too_long": 413,
}
TITLES = {
    400: "This cannot be read",
    401: "Sign in first",
    403: "Not allowed",
    404: "Nothing here",
    405: "Not done this way",
    406: "Not to be had in that form",
    409: "Something is in the way",
    412: "It has changed meanwhile",
    413: "Too long",
    415: "Send JSON",
    422: "This key was used for something else",
    428: "Say which version you saw",
    429: "Too often",
    500: "Something broke here",
}
# What the framework refuses, under our codes and in our words.
FRAMEWORK = {
    "parse_error": lambda: _("The body is not JSON. Look at its commas, quotes and brackets."),
    "not_authenticated": lambda: _("Sign in, or send a key for programs as Authorization: Bearer."),
    "authentication_failed": lambda: _("This key is not known or has run out. Make a new one."),
    "permission_denied": lambda: _("This came without the token of a page of ours. Send a key for programs."),
    "not_found": lambda: _("There is nothing at this address."),
    "method_not_allowed": lambda: _("This address does not take that method. Allow names those it takes."),
    "not_acceptable": lambda: _("Answers come as JSON. Accept application/json."),
    "unsupported_media_type": lambda: _("Send the body as application/json."),
    "throttled": lambda: _("Too many requests. Wait as long as Retry-After says."),
}


def handler(error: Exception, context: Mapping[str, Any]) -> Response | None:
    """Every refusal in one shape; an unexpected error is left to the server."""
    if isinstance(error, Refused):
        return _refused(error, context)
    if isinstance(error, exceptions.ValidationError):
        return _faults(error)
    answer = exception_handler(error, context)
    if answer is None:
        return None
    code = "not_found" if isinstance(error, Http404) else str(getattr(error, "default_code", "refused"))
    said = FRAMEWORK.get(code)
    shown = problem(answer.status_code, code, said() if said else str(getattr(error, "detail", "")))
    for name in ("WWW-Authenticate", "Retry-After", "Allow"):
        if name in answer.headers:
            shown.headers[name] = answer.headers[name]
    return shown


def _refused(error: Refused, context: Mapping[str, Any]) -> Response:
    status = OWN_STATUS.get(error.reason.code, STATUS[error.kind])
    request = context.get("request")
    if error.kind == "stale" and request is not None and "If-Match" in request.headers:
        status = 412
    pointers = [(_pointer(error.field.split(".")), say(error.reason))] if error.field else []
    shown = problem(status, error.reason.code, say(error.reason), error.field, pointers)
    if isinstance(error, Stale):
        shown.data["version"] = error.now
    if error.reason.code == "request_running":
        shown.headers["Retry-After"] = "1"
    return shown


def _faults(error: exceptions.ValidationError) -> Response:
    found = list(_each(error.detail))
    path, sentence = found[0]
    code = "field_wrong" if path else "wrong_input"
    pointers = [(_pointer(parts), said) for parts, said in found if parts]
    return problem(400, code, sentence, ".".join(path), pointers)


def problem(
    status: int, code: str, sentence: str, field: str = "", errors: Sequence[tuple[str, str]] = ()
) -> Response:
    """A problem details answer; ``errors`` are (JSON pointer, sentence)."""
    return Response(problem_body(status, code, sentence, field, errors), status=status, content_type=TYPE)


def problem_body(
    status: int, code: str, sentence: str, field: str = "", errors: Sequence[tuple[str, str]] = ()
) -> dict[str, Any]:
    """The members of a problem; ``field`` and ``errors`` only where it is about fields."""
    body: dict[str, Any] = {
        "type": f"{ABOUT}{code}",
        "title": TITLES.get(status, "Refused"),
        "status": status,
        "detail": sentence,
        "code": code,
    }
    if field:
        body["field"] = field
    if errors:
        body["errors"] = [{"pointer": pointer, "detail": said} for pointer, said in errors]
    return body


def _each(detail: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], str]]:
    """Every fault with the path of its field."""
    if isinstance(detail, Mapping):
        for name, inner in detail.items():
            yield from _each(inner, path if name == "non_field_errors" else (*path, str(name)))
    elif isinstance(detail, list):
        for place, inner in enumerate(detail):
            deeper = isinstance(inner, (Mapping, list))
            yield from _each(inner, (*path, str(place)) if deeper else path)
    else:
        yield path, str(detail)


def _pointer(parts: Sequence[str]) -> str:
    """A JSON pointer as a fragment (RFC 6901)."""
    return "#" + "".join("/" + part.replace("~", "~0").replace("/", "~1") for part in parts)
