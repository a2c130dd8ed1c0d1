"""What is made for a wall hangs on bare wall: no layout has it across a window, a door or a gap."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon, box
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from app.arranging.on_walls import along_walls
from app.checks.hung_across import is_live, lies_across
from app.model.base import json_of
from app.model.plan import Plan
from app.placing.core import Core
from app.placing.layout import Layout
from app.placing.standing import Standing, station_poses
from app.published.register import published
from app.scene.build import Placed, Scene, build_scene
from app.scene.doors import OpeningShape
from app.scene.tolerance import TOLERANCE_MM
from app.units import WHOLE_TURN_DEG
from app.wording import Phrase, phrase

Floats = NDArray[np.float64]
SHAPES_AT_MOST = 1024
"""Things for a wall at turns of which is remembered where they hang across something: four of each
of a plan full of them."""
PLACES_MM = 20.0
"""How far apart the places along walls are at which it is looked whether there is any."""
SAME_TURN_DEG = 0.1
"""Turns that are one: over the width of a mirror this is a millimetre or two."""
NARROWER_MM = 50.0
"""Steps in which a narrower one is looked for: mirrors and screens are made in such sizes."""


class BareWallCore(Core):
    """A core that refuses what is made for a wall its place across an opening as well.

    To the judge most of that is a care, for it may hang there already; nobody who arranges hangs a
    mirror over glass. What finds no place else is asked for none, unless somebody hangs on it:
    `nowhere` are such carriers.
    """

    def __init__(self, scene: Scene, wanted: bool = False) -> None:
        super().__init__(scene, wanted)
        self._across = lru_cache(maxsize=SHAPES_AT_MOST)(self._across_openings)
        self.nowhere = frozenset[str]()
        hung = [
            root
            for root in self.free
            if scene.placed[root].kit.for_wall and not is_live(scene.placed[root])
        ]
        self.nowhere = frozenset(
            root
            for root in hung
            if not self._has_place(root, bare=True) and self._has_place(root, bare=False)
        )

    def _has_place(self, root: str, *, bare: bool) -> bool:
        """Return whether a thing has a place at a wall beside what is fixed."""
        admits = self.admits if bare else super().admits
        layout = self.layout()
        return any(
            admits(root, turn, points, layout).any()
            for turn, points in along_walls(self, root, PLACES_MM)
        )

    def admits(
        self, root: str, turn_deg: float, points: Floats, layout: Layout
    ) -> NDArray[np.bool_]:
        """Return at which places a station may stand, and hangs across nothing."""
        free = super().admits(root, turn_deg, points, layout)
        across = self._refused(root, turn_deg)
        if across is not None and free.any():
            at = np.asarray(points)
            free &= ~shapely.contains_xy(across, at[:, 0], at[:, 1])
        return free

    def free_region(self, root: str, turn_deg: float, layout: Layout) -> BaseGeometry:
        """Return all places at which a station may stand, and hangs across nothing."""
        region = super().free_region(root, turn_deg, layout)
        across = self._refused(root, turn_deg)
        return region if across is None else region.difference(across)

    def _refused(self, root: str, turn_deg: float) -> BaseGeometry | None:
        if root in self.nowhere or not self.scene.placed[root].kit.for_wall:
            return None
        return self._across(root, round(turn_deg, 3))

    def _across_openings(self, root: str, turn_deg: float) -> BaseGeometry | None:
        """Return the places of a thing's middle at which it hangs across an opening at a turn."""
        scene = self.scene
        placed = scene.placed[root]
        near = placed.extent.depth_mm / 2
        far = near + published("fixing.off-wall-mm") + TOLERANCE_MM
        parts: list[Polygon] = []
        turned = station_poses(scene, root, Standing(turn_deg, *placed.at))
        at_wall = scene.moved(turned).placed[root]
        for number, wall in enumerate(scene.room.walls):
            off_deg = abs(self.wall_turns[number] - turn_deg) % WHOLE_TURN_DEG
            if min(off_deg, WHOLE_TURN_DEG - off_deg) > SAME_TURN_DEG:
                continue
            for shape in scene.room.openings:
                ends = _ends(at_wall, shape) if shape.wall is wall else None
                if ends is not None:
                    strip = box(ends[0], near - TOLERANCE_MM, ends[1], far)
                    (ax, ay), (nx, ny), (x, y) = wall.along, wall.inward, wall.start
                    parts.append(affine_transform(strip, [ax, nx, ay, ny, x, y]))
        return shapely.union_all(parts) if parts else None


def _ends(placed: Placed, shape: OpeningShape) -> tuple[float, float] | None:
    """Return from where to where along a wall the middle of a piece has it across an opening."""
    wall, (left, right) = shape.wall, (math.inf, -math.inf)
    for low, high in lies_across(placed, shape):
        left, right = min(left, low), max(right, high)
    if left > right:
        return None
    offs = sorted(
        (x - wall.start[0]) * wall.along[0] + (y - wall.start[1]) * wall.along[1]
        for x, y in (shape.left, shape.right)
    )
    return offs[0] - right + TOLERANCE_MM, offs[1] - left - TOLERANCE_MM


def widest_that_hangs(plan: Plan, root: str) -> float | None:
    """Return about how wide a thing could be that has a place on bare wall; None for none."""
    placed = build_scene(plan).placed[root]
    least = (placed.kit.range.width_mm or (NARROWER_MM, 0.0))[0]
    for width in np.arange(placed.extent.width_mm - NARROWER_MM, least - 1, -NARROWER_MM):
        data = json_of(plan)
        for piece in data["pieces"]:
            if piece["id"] == root:
                piece["width_mm"] = float(width)
        core = BareWallCore(build_scene(Plan.model_validate(data)))
        if root not in core.nowhere:
            return float(width)
    return None


def nowhere_words(plan: Plan, scene: Scene, root: str) -> Phrase:
    """Say of what is left out that no wall has room for it, and which width has some."""
    placed = scene.placed[root]
    said = phrase(
        "{}: no wall has {:mm} free for it beside windows and doors, so it is left out",
        placed.name,
        placed.extent.width_mm,
    )
    width = widest_that_hangs(plan, root)
    if width is None:
        return phrase("{}.", said)
    return phrase("{}. One {:mm} wide has a place.", said, width)
