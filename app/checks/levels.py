"""Steps in the floor: nothing stands level across one, and who moves backwards goes off it.

From so high on a step is an edge from which one falls: nobody works at it, and no way leads over
it.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import shapely
from shapely import LineString, Point, Polygon

from app.checks.hangers import hangs
from app.checks.layers import PLATFORM, is_floor, is_layer
from app.checks.room_to_use import spaces_judged
from app.checks.snag import Snag
from app.library.kit import Space
from app.model.room import Plane
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, Geometries, falls_short

_LEAST, _FALL = "level.step-least-mm", "level.fall-mm"
_SLIT_MM = 1.0
"""So far to either side the floor is cut along an edge, and beyond its ends: less than anybody
measures, more than what a room is wider than its walls for the sake of rounding."""
_BESIDE_MM = 1.0
"""So far on either side of an edge its two heights are taken: on the floor, clear of rounding."""


class Edge(NamedTuple):
    """A step in the floor: where it runs, and how high it is in mm in the middle of that."""

    line: LineString
    high_mm: float


def levels(scene: Scene) -> Iterator[Snag]:
    """Yield a snag for each thing that stands across a step, and each place of work with one in it.

    A rack across a step is a `stop`: it is loaded where it cannot stand. All else is a `care`, but
    where the step is an edge from which one falls.
    """
    steps = edges(scene)
    if not steps:
        return
    across = set()
    for number, placed in enumerate(scene.order):
        if not stands_level(placed):
            continue
        met = _highest(steps, placed.footprint.buffer(-TOLERANCE_MM, join_style="mitre"))
        if met is not None:
            across.add(number)
            yield _across(placed, met)
    judged = spaces_judged(scene)
    told = set()
    for i, shape in enumerate(scene.spaces.shapes):
        number = int(scene.spaces.owner[i])
        owner = scene.order[number]
        # what a rack holds is used where the rack is, and the ends of a bar are nobody's way
        if owner.root != owner.piece.id or owner.kit.bar is not None:
            continue
        if not judged[i] or number in across or number in told or not is_trodden(shape.space):
            continue
        core = scene.spaces.cores[i].buffer(-HALF_MM, join_style="mitre")
        met = _highest(steps, core)
        if met is not None:
            told.add(number)
            yield _within(owner, shape.space, met)
    yield from _cut_off(scene, steps)


def edges(scene: Scene) -> tuple[Edge, ...]:
    """Return the steps in the floor of a room; found once."""
    return scene.memo(("steps in the floor",), lambda: tuple(_edges(scene)))


def is_fallen_from(edge: Edge) -> bool:
    """Return whether a step is an edge from which one falls."""
    return falls_short(published(_FALL), edge.high_mm)


def cut_off(scene: Scene) -> tuple[Polygon, ...]:
    """Return the parts of the floor from which every way out leads over an edge one falls from."""
    return scene.memo(("floor cut off",), lambda: tuple(_floors(scene)[1]))


def _floors(scene: Scene) -> tuple[list[Polygon], list[Polygon]]:
    """Return the parts of the floor between edges: those with a way out, and those without."""
    doors = [shape for shape in scene.room.openings if shape.opening.way_out]
    lines = [edge.line for edge in edges(scene) if is_fallen_from(edge)]
    if not lines or not doors:
        return [], []
    slits = shapely.union_all(lines).buffer(_SLIT_MM)
    floors = shapely.get_parts(scene.room.within.difference(slits))
    sills = [Point(shape.middle) for shape in doors]
    out = {int(shapely.distance(floors, sill).argmin()) for sill in sills}
    numbers = range(len(floors))
    return [floors[i] for i in numbers if i in out], [floors[i] for i in numbers if i not in out]


def _cut_off(scene: Scene, steps: tuple[Edge, ...]) -> Iterator[Snag]:
    """Yield a stop for each thing from which no way out is reached but over an edge."""
    without = cut_off(scene)
    if not without:
        return
    highest = max(filter(is_fallen_from, steps), key=lambda edge: edge.high_mm)
    floors: Geometries = np.array([*_floors(scene)[0], *without], dtype=object)
    for placed in scene.order:
        if placed.root != placed.piece.id or hangs(placed) or not placed.in_use:
            continue
        shares = shapely.area(shapely.intersection(floors, placed.footprint))
        if int(shares.argmax()) >= len(floors) - len(without) and shares.max() > 0:
            yield _beyond_an_edge(placed, highest)


def _beyond_an_edge(placed: Placed, edge: Edge) -> Snag:
    x, y = edge.line.centroid.coords[0]
    return Snag(
        code="beyond-an-edge",
        hangs_on_place=True,
        severity="stop",
        template="Every way out from it leads over an edge of {:mm} in the floor: nobody leaves "
        "that way without stairs.",
        values=(edge.high_mm,),
        pieces=(placed.piece.id,),
        names=(placed.name, "way out"),
        measured=-round(edge.high_mm),
        required=0,
        where=(x, y),
        source_keys=(_FALL,),
    )


def _edges(scene: Scene) -> Iterator[Edge]:
    planes = scene.plan.room.floor.planes
    least = published(_LEAST)
    for plane in planes:
        if not plane.outline:
            continue
        for start, end in pairwise(shapely.get_coordinates(Polygon(plane.outline).exterior)):
            line = LineString([start, end]).intersection(scene.room.within)
            if not isinstance(line, LineString) or line.length <= TOLERANCE_MM:
                continue
            along = (end - start) / np.hypot(*(end - start))
            middle = np.array(line.centroid.coords[0])
            beside = _BESIDE_MM * np.array([-along[1], along[0]])
            sides = [middle + beside, middle - beside]
            if not all(scene.room.within.covers(Point(side)) for side in sides):
                # along a wall nobody comes over it from the other side
                continue
            one, other = (_height_mm(planes, *side.tolist()) for side in sides)
            if falls_short(least, abs(one - other)):
                yield Edge(line, abs(one - other))


def _height_mm(planes: tuple[Plane, ...], x: float, y: float) -> float:
    """Return how high the floor is at a point: of several patches over it the highest counts.

    What is drawn over the floor of the whole room is there in its place: a pit too.
    """
    patches = [p for p in planes if p.outline and Polygon(p.outline).covers(Point(x, y))]
    over = patches or [plane for plane in planes if not plane.outline]
    return max((plane.height_at(x, y) for plane in over), default=0.0)


def _highest(edges: tuple[Edge, ...], area: shapely.Geometry) -> tuple[Edge, Point] | None:
    """Return the highest step that runs through an area, and where; None where none does."""
    met = []
    for edge in edges:
        common = edge.line.intersection(area)
        if common.length > TOLERANCE_MM:
            met.append((edge, common.centroid))
    return max(met, key=lambda one: one[0].high_mm) if met else None


def stands_level(placed: Placed) -> bool:
    """Return whether a piece stands on the floor and is to stand level."""
    if hangs(placed) or placed.kit.bar is not None or _is_lain(placed):
        return False
    return bool((placed.shape.low_mm <= TOLERANCE_MM).any()) and placed.root == placed.piece.id


def _is_lain(placed: Placed) -> bool:
    """Return whether a piece is floor to move on, or only lies there; a platform is stiff."""
    if placed.kit.key == PLATFORM:
        return False
    return is_layer(placed) or any(map(is_floor, placed.kit.spaces))


def is_trodden(space: Space) -> bool:
    """Return whether people move with a load, or fall off, in a working space."""
    return space.kind in ("body", "fall-off") and not space.to_reach


def _across(placed: Placed, met: tuple[Edge, Point]) -> Snag:
    edge, at = met
    falls = is_fallen_from(edge)
    template = (
        "An open edge of {:mm} in the floor runs through under it: it cannot stand there."
        if falls
        else "A step of {:mm} in the floor runs through under it: it cannot stand level. Move it "
        "off the step, or build up the low side."
    )
    return Snag(
        code="across-a-step",
        hangs_on_place=True,
        severity="stop" if falls or placed.kit.group == "Racks" else "care",
        template=template,
        values=(edge.high_mm,),
        pieces=(placed.piece.id,),
        names=(placed.name, "step in the floor"),
        measured=-round(edge.high_mm),
        required=0,
        where=(at.x, at.y),
        source_keys=(_FALL,) if falls else (_LEAST,),
    )


def _within(placed: Placed, space: Space, met: tuple[Edge, Point]) -> Snag:
    edge, at = met
    backwards = space.kind == "fall-off"
    does = "falls off backwards there lands on it" if backwards else "steps there trips"
    what, falls = "A step", is_fallen_from(edge)
    if falls:
        what = "An open edge"
        does = "comes off backwards falls over it" if backwards else "steps back there falls"
    return Snag(
        code="step-in-the-way",
        hangs_on_place=True,
        while_training=True,
        severity="stop" if falls else "care",
        template=f"{what} of {{:mm}} in the floor runs through it: who {does}.",
        values=(edge.high_mm,),
        pieces=(placed.piece.id,),
        names=(placed.name, space.name),
        measured=-round(edge.high_mm),
        required=0,
        where=(at.x, at.y),
        source_keys=(_FALL,) if falls else (_LEAST,),
    )
