"""Chalk lines right across the room, to lay things along: part of the plan, never built."""

from __future__ import annotations

from typing import Literal

from app.model.base import Coordinate, Frozen, Id


class ChalkLine(Frozen):
    """One line: upright at x = `at_mm` where `way` is "x", else level at y = `at_mm`."""

    id: Id
    way: Literal["x", "y"]
    at_mm: Coordinate
