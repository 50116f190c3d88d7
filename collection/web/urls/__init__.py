"""Addresses of the pages, a module for each word of the navigation."""

from __future__ import annotations

from collection.web.urls import bends, club, days, door, keys, messages, people, season, trees, wire

urlpatterns = [
    *door.urlpatterns,
    *season.urlpatterns,
    *club.urlpatterns,
    *trees.urlpatterns,
    *days.urlpatterns,
    *keys.urlpatterns,
    *people.urlpatterns,
    *bends.urlpatterns,
    *messages.urlpatterns,
    *wire.urlpatterns,
]
