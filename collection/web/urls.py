"""Addresses of the pages."""

from __future__ import annotations

from django.urls import path

from collection.web.views import health

urlpatterns = [
    path("healthz", health.healthz, name="healthz"),
    path("readyz", health.readyz, name="readyz"),
]
