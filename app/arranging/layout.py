"""A layout before the score: a scene, what the judge says of it, and what is looked up once."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cached_property, partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from app.arranging.open_floor import OpenFloor, open_floor
from app.arranging.standing import Standing, is_floor
from app.checks.snag import Snag
from app.checks.together import Together, together
from app.published.register import published
from app.scene.build import Scene
from app.scene.doors import OpeningShape
from app.scene.routes import routes, ways_out
from app.scene.routes_graph import line_to, nodes_at
from app.scene.routes_stands import Stand, stands
from app.scene.tolerance import TOLERANCE_MM

Floats = NDArray[np.float64]
STEP_INSIDE_MM = 600
"""How far inside a door one sets foot first: a pace, with the door shut behind one."""
STRAIGHTENED_MM = 250
"""How far a way may be drawn from the one found: its line wanders between samples."""


ROUND_SEGMENTS = 3
"""Pieces of a quarter round a corner: with three it is cut by at most 10 mm of 300."""


class Layout:
    """A scene and its verdict, with what several preferences ask of them."""

    def __init__(
        self,
        scene: Scene,
        verdict: Sequence[Snag],
        with_ways: bool = True,
        short: float | None = None,
        floor: OpenFloor | None = None,
    ) -> None:
        self._floor = floor
        self.short = short
        self.scene = scene
        self.verdict = tuple(verdict)
        self.with_ways = with_ways
        self.standing = Standing(scene)

    @cached_property
    def floor(self) -> OpenFloor | None:
        """The largest open floor in one piece."""
        return self._floor or open_floor(self.scene)

    @cached_property
    def people(self) -> int:
        """How many train: two at most want floor at once."""
        return min(max(len(self.scene.plan.people), 1), 2)

    @cached_property
    def together(self) -> Together:
        """Which stations can be used at once."""
        return together(self.scene)

    @cached_property
    def way_in(self) -> OpeningShape | None:
        """The door by which one comes in: one for people before a garage door, the widest."""
        doors = ways_out(self.scene)
        return max(
            doors,
            key=lambda shape: (not shape.opening.is_garage_door, shape.opening.width_mm),
            default=None,
        )

    @cached_property
    def door_at(self) -> tuple[float, float] | None:
        """The middle of that door."""
        return None if self.way_in is None else self.way_in.middle

    @cached_property
    def swept(self) -> BaseGeometry:
        """The floor that doors for people swing over and the step inside them, drawn in a touch."""
        return self.scene.memo(("swept by doors",), partial(_swept, self.scene, STEP_INSIDE_MM))

    @cached_property
    def mouths(self) -> BaseGeometry:
        """The same, and as deep inside each door as it is wide: a landing."""
        return self.scene.memo(("mouths of doors",), partial(_swept, self.scene, 0.0))

    @cached_property
    def stands(self) -> tuple[Stand, ...]:
        """Where people stand to use each station."""
        return stands(self.scene)

    @cached_property
    def body_mm(self) -> float:
        """How wide somebody is who comes in: a way as narrow as that is worth nothing."""
        return published("layout.way-in.none-mm")

    @cached_property
    def walked_on(self) -> BaseGeometry:
        """The floor on which the middle of a body may be, free of walls and of what stands."""
        scene, half = self.scene, self.body_mm / 2
        room: BaseGeometry = scene.memo(
            ("floor to walk on", half),
            lambda: scene.room.free.buffer(TOLERANCE_MM - half, join_style="mitre"),
        )
        # a bar in its rack is walked round as the rack is, and so is a bench that comes out of it
        held = [p for p in scene.order if p.root != p.piece.id and not is_floor(p)]
        things = np.array([p.footprint for p in (*self.standing.on_floor, *held)], dtype=object)
        # round about corners: between two that lie askew to one another mitred ones would close a
        # way of four thirds of a body
        round_things = shapely.buffer(things, half - TOLERANCE_MM, quad_segs=ROUND_SEGMENTS)
        return room.difference(shapely.union_all(round_things))

    @cached_property
    def main_way(self) -> tuple[float, int]:
        """How wide the way from the door to the open floor is, without end at most, and its turns.

        Nought where there is none.
        """
        door, floor = self.way_in, self.floor
        if door is None or floor is None:
            return 0.0, 0
        paths = routes(self.scene)
        number = next(i for i, shape in enumerate(paths.ways_out) if shape is door)
        reached = paths.reached(number)
        nodes = nodes_at(paths.graph, paths.samples, np.array([floor.middle]))
        if not len(nodes) or nodes[0] < 0:
            return 0.0, 0
        node = int(nodes[0])
        width = float(reached.width_mm[node])
        line = line_to(paths.graph, reached, node) if width > 0 else None
        return width, 0 if line is None else _turns(shapely.get_coordinates(_straight(line)))


def _swept(scene: Scene, deep_mm: float) -> BaseGeometry:
    """Return what doors for people swing over and so much inside them, their own width for 0."""
    sweeps = [
        polygon
        for shape in scene.room.openings
        if not shape.opening.is_garage_door and shape.opening.kind != "window"
        for polygon in (
            *(sweep.polygon for sweep in shape.sweeps),
            _inside(shape, deep_mm or shape.opening.width_mm),
        )
    ]
    return shapely.buffer(shapely.union_all(sweeps), -TOLERANCE_MM)


def _inside(shape: OpeningShape, deep_mm: float) -> shapely.Polygon:
    """Return the floor on which one sets foot who comes in by a door, whichever way it swings."""
    step = np.array(shape.inward) * deep_mm
    left, right = np.array(shape.left), np.array(shape.right)
    return shapely.Polygon([left, right, right + step, left + step])


def _straight(line: shapely.LineString) -> shapely.LineString:
    return shapely.LineString(line.simplify(STRAIGHTENED_MM).coords)


def _turns(xy: Floats) -> int:
    """Count the turns of a line that are sharper than what counts as one."""
    steps = np.diff(xy, axis=0)
    if len(steps) < 2:
        return 0
    heading = np.unwrap(np.arctan2(steps[:, 1], steps[:, 0]))
    limit = math.radians(published("layout.way-in.turn-deg"))
    return int((np.abs(np.diff(heading)) > limit).sum())
