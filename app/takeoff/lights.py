"""Light fittings: how many for the light wanted, where they hang, and one alternative."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np
import shapely

from app.formulas.light import (
    gives_lux,
    lamps_needed,
    mean_reflectance,
    reflectance,
    room_index,
    used_share,
)
from app.library.finishes import Fitting, finishes
from app.library.movements import movements
from app.model.finishing import LightChoice
from app.published.register import published, row
from app.scene.build import Scene
from app.scene.naming import wall_called
from app.scene.shapes import turn
from app.scene.tolerance import TOLERANCE_MM
from app.takeoff.light_hindrances import ceiling_over, too_low_over
from app.takeoff.light_places import FITTINGS_PLACED_AT_MOST, Places, outlines, places
from app.takeoff.line import Gathered, Line, Step, offers
from app.takeoff.surfaces import MM2_A_M2, faces, floor_area
from app.units import KILO
from app.wording import joined, lower, phrase

SEEN_ASIDE_MM = 300.0
"""Rows moved further than this from the middle of a room look moved: two steps of their grid."""
_BARE = {"solid-brick": "red brick"}


@dataclass(frozen=True, slots=True)
class Layout:
    """One way to light the room: the fitting, how many, what they give, where they hang."""

    fitting: Fitting
    count: int
    lux: float
    places: Places

    @property
    def watts(self) -> float:
        """What all of them draw."""
        return self.count * self.fitting.watts


def lights(scene: Scene) -> Gathered:
    """Return the fittings chosen, and say what the alternative would be."""
    gathered = Gathered()
    choice = scene.plan.fit_out.light
    if choice is None and scene.plan.fit_out.nothing_assumed:
        return gathered
    chosen = choice or LightChoice()
    laid = layouts(scene, chosen, gathered)
    if not laid:
        return gathered
    gathered.lines.append(_line(scene, chosen, laid[0], choice is None, gathered))
    if len(laid) > 1:
        other, units = laid[1], scene.plan.units
        gathered.says.append(
            f"Light, the other way: {other.count} × {other.fitting.called(units)} give "
            f"{other.lux:.0f} lux with {other.watts:.0f} W, against "
            f"{laid[0].count} × {laid[0].fitting.called(units)} with "
            f"{laid[0].lux:.0f} lux and {laid[0].watts:.0f} W."
        )
    first = laid[0]
    if len(first.places.at) < first.count:
        gathered.says.append(
            f"Only {len(first.places.at)} of {first.count} fittings find a place clear of low "
            "things, doors and walls: take brighter or shorter ones."
        )
    if first.places.over:
        gathered.says.append(
            f"{first.places.over} of the fittings hang over a head on the bench, a rope, a bar, a "
            "bag or what rises as high, for there is no other place: flush ones with a wire guard."
        )
    return gathered


SWUNG = frozenset({"hung-bag", "rings", "skipping-space", "swing-space", "landmine"})
"""Kit at which something is swung or thrown and may hit a lamp."""


def guards(scene: Scene) -> int:
    """Return how many fittings take a wire guard: all where something is swung or thrown.

    Else those that hang over a head on the bench, a rope, a bar, a bag or what rises as high.
    """
    choice = scene.plan.fit_out.light
    if choice is None and scene.plan.fit_out.nothing_assumed:
        return 0
    laid = layouts(scene, choice or LightChoice(), Gathered())
    if not laid:
        return 0
    return laid[0].count if _is_swung(scene) else laid[0].places.over


def _is_swung(scene: Scene) -> bool:
    return any(placed.kit.key in SWUNG for placed in scene.order)


def layouts(scene: Scene, choice: LightChoice, gathered: Gathered) -> tuple[Layout, ...]:
    """Return choice and its alternative worked out; an unknown fitting is named and left out."""
    people = tuple((p.stature_mm, p.reach_mm, p.wishes) for p in scene.plan.people)
    key = ("light", choice, scene.plan.fit_out.paint, people, tuple(p.piece for p in scene.order))
    result = []
    for name in dict.fromkeys((choice.fitting, choice.other)):
        fitting = finishes().fittings.get(name)
        if fitting is None:
            gathered.problems.append(f"light: there is no fitting {name!r}")
            continue
        result.append(scene.memo((*key, name), partial(_layout, scene, choice, fitting)))
    return tuple(result)


def _layout(scene: Scene, choice: LightChoice, fitting: Fitting) -> Layout:
    area = floor_area(scene).area / MM2_A_M2
    used, maintained = used_share(wall_reflectance(scene)), _maintenance(choice)
    count = max(1, math.ceil(lamps_needed(_wanted(choice), area, fitting.lumens, used, maintained)))
    hung = Places((), 0.0, 0)
    if count <= FITTINGS_PLACED_AT_MOST:
        hung = places(scene, fitting, count)
    return Layout(fitting, count, gives_lux(count, area, fitting.lumens, used, maintained), hung)


def _wanted(choice: LightChoice) -> float:
    return choice.wanted_lux or published("light.wanted-lux")


def _maintenance(choice: LightChoice) -> float:
    return published("light.maintenance-dirty" if choice.dirty else "light.maintenance")


def wall_reflectance(scene: Scene) -> float:
    """Return the mean reflectance of the walls as they will be painted, light grey if not told."""
    parts = [
        (face.net_m2(), _colour_share(scene, face.wall.id))
        for face in faces(scene)
        if face.net_m2() > 0
    ]
    return mean_reflectance(parts) if parts else published("light.reflectance.light-grey")


def _colour_share(scene: Scene, wall_id: str) -> float:
    wall = next(wall for wall in scene.plan.room.walls if wall.id == wall_id)
    colour = wall.colour
    for job in scene.plan.fit_out.paint:
        if job.surface == "walls" and job.colour and (not job.walls or wall_id in job.walls):
            colour = job.colour
    unpainted = scene.plan.fit_out.nothing_assumed and not scene.plan.fit_out.paint
    if not colour and unpainted and wall.finish == "bare":
        colour = _BARE.get(wall.construction, "concrete")
    known = reflectance(colour) if colour else None
    return known if known is not None else published("light.reflectance.light-grey")


@dataclass(frozen=True, slots=True)
class Hung:
    """Where fittings hang, as every list and sheet tells it.

    `wall` is the number of the longest wall, at whose beginning both lengths begin. Each fitting
    has the one along that wall and the one off it to its middle, and how high its underside is
    above the bare floor, all in mm.
    """

    wall: int
    each: tuple[tuple[float, float, float], ...]


def hung(scene: Scene, layout: Layout) -> Hung:
    """Return where the fittings of a layout hang."""
    walls, spots, fitting = scene.room.walls, layout.places.at, layout.fitting
    number = max(range(len(walls)), key=lambda i: math.dist(walls[i].start, walls[i].end))
    wall = walls[number]
    (x0, y0), (ax, ay), (ix, iy) = wall.start, wall.along, wall.inward
    half, angle = fitting.length_mm / 2, layout.places.angle_deg
    along_it = np.array([turn(run, 0.0, angle) for run in (-half, 0.0, half)])
    ends = np.array(spots).reshape(-1, 1, 2) + along_it
    over = ceiling_over(scene, ends.reshape(-1, 2)).reshape(ends.shape[:2]).min(axis=1)
    return Hung(
        number,
        tuple(
            (
                (x - x0) * ax + (y - y0) * ay,
                (x - x0) * ix + (y - y0) * iy,
                float(high) - fitting.depth_mm,
            )
            for (x, y), high in zip(spots, over, strict=True)
        ),
    )


def _places_words(scene: Scene, layout: Layout) -> str:
    """Say where the middles are: along the longest wall from its corner, and off it."""
    told = hung(scene, layout)
    if not told.each:
        return ""
    walls = scene.room.walls
    spots = [
        phrase("L{} {:bare} and {:bare}", i, along, out)
        for i, (along, out, _) in enumerate(told.each, 1)
    ]
    return phrase(
        "Middles from the corner of {} and {}, along the first and off it{}: {}. ",
        wall_called(scene, walls[told.wall].id), wall_called(scene, walls[told.wall - 1].id),
        ", in mm" if scene.plan.units == "metric" else "", joined("; ", spots),
    ).worded(scene.plan.units) + " ".join(hung_says(scene, layout))  # fmt: skip


def moved_aside(scene: Scene, places: Places) -> tuple[float, str] | None:
    """Return how far even rows are moved from the middle, mm, and towards which wall.

    None where no eye would see it, or where they are not even.
    """
    if not places.even or not places.at:
        return None
    walls = scene.room.walls
    corners = np.array([wall.start for wall in walls])
    best: tuple[float, str] | None = None
    for wall in walls:
        out = -np.array(wall.inward)
        reach = corners @ out
        hang = np.array(places.at) @ out
        # a row of more than the next is no row that is moved: the outermost ones tell
        far = float(hang.min() + hang.max() - reach.min() - reach.max()) / 2
        # of walls that look the same way the outermost is the one that is moved towards
        outermost = float(np.array(wall.start) @ out) > reach.max() - TOLERANCE_MM
        if far > SEEN_ASIDE_MM and outermost and (best is None or far > best[0]):
            best = far, wall.id
    return best


def hung_says(scene: Scene, layout: Layout) -> Iterator[str]:
    """Yield how high fittings hang and what is odd about where."""
    places = layout.places
    # where no ceiling is known over a fitting no height is told
    heights = sorted({round(h) for *_, h in hung(scene, layout).each if math.isfinite(h)})
    if heights:
        low = phrase("{:mm}", heights[0])
        high = phrase("{:bare} to {:mm}", heights[0], heights[-1]) if len(heights) > 1 else low
        yield phrase("Underside {} above the bare floor.", high).worded(scene.plan.units)
    if not places.even and len(places.at) > 1:
        rows = "In straight rows that are not even" if places.straight else "Not in even rows"
        yield f"{rows}: joists, doors, low things or hands are in the way of even ones."
    aside = moved_aside(scene, places)
    if aside is not None:
        far, wall_id = aside
        yield phrase(
            "All moved {:mm} towards {} together: joists, doors, low things or hands are in the "
            "way of rows about the middle. The other side gets less light.",
            far,
            wall_called(scene, wall_id),
        ).worded(scene.plan.units)
    yield from _too_low_says(scene, layout)
    if places.shaded:
        names = joined(" and ", [f"L{number}" for number in places.shaded])
        yield phrase("No light from {} while the garage door is open.", names).worded(
            scene.plan.units
        )


def _too_low_says(scene: Scene, layout: Layout) -> Iterator[str]:
    """Say of each fitting that hangs lower than a movement under it needs what is clear there."""
    if not layout.places.over:
        return
    spots = np.array(layout.places.at).reshape(-1, 2)
    bodies = outlines(layout.fitting, spots, layout.places.angle_deg)
    heights = [under for *_, under in hung(scene, layout).each]
    told = set[tuple[int, str]]()
    for below in too_low_over(scene, layout.fitting):
        for number in np.flatnonzero(shapely.intersects(below.area, bodies)).tolist():
            if (number, below.movement) not in told and heights[number] < below.need_mm:
                told.add((number, below.movement))
                yield phrase(
                    "L{} hangs over the {}: {:mm} clear under it, of {:bare} for {}.",
                    number + 1, lower(below.placed.name), heights[number], below.need_mm,
                    lower(movements()[below.movement].name),
                ).worded(scene.plan.units)  # fmt: skip


def _line(
    scene: Scene, choice: LightChoice, layout: Layout, assumed: bool, gathered: Gathered
) -> Line:
    fitting = layout.fitting
    area = floor_area(scene).area / MM2_A_M2
    walls = wall_reflectance(scene)
    kilo = KILO
    low = scene.overhead.lowest_mm
    x0, y0, x1, y1 = scene.room.free.bounds
    mounted = max(low - published("lighting.plane-mm"), 1) / kilo
    index = room_index((x1 - x0) / kilo, (y1 - y0) / kilo, mounted)
    packs = offers(scene.plan, [fitting.pack], gathered.problems)
    hung = "between the joists" if scene.plan.room.ceiling.showing else "under the ceiling"
    at = _places_words(scene, layout)
    return Line(
        key=f"light.{fitting.key}",
        part="light",
        item=fitting.called(scene.plan.units),
        where=hung,
        net=layout.count,
        waste=0,
        unit="pc",
        bought=(packs[0].times(layout.count),) if packs else (),
        rate=f"lumen method: {row('light.maintenance').title}; a usual share reaches the floor",
        working=(
            Step("floor", area, "m2"),
            Step(
                "light wanted",
                _wanted(choice),
                "lx",
                "" if choice.wanted_lux else "light.wanted-lux",
            ),
            Step("mean reflectance of the walls", walls, "", "light.reflectance.light-grey"),
            Step("room index", index),
            Step("share of the light that arrives", used_share(walls), "", "light.used.mixed"),
            Step("maintenance factor", _maintenance(choice), "", "light.maintenance"),
            Step("one fitting", fitting.lumens, "lm", fitting.key),
            Step("gives", layout.lux, "lx"),
            Step("draws", layout.watts, "W"),
        ),
        assumed=assumed,
        notes=(
            at or "Places are not worked out for so many.",
            "Beside, not over, a head on the bench; clear of rope, bar and bag"
            + ("; a wire guard on each, for something may fly." if _is_swung(scene) else ".")
            + " Connecting them is an electrician's work.",
        ),
    )
