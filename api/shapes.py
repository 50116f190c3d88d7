"""From a record's fields to the shape of an answer, so that neither can say more than the other."""

from __future__ import annotations

import types
import typing
from dataclasses import fields
from datetime import date, datetime, time
from functools import cache
from typing import Any

from rest_framework import serializers

from api.fields import Choice, Clock, Day, Moment, Number, Shown, Whole, Words, YesNo

PLAIN: dict[type, type[serializers.Field]] = {
    bool: YesNo,
    int: Whole,
    float: Number,
    str: Words,
    date: Day,
    datetime: Moment,
    time: Clock,
}


@cache
def shown(record: type) -> type[Shown]:
    """The shape of a record: a field of an answer for each field of the dataclass, in its order.

    Raises:
        TypeError: For a field of a type that answers do not hold.
    """
    hints = typing.get_type_hints(record)
    parts: dict[str, Any] = {field.name: _field(hints[field.name]) for field in fields(record)}
    doc = (record.__doc__ or "").strip().splitlines()[0]
    return type(record.__name__, (Shown,), parts | {"__doc__": doc, "__module__": record.__module__})


def _field(hint: Any, **options: Any) -> serializers.Field:
    origin, args = typing.get_origin(hint), typing.get_args(hint)
    if origin in (types.UnionType, typing.Union):
        [inner] = [arg for arg in args if arg is not type(None)]
        return _field(inner, allow_null=True, **options)
    if origin is typing.Literal:
        return Choice(choices=args, **options)
    if origin is tuple:
        if hasattr(args[0], "__dataclass_fields__"):
            return shown(args[0])(many=True, **options)
        return serializers.ListField(child=_field(args[0]), **options)
    if hasattr(hint, "__dataclass_fields__"):
        return shown(hint)(**options)
    if hint not in PLAIN:
        raise TypeError(f"answers do not hold {hint}")
    return PLAIN[hint](**options)
