"""Where on the open floor a movement can be done: the exact region for its middle.

The same question as the card's, answered for every place at once instead of a grid of them. What
hangs too low over a part of the movement forbids all places from which that part would reach
under it: the sum of the low thing and the part turned inside out. What the movement takes of the
floor must lie between the walls, which forbids a band along each of them. Pieces are ignored.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from app.checks.open_floor import directions, open_demand
from app.library.movements import movements
from app.model.people import Person
from app.scene.build import Scene
from app.scene.overhead import Overhead, lower_part
from app.scene.room import RoomShape
from app.scene.shapes import turned
from app.scene.swept import Part, area_size_mm, held_anywhere, parts
from app.scene.tolerance import HALF_MM, enough_mm

Corners = NDArray[np.float64]


def headroom_region(
    scene: Scene, person: Person, movement: str, margin: bool = False
) -> tuple[Polygon, ...]:
    """Return the places for the middle of a movement at which a person has its `least`.

    With `margin` those at which they have the `need`. Along and across the longest wall, with
    what is held on the open floor, garage doors as they are while training. Where that is not
    said, `margin` leaves out what is too low under an open leaf, as the judge minds it. The parts
    are in no order and do not overlap; none where it fits nowhere. Raises KeyError for an unknown
    movement.
    """
    held = held_anywhere(scene, movement)
    rising = parts(movement, held)
    width, depth = area_size_mm(movement, held)
    wander = movements()[movement].wander_mm
    across, deep = width / 2 - wander, depth / 2 - wander
    body = Polygon([(-across, -deep), (across, -deep), (across, deep), (-across, deep)])
    room = scene.room
    overheads = [(room.training, _needed_mm(scene, person, movement, rising, margin))]
    if margin and room.may_be_open:
        overheads.append((room.open, _needed_mm(scene, person, movement, rising, False)))
    areas = []
    for angle in directions(room):
        free = _inside(room, turned(body, angle))
        low = [
            forbidden
            for overhead, needed in overheads
            for part, height in zip(rising, needed, strict=True)
            for forbidden in _under(overhead, turned(part.area, angle), height)
        ]
        areas.append(free.difference(shapely.union_all(low)) if low else free)
    return tuple(_polygons(shapely.union_all(areas)))


def _needed_mm(
    scene: Scene, person: Person, movement: str, rising: tuple[Part, ...], margin: bool
) -> list[float]:
    """Return the height that each part must find clear, as the card counts it."""
    held = [part.held_mm or 0.0 for part in rising]
    most = None if rising[0].held_mm is None else max(held)
    asked = open_demand(scene, person, movement, most)
    top = (asked.need_mm if margin else asked.least_mm) - (most or 0.0)
    return [enough_mm(top + each) for each in held]


def _inside(room: RoomShape, body: Polygon) -> BaseGeometry:
    """Return the places at which a convex body about the origin lies between the walls."""
    near = _swept(room.within.boundary, _corners(body))
    return room.within.difference(shapely.union_all(near))


def _under(overhead: Overhead, area: Polygon, height_mm: float) -> Iterator[BaseGeometry]:
    """Yield the places from which a convex part would reach under something too low for it."""
    core = area.buffer(-HALF_MM, join_style="mitre")
    middle = np.array(core.centroid.coords[0])
    corners = _corners(core) - middle
    for item in overhead.items:
        low = lower_part(item, height_mm)
        if low.is_empty:
            continue
        grown = shapely.union_all([low, *_swept(low.boundary, corners)])
        yield shapely.transform(grown, lambda xy: xy - middle)


def _swept(edges: BaseGeometry, corners: Corners) -> list[BaseGeometry]:
    """Sweep a convex body, turned inside out, along every edge of some outlines."""
    areas: list[BaseGeometry] = []
    for line in shapely.get_parts(edges):
        xy = shapely.get_coordinates(line)
        ends = np.stack([xy[:-1], xy[1:]], axis=1)
        spots = (ends[:, :, None, :] - corners[None, None, :, :]).reshape(len(ends), -1, 2)
        groups = np.asarray(shapely.multipoints(np.asarray(shapely.points(spots))), dtype=object)
        areas += np.asarray(shapely.convex_hull(groups), dtype=object).tolist()
    return areas


def _corners(polygon: Polygon) -> Corners:
    corners: Corners = shapely.get_coordinates(polygon.exterior)[:-1]
    return corners


def _polygons(area: BaseGeometry) -> Iterable[Polygon]:
    for part in shapely.get_parts(area):
        if isinstance(part, MultiPolygon):
            yield from part.geoms
        elif isinstance(part, Polygon) and not part.is_empty:
            yield part
