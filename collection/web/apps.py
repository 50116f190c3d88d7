"""Pages and their static files; no tables."""

from __future__ import annotations

from django.apps import AppConfig


class WebConfig(AppConfig):
    name = "collection.web"
    label = "web"
