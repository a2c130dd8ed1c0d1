"""A body with thickness as the eye sees it: an outline of each limb, each as near as its joints.

Seen by parallel rays a ball is a circle, and what lies between two balls is the hull of their
circles. Limbs are put in order by how near they are where they cover one another; of each only
what is seen is left, so that together they are the body, once.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.body import POSES_AT_MOST, Joints
from app.drawing.picture_faces import polygons_of
from app.drawing.picture_inks import PERSON, PERSON_FAR
from app.drawing.picture_view import Floats, View
from app.drawing.round_body import FACE, HEAD, NECK, Ball, RoundBody, round_body

Spot = tuple[float, float]

_CHORDS = 28
"""Corners of a circle of a body."""
_DAMP_MM = 18.0
"""A limb that points at the eye is as near as its middle: what is within this of it tells little
of how it leans."""
_JOINT = 1.35
"""Within so many radii of a joint no outline parts the limbs that meet there."""
_SIDE_ON = 0.5
"""From here on one side of a body is the far one: it is drawn paler."""
_FACE_AWAY = -0.3
"""A face turned further from the eye than this is not seen."""
_SPECK_MM2 = 30.0
_GRID_MM = 0.1
"""Corners of outlines are rounded to this, lest a slit shut when they are moved."""
_UPRIGHT_MM = 1000.0
"""The length of an upright by which a head is turned: any that is long."""
_LEAST_STROKE_MM = 2.0
ON_MM = 1.0
"""How far a face lies before the head that it is on."""
_TURNS = np.linspace(0, 2 * np.pi, _CHORDS, endpoint=False)
_CIRCLE = np.column_stack([np.cos(_TURNS), np.sin(_TURNS)])


@dataclass(frozen=True, slots=True)
class Seen:
    """What is seen of one limb: its outline on the paper, how near it is, its strokes, its ink."""

    area: BaseGeometry
    plane: tuple[float, float, float]
    edges: Floats
    ink: str


@dataclass(frozen=True, slots=True)
class _Flat:
    """A limb on the paper before others cover it; `drawn` tells that it has an outline."""

    area: BaseGeometry
    plane: Floats
    ink: str
    joints: tuple[Ball, ...] = ()
    drawn: bool = True


def frame_of(facing: Spot) -> Floats:
    """Return the directions of a body in the room as rows: ahead, to its right, up."""
    fx, fy = facing
    # plan y runs down the paper: to the right of who looks along x is along y
    return np.array([[fx, fy, 0.0], [-fy, fx, 0.0], [0.0, 0.0, 1.0]])


@lru_cache(POSES_AT_MOST)
def seen_body(joints: Joints, grips: bool, facing: Spot, view: View) -> tuple[Seen, ...]:
    """Return what is seen of a body that stands over the origin of the room, the farthest first."""
    flats = _in_order(_flats(round_body(joints, grips), frame_of(facing), view))
    rings = _rings(flats, frame_of(facing), view)
    over: BaseGeometry = shapely.Polygon()
    made: list[Seen] = []
    for flat in reversed(flats):
        area = _plain(shapely.difference(flat.area, over, grid_size=_GRID_MM))
        if area is not None:
            made.append(
                Seen(area, _triple(flat.plane), _strokes(flat, flats, rings, over), flat.ink)
            )
        over = shapely.union(over, flat.area)
    return tuple(reversed(made))


def ridge(places: Floats, view: View) -> Floats:
    """Return the plane (a, b, c) nearest to places (n, 3): how near it is over the paper.

    What leans steeply towards the eye is damped: a limb that points at it is as near as its middle.
    """
    flat, near = view.flat(places), view.depth(places)
    by, up = flat - flat.mean(axis=0), near - near.mean()
    lean = np.linalg.solve(by.T @ by + len(by) * _DAMP_MM**2 * np.eye(2), by.T @ up)
    return np.array([near.mean() - flat.mean(axis=0) @ lean, *lean])


def hull_of(balls: Sequence[Ball], frame: Floats, view: View) -> BaseGeometry:
    """Return the outline on the paper of what lies between balls."""
    flat = view.flat(np.array([ball.at for ball in balls]) @ frame)
    radii = np.array([ball.radius_mm for ball in balls])
    ring = flat[:, None] + radii[:, None, None] * _CIRCLE
    hull: BaseGeometry = shapely.convex_hull(shapely.multipoints(ring.reshape(-1, 2)))
    return hull


def _flats(body: RoundBody, frame: Floats, view: View) -> list[_Flat]:
    """Return all of a body on the paper."""
    head = [*_head(body, frame, view)]
    flats = []
    aside = float(frame[1] @ view.eye())
    for limb in body.limbs:
        area = shapely.union_all([hull_of(balls, frame, view) for balls in limb.hulls])
        if limb.name == NECK:
            # it goes into the head from below, and is never seen before it
            area = shapely.difference(area, head[0].area)
        balls = [ball for hull in limb.hulls for ball in hull]
        plane = ridge(np.array([ball.at for ball in balls]) @ frame, view)
        far = limb.side * aside < -_SIDE_ON
        flats.append(_Flat(area, plane, PERSON_FAR if far else PERSON, limb.joints))
    return [*flats, *head]


def _head(body: RoundBody, frame: Floats, view: View) -> Iterator[_Flat]:
    """Yield the head, hair all over, and the face on it where that is turned to the eye."""
    middle = np.array(body.head) @ frame
    width = body.face.radius_mm * HEAD / FACE
    (u, v), high = view.flat(middle), body.head_mm * view.height_share
    area = shapely.Polygon(np.array([u, v]) + _CIRCLE * [width, high])
    # upright, so that the crown is drawn as high as it is
    a, b, c = ridge(np.array([middle, middle + np.array([0.0, 0.0, _UPRIGHT_MM])]), view)
    yield _Flat(area, np.array([a, b, c]), PERSON_FAR)
    ahead = np.array(body.face.at) @ frame - middle
    if ahead @ view.eye() / np.linalg.norm(ahead) > _FACE_AWAY:
        face = shapely.intersection(area, hull_of([body.face], frame, view))
        yield _Flat(face, np.array([a + ON_MM, b, c]), PERSON, drawn=False)


def _in_order(flats: Sequence[_Flat]) -> list[_Flat]:
    """Return them from the farthest on: asked of every two over the middle of what they share."""
    areas = np.array([flat.area for flat in flats], dtype=object)
    one, other = np.triu_indices(len(flats), 1)
    common = shapely.intersection(areas[one], areas[other])
    real = shapely.area(common) >= _SPECK_MM2
    one, other = one[real], other[real]
    middles = np.column_stack(
        [np.ones(len(one)), shapely.get_coordinates(shapely.centroid(common[real]))]
    )
    planes = np.array([flat.plane for flat in flats])
    nearer = (middles * (planes[other] - planes[one])).sum(axis=1) > 0
    behind: list[set[int]] = [set() for _ in flats]
    for a, b, second in zip(one.tolist(), other.tolist(), nearer.tolist(), strict=True):
        behind[b if second else a].add(a if second else b)
    order: list[int] = []
    while len(order) < len(flats):
        left = [i for i in range(len(flats)) if i not in order]
        # where three lie each before the next, the one that most lies before comes last
        order.append(min(left, key=lambda i: len(behind[i].difference(order))))
    return [flats[i] for i in order]


def _rings(flats: Sequence[_Flat], frame: Floats, view: View) -> dict[Ball, BaseGeometry]:
    """Return the room round each joint in which no outline parts two limbs."""
    every = {ball for flat in flats for ball in flat.joints}
    return {ball: hull_of([Ball(ball.at, ball.radius_mm * _JOINT)], frame, view) for ball in every}


def _triple(plane: Floats) -> tuple[float, float, float]:
    a, b, c = plane.tolist()
    return a, b, c


def _plain(area: BaseGeometry) -> BaseGeometry | None:
    """Return an area without its specks; None where nothing else is left."""
    some = [one for one in polygons_of(area) if one.area >= _SPECK_MM2]
    if len(some) > 1:
        return shapely.multipolygons(some)
    return some[0] if some else None


def _strokes(
    flat: _Flat, flats: Sequence[_Flat], rings: Mapping[Ball, BaseGeometry], over: BaseGeometry
) -> Floats:
    """Return the outline of a limb where it is seen, but for where it goes over into others."""
    if not flat.drawn:
        return np.empty((0, 2, 2))
    within = [
        shapely.intersection(rings[ball], other.area)
        for other in flats
        for ball in other.joints
        if other is not flat and ball in flat.joints
    ]
    line = shapely.difference(shapely.boundary(flat.area), shapely.union_all([over, *within]))
    parts = [one for one in shapely.get_parts(line) if one.length > _LEAST_STROKE_MM]
    xy, of = shapely.get_coordinates(np.array(parts, dtype=object), return_index=True)
    same = of[1:] == of[:-1]
    strokes: Floats = np.stack([xy[:-1][same], xy[1:][same]], axis=1).reshape(-1, 2, 2)
    return strokes
