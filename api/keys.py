"""Signing in with a key for programs: ``Authorization: Bearer teire_...``."""

from __future__ import annotations

from typing import Any

from knox.auth import TokenAuthentication
from rest_framework import exceptions

from collection.queries.clock import today_in
from collection.queries.program_keys import KeyHolder, holder_of
from collection.usecases.program_keys import used


class KeyAuthentication(TokenAuthentication):
    """The account a key belongs to; ``request.auth`` says in which club and what it may."""

    def authenticate_credentials(self, token: bytes) -> tuple[Any, KeyHolder]:
        try:
            account, row = super().authenticate_credentials(token)
        except UnicodeDecodeError:
            raise exceptions.AuthenticationFailed from None
        holder = holder_of(row.digest)
        if holder is None:
            raise exceptions.AuthenticationFailed
        today = today_in("UTC")
        if holder.last_used_on != today:
            used(key_id=holder.id, today=today)
        return account, holder
