"""Addresses."""

from __future__ import annotations

from django.urls import include, path

urlpatterns = [
    path("api/v1/", include("api.urls")),
    path("", include("collection.web.urls")),
]
