"""Dividing the floor into parts round what stands in the room.

While one part is worked on, all that stays must stand on the rest, with a way to a door that
crosses nothing wet. Two parts are tried before three, cuts in the middle before others.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, permutations
from typing import TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

from app.model.works import Stored
from app.published.register import published
from app.recent import Recent
from app.scene.build import Placed, Scene
from app.scene.routes import ways_out
from app.units import MEGA
from app.wording import area_words, length_words
from app.works.contents import staying
from app.works.packing import WET_GAP_MM, Ground, Stood, Thing, stand, way, way_line
from app.works.stages import Corner, Place, Split, SplitStage, judged

ON_FOOT = frozenset({"hinged", "pair", "gap"})
CAN_BE_CARRIED = frozenset(
    {"chest-freezer", "fridge", "bike-stored", "workbench", "motorbike", "shelving"}
)
"""Of what stays on the plan: what people carry or push to the other side and back."""

DRIVES_OUT = frozenset({"car"})
CUTS = {2: ((0.5,), (0.45,), (0.55,), (0.4,), (0.6,)), 3: ((1 / 3, 2 / 3), (0.3, 0.65))}
"""Where the floor is cut, as shares of its length: in the middle first."""

CUTS_TRIED = 14
"""Cuts that are tried when none lets everything stand: what is left over is then least of these."""

ORIGIN = (0.0, 0.0)
G = TypeVar("G", bound=BaseGeometry)


@dataclass(frozen=True, slots=True)
class _Turned:
    """The room turned so that its longest wall lies level."""

    angle_deg: float
    free: Polygon
    swept: BaseGeometry
    doors: tuple[LineString, ...]
    on_foot: tuple[bool, ...]
    lowest_mm: float
    clear: Callable[[NDArray[np.object_]], NDArray[np.float64]]


def split(scene: Scene) -> Split:
    """Return the parts that the floor is done in, with what stands where in each.

    One part where nothing has to stay, or all may stand outside.
    """
    works = scene.plan.works
    things, fixed = _things(scene)
    area = sum(one.width_mm * one.depth_mm for one in things) / MEGA
    whole = Split((scene.room.free,), (), 0.0, ())
    units = scene.plan.units
    if not things or works.is_empty:
        return whole
    if works.store_outside:
        much = area_words(area, units)
        words = f"All that stays, {much}, stands outside while the floor is worked on."
        return Split((scene.room.free,), (), area, (words,))
    room = _turned(scene, fixed)
    best: Split | None = None
    counts = (2, 3) if works.parts is None else (works.parts,)
    cuts = [cut for count in counts if count > 1 for cut in _with_grounds(room, count)]
    # where the way to a door stays open all the while comes before where somebody is locked out
    cuts.sort(key=lambda cut: not all(ground.doors for _, ground in cut))
    for cut in cuts[:CUTS_TRIED]:
        made = _try(scene, cut, room.angle_deg, things)
        if made is not None and (best is None or _worth(made) < _worth(best)):
            best = made
            if not best.outside_m2:
                return best
    if best is None:
        much = area_words(area, units)
        wide = length_words(published("works.way-mm"), units)
        words = (
            f"With {much} of things the floor cannot be divided so that a way of {wide} to a door "
            "stays open: store them outside."
        )
        return Split((scene.room.free,), (), area, (words,))
    return best


def finds_room(scene: Scene, more: Sequence[Thing]) -> bool:
    """Return whether things find room on the floor beside what stays, a way to a door kept.

    Asked of what is delivered before it is built: nothing of the kit stands there yet.
    """
    things, fixed = _things(scene)
    room = _turned(scene, fixed)
    floor = room.free.difference(room.swept)
    doors = tuple(door for door in room.doors if door.length >= published("works.way-mm"))
    if not doors:
        return False
    wide = published("works.way-mm")
    ground = Ground(
        floor, room.free, doors, room.free, wide, room.on_foot, room.lowest_mm, room.clear
    )  # fmt: skip
    lowest = ground.lowest_mm
    high = [thing for thing in things if thing.height_mm > lowest]

    def found() -> bool:
        missing = stand(ground, [*things, *more])[1]
        # what stays and is too high for the room stands outside anyway
        return all(thing in high for thing in missing)

    if any(thing.height_mm > lowest for thing in (*things, *more)):
        # where they may stand hangs on all of the ceiling
        return found()
    outlines = (floor.wkb, room.free.wkb, *(door.wkb for door in doors))
    return _FOUND_ROOM.made((outlines, wide, room.on_foot, *things, None, *more), found)


ASKED_AT_MOST = 256
"""What was delivered to where, and whether that found room: small, a dozen for each plan."""
_FOUND_ROOM: Recent[tuple[object, ...], bool] = Recent(ASKED_AT_MOST)
"""Answers by all that they hang on: another day of the works changes nothing in them."""


def _worth(made: Split) -> tuple[float, bool]:
    """Return what counts against a split: what stands outside, then what is locked in."""
    locked = any(stage.way_mm is None for stage in made.stages)
    return round(made.outside_m2, 3), locked


def _things(scene: Scene) -> tuple[list[Thing], list[Placed]]:
    """Return what is carried about, and what stays where it is."""
    stored = [_thing(one) for one in staying(scene)]
    fixed: list[Placed] = []
    for placed in scene.order:
        if not placed.piece.stays or placed.kit.key in DRIVES_OUT:
            continue
        if placed.kit.key in CAN_BE_CARRIED and placed.kit.fixing == "none":
            extent = placed.extent
            stored.append(
                Thing(
                    f"piece.{placed.piece.id}", placed.name, extent.width_mm, extent.depth_mm,
                    extent.height_mm,
                )
            )  # fmt: skip
        elif len(placed.shape.polygons):
            fixed.append(placed)
    return stored, fixed


def _thing(one: Stored) -> Thing:
    name = one.label or one.id.replace("-", " ")
    return Thing(f"stored.{one.id}", name, one.width_mm, one.depth_mm, one.height_mm)


def _turned(scene: Scene, fixed: Sequence[Placed]) -> _Turned:
    walls = scene.room.walls
    longest = max(walls, key=lambda wall: math.dist(wall.start, wall.end))
    (x0, y0), (x1, y1) = longest.start, longest.end
    angle = math.degrees(math.atan2(y1 - y0, x1 - x0)) % 90
    free = scene.room.free
    standing = [one.footprint for one in fixed] + [polygon for _, polygon in scene.room.columns]
    blocked = shapely.union_all(standing) if standing else Polygon()
    sweeps = [
        sweep.polygon
        for shape in scene.room.openings
        if shape.opening.kind != "window"
        for sweep in shape.sweeps
        if sweep.low_mm < published("works.pile-mm")
    ]
    # as rectangles along the walls: their corners are where things are tried
    level = [_turn(sweep, -angle).envelope for sweep in sweeps]
    swept = shapely.union_all(level) if level else Polygon()
    doors = tuple(LineString([shape.left, shape.right]) for shape in ways_out(scene))

    def clear(boxes: NDArray[np.object_]) -> NDArray[np.float64]:
        turned = np.array([_turn(box, angle) for box in boxes], dtype=object)
        return scene.room.bare.clear(turned)[0]

    return _Turned(
        angle,
        _one_piece(_turn(free.difference(blocked), -angle)),
        swept,
        tuple(_turn(door, -angle) for door in doors),
        tuple(shape.opening.kind in ON_FOOT for shape in ways_out(scene)),
        scene.room.bare.lowest_mm,
        clear,
    )


def _one_piece(floor: BaseGeometry) -> Polygon:
    """Return the largest piece of a floor that something fixed cuts in several."""
    whole: Polygon = max(shapely.get_parts(floor), key=lambda part: part.area)
    return whole


def _turn(shape: G, angle_deg: float) -> G:
    turned: G = rotate(shape, angle_deg, origin=ORIGIN) if angle_deg else shape
    return turned


def _cuts(room: _Turned, count: int) -> Iterator[tuple[Polygon, ...]]:
    """Return ways to cut the floor into so many parts, each in every order of working."""
    x0, y0, x1, y1 = room.free.bounds
    axes = ("x", "y") if x1 - x0 >= y1 - y0 else ("y", "x")
    for shares in CUTS[count]:
        for axis in axes:
            low, high = (x0, x1) if axis == "x" else (y0, y1)
            marks = [low, *(low + share * (high - low) for share in shares), high]
            parts = []
            for a, b in pairwise(marks):
                strip = shapely.box(a, y0, b, y1) if axis == "x" else shapely.box(x0, a, x1, b)
                parts.append(room.free.intersection(strip))
            if all(isinstance(part, Polygon) and part.area > 0 for part in parts):
                yield from permutations(parts)


Cut = list[tuple[Polygon, Ground]]
"""The parts of a cut in the order of working, each with the ground while it is wet."""


def _with_grounds(room: _Turned, count: int) -> Iterator[Cut]:
    """Return the cuts into so many parts in which somebody can get out of each."""
    for parts in _cuts(room, count):
        grounds = [_ground(room, part, last=part is parts[-1]) for part in parts]
        if None not in grounds:
            yield [(a, b) for a, b in zip(parts, grounds, strict=True) if b is not None]


def _try(scene: Scene, cut: Cut, angle_deg: float, things: Sequence[Thing]) -> Split | None:
    """Stand all things on the rest of the floor for each part; None where no way stays open."""
    remaining = list(things)
    stages: list[tuple[Polygon, list[Stood], Ground]] = []
    for _ in range(2):
        # what found no room in one stage stands outside in all of them
        stages, missing = [], list[Thing]()
        for part, ground in cut:
            stood, left_over = stand(ground, remaining)
            if ground.doors and way(ground, [one.box for one in stood]) is None:
                return None
            missing += left_over
            stages.append((part, stood, ground))
        if not missing:
            break
        gone = {thing.id for thing in missing}
        remaining = [thing for thing in remaining if thing.id not in gone]
    else:
        if missing:
            return None
    out = [thing for thing in things if thing not in remaining]
    outside = sum(one.width_mm * one.depth_mm for one in out) / MEGA
    says: tuple[str, ...] = ()
    if out:
        names = ", ".join(thing.name for thing in out)
        much = area_words(outside, scene.plan.units)
        says = (
            f"{much} do not fit beside the part that is worked on: {names}. Store that outside "
            "meanwhile, or part with it.",
        )
    whole = tuple(_turn(part, angle_deg) for part, _ in cut)
    if not stages[-1][2].doors:
        name = _names(scene.room.free, whole)[-1]
        says += (
            f"The {name} has the only door and is done last, towards the door: nobody gets to what "
            "stands behind it till it is dry. Take out before what you need.",
        )
    made = tuple(
        SplitStage(
            area,
            tuple(_back(one, angle_deg) for one in stood),
            _width(ground, stood),
            _way(ground, stood, angle_deg),
        )
        for area, (_, stood, ground) in zip(whole, stages, strict=True)
    )
    if any(judged(scene, stage) for stage in made):
        return None
    return Split(whole, made, outside, says, _names(scene.room.free, whole))


def _names(free: Polygon, parts: Sequence[Polygon]) -> tuple[str, ...]:
    """Return what to call the parts, as one sees them on the plan: "left half", "back third"."""
    middle = free.centroid
    at = [(part.centroid.x - middle.x, part.centroid.y - middle.y) for part in parts]
    level = max(abs(x) for x, _ in at) >= max(abs(y) for _, y in at)
    along = [x if level else y for x, y in at]
    low, high = ("left", "right") if level else ("back", "front")
    words = dict.fromkeys(range(len(parts)), "middle") | {0: low, len(parts) - 1: high}
    ranks = sorted(range(len(parts)), key=lambda i: along[i])
    share = "half" if len(parts) == 2 else "third"
    return tuple(f"{words[ranks.index(i)]} {share}" for i in range(len(parts)))


def _ground(room: _Turned, part: Polygon, last: bool) -> Ground | None:
    """Return where things may stand and people walk while one part is wet.

    None without a way out: only the last part may have the only door, and is left by it.
    """
    off = part.buffer(WET_GAP_MM, join_style="mitre")
    walk = room.free.difference(part)
    wide = published("works.way-mm")
    doors, on_foot = [], []
    for door, foot in zip(room.doors, room.on_foot, strict=True):
        dry = door.buffer(1).intersection(walk.buffer(1))
        ends = door.difference(part.buffer(1))
        if not dry.is_empty and isinstance(ends, LineString) and ends.length >= wide:
            doors.append(ends)
            on_foot.append(foot)
    if not doors and not (last and any(door.intersects(part.buffer(1)) for door in room.doors)):
        return None
    floor = room.free.difference(off).difference(room.swept)
    return Ground(
        floor, walk, tuple(doors), part, wide, tuple(on_foot), room.lowest_mm, room.clear
    )  # fmt: skip


def _back(one: Stood, angle_deg: float) -> Place:
    middle = _turn(one.box.centroid, angle_deg)
    return Place(
        one.thing.id, one.thing.name, middle.x, middle.y,
        (angle_deg + (90 if one.turned else 0)) % 360,
        one.thing.width_mm, one.thing.depth_mm, one.thing.height_mm,
    )  # fmt: skip


def _way(ground: Ground, stood: Sequence[Stood], angle_deg: float) -> tuple[Corner, ...]:
    """Return the way from where one works to the door, as points; nothing where nobody walks."""
    line = way_line(ground, [one.box for one in stood]) if ground.doors else None
    if line is None:
        return ()
    return tuple((float(x), float(y)) for x, y in _turn(line, angle_deg).coords)


def _width(ground: Ground, stood: Sequence[Stood]) -> float | None:
    """Return how wide the way is that stays open, in whole 50 mm; None where nobody walks."""
    if not ground.doors:
        return None
    boxes = [one.box for one in stood]
    width = ground.way_mm
    for more in np.arange(ground.way_mm, 2 * ground.way_mm + 1, WAY_STEP_MM):
        wider = Ground(ground.floor, ground.walk, ground.doors, ground.wet, float(more))
        if way(wider, boxes) is None:
            break
        width = float(more)
    return width


WAY_STEP_MM = 50
"""A way is told in whole 50 mm: the pile beside it is never truer."""
