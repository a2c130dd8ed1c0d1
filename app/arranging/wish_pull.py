"""What places promise of wishes before a whole layout is scored: by middles, roughly."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import numpy as np
import shapely
from numpy.typing import NDArray

from app.arranging.shares import aside_deg
from app.arranging.standing import SQUARE_SHARE
from app.arranging.wishes import HIGHEST, PIECE, WALL, Wish, place_of
from app.placing.layout import Layout
from app.published.register import published
from app.scene.build import Scene
from app.scene.shapes import turn
from app.scene.walls import WallShape
from app.units import QUARTER_TURN_DEG

Floats = NDArray[np.float64]

LOWER_MM = 1000.0
"""How much lower than at the best of some places a place is worth nothing: about a slope's rise."""


class WishPulls:
    """Says how far places of a station fulfil wishes, for one room."""

    def __init__(self, wishes: Sequence[Wish], scene: Scene) -> None:
        self.wishes = tuple(wish for wish in wishes if wish.piece in scene.placed)
        self.scene = scene
        self._middle = cache(self._fixed_middle)

    def of(self, root: str, turn_deg: float, points: Floats, layout: Layout) -> Floats:
        """Return what a station at each of some places gains by wishes, in points, (n,)."""
        gained = np.zeros(len(points))
        for wish in self.wishes:
            mine = self.scene.placed[wish.piece].root == root
            other = self._other(wish)
            if mine:
                gained += self._as_piece(wish, root, turn_deg, points, layout)
            elif other == root and wish.piece != root:
                gained += self._as_target(wish, points, layout)
        weight = published("layout.wish.weight")
        return weight * gained

    def _other(self, wish: Wish) -> str | None:
        """Return the carrier of the piece that a wish looks to, None for what is of the room."""
        kind, _, thing_id = wish.target.partition(":")
        placed = self.scene.placed.get(thing_id) if kind == PIECE else None
        return None if placed is None else placed.root

    def _as_piece(
        self, wish: Wish, root: str, turn_deg: float, points: Floats, layout: Layout
    ) -> Floats:
        if wish.relation == HIGHEST:
            outline = self.scene.placed[root].shape.footprint
            high = self.scene.room.shut.clear(_at(outline, points))[0]
            return np.clip(1 - (high.max() - high) / LOWER_MM, 0.0, 1.0) if len(high) else high
        if wish.relation == "at":
            wall = self._wall(wish.target)
            if wall is None:
                return np.zeros(len(points))
            x, y = turn(0.0, 1.0, turn_deg)
            square = x * wall.inward[0] + y * wall.inward[1] > SQUARE_SHARE
            off = (points - np.array(wall.start)) @ np.array(wall.inward)
            depth = self.scene.placed[root].extent.depth_mm
            far = published("layout.near.far-mm")
            return np.where(square, np.clip(1 - (off - depth / 2) / far, 0.0, 1.0), 0.0)
        middle = self._at(wish, layout)
        if middle is None:
            return np.zeros(len(points))
        if wish.relation == "faces":
            facing = turn(0.0, -1.0, turn_deg)
            aside = [aside_deg(facing, (x, y), middle) for x, y in points]
            return _faces(np.array(aside))
        if wish.target.startswith(f"{WALL}:"):
            wall = self._wall(wish.target)
            line = shapely.LineString([wall.start, wall.end]) if wall else shapely.Point(middle)
            return _stands(wish, np.asarray(shapely.distance(line, shapely.points(points))))
        return _stands(wish, np.hypot(points[:, 0] - middle[0], points[:, 1] - middle[1]))

    def _as_target(self, wish: Wish, points: Floats, layout: Layout) -> Floats:
        at = layout.at.get(self.scene.placed[wish.piece].root)
        if at is None:
            return np.zeros(len(points))
        here = at.x_mm, at.y_mm
        if wish.relation == "faces":
            facing = turn(0.0, -1.0, at.turn_deg)
            return _faces(np.array([aside_deg(facing, here, (x, y)) for x, y in points]))
        return _stands(wish, np.hypot(points[:, 0] - here[0], points[:, 1] - here[1]))

    def _at(self, wish: Wish, layout: Layout) -> tuple[float, float] | None:
        other = self._other(wish)
        if other is not None and other in layout.at:
            return layout.at[other].x_mm, layout.at[other].y_mm
        return self._middle(wish.target) if other is None else None

    def _fixed_middle(self, target: str) -> tuple[float, float] | None:
        place = place_of(self.scene, target)
        return None if place is None else (place.centroid.x, place.centroid.y)

    def _wall(self, target: str) -> WallShape | None:
        walls = self.scene.room.walls
        return next((wall for wall in walls if f"{WALL}:{wall.id}" == target), None)


def _at(outline: shapely.Polygon, points: Floats) -> NDArray[np.object_]:
    return np.array([shapely.affinity.translate(outline, x, y) for x, y in points], dtype=object)


def _faces(aside_degs: Floats) -> Floats:
    least = published("layout.sight.aside-deg")
    return np.clip((QUARTER_TURN_DEG - aside_degs) / (QUARTER_TURN_DEG - least), 0.0, 1.0)


def _stands(wish: Wish, away_mm: Floats) -> Floats:
    far = published("layout.near.far-mm")
    if wish.relation == "near":
        near = published("layout.near.hands-mm")
        return np.clip((far - away_mm) / (far - near), 0.0, 1.0)
    return np.clip(away_mm / published("layout.noise.far-mm"), 0.0, 1.0)
