"""Addresses of the club's own settings, its sites and benches, its lists in and out, the first set-up."""

from __future__ import annotations

from django.urls import path

from collection.web.views import club, imports, start

urlpatterns = [
    path("club", club.club_view, name="club"),
    path("club/start", start.start_view, name="club-start"),
    path("club/download", start.download_view, name="download"),
    path("club/download/<slug:kind>", start.file_view, name="download-file"),
    path("club/sites", club.sites_view, name="sites"),
    path("club/sites/<int:site_id>", club.site_view, name="site"),
    path("club/sites/<int:site_id>/benches", club.new_bench, name="site-benches"),
    path("club/sites/<int:pk>/retire", club.button, {"name": "site-retire"}, name="site-retire"),
    path("club/sites/<int:pk>/back", club.button, {"name": "site-back"}, name="site-back"),
    path("club/benches/<int:bench_id>", club.bench_view, name="bench"),
    path("club/benches/<int:pk>/retire", club.button, {"name": "bench-retire"}, name="bench-retire"),
    path("club/benches/<int:pk>/back", club.button, {"name": "bench-back"}, name="bench-back"),
    path("import", imports.bring_view, name="imports"),
    path("import/<int:upload_id>", imports.upload_view, name="import"),
    path("import/<int:upload_id>/state", imports.state_view, name="import-state"),
    path("import/<int:upload_id>/drop", imports.drop, name="import-drop"),
    path("import/came-in/<int:accepted_id>/take-back", imports.undo_view, name="import-undo"),
]
