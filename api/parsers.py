"""Bodies as JSON, of a bounded length and depth."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rest_framework.exceptions import ParseError
from rest_framework.parsers import JSONParser

from collection.queries.errors import Refused

MOST_BYTES = 1_000_000


class Json(JSONParser):
    """Strict JSON: no NaN, at most a megabyte, nested no deeper than Python reads."""

    def parse(
        self, stream: Any, media_type: str | None = None, parser_context: Mapping[str, Any] | None = None
    ) -> Any:
        length = parser_context["request"].META.get("CONTENT_LENGTH") if parser_context else None
        if int(length or 0) > MOST_BYTES:
            raise Refused("body_too_long", most=MOST_BYTES)
        try:
            return super().parse(stream, media_type, parser_context)
        except RecursionError:
            raise ParseError from None
