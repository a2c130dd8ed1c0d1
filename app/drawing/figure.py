"""The figure of a plan in mm of the room: every layer, and how far it reaches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.dimensions import dimensions
from app.drawing.figure_doors import door_notes, doors, overhead
from app.drawing.figure_kit import strokes_of
from app.drawing.figure_room import floor, height_notes, joists, low_things, walls
from app.drawing.lettering import width_of
from app.drawing.medium import Medium, Note
from app.drawing.placing import Crowd
from app.drawing.primitives import Group, Item, Text
from app.scene.build import Scene
from app.scene.room import RoomShape

Bounds = tuple[float, float, float, float]


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
    reach = shapely.MultiPoint(chains.reach)
    swings = [leaf for opening in room.openings for leaf in opening.leaves]
    outer = shapely.union_all([*(wall.polygon.buffer(0) for wall in room.walls), *swings])
    a, b, c, d = shapely.total_bounds([outer, reach, *also])
    return RoomFigure(
        floor(room),
        walls(room, medium),
        doors(room),
        chains.group,
        joists(room),
        low_things(room),
        overhead(room),
        (float(a), float(b), float(c), float(d)),
    )


def crowd_of(scene: Scene, medium: Medium) -> Crowd:
    """Gather what lettering should not hide: pieces, doors, what hangs; it stays in the room."""
    room = scene.room
    strokes: list[BaseGeometry] = list(strokes_of(scene))
    for opening in room.openings:
        strokes += [*opening.leaves, *(sweep.polygon.boundary for sweep in opening.sweeps)]
        strokes += [h.polygon.boundary for h in (*opening.always, *opening.when_open)]
    strokes += [polygon.boundary for _, polygon in (*room.low, *room.columns)]
    crowd = Crowd(strokes, room.free)
    for _, polygon in room.columns:
        crowd.take(polygon)
    return crowd


def notes_of(room: RoomShape, medium: Medium) -> tuple[Note, ...]:
    """Return the notes on heights that a room's figure carries."""
    return (*door_notes(room, medium), *height_notes(room, medium))


def letter(notes: tuple[Note, ...], crowd: Crowd | None, medium: Medium) -> tuple[Text, ...]:
    """Set every note where it hides least; without a crowd, where it costs least to stand."""
    em = medium.em_mm * 0.85
    placed = []
    for note in notes:
        if note.spots:
            if crowd is None:
                x, y = min(note.spots, key=lambda spot: spot.cost).at
            else:
                x, y = crowd.place(width_of(note.words, em), em * 1.3, note.spots)
            placed.append(Text((x, y + em * 0.36), note.words, note.ink))
    return tuple(placed)
