"""What the things of a fit-out are called where something is wrong with one: as people say it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from app.model.finishing import MirrorArea, PaintJob, Projection, StripRun
from app.model.flooring import FloorLaying
from app.model.room import Plane
from app.scene.build import Scene
from app.scene.naming import opening_name, wall_called
from app.wording import lower

Thing = TypeVar("Thing")

NO_WALL = "its wall is not in the room; choose another"


def floor_called(laying: FloorLaying, among: Sequence[FloorLaying] = ()) -> str:
    """Say which floor: "the floor (rubber mat)", or "floor 2 (rubber mat)" of several."""
    ids = [other.id for other in among]
    if len(ids) > 1 and laying.id in ids:
        return f"floor {ids.index(laying.id) + 1} ({laying.name})"
    return f"the floor ({laying.name})"


def mirror_called(scene: Scene, area: MirrorArea) -> str:
    """Say which mirror: "the mirror on the back wall", or "mirror 2 on wall B" of several there."""
    every = _with(scene.plan.fit_out.mirrors, area)
    return _called("mirror", [_on(scene, one.wall) for one in every], every.index(area))


def projection_called(scene: Scene, wanted: Projection) -> str:
    """Say which projection, as a mirror is called."""
    every = _with(scene.plan.fit_out.projections, wanted)
    return _called("projection", [_on(scene, one.wall) for one in every], every.index(wanted))


def strip_called(scene: Scene, run: StripRun) -> str:
    """Say which light strip: its label, else where it is."""
    if run.label:
        return run.label
    every = _with([one for one in scene.plan.fit_out.strips if not one.label], run)
    places = [
        "under the ceiling" if one.wall is None else _on(scene, one.wall) for one in every
    ]  # fmt: skip
    return _called("light strip", places, every.index(run))


def paint_called(scene: Scene, job: PaintJob) -> str:
    """Say which coating by what it is for: "the paint for the walls", "paint 2 for the walls"."""
    every = _with(scene.plan.fit_out.paint, job)
    return _called("paint", [f"for the {one.surface}" for one in every], every.index(job))


def _with(every: Sequence[Thing], thing: Thing) -> list[Thing]:
    """Return the things of a kind, what is only assumed included."""
    return [*every] if thing in every else [*every, thing]


def in_front(called: str) -> str:
    """Return a name as it begins a sentence."""
    return called[:1].upper() + called[1:]


def _on(scene: Scene, wall_id: str) -> str:
    known = {shape.id for shape in scene.room.walls}
    return f"on {wall_called(scene, wall_id)}" if wall_id in known else ""


def _called(kind: str, places: Sequence[str], at: int) -> str:
    """Number those of a kind that are in one place."""
    place = places[at]
    alike = places.count(place)
    which = f"the {kind}" if alike == 1 else f"{kind} {places[: at + 1].count(place)}"
    return f"{which} {place}".rstrip()


def downhill(scene: Scene, plane: Plane) -> str:
    """Name the side that the floor falls to, by its garage door where it has one."""
    walls = scene.room.walls
    uphill = [w.inward[0] * plane.rise_x + w.inward[1] * plane.rise_y for w in walls]
    number = uphill.index(max(uphill))
    for shape in scene.room.openings:
        if shape.opening.wall == walls[number].id and shape.opening.is_garage_door:
            return f"the {lower(opening_name(scene, shape))}"
    return scene.fixed_names[number]
