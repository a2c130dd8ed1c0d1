"""What comes next in a working space whose nearest thing is told of elsewhere as well."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from app.checks.snag import Severity
from app.checks.space_depths import ACROSS
from app.scene.build import Scene

Numbers = NDArray[np.intp]
Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

ONE_PLACE_MM = 150
"""A screen or a mirror with its bracket is no deeper than this: the wall behind it is met at one
place with it."""


def next_in_rings(
    scene: Scene,
    of: Numbers,
    hit: Numbers,
    answers: Floats,
    order: Numbers,
    short: Numbers,
    rings: Bools,
) -> Numbers:
    """Return what comes next in each ring whose nearest thing is told of by a strip as well.

    That is a strip of the piece itself, or one of that thing in which the piece stands. The strip
    tells of it, and what is told on one side is not told all round once more: the others in the
    ring would go untold.
    """
    spaces, solids = scene.spaces, scene.solids
    ring = rings[of[short]]
    if not ring.any():
        return short[:0]
    mine, theirs = spaces.owner[of], solids.owner[hit]
    strips, round_it = short[~ring], short[ring]
    named = set(zip(mine[strips].tolist(), theirs[strips].tolist(), strict=True))
    named |= {(other, one) for one, other in named}
    pairs = zip(mine[round_it].tolist(), theirs[round_it].tolist(), strict=True)
    beside = round_it[[pair in named for pair in pairs]]
    asked = np.zeros(len(rings), dtype=bool)
    asked[of[beside]] = True
    order = order[asked[of[order]]]
    after: dict[int, int] = {}
    places = answers[:, 2:ACROSS]
    told = {int(of[i]): places[i] for i in beside.tolist()}
    for i, space, *pair in zip(
        order.tolist(), of[order].tolist(), mine[order].tolist(), theirs[order].tolist(),
        strict=True,
    ):  # fmt: skip
        behind = math.dist(places[i], told[space]) <= ONE_PLACE_MM
        if tuple(pair) not in named and not behind:
            after.setdefault(space, i)
    return np.array(list(after.values()), dtype=np.intp)


def next_past_flanks(of: Numbers, flanking: Bools, order: Numbers, short: Numbers) -> Numbers:
    """Return what comes next in each strip whose nearest thing only stands beside the piece.

    What stands at the side of a strip is told of there; what ends the strip must be told too.
    """
    beside = of[short[flanking[short]]]
    later = order[~flanking[order]]
    later = later[np.isin(of[later], beside)]
    _, first = np.unique(of[later], return_index=True)
    return later[np.sort(first)]


def told_once(
    scene: Scene,
    of: Numbers,
    hit: Numbers,
    measured: Floats,
    beyond: Numbers,
    severity_of: Callable[[Scene, int, float], Severity],
) -> tuple[Numbers, frozenset[int]]:
    """Return what of `beyond` is told, and the spaces of which it is told instead of a flank.

    A row of a space names one thing that is no piece: the one that ends it, where that is as grave
    as what stands beside, else the one beside.
    """
    kept, instead = [], set()
    for i in beyond.tolist():
        space = int(of[i])
        fixed = scene.solids.owner[hit[i]] >= len(scene.order)
        as_grave = severity_of(scene, space, float(measured[i])) == severity_of(scene, space, 0.0)
        if fixed and as_grave:
            instead.add(space)
        if as_grave or not fixed:
            kept.append(i)
    return np.array(kept, dtype=np.intp), frozenset(instead)
