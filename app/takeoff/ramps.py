"""Ramps at the free edges of a floor that is laid: where they lie, how high and how wide."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from app.errors import PlanError
from app.published.register import published
from app.scene.build import Scene
from app.scene.naming import opening_name
from app.takeoff.floor_region import door_stop_of, floor_to_cover, gap_of
from app.takeoff.free_edges import free_edges
from app.units import KILO, Units
from app.wording import joined, lower, phrase

IN_THE_ROOM = "where it ends in the room"
_HAIR_MM = 5.0
"""How far beyond the gap an edge may lie to count as one at a door."""


@dataclass(frozen=True, slots=True, eq=False)
class Ramp:
    """One straight strip along an edge of the covering; `where` names the opening it lies at."""

    edge: LineString
    where: str


def ramps(scene: Scene) -> tuple[Ramp, ...]:
    """Return the ramps of a floor, in the order of the openings that they lie at."""
    every_ramp = [Ramp(line, _where(scene, line)) for line in shapely.get_parts(free_edges(scene))]
    return tuple(sorted(every_ramp, key=lambda ramp: (ramp.where == IN_THE_ROOM, ramp.where)))


def ramps_by_place(scene: Scene) -> dict[str, float]:
    """Return the metres of ramp at each opening, and in the room, by its name."""
    metres: dict[str, float] = {}
    for ramp in ramps(scene):
        metres[ramp.where] = metres.get(ramp.where, 0.0) + float(ramp.edge.length) / KILO
    return metres


def edge_mm(scene: Scene) -> float:
    """Return the height of the edge at a door: of what is laid, else of the room's covering."""
    floors = scene.plan.fit_out.floors
    if floors:
        return max(laying.thickness_mm for laying in floors)
    return scene.plan.room.floor.covering.thickness_mm


def ramp_widths_mm(scene: Scene) -> tuple[float, float]:
    """Return the least and the greatest width of a ramp that trips nobody."""
    high = edge_mm(scene)
    return (
        high * published("flooring.ramp-run-least"),
        high * published("flooring.ramp-run-most"),
    )


def before_the_door(scene: Scene, units: Units) -> str:
    """Say how wide a ramp at a garage door is at the most; "" where any width finds room."""
    names = {opening_name(scene, s) for s in scene.room.openings if s.opening.is_garage_door}
    at = [place for place in ramps_by_place(scene) if place in names]
    left = min((door_stop_of(one) for one in scene.plan.fit_out.floors), default=0.0)
    least, most = ramp_widths_mm(scene)
    if not at or not least <= left < most:
        return ""
    words = phrase(" At the {} {:mm} at the most: there the door shuts.", lower(at[0]), left)
    return words.worded(units)


def ramp_areas(scene: Scene) -> Iterator[tuple[Ramp, BaseGeometry]]:
    """Yield each ramp with the floor that it takes at its least width, beside the covering."""
    least, _ = ramp_widths_mm(scene)
    covered = shapely.union_all([*_covered(scene)])
    for ramp in ramps(scene):
        area = ramp.edge.buffer(least, cap_style="flat").difference(covered)
        if not area.is_empty:
            yield ramp, max(shapely.get_parts(area), key=lambda part: float(part.area))


def ramps_in_words(scene: Scene, units: Units) -> str:
    """Say where ramps lie, how long and how wide they are; "" where there are none."""
    places = ramps_by_place(scene)
    if not places or edge_mm(scene) <= 0:
        return ""
    at = [
        phrase(
            "{:fine} {}",
            metres * KILO,
            place if place == IN_THE_ROOM else f"at the {lower(place)}",
        )
        for place, metres in places.items()
    ]
    return phrase(
        "Edge ramps, grey on the plan, {:bare} to {:mm} wide, where somebody walks or drives over "
        "the edge: {}.",
        *ramp_widths_mm(scene),
        joined(", ", at),
    ).worded(units) + before_the_door(scene, units)


def _covered(scene: Scene) -> Iterator[BaseGeometry]:
    for laying in scene.plan.fit_out.floors:
        try:
            yield floor_to_cover(scene, laying)
        except PlanError:
            # What cannot be laid has no ramp; the list names it where it is counted.
            continue


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
