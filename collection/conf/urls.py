"""Addresses."""

from __future__ import annotations

from django.urls import include, path

urlpatterns = [
    path("api/v1/", include("api.urls")),
    path("", include("collection.web.urls")),
]

# What the sign-in library answers when its limits are reached.
handler429 = "collection.web.views.door.too_many"
handler400 = "collection.conf.errors.bad_request"
handler403 = "collection.conf.errors.forbidden"
handler404 = "collection.conf.errors.not_found"
handler500 = "collection.conf.errors.server_error"
