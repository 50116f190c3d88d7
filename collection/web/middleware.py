"""What wraps every request: its number and its line in the log, and the headers of every answer."""

from __future__ import annotations

import logging
import re
import secrets
import time
from collections.abc import Callable
from contextvars import ContextVar

from django.core.signals import got_request_exception
from django.dispatch import receiver
from django.http import HttpRequest, HttpResponse

Answer = Callable[[HttpRequest], HttpResponse]

log = logging.getLogger("teire.request")
current_request_id: ContextVar[str] = ContextVar("current_request_id", default="")

# Everything comes from our own address. No inline script and no inline style, anywhere.
CONTENT_POLICY = "; ".join(
    (
        "default-src 'self'",
        "object-src 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
        "form-action 'self'",
    )
)
HEADERS = {
    "Content-Security-Policy": CONTENT_POLICY,
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
}
# A reset link or an invitation carries its secret as one long piece of the path.
SECRET_PIECE = re.compile(r"[A-Za-z0-9_=:.-]{20,}")
GIVEN_ID = re.compile(r"[A-Za-z0-9-]{8,64}")


class NoNul:
    """Leave out of a page's query what no text holds and one of the databases refuses: the character 0."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        query = request.META.get("QUERY_STRING", "")
        if "%00" in query and not request.path.startswith("/api/"):
            request.META["QUERY_STRING"] = query.replace("%00", "")
        return self.get_response(request)


class SecurityHeaders:
    """Put the same strict headers on every answer, also on errors and downloads."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        for name, value in HEADERS.items():
            response.headers[name] = value
        return response


class RequestId:
    """Number each request and write one line about it: which, what came of it, how long it took."""

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        number = given_id(request) or secrets.token_hex(8)
        token = current_request_id.set(number)
        began = time.monotonic()
        try:
            response = self.get_response(request)
            response.headers["X-Request-ID"] = number
            self.write(request, response, ms=round((time.monotonic() - began) * 1000))
        finally:
            current_request_id.reset(token)
        return response

    def write(self, request: HttpRequest, response: HttpResponse, *, ms: int) -> None:
        level = logging.ERROR if response.status_code >= 500 else logging.INFO
        log.log(
            level,
            "request",
            extra={
                "method": request.method,
                "path": shown_path(request.path),
                "status": response.status_code,
                "ms": ms,
                "club": getattr(getattr(request, "actor", None), "club_id", None),
            },
        )


@receiver(got_request_exception, dispatch_uid="teire.note_error")
def note_error(sender: object, request: HttpRequest | None = None, **_: object) -> None:
    """Say where an unexpected error came from, also one inside the error page itself."""
    path = shown_path(request.path) if request is not None else None
    log.error("error", exc_info=True, extra={"path": path})


class AddRequestId(logging.Filter):
    """Give every log line the number of the request it belongs to, and shorten the path Django puts in."""

    def filter(self, record: logging.LogRecord) -> bool:
        record.request_id = current_request_id.get() or None
        request = getattr(record, "request", None)
        if isinstance(request, HttpRequest):
            pieces = record.args if isinstance(record.args, tuple) else ()
            record.args = tuple(shown_path(p) if isinstance(p, str) and p[:1] == "/" else p for p in pieces)
        return True


def given_id(request: HttpRequest) -> str:
    """The number a proxy gave this request, "" when there is none or it is not a plain one."""
    given = request.headers.get("X-Request-ID", "")
    return given if GIVEN_ID.fullmatch(given) else ""


def shown_path(path: str) -> str:
    """The path for the log: no query, and no piece long enough to be a secret."""
    pieces = path.split("?", 1)[0].split("/")
    return "/".join("..." if SECRET_PIECE.fullmatch(piece) else piece for piece in pieces)
