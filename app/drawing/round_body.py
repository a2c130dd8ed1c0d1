"""A person as a body with thickness: balls at the joints, and limbs that taper between them.

The joints are those of the side view, set apart to the left and right of its plane. Frame: x the
way the person faces, y to their right, z up, in mm. Widths are shares of the stature, by the look
of it and from memory: nothing is judged by them, and the heights are those of the joints.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from app.drawing.body import POSES_AT_MOST, Joints, Spot
from app.formulas.body import proportions

Place = tuple[float, float, float]

_SHOULDER, _HIP, _KNEE, _ANKLE = 0.108, 0.046, 0.052, 0.054
"""Half of what is between both shoulders, hips, knees and ankles, shares of the stature."""
_ELBOW, _HANGING, _ON_BAR, _BEFORE = 0.14, 0.135, 0.15, 0.075
"""How far from the middle elbows are, and hands beside the body, on a bar, before the body."""
_BESIDE = 0.08
"""Hands no further than this before or behind the hips hang beside them."""
NECK = "neck"
HEAD = 0.054
"""Half of the width of a head, a share of the stature."""
FACE, _FACE_AHEAD, _FACE_DOWN = 0.043, 0.026, 0.006
"""Radius of a face, and how far before and under the middle of the head it lies, likewise."""


@dataclass(frozen=True, slots=True)
class Ball:
    """A ball about a place of the body, mm."""

    at: Place
    radius_mm: float


@dataclass(frozen=True, slots=True)
class Limb:
    """One part of a body: each of its `hulls` is what lies between some balls.

    `name` says which it is, with -1 to the left and 1 to the right as `side`, 0 in the middle.
    Where it goes over into another part, at `joints`, no outline parts the two.
    """

    name: str
    side: int
    hulls: tuple[tuple[Ball, ...], ...]
    joints: tuple[Ball, ...] = ()


@dataclass(frozen=True, slots=True)
class RoundBody:
    """All limbs of a person, what is seen of the head apart.

    The head is a ball that is as high as it is in the side view, with its middle at `head` and
    `head_mm` up to the crown; `face` is where its face is, on the ball.
    """

    limbs: tuple[Limb, ...]
    head: Place
    head_mm: float
    face: Ball


@lru_cache(POSES_AT_MOST)
def round_body(joints: Joints, grips: bool) -> RoundBody:
    """Return the body of a pose; `grips` tells that both hands are on a bar."""
    middle, crown, face = _head(joints)
    limbs = [_neck(joints, middle)]
    for side in (1, -1):
        limbs += [*_leg(joints, side), *_arm(joints, side, grips)]
    # a limb hangs on the trunk by the first of its joints
    held = tuple(one.joints[0] for one in limbs if one.name in (NECK, "thigh", "upper-arm"))
    return RoundBody((_trunk(joints, held), *limbs), middle, crown, face)


def hand_of(joints: Joints, side: int, grips: bool) -> Place:
    """Return where the middle of a hand is."""
    tall = joints.stature_mm
    spot = joints.hands[_index(side)]
    reach = math.dist(spot, joints.shoulder)
    away = spot[0] - joints.hip[0]
    hangs = spot[1] < joints.shoulder[1] and abs(away) < _BESIDE * tall
    out = _ON_BAR if grips else _HANGING if hangs else _BEFORE
    # an arm at full stretch ahead or up goes straight from the shoulder
    straight = reach > 0.9 * sum(_arm_mm(tall))
    if straight and not grips and not hangs and spot[1] > joints.shoulder[1]:
        out = _SHOULDER
    return _at(spot, side * tall * out)


def _index(side: int) -> int:
    """Return which of a pair of joints is on a side: the near one, as seen from the right."""
    return 0 if side > 0 else 1


def _at(spot: Spot, across: float) -> Place:
    return spot[0], across, spot[1]


def _arm_mm(tall: float) -> tuple[float, float]:
    lengths = proportions(tall)
    return lengths.upper_arm_mm, lengths.forearm_mm + lengths.hand_mm / 2


def _between(start: Place, end: Place, share: float, ahead: float = 0.0) -> Place:
    """Return a place on the way between two, moved square to it in the side view by a share."""
    dx, dz = end[0] - start[0], end[2] - start[2]
    x = start[0] + dx * share - dz * ahead
    y = start[1] + (end[1] - start[1]) * share
    return x, y, start[2] + dz * share + dx * ahead


def _trunk(joints: Joints, held: tuple[Ball, ...]) -> Limb:
    tall = joints.stature_mm
    hip, top = _at(joints.hip, 0.0), _at(joints.shoulder, 0.0)

    def both(at: Place, out: float, radius: float) -> tuple[Ball, ...]:
        return tuple(Ball((at[0], side * tall * out, at[2]), tall * radius) for side in (-1, 1))

    tops = both(top, _SHOULDER * 0.82, 0.036)
    ribs = both(_between(hip, top, 0.78, -0.03), 0.052, 0.058)
    waist = both(_between(hip, top, 0.36, -0.02), 0.036, 0.048)
    seat = both(_between(hip, top, 0.03, 0.03), 0.040, 0.056)
    return Limb("trunk", 0, ((*tops, *ribs), (*ribs, *waist), (*waist, *seat)), held)


def _head(joints: Joints) -> tuple[Place, float, Ball]:
    """Put the crown where the length above the shoulder says, the head turned as in side view."""
    tall, base = joints.stature_mm, joints.shoulder
    lengths = proportions(tall)
    over = tall - lengths.shoulder_height_mm
    half = (tall - lengths.chin_height_mm) / 2
    turned = math.radians(joints.head_deg)

    def at(x: float, z: float) -> Place:
        return (
            base[0] + x * math.cos(turned) - z * math.sin(turned),
            0.0,
            base[1] + x * math.sin(turned) + z * math.cos(turned),
        )

    face = Ball(at((0.012 + _FACE_AHEAD) * tall, over - half - _FACE_DOWN * tall), tall * FACE)
    return at(0.012 * tall, over - half), half, face


def _neck(joints: Joints, head: Place) -> Limb:
    tall = joints.stature_mm
    base = Ball(_at(joints.shoulder, 0.0), tall * 0.034)
    return Limb(NECK, 0, ((base, Ball(_between(base.at, head, 0.5), tall * 0.030)),), (base,))


def _leg(joints: Joints, side: int) -> Iterator[Limb]:
    tall, index = joints.stature_mm, _index(side)
    hip = Ball(_at(joints.hip, side * tall * _HIP), tall * 0.052)
    knee = Ball(_at(joints.knees[index], side * tall * _KNEE), tall * 0.032)
    ankle = Ball(_at(joints.ankles[index], side * tall * _ANKLE), tall * 0.021)
    calf = Ball(_between(knee.at, ankle.at, 0.28, -0.05), tall * 0.031)
    yield Limb("thigh", side, ((hip, knee),), (hip, knee))
    yield Limb("shank", side, ((knee, ankle), (calf, ankle), (knee, calf)), (knee, ankle))
    low = proportions(tall).ankle_height_mm
    turned = math.radians(joints.toes_deg[index])

    def at(x: float, z: float, out: float) -> Place:
        x0, y0, z0 = ankle.at
        return (
            x0 + x * math.cos(turned) - z * math.sin(turned),
            y0 + side * out,
            z0 + x * math.sin(turned) + z * math.cos(turned),
        )

    heel = Ball(at(-tall * 0.030, tall * 0.016 - low, 0.0), tall * 0.016)
    ball = Ball(at(tall * 0.090, tall * 0.013 - low, tall * 0.016), tall * 0.013)
    instep = Ball(at(tall * 0.018, tall * 0.012 - low, tall * 0.003), tall * 0.019)
    yield Limb("foot", side, ((heel, ball, instep), (ankle, instep, heel)), (ankle,))


def _arm(joints: Joints, side: int, grips: bool) -> Iterator[Limb]:
    tall, index = joints.stature_mm, _index(side)
    shoulder = Ball(_at(joints.shoulder, side * tall * _SHOULDER), tall * 0.033)
    hand = hand_of(joints, side, grips)
    bent = _at(joints.elbows[index], side * tall * _ELBOW)
    # a straight arm has its elbow on the way
    if math.dist(joints.shoulder, joints.hands[index]) > 0.97 * sum(_arm_mm(tall)):
        bent = bent[0], (shoulder.at[1] + hand[1]) / 2, bent[2]
    elbow = Ball(bent, tall * 0.023)
    yield Limb("upper-arm", side, ((shoulder, elbow),), (shoulder, elbow))
    palm = Ball(hand, tall * (0.019 if joints.open_hands else 0.022))
    hulls = [(elbow, Ball(hand, tall * 0.017)), (palm,)]
    if joints.open_hands:
        tips = Ball(_between(elbow.at, hand, 1.23), tall * 0.008)
        hulls[1] = (palm, tips)
    yield Limb("forearm", side, tuple(hulls), (elbow,))
