"""What one bay of a section shows: who does what where, under what, and the heights that decide."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon

from app.checks.open_floor import directions, open_demand, open_floor
from app.checks.situations import situation_name
from app.checks.snag import Snag
from app.checks.spot import Spot, rising_at
from app.checks.spots import OPEN, SHUT, best_spot, judge, overhead_in, spots
from app.drawing.primitives import Point
from app.formulas.headroom import Demand
from app.library.movements import Movement, movements
from app.model.people import Person
from app.model.situations import judged_situations
from app.scene.build import Placed, Scene
from app.scene.overhead import Overhead
from app.scene.shapes import turn, turned
from app.scene.swept import Held, Part, held_anywhere, held_at, parts, put
from app.scene.tolerance import TOLERANCE_MM, falls_short

_FACES_FRONT = ("seated-press", "bench-press", "dip")


@dataclass(frozen=True, slots=True)
class Bay:
    """One movement of one person at one place. Lengths in mm, heights from the bare floor.

    `facing` is the way the section is seen along, a unit vector of the room; `area` what of the
    floor lies under the part that decides, `clear_mm` what is clear there because of `cause`, and
    `also` lies under others of its kind, as plates are at both ends of a bar.
    """

    movement: Movement
    person: Person
    at: Point
    facing: Point
    placed: Placed | None
    held: Held | None
    part: str
    held_mm: float | None
    area: Polygon
    clear_mm: float
    cause: str
    demand: Demand
    overhead: Overhead
    also: tuple[Polygon, ...] = ()

    @property
    def hits(self) -> bool:
        """Return whether not even the least is clear."""
        return falls_short(self.clear_mm, self.demand.least_mm)

    @property
    def short(self) -> bool:
        """Return whether the margin is missing."""
        return falls_short(self.clear_mm, self.demand.need_mm)

    def term(self, *labels: str) -> float | None:
        """Return the first term of the least that is called one of these, in mm."""
        for term in self.demand.least:
            if term.label in labels:
                return term.mm
        return None


def snag_bay(scene: Scene, snag: Snag) -> Bay | None:
    """Return what a headroom snag is about; None where it names no movement or no floor for it."""
    if snag.lacks != "height" or snag.person is None or snag.movement is None:
        return None
    person = next((p for p in scene.plan.people if p.id == snag.person), None)
    if person is None:
        return None
    row = movements()[snag.movement]
    if not snag.pieces:
        return open_bay(scene, person, row)
    situation = snag.situation or ""
    opened = (OPEN,) if situation == OPEN else (SHUT,) if situation == SHUT else (SHUT, OPEN)
    bays = [
        bay
        for there in _scenes(scene, snag)
        for spot in spots(there).get(row.key, ())
        if spot.placed.root == snag.pieces[0]
        for bay in (spot_bay(there, person, spot, which) for which in opened)
    ]
    # several uses of one station, or several situations: the one that the snag tells of
    return min(bays, key=lambda bay: abs(bay.clear_mm - (snag.measured or 0.0)), default=None)


def fitting_bay(scene: Scene, person: Person, row: Movement) -> Bay | None:
    """Return the nearest movement of the same pattern that fits with its margin, or just passes."""
    passing: Bay | None = None
    served = spots(scene)
    # what the person has declined comes last
    for key in sorted(row.substitutes, key=lambda key: person.wish_for(key) == "no"):
        other = movements()[key]
        bays = [open_bay(scene, person, other)]
        if key in served:
            _, spot = best_spot(scene, person, served[key], SHUT)
            bays.insert(0, spot_bay(scene, person, spot, SHUT))
        for bay in bays:
            if bay is None or bay.hits:
                continue
            if not bay.short:
                return bay
            passing = passing or bay
    return passing


def spot_bay(scene: Scene, person: Person, spot: Spot, situation: str) -> Bay:
    """Return the bay of a movement at a piece."""
    verdict = judge(scene, person, spot, situation)
    placed, row = spot.placed, movements()[spot.use.movement]
    held = held_at(scene, placed, spot.use)
    local = turn(spot.at[0] - placed.at[0], spot.at[1] - placed.at[1], -placed.pose.angle_deg)
    overhead = overhead_in(scene, situation)
    decides = [
        (part, put(part.area, placed, local))
        for part in rising_at(scene, spot)
        if (part.name, part.held_mm, part.on_floor)
        == (verdict.clear.part, verdict.clear.held_mm, verdict.clear.on_floor)
    ]
    part, area = min(decides, key=lambda one: _over(overhead, one[1])[0])
    return Bay(
        row,
        person,
        spot.from_at if part.on_floor else spot.at,
        _facing(row.key, placed.pose.angle_deg),
        placed,
        held,
        part.name,
        part.held_mm,
        area,
        verdict.clear.clear_mm,
        verdict.clear.cause,
        verdict.demand,
        overhead,
        tuple(one for _, one in decides if one is not area),
    )


def open_bay(scene: Scene, person: Person, row: Movement) -> Bay | None:
    """Return bay of a movement on the open floor, at the best place; None where there is none."""
    floor = open_floor(scene, row.key)
    if not len(floor.at):
        return None
    # of places as good as the best the one farthest from walls is the plainest to look at
    good = np.flatnonzero(floor.over_mm >= floor.over_mm.max() - TOLERANCE_MM)
    middle = np.array(scene.room.free.centroid.coords[0])
    best = int(good[np.hypot(*(floor.at[good] - middle).T).argmin()])
    at = (float(floor.at[best][0]), float(floor.at[best][1]))
    held, overhead = held_anywhere(scene, row.key), scene.room.training
    least_by_angle: list[tuple[float, float, Part, Polygon, float, str]] = []
    for angle in directions(scene.room):
        tried = []
        for part in parts(row.key, held):
            area = shapely.transform(turned(part.area, angle), lambda xy: xy + np.array(at))
            clear, cause = _over(overhead, area)
            tried.append((clear - (part.held_mm or 0.0), angle, part, area, clear, cause))
        least_by_angle.append(min(tried, key=lambda one: one[0]))
    # the place is known, the direction is not: the one in which it is the best place
    clear_mm = float(floor.over_mm[best])
    _, angle, part, area, clear, cause = min(least_by_angle, key=lambda one: abs(one[0] - clear_mm))
    also = [
        shapely.transform(turned(other.area, angle), lambda xy: xy + np.array(at))
        for other in parts(row.key, held)
        if other is not part and (other.name, other.held_mm) == (part.name, part.held_mm)
    ]
    asked = open_demand(scene, person, row.key, part.held_mm)
    facing = _facing(row.key, angle)
    return Bay(
        row,
        person,
        at,
        facing,
        None,
        held,
        part.name,
        part.held_mm,
        area,
        clear,
        cause,
        asked,
        overhead,
        tuple(also),
    )


def _scenes(scene: Scene, snag: Snag) -> list[Scene]:
    """Return the scene in each situation that a snag names, or as it stands."""
    situation = snag.situation or ""
    named = [s for s in judged_situations(scene.plan) if situation_name(s) in situation]
    return [scene.in_situation(s) for s in named or judged_situations(scene.plan)] or [scene]


def _over(overhead: Overhead, area: Polygon) -> tuple[float, str]:
    core = area.buffer(-TOLERANCE_MM / 2, join_style="mitre")
    heights, causes = overhead.clear(np.array([core], dtype=object))
    cause = int(causes[0])
    return float(heights[0]), overhead.items[cause].name if cause >= 0 else "sky"


def _facing(movement: str, angle_deg: float) -> Point:
    """Return which way a person looks: at the piece, or with their back to it."""
    side = 1.0 if movement in _FACES_FRONT else -1.0
    x, y = turn(0.0, side, angle_deg)
    length = math.hypot(x, y)
    return x / length, y / length
