"""Under a machine that is used somebody moves: nothing stands below its seat, rail or foot plates.

Its parts are solids, and what is between and below them is air: a step pushed under the rail of a
rower meets nothing, and nobody sits down or rows there.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from app.checks.clash import narrow_mm
from app.checks.crowding import ROWS_AT_LEAST, not_looked_at
from app.checks.layers import layers
from app.checks.met import what_is_met
from app.checks.pair_figures import Floats, Half, Numbers, pair_figures
from app.checks.snag import Snag, agreeing, kit_key
from app.scene.build import Placed, Scene
from app.scene.tolerance import TOLERANCE_MM, heights_meet
from app.wording import lower

_STEP_OVER = "route.step-over-mm"
_BORNE_BY = (frozenset({"seat", "deck"}), frozenset({"pad", "back-pad"}))
"""Parts that bear who is on it, those first by which one sits or stands."""
MACHINES_AT_A_TIME = 64
"""Machines whose floors are looked at in one go: in a heap each meets whatever stands there."""
PAIRS_AT_A_TIME = 2_000
"""Pairs of machines and solids measured in one go: in a heap enough rows come of the first."""
COLUMNS = 4
"""Whether the two meet, how deep in mm, and where (x, y)."""


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


def _there(machines: Sequence[Placed], taken: Sequence[Polygon]) -> NDArray[np.object_]:
    """Return the floors that machines take where they stand."""
    floors = np.array(taken, dtype=object)
    xy, of = shapely.get_coordinates(floors, return_index=True)
    at = np.array([placed.at for placed in machines])
    return np.asarray(shapely.set_coordinates(floors, xy + at[of]))


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
    numbers, taken = [], []
    for number, placed in enumerate(scene.order):
        floor = floor_taken(scene, placed)
        if floor is not None:
            numbers.append(number)
            taken.append(floor)
    rows: dict[tuple[str, frozenset[str]], Snag] = {}
    unseen = 0
    part = 0
    for first in range(0, len(numbers), MACHINES_AT_A_TIME):
        some = slice(first, first + MACHINES_AT_A_TIME)
        machines = np.array(numbers[some], dtype=np.intp)
        there = _there([scene.order[number] for number in numbers[some]], taken[some])
        one, hits = _within(scene, machines, there)
        for at in _at_a_time(one):
            if len(rows) >= ROWS_AT_LEAST:
                unseen += len(one[at])
                continue
            for row in _reaching(scene, part, machines, there, one[at], hits[at]):
                both = row.code, frozenset(row.pieces)
                if both not in rows or (row.measured or 0) < (rows[both].measured or 0):
                    rows[both] = row
            part += 1
    yield from list(rows.values())[:ROWS_AT_LEAST]
    unseen += max(len(rows) - ROWS_AT_LEAST, 0)
    yield from not_looked_at("under-machine-unseen", "what stands under machines", unseen)


def _at_a_time(one: Numbers) -> Iterator[slice]:
    """Yield the pairs so many at a time, those of one machine together."""
    starts = np.r_[np.flatnonzero(np.diff(one, prepend=-1)), len(one)].tolist()
    begun = 0
    for end, after in pairwise((*starts, len(one))):
        if after - begun > PAIRS_AT_A_TIME and end > begun:
            yield slice(begun, end)
            begun = end
    if begun < len(one):
        yield slice(begun, len(one))


def _within(scene: Scene, machines: Numbers, there: NDArray[np.object_]) -> tuple[Numbers, Numbers]:
    """Return which of some machines, and which solids have their boxes there, both in rising order.

    Without walls and what is of a machine's own station.
    """
    solids = scene.solids
    one, hits = scene.tree.query(there)
    order = np.lexsort((hits, one))
    one, hits = one[order], hits[order]
    owners, number = solids.owner[hits], machines[one]
    walls = owners - len(scene.order)
    strange = ~layers(scene)[owners] & ~((walls >= 0) & (walls < len(scene.room.walls)))
    mates = np.where(owners < len(scene.order), owners, number)
    strange &= (walls >= 0) | (scene.roots[mates] != scene.roots[number])
    one, hits = one[strange], hits[strange]
    every = [scene.order[number] for number in machines.tolist()]
    low = np.array([placed.lift_mm for placed in every])[one]
    high = np.array([seat_mm(placed) for placed in every])[one]
    meet = heights_meet(low, high, solids.low_mm[hits], solids.high_mm[hits])
    return one[meet], hits[meet]


def _reaching(
    scene: Scene,
    part: int,
    machines: Numbers,
    there: NDArray[np.object_],
    one: Numbers,
    hits: Numbers,
) -> Iterator[Snag]:
    """Yield a row for each machine and what reaches under it, where that is deepest."""
    if not len(hits):
        return
    solids = scene.solids

    def figures(of: Numbers, solid: Numbers) -> Floats:
        floors, cores = there[np.searchsorted(machines, of)], solids.cores[solid]
        result = np.zeros((len(of), COLUMNS))
        met = shapely.intersects(floors, cores)
        common = shapely.intersection(floors[met], cores[met])
        middles = shapely.get_coordinates(shapely.centroid(common))
        result[met] = np.column_stack([np.ones(len(common)), narrow_mm(common), middles])
        return result

    mine = Half(machines[one], machines[one], len(scene.order))
    theirs = Half(hits, solids.owner[hits], len(solids.owner))
    found = pair_figures(scene, "under machines", COLUMNS).measured(
        scene, part, mine, theirs, figures
    )
    met = found[:, 0] > 0
    found, of, owners = found[met], machines[one[met]], solids.owner[hits[met]]
    order = np.lexsort((-found[:, 1], owners, of))
    found, of, owners = found[order], of[order], owners[order]
    first = np.r_[True, (np.diff(of) != 0) | (np.diff(owners) != 0)][: len(of)]
    for number, other, (_, deep, x, y) in zip(
        of[first].tolist(), owners[first].tolist(), found[first].tolist(), strict=True
    ):
        yield _snag(scene, scene.order[number], other, deep + TOLERANCE_MM, (x, y))


def _snag(
    scene: Scene, machine: Placed, other: int, deep_mm: float, at: tuple[float, float]
) -> Snag:
    name, others, code, meets = what_is_met(scene, other, "under-machine")
    return Snag(
        code=code,
        hangs_on_place=True,
        while_training=True,
        meets=meets,
        severity="stop",
        template="{:cap} {:mm} under the {}, where its user moves. Keep that floor free.",
        values=(agreeing(name, "reaches", "reach"), deep_mm, lower(machine.name)),
        pieces=(*others, machine.piece.id),
        names=(name, lower(machine.name)),
        measured=-round(deep_mm),
        required=0,
        where=at,
        source_keys=(kit_key(machine.kit.key, "floor"), _STEP_OVER),
    )
