"""Where each movement can be done, how much is clear there, and what a person asks for."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely

from app.formulas.headroom import Demand, demand, grade_rise_mm
from app.library.anchors import place
from app.library.kit import Use
from app.library.movements import movements
from app.model.people import Person
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.overhead import Overhead
from app.scene.shapes import turn
from app.scene.swept import Held, held_by, parts, put
from app.scene.tolerance import TOLERANCE_MM

SHUT, OPEN = "garage door shut", "garage door open"


@dataclass(frozen=True, slots=True)
class Spot:
    """One place for one movement: a piece and the use it is put to there."""

    placed: Placed
    use: Use

    @property
    def at(self) -> tuple[float, float]:
        """The middle of the person or bar, in mm of the room."""
        extent = self.placed.extent
        x, y = place(self.use.at[0], extent), place(self.use.at[1], extent)
        dx, dy = turn(x, y, self.placed.pose.angle_deg)
        return self.placed.at[0] + dx, self.placed.at[1] + dy


@dataclass(frozen=True, slots=True)
class Clear:
    """The clear height over one part of a movement at one place, from the bare floor, in mm."""

    part: str
    held_mm: float | None
    clear_mm: float
    cause: str


@dataclass(frozen=True, slots=True)
class Verdict:
    """One person, one movement, one place: the part that has the least to spare."""

    clear: Clear
    demand: Demand

    @property
    def spare_least_mm(self) -> float:
        """What is left above the least; negative: it hits."""
        return self.clear.clear_mm - self.demand.least_mm

    @property
    def spare_need_mm(self) -> float:
        """What is left above the need."""
        return self.clear.clear_mm - self.demand.need_mm


def spots(scene: Scene) -> dict[str, tuple[Spot, ...]]:
    """Give every movement that something in the plan is there for, with its places."""
    uses = scene.kept(("spots",), lambda: _uses(scene))
    return {
        movement: tuple(Spot(scene.placed[piece_id], use) for piece_id, use in found)
        for movement, found in uses.items()
    }


def served(scene: Scene) -> frozenset[str]:
    """Give the movements that something in the plan is there for."""
    return frozenset(scene.kept(("spots",), lambda: _uses(scene)))


def _uses(scene: Scene) -> dict[str, list[tuple[str, Use]]]:
    found: dict[str, list[tuple[str, Use]]] = {}
    held = {"bar": set[str](), "bench": set[str]()}
    for placed in scene.order:
        if placed.kit.bar is not None:
            held["bar"].add(placed.root)
        if placed.kit.group == "Benches":
            held["bench"].add(placed.root)
    for placed in scene.order:
        if not placed.in_use:
            continue
        # what a carrier offers counts for its station: a bench in a rack is not used by itself
        carrier = scene.placed[placed.root].kit
        taken = {use.movement for use in carrier.uses} if carrier is not placed.kit else set()
        for use in placed.kit.uses:
            served = all(placed.root in held[needed] for needed in use.needs)
            if served and use.movement not in taken and use.movement in movements():
                found.setdefault(use.movement, []).append((placed.piece.id, use))
    return found


def judge(scene: Scene, person: Person, spot: Spot, situation: str) -> Verdict:
    """Judge one movement of one person at one place; the part with the least to spare decides."""
    verdicts = (
        Verdict(clear, demand_of(scene, person, spot, clear.held_mm))
        for clear in _clears(scene, spot, situation)
    )
    return min(verdicts, key=lambda verdict: verdict.spare_least_mm)


def best_spot(
    scene: Scene, person: Person, places: tuple[Spot, ...], situation: str
) -> tuple[Verdict, Spot]:
    """Judge a movement at each of its places and give the one with the most to spare."""
    judged = ((judge(scene, person, spot, situation), spot) for spot in places)
    # to the mm, so that of equal places the first is named whichever way the room lies
    return max(judged, key=lambda found: float(np.round(found[0].spare_least_mm)))


def demand_of(scene: Scene, person: Person, spot: Spot, held_mm: float | None) -> Demand:
    """Give what one person asks for with one part of a movement; the place does not matter."""
    key = ("demand", person.id, spot.placed.piece.id, id(spot.use), held_mm)
    return scene.kept(key, lambda: _demand(scene, person, spot, held_mm))


def _demand(scene: Scene, person: Person, spot: Spot, held_mm: float | None) -> Demand:
    placed, use = spot.placed, spot.use
    base, rise, bar = place(use.base, placed.extent), 0.0, None
    if use.movement in ("pull-up", "dip"):
        bar = (placed.piece.bar_height_mm or base) + placed.lift_mm
        base = 0.0
    elif use.movement in ("run", "walk"):
        base = placed.piece.deck_mm if placed.piece.deck_mm is not None else base
        given = placed.piece.grade_ratio
        rise = grade_rise_mm(published("run.grade-assumed") if given is None else given)
    return demand(
        use.movement,
        person.stature_mm,
        person.reach_mm,
        floor_mm=scene.plan.room.floor.covering.thickness_mm,
        held_mm=held_mm,
        deck_mm=base,
        rise_mm=rise,
        bar_height_mm=bar,
    )


def _clears(scene: Scene, spot: Spot, situation: str) -> tuple[Clear, ...]:
    """Measure the clear height over each part; kept while the piece stands where it stands."""
    placed = spot.placed
    where = (*placed.at, placed.pose.angle_deg)
    key = ("clear", placed.piece.id, where, id(spot.use), situation)
    return scene.kept(key, lambda: _measure(scene, spot, held_by(scene, placed.root), situation))


def _measure(scene: Scene, spot: Spot, held: Held, situation: str) -> tuple[Clear, ...]:
    placed, use = spot.placed, spot.use
    at = (place(use.at[0], placed.extent), place(use.at[1], placed.extent))
    rising = parts(use.movement, held)
    areas = np.array([put(part.area, placed, at) for part in rising], dtype=object)
    areas = shapely.buffer(areas, -TOLERANCE_MM / 2, join_style="mitre")
    overhead: Overhead = scene.room.open if situation == OPEN else scene.overhead
    heights, causes = overhead.clear(areas)
    found = []
    for part, area, height, cause in zip(rising, areas, heights, causes, strict=True):
        over, what = float(height), overhead.items[cause].name if cause >= 0 else "sky"
        # plates hang outside the posts and rise beside the rails
        under = use.inside and part.name != "plates"
        own = own_top_mm(placed, area) if under else math.inf
        if own < over:
            over, what = own, f"its own {'rails' if part.name != 'head' else 'crossmember'}"
        found.append(Clear(part.name, part.held_mm, over, what))
    return tuple(found)


def own_top_mm(placed: Placed, area: shapely.Polygon) -> float:
    """Give the underside of the lowest part of a piece that hangs over an area, in mm.

    What reaches down to the lower half of the piece stands beside the person, not overhead.
    """
    lows = placed.shape.low_mm
    over = lows > placed.extent.height_mm / 2
    if not over.any():
        return math.inf
    met = np.asarray(shapely.intersects(placed.polygons()[over], area))
    return float(lows[over][met].min()) + placed.lift_mm if met.any() else math.inf
