"""What places promise before a whole layout is scored: the same preferences, roughly."""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from app.arranging.across import LEFT_IN_A_DOOR, LEFT_OVER_A_MAT
from app.arranging.candidates import Drawer
from app.arranging.company import Company, is_long
from app.arranging.garage_door import garage_doors, lost_before
from app.arranging.lack import Lacks
from app.arranging.layout import Layout as ScoredLayout
from app.arranging.measures import left_in_the_middle
from app.arranging.measures_around import LEFT_IN_A_MOUTH, LOOKED_INTO
from app.arranging.open_floor import Floors, OpenFloor
from app.arranging.problem import Problem
from app.arranging.shares import nearness
from app.arranging.sight_pull import SightPulls
from app.arranging.standing import is_floor, is_square, is_weighty
from app.arranging.used_together import (
    FLOOR_KIT,
    HANDS,
    LONGEST_SHARE,
    STORES,
    benches,
)
from app.arranging.wish_pull import WishPulls
from app.placing.layout import Layout
from app.placing.standing import Standing
from app.published.register import published
from app.scene.loads import outlets
from app.scene.routes import ways_out
from app.scene.shapes import turned_points

Floats = NDArray[np.float64]
OF_CARE = 7.0
"""What a place loses that lacks all of one thing that is wanted there: as much as a wall gives."""

MIDDLE_SHARE = 0.8
"""What share of what is left by a thing in the middle it is worth at a wall: some other thing often
stands in the middle as well."""
HALF = 0.5
PANE_MM = 50.0
"""How far before a window what is fixed to the wall still hangs across it."""


class Merits:
    """Says what places for stations promise, for one problem."""

    def __init__(self, problem: Problem, drawer: Drawer, lacks: Lacks) -> None:
        self.problem = problem
        self.drawer = drawer
        self.lacks = lacks
        whole = sum(problem.sizes.values()) or 1.0
        self.shares = {root: size / whole for root, size in problem.sizes.items()}
        self.each = 1 / max(len(problem.free), 1)
        placed = problem.scene.placed
        # the first in the middle takes about what it leaves of all, beside its own share
        self.parting = {
            root: MIDDLE_SHARE * (1 - left_in_the_middle(placed[root]))
            for root in problem.free
            if not is_floor(placed[root])
        }
        self.long = frozenset(root for root in problem.free if is_long(placed[root]))
        self.company = Company(problem.scene, problem.free)
        self.by_floor = self._used_on_the_floor()
        self.mats = self._mats()
        doors = ScoredLayout(problem.scene, ())
        self.swept, self.mouths = doors.swept, doors.mouths
        self.shut_in = published("layout.garage-door.weight") * (1 - LEFT_IN_A_MOUTH)
        self.shut_in += published("layout.way-in.weight") * (1 - LEFT_IN_A_DOOR)
        self.floors = Floors(problem.scene, problem.free)
        self.pulls = self._pulls()
        self.door, self.long_mm = self._door()
        self.deep = self._deep()
        self.garage = garage_doors(problem.scene)
        self.wishes = WishPulls(problem.task.wishes, problem.scene)
        self.sight = SightPulls(problem.scene)
        self.panes = self._panes()
        self.unheld = OF_CARE + published("layout.backs.weight") * self.each
        self.people = min(max(len(problem.plan.people), 1), 2)

    def of(
        self,
        root: str,
        turn_deg: float,
        points: Floats,
        layout: Layout,
        floor: OpenFloor | None = None,
    ) -> Floats:
        """Return the merit of a station at each of some places, in points of the score, (n,).

        `floor` is the open floor there is without it.
        """
        merit = -OF_CARE * self.lacks.lacking(root, turn_deg, points, layout)
        at_wall = self.drawer.at_wall(root, turn_deg, points)
        # by piece and by floor, as the score counts, and more for what parts the room
        share = self.each + self.shares[root] + self.parting.get(root, 0.0)
        worth = published("layout.backs.weight") * share
        if root in self.long:
            at_wall = at_wall * np.where(self.company.at(root, turn_deg, points, layout), 1.0, HALF)
        merit = merit + worth * at_wall
        merit = merit - published("layout.open-floor.weight") * self.floor_lost(
            root, turn_deg, points, floor
        )
        if self.garage:
            box = turned_points(self._ring(root, turn_deg), self.lacks.base)
            taken = lost_before(self.problem.scene.placed[root], self.problem.scene, box, points)
            merit = merit - published("layout.garage-door.weight") * taken
        merit = merit + self.wishes.of(root, turn_deg, points, layout)
        merit = merit + self.sight.of(root, turn_deg, points, layout)
        merit = merit - self.pulled(root, points, layout)
        far = published("layout.near.far-mm")
        if root in self.by_floor and floor is not None:
            away = self._off_floor_mm(root, turn_deg, points, floor)
            near_mm = published("layout.near.hands-mm")
            merit -= self.by_floor[root] * (1 - nearness(away, near_mm, far))
        if root in self.mats and floor is not None:
            along = 1.0 if is_square(turn_deg, self.lacks.base) else HALF
            merit += self.mats[root] * along * self._on_floor(root, turn_deg, points, floor)
        if root in self.panes:
            merit -= self.unheld * self._in(self.panes[root], root, turn_deg, points)
        if root not in self.mats:
            in_a_mouth = self._in(self.mouths, root, turn_deg, points)
            merit -= self.shut_in * in_a_mouth
        if root in self.mats:
            in_a_swing = self._in(self.swept, root, turn_deg, points)
            trodden = published("layout.way-in.weight") * (1 - LEFT_OVER_A_MAT)
            merit -= (published("layout.door-seen.weight") + trodden) * in_a_swing
        if root in self.deep and self.door is not None:
            away = np.hypot(points[:, 0] - self.door[0], points[:, 1] - self.door[1])
            merit += self.deep[root] * away / self.long_mm
        return merit

    def pulled(self, root: str, points: Floats, layout: Layout) -> Floats:
        """Return what each of some places loses for being far from what is used together, (n,)."""
        lost, far = np.zeros(len(points)), published("layout.near.far-mm")
        for other, near_mm, weight in self.pulls.get(root, ()):
            at = layout.at.get(other)
            if at is not None:
                away = np.hypot(points[:, 0] - at.x_mm, points[:, 1] - at.y_mm)
                lost += weight * (1 - nearness(away, near_mm, far))
        return lost

    def apart(self, layout: Layout) -> list[str]:
        """Return the stations that are used with something that stands far off."""
        far = published("layout.near.far-mm")
        return [
            root
            for root, pulls in self.pulls.items()
            if root in layout.at
            and any(
                math.dist(_place(layout.at[root]), _place(layout.at[other])) > (near_mm + far) / 2
                for other, near_mm, _ in pulls
                if other in layout.at
            )
        ]

    def _ring(self, root: str, turn_deg: float) -> Floats:
        """Return the corners of the box about a carrier, about its middle, along the walls."""
        x0, y0, x1, y1 = self.lacks.outline(root, turn_deg)
        return np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])

    def open_floor(self, layout: Layout) -> OpenFloor | None:
        """Return the open floor of a layout, whether or not all stations have a place in it."""
        return self.floors.of(layout.at)

    def floor_lost(
        self, root: str, turn_deg: float, points: Floats, floor: OpenFloor | None
    ) -> Floats:
        """Return what share of the wanted open floor a station takes at each of some places, (n,).

        Of a rectangle cut by a box the largest part to one side of the box is left.
        """
        lost = np.zeros(len(points))
        if floor is None or is_floor(self.problem.scene.placed[root]):
            return lost
        at = turned_points(points, -self.lacks.base)
        box = self.lacks.outline(root, turn_deg)
        corners = turned_points(np.array(floor.corners), -self.lacks.base)
        (x0, y0), (x1, y1) = corners.min(axis=0), corners.max(axis=0)
        wide, deep = x1 - x0, y1 - y0
        left = np.clip(at[:, 0] + box[0] - x0, 0.0, wide)
        right = np.clip(x1 - (at[:, 0] + box[2]), 0.0, wide)
        low = np.clip(at[:, 1] + box[1] - y0, 0.0, deep)
        high = np.clip(y1 - (at[:, 1] + box[3]), 0.0, deep)
        parts = [(left, deep), (right, deep), (wide, low), (wide, high)]
        rest = np.max([_share(a, b, self.people) for a, b in parts], axis=0)
        lost[:] = np.maximum(_share(wide, deep, self.people) - rest, 0.0)
        return lost

    def _off_floor_mm(self, root: str, turn_deg: float, points: Floats, floor: OpenFloor) -> Floats:
        """Return how far a carrier is from the open floor at each of some places, (n,) in mm."""
        at = turned_points(points, -self.lacks.base)
        box = self.lacks.outline(root, turn_deg)
        corners = turned_points(np.array(floor.corners), -self.lacks.base)
        below = corners.min(axis=0) - (at + box[2:])
        above = at + box[:2] - corners.max(axis=0)
        off: Floats = np.hypot(*np.maximum(np.maximum(below, above), 0.0).T)
        return off

    def _on_floor(self, root: str, turn_deg: float, points: Floats, floor: OpenFloor) -> Floats:
        """Return what share of a mat lies on the open floor at each of some places, (n,)."""
        at = turned_points(points, -self.lacks.base)
        box = self.lacks.outline(root, turn_deg)
        corners = turned_points(np.array(floor.corners), -self.lacks.base)
        low = np.maximum(at + box[:2], corners.min(axis=0))
        high = np.minimum(at + box[2:], corners.max(axis=0))
        share: Floats = np.prod(np.maximum(high - low, 0.0) / (box[2:] - box[:2]), axis=1)
        return share

    def _in(
        self, area: BaseGeometry, root: str, turn_deg: float, points: Floats
    ) -> NDArray[np.bool_]:
        """Return where the box about a carrier reaches into some floor at doors, (n,)."""
        if area.is_empty:
            return np.zeros(len(points), dtype=bool)
        ring = turned_points(self._ring(root, turn_deg), self.lacks.base)
        boxes = shapely.polygons(ring[None] + points[:, None])
        return np.asarray(shapely.intersects(area, boxes), dtype=bool)

    def _panes(self) -> dict[str, BaseGeometry]:
        """Return the floor along windows that each thing for a wall would hang or stand before.

        And along sockets, for what nobody reaches behind.
        """
        scene, panes = self.problem.scene, dict[str, BaseGeometry]()
        for root in self.problem.free:
            placed = scene.placed[root]
            low = placed.shape.low_mm.min(initial=math.inf) + placed.lift_mm
            high = placed.shape.high_mm.max(initial=0.0) + placed.lift_mm
            lines = [
                shapely.LineString([shape.left, shape.right])
                for shape in scene.room.openings
                if shape.opening.kind == "window"
                and low < shape.opening.sill_mm + shape.opening.height_mm
                and high > shape.opening.sill_mm
            ]
            points: list[shapely.Point] = []
            if placed.kit.key in LOOKED_INTO:
                sockets = zip(scene.plan.room.sockets, outlets(scene), strict=True)
                points = [at for one, at in sockets if low < one.height_mm < high]
            if placed.kit.for_wall and (lines or points):
                areas = [line.buffer(PANE_MM, cap_style="flat") for line in lines]
                panes[root] = shapely.union_all([*areas, *(at.buffer(PANE_MM) for at in points)])
        return panes

    def _mats(self) -> dict[str, float]:
        """Return what it is worth to lie on the open floor, for what is only floor."""
        placed = self.problem.scene.placed
        roots = [root for root in self.problem.free if is_floor(placed[root])]
        return {root: published("layout.near.weight") / (len(roots) + 1) for root in roots}

    def _used_on_the_floor(self) -> dict[str, float]:
        """Return what it is worth to stand by the open floor, for what is used there."""
        placed = self.problem.scene.placed
        roots = [root for root in self.problem.free if placed[root].kit.key in FLOOR_KIT]
        return {root: published("layout.near.weight") / (len(roots) + 1) for root in roots}

    def _pulls(self) -> dict[str, list[tuple[str, float, float]]]:
        """Return for each station what it is used with, how near is near, what that is worth."""
        weight = published("layout.near.weight")
        plates, hands = (published(f"layout.near.{what}-mm") for what in ("plates", "hands"))
        scene = self.problem.scene
        # as the score counts: both ends of a bar, and the longest walk, which may be any of them
        pairs: list[tuple[str, str, float, int]] = []
        for other in scene.order:
            if other.kit.key in STORES:
                bars = [placed for placed in scene.order if placed.kit.bar is not None]
                pairs += [(bar.root, other.root, plates, 2) for bar in bars]
            if other.kit.key in HANDS:
                pairs += [(bench.root, other.root, hands, 1) for bench in benches(scene.order)]
        others = sum(placed.kit.key in FLOOR_KIT or is_floor(placed) for placed in scene.order)
        walks = others + sum(count for *_, count in pairs)
        pulls: dict[str, list[tuple[str, float, float]]] = {}
        for one, other_root, near_mm, count in pairs:
            share = (1 - LONGEST_SHARE) * count / walks + LONGEST_SHARE / len(pairs)
            pulls.setdefault(one, []).append((other_root, near_mm, weight * share))
            pulls.setdefault(other_root, []).append((one, near_mm, weight * share))
        return pulls

    def _door(self) -> tuple[tuple[float, float] | None, float]:
        """Return the middle of the way in, and how far the farthest corner is from it."""
        room = self.problem.scene.room
        doors = ways_out(self.problem.scene)
        door = max(
            doors,
            key=lambda shape: (not shape.opening.is_garage_door, shape.opening.width_mm),
            default=None,
        )
        if door is None:
            return None, 1.0
        at = door.middle
        corners = shapely.get_coordinates(room.free.exterior)
        return at, max(math.dist(at, corner) for corner in corners)

    def _deep(self) -> dict[str, float]:
        """Return what it is worth to stand deep in the room, for what is tall or heavy."""
        placed = self.problem.scene.placed
        roots = [root for root in self.problem.free if is_weighty(placed[root])]
        return {root: published("layout.deep.weight") / len(roots) for root in roots}


def _place(at: Standing) -> tuple[float, float]:
    return at.x_mm, at.y_mm


def _share(one: Floats | float, other: Floats | float, people: int) -> Floats:
    """Return how much of what some people want a rectangle of two sides is, as the score counts."""
    short, long = (published(f"layout.open-floor.{side}-mm") for side in ("short", "long"))
    area = np.multiply(one, other) / (long * short * people)
    return np.minimum(1.0, np.minimum(one, other) / short) * np.minimum(1.0, area)
