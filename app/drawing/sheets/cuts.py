"""Where a plan is cut for its two sections: through what decides, along and across."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from app.checks.open_floor import directions
from app.drawing.section import given_of
from app.drawing.section_bay import Bay
from app.drawing.section_frame import Disc, Stance
from app.drawing.section_pose import stance
from app.drawing.sheets.cutting_plane import Cut
from app.drawing.sheets.section_heights import shown_of
from app.drawing.sheets.tightest import Stand
from app.scene.build import Placed, Scene
from app.scene.shapes import turn
from app.scene.tolerance import TOLERANCE_MM

ALONG, ACROSS = "X", "Y"
"""What the ends of the two cuts are marked with: a capital at either end, as ISO 128-3 has it (from
memory), and from the far end of the alphabet, for people are lettered from A on."""

_OVER_PERSON_MM = 250.0
"""A cut is moved no farther than this, half the breadth of shoulders: it still goes through whoever
stands there."""


def cuts_of(scene: Scene, at: Placed | None, every: Sequence[Stand]) -> tuple[Cut, Cut]:
    """Return the cut along the way the person faces (or the piece stands) and the one across.

    Each goes through what decides, or looks to where it is.
    """
    if every:
        where, facing = every[0].bay.at, every[0].bay.facing
    elif at is not None:
        where, facing = at.at, turn(0.0, 1.0, at.pose.angle_deg)
    else:
        along, _ = directions(scene.room)
        middle = scene.room.free.representative_point()
        where, facing = (middle.x, middle.y), turn(1.0, 0.0, along)
    both = Cut(where, facing, ALONG), Cut(where, (-facing[1], facing[0]), ACROSS)
    if not every:
        return both
    bay = every[0].bay
    first, second = (
        _at_the_bar(scene, _through_what_decides(scene, cut, bay), bay) for cut in both
    )
    return first, second


def _at_the_bar(scene: Scene, cut: Cut, bay: Bay) -> Cut:
    """Return a cut moved to the bar in the hands where that would lie behind whoever looks.

    What a section shows before all else is not to be where nobody could see it from the cut.
    """
    ahead = held_ahead_mm(stance(bay.movement.key, given_of(scene, bay)))
    if ahead is None:
        return cut
    (x, y), (fx, fy) = bay.at, bay.facing
    away = float(cut.flat(np.array([(x + fx * ahead, y + fy * ahead)]))[0][1])
    if not -_OVER_PERSON_MM <= away < -TOLERANCE_MM:
        return cut
    moved = replace(cut, at=cut.place(0.0, away))
    same = shown_of(bay, moved).away_mm is None or shown_of(bay, cut).away_mm is not None
    return moved if same and moved.spans(scene.room.free) else cut


def _through_what_decides(scene: Scene, cut: Cut, bay: Bay) -> Cut:
    """Return a cut moved to the lowest place over a movement where that is over the person.

    Farther off it would pass by whoever is drawn: then it looks to where that place is.
    """
    away = shown_of(bay, cut).away_mm
    if away is None:
        return cut
    if abs(away) <= _OVER_PERSON_MM:
        moved = replace(cut, at=cut.place(0.0, away))
        if moved.spans(scene.room.free) and shown_of(bay, moved).away_mm is None:
            return moved
    return cut if away > 0 else replace(cut, along=(-cut.along[0], -cut.along[1]))


def held_ahead_mm(pose: Stance) -> float | None:
    """Return how far before one's middle a bar is held; None where none is: it has sleeves."""
    sleeves = (one for one in pose.held if isinstance(one, Disc) and one.ink == "sleeve")
    return next((one.at[0] for one in sleeves), None)
