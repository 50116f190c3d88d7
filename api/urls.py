"""Addresses of the API."""

from __future__ import annotations

from django.urls import path

from api import estimates

urlpatterns = [path("estimates", estimates.Estimates.as_view(), name="api-estimates")]
