"""The floor under what rises in a movement: hands, shaft, plates or head, grown by the wander.

What is held is two things: the hands over the middle, plates of their own diameter over the
sleeves only. Each part has its own area and so its own clear height. Where no bar is at hand and
the movement may be done with two dumbbells it is these, written as None for what is held.
"""

from __future__ import annotations

from dataclasses import dataclass

from shapely import MultiPolygon, Polygon, box

from app.library.kit import BarShape
from app.library.movements import Movement, movements
from app.library.use import Use
from app.published.register import published, remembered
from app.scene.bar_lengths import bar_of
from app.scene.build import Placed, Scene
from app.scene.memory import ANSWERS_AT_MOST
from app.scene.shapes import turned

_WITH_DUMBBELLS, _DUMBBELL = "dumbbell-press", "held.dumbbell-mm"
_RACKS, _BENCHES = "Racks", "Benches"


HEAD = "head"
"""What rises of who holds nothing."""


@dataclass(frozen=True, slots=True)
class Held:
    """The bar in use: its shape and the diameter of its plates in mm.

    `length_mm` is that of the whole bar: between shaft and sleeves it has collars too.
    """

    sleeve_mm: float
    shaft_diameter_mm: float
    plate_mm: float
    length_mm: float

    @property
    def collar_mm(self) -> float:
        """How far out from the middle a sleeve begins, the collar behind it."""
        return self.length_mm / 2 - self.sleeve_mm


@dataclass(frozen=True, slots=True)
class Part:
    """Something that rises: its area about the person, what stands above the grip, its name.

    `held_mm` is None where the movement's own figure counts. `on_floor` tells that there the person
    stands on the floor beside the piece, not on it.
    """

    name: str
    area: Polygon
    held_mm: float | None
    on_floor: bool = False

    @property
    def is_held(self) -> bool:
        """Whether it is hands or what is in them, not the body."""
        return self.name != HEAD


def held_by(scene: Scene, root: str) -> Held:
    """Return bar of a station with its plates; the long bar with large plates if it has none."""
    for placed in scene.stations.get(root, ()):
        bar = bar_of(placed)
        if bar is not None:
            return held_of(bar, placed)
    return usual_bar()


def held_at(scene: Scene, placed: Placed, use: Use) -> Held | None:
    """Return the bar that is held at a use of a piece, with its plates; None for two dumbbells.

    At what needs no bar, with none in its station, it is dumbbells where it may be done with these
    and the plan has some or has no bar at all; else the bar with the largest plates that stands
    elsewhere. What guides its own bar takes no other.
    """
    row = movements()[use.movement]
    # every place of every movement asks, at each step of a drag: most need not look round
    if use.needs or row.held != "bar" or placed.kit.group == _RACKS:
        return held_by(scene, placed.root)
    if any(one.kit.bar is not None for one in scene.stations.get(placed.root, ())):
        return held_by(scene, placed.root)
    with_fists = row.fists_mm is not None
    elsewhere = [] if with_fists and _dumbbells(scene) else _bars(scene)
    if not elsewhere:
        return None if with_fists else usual_bar()
    return max(elsewhere, key=lambda held: held.plate_mm)


def held_anywhere(scene: Scene, movement: str) -> Held | None:
    """Return what is held on the open floor: at the kit that is there for it the smallest plates.

    With no such kit it is the long bar with the largest plates of the plan, or large ones without
    a bar; None for two dumbbells, where it may be done with these and there are some and no bar.
    """
    there = [
        held_at(scene, placed, use)
        for placed in scene.order
        for use in placed.kit.uses
        if use.movement == movement and has_all(scene, placed, use)
    ]
    if there:
        return min(there, key=lambda held: 0.0 if held is None else held.plate_mm)
    bars = _bars(scene)
    if not bars and movements()[movement].fists_mm is not None and _dumbbells(scene):
        return None
    return usual_bar(max((held.plate_mm for held in bars), default=None))


def has_all(scene: Scene, placed: Placed, use: Use) -> bool:
    """Return whether a piece is in use, its station with the bar and bench that a use needs."""
    station = scene.stations[placed.root]
    has = {
        "bar": any(one.kit.bar is not None for one in station),
        "bench": any(one.kit.group == _BENCHES for one in station),
    }
    return placed.in_use and all(has[needed] for needed in use.needs)


def _bars(scene: Scene) -> list[Held]:
    shapes = ((bar_of(one), one) for one in scene.order)
    return [held_of(bar, placed) for bar, placed in shapes if bar is not None]


def _dumbbells(scene: Scene) -> bool:
    """Return whether a plan has a pair of dumbbells."""
    return any(use.movement == _WITH_DUMBBELLS for one in scene.order for use in one.kit.uses)


def held_of(bar: BarShape, placed: Placed) -> Held:
    """Return the bar that a piece is, with the plates it is used with."""
    plate = placed.piece.plate_mm or published("plate.large-diameter-mm")
    length = placed.extent.width_mm
    return Held(bar.sleeve_mm, bar.shaft_diameter_mm, plate, length)


def usual_bar(plate_mm: float | None = None) -> Held:
    """Return the long bar of the rules with large plates, or with plates of this diameter."""
    return Held(
        published("bar.long.sleeve-mm"),
        published("bar.long.shaft-diameter-mm"),
        plate_mm or published("plate.large-diameter-mm"),
        published("bar.long.length-mm"),
    )


@remembered(ANSWERS_AT_MOST)
def parts(movement: str, held: Held | None) -> tuple[Part, ...]:
    """Return what rises in a movement, about the origin at angle 0. KeyError for an unknown one."""
    row = movements()[movement]
    wander = row.wander_mm
    if held is None:
        across, deep = _under_fists_mm(row)
        area = _box(0, across / 2 + wander, deep / 2 + wander)
        return (Part("hands", area, published(_DUMBBELL)),)
    if row.held != "bar":
        width = row.area_width_mm if row.area_width_mm != "bar" else held.length_mm
        size = row.head_mm or (width, row.area_depth_mm)
        name = "hands" if row.held == "fists" else HEAD
        return (Part(name, _box(0, size[0] / 2 + wander, size[1] / 2 + wander), None),)
    thin = held.shaft_diameter_mm / 2
    hands = published("held.grip-width-mm") / 2
    grip = Part("hands", _box(0, hands + wander, thin + wander), published("held.hands-on-bar-mm"))
    return grip, *_bar_and_plates(held, wander)


@remembered(ANSWERS_AT_MOST)
def parts_from(
    movement: str, held: Held | None, rest: tuple[float, float], ahead_mm: float | None = None
) -> tuple[Part, ...]:
    """Return what rises in a movement at a piece, about its place at angle 0.

    A bar on the shoulders is high all the way from where it rests, `rest` from the place in mm.
    Farther ahead than `ahead_mm` is machine, over which nothing rises; None if there is none.
    KeyError for an unknown movement.
    """
    row = movements()[movement]
    rising = parts(movement, held)
    if ahead_mm is not None:
        rising = tuple(Part(p.name, _from_y(p.area, -ahead_mm), p.held_mm) for p in rising)
    if not row.shouldered or held is None:
        return rising
    carried = []
    for part in _bar_and_plates(held, row.wander_mm):
        way = MultiPolygon([part.area, _shifted(part.area, rest)]).convex_hull
        assert isinstance(way, Polygon)
        carried.append(Part(part.name, way, part.held_mm))
    return *rising, *carried


def _bar_and_plates(held: Held, wander_mm: float) -> tuple[Part, ...]:
    thin, sleeve = held.shaft_diameter_mm / 2, held.sleeve_mm / 2
    beside = held.collar_mm + sleeve
    plates = (sleeve + wander_mm, held.plate_mm / 2 + wander_mm)
    return (
        Part("bar", _box(0, held.length_mm / 2 + wander_mm, thin + wander_mm), thin),
        Part("plates", _box(-beside, *plates), held.plate_mm / 2),
        Part("plates", _box(beside, *plates), held.plate_mm / 2),
    )


def area_size_mm(movement: str, held: Held | None) -> tuple[float, float]:
    """Return the floor that a movement takes, wander included: across and deep, in mm."""
    row = movements()[movement]
    return across_mm(row, held) + 2 * row.wander_mm, row.area_depth_mm + 2 * row.wander_mm


def across_mm(row: Movement, held: Held | None) -> float:
    """Return how wide the floor is that a movement takes by itself, in mm."""
    if row.area_width_mm != "bar":
        return row.area_width_mm
    return _under_fists_mm(row)[0] if held is None else held.length_mm


def _under_fists_mm(row: Movement) -> tuple[float, float]:
    if row.fists_mm is None:
        raise ValueError(f"{row.key} is not done with two dumbbells")
    return row.fists_mm


def put(area: Polygon, placed: Placed, at: tuple[float, float]) -> Polygon:
    """Put an area about a place in the frame of a piece into the room."""
    moved = _shifted(area, at)
    return _shifted(turned(moved, placed.pose.angle_deg), placed.at)


def _shifted(area: Polygon, by: tuple[float, float]) -> Polygon:
    return Polygon([(x + by[0], y + by[1]) for x, y in area.exterior.coords])


def _from_y(area: Polygon, y_mm: float) -> Polygon:
    """Return the part of an upright box whose y is at least so many mm; y grows to the front."""
    left, first, right, last = area.bounds
    return box(left, max(first, y_mm), right, last)


def _box(middle: float, half_width: float, half_depth: float) -> Polygon:
    left, right = middle - half_width, middle + half_width
    corners = ((left, -half_depth), (right, -half_depth), (right, half_depth), (left, half_depth))
    return Polygon(corners)
