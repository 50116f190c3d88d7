"""Addresses of the way in, and of the health of the service."""

from __future__ import annotations

from django.urls import path, re_path

from collection.web.views import door, health, welcome

urlpatterns = [
    path("sign-in", door.SignIn.as_view(), name="sign-in"),
    path("sign-out", door.SignOut.as_view(), name="sign-out"),
    path("password/forgotten", door.Forgotten.as_view(), name="password-forgotten"),
    path("password/sent", door.Sent.as_view(), name="password-sent"),
    re_path(
        r"^password/new/(?P<uidb36>[0-9A-Za-z]+)-(?P<key>[^/]+)$",
        door.NewPassword.as_view(),
        name="password-new",
    ),
    path("welcome/<str:secret>", welcome.welcome, name="welcome"),
    path("healthz", health.healthz, name="healthz"),
    path("readyz", health.readyz, name="readyz"),
]
