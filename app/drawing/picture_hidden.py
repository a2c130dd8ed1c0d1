"""What the eye sees of many flat faces: hidden lines and areas taken away, exactly.

Every pair of faces that overlap on the paper is asked which is nearer where they overlap. Depth is
linear over a face, so the one hides the other on one side of a straight line, and what is left of
a face is its outline less all that hides it (the analytic visible-surface method of Weiler and
Atherton, Hidden surface removal using polygon area sorting, 1977, with planes in place of an
order). No order of drawing is needed: things in a circle, or that run into one another, are cut
where they meet.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from app.drawing.picture_faces import Face

Floats = NDArray[np.float64]

NEARER_MM = 0.5
"""How much nearer a face must be to hide another: faces that touch hide nothing of each other."""
SPECK_MM2 = 25.0
"""Areas on the paper smaller than this are rounding, or too small to be seen at any scale."""
BESIDE_MM = 1.0
"""How far beside a face a stroke on its edge may run and still be its own."""


@dataclass(frozen=True, slots=True)
class Seen:
    """What can be seen of one face: its area on the paper, and its strokes."""

    face: Face
    area: BaseGeometry
    strokes: BaseGeometry


def seen(faces: Sequence[Face]) -> list[Seen]:
    """Return what can be seen of each face, in their order; nothing of those all hidden."""
    if not faces:
        return []
    flats = np.array([shapely.make_valid(face.flat) for face in faces], dtype=object)
    planes = np.array([face.plane for face in faces])
    back, front = STRtree(flats).query(flats, predicate="intersects")
    apart = back != front
    back, front = back[apart], front[apart]
    hides = _hiding(flats, planes, back, front)
    by_face: dict[int, list[BaseGeometry]] = {}
    for i, area in zip(back.tolist(), hides, strict=True):
        if area is not None:
            by_face.setdefault(i, []).append(area)
    found = []
    for i, face in enumerate(faces):
        area = flats[i]
        if i in by_face:
            area = shapely.difference(area, shapely.union_all(by_face[i]))
        if area.area < SPECK_MM2:
            continue
        strokes = shapely.multilinestrings(list(face.edges)) if len(face.edges) else None
        if strokes is not None and i in by_face:
            strokes = shapely.intersection(strokes, shapely.buffer(area, BESIDE_MM, quad_segs=1))
        found.append(Seen(face, area, strokes if strokes is not None else shapely.LineString()))
    return found


def _hiding(
    flats: NDArray[np.object_],
    planes: Floats,
    back: NDArray[np.intp],
    front: NDArray[np.intp],
) -> list[BaseGeometry | None]:
    """Return for each pair the area in which the second hides the first; None for nowhere."""
    gap = planes[front] - planes[back]
    # where the second is nowhere nearer within both boxes, the pair is settled without geometry
    low, high = _range(gap, flats, back, front)
    found: list[BaseGeometry | None] = [None] * len(back)
    open_pairs = np.flatnonzero(high > NEARER_MM)
    common = shapely.intersection(flats[back[open_pairs]], flats[front[open_pairs]])
    areas = shapely.area(common)
    for k, shape, area in zip(open_pairs.tolist(), common, areas.tolist(), strict=True):
        if area < SPECK_MM2:
            continue
        if low[k] > NEARER_MM:
            found[k] = shape
            continue
        nearer = _nearer(shape, gap[k])
        if nearer is not None:
            found[k] = nearer
    return found


def _range(
    gap: Floats, flats: NDArray[np.object_], back: NDArray[np.intp], front: NDArray[np.intp]
) -> tuple[Floats, Floats]:
    """Return the least and greatest of how much nearer the second is, over their common box."""
    boxes = shapely.bounds(flats)
    low = np.maximum(boxes[back][:, :2], boxes[front][:, :2])
    high = np.minimum(boxes[back][:, 2:], boxes[front][:, 2:])
    ends = gap[:, 1:, None] * np.stack([low, high], axis=2)
    least = gap[:, 0] + ends.min(axis=2).sum(axis=1)
    most = gap[:, 0] + ends.max(axis=2).sum(axis=1)
    return least, most


def _nearer(shape: BaseGeometry, gap: Floats) -> BaseGeometry | None:
    """Cut an area by the line on which two faces meet: the side on which the second is nearer."""
    xy = shapely.get_coordinates(shape)
    by = gap[0] + xy @ gap[1:]
    if by.max() <= NEARER_MM:
        return None
    if by.min() > NEARER_MM:
        return shape
    steep = float(np.hypot(gap[1], gap[2]))
    if steep == 0:
        return None
    # the half of the plane where gap is more than NEARER_MM, as a square far beyond the area
    out = gap[1:] / steep
    on = out * ((NEARER_MM - gap[0]) / steep)
    along = np.array([-out[1], out[0]])
    far = float(np.abs(xy).max() + np.abs(on).max()) * 4 + 1
    half = shapely.Polygon(
        [on - along * far, on + along * far, on + (along + out) * far, on + (out - along) * far]
    )
    cut: BaseGeometry = shape.intersection(half)
    return cut if cut.area >= SPECK_MM2 else None
