"""Where a fitter sets out a floor: the corner to begin at and the first joints from the tape."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import shapely

from app.scene.build import Scene
from app.scene.naming import corner_name, wall_called
from app.scene.tolerance import TOLERANCE_MM
from app.takeoff.floor import Layout
from app.takeoff.floor_region import Frame, door_stop_of, frame_of, gap_of
from app.units import Units
from app.wording import length_words


@dataclass(frozen=True, slots=True)
class SettingOut:
    """The corner of the first piece on the plan, and the first joints, in mm.

    `wall` is the id of the wall that the first piece lies at: that of the start, or beyond a nib
    the one that goes on there. `joint_mm` is how far the joint after the first piece lies from the
    left and the right end of it, `row_mm` how far the first joint between rows lies off it; None
    where the floor has no such joint. `frame` is that of the start wall, `end_mm` and `wall_mm`
    where the end of the wall lies there from which the first piece is laid, and the wall itself.
    """

    wall: str
    corner: tuple[float, float]
    joint_mm: tuple[float, float] | None
    row_mm: float | None
    frame: Frame
    end_mm: float
    wall_mm: float


def setting_out(scene: Scene, layout: Layout) -> SettingOut:
    """Return where a floor begins and where its first joints lie."""
    start = layout.start
    frame = frame_of(next(w for w in scene.room.walls if w.id == start.wall))
    u0, v0, u1, v1 = frame.into(layout.mats[0].polygon).bounds
    wall, (left, right, at) = _wall_at(scene, layout, frame, (u0, v0, u1))
    first, joint = (u1, u0) if start.from_right else (u0, u1)
    ix, iy = frame.inward
    ox, oy = frame.origin
    row = layout.mats[0].row
    # A first piece that fills its row has no joint beside it.
    more = sum(mat.row == row for mat in layout.mats) > 1
    rows = any(mat.row != row for mat in layout.mats)
    return SettingOut(
        wall,
        (ox + iy * first + ix * v0, oy - ix * first + iy * v0),
        (joint - left, right - joint) if more else None,
        v1 - at if rows else None,
        frame,
        right if start.from_right else left,
        at,
    )


def _wall_at(
    scene: Scene, layout: Layout, frame: Frame, first: tuple[float, float, float]
) -> tuple[str, tuple[float, float, float]]:
    """Return the wall that the first piece lies at and where it lies in the frame: its left and
    right end, and how far into the room.

    That of the start where the piece lies along it, else the nearest of those before which most of
    it lies. `first` is the left end of the piece, its top, its right end.
    """
    u0, v0, u1 = first
    found: list[tuple[float, float, str, tuple[float, float, float]]] = []
    for wall in scene.room.walls:
        if math.dist(wall.inward, frame.inward) > _PARALLEL:
            continue
        (a, at), (b, _) = shapely.get_coordinates(
            frame.into(shapely.LineString([wall.start, wall.end]))
        )
        left, right = min(a, b), max(a, b)
        before = max(min(right, u1) - max(left, u0), 0.0)
        if at < v0 + TOLERANCE_MM and (before > 0 or wall.id == layout.start.wall):
            own = wall.id == layout.start.wall and before > (u1 - u0) / 2
            score = -math.inf if own else -before
            found.append((score, v0 - at, wall.id, (float(left), float(right), float(at))))
    if found:
        return min(found)[2:]
    # before a recess whose wall runs askew nothing else lies
    start = next(wall for wall in scene.room.walls if wall.id == layout.start.wall)
    return start.id, (0.0, math.dist(start.start, start.end), 0.0)


_PARALLEL = 1e-3
"""Walls whose directions differ by less face the same way."""


def setting_words(scene: Scene, layout: Layout, units: Units, *, drawn: bool = True) -> str:
    """Say where to begin: the corner, the first joints from two corners, the gap.

    `drawn`: the letter S stands in the drawing beside it.
    """
    return " ".join(_sentences(scene, layout, units, drawn=drawn))


def _sentences(scene: Scene, layout: Layout, units: Units, *, drawn: bool) -> Iterator[str]:
    laying, placed = layout.laid.laying, setting_out(scene, layout)
    end = "right" if layout.start.from_right else "left"
    at = f"Begin at S{_corner_said(scene, placed.corner)}, from" if drawn else "Begin at"
    yield f"{at} {wall_called(scene, placed.wall)}, {end} end."
    if placed.joint_mm is not None:
        left, right = (length_words(mm, units) for mm in placed.joint_mm)
        yield f"First joint along it: {left} from its left corner, {right} from its right one."
    if placed.row_mm is not None:
        yield f"First joint between rows: {length_words(placed.row_mm, units)} off it."
    if not laying.zone:
        gap = f"Gap at the walls: {_gap_words(layout, units)}"
        stop = door_stop_of(laying)
        doors = any(shape.opening.is_garage_door for shape in scene.room.openings)
        short = f"; {length_words(stop, units)} short of the garage door's line"
        yield f"{gap}{short if doors and stop > gap_of(laying) else ''}."
        if doors and stop > gap_of(laying) and _has_piers(scene):
            yield (
                f"Beside the door the {length_words(stop, units)} before its wall stay bare too: "
                "the floor ends in one line."
            )


def _has_piers(scene: Scene) -> bool:
    """Return whether a garage door has wall beside it."""
    lengths = {wall.id: math.dist(wall.start, wall.end) for wall in scene.room.walls}
    return any(
        lengths[shape.opening.wall] - shape.opening.width_mm > TOLERANCE_MM
        for shape in scene.room.openings
        if shape.opening.is_garage_door
    )


def _corner_said(scene: Scene, at: tuple[float, float]) -> str:
    """Say which corner of the room it is by its name on the other sheets, if it is one."""
    away = [math.dist(wall.start, at) for wall in scene.room.walls]
    nearest = min(range(len(away)), key=away.__getitem__)
    return f" ({corner_name(nearest)} on the other sheets)" if away[nearest] < _CORNER_MM else ""


_CORNER_MM = 100.0
"""The first piece begins so near to its corner: the widest gap at the walls is less."""


def _gap_words(layout: Layout, units: Units) -> str:
    """Say how much stays free at the walls, by wall where it is more at some for pieces to fit."""
    ends, along = (gap_of(layout.laid.laying) + more for more in layout.start.wider_mm)
    if abs(ends - along) < _FINE_MM:
        return length_words(along, units)
    return (
        f"{length_words(along, units)} at the start wall and the one across from it, "
        f"{length_words(ends, units)} at the others"
    )


_FINE_MM = 0.5
"""Less is one gap to a tape."""
