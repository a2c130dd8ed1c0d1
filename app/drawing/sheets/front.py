"""A person from the front, built from the same joints as from the side.

Heights are those of the joints; widths between left and right are shares of the stature, for the
eye only: nothing is judged by them.
"""

from __future__ import annotations

from functools import lru_cache

import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.body import POSES_AT_MOST, Joints
from app.formulas.body import proportions

_SHOULDER, _HIP, _STANCE, _GRIP = 0.118, 0.055, 0.075, 0.145
"""Half the distance between shoulder joints, hip joints, feet and hands on a bar, as shares of the
stature: by the look of it, from memory."""


@lru_cache(POSES_AT_MOST)
def front_view(joints: Joints, grips: bool) -> BaseGeometry:
    """Return the outline of a person from the front, x to the side and z up, about the middle."""
    tall = joints.stature_mm
    parts: list[BaseGeometry] = []
    shoulder_z, hip_z = joints.shoulder[1], joints.hip[1]
    for side in (-1, 1):
        hand_x = side * tall * (_GRIP if grips else _SHOULDER * 1.25)
        elbow_x = side * tall * (_SHOULDER * 1.3)
        index = 0 if side > 0 else 1
        shoulder = (side * tall * _SHOULDER, shoulder_z)
        elbow = (elbow_x, joints.elbows[index][1])
        hand = (hand_x, joints.hands[index][1])
        parts += [_limb(shoulder, tall * 0.031, elbow, tall * 0.022)]
        parts += [_limb(elbow, tall * 0.023, hand, tall * 0.018)]
        parts.append(shapely.Point(hand).buffer(tall * 0.023))
        hip = (side * tall * _HIP, hip_z)
        knee = (side * tall * (_STANCE * 0.9), joints.knees[index][1])
        ankle = (side * tall * _STANCE, joints.ankles[index][1])
        parts.append(_limb(hip, tall * 0.05, knee, tall * 0.033))
        parts.append(_limb(knee, tall * 0.033, ankle, tall * 0.022))
        low = proportions(tall).ankle_height_mm
        toe = (ankle[0] + side * tall * 0.012, ankle[1] - low + tall * 0.014)
        parts.append(_limb(ankle, tall * 0.022, toe, tall * 0.022))
    chest = [
        (-tall * 0.105, shoulder_z + tall * 0.012), (tall * 0.105, shoulder_z + tall * 0.012),
        (tall * 0.08, (shoulder_z + hip_z) / 2), (tall * 0.085, hip_z - tall * 0.02),
        (-tall * 0.085, hip_z - tall * 0.02), (-tall * 0.08, (shoulder_z + hip_z) / 2),
    ]  # fmt: skip
    parts.append(shapely.Polygon(chest).buffer(tall * 0.015))
    lengths = proportions(tall)
    over = tall - lengths.shoulder_height_mm
    half = (tall - lengths.chin_height_mm) / 2
    head = shapely.affinity.scale(
        shapely.Point(0, shoulder_z + over - half).buffer(1), tall * 0.045, half
    )
    parts += [
        head,
        _limb((0, shoulder_z), tall * 0.028, (0, shoulder_z + over - half), tall * 0.028),
    ]
    crease = tall * 0.006
    joined = shapely.union_all(parts).buffer(crease).buffer(-2 * crease).buffer(crease)
    return joined.simplify(0.8)


def _limb(
    start: tuple[float, float], start_radius: float, end: tuple[float, float], end_radius: float
) -> BaseGeometry:
    discs = [
        shapely.Point(start).buffer(start_radius, quad_segs=12),
        shapely.Point(end).buffer(end_radius, quad_segs=12),
    ]
    return shapely.union_all(discs).convex_hull
