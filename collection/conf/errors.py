"""What goes wrong outside every view: a problem for a program, a page for a person."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils.translation import gettext as _
from django.views import defaults

from api.errors import FRAMEWORK, TYPE, problem_body

SENTENCES: dict[int, tuple[str, Callable[[], str]]] = {
    400: ("request_refused", lambda: _("This request cannot be read. Look at its address and headers.")),
    403: ("permission_denied", FRAMEWORK["permission_denied"]),
    404: ("not_found", FRAMEWORK["not_found"]),
    500: ("server_error", lambda: _("Something broke on our side. Ask again later.")),
}


def _asks_api(request: HttpRequest) -> bool:
    return request.path.startswith("/api/")


def _problem(status: int) -> HttpResponse:
    code, said = SENTENCES[status]
    return JsonResponse(problem_body(status, code, said()), status=status, content_type=TYPE)


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Headers or an address that no view may see."""
    return _problem(400) if _asks_api(request) else defaults.bad_request(request, exception)


def forbidden(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Refused before any view."""
    return _problem(403) if _asks_api(request) else defaults.permission_denied(request, exception)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """No such address."""
    return _problem(404) if _asks_api(request) else defaults.page_not_found(request, exception)


def server_error(request: HttpRequest, *_: Any) -> HttpResponse:
    """An error nobody expected; the log says where."""
    return _problem(500) if _asks_api(request) else defaults.server_error(request)
