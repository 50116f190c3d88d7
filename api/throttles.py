"""How often somebody may ask: so many reads and so many writes a minute, for each account."""

from __future__ import annotations

import logging
from typing import Any

from django.conf import settings
from django.core.cache import caches
from django.utils.connection import ConnectionProxy
from redis.exceptions import RedisError
from rest_framework.request import Request
from rest_framework.throttling import SimpleRateThrottle

log = logging.getLogger("teire.api")
SAFE = ("GET", "HEAD", "OPTIONS")


class PerAccount(SimpleRateThrottle):
    """Counts in the shared cache; a cache that cannot be reached counts nothing."""

    cache = ConnectionProxy(caches, "asked")
    setting = ""
    safe = True

    def get_rate(self) -> str:
        return f"{getattr(settings, self.setting)}/minute"

    def get_cache_key(self, request: Request, view: Any) -> str | None:
        if (request.method in SAFE) is not self.safe:
            return None
        who = f"account:{request.user.pk}" if request.user else self.get_ident(request)
        return f"api:{self.setting}:{who}"

    def allow_request(self, request: Request, view: Any) -> bool:
        try:
            return bool(super().allow_request(request, view))
        except (OSError, RedisError):
            log.warning("the cache cannot be reached; requests are not counted")
            return True


class Reads(PerAccount):
    """Requests that only look."""

    setting, safe = "API_READS_A_MINUTE", True


class Writes(PerAccount):
    """Requests that change something."""

    setting, safe = "API_WRITES_A_MINUTE", False
