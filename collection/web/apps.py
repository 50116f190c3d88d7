"""Pages and their static files; no tables."""

from __future__ import annotations

from django.apps import AppConfig


class WebConfig(AppConfig):
    name = "collection.web"
    label = "web"

    def ready(self) -> None:
        from collection.web.forms.words import say_it_our_way

        say_it_our_way()
