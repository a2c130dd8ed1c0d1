"""Each movement at its top: where the joints are, what is held, what carries the person.

Side view in mm: x the way the person faces, with the middle of the movement at 0; z up from the
bare floor. The height that decides is not drawn by eye: crown, grip or fingertips stand where the
sum behind the verdict puts them, and the rest of the body hangs from there in its own proportions.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from app.drawing.body import Joints, Spot
from app.drawing.section_frame import Disc, Frame, Given, Oval, Slab, Stance, Thing
from app.drawing.section_held import bar_end, dumbbell
from app.formulas.body import proportions
from app.published.register import published

PEDAL_MM = 120
"""Height of the lower pedal as it is drawn: a picture, nothing is judged by it."""


def stance(movement: str, given: Given) -> Stance:
    """Pose a person at the top of a movement. An unknown movement is drawn standing."""
    return _STANCES.get(movement, _stand)(given)


def _upright(
    g: Given,
    hands: tuple[Spot, Spot],
    toes_deg: tuple[float, float] = (0.0, 0.0),
    open_hands: bool = False,
) -> Joints:
    """Stand on both feet with the crown at the top of the body."""
    f = Frame(g.stature_mm)
    h = f.tall
    feet = ((h * 0.030, g.feet_mm + f.sole), (-h * 0.045, g.feet_mm + f.sole))
    hip = (-h * 0.008, g.feet_mm + f.hip)
    shoulder = (-h * 0.004, hip[1] + f.back)
    return f.person(hip, shoulder, hands, feet, toes_deg=toes_deg, open_hands=open_hands)


def _hanging(g: Given, forward: float = 0.03, lift: float = 0.0) -> Spot:
    f = Frame(g.stature_mm)
    shoulder = g.feet_mm + f.hip + f.back
    return f.tall * forward, shoulder - (f.upper + f.fore) * (0.985 - lift)


def _stand(g: Given) -> Stance:
    return Stance(_upright(g, (_hanging(g), _hanging(g, -0.02))))


def _press(g: Given) -> Stance:
    grip = (0.0, g.grip_mm)
    return Stance(_upright(g, (grip, grip)), held=bar_end(grip, g.plate_mm))


def _dumbbells(g: Given) -> Stance:
    grip = (0.0, g.grip_mm)
    return Stance(_upright(g, (grip, grip)), held=dumbbell(g, grip))


def _kettlebell(g: Given) -> Stance:
    grip = (0.0, g.grip_mm)
    ball = Disc((-88.0, g.grip_mm - 132.0), 98, "plate")
    ring = Disc((-20.0, g.grip_mm - 20), g.top_mm - g.grip_mm + 20, "handle")
    return Stance(_upright(g, (grip, _hanging(g, -0.02))), behind=(ring, ball))


def _bench(x0: float, x1: float, top: float, floor: float, under: Spot) -> tuple[Thing, ...]:
    """Draw a bench: pad, rail and two feet; `under` are the places of its legs along x."""
    pad = top - 65
    parts = [Slab(((x0, pad), (x1, pad), (x1, top), (x0, top)), "thing pad")]
    for x in under:
        leg = ((x - 22, pad), (x - 22, floor), (x + 22, floor), (x + 22, pad))
        parts.append(Slab(leg, "thing"))
    return tuple(parts)


def _seated(g: Given) -> Stance:
    f = Frame(g.stature_mm)
    h, seat = f.tall, g.feet_mm
    hip = (-h * 0.02, seat + h * 0.062)
    shoulder = (-h * 0.03, hip[1] + f.back)
    grip = (-h * 0.015, g.grip_mm)
    feet = ((h * 0.245, g.floor_mm + f.sole), (h * 0.205, g.floor_mm + f.sole))
    joints = f.person(hip, shoulder, (grip, grip), feet)
    x = -h * 0.095
    back = (
        (x, seat - 10),
        (x - h * 0.012, seat + h * 0.40),
        (x - h * 0.012 - 60, seat + h * 0.40 + 4),
        (x - 60, seat - 10),
    )
    bench = _bench(x - 30, h * 0.17, seat, g.floor_mm, (x + 40, h * 0.11))
    held = bar_end(grip, g.plate_mm) if g.plate_mm else dumbbell(g, grip)
    return Stance(joints, (Slab(back, "thing pad"), *bench), held)


def _kneeling(g: Given) -> Stance:
    f = Frame(g.stature_mm)
    h, floor = f.tall, g.floor_mm
    knee = (h * 0.02, floor + h * 0.031)
    shoulder_z = g.grip_mm - (f.upper + f.fore) * 0.995
    hip_z = min(shoulder_z - f.back * 0.985, knee[1] + f.thigh)
    hip = (knee[0] - (f.thigh**2 - (hip_z - knee[1]) ** 2) ** 0.5, hip_z)
    shoulder = (hip[0] + h * 0.035, max(shoulder_z, hip_z + f.back * 0.985))
    grip = (shoulder[0] + h * 0.01, g.grip_mm)
    ankle = (knee[0] - f.shank, floor + h * 0.036)
    far = (ankle[0] - h * 0.01, ankle[1])
    joints = f.person(hip, shoulder, (grip, grip), (ankle, far), toes_deg=(-158.0, -158.0))
    return Stance(replace(joints, knees=(knee, knee)), held=bar_end(grip, g.plate_mm))


def _landmine(g: Given) -> Stance:
    f = Frame(g.stature_mm)
    h = f.tall
    pivot_z = g.floor_mm + published("landmine.pivot-mm")
    lever = published("landmine.lever-mm")
    half = g.plate_mm / 2
    # past the steepest useful angle the rigid bar bounds the height, not the reach
    rise = min(lever / math.hypot(lever, half), (g.grip_mm - pivot_z) / lever)
    run = (1 - rise * rise) ** 0.5
    grip = (0.0, pivot_z + lever * rise)
    pivot = (lever * run, pivot_z)
    square = (rise, run)
    # the shaft is 28 thick, the stack of plates 70; the bar's end stands past the plates
    shaft = Slab(
        (
            (grip[0] - run * 130 - square[0] * 14, grip[1] + rise * 130 - square[1] * 14),
            (grip[0] - run * 130 + square[0] * 14, grip[1] + rise * 130 + square[1] * 14),
            (pivot[0] + square[0] * 14, pivot[1] + square[1] * 14),
            (pivot[0] - square[0] * 14, pivot[1] - square[1] * 14),
        ),
        "thing",
    )
    stack = Slab(
        tuple(
            (
                grip[0] + square[0] * half * up + run * 35 * out,
                grip[1] + square[1] * half * up - rise * 35 * out,
            )
            for up, out in ((1, -1), (1, 1), (-1, 1), (-1, -1))
        ),
        "plate",
    )
    foot = Slab(
        (
            (pivot[0] - 90, g.floor_mm),
            (pivot[0] - 25, pivot_z + 25),
            (pivot[0] + 25, pivot_z + 25),
            (pivot[0] + 90, g.floor_mm),
        ),
        "thing",
    )
    shoulder = (-h * 0.155, grip[1] - h * 0.335)
    hip = (shoulder[0] - h * 0.09, shoulder[1] - (f.back**2 - (h * 0.09) ** 2) ** 0.5)
    feet = ((-h * 0.36, g.floor_mm + f.sole), (-h * 0.44, g.floor_mm + f.sole))
    joints = f.person(hip, shoulder, (grip, grip), feet, head_deg=-14.0)
    return Stance(joints, (foot, shaft), (stack,))


def _lying(g: Given) -> Stance:
    f = Frame(g.stature_mm)
    h, pad = f.tall, g.feet_mm
    shoulder = (0.0, pad + h * 0.070)
    hip = (f.back, pad + h * 0.062)
    grip = (h * 0.005, g.grip_mm)
    feet = ((f.back + h * 0.245, g.floor_mm + f.sole), (f.back + h * 0.20, g.floor_mm + f.sole))
    joints = f.person(hip, shoulder, (grip, grip), feet, head_deg=90.0)
    bench = _bench(-h * 0.20, f.back + h * 0.07, pad, g.floor_mm, (-h * 0.12, f.back))
    return Stance(joints, bench, bar_end(grip, g.plate_mm))


def _bar_on_its_post(g: Given, reach: float) -> tuple[Thing, ...]:
    if g.on_kit:
        return ()
    post = ((reach - 25, g.floor_mm), (reach + 25, g.floor_mm), (reach + 25, g.bar_mm))
    arm = ((-20.0, g.bar_mm - 14), (reach, g.bar_mm - 14), (reach, g.bar_mm + 14), (-20, g.bar_mm))
    return Slab((*post, (reach - 25, g.bar_mm)), "seen"), Slab(arm, "seen")


def _dip(g: Given) -> Stance:
    f = Frame(g.stature_mm)
    h = f.tall
    grip = (0.0, g.bar_mm)
    shoulder = (h * 0.02, g.top_mm - f.neck)
    hip = (-h * 0.012, shoulder[1] - f.back * 0.994)
    knee_z = hip[1] - f.thigh * 0.97
    ankle = (hip[0] - f.shank * 0.80, knee_z - f.shank * 0.52)
    joints = f.person(
        hip, shoulder, (grip, grip), (ankle, ankle), toes_deg=(-50.0, -50.0), elbow=-1
    )
    return Stance(joints, _bar_on_its_post(g, h * 0.2), (Disc(grip, 20, "bar-middle"),))


def _pull_up(g: Given) -> Stance:
    f = Frame(g.stature_mm)
    h = f.tall
    grip = (0.0, g.bar_mm)
    shoulder = (-h * 0.085, g.top_mm - f.neck)
    hip = (-h * 0.055, shoulder[1] - f.back * 0.99)
    if g.form == "straight":
        ankle = (hip[0] - h * 0.03, hip[1] - (f.thigh + f.shank) * 0.985)
        toes = -40.0
    elif g.form == "bent":
        ankle = (hip[0] - f.shank * 0.93, hip[1] - f.thigh * 0.99 - f.shank * 0.10)
        toes = -80.0
    else:
        ankle = (hip[0] + f.thigh * 0.78, hip[1] - f.shank * 0.98)
        toes = -12.0
    far = (ankle[0] - h * 0.02, ankle[1])
    joints = f.person(hip, shoulder, (grip, grip), (ankle, far), toes_deg=(toes, toes))
    bar = (Disc(grip, 17, "bar-middle"),)
    return Stance(joints, _bar_on_its_post(g, h * 0.3), bar)


def _squat(g: Given) -> Stance:
    h = g.stature_mm
    f = Frame(h)
    bar = (-h * 0.058, g.feet_mm + f.hip + f.back)
    hand = (bar[0] + h * 0.02, bar[1])
    joints = _upright(g, (hand, hand))
    elbow = (-h * 0.10, bar[1] - h * 0.155)
    return Stance(replace(joints, elbows=(elbow, elbow)), (), bar_end(bar, g.plate_mm))


def _deadlift(g: Given) -> Stance:
    grip = _hanging(g, 0.062)
    return Stance(_upright(g, (grip, grip)), held=bar_end(grip, g.plate_mm))


def _run(g: Given) -> Stance:
    f = Frame(g.stature_mm)
    h, crown = f.tall, g.top_mm
    shoulder = (h * 0.045, crown - f.neck)
    hip = (-h * 0.02, shoulder[1] - f.back * 0.975)
    near = (hip[0] + h * 0.12, hip[1] - h * 0.45)
    far = (hip[0] - h * 0.335, hip[1] - h * 0.285)
    hands = ((shoulder[0] - h * 0.13, shoulder[1] - h * 0.255), (h * 0.235, shoulder[1] - h * 0.13))
    return Stance(
        f.person(hip, shoulder, hands, (near, far), toes_deg=(12.0, -72.0), head_deg=-4.0)
    )


def _walk(g: Given) -> Stance:
    f = Frame(g.stature_mm)
    h = f.tall
    hip = (0.0, g.feet_mm + f.hip)
    shoulder = (h * 0.01, hip[1] + f.back)
    feet = ((h * 0.02, g.feet_mm + f.sole), (-h * 0.20, g.feet_mm + f.sole + h * 0.075))
    hands = (_hanging(g, -0.12, 0.06), _hanging(g, 0.15, 0.06))
    return Stance(f.person(hip, shoulder, hands, feet, toes_deg=(0.0, -48.0)))


def _bike(g: Given) -> Stance:
    f = Frame(g.stature_mm)
    h = f.tall
    shoulder = (h * 0.10, g.top_mm - f.neck)
    hip = (-h * 0.02, shoulder[1] - f.back * 0.91)
    # the lower pedal is clear of the floor, however low the seat
    low = max(g.top_mm - h, g.floor_mm + PEDAL_MM) + f.sole
    feet = ((h * 0.0, low), (h * 0.05, low + 340))
    hands = ((h * 0.30, shoulder[1] - h * 0.26), (h * 0.30, shoulder[1] - h * 0.26))
    return Stance(f.person(hip, shoulder, hands, feet, toes_deg=(-14.0, 0.0), head_deg=-6.0))


def _on_a_box(g: Given) -> Stance:
    box: tuple[Thing, ...] = ()
    h = g.stature_mm
    if not g.on_kit and g.feet_mm > g.floor_mm:
        half = h * 0.16
        ring = ((-half, g.floor_mm), (half, g.floor_mm), (half, g.feet_mm), (-half, g.feet_mm))
        box = (Slab(ring, "thing"),)
    return replace(_stand(g), behind=box)


def _jump(g: Given) -> Stance:
    f = Frame(g.stature_mm)
    h, crown = f.tall, g.top_mm
    feet = crown - h
    up = replace(g, feet_mm=feet)
    hand = (h * 0.16, feet + f.hip + h * 0.10)
    off = feet > g.feet_mm + 1
    toes = (-28.0, -28.0) if off else (0.0, 0.0)
    joints = _upright(up, (hand, (hand[0] - h * 0.02, hand[1])), toes_deg=toes)
    return Stance(joints, _on_a_box(g).behind)


def _skip(g: Given) -> Stance:
    h = g.stature_mm
    feet = g.floor_mm + 100
    up = replace(g, feet_mm=feet, top_mm=feet + h)
    f = Frame(h)
    hand = (h * 0.10, feet + f.hip + h * 0.02)
    loop = 1.25 * h / 2
    rope = Oval((0.0, g.floor_mm + loop), h * 0.46, loop, "rope")
    joints = _upright(up, (hand, hand), toes_deg=(-28.0, -28.0))
    return Stance(joints, (rope,), (Disc(hand, 16, "bar-middle"),))


def _stretch(g: Given) -> Stance:
    tips = proportions(g.stature_mm).hand_mm / 2
    grip = (0.0, g.top_mm - tips)
    return Stance(_upright(g, (grip, grip), open_hands=True))


def _handstand(g: Given) -> Stance:
    f = Frame(g.stature_mm)
    h = f.tall
    hand = (0.0, g.floor_mm + h * 0.030)
    shoulder = (0.0, g.floor_mm + (f.upper + f.fore) * 0.93)
    hip = (-h * 0.004, shoulder[1] + f.back)
    ankle = (h * 0.012, g.top_mm - h * 0.104)
    joints = f.person(
        hip,
        shoulder,
        (hand, hand),
        (ankle, ankle),
        head_deg=180.0,
        toes_deg=(96.0, 96.0),
    )
    return Stance(joints)


def _sit_up(g: Given) -> Stance:
    f = Frame(g.stature_mm)
    h = f.tall
    hip = (-h * 0.10, g.floor_mm + h * 0.060)
    shoulder = (-h * 0.10, g.top_mm - f.neck)
    feet = ((h * 0.25, g.floor_mm + f.sole), (h * 0.22, g.floor_mm + f.sole))
    hand = (h * 0.12, shoulder[1] - h * 0.08)
    return Stance(f.person(hip, shoulder, (hand, hand), feet))


def _row(g: Given) -> Stance:
    f = Frame(g.stature_mm)
    h = f.tall
    hip = (-h * 0.10, g.feet_mm + h * 0.060)
    shoulder = (-h * 0.10, g.top_mm - f.neck)
    low = max(g.floor_mm, g.feet_mm - h * 0.12) + f.sole
    feet = ((h * 0.25, low), (h * 0.22, low))
    hand = (h * 0.12, shoulder[1] - h * 0.12)
    return Stance(f.person(hip, shoulder, (hand, hand), feet))


def _arms_out(g: Given) -> Stance:
    f = Frame(g.stature_mm)
    h = f.tall
    hand = (h * 0.34, g.feet_mm + f.hip + f.back - h * 0.10)
    return Stance(_upright(g, (hand, (hand[0] - h * 0.02, hand[1]))))


def _swing(g: Given) -> Stance:
    drawn = _arms_out(g)
    x, z = drawn.joints.hands[0]
    ball = (Disc((x + 120, z), 98, "plate"), Disc((x + 22, z), 45, "handle"))
    return replace(drawn, held=ball)


def _guard(g: Given) -> Stance:
    f = Frame(g.stature_mm)
    h = f.tall
    chin = g.feet_mm + f.hip + f.back + h * 0.03
    return Stance(_upright(g, ((h * 0.11, chin), (h * 0.16, chin + h * 0.01))))


_STANCES: dict[str, Callable[[Given], Stance]] = {
    "standing-press": _press,
    "dumbbell-press": _dumbbells,
    "kettlebell-overhead": _kettlebell,
    "seated-press": _seated,
    "kneeling-press": _kneeling,
    "landmine-press": _landmine,
    "bench-press": _lying,
    "dip": _dip,
    "pull-up": _pull_up,
    "squat": _squat,
    "deadlift": _deadlift,
    "barbell-row": _deadlift,
    "run": _run,
    "walk": _walk,
    "cross-trainer": _walk,
    "bike": _bike,
    "machine-row": _row,
    "step-up": _on_a_box,
    "stair-machine": _on_a_box,
    "box-jump": _jump,
    "skip": _skip,
    "stretch": _stretch,
    "handstand": _handstand,
    "floor-work": _sit_up,
    "cable-pull": _arms_out,
    "kettlebell-swing": _swing,
    "bag": _guard,
}
