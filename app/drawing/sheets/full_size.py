"""One thing to be drawn in full size: what a template is, before it is divided into tiles."""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from app.drawing.primitives import Point

ROUND_MM = 30.0
"""What is shown round a notch, a hole or a foot, so that the knife and the eye find its edges."""


@dataclass(frozen=True, slots=True)
class Template:
    """One thing to be drawn in full size, y down, mm: strokes, where to drill, what it says.

    `gone` is what is cut out, hatched. `toward` is which way something lies, a unit vector of the
    drawing, and what: "the left wall".
    """

    name: str
    says: str
    lines: tuple[BaseGeometry, ...]
    dashed: tuple[BaseGeometry, ...]
    drilled: tuple[Point, ...]
    bounds: tuple[float, float, float, float]
    gone: BaseGeometry | None = None
    toward: tuple[Point, str] | None = None
