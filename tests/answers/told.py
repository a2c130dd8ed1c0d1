"""Whatever the program answers with as text that is read, and that is the same on every machine.

Lengths are told to a hundredth of a millimetre: what is left of them in the last digits of a
geometry library is never seen. What is nothing, empty or no is left out.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from typing import Any

import numpy as np
import shapely
from pydantic import BaseModel
from shapely.geometry.base import BaseGeometry

from app.scene.build import Placed
from app.units import Units
from app.wording import Phrase

DECIMALS = 2
_UP = 1e-6
"""Lengths lie on halves and eighths: which way one of them is rounded is settled by this."""


def number(value: float) -> str:
    """Return a number to the hundredth, without ends of noughts."""
    if not math.isfinite(value):
        return str(value)
    return f"{round(value + _UP, DECIMALS) + 0.0:.{DECIMALS}f}".rstrip("0").rstrip(".")


def told(value: Any, units: Units = "metric") -> str:
    """Return any answer as text; fields of objects by their names."""
    match value:
        case None:
            return "-"
        case bool() | np.bool_():
            return "yes" if value else "no"
        case Enum():
            return str(value)
        case int() | float() | np.integer() | np.floating():
            return number(float(value))
        case str():
            return value
        case Phrase():
            return f"'{value.worded(units)}'"
        case BaseGeometry():
            return shape(value)
        case Mapping():
            return "{" + ", ".join(f"{k}: {told(v, units)}" for k, v in value.items()) + "}"
        case frozenset() | set():
            return "{" + ", ".join(sorted(told(each, units) for each in value)) + "}"
        case Placed():
            return value.piece.id
        case BaseModel():
            name = getattr(value, "id", None) or getattr(value, "key", None)
            if isinstance(name, str):
                return name
            return told(value.model_dump(exclude_defaults=True), units)
        case Iterable():
            return "(" + ", ".join(told(each, units) for each in value) + ")"
        case _ if is_dataclass(value):
            return fields_told(value, units)
        case _:
            raise TypeError(f"nobody said how a {type(value).__name__} is told")


def fields_told(value: Any, units: Units = "metric", without: Iterable[str] = ()) -> str:
    """Return the fields of an object that say something, by their names."""
    named = [(each.name, getattr(value, each.name)) for each in fields(value)]
    return " ".join(
        f"{name}={told(one, units)}"
        for name, one in named
        if name not in without and not _says_nothing(one)
    )


def _says_nothing(value: Any) -> bool:
    if value is None or value is False:
        return True
    return isinstance(value, str | tuple | list | frozenset) and not value


def shape(geometry: BaseGeometry) -> str:
    """Return a shape by its bounds, area, length and number of corners, where it begins aside."""
    if geometry.is_empty:
        return "nothing"
    bounds = " ".join(number(each) for each in geometry.bounds)
    corners = len(np.unique(np.round(shapely.get_coordinates(geometry), 1), axis=0))
    return f"<{bounds} area {number(geometry.area / 100)} cm2, {corners} corners>"
