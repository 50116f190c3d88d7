"""Fields that take exactly what the document says: a number is no text, a day is YYYY-MM-DD, nothing unknown.

Bodies are ``Body``, answers are ``Shown``; both list every field by hand.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from copy import deepcopy
from datetime import date, datetime, time
from typing import Any

from django.utils.translation import gettext_lazy as _
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

# Ids stay inside what every language's numbers hold exactly.
BIGGEST_ID = 2**53 - 1
FIRST_DAY, LAST_DAY = date(1900, 1, 1), date(2199, 12, 31)
DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
MOMENT = re.compile(r"\d{4}-\d{2}-\d{2}[Tt]\d{2}:\d{2}:\d{2}(\.\d{1,6})?([Zz]|[+-]\d{2}:\d{2})", re.ASCII)
CLOCK = r"^([01][0-9]|2[0-3]):[0-5][0-9]$"
WHOLE = re.compile(r"-?\d{1,18}", re.ASCII)

NEEDED = {"required": _("This is missing. Add it."), "null": _("This may not be empty (null). Leave it out.")}


class Strict:
    """What every field here says when it is missing or null, and whether it came in an address."""

    default_error_messages = NEEDED

    def in_address(self) -> bool:
        """Whether the value came as text in the query of an address."""
        return bool(self.context.get("query"))  # type: ignore[attr-defined]


class Text(Strict, serializers.CharField):
    """Text, at most ``max_length`` characters; spaces at both ends are dropped."""

    default_error_messages = NEEDED | {
        "invalid": _("Write a text here."),
        "blank": _("Write something here."),
        "max_length": _("At most {max_length} characters fit here."),
        "min_length": _("At least {min_length} characters are needed here."),
    }

    def __init__(self, *, max_length: int = 200, **options: Any) -> None:
        super().__init__(max_length=max_length, **options)

    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str):
            self.fail("invalid")
        return str(super().to_internal_value(data))


class Whole(Strict, serializers.IntegerField):
    """A whole number."""

    default_error_messages = NEEDED | {
        "invalid": _("Write a whole number."),
        "max_value": _("At most {max_value}."),
        "min_value": _("At least {min_value}."),
    }

    def to_internal_value(self, data: Any) -> int:
        if self.in_address() and isinstance(data, str) and WHOLE.fullmatch(data):
            return int(data)
        if isinstance(data, bool) or not isinstance(data, (int, float)):
            self.fail("invalid")
        if isinstance(data, float) and not data.is_integer():
            self.fail("invalid")
        return int(data)


class Id(Whole):
    """The id of a row."""

    def __init__(self, **options: Any) -> None:
        super().__init__(min_value=1, max_value=BIGGEST_ID, **options)


class Number(Strict, serializers.FloatField):
    """A number, whole or not."""

    default_error_messages = Whole.default_error_messages | {"invalid": _("Write a number.")}

    def to_internal_value(self, data: Any) -> float:
        if isinstance(data, bool) or not isinstance(data, (int, float)) or not math.isfinite(data):
            self.fail("invalid")
        return float(data)


class YesNo(Strict, serializers.BooleanField):
    """True or false."""

    default_error_messages = NEEDED | {"invalid": _("Write true or false.")}

    def to_internal_value(self, data: Any) -> bool:
        if self.in_address() and data in ("true", "false"):
            return bool(data == "true")
        if not isinstance(data, bool):
            self.fail("invalid")
        return bool(data)


class Choice(Strict, serializers.ChoiceField):
    """One of a list of words."""

    default_error_messages = NEEDED | {"invalid_choice": _("Choose one of the words the document lists.")}

    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str):
            self.fail("invalid_choice", input=data)
        return str(super().to_internal_value(data))


class Day(Strict, serializers.DateField):
    """A day as YYYY-MM-DD, from 1900 to 2199."""

    default_error_messages = NEEDED | {
        "invalid": _("Write a day like 2027-03-06, from 1900 to 2199."),
        "datetime": _("Write a day without a time, like 2027-03-06."),
    }

    def to_internal_value(self, value: Any) -> date:
        if not isinstance(value, str) or not DAY.fullmatch(value):
            self.fail("invalid", format="YYYY-MM-DD")
        found = super().to_internal_value(value)
        if not FIRST_DAY <= found <= LAST_DAY:
            self.fail("invalid", format="YYYY-MM-DD")
        return date(found.year, found.month, found.day)


class Moment(Strict, serializers.DateTimeField):
    """An instant with its offset, like 2027-03-06T09:30:00+00:00, from 1900 to 2199."""

    default_error_messages = NEEDED | {
        "invalid": _("Write an instant with its offset, like 2027-03-06T09:30:00Z."),
        "overflow": _("Write an instant from 1900 to 2199."),
    }

    def to_internal_value(self, value: Any) -> datetime:
        if not isinstance(value, str) or not MOMENT.fullmatch(value):
            self.fail("invalid", format="RFC 3339")
        found: datetime = super().to_internal_value(value.upper())
        if not FIRST_DAY.year < found.year < LAST_DAY.year:
            self.fail("overflow")
        return found


@extend_schema_field({"type": "string", "pattern": CLOCK, "example": "09:30"})
class Clock(Strict, serializers.TimeField):
    """A wall time as HH:MM."""

    default_error_messages = NEEDED | {"invalid": _("Write a time like 09:30.")}

    def to_internal_value(self, value: Any) -> time:
        if not isinstance(value, str) or not re.fullmatch(CLOCK, value) or value.endswith("\n"):
            self.fail("invalid", format="HH:MM")
        return time.fromisoformat(value)

    def to_representation(self, value: Any) -> str:
        return f"{value:%H:%M}"


class Several(Strict, serializers.ListField):
    """A list."""

    default_error_messages = NEEDED | {
        "not_a_list": _("Write a list."),
        "empty": _("Write at least one."),
        "max_length": _("At most {max_length} fit here."),
        "min_length": _("At least {min_length} are needed here."),
    }

    def __init__(self, *, max_length: int = 500, **options: Any) -> None:
        super().__init__(max_length=max_length, **options)


class Body(serializers.Serializer):
    """What a request may hold; a field that is not listed is refused."""

    default_error_messages = NEEDED | {"invalid": _("Write an object with named fields.")}

    def to_internal_value(self, data: Any) -> Any:
        if isinstance(data, Mapping):
            unknown = sorted(str(name) for name in data if name not in self.fields)
            if unknown:
                said = _("There is no such field. Leave it out.")
                raise serializers.ValidationError({name: [said] for name in unknown}, code="unknown")
        return super().to_internal_value(data)


class Shown(serializers.Serializer):
    """What an answer holds, field by field."""


class Words(serializers.CharField):
    """Text in an answer; perhaps ""."""

    def __init__(self, **options: Any) -> None:
        super().__init__(allow_blank=True, **options)


def optional(body: type[Body], name: str) -> type[Body]:
    """The same fields, none of them needed: what an edit may hold."""
    fields = {}
    for field_name, field in body._declared_fields.items():
        options = {k: deepcopy(v) for k, v in field._kwargs.items() if k not in ("required", "default")}
        fields[field_name] = type(field)(*field._args, **options, required=False)
    return type(name, (Body,), fields)
