"""The parts of a pose: lengths of one body, its joints, and plain things in side view.

Side view in mm: x the way the person faces, with the middle of the movement at 0; z up from the
bare floor.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from app.drawing.body import Joints, Spot, bend
from app.formulas.body import proportions
from app.formulas.headroom import HangForm


@dataclass(frozen=True, slots=True)
class Given:
    """What a stance is drawn from, in mm above the bare floor where it is a height.

    `top_mm` is the sum that decides (the least), `grip_mm` the hands, `feet_mm` what the person
    stands, sits or lies on, `floor_mm` the covering, `bar_mm` a pull-up or dip bar. `plate_mm` is
    how large across the plates of a bar are, 0 where two dumbbells are held in place of one.
    """

    stature_mm: float
    top_mm: float
    grip_mm: float
    floor_mm: float
    feet_mm: float
    bar_mm: float
    plate_mm: float
    form: HangForm
    on_kit: bool


@dataclass(frozen=True, slots=True)
class Disc:
    """A round thing seen end-on: a plate, the end of a bar, a dumbbell, a kettlebell."""

    at: Spot
    radius_mm: float
    ink: str


@dataclass(frozen=True, slots=True)
class Slab:
    """A plain part in side view: a closed run of corners."""

    corners: tuple[Spot, ...]
    ink: str


@dataclass(frozen=True, slots=True)
class Oval:
    """The loop of a rope."""

    middle: Spot
    half_width_mm: float
    half_height_mm: float
    ink: str


Thing = Disc | Slab | Oval


@dataclass(frozen=True, slots=True)
class Stance:
    """A person in a pose, with what lies behind them and what they hold before them."""

    joints: Joints
    behind: tuple[Thing, ...] = ()
    held: tuple[Thing, ...] = ()


class Frame:
    """Lengths of one body in mm."""

    def __init__(self, stature_mm: float) -> None:
        self.tall = stature_mm
        p = proportions(stature_mm)
        self.thigh = p.hip_height_mm - p.knee_height_mm
        self.shank = p.knee_height_mm - p.ankle_height_mm
        self.sole = p.ankle_height_mm
        self.back = p.shoulder_height_mm - p.hip_height_mm
        self.neck = stature_mm - p.shoulder_height_mm
        self.hip = p.hip_height_mm
        self.upper = p.upper_arm_mm
        self.fore = p.forearm_mm + p.hand_mm / 2

    def person(
        self,
        hip: Spot,
        shoulder: Spot,
        hands: tuple[Spot, Spot],
        ankles: tuple[Spot, Spot],
        *,
        elbow: int = -1,
        knee: int = 1,
        head_deg: float = 0.0,
        toes_deg: tuple[float, float] = (0.0, 0.0),
        open_hands: bool = False,
    ) -> Joints:
        """Return all joints from hip, shoulder, hands and feet; elbows and knees bend between."""
        return Joints(
            self.tall,
            hip,
            shoulder,
            _pair(bend(hip, ankle, self.thigh, self.shank, knee) for ankle in ankles),
            ankles,
            _pair(bend(shoulder, hand, self.upper, self.fore, elbow) for hand in hands),
            hands,
            head_deg,
            toes_deg,
            open_hands,
        )


def _pair(spots: Iterable[Spot]) -> tuple[Spot, Spot]:
    near, far = spots
    return near, far
