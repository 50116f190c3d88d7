"""Addresses of messages, and of the signed links in them."""

from __future__ import annotations

from django.urls import path

from collection.web.views import links, messages

urlpatterns = [
    path("messages", messages.own, name="messages"),
    path("messages/club", messages.whole_club, name="messages-club"),
    path("a/<str:token>", links.link, name="link"),
]
