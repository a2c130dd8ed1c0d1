"""What rises in a movement at a piece, about its middle, and what the piece itself has over it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, NamedTuple

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


class Across(NamedTuple):
    """A pull-up bar set across the posts of a piece, in mm of its frame.

    From where to where it lies along the piece, how far it reaches to either side, and its
    underside from the foot of the piece.
    """

    from_mm: float
    to_mm: float
    half_wide_mm: float
    low_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class Form:
    """What rises in a movement at a piece: areas about the piece's middle, turned with it.

    `own_mm` is the underside of what the piece itself has over each of them, from its foot, and
    `under_bar` tells that this is its pull-up bar, set lower than its frame.
    """

    parts: tuple[Part, ...]
    areas: Geometries
    own_mm: tuple[float, ...]
    under_bar: tuple[bool, ...]


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
    bar: Across | None = None,
) -> Form:
    """Return parts that rise at a place of a piece, turned with it: the place in mm of its frame.

    `inside` tells that it is between its posts, and its own rails are overhead; `bar` is the
    pull-up bar that hangs there too, at the height at which it is set.
    """
    flat = np.array([part.area for part in rising], dtype=object)
    areas = shapely.transform(flat, lambda xy: turned_points(xy + at, angle_deg))
    # Drawn in like everything else: under the very edge of a beam is not under it.
    areas = shapely.buffer(areas, -TOLERANCE_MM / 2, join_style="mitre")
    # plates hang outside the posts and rise beside the rails
    within = [inside and part.name != "plates" for part in rising]
    frame = [
        _own_top_mm(shape, height_mm, area) if there else math.inf
        for there, area in zip(within, areas, strict=True)
    ]
    hung = [
        _bar_low_mm(bar, angle_deg, area) if there and bar is not None else math.inf
        for there, area in zip(within, areas, strict=True)
    ]
    own = tuple(min(both) for both in zip(frame, hung, strict=True))
    lower = tuple(low < top for low, top in zip(hung, frame, strict=True))
    return Form(rising, areas, own, lower)


def _bar_low_mm(bar: Across, angle_deg: float, area: shapely.Polygon) -> float:
    """Return the underside of a pull-up bar where it hangs over an area, in mm.

    Unlike a rail it goes right across: however low it is set, it is met and not stood beside.
    """
    side, near, far = bar.half_wide_mm, bar.from_mm, bar.to_mm
    corners = np.array([(-side, near), (side, near), (side, far), (-side, far)])
    tube = shapely.Polygon(turned_points(corners, angle_deg))
    return bar.low_mm if tube.intersects(area) else math.inf


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
