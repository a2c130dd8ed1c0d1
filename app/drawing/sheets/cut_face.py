"""What a section cuts through: hatched, with a heavy edge."""

from __future__ import annotations

import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.hatching import hatch
from app.drawing.medium import Medium, region
from app.drawing.primitives import Item


def cut_face(area: BaseGeometry, medium: Medium) -> list[Item]:
    """Draw an area that is cut, z up."""
    shape = shapely.transform(area, lambda xy: xy * (1, -1))
    return [
        region(shape, "cut-face"),
        hatch(shape, medium.em_mm * 0.5, -45.0, "hatch-line"),
        region(shape, "cut"),
    ]
