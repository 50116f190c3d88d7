"""Refusals as problem details (RFC 9457): a stable code, a sentence, the field it is about."""

from __future__ import annotations

from typing import Any

from rest_framework import exceptions
from rest_framework.response import Response
from rest_framework.views import exception_handler

from collection.queries.errors import Refused
from collection.queries.sentences import say

STATUS = {"not_found": 404, "forbidden": 403, "invalid": 400, "stale": 409, "conflict": 409}
TITLES = {
    400: "This cannot be read",
    401: "Sign in first",
    403: "Not allowed",
    404: "Nothing here",
    405: "Not done this way",
    409: "Something is in the way",
    415: "Send JSON",
    429: "Too often",
}


def handler(error: Exception, context: dict[str, Any]) -> Response | None:
    """Every refusal in one shape; an unexpected error is left to the server."""
    if isinstance(error, Refused):
        return problem(STATUS[error.kind], error.reason.code, say(error.reason), error.field)
    if isinstance(error, exceptions.ValidationError):
        field, sentence = _first(error.detail)
        return problem(400, "field_wrong" if field else "wrong_input", sentence, field)
    answer = exception_handler(error, context)
    if answer is None:
        return None
    code = getattr(error, "default_code", "refused")
    shown = problem(answer.status_code, str(code), str(getattr(error, "detail", "")))
    for name in ("WWW-Authenticate", "Retry-After", "Allow"):
        if name in answer.headers:
            shown.headers[name] = answer.headers[name]
    return shown


def problem(status: int, code: str, sentence: str, field: str = "") -> Response:
    """A problem details answer."""
    body = {
        "type": "about:blank",
        "title": TITLES.get(status, "Refused"),
        "status": status,
        "detail": sentence,
        "code": code,
    }
    if field:
        body["field"] = field
    return Response(body, status=status, content_type="application/problem+json")


def _first(detail: Any, field: str = "") -> tuple[str, str]:
    """The first fault with the name of its field."""
    if isinstance(detail, dict):
        name, inner = next(iter(detail.items()))
        return _first(inner, "" if name == "non_field_errors" else str(name))
    if isinstance(detail, list):
        return _first(detail[0], field) if detail else (field, "")
    return field, str(detail)
