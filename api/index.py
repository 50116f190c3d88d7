"""The page for people at the head of the API."""

from __future__ import annotations

from dataclasses import dataclass
from types import SimpleNamespace
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from api.schema import document


@dataclass(frozen=True, slots=True)
class Row:
    """One operation as the page shows it."""

    method: str
    path: str
    does: str
    needs: str


@require_safe
def index(request: HttpRequest) -> HttpResponse:
    """Every noun with its operations, and every code a refusal may have."""
    nouns: dict[str, list[Row]] = {}
    codes: dict[str, set[str]] = {}
    for path, methods in document()["paths"].items():
        for method, operation in methods.items():
            nouns.setdefault(operation["tags"][0], []).append(_row(path, method, operation))
            for status, answer in operation["responses"].items():
                for code in _codes(answer):
                    codes.setdefault(code, set()).add(status)
    page = SimpleNamespace(
        title="For programs",
        nouns=[SimpleNamespace(title=name.capitalize(), rows=rows) for name, rows in nouns.items()],
        codes=[SimpleNamespace(code=code, statuses=", ".join(sorted(codes[code]))) for code in sorted(codes)],
    )
    return render(request, "api/index.html", {"page": page})


def _row(path: str, method: str, operation: dict[str, Any]) -> Row:
    headers = [
        p["name"] for p in operation.get("parameters", []) if p["in"] == "header" and p.get("required")
    ]
    return Row(method.upper(), path, operation["summary"], ", ".join(headers))


def _codes(answer: dict[str, Any]) -> list[str]:
    schema = answer.get("content", {}).get("application/problem+json", {}).get("schema", {})
    found: list[str] = schema.get("properties", {}).get("code", {}).get("enum", [])
    return found
