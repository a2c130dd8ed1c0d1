"""Edges of a floor covering that somebody walks or drives over: at doors and inside the room."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np
import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from app.errors import PlanError
from app.model.flooring import FloorLaying
from app.published.register import published
from app.scene.build import Scene
from app.scene.resting import ROLLED_OFF
from app.takeoff.floor_region import door_stop_of, floor_to_cover, gap_of, let_in
from app.takeoff.surfaces import floor_area

_HAIR_MM = 1.0
"""Half of the slit by which a door is cut out of the walls: no wall is as short."""


@dataclass(frozen=True, slots=True, eq=False)
class Edge:
    """A straight edge that a foot or a wheel goes over: `high_mm` up from what lies beside it.

    `top_mm` is the thickness of the covering that ends there: more than `high_mm` where another
    covering begins.
    """

    line: LineString
    high_mm: float
    top_mm: float

    @property
    def is_step(self) -> bool:
        """Whether another covering begins at its foot."""
        return self.high_mm < self.top_mm


def free_edges(scene: Scene) -> BaseGeometry:
    """Return the lines where the covering ends and no wall, column or staying thing stops a foot.

    Where no floor is laid out the covering is taken to reach the walls.
    """
    return shapely.MultiLineString([edge.line for edge in edges(scene) if not edge.is_step])


def edges(scene: Scene) -> tuple[Edge, ...]:
    """Return the free edges, each as high as the covering that ends there, and the steps.

    A step is where two coverings meet of which one is higher by more than a foot does not find.
    """
    by_height = covered_by_height(scene)
    near = _near_mm(scene)
    stands = _stands(scene)
    # floors that meet have no edge between them
    outer = [
        line
        for whole in _straight_lines(_closed(by_height.values(), near).boundary)
        for line in _free_of(whole, stands, near)
    ]
    found = [Edge(line, high, high) for one in outer for line, high in _by_height(one, by_height)]
    flush = published("flooring.flush-mm")
    for (high, upper), (low, lower) in combinations(by_height.items(), 2):
        if high - low > flush:
            for line in _meeting(_closed([upper], near), lower, near):
                found += [Edge(free, high - low, high) for free in _free_of(line, stands, near)]
    return tuple(found)


def covered_by_height(scene: Scene) -> dict[float, BaseGeometry]:
    """Return what is covered at each thickness in mm, the thickest first.

    Where no floor is laid out: the whole floor, as thick as the covering of the room.
    """
    floors = scene.plan.fit_out.floors
    if not floors:
        return {scene.plan.room.floor.covering.thickness_mm: floor_area(scene)}
    parts: dict[float, list[BaseGeometry]] = {}
    for laying, area in _laid(scene):
        parts.setdefault(laying.thickness_mm, []).append(area)
    return {high: shapely.union_all(parts[high]) for high in sorted(parts, reverse=True)}


def _laid(scene: Scene) -> Iterator[tuple[FloorLaying, BaseGeometry]]:
    for laying in scene.plan.fit_out.floors:
        try:
            yield laying, floor_to_cover(scene, laying)
        except PlanError:
            # What cannot be laid has no edge; the list names it where it is counted.
            continue


def _near_mm(scene: Scene) -> float:
    """Return how far apart two coverings, or one and a wall, may lie with nothing between them."""
    gap = max((gap_of(laying) for laying, _ in _laid(scene)), default=0.0)
    return max(gap, published("flooring.left-bare-mm")) + 2 * _HAIR_MM


def _stands(scene: Scene) -> list[BaseGeometry]:
    """Return what stops a foot: walls, columns, what stays, and what is let in."""
    floors = scene.plan.fit_out.floors
    stands: list[BaseGeometry] = [*_walls(scene), *_beside_garage_doors(scene)]
    stands += [polygon for _, polygon in scene.room.columns]
    stands += [
        placed.footprint
        for placed in scene.order
        if placed.piece.stays and placed.kit.key not in ROLLED_OFF
    ]
    stands += [placed.footprint for laying in floors for placed in let_in(scene, laying)]
    return stands


def _beside_garage_doors(scene: Scene) -> Iterator[BaseGeometry]:
    """Yield the floor between the covering and the wall beside each garage door.

    The covering ends in one line across the room: nobody comes in or drives over it there. What is
    yielded keeps as far from the opening as all that stands is widened by, and reaches that line
    when it is.
    """
    near = _near_mm(scene)
    stop = max((door_stop_of(laying) for laying, _ in _laid(scene)), default=0.0)
    stop -= near - _HAIR_MM
    for shape in scene.room.openings:
        if not shape.opening.is_garage_door or stop <= 0:
            continue
        deep = np.array(shape.inward) * stop
        for jamb, other in ((shape.left, shape.right), (shape.right, shape.left)):
            edge = np.array(jamb)
            away = edge - np.array(other)
            away = away / np.linalg.norm(away)
            ends = (np.array(end) - edge for end in (shape.wall.start, shape.wall.end))
            long = max(float(end @ away) for end in ends)
            if long > near:
                first, last = edge + away * near, edge + away * long
                yield Polygon([first, last, last + deep, first + deep])


def _closed(covered: Iterable[BaseGeometry], near_mm: float) -> BaseGeometry:
    """Return what is covered as one, what lies near to one another bridged."""
    whole = shapely.union_all([part.buffer(near_mm / 2, join_style="mitre") for part in covered])
    return shapely.simplify(whole.buffer(-near_mm / 2, join_style="mitre"), _HAIR_MM / 2)


def _by_height(
    line: LineString, by_height: Mapping[float, BaseGeometry]
) -> Iterator[tuple[LineString, float]]:
    """Yield the parts of a free edge with the height of the covering that ends there.

    What bridges two of them goes with the one before it.
    """
    spans: list[tuple[float, float, float]] = []
    for high, area in by_height.items():
        beside = line.intersection(area.buffer(2 * _HAIR_MM, join_style="mitre"))
        for low_mm, high_mm in _spans(line, beside):
            # of two over one another the higher one counts, and comes first
            if not any(at <= (low_mm + high_mm) / 2 <= to for at, to, _ in spans):
                spans.append((low_mm, high_mm, high))
    if not spans:
        yield line, min(by_height, key=lambda high: line.distance(by_height[high]))
        return
    spans.sort()
    begins = [0.0, *(low_mm for low_mm, _, _ in spans[1:])]
    for begin, end, (_, _, high) in zip(begins, [*begins[1:], line.length], spans, strict=True):
        yield LineString([line.interpolate(begin), line.interpolate(end)]), high


def _meeting(upper: BaseGeometry, lower: BaseGeometry, near_mm: float) -> Iterator[LineString]:
    """Yield where the edge of one covering lies along another."""
    beyond = lower.difference(upper.buffer(near_mm, join_style="mitre"))
    for line in _straight_lines(upper.boundary):
        beside = line.buffer(2 * near_mm, cap_style="flat").intersection(beyond)
        for low_mm, high_mm in _spans(line, beside):
            yield LineString([line.interpolate(low_mm), line.interpolate(high_mm)])


def _spans(line: LineString, beside: BaseGeometry) -> Iterator[tuple[float, float]]:
    """Yield from where to where along a line the parts of a shape lie, in mm."""
    for part in shapely.get_parts(beside):
        at = [line.project(Point(xy)) for xy in shapely.get_coordinates(part)]
        if at and max(at) - min(at) > _HAIR_MM:
            yield min(at), max(at)


def _free_of(
    line: LineString, stands: Sequence[BaseGeometry], near_mm: float
) -> Iterator[LineString]:
    """Yield what of a straight edge is free: a part that goes up to a wall does so all the way."""
    stops = shapely.union_all(
        [one.buffer(near_mm, cap_style="flat", join_style="mitre") for one in stands]
    )
    standing = shapely.union_all(stands)
    for part in shapely.get_parts(line.difference(stops)):
        if part.is_empty:
            continue
        ends = sorted(line.project(Point(end)) for end in (part.coords[0], part.coords[-1]))
        for bit in shapely.get_parts(line.intersection(stops)):
            if bit.is_empty or bit.geom_type != "LineString" or bit.length > 2 * near_mm:
                continue
            low, high = sorted(line.project(Point(end)) for end in (bit.coords[0], bit.coords[-1]))
            # beside a post it runs along the wall and ends there; else it runs up to something
            if abs(high - ends[0]) < _HAIR_MM and _away(line, high, standing) > near_mm - _HAIR_MM:
                ends[0] = low
            if abs(low - ends[1]) < _HAIR_MM and _away(line, low, standing) > near_mm - _HAIR_MM:
                ends[1] = high
        yield LineString([line.interpolate(at) for at in ends])


def _away(line: LineString, at_mm: float, standing: BaseGeometry) -> float:
    return float(line.interpolate(at_mm).distance(standing))


def _straight_lines(edge: BaseGeometry) -> Iterator[LineString]:
    for line in shapely.get_parts(edge):
        yield from (LineString(pair) for pair in pairwise(line.coords))


def _walls(scene: Scene) -> list[BaseGeometry]:
    """Return the lines of the walls, open at their doors; windows are wall."""
    gaps = [
        LineString([shape.left, shape.right]).buffer(_HAIR_MM, cap_style="flat")
        for shape in scene.room.openings
        if shape.opening.kind != "window"
    ]
    lines = scene.room.free.exterior.difference(shapely.union_all(gaps))
    whole = shapely.line_merge(lines) if lines.geom_type == "MultiLineString" else lines
    return list(shapely.get_parts(whole))
