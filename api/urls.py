"""Addresses of the API."""

from __future__ import annotations

from typing import Any

from django.urls import path, register_converter

from api import estimates, index, me, schema
from api.operations import Noun


class IdConverter:
    """A row's id, no larger than every database keeps."""

    regex = "[1-9][0-9]{0,14}"

    def to_python(self, value: str) -> int:
        return int(value)

    def to_url(self, value: Any) -> str:
        return str(value)


class WordConverter:
    """A key that is a word."""

    regex = r"[A-Za-z0-9_~.\-]{1,80}"

    def to_python(self, value: str) -> str:
        return value

    def to_url(self, value: Any) -> str:
        return str(value)


register_converter(IdConverter, "id")
register_converter(WordConverter, "word")


def at(route: str, view: type[Noun], name: str) -> Any:
    """An address of a noun; its name says that it is the API's."""
    return path(route, view.as_view(), name=f"api-{name}")


urlpatterns = [
    path("", index.index, name="api"),
    path("schema", schema.Document.as_view(), name="api-schema"),
    path("schema.yaml", schema.Document.as_view(renderer_classes=[schema.AsYaml]), name="api-schema-yaml"),
    at("me", me.Me, "me"),
    at("estimates", estimates.Estimates, "estimates"),
]
