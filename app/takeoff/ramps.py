"""Ramps at the free edges of a floor that is laid: where they lie, how high and how wide."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from app.published.register import published
from app.scene.build import Scene
from app.scene.naming import opening_name
from app.takeoff.floor_region import door_stop_of, gap_of
from app.takeoff.free_edges import Edge, covered_by_height, edges
from app.units import KILO, Units
from app.wording import Phrase, joined, lower, phrase

IN_THE_ROOM = "where it ends in the room"
BETWEEN_FLOORS = "where two floors meet"
_HAIR_MM = 5.0
"""How far beyond the gap an edge may lie to count as one at a door."""


@dataclass(frozen=True, slots=True, eq=False)
class Ramp:
    """One straight strip along an edge of the covering; `where` names the opening it lies at.

    `corners` are what fills its outer corners, where it meets the next one and both are mitred.
    """

    edge: Edge
    where: str
    corners: tuple[Polygon, ...] = ()

    @property
    def high_mm(self) -> float:
        """How high its edge is."""
        return self.edge.high_mm

    @property
    def metres(self) -> float:
        """How long it is, along its outer edge where that is longer."""
        least, _ = ramp_widths_mm(self.high_mm)
        return (float(self.edge.line.length) + least * len(self.corners)) / KILO


def ramps(scene: Scene) -> tuple[Ramp, ...]:
    """Return the ramps of a floor, in the order of the openings that they lie at."""
    every_ramp = [
        Ramp(edge, BETWEEN_FLOORS if edge.is_step else _where(scene, edge.line))
        for edge in edges(scene)
        if edge.high_mm > 0
    ]
    covered = shapely.union_all([*covered_by_height(scene).values()])
    every_ramp = [replace(one, corners=_corners(one, every_ramp, covered)) for one in every_ramp]
    last = (IN_THE_ROOM, BETWEEN_FLOORS)
    return tuple(sorted(every_ramp, key=lambda ramp: (ramp.where in last, ramp.where)))


def _corners(ramp: Ramp, others: Sequence[Ramp], covered: BaseGeometry) -> tuple[Polygon, ...]:
    """Return what a ramp has beyond its edge at the outer corners that it shares with others."""
    if ramp.where != IN_THE_ROOM:
        return ()
    least, _ = ramp_widths_mm(ramp.high_mm)
    found = []
    for other in others:
        if other is ramp or other.where != IN_THE_ROOM or other.high_mm != ramp.high_mm:
            continue
        for at, own in _ends(ramp):
            for end, its in _ends(other):
                (x, y), (ax, ay), (bx, by) = at, own, its
                within = Point(x + _HAIR_MM * (ax + bx), y + _HAIR_MM * (ay + by))
                if math.dist(at, end) > _HAIR_MM or not covered.contains(within):
                    continue
                # outwards square to either edge: away from where the other one runs
                nx, ny = (-ay, ax) if -ay * bx + ax * by < 0 else (ay, -ax)
                mx, my = (-by, bx) if -by * ax + bx * ay < 0 else (by, -bx)
                far = least / (1 + nx * mx + ny * my)
                found.append(
                    Polygon(
                        [
                            at,
                            (x + least * nx, y + least * ny),
                            (x + far * (nx + mx), y + far * (ny + my)),
                        ]
                    )
                )
    return tuple(found)


def _ends(ramp: Ramp) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """Yield both ends of a ramp's edge, each with the direction that the edge goes from there."""
    (ax, ay), (bx, by) = (xy[:2] for xy in ramp.edge.line.coords)
    long = max(float(ramp.edge.line.length), _HAIR_MM)
    dx, dy = (bx - ax) / long, (by - ay) / long
    yield (ax, ay), (dx, dy)
    yield (bx, by), (-dx, -dy)


def ramps_by_height(scene: Scene) -> dict[float, dict[str, float]]:
    """Return the metres of ramp at each opening, and in the room, by height in mm and by name.

    The highest come first: each height is bought by itself.
    """
    heights: dict[float, dict[str, float]] = {}
    for ramp in sorted(ramps(scene), key=lambda one: -one.high_mm):
        metres = heights.setdefault(ramp.high_mm, {})
        metres[ramp.where] = metres.get(ramp.where, 0.0) + ramp.metres
    return heights


def ramp_widths_mm(high_mm: float) -> tuple[float, float]:
    """Return the least and the greatest width in mm of a ramp that trips nobody."""
    return (
        high_mm * published("flooring.ramp-run-least"),
        high_mm * published("flooring.ramp-run-most"),
    )


_THIN_MM = 5.0
"""Ramps are made from about 6 mm on; common practice, no source."""


def is_thin(high_mm: float) -> bool:
    """Return whether an edge takes a flat threshold strip: no ramp is made so low."""
    return high_mm <= _THIN_MM


def before_the_door(scene: Scene, high_mm: float, places: Iterable[str], units: Units) -> str:
    """Say how wide a ramp of a height at a garage door is at the most; "" where any finds room.

    `places` are those that have a ramp so high.
    """
    names = {opening_name(scene, s) for s in scene.room.openings if s.opening.is_garage_door}
    at = [place for place in places if place in names]
    stops = [door_stop_of(one) for one in scene.plan.fit_out.floors if one.thickness_mm == high_mm]
    left = min(stops, default=0.0)
    least, most = ramp_widths_mm(high_mm)
    if not at or not least <= left < most or is_thin(high_mm):
        return ""
    words = phrase(" At the {} {:mm} at the most: there the door shuts.", lower(at[0]), left)
    return words.worded(units)


def ramp_areas(scene: Scene) -> Iterator[tuple[Ramp, BaseGeometry]]:
    """Yield each ramp with the floor that it takes at its least width, beside the covering.

    That of a step lies on the lower covering, that at a door in its reveal.
    """
    by_height = covered_by_height(scene)
    # before a door that opens into the next room the ramp lies in the reveal
    reveals = [one.hole for one in scene.room.openings if one.opening.kind != "window"]
    floor = shapely.union_all([scene.room.free, *reveals])
    for ramp in ramps(scene):
        least, _ = ramp_widths_mm(ramp.high_mm)
        top = ramp.edge.top_mm
        higher = [a for high, a in by_height.items() if not ramp.edge.is_step or high >= top]
        strip = ramp.edge.line.buffer(least, cap_style="flat")
        area = strip.difference(shapely.union_all(higher)).intersection(floor)
        if not area.is_empty:
            largest = max(shapely.get_parts(area), key=lambda part: float(part.area))
            yield ramp, shapely.union_all([largest, *ramp.corners])


def at_the_doors(scene: Scene, high_mm: float, units: Units) -> str:
    """Say where a ramp of a height lies at a door before which there is no room for it; "" else.

    It ends at the door's line there: either it goes on in the reveal or the covering ends sooner.
    """
    least, _ = ramp_widths_mm(high_mm)
    garage = {opening_name(scene, s) for s in scene.room.openings if s.opening.is_garage_door}
    if is_thin(high_mm):
        # a flat strip lies over the edge itself
        return ""
    said = []
    for ramp, area in ramp_areas(scene):
        inside = ramp.where in (IN_THE_ROOM, BETWEEN_FLOORS) or ramp.where in garage
        # as wide as it is drawn: what of it lies in the room
        wide = area.intersection(scene.room.free).area / max(ramp.edge.line.length, _HAIR_MM)
        if ramp.high_mm == high_mm and not inside and wide < least - _HAIR_MM:
            said.append(
                phrase(
                    " At the {} {:mm} of floor are left before its line: the ramp lies in the "
                    "reveal where leaf and threshold let it, else end the covering {:mm} sooner "
                    "there.",
                    lower(ramp.where),
                    wide,
                    least - wide,
                ).worded(units)
            )
    return "".join(dict.fromkeys(said))


def ramps_in_words(scene: Scene, units: Units) -> str:
    """Say where ramps lie, how long, how high and how wide they are; "" where there are none."""
    heights = ramps_by_height(scene)
    said = [
        _laid_words(high, joined(", ", _at(places)), len(heights) > 1).worded(units)
        + before_the_door(scene, high, places, units)
        + at_the_doors(scene, high, units)
        for high, places in heights.items()
    ]
    return " ".join(said)


def _laid_words(high_mm: float, places: Phrase, several: bool) -> Phrase:
    if is_thin(high_mm):
        return phrase(
            "Threshold strips, grey on the plan, for an edge of {:mm}, where somebody walks or "
            "drives over it: {}.",
            high_mm,
            places,
        )
    return phrase(
        "Edge ramps, grey on the plan, {:bare} to {:mm} wide, {}where somebody walks or "
        "drives over the edge: {}.",
        *ramp_widths_mm(high_mm),
        phrase("for an edge of {:mm}, ", high_mm) if several else "",
        places,
    )


def _at(places: Mapping[str, float]) -> list[Phrase]:
    inside = (IN_THE_ROOM, BETWEEN_FLOORS)
    return [
        phrase("{:fine} {}", metres * KILO, place if place in inside else f"at the {lower(place)}")
        for place, metres in places.items()
    ]


def _where(scene: Scene, line: LineString) -> str:
    floors = scene.plan.fit_out.floors
    for shape in scene.room.openings:
        if shape.opening.kind == "window":
            continue
        reach = max((gap_of(laying) for laying in floors), default=0.0) + _HAIR_MM
        if shape.opening.is_garage_door:
            reach = max(reach, *(door_stop_of(laying) + _HAIR_MM for laying in floors), 0.0)
        if line.distance(LineString([shape.left, shape.right])) <= reach:
            return opening_name(scene, shape)
    return IN_THE_ROOM
