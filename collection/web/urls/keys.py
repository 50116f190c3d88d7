"""Addresses of a person's keys for programs."""

from __future__ import annotations

from django.urls import path

from collection.web.views import keys

urlpatterns = [
    path("you/keys", keys.keys_view, name="keys"),
    path("you/keys/<int:key_id>/take-back", keys.take_back, name="key-take-back"),
]
