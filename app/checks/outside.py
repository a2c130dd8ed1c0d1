"""Solid against room: every piece stands inside the walls and under what hangs overhead."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Point

from app.checks.boarding import TODAY, fits_today
from app.checks.hangers import hangs
from app.checks.layers import is_floor
from app.checks.on_end import tape_error_mm
from app.checks.snag import Snag, agreeing, is_many
from app.model.fronts import front_of
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, Geometries, falls_short
from app.wording import lower

_HELD_BY = ("ceiling", "joist")
_ERROR = "measure.tape-error-mm"


def outside(scene: Scene) -> Iterator[Snag]:
    """Yield a `stop` for each piece that reaches into or through a wall.

    What has only floor, such as a space to skip in, counts by that.
    """
    end = scene.piece_solids
    floors = np.array([is_floor(s.space) for s in scene.spaces.shapes], dtype=bool)
    owner = np.concatenate([scene.solids.owner[:end], scene.spaces.owner[floors]])
    cores = np.concatenate([scene.solids.cores[:end], scene.spaces.cores[floors]])
    # of what is thinner than the tolerance no floor is left that could be outside
    out = ~shapely.covers(scene.room.within, cores) & ~shapely.is_empty(cores)
    for number in np.unique(owner[out]):
        placed, mine = scene.order[number], cores[out & (owner == number)]
        key = "into wall", placed.piece.id, placed.pose
        yield scene.memo(key, partial(_into_wall, scene, placed, mine))


def _into_wall(scene: Scene, placed: Placed, cores: Geometries) -> Snag:
    xy = shapely.get_coordinates(shapely.difference(cores, scene.room.free))
    distances = np.atleast_1d(shapely.distance(shapely.points(xy), scene.room.free))
    far = int(distances.argmax())
    at = (float(xy[far][0]), float(xy[far][1]))
    depth = float(distances[far]) + HALF_MM
    if depth <= TOLERANCE_MM:
        # no corner lies beyond the face: an inward corner of the room cuts into a side
        depth = float(shapely.area(shapely.difference(cores, scene.room.free)).max() ** (1 / 2))
    walls = shapely.distance([wall.polygon for wall in scene.room.walls], Point(at))
    end = _end_of(scene, placed, at)
    name = scene.fixed_names[int(np.argmin(walls))]
    template = "{} {} {:mm} inside {}."
    if not shapely.intersects(cores, scene.room.free).any():
        template = "{} {} outside the room, {:mm} beyond {}."
    return Snag(
        code="outside",
        hangs_on_place=True,
        meets="room",
        severity="stop",
        template=template,
        values=(end, "are" if is_many(end) else "is", depth, name),
        pieces=(placed.piece.id,),
        names=(placed.name, name),
        measured=-round(depth),
        required=0,
        where=at,
        source_keys=("scene.touch-tolerance-mm",),
        against=name,
    )


def _end_of(scene: Scene, placed: Placed, at: tuple[float, float]) -> str:
    """Say which end of a bar it is, for one who looks in from the door; else name the piece."""
    if placed.kit.bar is None:
        return placed.name
    right, back = front_of(scene.plan).split(at[0] - placed.at[0], at[1] - placed.at[1])
    sideways = abs(right) >= abs(back)
    end = (("left", "right") if sideways else ("front", "back"))[(right if sideways else back) > 0]
    return f"The {end} end of the {lower(placed.name)}"


def under_ceiling(scene: Scene) -> Iterator[Snag]:
    """Yield a `stop` for each piece higher than what is over it, `care` if it can't be built.

    A bar with its plates counts as on the lowest hooks that it may lie on here.
    """
    end = scene.piece_solids
    build = published("rack.stand-up-spare-mm")
    owner = scene.solids.owner[:end]
    near = scene.solids.high_mm[:end] + build > scene.overhead.lowest_mm
    for number in np.unique(owner[near]):
        placed = scene.order[number]
        entries = np.flatnonzero(near & (owner == number))
        made = partial(_under, scene, placed, entries, build)
        if placed.kit.bar is not None:
            made = partial(_bar_under, scene, placed, entries)
        snag = scene.memo(("under", placed.piece.id, placed.pose), made)
        if snag is not None:
            yield snag


def ask_hung_height(scene: Scene) -> Iterator[Snag]:
    """Ask how high a bar under the joists hangs where its top does not reach them."""
    error = tape_error_mm(scene)
    for placed in scene.order:
        fixed = placed.kit.fixed
        if not hangs(placed):
            continue
        top = float(placed.shape.high_mm.max()) + placed.lift_mm
        clear, cause = scene.room.bare.clear(np.array([placed.footprint], dtype=object))
        over = float(clear[0])
        if falls_short(over, top):
            if scene.room.bare.items[int(cause[0])].kind not in _HELD_BY:
                continue
            yield Snag(
                code="ask-hung-height",
                question=True,
                severity="note",
                template="how high the {} (the top is taken at {:bare}, and what holds it is "
                "at {:mm}: its height is the room's)",
                values=(agreeing(lower(placed.name), "hangs", "hang"), top, over),
                pieces=(placed.piece.id,),
                source_keys=(_ERROR,),
            )
            continue
        if fixed is None or fixed.use != "strict":
            continue
        if np.isfinite(over) and over - top > error:
            yield Snag(
                code="ask-hung-height",
                question=True,
                severity="note",
                template="how high the {} (the top is taken at {:bare}, {:mm} under what "
                "holds it: its height is the room's)",
                values=(agreeing(lower(placed.name), "hangs", "hang"), top, over - top),
                pieces=(placed.piece.id,),
                source_keys=(_ERROR,),
            )


def _bar_under(scene: Scene, bar: Placed, entries: NDArray[np.intp]) -> Snag | None:
    """Return what hangs lower over a bar, or over its plates, than they reach where they lie."""
    low, high = bar.rest_mm
    tops = scene.solids.high_mm[entries] - (high - low)
    clear, cause = scene.overhead.clear(scene.solids.cores[entries])
    spares = clear - tops
    worst = int(spares.argmin())
    if not falls_short(float(spares[worst]), 0.0):
        return None
    over, top = float(clear[worst]), float(tops[worst])
    name = scene.overhead.items[int(cause[worst])].name
    first = int(np.flatnonzero(scene.solids.owner == scene.solids.owner[entries[0]])[0])
    plate = bar.shape.parts[int(entries[worst]) - first] == "plate"
    where = "Even on the lowest hooks" if high > low else "Where it lies"
    point = shapely.get_coordinates(shapely.centroid(scene.solids.cores[entries][worst]))[0]
    return Snag(
        code="too-tall",
        hangs_on_place=True,
        meets="overhead",
        severity="stop",
        template="{} {} reach {:bare}, and the {} is at {:bare} there: {:mm} too low.",
        values=(where, "its plates" if plate else "its ends", top, lower(name), over, top - over),
        pieces=(bar.piece.id,),
        names=(bar.name, "height"),
        measured=round(over),
        required=round(top),
        where=(float(point[0]), float(point[1])),
        source_keys=("scene.touch-tolerance-mm",),
        rests_on=bar.root,
    )


def _under(scene: Scene, placed: Placed, entries: NDArray[np.intp], build_mm: float) -> Snag | None:
    # what is bolted to the joists hangs through the boards that come under them
    to_joists = hangs(placed) and not scene.door_open
    overhead = scene.room.bare if to_joists else scene.overhead
    clear, cause = overhead.clear(scene.solids.cores[entries])
    spares = clear - scene.solids.high_mm[entries]
    worst = int(spares.argmin())
    if hangs(placed) and overhead.items[int(cause[worst])].kind in _HELD_BY:
        # it hangs from what is over it, however low that is: its height is asked for
        return None
    spare, over = float(spares[worst]), float(clear[worst])
    top = float(scene.solids.high_mm[entries][worst])
    fits = not falls_short(spare, 0.0)
    built_here = placed.kit.group == "Racks" and placed.kit.fixing != "wall"
    if fits and not (built_here and falls_short(spare, build_mm)):
        return None
    name = overhead.items[int(cause[worst])].name
    what = "the ceiling" if name == "ceiling" else f"the {lower(name)}"
    point = shapely.get_coordinates(shapely.centroid(scene.solids.cores[entries][worst]))[0]
    floor = " with the covering" if placed.lift_mm else ""
    if fits:
        template = (
            f"{{}}: {{:bare}}{floor}, and {{}} is at {{:bare}}. {{:mm}} are left to "
            "stand it up. Allow {:bare}, or lift its top on last."
        )
        values: tuple[object, ...] = (placed.name, top, what, over, max(spare, 0.0), build_mm)
    else:
        tallest = over - placed.lift_mm - (build_mm if built_here else 0)
        made = placed.kit.range.height_mm
        template = (
            f"{{}} {{}} {{:mm}} higher than the room here: {{:bare}}{floor}, and "
            "{} is at {:bare}. The tallest that fits here is {:bare}"
        )
        is_are = "are" if is_many(placed.name) else "is"
        state = next((s for s in placed.kit.states if s.key == placed.piece.state), None)
        named = f"{placed.name} {state.name}" if state else placed.name
        values = (named, is_are, -spare, top, what, over, tallest)
        # what is folded or stood up has another height than the one it is made in
        if placed.piece.state is None and made is not None and tallest < made[0]:
            template += "; usual ones are {:bare} or more"
            values = (*values, made[0])
        template += "."

    def spare_today() -> float:
        bare, _ = scene.room.bare.clear(scene.solids.cores[entries])
        return float((bare - scene.solids.high_mm[entries]).min())

    wanted = build_mm if fits or built_here else 0.0
    if not to_joists and fits_today(scene, spare_today, wanted):
        template += f" {TODAY[:1].upper()}{TODAY[1:]}."
    return Snag(
        code="stand-up" if fits else "too-tall",
        hangs_on_place=True,
        meets="overhead",
        eased_by=frozenset({"lower"}),
        severity="care" if fits else "stop",
        template=template,
        values=values,
        pieces=(placed.piece.id,),
        names=(placed.name, "height"),
        measured=round(over),
        required=round(top + build_mm if fits else top),
        where=(float(point[0]), float(point[1])),
        source_keys=("rack.stand-up-spare-mm",) if fits else ("scene.touch-tolerance-mm",),
    )
