"""Open shelving as one knows it: boards with boxes between them, on the sides that are seen.

In the scene it is one solid with all that may lie on it. None of this decides anything: it is only
seen, so that shelving is not taken for a cupboard or for a pane of glass.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

import numpy as np
import shapely

from app.drawing.picture_faces import Face, upright
from app.drawing.picture_inks import SHELF
from app.drawing.picture_view import View
from app.scene.build import Placed
from app.scene.shapes import turned_points

GAP_INK, BOX_INK = "picture-gap", "picture-box"
ON_MM = 1.0
"""How far what is drawn on a side lies before it, so that the side does not hide it."""
SEEN_SHARE = 0.1
"""A side turned to the eye less than this shows nothing that could be told."""
_BOARD_MM, _POST_MM = 35.0, 45.0
"""How thick a board is seen, and what of each end is a post."""
_APART_MM = 450.0
"""About how far boards stand over one another."""
_BOXES = ((0.04, 0.36, 0.8), (0.4, 0.58, 0.55), (0.63, 0.94, 0.72))
"""The boxes on a board: where each begins and ends as a share of its length, and how high it is."""


def shelf_faces(placed: Placed, view: View, over: Mapping[int, float] | None) -> Iterator[Face]:
    """Yield what one sees between the boards of shelving, up to where it is higher than the room.

    `over` is how high the room is over those solids of the piece that are higher.
    """
    if placed.kit.fixing != "wall" or SHELF not in placed.shape.parts:
        return
    shape, limits = placed.shape, over or {}
    along, across = turned_points(np.eye(2), placed.pose.angle_deg)
    lift = placed.lift_mm + placed.rest_mm[1]
    for number, (polygon, low, high, part) in enumerate(
        zip(placed.polygons(), shape.low_mm, shape.high_mm, shape.parts, strict=True)
    ):
        if part != SHELF:
            continue
        corners = shapely.get_coordinates(polygon) - placed.at
        s, off = corners @ along, corners @ across
        foot, top = float(low) + lift, min(float(high) + lift, limits.get(number, np.inf))
        gaps, boxes = _between(float(s.min()), float(s.max()), foot, top)
        for edge, way in ((float(off.max()), 1.0), (float(off.min()), -1.0)):
            if way * float(across @ view.eye()[:2]) < SEEN_SHARE:
                continue
            at = (placed.at[0] + across[0] * edge, placed.at[1] + across[1] * edge)
            there = (float(along[0]), float(along[1]))
            owner = placed.piece.id
            gap = upright(gaps, at, ON_MM, owner, GAP_INK, view, there)
            yield replace(gap, edges=np.empty((0, 2, 2)))
            yield upright(boxes, at, 2 * ON_MM, owner, BOX_INK, view, there)


def _between(
    left: float, right: float, foot: float, top: float
) -> tuple[shapely.MultiPolygon, shapely.MultiPolygon]:
    """Return what is open between boards and what stands on them, x along them and z up, mm."""
    tiers = max(1, round((top - foot) / _APART_MM))
    step, long = (top - foot) / tiers, right - left - 2 * _POST_MM
    gaps, boxes = [], []
    for i in range(tiers):
        low, high = foot + i * step + _BOARD_MM, foot + (i + 1) * step
        gaps.append(shapely.box(left + _POST_MM, low, right - _POST_MM, high))
        # every other board has its boxes from the other end: rows alike look like drawers
        for a, b, share in _BOXES:
            a, b = (1 - b, 1 - a) if i % 2 else (a, b)
            x = left + _POST_MM
            boxes.append(shapely.box(x + a * long, low, x + b * long, low + share * (high - low)))
    return shapely.MultiPolygon(gaps), shapely.MultiPolygon(boxes)
