"""Addresses of the way in, and of the health of the service."""

from __future__ import annotations

from django.contrib.auth import views as auth
from django.urls import path

from collection.web.views import health

urlpatterns = [
    path("sign-in", auth.LoginView.as_view(redirect_authenticated_user=True), name="sign-in"),
    path("sign-out", auth.LogoutView.as_view(), name="sign-out"),
    path("healthz", health.healthz, name="healthz"),
    path("readyz", health.readyz, name="readyz"),
]
