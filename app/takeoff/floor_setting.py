"""Where a fitter sets out a floor: the corner to begin at and the first joints from the tape."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from app.scene.build import Scene
from app.takeoff.floor import Layout
from app.takeoff.floor_region import Frame, door_stop_of, frame_of, gap_of, start_words
from app.units import Units
from app.wording import length_words


@dataclass(frozen=True, slots=True)
class SettingOut:
    """The corner of the first piece on the plan, and the first joints, in mm.

    `joint_mm` is how far the joint after the first piece lies from the left and the right end of
    the start wall, `row_mm` how far the first joint between rows lies off it; None where the floor
    has no such joint. `frame` is that of the start wall, `end_mm` where the end of it lies there
    from which the first piece is laid.
    """

    corner: tuple[float, float]
    joint_mm: tuple[float, float] | None
    row_mm: float | None
    frame: Frame
    end_mm: float


def setting_out(scene: Scene, layout: Layout) -> SettingOut:
    """Return where a floor begins and where its first joints lie."""
    start = layout.start
    wall = next(w for w in scene.room.walls if w.id == start.wall)
    frame, long = frame_of(wall), math.dist(wall.start, wall.end)
    u0, v0, u1, v1 = frame.into(layout.mats[0].polygon).bounds
    first, joint = (u1, u0) if start.from_right else (u0, u1)
    ix, iy = frame.inward
    ox, oy = frame.origin
    row = layout.mats[0].row
    # A first piece that fills its row has no joint beside it.
    more = sum(mat.row == row for mat in layout.mats) > 1
    rows = any(mat.row != row for mat in layout.mats)
    return SettingOut(
        (ox + iy * first + ix * v0, oy - ix * first + iy * v0),
        (joint, long - joint) if more else None,
        v1 if rows else None,
        frame,
        long if start.from_right else 0.0,
    )


def setting_words(scene: Scene, layout: Layout, units: Units) -> str:
    """Say where to begin: the corner, the first joints from two corners, the gap."""
    return " ".join(_sentences(scene, layout, units))


def _sentences(scene: Scene, layout: Layout, units: Units) -> Iterator[str]:
    laying, placed = layout.laid.laying, setting_out(scene, layout)
    yield f"Begin at S, {start_words(scene, layout.start)}."
    if placed.joint_mm is not None:
        left, right = (length_words(mm, units) for mm in placed.joint_mm)
        yield f"First joint along it: {left} from its left corner, {right} from its right one."
    if placed.row_mm is not None:
        yield f"First joint between rows: {length_words(placed.row_mm, units)} off it."
    if not laying.zone:
        gap = f"Gap at the walls: {length_words(gap_of(laying), units)}"
        stop = door_stop_of(laying)
        doors = any(shape.opening.is_garage_door for shape in scene.room.openings)
        short = f"; {length_words(stop, units)} short of the garage door's line"
        yield f"{gap}{short if doors and stop > gap_of(laying) else ''}."
