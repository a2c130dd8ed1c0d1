"""What lies on racks and shelves as faces for the picture: dumbbells in rows, kettlebells.

They are drawn where the marks of the kit's symbol have them. A shelf as deep as its dumbbells is
one solid in the scene: on that they are drawn on its top and on its long sides. On a thin shelf
they stand as solids of their own. None of it decides anything: it is only seen.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np
import shapely
from shapely.affinity import scale, translate
from shapely.geometry.base import BaseGeometry

from app.drawing.picture_faces import Face, level, polygons_of, prisms, upright
from app.drawing.picture_inks import SHELF
from app.drawing.picture_room import Figure, kit_faces
from app.drawing.picture_shelves import ON_MM, SEEN_SHARE, shelf_faces
from app.drawing.picture_view import View
from app.library.anchors import Extent
from app.library.forms import flat
from app.library.kit import Mark
from app.scene.build import Placed, Scene
from app.scene.shapes import polygon_of, turned_points

INK = "picture-dark"
GROUP = "Bars and weights"
NEAR_EDGE_MM = 80.0
"""Heads this near to a long side of their shelf are seen from there."""
PLATES_APART_MM = 8.0
"""Plates of one head stand no further apart than this."""
HANDLE_MM = 28.0
SYMBOLS_AT_MOST = 256
"""Shelves and balls whose outlines are remembered: some for each type of the library."""
ROUNDED_MM = 0.1
"""By so much a shelf may seem smaller than it is, turned and turned back."""
ROUND = 3
"""Corners to a quarter of what is round: it is drawn some millimetres large."""
HANDLE_OUT, HANDLE_IN, HANDLE_UP = 0.62, 0.4, 1.3
"""The ring of a kettlebell's handle and its height over the middle, in radii of the ball."""


def piece_faces(
    scene: Scene,
    placed: Placed,
    view: View,
    figures: Sequence[Figure] = (),
    over: Mapping[int, float] | None = None,
) -> Iterator[Face]:
    """Yield the faces of one piece and of what lies on it; the rest as for its solids alone."""
    yield from kit_faces(scene, placed, view, figures, over)
    yield from held_faces(placed, view, over)


def held_faces(placed: Placed, view: View, over: Mapping[int, float] | None) -> Iterator[Face]:
    """Yield the faces of what lies on a piece: weights on racks, boxes between boards."""
    yield from weight_faces(placed, view)
    yield from shelf_faces(placed, view, over)


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
        x0, y0, x1, y1 = (round(side, 1) for side in own.bounds)
        top = float(high) + placed.lift_mm + placed.rest_mm[1]
        yield from _kettlebells(marks, own, top, placed, view)
        bars = _bars(tuple(marks), placed.extent, (x0, y0, x1, y1))
        if bars.forms:
            yield from _dumbbells(bars, (top - float(high - low), top), placed, view)


@dataclass(frozen=True)
class _Bars:
    """Dumbbells on one shelf from above, in the frame of their piece: the same wherever it stands.

    `forms` are heads and handles, `sides` where the shelf begins and ends from back to front.
    """

    forms: tuple[shapely.Polygon, ...]
    sides: tuple[float, float]

    @cached_property
    def heads(self) -> list[shapely.Polygon]:
        """What is as wide as long, or wider."""
        return [form for form in self.forms if _wide(form) >= _deep(form)]

    @cached_property
    def handles(self) -> list[shapely.Polygon]:
        """All others."""
        return [form for form in self.forms if _wide(form) < _deep(form)]

    @cached_property
    def widest_mm(self) -> float:
        """How wide the widest head is."""
        return max(map(_wide, self.heads), default=0.0)

    @cached_property
    def lying(self) -> BaseGeometry:
        """All of them as one area."""
        return shapely.union_all(self.forms)

    @cached_property
    def standing(self) -> list[BaseGeometry]:
        """The heads, each with all its plates, then the handles."""
        apart = PLATES_APART_MM / 2
        joined = shapely.union_all([head.buffer(apart, join_style="mitre") for head in self.heads])
        rounded = polygons_of(joined.buffer(-apart, join_style="mitre"))
        return [*(head.convex_hull for head in rounded), *self.handles]

    def ends(self, front: bool) -> BaseGeometry | None:
        """Return the heads as one sees them from a long side, their tops at nought; None: none."""
        return self._both_ends[front]

    @cached_property
    def _both_ends(self) -> tuple[BaseGeometry | None, BaseGeometry | None]:
        rows = []
        for edge, side in zip(self.sides, (1, 3), strict=True):
            ends = [
                shapely.Point((h.bounds[0] + h.bounds[2]) / 2, -_wide(h) / 2).buffer(
                    _wide(h) / 2, quad_segs=ROUND
                )
                for h in self.heads
                if abs(edge - h.bounds[side]) <= NEAR_EDGE_MM
            ]
            rows.append(shapely.union_all(ends) if ends else None)
        return rows[0], rows[1]


@lru_cache(SYMBOLS_AT_MOST)
def _bars(marks: tuple[Mark, ...], extent: Extent, box: tuple[float, float, float, float]) -> _Bars:
    """Return the dumbbells of a symbol that lie within the bounds of a shelf."""
    shelf = shapely.box(*box).buffer(ROUNDED_MM, join_style="mitre")
    forms = (polygon_of(flat(mark, extent)) for mark in marks if mark.shape != "disc")
    return _Bars(tuple(form for form in forms if shelf.covers(form)), (box[1], box[3]))


@lru_cache(SYMBOLS_AT_MOST)
def _ball(radius_mm: float, height_share: float) -> BaseGeometry:
    """Return a kettlebell as it looks from anywhere, round its middle."""
    middle = shapely.Point(0, 0)
    out, hole = (middle.buffer(radius_mm * k, quad_segs=ROUND) for k in (HANDLE_OUT, HANDLE_IN))
    ring = translate(out.difference(hole), 0, radius_mm * HANDLE_UP)
    whole = middle.buffer(radius_mm, quad_segs=ROUND).union(ring)
    # what stands upright is drawn lower than it is: a ball is as high as it is wide
    return scale(whole, 1.0, 1 / height_share, origin=(0, 0))


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
        at = _there(shapely.Point(form.centre), placed).centroid
        shape = translate(_ball(r, view.height_share), 0, top + r)
        yield _bare(upright(shape, (at.x, at.y), 0.0, placed.piece.id, INK, view))


def _dumbbells(
    bars: _Bars, heights: tuple[float, float], placed: Placed, view: View
) -> Iterator[Face]:
    """Yield dumbbells that lie within the height of their shelf, or stand on a thin one."""
    low, top = heights
    owner = placed.piece.id
    if not bars.heads:
        return
    if bars.widest_mm > top - low:
        high = top + bars.widest_mm
        middle = (top + high) / 2
        grip = (middle - HANDLE_MM / 2, middle + HANDLE_MM / 2)
        bases = [_there(one, placed) for one in bars.standing]
        handles = len(bars.handles)
        standing = [(top, high)] * (len(bases) - handles) + [grip] * handles
        yield from prisms(bases, standing, owner, [INK] * len(bases), view)
        return
    yield _bare(level(_there(bars.lying, placed), top + ON_MM, owner, INK, view))
    along, across = turned_points(np.eye(2), placed.pose.angle_deg)
    back, front = bars.sides
    for edge, way in ((front, 1.0), (back, -1.0)):
        if way * float(across @ view.eye()[:2]) < SEEN_SHARE:
            continue
        ends = bars.ends(way > 0)
        if ends is not None:
            at = (placed.at[0] + across[0] * edge, placed.at[1] + across[1] * edge)
            row, way_along = translate(ends, 0, top), (float(along[0]), float(along[1]))
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
