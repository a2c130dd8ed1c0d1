"""Mirrors put on walls as sheets hang on wall: not over a window, a door or a gap in it."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import box

from app.checks.snag import Snag
from app.model.finishing import MirrorArea
from app.published.register import published
from app.scene.build import Scene
from app.scene.naming import opening_name, wall_called
from app.scene.routes import ways_out
from app.scene.tolerance import TOLERANCE_MM, falls_short
from app.takeoff.surfaces import along_face, faces
from app.wording import lower

_LEAVE = "route.least-mm"
_SOURCE = ("scene.touch-tolerance-mm",)


def mirrors_across(scene: Scene) -> Iterator[Snag]:
    """Yield a snag for each opening that such a mirror would cover: `care`, or `stop`.

    `stop` where it is the only way out, and too little of that is left to leave by.
    """
    areas = scene.plan.fit_out.mirrors
    if areas:
        key = ("mirrors across", areas)
        yield from scene.memo(key, lambda: tuple(s for one in areas for s in _across(scene, one)))


def _across(scene: Scene, area: MirrorArea) -> Iterator[Snag]:
    ways = _ways_out(scene)
    shapes = {one.opening.id: one for one in scene.room.openings}
    for face in faces(scene):
        if face.wall.id != area.wall:
            continue
        at, foot = along_face(face.wall, area.offset_mm), area.bottom_mm
        glass = box(at, foot, at + area.width_mm, foot + area.height_mm)
        for opening, hole in face.openings:
            covered = hole.intersection(glass)
            if covered.is_empty:
                continue
            left, low, right, high = covered.bounds
            if min(right - left, high - low) <= TOLERANCE_MM:
                continue
            shape = shapes[opening.id]
            name = f"mirror on {wall_called(scene, area.wall)}"
            start, _, end, _ = hole.bounds
            rest, least = max(left - start, end - right), published(_LEAVE)
            only = ways == [opening.id] and falls_short(rest, min(least, end - start))
            yield Snag(
                code=f"mirror-across-{area.id}-{opening.id}",
                severity="stop" if only else "care",
                template="{:bare} x {:mm} of it would hang across the {}, where there is no wall "
                "to fix it to{}.",
                values=(
                    right - left,
                    high - low,
                    lower(opening_name(scene, shape)),
                    ": and that is the only way out" if only else "",
                ),
                names=(name, lower(opening_name(scene, shape))),
                measured=-round(right - left),
                required=0,
                where=shape.middle,
                opening=opening.id,
                sheet=area.id,
                source_keys=(_LEAVE,) if only else _SOURCE,
            )


def _ways_out(scene: Scene) -> list[str]:
    """Return by what people leave: doors, or without any the windows that must open."""
    doors = [shape.opening.id for shape in ways_out(scene)]
    shapes = (shape.opening for shape in scene.room.openings)
    windows = (one for one in shapes if one.kind == "window" and one.must_open and one.way_out)
    return doors or [one.id for one in windows]
