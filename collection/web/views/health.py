"""Health pages for whoever watches the service: no sign-in, nothing about any club."""

from __future__ import annotations

from dataclasses import asdict

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from collection.queries.health import health


@never_cache
@require_safe
def healthz(request: HttpRequest) -> HttpResponse:
    """The process runs."""
    return _answer(request, {"ok": True}, status=200)


@never_cache
@require_safe
def readyz(request: HttpRequest) -> HttpResponse:
    """The process can serve people: 200 when it can, 503 when it cannot."""
    found = health(now=timezone.now())
    return _answer(request, {"ok": found.ready} | asdict(found), status=200 if found.ready else 503)


def _answer(request: HttpRequest, values: dict[str, object], *, status: int) -> HttpResponse:
    if request.get_preferred_type(["application/json", "text/plain"]) == "text/plain":
        lines = [f"{name}: {_plain(value)}" for name, value in values.items()]
        return HttpResponse("\n".join(lines) + "\n", content_type="text/plain; charset=utf-8", status=status)
    return JsonResponse(values, status=status)


def _plain(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "none" if value is None else str(value)
