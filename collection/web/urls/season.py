"""Addresses of the season, the programme, estimates and numbers."""

from __future__ import annotations

from django.urls import path

from collection.web.views import numbers, programme, season

urlpatterns = [
    path("", season.home, name="home"),
    path("season", season.season_view, name="season"),
    path("season/again", season.season_again, name="season-again"),
    path("programme", programme.all_rows, name="programme"),
    path("programme/<str:key>", programme.one_row, name="programme-row"),
    path("estimate", numbers.estimate_view, name="estimate"),
    path("numbers/<slug:kind>/<str:key>", numbers.number_view, name="number"),
]
