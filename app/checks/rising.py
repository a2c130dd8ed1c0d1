"""What rises in a movement at a piece, about its middle, and what the piece itself has over it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from app.published.register import remembered_by_bytes
from app.scene.memory import ANSWERS_AT_MOST
from app.scene.shapes import SHAPES_BYTES, Shape, shape_bytes, turned_points
from app.scene.swept import Part
from app.scene.tolerance import TOLERANCE_MM, Geometries
from app.scene.weight import BYTES_A_GEOMETRY

_GUIDED = frozenset({"shaft", "weights"})
"""Parts of a piece that go up and down with whoever trains in it."""


@dataclass(frozen=True, slots=True, eq=False)
class Form:
    """What rises in a movement at a piece: areas about the piece's middle, turned with it.

    `own_mm` is the underside of what the piece itself has over each of them, from its foot.
    """

    parts: tuple[Part, ...]
    areas: Geometries
    own_mm: tuple[float, ...]


def _form_bytes(form: Form, asked: tuple[Any, ...]) -> int:
    # the shape is held as long as the answer is; each part is a polygon twice
    return shape_bytes(asked[0]) + 2 * len(form.parts) * BYTES_A_GEOMETRY


@remembered_by_bytes(ANSWERS_AT_MOST, SHAPES_BYTES, _form_bytes)
def form_about(
    shape: Shape,
    height_mm: float,
    angle_deg: float,
    rising: tuple[Part, ...],
    at: tuple[float, float],
    inside: bool,
) -> Form:
    """Return parts that rise at a place of a piece, turned with it: the place in mm of its frame.

    `inside` tells that it is between its posts, and its own rails are overhead.
    """
    flat = np.array([part.area for part in rising], dtype=object)
    areas = shapely.transform(flat, lambda xy: turned_points(xy + at, angle_deg))
    # Drawn in like everything else: under the very edge of a beam is not under it.
    areas = shapely.buffer(areas, -TOLERANCE_MM / 2, join_style="mitre")
    own = (
        # plates hang outside the posts and rise beside the rails
        _own_top_mm(shape, height_mm, area) if inside and part.name != "plates" else math.inf
        for part, area in zip(rising, areas, strict=True)
    )
    return Form(rising, areas, tuple(own))


def _own_top_mm(shape: Shape, height_mm: float, area: shapely.Polygon) -> float:
    """Return the underside of the lowest part of a piece that hangs over an area, in mm.

    What reaches down to the lower half of the piece stands beside the person, not overhead.
    """
    over = shape.low_mm > height_mm / 2
    # its own guided bar rises with the lifter: it is what is moved, not what is met
    over &= np.array([part not in _GUIDED for part in shape.parts], dtype=bool)
    if not over.any():
        return math.inf
    met = np.asarray(shapely.intersects(shape.polygons[over], area))
    return float(shape.low_mm[over][met].min()) if met.any() else math.inf
