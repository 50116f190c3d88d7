"""Addresses of wire and guys on trees, and of wire on the rack."""

from __future__ import annotations

from django.urls import path

from collection.web.views import wire

urlpatterns = [
    path("wire", wire.wire_view, name="wire"),
    path("wire/stock", wire.stock_view, name="wire-stock"),
    path("wire/wires/<int:pk>", wire.one, {"guy": False}, name="wire-one"),
    path("wire/wires/<int:pk>/look", wire.look, {"guy": False}, name="wire-look"),
    path("wire/wires/<int:pk>/off", wire.off, {"guy": False}, name="wire-off"),
    path("wire/guys/<int:pk>", wire.one, {"guy": True}, name="guy-one"),
    path("wire/guys/<int:pk>/look", wire.look, {"guy": True}, name="guy-look"),
    path("wire/guys/<int:pk>/off", wire.off, {"guy": True}, name="guy-off"),
    path("trees/<int:tree_id>/wire", wire.needed, name="wire-needed"),
    path("days/<int:workday_id>/wire", wire.of_day, name="day-wire"),
    path("trees/<int:tree_id>/wire/new", wire.new, {"guy": False}, name="wire-new"),
    path("trees/<int:tree_id>/guys/new", wire.new, {"guy": True}, name="guy-new"),
]
