"""What a drawing is made of, told in plain numbers and words: no medium, no colour, no file format.

Lengths are in the user units of the group a thing stands in (mm of the room or mm of paper), y
down. `ink` names what a line stands for ("wall cut"); each medium decides how that looks.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias

Point: TypeAlias = tuple[float, float]
Anchor: TypeAlias = Literal["start", "middle", "end"]
Data: TypeAlias = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Line:
    """A straight stroke."""

    start: Point
    end: Point
    ink: str
    data: Data = ()


@dataclass(frozen=True, slots=True)
class Polyline:
    """An open run of strokes."""

    points: tuple[Point, ...]
    ink: str


@dataclass(frozen=True, slots=True)
class Polygon:
    """A closed ring. `fill` names a pattern of the drawing, where the medium has patterns."""

    points: tuple[Point, ...]
    ink: str
    fill: str = ""
    data: Data = ()


@dataclass(frozen=True, slots=True)
class Region:
    """An area of several rings, holes among them (even-odd)."""

    rings: tuple[tuple[Point, ...], ...]
    ink: str
    fill: str = ""


@dataclass(frozen=True, slots=True)
class Strokes:
    """Many straight strokes drawn as one: hatching."""

    lines: tuple[tuple[Point, Point], ...]
    ink: str


@dataclass(frozen=True, slots=True)
class Circle:
    """A full circle."""

    centre: Point
    radius: float
    ink: str
    fill: str = ""


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular stroke from one point to another, clockwise as drawn or against it."""

    start: Point
    end: Point
    radius: float
    clockwise: bool
    ink: str


@dataclass(frozen=True, slots=True)
class Text:
    """One line of lettering, `at` on its base line, turned clockwise about that point."""

    at: Point
    words: str
    ink: str
    anchor: Anchor = "middle"
    turn_deg: float = 0


@dataclass(frozen=True, slots=True)
class Pattern:
    """A tile of strokes that fills areas, for media that have patterns; turned by `turn_deg`."""

    name: str
    tile: float
    turn_deg: float
    lines: tuple[tuple[Point, Point], ...]
    ink: str


@dataclass(frozen=True, slots=True)
class Group:
    """Things that belong together: moved, then turned clockwise, then scaled."""

    children: tuple[Item, ...]
    ink: str = ""
    data: Data = ()
    move: Point | None = None
    turn_deg: float = 0
    scale: float = 1

    @property
    def matrix(self) -> tuple[float, float, float, float, float, float]:
        """The affine matrix (a, b, d, e, x, y): (u, v) comes to (a u + b v + x, d u + e v + y)."""
        x, y = self.move or (0.0, 0.0)
        turn = math.radians(self.turn_deg)
        c, s = math.cos(turn) * self.scale, math.sin(turn) * self.scale
        return c, -s, s, c, x, y


Item: TypeAlias = Line | Polyline | Polygon | Region | Strokes | Circle | Arc | Text | Group


def lines_of(items: Iterable[Item]) -> Iterator[Line]:
    """Yield the lines of items, those in groups that are neither moved nor turned too."""
    for item in items:
        if isinstance(item, Group):
            yield from lines_of(item.children)
        elif isinstance(item, Line):
            yield item
