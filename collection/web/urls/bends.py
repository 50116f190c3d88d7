"""Addresses of heavy bends, and of the places at them."""

from __future__ import annotations

from django.urls import path

from collection.web.views import bends, places

urlpatterns = [
    path("bends", bends.bends_view, name="bends"),
    path("bends/<int:bend_id>", bends.bend_view, name="bend"),
    path("trees/<int:tree_id>/bends/new", bends.new, name="bend-new"),
    path("bends/<int:bend_id>/sign", bends.sign, name="bend-sign"),
    path("bends/<int:bend_id>/refuse", bends.refuse, name="bend-refuse"),
    path("bends/<int:bend_id>/release", bends.release, name="bend-release"),
    path("bends/<int:bend_id>/lead", bends.lead, name="bend-lead"),
    path("bends/<int:bend_id>/ask", places.ask, name="bend-ask"),
    path("invitations/<int:invitation_id>/answer", places.answer, name="invitation-answer"),
    path("invitations/<int:invitation_id>/withdraw", places.withdraw, name="invitation-withdraw"),
    path("places/<int:place_id>/give-back", places.give_back, name="place-give-back"),
]
