"""What keeps fittings off: walls, low things, doors that rise; heads, hands, ropes and bags."""

from __future__ import annotations

from collections.abc import Iterator, Set
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from app.formulas.headroom import demand
from app.library.anchors import place
from app.library.finishes import Fitting
from app.library.movements import movements
from app.library.use import Use
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.footing import HUNG_ON, as_used, bar_mm, footing
from app.scene.overhead import lower_part
from app.scene.shapes import turn
from app.scene.step_up import sides_to_step_from, stepped_parts
from app.scene.swept import Part, has_all, held_at, parts, parts_from, put

UPWARD = frozenset(
    {
        "standing-press",
        "dumbbell-press",
        "pull-up",
        "skip",
        "kettlebell-overhead",
        "kettlebell-swing",
        "box-jump",
        "bag",
    }
)
BETWEEN = frozenset({"pull-up", "skip", "bag"})
"""What still matters for a fitting that hangs wholly between joists: hands never rise there."""
PRESSED = frozenset({"standing-press", "dumbbell-press", "kettlebell-overhead"})
"""Movements that rise as high as is judged and no higher: over these a fitting may hang that leaves
each person the need, margin and all. It rather lights who trains there than leaves them dark."""


def off_walls(scene: Scene) -> BaseGeometry:
    """Return the floor over which fittings hang: off the walls."""
    return scene.room.free.buffer(-published("lighting.off-wall-mm"), join_style="mitre")


def ceiling_over(
    scene: Scene, at: np.ndarray[tuple[int, ...], np.dtype[np.float64]]
) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Return how high the finished ceiling is over points, (n, 2), in mm: deck, not joists.

    Where parts of it meet the lowest counts.
    """
    heights = np.full(len(at), np.inf)
    for plane in scene.plan.room.ceiling.finished:
        under = np.ones(len(at), dtype=bool)
        if plane.outline:
            under = np.asarray(shapely.intersects_xy(Polygon(plane.outline), at[:, 0], at[:, 1]))
        here = np.array([plane.height_at(x, y) for x, y in at.tolist()])
        heights = np.where(under, np.minimum(heights, here), heights)
    return heights


def blocked(scene: Scene, fitting: Fitting) -> BaseGeometry:
    """Return what no fitting can hang at: low things, columns, doors that rise as high as it hangs.

    A door that opens well below it only shades it while it is open.
    """
    decks = scene.plan.room.ceiling.finished
    corners = scene.room.free.exterior.coords
    hangs = min(plane.height_at(*at) for plane in decks for at in plane.outline or corners)
    under = hangs - fitting.depth_mm
    everything = [polygon for thing, polygon in scene.room.low if thing.kind != "light"]
    everything += [polygon for _, polygon in scene.room.columns]
    for shape in scene.room.openings:
        everything += [
            hanging.polygon
            for hanging in (*shape.always, *shape.when_open)
            if hanging.top_mm > under
        ]
    return shapely.union_all(everything)


def open_leaves(scene: Scene) -> BaseGeometry:
    """Return what garage doors cover while they are open: what hangs over that lights nothing."""
    return shapely.union_all(
        [
            hanging.polygon
            for shape in scene.room.openings
            if shape.opening.is_garage_door
            for hanging in shape.when_open
        ]
    )


@dataclass(frozen=True, slots=True)
class Below:
    """The floor over which a fitting hangs lower than a movement needs for whoever does it.

    `need_mm` is the most that anybody of the house needs there, from the bare floor.
    """

    movement: str
    placed: Placed
    need_mm: float
    area: BaseGeometry


def keep_out(scene: Scene, fitting: Fitting) -> BaseGeometry:
    """Return the floor under hands, ropes and bags, heads that lie, and all that rises as high."""
    beside = published("lighting.beside-mm")
    joists = scene.plan.room.ceiling.showing
    recessed = joists is not None and joists.depth_mm >= fitting.depth_mm
    areas: list[BaseGeometry] = [one.area for one in too_low_over(scene, fitting)]
    for placed in scene.order:
        if not placed.in_use:
            continue
        for movement, part, area in _upward(scene, placed, BETWEEN if recessed else UPWARD):
            round_it: BaseGeometry = area.buffer(beside)
            if movement in PRESSED and joists is None:
                round_it = round_it.intersection(_lower(scene, fitting, movement, part.held_mm))
            areas.append(round_it)
        if placed.kit.group == "Benches":
            dx, dy = turn(0.0, -placed.extent.depth_mm / 2, placed.pose.angle_deg)
            head = Point(placed.at[0] + dx, placed.at[1] + dy)
            areas.append(head.buffer(published("lighting.bench-head-mm")))
    return shapely.union_all(areas)


def too_low_over(scene: Scene, fitting: Fitting) -> Iterator[Below]:
    """Yield where a fitting would hang lower than who runs, squats or steps up there needs.

    What swings or is thrown is kept clear of at any height, and so is none of this; a fitting
    wholly between joists is no lower than these.
    """
    joists = scene.plan.room.ceiling.showing
    if joists is not None and joists.depth_mm >= fitting.depth_mm:
        return
    for placed in scene.order:
        for use in placed.kit.uses if placed.in_use else ():
            if use.movement in UPWARD or use.movement not in movements():
                continue
            if not has_all(scene, placed, use):
                continue
            at = use.head or use.at
            x, y = (place(anchor, placed.extent) for anchor in at)
            for part in _settled(scene, placed, use):
                need = _need_mm(scene, placed, use, part)
                if need is None:
                    continue
                low = _lower_than(scene, need + fitting.depth_mm)
                area = put(part.area, placed, (x, y)).intersection(low)
                if area.area:
                    yield Below(use.movement, placed, need, area)


def _settled(scene: Scene, placed: Placed, use: Use) -> tuple[Part, ...]:
    """Return what rises at a piece in what goes no higher than is judged."""
    sides = sides_to_step_from(placed.kit, use.movement)
    if sides:
        stood = as_used(placed, use)
        return tuple(part for side in sides for part in stepped_parts(stood, side))
    held = held_at(scene, placed, use)
    return parts_from(use.movement, held, (0.0, 0.0), use.ahead_mm(placed.extent))


def _need_mm(scene: Scene, placed: Placed, use: Use, part: Part) -> float | None:
    """Return the most that anybody needs there who has not declined it; None for nobody."""
    base, rise = footing(placed, use)
    bar = bar_mm(placed, use) + placed.lift_mm if use.movement in HUNG_ON else None
    deck = 0.0 if part.on_floor else base
    return _most_needed_mm(scene, use.movement, part.held_mm, deck, rise, bar)


def _most_needed_mm(
    scene: Scene,
    movement: str,
    held_mm: float | None,
    deck_mm: float = 0.0,
    rise_mm: float = 0.0,
    bar_height_mm: float | None = None,
) -> float | None:
    """Return the most that a movement needs of whoever has not declined it; None for nobody."""
    covering = scene.plan.room.floor.covering.thickness_mm
    return max(
        (
            demand(
                movement,
                one.stature_mm,
                one.reach_mm,
                floor_mm=covering,
                held_mm=held_mm,
                deck_mm=deck_mm,
                rise_mm=rise_mm,
                bar_height_mm=bar_height_mm,
            ).need_mm
            for one in scene.plan.people
            if one.wish_for(movement) != "no"
        ),
        default=None,
    )


def _lower(scene: Scene, fitting: Fitting, movement: str, held_mm: float | None) -> BaseGeometry:
    """Return the floor over which a fitting would hang lower than a movement needs.

    It does so for whoever of the house has not declined it, all over where nobody is known yet.
    """
    if not scene.plan.people:
        return scene.room.free
    need = _most_needed_mm(scene, movement, held_mm)
    return Polygon() if need is None else _lower_than(scene, need + fitting.depth_mm)


def _lower_than(scene: Scene, level_mm: float) -> BaseGeometry:
    """Return the floor over which the ceiling is lower than a height above the bare floor."""
    ceilings = [item for item in scene.overhead.items if item.kind == "ceiling"]
    return shapely.union_all([lower_part(item, level_mm) for item in ceilings])


def _upward(scene: Scene, placed: Placed, moves: Set[str]) -> Iterator[tuple[str, Part, Polygon]]:
    """Yield what rises at a piece in some movements: the movement, the part, the floor under it."""
    for use in placed.kit.uses:
        if use.movement not in moves or use.movement not in movements():
            continue
        x, y = (place(anchor, placed.extent) for anchor in use.at)
        for part in parts(use.movement, held_at(scene, placed, use)):
            yield use.movement, part, put(part.area, placed, (x, y))
