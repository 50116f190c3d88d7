"""What a write says in its headers: its own key, and the version it was written against."""

from __future__ import annotations

import hashlib
import json
import re

from rest_framework.request import Request

from collection.queries.errors import Refused

KEY = r"^[A-Za-z0-9._:-]{8,64}$"
TAG = r'^"(0|[1-9][0-9]{0,8})"$'


def request_key(request: Request, *, needed: bool) -> str:
    """The Idempotency-Key, bare or in quotes; "" when there is none and none is needed.

    Raises:
        Refused: ``request_key_missing`` or ``request_key_unreadable``.
    """
    sent: str | None = request.headers.get("Idempotency-Key")
    if sent is None:
        if needed:
            raise Refused("request_key_missing")
        return ""
    key = sent[1:-1] if len(sent) > 1 and sent[0] == sent[-1] == '"' else sent
    if not re.fullmatch(KEY, key, re.ASCII):
        raise Refused("request_key_unreadable")
    return key


def digest_of(request: Request) -> str:
    """A digest of method, path and body: what makes two requests the same."""
    data = json.dumps(request.data, sort_keys=True, separators=(",", ":"))
    version = request.headers.get("If-Match", "")
    text = "\n".join((request.method or "", request.get_full_path(), version, data))
    return hashlib.sha256(text.encode()).hexdigest()


def seen_version(request: Request) -> int:
    """The version in If-Match.

    Raises:
        Refused: ``version_needed`` without one; ``*`` names none, so it counts as without.
            ``version_unreadable`` for anything that is not one tag of ours.
    """
    sent = request.headers.get("If-Match", "").strip()
    if sent in ("", "*"):
        raise Refused("version_needed")
    if not re.fullmatch(TAG, sent, re.ASCII):
        raise Refused("version_unreadable")
    return int(sent.strip('"'))


def tag_of(version: int) -> str:
    """A version as an ETag."""
    return f'"{version}"'
