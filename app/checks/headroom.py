"""Headroom: can this person do this movement here without hitting what is overhead.

`clear` is the lowest ceiling or low thing over what rises, the piece's own top included. Below
`least` it is a stop for what is wanted, below `need` a care; for what would only be nice a note.
Of several places for one movement the best counts: one is enough.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from app.checks.snag import Severity, Snag
from app.formulas.headroom import Demand, demand, grade_rise_mm, hang_forms
from app.library.anchors import place
from app.library.kit import Use
from app.library.movements import movements
from app.model.people import Person
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.overhead import Overhead
from app.scene.swept import Held, held_by, parts, put
from app.scene.tolerance import TOLERANCE_MM, falls_short
from app.units import format_length

SHUT, OPEN = "door shut", "garage door open"


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


def headroom(scene: Scene) -> Iterator[Snag]:
    """Yield one snag for each person and movement that does not pass with its margin."""
    places = _places(scene)
    for person in scene.plan.people:
        for movement, uses in places.items():
            wish = person.wish_for(movement)
            if wish == "no":
                continue
            best = max(
                ((judge(scene, person, placed, use, SHUT), placed, use) for placed, use in uses),
                key=lambda found: found[0].spare_least_mm,
            )
            yield from _snags(scene, person, movement, *best)


def _places(scene: Scene) -> dict[str, list[tuple[Placed, Use]]]:
    """Give every movement that something in the plan is there for, with its places."""
    places: dict[str, list[tuple[Placed, Use]]] = {}
    held = {"bar": set[str](), "bench": set[str]()}
    for placed in scene.order:
        if placed.kit.bar is not None:
            held["bar"].add(placed.root)
        if placed.kit.group == "Benches":
            held["bench"].add(placed.root)
    for placed in scene.order:
        for use in placed.kit.uses:
            if use.movement in movements() and all(placed.root in held[n] for n in use.needs):
                places.setdefault(use.movement, []).append((placed, use))
    return places


def served_movements(scene: Scene) -> frozenset[str]:
    """Give the movements that something in the plan is there for."""
    return frozenset(_places(scene))


def judge(scene: Scene, person: Person, placed: Placed, use: Use, situation: str) -> Verdict:
    """Judge one movement of one person at one place; the part with the least to spare decides."""
    verdicts = [
        Verdict(clear, demand_of(scene, person, placed, use, clear))
        for clear in _clears(scene, placed, use, situation)
    ]
    return min(verdicts, key=lambda verdict: verdict.spare_least_mm)


def demand_of(scene: Scene, person: Person, placed: Placed, use: Use, clear: Clear) -> Demand:
    """Give what one person asks for with one part of a movement at one place."""
    base = place(use.base, placed.extent)
    rise, bar = 0.0, None
    if use.movement in ("pull-up", "dip"):
        bar = (placed.piece.bar_height_mm or base) + placed.lift_mm
        base = 0.0
    elif use.movement in ("run", "walk"):
        base = placed.piece.deck_mm if placed.piece.deck_mm is not None else base
        rise = grade_rise_mm(_grade(placed)) if _grade(placed) else 0.0
    return demand(
        use.movement,
        person.stature_mm,
        person.reach_mm,
        floor_mm=scene.plan.room.floor.covering.thickness_mm,
        held_mm=clear.held_mm,
        deck_mm=base,
        rise_mm=rise,
        bar_height_mm=bar,
    )


def _grade(placed: Placed) -> float:
    given = placed.piece.grade_ratio
    return published("run.grade-assumed") if given is None else given


def _clears(scene: Scene, placed: Placed, use: Use, situation: str) -> tuple[Clear, ...]:
    """Measure the clear height over each part; kept while the station stands where it stands."""
    held = held_by(scene, placed.root)
    key = ("clear", placed.piece.id, placed.pose, use, held, situation)
    return scene.kept(key, lambda: _measure(scene, placed, use, held, situation))


def _measure(
    scene: Scene, placed: Placed, use: Use, held: Held, situation: str
) -> tuple[Clear, ...]:
    at = (place(use.at[0], placed.extent), place(use.at[1], placed.extent))
    rising = parts(use.movement, held)
    areas = np.array([put(part.area, placed, at) for part in rising], dtype=object)
    areas = shapely.buffer(areas, -TOLERANCE_MM / 2, join_style="mitre")
    overhead: Overhead = scene.room.open if situation == OPEN else scene.room.shut
    heights, causes = overhead.clear(areas)
    found = []
    for part, area, height, cause in zip(rising, areas, heights, causes, strict=True):
        over, what = float(height), overhead.items[cause].name if cause >= 0 else "sky"
        own = own_top_mm(placed, area) if use.inside else math.inf
        if own < over:
            over, what = own, f"its own {'rails' if part.name != 'head' else 'crossmember'}"
        found.append(Clear(part.name, part.held_mm, over, what))
    return tuple(found)


def own_top_mm(placed: Placed, area: shapely.Polygon) -> float:
    """Give the underside of the lowest part of a piece that hangs over an area, in mm.

    What reaches down to the lower half of the piece stands beside the person, not over him.
    """
    lows = placed.shape.low_mm
    over = lows > placed.extent.height_mm / 2
    if not over.any():
        return math.inf
    polygons = placed.polygons()[over]
    met = shapely.intersects(polygons, area)
    return float(lows[over][met].min()) + placed.lift_mm if met.any() else math.inf


def _snags(
    scene: Scene, person: Person, movement: str, verdict: Verdict, placed: Placed, use: Use
) -> Iterator[Snag]:
    hits = falls_short(verdict.clear.clear_mm, verdict.demand.least_mm)
    tight = falls_short(verdict.clear.clear_mm, verdict.demand.need_mm)
    if hits or tight:
        severity: Severity = "stop" if hits else "care"
        yield _snag(scene, person, movement, verdict, placed, use, severity, SHUT)
    elif scene.room.opens:
        opened = judge(scene, person, placed, use, OPEN)
        if falls_short(opened.clear.clear_mm, opened.demand.least_mm):
            yield _snag(scene, person, movement, opened, placed, use, "care", OPEN)
    if movement == "pull-up" and not hits:
        yield from _hang(scene, person, placed, use)


def _snag(
    scene: Scene,
    person: Person,
    movement: str,
    verdict: Verdict,
    placed: Placed,
    use: Use,
    severity: Severity,
    situation: str,
) -> Snag:
    row = movements()[movement]
    wanted = person.wish_for(movement) == "want"
    hits = severity == "stop" or situation == OPEN
    least, need, clear = verdict.demand.least_mm, verdict.demand.need_mm, verdict.clear
    required = least if hits else need
    over = _over(clear.cause)
    if hits:
        template = "{}: {} hit {}, {:.0f} mm too high: {:.0f} is clear, {:.0f} is the least{}."
    else:
        template = "{}: {} pass under {}, {:.0f} mm short of the margin: {:.0f} of {:.0f}{}."
    tail = " with the garage door open: keep it shut for this" if situation == OPEN else ""
    if not hits and person.reach_mm is None and row.held == "bar":
        tail = ": measure your reach, it may be enough"
    at = (place(use.at[0], placed.extent), place(use.at[1], placed.extent))
    spot = put(shapely.Point(0, 0).buffer(1, quad_segs=1), placed, at).centroid
    title = f"{row.name[:1].upper()}{row.name[1:]}"
    terms = verdict.demand.least if hits else verdict.demand.need
    return Snag(
        code="headroom",
        severity=severity if wanted else "note",
        template=template,
        values=(
            title,
            _part(clear.part),
            over,
            required - clear.clear_mm,
            clear.clear_mm,
            required,
            tail,
        ),
        pieces=(placed.root,),
        names=(row.name, person_name(person)),
        person=person.id,
        movement=movement,
        situation=situation if scene.room.opens else None,
        measured=round(clear.clear_mm),
        required=round(least),
        need=round(need),
        where=(spot.x, spot.y),
        source_keys=verdict.demand.source_keys,
        working=tuple((term.label, round(term.mm, 1)) for term in terms),
    )


def _hang(scene: Scene, person: Person, placed: Placed, use: Use) -> Iterator[Snag]:
    """Yield a note when even tucked knees brush the floor: never more, a mat hurts nobody."""
    base = placed.piece.bar_height_mm or place(use.base, placed.extent)
    bar = base + placed.lift_mm
    floor = scene.plan.room.floor.covering.thickness_mm
    if hang_forms(bar, person.stature_mm, person.reach_mm, floor):
        return
    key = "body.hang.tucked-ratio"
    yield Snag(
        code="hang",
        severity="care" if person.wish_for("pull-up") == "want" else "note",
        template="Pull-ups: the bar at {:.0f} is so low that drawn-up knees meet the floor.",
        values=(bar,),
        pieces=(placed.root,),
        names=("pull-ups", person_name(person)),
        person=person.id,
        movement="pull-up",
        measured=round(bar),
        required=round(floor + published(key) * person.stature_mm),
        where=placed.at,
        source_keys=(key,),
    )


def person_name(person: Person) -> str:
    """Say who: the label, else the stature."""
    return person.label or format_length(person.stature_mm, "metric")


def _part(part: str) -> str:
    return {"hands": "hands", "bar": "bar ends", "plates": "plates"}.get(part, "head and shoulders")


def _over(cause: str) -> str:
    return cause if cause.startswith(("its", "sky")) else f"the {cause}"
