"""The figure of a plan in mm of the room: every layer, and how far it reaches."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from dataclasses import dataclass
from weakref import WeakKeyDictionary

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.dimensions import Dimensions, dimensions
from app.drawing.figure_doors import door_levels, doors, overhead
from app.drawing.figure_kit import strokes_of
from app.drawing.figure_room import floor, joists, low_things, walls
from app.drawing.levels import height_levels
from app.drawing.medium import Level, Medium
from app.drawing.placing import Crowd
from app.drawing.primitives import Group, Item
from app.scene.build import Scene
from app.scene.room import RoomShape
from app.units import Units

Bounds = tuple[float, float, float, float]

_LEVELS = WeakKeyDictionary[RoomShape, dict[Units, tuple[Level, ...]]]()
_LEVELS_LOCK = threading.Lock()


@dataclass(frozen=True, slots=True)
class RoomFigure:
    """The room's own layers. `bounds` is all that is drawn: min x, min y, max x, max y in mm."""

    floor: Group
    walls: Group
    doors: Group
    dims: Group
    joists: tuple[Item, ...]
    low: tuple[Item, ...]
    overhead: tuple[Item, ...]
    bounds: Bounds


def room_figure(room: RoomShape, medium: Medium, also: Sequence[BaseGeometry] = ()) -> RoomFigure:
    """Draw the room for a medium; `also` are areas that its bounds must hold besides."""
    chains = dimensions(room, medium)
    return RoomFigure(
        floor(room),
        walls(room, medium),
        doors(room),
        chains.group,
        joists(room),
        low_things(room),
        overhead(room),
        _bounds(room, chains, also),
    )


def room_bounds(room: RoomShape, medium: Medium, also: Sequence[BaseGeometry] = ()) -> Bounds:
    """Return the bounds of such a figure without drawing it."""
    return _bounds(room, dimensions(room, medium), also)


def _bounds(room: RoomShape, chains: Dimensions, also: Sequence[BaseGeometry]) -> Bounds:
    outer = [wall.polygon for wall in room.walls]
    swings = [leaf for opening in room.openings for leaf in opening.leaves]
    reach = shapely.MultiPoint(chains.reach)
    every = np.array([*outer, *swings, reach, *also], dtype=object)
    a, b, c, d = shapely.total_bounds(every).tolist()
    return a, b, c, d


def crowd_of(scene: Scene, medium: Medium) -> Crowd:
    """Gather what lettering should not hide: pieces, doors, what hangs; it stays in the room."""
    room = scene.room
    strokes: list[BaseGeometry] = [*strokes_of(scene), *door_strokes(room)]
    strokes += [polygon.boundary for _, polygon in (*room.low, *room.columns)]
    crowd = Crowd(strokes, room.free)
    for _, polygon in room.columns:
        crowd.take(polygon)
    return crowd


def door_strokes(room: RoomShape) -> list[BaseGeometry]:
    """Return the lines of doors: leaves, swings, and what of them hangs overhead."""
    strokes: list[BaseGeometry] = []
    for opening in room.openings:
        strokes += [*opening.leaves, *(sweep.polygon.boundary for sweep in opening.sweeps)]
        strokes += [h.polygon.boundary for h in (*opening.always, *opening.when_open)]
    return strokes


def levels_of(room: RoomShape, medium: Medium) -> tuple[Level, ...]:
    """Return the heights that a room's figure carries.

    They take a third of the time of a figure and hang on the room and its units alone: they are
    remembered as long as the room is.
    """
    with _LEVELS_LOCK:
        known = _LEVELS.setdefault(room, {})
        levels = known.get(medium.units)
    if levels is None:
        levels = (*door_levels(room, medium), *height_levels(room, medium))
        known[medium.units] = levels
    return levels
