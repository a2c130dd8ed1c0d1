"""Under a machine that is used somebody moves: nothing stands below its seat, rail or foot plates.

Its parts are solids, and what is between and below them is air: a step pushed under the rail of a
rower meets nothing, and nobody sits down or rows there.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from app.checks.clash import narrow_mm
from app.checks.crowding import ROWS_AT_LEAST, not_looked_at
from app.checks.layers import layers
from app.checks.snag import Meets, Snag, agreeing, kit_key
from app.scene.build import Placed, Scene
from app.scene.tolerance import TOLERANCE_MM, Geometries, heights_meet
from app.wording import lower

_STEP_OVER = "route.step-over-mm"
_BORNE_BY = (frozenset({"seat", "deck"}), frozenset({"pad", "back-pad"}))
"""Parts that bear who is on it, those first by which one sits or stands."""


def floor_taken(scene: Scene, placed: Placed) -> Polygon | None:
    """Return the floor over which a machine is used, as turned, in its own frame; None of others.

    It is the hull of all its parts: knees, elbows and feet go beyond a rail as far as the feet that
    it stands on do.
    """
    if not placed.kit.takes_floor or not placed.in_use:
        return None
    # what it hangs on besides is kept with the plan's kit
    key = "floor taken", placed.piece.id, placed.pose.angle_deg
    return scene.memo(key, partial(_hull, placed))


def _hull(placed: Placed) -> Polygon:
    # a part of a size that nobody makes may have a core in two pieces
    hull = shapely.convex_hull(shapely.geometrycollections(placed.shape.cores))
    assert isinstance(hull, Polygon)
    return hull


def _there(placed: Placed, taken: Polygon) -> Polygon:
    return shapely.transform(taken, lambda xy: xy + placed.at)


def seat_mm(placed: Placed) -> float:
    """Return up to which height over the floor a machine takes what is below: of its seat or deck.

    What is higher hangs beside who is on it, and is judged by that.
    """
    for parts in _BORNE_BY:
        bear = [part in parts for part in placed.shape.parts]
        if any(bear):
            return placed.lift_mm + float(placed.shape.high_mm[bear].max())
    return placed.lift_mm + placed.extent.height_mm


def under_machines(scene: Scene) -> Iterator[Snag]:
    """Yield a `stop` for each piece or column that reaches under a machine which is in use.

    What is low enough to step over lies there as a mat does. Two machines that each reach under the
    other are told once. Of a heap two hundred rows are told.
    """
    rows: dict[tuple[str, frozenset[str]], Snag] = {}
    unseen = 0
    for number, placed in enumerate(scene.order):
        taken = floor_taken(scene, placed)
        if taken is None:
            continue
        there = _there(placed, taken)
        hits = _within(scene, number, there)
        if not len(hits):
            continue
        if len(rows) >= ROWS_AT_LEAST:
            unseen += len(hits)
            continue
        cores = scene.solids.cores[hits]
        met = np.asarray(shapely.intersects(there, cores), dtype=bool)
        owners = scene.solids.owner[hits[met]]
        for other in np.unique(owners).tolist():
            stands = scene.order[other].pose if other < len(scene.order) else None
            mine = cores[met][owners == other]
            key = "reaches under", placed.piece.id, placed.pose, other, stands
            row = scene.memo(key, partial(_snag, scene, placed, other, there, mine))
            both = row.code, frozenset(row.pieces)
            if both not in rows or (row.measured or 0) < (rows[both].measured or 0):
                rows[both] = row
    yield from list(rows.values())[:ROWS_AT_LEAST]
    unseen += max(len(rows) - ROWS_AT_LEAST, 0)
    yield from not_looked_at("under-machine-unseen", "what stands under machines", unseen)


def _within(scene: Scene, number: int, there: Polygon) -> NDArray[np.intp]:
    """Return the solids whose boxes are there, in rising order, but for walls and its own."""
    placed, solids = scene.order[number], scene.solids
    hits = np.sort(scene.tree.query(there))
    owners = solids.owner[hits]
    walls = owners - len(scene.order)
    strange = ~layers(scene)[owners] & ~((walls >= 0) & (walls < len(scene.room.walls)))
    mates = np.where(owners < len(scene.order), owners, number)
    strange &= (walls >= 0) | (scene.roots[mates] != scene.roots[number])
    hits = hits[strange]
    low, high = np.array(placed.lift_mm), np.array(seat_mm(placed))
    meet = heights_meet(low, high, solids.low_mm[hits], solids.high_mm[hits])
    kept: NDArray[np.intp] = hits[meet]
    return kept


def _snag(scene: Scene, machine: Placed, other: int, there: Polygon, cores: Geometries) -> Snag:
    code = "under-machine"
    meets: Meets = "kit"
    pieces: tuple[str, ...] = (machine.piece.id,)
    if other < len(scene.order):
        name = scene.order[other].name
        pieces = (scene.order[other].piece.id, *pieces)
    else:
        name = scene.fixed_names[other - len(scene.order)]
        code = f"{code}-column-{other - len(scene.order)}"
        meets = "column"
    common = shapely.intersection(there, cores)
    deep = float(narrow_mm(common).max()) + TOLERANCE_MM
    middle = shapely.union_all(common).centroid
    return Snag(
        code=code,
        hangs_on_place=True,
        while_training=True,
        meets=meets,
        severity="stop",
        template="{:cap} {:mm} under the {}, where its user moves. Keep that floor free.",
        values=(agreeing(name, "reaches", "reach"), deep, lower(machine.name)),
        pieces=pieces,
        names=(name, lower(machine.name)),
        measured=-round(deep),
        required=0,
        where=(middle.x, middle.y),
        source_keys=(kit_key(machine.kit.key, "floor"), _STEP_OVER),
    )
