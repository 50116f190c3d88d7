"""Where counts of tries are kept: in Redis, and in this process while Redis cannot be reached.

Nobody is kept from signing in because Redis is down; the limits then hold for each process by itself.
"""

from __future__ import annotations

import logging
from typing import Any

from django.core.cache.backends.locmem import LocMemCache
from django.core.cache.backends.redis import RedisCache
from redis.exceptions import RedisError

log = logging.getLogger("teire.cache")


class RedisOrHere(RedisCache):
    """Redis, or this process."""

    def __init__(self, server: str, params: dict[str, Any]) -> None:
        super().__init__(server, params)
        self._here = LocMemCache("redis-is-down", params)

    def _either(self, name: str, *args: Any, **kwargs: Any) -> Any:
        try:
            return getattr(super(), name)(*args, **kwargs)
        except (RedisError, OSError):
            log.warning("Redis cannot be reached; tries are counted in this process", exc_info=True)
            return getattr(self._here, name)(*args, **kwargs)

    def add(self, *args: Any, **kwargs: Any) -> Any:
        return self._either("add", *args, **kwargs)

    def get(self, *args: Any, **kwargs: Any) -> Any:
        return self._either("get", *args, **kwargs)

    def set(self, *args: Any, **kwargs: Any) -> Any:
        return self._either("set", *args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> Any:
        return self._either("delete", *args, **kwargs)

    def incr(self, *args: Any, **kwargs: Any) -> Any:
        return self._either("incr", *args, **kwargs)
