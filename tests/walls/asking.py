"""Reading the table of walls: finding its cells, filling them in, asking, and seeing what was written."""

from __future__ import annotations

import hashlib
import importlib
import json
import pkgutil
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from types import ModuleType
from typing import Any

from django.apps import apps
from django.conf import settings
from django.core.cache import cache
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection, transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import URLPattern, get_resolver

from collection.models.reference import ReferenceRow
from tests.walls.cells import Cell, Write
from tests.walls.rows import Rows

BRACES = re.compile(r"\{(=?)(\w+)\}")
GONE = 999_999_999
# Sessions come and go with every request, and so do the answers kept for a request key: what matters is the
# row that was written beside them.
UNWATCHED = {"django_session", "collection_requestkey"}
# The number of a request and the form token differ from one request to the next, whatever was asked.
RANDOM_HEADERS = {"X-Request-ID"}
RANDOM_COOKIES = {settings.CSRF_COOKIE_NAME, settings.SESSION_COOKIE_NAME}
TOKEN = re.compile(rb'(csrfmiddlewaretoken" value=")[^"]*')


def modules() -> Iterator[ModuleType]:
    """Every module of this folder that may hold cells or rows, by name."""
    for found in sorted(pkgutil.iter_modules([str(Path(__file__).parent)]), key=lambda m: m.name):
        if not found.name.startswith(("test_", "conftest")):
            yield importlib.import_module(f"tests.walls.{found.name}")


def cells() -> list[Cell]:
    """All cells, each with the name of its module; those of one name are numbered."""
    found: list[Cell] = []
    for module in modules():
        for cell in getattr(module, "CELLS", []):
            same = sum(other.name == cell.name for other in found)
            found.append(replace(cell, module=module.__name__.rsplit(".", 1)[1], number=same))
    return found


def addresses(patterns: Any = None, before: str = "", space: str = "") -> Iterator[tuple[str, str]]:
    """(name, route) of every address the service has; one without a name goes by its route."""
    for pattern in get_resolver().url_patterns if patterns is None else patterns:
        route = before + str(pattern.pattern)
        if isinstance(pattern, URLPattern):
            yield (space + pattern.name if pattern.name else route), route
        else:
            inner = f"{space}{pattern.namespace}:" if pattern.namespace else space
            yield from addresses(pattern.url_patterns, route, inner)


@dataclass
class Fill:
    """Puts ids and words into a cell's braces; the id at place ``swap`` is another's."""

    rows: Rows
    me: int | None = None
    swap: int = -1
    value: Any = None
    seen: int = 0

    def text(self, template: str) -> str:
        return BRACES.sub(lambda found: str(self._one(found[1] == "=", found[2])), template)

    def any(self, template: Any) -> Any:
        """The template with its braces filled; in JSON a lone id stays a number."""
        if isinstance(template, Mapping):
            return {name: self.any(part) for name, part in template.items()}
        if isinstance(template, list):
            return [self.any(part) for part in template]
        if not isinstance(template, str):
            return template
        alone = BRACES.fullmatch(template)
        return self._one(alone[1] == "=", alone[2]) if alone else self.text(template)

    def _one(self, word: bool, name: str) -> Any:
        if word:
            return self.rows.words[name]
        self.seen += 1
        if self.seen - 1 == self.swap:
            return self.value
        return self.me if name == "me" else self.rows.ids[name]


@dataclass(frozen=True)
class Way:
    """One way to ask at a cell: a method, with or without a body."""

    cell: Cell
    method: str
    write: Write | None = None
    number: int = 0

    @property
    def label(self) -> str:
        return f"{self.cell.label}-{self.method.lower()}{self.number or ''}"

    def ids(self) -> list[str]:
        """Names of the ids in path, query and body, in the order in which they are filled."""
        text = json.dumps(
            [self.cell.path, self.cell.query, self.write.body if self.write else None], default=str
        )
        return [name for word, name in BRACES.findall(text) if not word]

    def ask(self, browser: Client, fill: Fill, *, empty: bool = False) -> HttpResponse:
        address = fill.text(self.cell.path)
        if self.cell.query:
            address += "?" + fill.text(self.cell.query)
        if self.write is None or self.method in ("GET", "HEAD", "OPTIONS"):
            return browser.generic(self.method, address)
        body = {} if empty else fill.any(dict(self.write.body or {}))
        if self.cell.api:
            headers = {"Idempotency-Key": "walls-request"}
            if self.write.match:
                headers["If-Match"] = f'"{fill.text(self.write.match)}"'
            said = json.dumps(body)
            return browser.generic(
                self.method, address, said, content_type="application/json", headers=headers
            )
        files = {k: SimpleUploadedFile(v[0], v[1].encode()) for k, v in body.items() if isinstance(v, tuple)}
        return browser.post(address, body | files)


def ways(methods: tuple[str, ...]) -> list[Way]:
    """Every way to ask at every cell by the methods that it serves."""
    found = []
    for cell in cells():
        for method in methods:
            if cell.reads(method) is not None:
                found.append(Way(cell, method))
            found += [Way(cell, method, write, n) for n, write in enumerate(cell.writes(method))]
    return found


@contextmanager
def taken_back() -> Iterator[None]:
    """Whatever happens inside is undone, and tries are counted from nought again."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)
    cache.clear()


def shape(answer: HttpResponse) -> tuple[Any, ...]:
    """All that a person can tell two answers apart by: status, headers, cookies, every byte."""
    headers = {k: v for k, v in answer.headers.items() if k not in RANDOM_HEADERS}
    cookies = {k: v.value for k, v in answer.cookies.items() if k not in RANDOM_COOKIES}
    return answer.status_code, headers, cookies, TOKEN.sub(rb"\1", answer.content)


def alike(answer: HttpResponse, *echoes: Any) -> tuple[Any, ...]:
    """The shape with the values that were asked for put alike where a form gives back what was typed."""
    status, headers, cookies, content = shape(answer)
    for value in echoes:
        content = content.replace(f'"{value}"'.encode(), b'"?"')
    headers.pop("Content-Length", None)
    return status, headers, cookies, content


class Watch:
    """Sees whether a row changed since it was made; looks only at the tables that were written to."""

    WRITE = re.compile(r"(INSERT|UPDATE|DELETE|REPLACE|WITH)\b", re.IGNORECASE)
    TABLE = re.compile(r'(?:INSERT (?:OR \w+ )?INTO|UPDATE|DELETE FROM)\s+"(\w+)"', re.IGNORECASE)

    def __init__(self, clean: Mapping[str, str]) -> None:
        self.clean, self.written = clean, set[str]()

    def __call__(self, execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        if self.WRITE.match(sql.lstrip()):
            # A write whose table cannot be read from it may have changed any.
            self.written |= set(self.TABLE.findall(sql)) or set(self.clean)
        return execute(sql, params, many, context)

    @property
    def changed(self) -> bool:
        return any(table_digest(name) != self.clean[name] for name in self.written & set(self.clean))


@contextmanager
def watched(clean: Mapping[str, str]) -> Iterator[Watch]:
    """Whatever is written inside is seen, and undone; ``clean`` are the digests of the tables before."""
    watch = Watch(clean)
    with taken_back(), connection.execute_wrapper(watch):
        yield watch


def watched_tables() -> dict[str, str]:
    """What is read of each table that is watched; the long tables of the reference are only counted."""
    return {
        model._meta.db_table: "count(*)" if issubclass(model, ReferenceRow) else "*"
        for model in apps.get_models(include_auto_created=True)
        if model._meta.db_table not in UNWATCHED
    }


def table_digest(table: str) -> str:
    """A fingerprint of every row of a table."""
    with connection.cursor() as cursor:
        cursor.execute(f'SELECT {watched_tables()[table]} FROM "{table}" ORDER BY 1')
        return hashlib.sha256(repr(cursor.fetchall()).encode()).hexdigest()


def digests() -> dict[str, str]:
    """The fingerprint of each table."""
    return {table: table_digest(table) for table in watched_tables()}
