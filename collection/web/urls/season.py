"""Addresses of the season, the programme, estimates and numbers."""

from __future__ import annotations

from django.urls import path

from collection.web.views import evidence, numbers, programme, rounds, season

urlpatterns = [
    path("", season.home, name="home"),
    path("season", season.season_view, name="season"),
    path("season/again", season.season_again, name="season-again"),
    path("season/state", season.season_state, name="season-state"),
    path("programme", programme.all_rows, name="programme"),
    path("programme/<str:key>", programme.one_row, name="programme-row"),
    path("rounds", rounds.rounds_view, name="rounds"),
    path("rounds/<int:round_id>", rounds.round_view, name="round"),
    path("programme/<str:key>/back", programme.put_back, name="programme-row-back"),
    path("estimate", numbers.estimate_view, name="estimate"),
    path("evidence", evidence.evidence_view, name="evidence"),
    path("numbers/<slug:kind>/<str:key>", numbers.number_view, name="number"),
]
