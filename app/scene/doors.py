"""Openings as they really move: holes, leaves, the floor a leaf sweeps, what always hangs there."""

from __future__ import annotations

import math
from dataclasses import dataclass

import shapely
from shapely import LineString, Polygon

from app.model.room import Opening
from app.published.register import published
from app.scene.shapes import turn
from app.scene.tolerance import CHORDS_A_QUARTER
from app.scene.walls import WallShape
from app.units import QUARTER_TURN_DEG

Corner = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Sweep:
    """Floor that a leaf passes over between `low_mm` and `high_mm` above the bare floor.

    `hinge` and `leaf_mm` are given for turning leaves; `shut` is the direction of the shut leaf.
    """

    name: str
    polygon: Polygon
    low_mm: float
    high_mm: float
    hinge: Corner | None = None
    shut: Corner | None = None
    leaf_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Hanging:
    """Something of a door that hangs in the room: its place, underside and top."""

    name: str
    polygon: Polygon
    bottom_mm: float
    top_mm: float


@dataclass(frozen=True, slots=True)
class OpeningShape:
    """One opening. `left` and `right` are its ends on the inner face, as seen from inside.

    `leaves` are the leaves as drawn open, `always` hangs there at all times, `when_open` only
    while the door is open.
    """

    opening: Opening
    wall: WallShape
    left: Corner
    right: Corner
    hole: Polygon
    leaves: tuple[LineString, ...]
    sweeps: tuple[Sweep, ...]
    always: tuple[Hanging, ...]
    when_open: tuple[Hanging, ...]

    @property
    def inward(self) -> Corner:
        """Unit normal into the room."""
        return self.wall.inward

    @property
    def middle(self) -> Corner:
        """The middle of its ends on the inner face."""
        return middle_of(self.left, self.right)


def middle_of(one: Corner, other: Corner) -> Corner:
    """Return the middle between two points."""
    return (one[0] + other[0]) / 2, (one[1] + other[1]) / 2


def opening_shape(
    opening: Opening, wall: WallShape, neighbours: tuple[WallShape, WallShape]
) -> OpeningShape:
    """Turn an opening into geometry. `neighbours` are the walls before and after its own."""
    ix, iy = wall.inward
    ax, ay = wall.along
    lining, thick = wall.wall.lining_mm, wall.wall.thickness_mm
    x0 = wall.wall.x_mm + ix * lining + ax * opening.offset_mm
    y0 = wall.wall.y_mm + iy * lining + ay * opening.offset_mm
    near, far = (x0, y0), (x0 + ax * opening.width_mm, y0 + ay * opening.width_mm)
    to_right = ax * iy - ay * ix > 0
    left, right = (near, far) if to_right else (far, near)
    out = lining + thick
    hole = Polygon([near, far, _off(far, (-ix, -iy), out), _off(near, (-ix, -iy), out)])
    frame = _Frame(opening, left, right, (ix, iy))
    side = neighbours[1] if (opening.slides_to == "right") == to_right else neighbours[0]
    sweeps = frame.sweeps() + (_side_strip(opening, side, wall),) * (opening.kind == "side-sliding")
    return OpeningShape(
        opening, wall, left, right, hole, frame.leaves(), sweeps, frame.always(), frame.when_open()
    )


def _off(point: Corner, direction: Corner, distance_mm: float) -> Corner:
    return point[0] + direction[0] * distance_mm, point[1] + direction[1] * distance_mm


def _side_strip(opening: Opening, side: WallShape, wall: WallShape) -> Sweep:
    """Return the strip of the side wall along which a side-sliding leaf stands when open."""
    near, far = side.start, side.end
    if math.dist(far, wall.start) < math.dist(near, wall.start):
        near, far = far, near
    length = math.dist(near, far)
    along = ((far[0] - near[0]) / length, (far[1] - near[1]) / length)
    end = _off(near, along, min(opening.width_mm, length))
    deep = published("garage.side-sliding.strip-mm")
    polygon = Polygon([near, end, _off(end, side.inward, deep), _off(near, side.inward, deep)])
    return Sweep("open leaf", polygon, 0.0, opening.height_mm)


@dataclass(frozen=True, slots=True)
class _Frame:
    """An opening seen from inside: what each kind of door does, in its own terms."""

    opening: Opening
    left: Corner
    right: Corner
    inward: Corner

    def _box(self, from_mm: float, to_mm: float, beyond_mm: float = 0.0) -> Polygon:
        """A rectangle between two depths inside, wider than the opening by so much a side."""
        width = math.dist(self.left, self.right)
        across = (
            (self.right[0] - self.left[0]) / width,
            (self.right[1] - self.left[1]) / width,
        )
        a, b = _off(self.left, across, -beyond_mm), _off(self.right, across, beyond_mm)
        corners = [
            _off(a, self.inward, from_mm),
            _off(b, self.inward, from_mm),
            _off(b, self.inward, to_mm),
            _off(a, self.inward, to_mm),
        ]
        return Polygon(corners)

    def _hinges(self) -> tuple[tuple[Corner, Corner, float], ...]:
        """Return hinge, far end of the shut leaf and leaf width of each turning leaf."""
        o = self.opening
        middle = middle_of(self.left, self.right)
        if o.kind == "pair":
            half = o.width_mm / 2
            return ((self.left, middle, half), (self.right, middle, half))
        if o.kind != "hinged":
            return ()
        ends = (self.left, self.right) if o.hinge == "left" else (self.right, self.left)
        return ((*ends, o.width_mm),)

    def leaves(self) -> tuple[LineString, ...]:
        into = self.inward if self.opening.swing == "in" else (-self.inward[0], -self.inward[1])
        return tuple(
            LineString([hinge, _off(hinge, into, width)]) for hinge, _, width in self._hinges()
        )

    def sweeps(self) -> tuple[Sweep, ...]:
        o = self.opening
        if o.swing == "in":
            turning = tuple(
                Sweep(
                    "leaf",
                    sector(hinge, end, self.inward, width),
                    o.sill_mm,
                    o.sill_mm + o.height_mm,
                    hinge,
                    ((end[0] - hinge[0]) / width, (end[1] - hinge[1]) / width),
                    width,
                )
                for hinge, end, width in self._hinges()
            )
        else:
            turning = ()
        if o.kind == "tracks":
            keep = self._box(0.0, published("garage.retractable.keep-behind-mm"))
            low = published("garage.retractable.keep-behind-height-mm")
            free = self._box(0.0, published("garage.retractable.keep-free-mm"))
            turning += (
                Sweep("leaf as it swings up", keep, low, o.height_mm),
                Sweep("back of the leaf", free, 0.0, o.height_mm),
            )
        if o.kind == "sectional":
            behind = self._box(0.0, published("garage.sectional.behind-mm"))
            turning += (Sweep("back of the leaf", behind, 0.0, o.height_mm),)
        return turning

    def _clear_mm(self) -> float:
        """Return the underside of an open up-and-over leaf, the cautious end of its range."""
        loss = published("garage.up-and-over.height-loss-most-mm")
        return max(self.opening.height_mm - loss, 1.0)

    def when_open(self) -> tuple[Hanging, ...]:
        o = self.opening
        thick = published("garage.up-and-over.leaf-thickness-mm")
        if o.kind in ("canopy", "tracks"):
            name = "canopy" if o.kind == "canopy" else "retractable"
            deep = o.height_mm * published(f"garage.{name}.leaf-in-fraction")
            clear = self._clear_mm()
            return (Hanging("open garage door", self._box(0.0, deep), clear, clear + thick),)
        if o.kind == "sectional":
            above = o.height_mm + published("garage.sectional.above-low-gear-mm")
            polygon = self._box(0.0, o.height_mm)
            return (Hanging("open garage door", polygon, o.height_mm, above),)
        return ()

    def always(self) -> tuple[Hanging, ...]:
        o = self.opening
        if o.kind == "roller":
            box = published("garage.roller.box-mm")
            polygon = self._box(0.0, box, published("garage.roller.guide-mm"))
            return (Hanging("roller box", polygon, o.height_mm, o.height_mm + box),)
        if o.kind not in ("tracks", "sectional"):
            return ()
        wide, tall = published("garage.track.width-mm"), published("garage.track.height-mm")
        bottom = self._clear_mm() if o.kind == "tracks" else o.height_mm
        deep = o.height_mm
        if o.kind == "sectional":
            deep += published("garage.sectional.track-beyond-height-most-mm")
        both = self._box(0.0, deep, wide).difference(self._box(-1.0, deep + 1))
        return tuple(
            Hanging("door track", part, bottom, bottom + tall)
            for part in shapely.get_parts(both)
            if isinstance(part, Polygon)
        )


def sector(hinge: Corner, end: Corner, inward: Corner, radius_mm: float) -> Polygon:
    """Return the quarter circle that a leaf sweeps from shut to square; its chords lie outside."""
    shut = ((end[0] - hinge[0]) / radius_mm, (end[1] - hinge[1]) / radius_mm)
    sense = 1 if shut[0] * inward[1] - shut[1] * inward[0] > 0 else -1
    count = 2 * CHORDS_A_QUARTER
    quarter = QUARTER_TURN_DEG
    outer = radius_mm / math.cos(math.radians(QUARTER_TURN_DEG) / (2 * count))
    points = [hinge, _off(hinge, shut, radius_mm)]
    for i in range(count):
        direction = turn(shut[0], shut[1], sense * quarter * (2 * i + 1) / (2 * count))
        points.append(_off(hinge, direction, outer))
    points.append(_off(hinge, inward, radius_mm))
    return Polygon(points)
