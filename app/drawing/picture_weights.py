"""What lies on racks and shelves as faces for the picture: dumbbells in rows, kettlebells.

They are drawn where the marks of the kit's symbol have them. A shelf as deep as its dumbbells is
one solid in the scene: on that they are drawn on its top and on its long sides. On a thin shelf
they stand as solids of their own. None of it decides anything: it is only seen.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import shapely
from shapely.affinity import scale, translate
from shapely.geometry.base import BaseGeometry

from app.drawing.picture_faces import Face, level, polygons_of, prisms, upright
from app.drawing.picture_room import Figure, kit_faces
from app.drawing.picture_view import View
from app.library.forms import flat
from app.library.kit import Mark
from app.scene.build import Placed, Scene
from app.scene.shapes import polygon_of, turned_points

INK = "picture-dark"
GROUP = "Bars and weights"
SHELF = "shelf"
ON_MM = 1.0
"""How far what is drawn on a side lies before it, so that the side does not hide it."""
NEAR_EDGE_MM = 80.0
"""Heads this near to a long side of their shelf are seen from there."""
PLATES_APART_MM = 8.0
"""Plates of one head stand no further apart than this."""
HANDLE_MM = 28.0
ROUND = 3
"""Corners to a quarter of what is round: it is drawn some millimetres large."""
SEEN_SHARE = 0.1
"""A side turned to the eye less than this shows nothing that could be told."""
HANDLE_OUT, HANDLE_IN, HANDLE_UP = 0.62, 0.4, 1.3
"""The ring of a kettlebell's handle and its height over the middle, in radii of the ball."""


def piece_faces(
    scene: Scene, placed: Placed, view: View, figures: Sequence[Figure] = ()
) -> Iterator[Face]:
    """Yield the faces of one piece and of what lies on it; `figures` as for its solids alone."""
    yield from kit_faces(scene, placed, view, figures)
    yield from weight_faces(placed, view)


def weight_faces(placed: Placed, view: View) -> Iterator[Face]:
    """Yield the faces of what lies on the shelves of a piece, as far as its symbol shows it."""
    marks = [mark for mark in placed.kit.marks if mark.ink == "dark"]
    if placed.kit.group != GROUP or not marks:
        return
    shape = placed.shape
    for polygon, low, high, part in zip(
        placed.polygons(), shape.low_mm, shape.high_mm, shape.parts, strict=True
    ):
        if part != SHELF:
            continue
        own = _turned(translate(polygon, -placed.at[0], -placed.at[1]), -placed.pose.angle_deg)
        top = float(high) + placed.lift_mm + placed.rest_mm[1]
        yield from _kettlebells(marks, own, top, placed, view)
        bars = [form for form in _forms(marks, placed) if own.covers(form)]
        if bars:
            yield from _dumbbells(bars, own, (top - float(high - low), top), placed, view)


def _forms(marks: Sequence[Mark], placed: Placed) -> list[shapely.Polygon]:
    """Return the heads and handles of dumbbells from above, in the piece's own frame."""
    return [polygon_of(flat(mark, placed.extent)) for mark in marks if mark.shape != "disc"]


def _kettlebells(
    marks: Sequence[Mark], shelf: BaseGeometry, top: float, placed: Placed, view: View
) -> Iterator[Face]:
    """Yield each ball with its handle as it looks from anywhere: round."""
    for mark in marks:
        if mark.shape != "disc":
            continue
        form = flat(mark, placed.extent)
        if not shelf.covers(shapely.Point(form.centre)):
            continue
        r = form.radius_mm
        middle = shapely.Point(0, 0)
        out, hole = (middle.buffer(r * k, quad_segs=ROUND) for k in (HANDLE_OUT, HANDLE_IN))
        ring = translate(out.difference(hole), 0, r * HANDLE_UP)
        whole = middle.buffer(r, quad_segs=ROUND).union(ring)
        # what stands upright is drawn lower than it is: a ball is as high as it is wide
        round_one = scale(whole, 1.0, 1 / view.height_share, origin=(0, 0))
        at = _there(shapely.Point(form.centre), placed).centroid
        shape = translate(round_one, 0, top + r)
        yield _bare(upright(shape, (at.x, at.y), 0.0, placed.piece.id, INK, view))


def _dumbbells(
    forms: Sequence[shapely.Polygon],
    shelf: BaseGeometry,
    heights: tuple[float, float],
    placed: Placed,
    view: View,
) -> Iterator[Face]:
    """Yield dumbbells that lie within the height of their shelf, or stand on a thin one."""
    low, top = heights
    heads = [form for form in forms if _wide(form) >= _deep(form)]
    handles = [form for form in forms if _wide(form) < _deep(form)]
    owner = placed.piece.id
    if not heads:
        return
    if max(map(_wide, heads)) > top - low:
        apart = PLATES_APART_MM / 2
        joined = shapely.union_all([head.buffer(apart, join_style="mitre") for head in heads])
        high = top + max(map(_wide, heads))
        rounded = [*polygons_of(joined.buffer(-apart, join_style="mitre"))]
        middle = (top + high) / 2
        grip = (middle - HANDLE_MM / 2, middle + HANDLE_MM / 2)
        bases = [_there(one, placed) for one in (*(head.convex_hull for head in rounded), *handles)]
        standing = [(top, high)] * len(rounded) + [grip] * len(handles)
        yield from prisms(bases, standing, owner, [INK] * len(bases), view)
        return
    yield _bare(level(_there(shapely.union_all(forms), placed), top + ON_MM, owner, INK, view))
    along, across = turned_points(np.eye(2), placed.pose.angle_deg)
    _, back, _, front = shelf.bounds
    for edge, way in ((front, 1.0), (back, -1.0)):
        if way * float(across @ view.eye()[:2]) < SEEN_SHARE:
            continue
        ends = [
            shapely.Point((h.bounds[0] + h.bounds[2]) / 2, top - _wide(h) / 2).buffer(
                _wide(h) / 2, quad_segs=ROUND
            )
            for h in heads
            if abs(edge - h.bounds[3 if way > 0 else 1]) <= NEAR_EDGE_MM
        ]
        if ends:
            at = (placed.at[0] + across[0] * edge, placed.at[1] + across[1] * edge)
            row, way_along = shapely.union_all(ends), (float(along[0]), float(along[1]))
            yield _bare(upright(row, at, ON_MM, owner, f"{INK}-left", view, way_along))


def _bare(face: Face) -> Face:
    """Return a face without strokes: what is dark is told from its shelf without."""
    return replace(face, edges=np.empty((0, 2, 2)))


def _there(shape: BaseGeometry, placed: Placed) -> BaseGeometry:
    """Return a shape of the piece's own frame where it is in the room."""
    return translate(_turned(shape, placed.pose.angle_deg), *placed.at)


def _turned(shape: BaseGeometry, angle_deg: float) -> BaseGeometry:
    return shapely.transform(shape, lambda xy: turned_points(xy, angle_deg))


def _wide(form: BaseGeometry) -> float:
    return float(form.bounds[2] - form.bounds[0])


def _deep(form: BaseGeometry) -> float:
    return float(form.bounds[3] - form.bounds[1])
