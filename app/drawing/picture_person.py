"""People in the picture: bodies with thickness that face their kit, and what they hold."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from app.drawing.lowest import meets_at
from app.drawing.picture_body import frame_of, hull_of, ridge, seen_body
from app.drawing.picture_clip import SPECK_MM2, halves, on_side
from app.drawing.picture_conflict import limit_over_mm
from app.drawing.picture_faces import Face, between_rings, strokes_of
from app.drawing.picture_inks import PALE, TOO_HIGH
from app.drawing.picture_room import ROUND, Figure, person_owner
from app.drawing.picture_view import Floats, View
from app.drawing.round_body import Ball, Place, hand_of
from app.drawing.section import given_of
from app.drawing.section_frame import Disc, Slab, Stance
from app.drawing.section_pose import stance
from app.published.register import published
from app.scene.build import Scene

DARK_INK = "picture-dark"
CHEST_SHARES = (0.3, 0.5, 0.15, 0.7, 0.9)
"""Where the letter of a person is tried, from the shoulder towards the hip: the chest first."""
PLATE_MM = (10.0, 85.0)
"""Where the plates begin and end beyond the collar of the bar, as the plan draws the long bar's."""
HEADS_MM = (60.0, 140.0)
"""Where the heads of a dumbbell begin and end, to both sides of the hand."""
IN_HAND_MM = 40.0
"""How far what a hand goes round lies behind its middle, so that the fingers are before it."""
ON_A_BAR = frozenset({"pull-up", "dip", "handstand"})
"""Movements with the hands as far apart as on a bar, without one that is held."""
PULLED = frozenset({"cable-pull", "machine-row"})
"""Movements in which the hands pull on a cable or a chain."""
CABLE_MM, GRIP_MM, SHAFT_MM = 5.0, 12.0, 14.0
"""Radii of a cable, of the handle on it, and of the shaft of a bar on a pivot, as drawn."""
HANDLE_OUT_MM = 60.0
"""How far a handle sticks out beyond the hands."""


def figure_faces(scene: Scene, figure: Figure, view: View) -> Iterator[Face]:
    """Yield a person as a body with what they hold; what is above the ceiling apart."""
    bay, owner = figure.bay, person_owner(figure)
    limit = limit_over_mm(bay)
    pose = _pose(scene, figure)
    seen = seen_body(pose.joints, _grips(figure, pose), bay.facing, view)
    body = object()
    for one in seen:
        face = Face(one.area, one.plane, one.edges, owner, one.ink, body)
        yield from parted(_moved(face, bay.at, view), limit, view)
    met = meets_at(bay)
    if met is not None:
        # where the head meets what is lower there, pale: in the middle it is free
        pale = object()
        for one in seen:
            face = Face(one.area, one.plane, one.edges, owner, PALE, pale)
            yield from parted(_moved(face, met, view), bay.clear_mm, view)
    for face in _held(figure, pose, view):
        yield from parted(_moved(face, bay.at, view), limit, view)


def alike(one: Figure, other: Figure) -> bool:
    """Return whether two are drawn alike but for where they are: the same pose, as much room."""
    bays = one.bay, other.bay
    free = not any(meets_at(one) for one in bays)
    here, there = (
        (bay.movement.key, bay.facing, bay.person, bay.demand, bay.held, limit_over_mm(bay))
        for bay in bays
    )
    return free and here == there


def chests_of(scene: Scene, figure: Figure, view: View) -> list[tuple[float, float]]:
    """Return where on the paper the trunk of a person is, its chest first, then what is near."""
    bay, joints = figure.bay, _pose(scene, figure).joints
    shares = np.array(CHEST_SHARES)[:, None]
    trunk = np.array(joints.shoulder) * (1 - shares) + np.array(joints.hip) * shares
    ahead = np.outer(trunk[:, 0], bay.facing) + np.array(bay.at)
    return [(float(u), float(v)) for u, v in view.flat(np.column_stack([ahead, trunk[:, 1]]))]


def parted(face: Face, limit_mm: float, view: View) -> Iterator[Face]:
    """Yield what of a face lies under a height and, in another ink, what lies over it."""
    flat, (a, b, c) = face.flat, face.plane
    u, v = shapely.get_coordinates(flat).T
    eye, axes = view.eye(), view.axes()
    # the height of a point of the face: what is right, down and near of it, each upright share
    heights = u * axes[0, 2] + v * axes[1, 2] + (a + b * u + c * v) * eye[2]
    if heights.max() <= limit_mm:
        yield face
        return
    if heights.min() >= limit_mm:
        yield Face(flat, face.plane, face.edges, face.owner, TOO_HIGH, face.body)
        return
    # height is linear over the face: it is cut by the line on which that is the limit
    gap = np.array([a * eye[2] - limit_mm, axes[0, 2] + b * eye[2], axes[1, 2] + c * eye[2]])
    for side, ink, way in zip(halves(flat, gap), (TOO_HIGH, face.ink), (1, -1), strict=True):
        if side is not None:
            edges = on_side(face.edges, way * gap)
            yield Face(side, face.plane, edges, face.owner, ink, face.body)


def _pose(scene: Scene, figure: Figure) -> Stance:
    return stance(figure.bay.movement.key, given_of(scene, figure.bay))


def _grips(figure: Figure, pose: Stance) -> bool:
    return _bar_end(pose) is not None or figure.bay.movement.key in ON_A_BAR


def _bar_end(pose: Stance) -> tuple[float, float] | None:
    """Return where the bar that somebody holds is seen end-on: how far ahead, and how high."""
    ends = (one for one in pose.held if isinstance(one, Disc) and one.ink == "sleeve")
    return next((one.at for one in ends), None)


def _moved(face: Face, at: tuple[float, float], view: View) -> Face:
    """Return a face of a body over the origin as it is over a place of the room."""
    by = np.array([*at, 0.0])
    (right, down), nearer = view.flat(by), float(view.depth(by))
    a, b, c = face.plane
    flat = shapely.transform(face.flat, lambda xy: xy + np.array([right, down]))
    plane = (a + nearer - b * float(right) - c * float(down), b, c)
    return Face(flat, plane, face.edges + np.array([right, down]), face.owner, face.ink, face.body)


def _held(figure: Figure, pose: Stance, view: View) -> Iterator[Face]:
    """Yield what a person holds, over the origin of the room."""
    grips = _grips(figure, pose)
    hands = [np.array(hand_of(pose.joints, side, grips)) for side in (-1, 1)]
    if _bar_end(pose) is not None:
        yield from _bar(figure, pose, view)
        return
    for thing in (*pose.behind, *pose.held):
        if isinstance(thing, Disc) and thing.ink == "plate":
            if math.dist(thing.at, pose.joints.hands[0]) < 1:
                for hand in hands:
                    yield from _dumbbell(figure, hand, thing.radius_mm, view)
            else:
                middle = 0.0 if thing in pose.held else float(hands[1][1])
                ball = Ball((thing.at[0], middle, thing.at[1]), thing.radius_mm)
                yield from _rod(figure, [ball], 0.0, view)
        elif isinstance(thing, Slab) and thing.ink == "plate":
            yield from _on_a_pivot(figure, thing, view)
    if figure.bay.movement.key in PULLED:
        yield from _cables(figure, hands, view)


def _bar(figure: Figure, pose: Stance, view: View) -> Iterator[Face]:
    """Yield the bar that somebody holds: it runs across them."""
    end = _bar_end(pose)
    assert end is not None, "only who holds a bar is drawn with one"
    held, (ahead, grip) = figure.bay.held, end
    assert held is not None, "two dumbbells have no end of a bar"
    tip = held.length_mm / 2
    thin = held.shaft_diameter_mm / 2
    balls = [Ball((ahead, way * tip, grip), thin) for way in (-1, 1)]
    yield from _rod(figure, balls, IN_HAND_MM, view)
    for way in (-1, 1):
        near, far = ((ahead, way * (held.collar_mm + by), grip) for by in PLATE_MM)
        yield from _round(figure, near, far, held.plate_mm / 2, view)


def _dumbbell(figure: Figure, hand: Floats, radius: float, view: View) -> Iterator[Face]:
    x, y, z = hand.tolist()
    balls = [Ball((x, y + way * HEADS_MM[1], z), GRIP_MM) for way in (-1, 1)]
    yield from _rod(figure, balls, IN_HAND_MM, view)
    for way in (-1, 1):
        near, far = ((x, y + way * by, z) for by in HEADS_MM)
        yield from _round(figure, near, far, radius, view)


def _on_a_pivot(figure: Figure, stack: Slab, view: View) -> Iterator[Face]:
    """Yield the bar whose other end is on a pivot: a stack of plates, and the shaft down to it."""
    corners = np.array(stack.corners)
    sides = np.roll(corners, -1, axis=0) - corners
    long = np.hypot(*sides.T)
    through = sides[long.argmin()] / 2
    # the pivot is ahead of whoever presses
    along = through * np.sign(through[0])
    (x, z), (dx, dz) = corners.mean(axis=0).tolist(), along.tolist()
    near, far = (x - dx, 0.0, z - dz), (x + dx, 0.0, z + dz)
    yield from _round(figure, near, far, float(long.max()) / 2, view)
    way = along / np.hypot(*along) * published("landmine.lever-mm")
    balls = [Ball((x, 0.0, z), SHAFT_MM), Ball((x + way[0], 0.0, z + way[1]), SHAFT_MM)]
    yield from _rod(figure, balls, 0.0, view)


def _cables(figure: Figure, hands: Sequence[Floats], view: View) -> Iterator[Face]:
    """Yield what is pulled on: from each hand, or from a handle in both, to the nearest wheel."""
    bay = figure.bay
    assert bay.placed is not None, "a cable hangs on kit"
    frame = frame_of(bay.facing)
    wheels = []
    shape = bay.placed.shape
    for polygon, part, low, high in zip(
        bay.placed.polygons(), shape.parts, shape.low_mm, shape.high_mm, strict=True
    ):
        if part == "wheel":
            x, y = polygon.centroid.coords[0]
            z = (low + high) / 2 + bay.placed.lift_mm
            wheels.append(frame @ np.array([x - bay.at[0], y - bay.at[1], z]))
    if not wheels:
        return
    ends = [min(wheels, key=lambda at: float(np.linalg.norm(at - hand))) for hand in hands]
    if ends[0] is ends[1]:
        out = np.array([0.0, HANDLE_OUT_MM, 0.0])
        handle = [hands[0] - out, hands[1] + out]
        yield from _rod(figure, [Ball(_place(at), GRIP_MM) for at in handle], IN_HAND_MM, view)
        hands, ends = [(hands[0] + hands[1]) / 2], ends[:1]
    for hand, end in zip(hands, ends, strict=True):
        yield from _rod(figure, [Ball(_place(at), CABLE_MM) for at in (hand, end)], 0.0, view)


def _place(at: Floats) -> Place:
    x, y, z = at.tolist()
    return x, y, z


def _rod(figure: Figure, balls: Sequence[Ball], behind_mm: float, view: View) -> Iterator[Face]:
    """Yield something round between balls, or one ball."""
    frame = frame_of(figure.bay.facing)
    flat = hull_of(balls, frame, view)
    if flat.area < SPECK_MM2:
        return
    a, b, c = ridge(np.array([ball.at for ball in balls]) @ frame, view).tolist()
    yield Face(flat, (a - behind_mm, b, c), strokes_of(flat), person_owner(figure), DARK_INK)


def _round(figure: Figure, near: Place, far: Place, radius: float, view: View) -> Iterator[Face]:
    """Yield a round plate between two places, square to the way between them."""
    frame = frame_of(figure.bay.facing)
    ends = np.array([near, far])
    axis = (ends[1] - ends[0]) / np.linalg.norm(ends[1] - ends[0])
    # two directions square to it, one of them as upright as may be
    up = np.array([0.0, 0.0, 1.0]) if abs(axis[2]) < math.cos(1) else np.array([1.0, 0.0, 0.0])
    one = np.cross(axis, up)
    one /= np.linalg.norm(one)
    other = np.cross(one, axis)
    turns = np.linspace(0, 2 * np.pi, ROUND, endpoint=False)
    ring = radius * (np.outer(np.cos(turns), one) + np.outer(np.sin(turns), other))
    rings = [(at + ring) @ frame for at in ends]
    yield from between_rings(rings[0], rings[1], person_owner(figure), DARK_INK, view)
