"""What hangs low over the ways on foot, where there is no way round it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from app.published.register import published
from app.scene.build import Scene
from app.scene.overhead import Above, Overhead, lower_part
from app.scene.routes import Routes, head_mm, in_the_way
from app.scene.routes_lines import pass_under
from app.scene.tolerance import TOLERANCE_MM, enough_mm, falls_short

Corner = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Low:
    """One thing that hangs too low over the only way to some stations, by their numbers.

    `needed_mm` is what was missed; `care` tells that it is the tallest head's own height, not what
    is passed on one's feet.
    """

    name: str
    height_mm: float
    needed_mm: float
    where: tuple[float, float]
    to: tuple[int, ...]
    care: bool


@dataclass(frozen=True, slots=True, eq=False)
class _Over:
    """What hangs lower than somebody needs: its area, its lowest there, and where it is of the room
    what says how high it is over any part of that.
    """

    name: str
    area: BaseGeometry
    lowest_mm: float
    item: Above | None = None

    @property
    def slopes(self) -> bool:
        """Whether it is not as low everywhere."""
        heights = self.item.heights(self.area) if self.item is not None else np.zeros(1)
        return falls_short(float(heights.min()), float(heights.max()))

    def on_the_way(self, walked: BaseGeometry) -> tuple[float, Point]:
        """Return how high it hangs in mm over what is walked, and where; anywhere if nowhere."""
        if self.item is None or not self.slopes:
            return self.lowest_mm, self.area.representative_point()
        common = self.area.intersection(walked)
        if common.is_empty:
            return self.lowest_mm, self.area.representative_point()
        heights = self.item.heights(common)
        lowest = int(heights.argmin())
        return float(heights[lowest]), Point(shapely.get_coordinates(common)[lowest])


def crawled_under(scene: Scene, paths: Routes) -> Low | None:
    """Return the lowest thing that no way to some station passes but on hands and knees.

    What is used under it is judged at its place: it is the way to the others that counts.
    """
    covering = scene.plan.room.floor.covering.thickness_mm
    level = covering + published("route.on-foot-mm")
    over = _of_room(scene, paths, level)
    if not over:
        return None
    area = shapely.union_all([item.area for item in over])
    free = [
        i
        for i, stand in enumerate(paths.stands)
        if (shapely.distance(shapely.points(stand.points), area) > TOLERANCE_MM).any()
    ]
    return _unavoidable(scene, paths, level, care=False, of=free) if free else None


def low_for_heads(scene: Scene, paths: Routes) -> Low | None:
    """Return the lowest thing that the tallest head may meet; None where there are no people."""
    if not scene.plan.people:
        return None
    heads = head_mm(scene) + published("route.overhead-spare-mm")
    return _unavoidable(scene, paths, heads, care=True)


def low_of_the_way(scene: Scene, paths: Routes) -> tuple[Low, ...]:
    """Return at most one: the lowest thing under the height of an ordinary way."""
    covering = scene.plan.room.floor.covering.thickness_mm
    note = covering + published("route.overhead-note-mm")
    low = _unavoidable(scene, paths, note, care=False)
    return () if low is None else (low,)


def _unavoidable(
    scene: Scene,
    paths: Routes,
    level_mm: float,
    *,
    care: bool,
    of: Sequence[int] | None = None,
) -> Low | None:
    """Return the lowest thing under a height that the ways to some stations must pass under.

    The stations are those of some numbers, or all.
    """
    of_room, of_kit = _of_room(scene, paths, level_mm), list(_of_kit(scene, level_mm))
    over = [*of_room, *of_kit]
    if not over:
        return None
    least = published("route.least-mm")
    reached = [
        i
        for i in (range(len(paths.stands)) if of is None else of)
        if not falls_short(paths.best(i).width_mm, least)
    ]
    passing = dict(
        zip(reached, pass_under(paths, reached, [item.area for item in over]), strict=True)
    )
    # whose widest way meets nothing low has a way that avoids it: that very one
    if not any(passing.values()):
        return None
    areas = [part for item in over for part in shapely.get_parts(item.area)]
    low = [part for part in areas if isinstance(part, Polygon)]
    avoided = paths.reached_avoiding(low, least)
    to = [i for i in reached if passing[i] and not avoided[i]]
    if to:
        # the graph has one line between two things; beside it there may be room enough
        under_room = None if of_kit else level_mm
        beside = walked_round(scene, paths, to, low, least, under_room)
        to = [i for i in to if i not in beside]
    passed = [item for number, item in enumerate(over) if any(number in passing[i] for i in to)]
    if not passed:
        return None
    # what hangs level is as low wherever one passes: the floor of the ways is dear to make
    walked = _walked_to(paths, to, least) if any(item.slopes for item in passed) else Polygon()
    heights = [item.on_the_way(walked) for item in passed]
    height, at, lowest = min(
        ((height, at, item) for (height, at), item in zip(heights, passed, strict=True)),
        key=lambda one: one[0],
    )
    number = over.index(lowest)
    under = tuple(i for i in to if number in passing[i])
    return Low(lowest.name, height, level_mm, (at.x, at.y), under, care)


def _walked_to(paths: Routes, to: Sequence[int], least_mm: float) -> BaseGeometry:
    """Return the floor of the least width that the widest ways to some stands lead over."""
    lines = []
    for stand in to:
        widths = [way.width_mm for way in paths.ways[stand]]
        line = paths.line(stand, widths.index(max(widths)))
        if line is not None:
            lines.append(line.buffer(least_mm / 2))
    return shapely.union_all(lines)


@dataclass(frozen=True, slots=True, eq=False)
class _Bare:
    """The floor of the bare room on which somebody stoops nowhere.

    `over` is what lies too near under low things, `doors` are those before which one need not
    stoop, `walked` is what one comes to from them.
    """

    over: BaseGeometry
    doors: tuple[LineString, ...]
    walked: BaseGeometry


def _bare(scene: Scene, paths: Routes, low: Sequence[Polygon], half_mm: float) -> _Bare:
    doors = [_doorway(shape.left, shape.right, half_mm) for shape in paths.ways_out]
    over = shapely.union_all(shapely.buffer(np.array(low, dtype=object), half_mm))
    # before a door that is under it all nobody begins beside it
    beside = tuple(door for door in doors if not shapely.covers(over, door.buffer(half_mm)))
    return _Bare(over, beside, _walked(scene.room.free, over, beside, half_mm))


def walked_round(
    scene: Scene,
    paths: Routes,
    to: Sequence[int],
    low: Sequence[Polygon],
    least_mm: float,
    under_room_mm: float | None = None,
) -> frozenset[int]:
    """Return which of some stands are reached over floor wide enough with nothing low over it.

    What hangs low is that of the room under a height alone where that is given: what then hangs
    on no piece is found once.
    """
    half = least_mm / 2 - TOLERANCE_MM
    made = partial(_bare, scene, paths, low, half)
    if under_room_mm is None:
        bare = made()
    else:
        where = _overhead(scene, paths) is scene.room.open
        bare = scene.memo(("bare floor", under_room_mm, where, half), made)
    # the bare room tells most of it at once: a beam from wall to wall is walked round by nobody
    there = _come_to(paths, to, bare.walked)
    if not there:
        return there
    met, count = in_the_way(scene), len(scene.order)
    owner = scene.solids.owner[met]
    # whole outlines, of which there are few: nobody's way leads between the legs of a thing
    things = [scene.order[i].footprint for i in np.unique(owner[owner < count]).tolist()]
    taken = shapely.union_all([*things, *scene.solids.cores[met[owner >= count]]])
    walked = _walked(scene.room.free.difference(taken), bare.over, bare.doors, half)
    return _come_to(paths, sorted(there), walked)


def _walked(
    free: BaseGeometry, over: BaseGeometry, doors: Sequence[LineString], half_mm: float
) -> BaseGeometry:
    """Return where the middle of somebody so wide comes to from a door and stoops nowhere."""
    if not doors:
        return Polygon()
    floor = free.buffer(-half_mm).difference(over)
    near = half_mm + 2 * TOLERANCE_MM
    parts = shapely.get_parts(floor)
    begun = [part for part in parts if any(shapely.distance(part, one) <= near for one in doors)]
    return shapely.union_all(begun)


def _come_to(paths: Routes, to: Sequence[int], walked: BaseGeometry) -> frozenset[int]:
    """Return which of some stands lie where somebody walks."""
    if walked.is_empty:
        return frozenset()
    points = [shapely.points(paths.stands[i].points) for i in to]
    return frozenset(
        i
        for i, there in zip(to, points, strict=True)
        if (shapely.distance(there, walked) <= 2 * TOLERANCE_MM).any()
    )


def _doorway(left: Corner, right: Corner, half_mm: float) -> LineString:
    """Return where the middle of somebody passes through a doorway; its middle if it is narrow."""
    (x0, y0), (x1, y1) = left, right
    share = min(half_mm / math.dist(left, right), 1 / 2)
    dx, dy = share * (x1 - x0), share * (y1 - y0)
    return LineString([(x0 + dx, y0 + dy), (x1 - dx, y1 - dy)])


def _of_room(scene: Scene, paths: Routes, level_mm: float) -> tuple[_Over, ...]:
    """Return what of the room hangs lower than a height: it hangs on no piece."""
    overhead = _overhead(scene, paths)

    def made() -> tuple[_Over, ...]:
        parts = ((item, lower_part(item, enough_mm(level_mm))) for item in overhead.items)
        return tuple(
            _Over(item.name, area, float(item.heights(area).min()), item)
            for item, area in parts
            if not area.is_empty
        )

    return scene.memo(("low of the room", level_mm, overhead is scene.room.open), made)


def _of_kit(scene: Scene, level_mm: float) -> Iterator[_Over]:
    """Yield the kit that is walked under and hangs lower than a height."""
    solids = scene.solids
    head = head_mm(scene)
    count = scene.piece_solids
    low = solids.low_mm[:count]
    for i in np.flatnonzero((low >= head) & falls_short(low, level_mm)):
        placed = scene.order[int(solids.owner[i])]
        yield _Over(placed.name, solids.cores[i], float(low[i]))


def _overhead(scene: Scene, paths: Routes) -> Overhead:
    """Return what is overhead on the way: garage doors stand open where they are the only ways."""
    garage_only = all(shape.opening.is_garage_door for shape in paths.ways_out)
    return scene.room.open if garage_only else scene.overhead
