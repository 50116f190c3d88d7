"""Addresses of the club's own settings, its sites and benches."""

from __future__ import annotations

from django.urls import path

from collection.web.views import club

urlpatterns = [
    path("club", club.club_view, name="club"),
    path("club/sites", club.sites_view, name="sites"),
    path("club/sites/<int:site_id>", club.site_view, name="site"),
    path("club/sites/<int:site_id>/benches", club.new_bench, name="site-benches"),
    path("club/sites/<int:site_id>/retire", club.retire_site, name="site-retire"),
    path("club/sites/<int:site_id>/back", club.site_back, name="site-back"),
    path("club/benches/<int:bench_id>", club.bench_view, name="bench"),
    path("club/benches/<int:bench_id>/retire", club.retire_bench, name="bench-retire"),
    path("club/benches/<int:bench_id>/back", club.bench_back, name="bench-back"),
]
