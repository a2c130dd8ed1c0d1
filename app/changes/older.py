"""What a value of an older command means today: fields that came since have their defaults."""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import cache
from types import NoneType
from typing import Any, get_args, get_origin

from pydantic import BaseModel, TypeAdapter, ValidationError

from app.model.plan import Plan


def as_read(path: Sequence[str], value: Any) -> Any:
    """Return a value as a plan of today would write it at a place; as it is where it cannot be.

    A command in a log was written by the program of its day, which did not know every field.
    """
    kind: Any = Plan
    for step in path:
        kind = _within(kind, step)
    if kind is None or not isinstance(value, dict | list):
        return value
    reader = _reader(kind)
    try:
        return reader.dump_python(reader.validate_json(json.dumps(value), strict=True), mode="json")
    except ValidationError:
        return value


@cache
def _reader(kind: Any) -> TypeAdapter[Any]:
    """Return what reads a kind, made once: a log of before a field holds it many times."""
    return TypeAdapter(kind)


def _within(kind: Any, step: str) -> Any:
    """Return what stands at a step of a kind: a field of a model, one of several things."""
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        field = kind.model_fields.get(step)
        return None if field is None else _bare(field.annotation)
    if get_origin(kind) is tuple:
        return _bare(get_args(kind)[0])
    return None


def _bare(kind: Any) -> Any:
    """Return the kind of what may also be missing."""
    some = [each for each in get_args(kind) if each is not NoneType]
    is_optional = NoneType in get_args(kind) and len(some) == 1
    return some[0] if is_optional else kind
