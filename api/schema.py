"""The OpenAPI 3.1 document, made from the marks of the operations, and the address that serves it."""

from __future__ import annotations

import re
from functools import cache
from typing import Any, ClassVar

from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.openapi import AutoSchema
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse
from rest_framework import serializers
from rest_framework.negotiation import DefaultContentNegotiation
from rest_framework.renderers import BaseRenderer
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from api import headers
from api.codes import refusals
from api.errors import OWN_STATUS, STATUS, TITLES, TYPE
from api.fields import BIGGEST_ID
from api.operations import Operation, shape_of
from api.words import DECLARED, FAMILY, NUMBER_KINDS

SECURITY = {
    "key": {"type": "http", "scheme": "bearer", "description": "A key for programs, from /you/keys."},
    "page": {"type": "apiKey", "in": "cookie", "name": "sessionid", "description": "A signed-in browser."},
}
PATH_PARTS = {
    "id": {"type": "integer", "minimum": 1, "maximum": BIGGEST_ID},
    "word": {"type": "string", "pattern": r"^[A-Za-z0-9_~.-]{1,80}$"},
    "family": {"type": "string", "enum": list(FAMILY)},
    "declared": {"type": "string", "enum": list(DECLARED)},
    "number": {"type": "string", "enum": list(NUMBER_KINDS)},
}
ALWAYS = {
    400: {"parameter_unknown", "parameter_twice"},
    401: {"not_authenticated", "authentication_failed"},
    403: {"not_a_member"},
    406: {"not_acceptable"},
    429: {"throttled"},
}


# Reading a body at all.
BODY = {400: {"parse_error"}, 413: {"body_too_long"}, 415: {"unsupported_media_type"}}
# A request key: two requests are the same by their bodies, so a body is read even where none is asked for.
KEYED = BODY | {
    400: {"parse_error", "request_key_unreadable"},
    409: {"request_running"},
    422: {"request_key_used"},
}
EDITED = {400: {"version_unreadable"}, 412: {"stale"}, 428: {"version_needed"}}


def codes_of(operation: Operation, method: Any, *, named: bool) -> dict[int, set[str]]:
    """Every refusal of an operation, by status."""
    body = operation.body is not None
    parts: list[tuple[bool, dict[int, set[str]]]] = [
        (True, ALWAYS),
        (shape_of(operation) is not None, {400: {"field_wrong"}}),
        (operation.paged, {400: {"cursor_unreadable"}}),
        (named, {404: {"not_found"}}),
        (body, BODY | {400: {"parse_error", "field_wrong", "wrong_input"}}),
        (body or operation.writes, {403: {"permission_denied"}}),
        (operation.writes, {403: {"key_reads_only"}}),
        (bool(operation.key), KEYED),
        (operation.key == "needed", {400: {"request_key_missing"}}),
        (operation.edits, EDITED),
    ]
    found: dict[int, set[str]] = {}
    for holds, codes in parts:
        for status, some in codes.items() if holds else ():
            found.setdefault(status, set()).update(some)
    for code, kind in refusals(method):
        status = OWN_STATUS.get(code, STATUS[kind])
        found.setdefault(412 if kind == "stale" and operation.edits else status, set()).add(code)
    return found


def problem_schema(status: int, codes: set[str]) -> dict[str, Any]:
    """A problem of one status with the codes it may have."""
    now = {"type": "integer", "description": "The version that is there; read it, then choose."}
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["type", "title", "status", "detail", "code"],
        "properties": {
            "type": {"type": "string", "format": "uri-reference"},
            "title": {"const": TITLES[status]},
            "status": {"const": status},
            "detail": {"type": "string", "description": "A sentence for a person."},
            "code": {"type": "string", "enum": sorted(codes), "description": "Stable; sentences may change."},
            "field": {"type": "string", "description": "The first faulty field, with dots."},
            "errors": {"type": "array", "items": {"$ref": "#/components/schemas/Fault"}},
        }
        | ({"version": now} if "stale" in codes else {}),
    }


# Statuses whose codes are the same wherever they occur are described once.
SAME = {
    401: {"not_authenticated", "authentication_failed"},
    406: {"not_acceptable"},
    412: {"stale"},
    413: {"body_too_long"},
    415: {"unsupported_media_type"},
    422: {"request_key_used"},
    428: {"version_needed"},
    429: {"throttled"},
}


def _problem_of(status: int, codes: set[str]) -> dict[str, Any]:
    if SAME.get(status) == codes:
        return {"$ref": f"#/components/schemas/Problem{status}"}
    return problem_schema(status, codes)


FAULT = {
    "type": "object",
    "additionalProperties": False,
    "required": ["pointer", "detail"],
    "properties": {
        "pointer": {"type": "string", "description": "JSON pointer (RFC 6901) into the body or the query."},
        "detail": {"type": "string"},
    },
}


class Exact(AutoSchema):
    """Writes down what ``operations`` serves, and nothing else."""

    @property
    def method_marked(self) -> Any:
        return getattr(self.view, self.method.lower())

    @property
    def operation(self) -> Operation:
        found: Operation = self.method_marked.operation
        return found

    def get_operation_id(self) -> str:
        noun = re.sub(r"(?<=[a-z])(?=[A-Z])", "_", type(self.view).__name__).lower()
        return f"{noun}_{self.method.lower()}"

    def get_tags(self) -> list[str]:
        return [self.view.noun]

    def get_summary(self) -> str:
        return (self.method_marked.__doc__ or "").strip().splitlines()[0]

    def get_description(self) -> str:
        return ""

    def get_auth(self) -> list[dict[str, list[str]]]:
        return [{name: []} for name in SECURITY]

    def get_request_serializer(self) -> Any:
        return self.operation.body

    def get_override_parameters(self) -> list[Any]:
        operation = self.operation
        found: list[Any] = list(self._in_path())
        shape = shape_of(operation)
        if shape is not None:
            found.append(shape)
        if operation.key:
            found.append(
                OpenApiParameter(
                    "Idempotency-Key",
                    {"type": "string", "pattern": headers.KEY},
                    OpenApiParameter.HEADER,
                    required=operation.key == "needed",
                    description="Yours, new for each write. The same again gets the same answer for a day.",
                )
            )
        if operation.edits:
            found.append(
                OpenApiParameter(
                    "If-Match",
                    {"type": "string", "pattern": headers.TAG},
                    OpenApiParameter.HEADER,
                    required=True,
                    description="The ETag of the row as you read it.",
                )
            )
        return found + self._in_answer()

    def _in_path(self) -> Any:
        for converter, name in re.findall(r"<(\w+):(\w+)>", self.path_regex):
            yield OpenApiParameter(name, PATH_PARTS[converter], OpenApiParameter.PATH, required=True)

    def _in_answer(self) -> list[Any]:
        operation, found = self.operation, []
        status = [operation.status]
        answer = operation.answer
        if answer is not None and "version" in answer._declared_fields and not operation.paged:
            tag = {"type": "string", "pattern": headers.TAG}
            found.append(
                OpenApiParameter("ETag", tag, "header", response=status, description="The row's version.")
            )
        if operation.at:
            found.append(
                OpenApiParameter("Location", {"type": "string"}, "header", required=True, response=status)
            )
        return found

    def get_response_serializers(self) -> Any:
        operation = self.operation
        found: dict[Any, Any] = {}
        if operation.paged:
            found[200, "application/json"] = OpenApiResponse(self._page(), "One piece of the list.")
        elif operation.answer is None:
            found[operation.status] = OpenApiResponse(None, "Done.")
        else:
            found[operation.status, "application/json"] = OpenApiResponse(operation.answer, "As it is now.")
        codes = codes_of(operation, self.method_marked.__wrapped__, named="{" in self.path)
        for status in sorted(codes):
            found[status, TYPE] = OpenApiResponse(_problem_of(status, codes[status]), TITLES[status])
        return found

    def _page(self) -> dict[str, Any]:
        row = self.resolve_serializer(self.operation.answer, "response").ref
        return {
            "type": "object",
            "additionalProperties": False,
            "required": ["items", "next"],
            "properties": {
                "items": {"type": "array", "items": row, "maxItems": 200},
                "next": {
                    "type": ["string", "null"],
                    "description": "The cursor to go on with; null at the end.",
                },
            },
        }

    def _is_list_view(self, serializer: Any = None) -> bool:
        return False

    def _map_serializer_field(self, field: Any, direction: str, bypass_extensions: bool = False) -> Any:
        schema = super()._map_serializer_field(field, direction, bypass_extensions)
        if isinstance(field, serializers.ListField) and isinstance(schema, dict):
            for name, value in (("minItems", field.min_length), ("maxItems", field.max_length)):
                if value is not None:
                    schema[name] = value
        return schema


def closed(result: dict[str, Any], generator: Any, request: Any, public: bool) -> dict[str, Any]:
    """Every object says all it may hold; the parts all operations share are added."""
    schemas = result.setdefault("components", {}).setdefault("schemas", {})
    for schema in schemas.values():
        if schema.get("type") == "object":
            schema.setdefault("additionalProperties", False)
    schemas["Fault"] = FAULT
    schemas |= {f"Problem{status}": problem_schema(status, codes) for status, codes in SAME.items()}
    result["components"]["securitySchemes"] = SECURITY
    return result


@cache
def document() -> dict[str, Any]:
    """The document; worked out once in a process."""
    found: dict[str, Any] = SchemaGenerator().get_schema(request=None, public=True)
    return found


@cache
def written(form: str) -> bytes:
    """The document as JSON or YAML text; written once in a process."""
    from drf_spectacular.renderers import OpenApiJsonRenderer, OpenApiYamlRenderer

    kind = OpenApiYamlRenderer if form == "yaml" else OpenApiJsonRenderer
    text: bytes = kind().render(document(), renderer_context={})
    return text


class Written(BaseRenderer):
    """Gives the document as text."""

    charset = "utf-8"

    def render(self, data: Any, *_: Any) -> bytes:
        return written(self.format)


class AsJson(Written):
    """JSON, the usual form."""

    media_type, format = "application/json", "json"


class AsYaml(Written):
    """YAML, for ``Accept: application/yaml``."""

    media_type, format = "application/yaml", "yaml"


class Document(APIView):
    """This document; anybody may read it, it holds nothing of any club."""

    schema = None
    http_method_names: ClassVar[list[str]] = ["get", "head"]
    authentication_classes: ClassVar[list[Any]] = []
    permission_classes: ClassVar[list[Any]] = []
    renderer_classes: ClassVar[list[Any]] = [AsJson, AsYaml]
    content_negotiation_class = DefaultContentNegotiation

    def get(self, request: Request) -> Response:
        """The OpenAPI 3.1 document of this API."""
        return Response(document())
