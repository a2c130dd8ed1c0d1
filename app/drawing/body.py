"""A person as a silhouette in side view, built from joints and the lengths of their own body.

Side view: x grows the way the person faces, z grows upwards, both in mm. Limbs taper from joint
to joint; the near side and the far side are areas of their own, so that the far one can be paler.
Thicknesses are for drawing only and decide nothing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import shapely
from shapely.geometry.base import BaseGeometry

from app.formulas.body import proportions

Spot = tuple[float, float]
_ROUND = 12


POSES_AT_MOST = 64
"""Outlines of people that are remembered: who is moved with a piece keeps their pose."""


@dataclass(frozen=True, slots=True)
class Joints:
    """Where the joints of one person are. Pairs hold the near side first, then the far side.

    `head_deg` and `toes_deg` turn the head and the feet, anticlockwise as drawn, from upright and
    from flat. `open_hands` reach past the grip to the fingertips.
    """

    stature_mm: float
    hip: Spot
    shoulder: Spot
    knees: tuple[Spot, Spot]
    ankles: tuple[Spot, Spot]
    elbows: tuple[Spot, Spot]
    hands: tuple[Spot, Spot]
    head_deg: float = 0.0
    toes_deg: tuple[float, float] = (0.0, 0.0)
    open_hands: bool = False


@dataclass(frozen=True, slots=True)
class Silhouette:
    """The areas of a person: what is nearer to the eye and what is farther."""

    near: BaseGeometry
    far: BaseGeometry


def bend(start: Spot, end: Spot, first: float, second: float, side: int) -> Spot:
    """Return the joint between two bones that reach from a start to an end.

    `side` 1 puts it to the left of the way from start to end, -1 to the right. Where the bones
    are too short they are drawn longer.
    """
    dx, dz = end[0] - start[0], end[1] - start[1]
    far = math.hypot(dx, dz) or 1.0
    if far >= first + second:
        share = first / (first + second)
        return start[0] + dx * share, start[1] + dz * share
    along = (far * far + first * first - second * second) / (2 * far)
    out = side * math.sqrt(max(0.0, first * first - along * along))
    ux, uz = dx / far, dz / far
    return start[0] + ux * along - uz * out, start[1] + uz * along + ux * out


@lru_cache(POSES_AT_MOST)
def silhouette(joints: Joints) -> Silhouette:
    """Draw a person."""
    tall = joints.stature_mm
    trunk = [*_trunk(joints), *_head(joints)]
    near, far = (
        [
            *_leg(joints, side),
            *_foot(joints.ankles[side], joints.toes_deg[side], tall),
            *_arm(joints, side),
        ]
        for side in (0, 1)
    )
    return Silhouette(_skin([*trunk, *near], tall), _skin(far, tall))


def _skin(parts: list[BaseGeometry], tall: float) -> BaseGeometry:
    """Join limbs and round the creases between them."""
    crease = tall * 0.008
    joined = shapely.union_all(parts)
    rounded = joined.buffer(crease).buffer(-2 * crease).buffer(crease)
    return rounded.simplify(0.8)


def _limb(start: Spot, start_radius: float, end: Spot, end_radius: float) -> BaseGeometry:
    discs = [
        shapely.Point(spot).buffer(radius, quad_segs=_ROUND)
        for spot, radius in ((start, start_radius), (end, end_radius))
    ]
    return shapely.union_all(discs).convex_hull


def _between(start: Spot, end: Spot, share: float, side: float = 0.0) -> Spot:
    dx, dz = end[0] - start[0], end[1] - start[1]
    return start[0] + dx * share - dz * side, start[1] + dz * share + dx * side


def _trunk(joints: Joints) -> list[BaseGeometry]:
    tall, hip, top = joints.stature_mm, joints.hip, joints.shoulder
    ribs = _between(hip, top, 0.80, -0.03)
    waist = _between(hip, top, 0.36, -0.02)
    seat = _between(hip, top, 0.03, 0.03)
    return [
        _limb(ribs, tall * 0.064, waist, tall * 0.050),
        _limb(waist, tall * 0.050, seat, tall * 0.060),
        _limb(top, tall * 0.036, ribs, tall * 0.055),
    ]


def _head(joints: Joints) -> list[BaseGeometry]:
    """Put the crown where the length above the shoulder says; the face looks along x."""
    tall, base = joints.stature_mm, joints.shoulder
    lengths = proportions(tall)
    over = tall - lengths.shoulder_height_mm
    half = (tall - lengths.chin_height_mm) / 2

    def at(x: float, z: float) -> Spot:
        return base[0] + x * tall, base[1] + z

    middle = at(0.012, over - half)
    skull = shapely.affinity.scale(
        shapely.Point(middle).buffer(1, quad_segs=2 * _ROUND), tall * 0.054, half
    )
    chin = _limb(at(0.030, over - 1.55 * half), tall * 0.022, middle, tall * 0.03)
    nose = _limb(at(0.062, over - 1.05 * half), tall * 0.007, at(0.03, over - half), tall * 0.02)
    neck = _limb(base, tall * 0.030, at(0.004, over - 1.3 * half), tall * 0.030)
    turned = [
        shapely.affinity.rotate(part, joints.head_deg, origin=base)
        for part in (skull, chin, nose, neck)
    ]
    return turned


def _leg(joints: Joints, side: int) -> list[BaseGeometry]:
    tall, knee, ankle = joints.stature_mm, joints.knees[side], joints.ankles[side]
    calf = _between(knee, ankle, 0.28, -0.05)
    return [
        _limb(joints.hip, tall * 0.053, knee, tall * 0.032),
        _limb(knee, tall * 0.031, ankle, tall * 0.021),
        _limb(calf, tall * 0.031, ankle, tall * 0.021),
    ]


def _foot(ankle: Spot, toes_deg: float, tall: float) -> list[BaseGeometry]:
    low = proportions(tall).ankle_height_mm
    heel = (ankle[0] - tall * 0.030, ankle[1] - low + tall * 0.016)
    ball = (ankle[0] + tall * 0.090, ankle[1] - low + tall * 0.011)
    foot = [
        _limb(heel, tall * 0.016, ball, tall * 0.011),
        _limb(ankle, tall * 0.022, _between(heel, ball, 0.45), tall * 0.016),
        _limb(ankle, tall * 0.021, heel, tall * 0.016),
    ]
    return [shapely.affinity.rotate(part, toes_deg, origin=ankle) for part in foot]


def _arm(joints: Joints, side: int) -> list[BaseGeometry]:
    tall, elbow, hand = joints.stature_mm, joints.elbows[side], joints.hands[side]
    parts = [
        _limb(joints.shoulder, tall * 0.031, elbow, tall * 0.022),
        _limb(elbow, tall * 0.023, hand, tall * 0.017),
    ]
    if joints.open_hands:
        parts.append(_limb(hand, tall * 0.019, _between(elbow, hand, 1.23), tall * 0.008))
    else:
        parts.append(shapely.Point(hand).buffer(tall * 0.023, quad_segs=_ROUND))
    return parts
