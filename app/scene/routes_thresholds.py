"""Where ways come in: a join that passes a threshold is cut there, and begins on it.

What lies beyond a door is no business of the room, so such a join counts from where it leaves the
room. There it gets a node of its own, with the circle that is free about it: how wide a way is does
not hang on whether the next node of the graph lies a hair before the threshold or behind it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from app.scene.doors import OpeningShape
from app.scene.routes_graph import FAR_CORNERS, Bools, Floats, Ints, Medial, Samples, to_stretch
from app.scene.tolerance import HALF_MM


@dataclass(frozen=True, slots=True, eq=False)
class Threshold:
    """Where one comes in by a door: nodes on it, the joins that lead in from them, how wide it is.

    Beside each node `width_mm` is what is free at that place of the threshold.
    """

    nodes: Ints
    joins: Ints
    width_mm: Floats


def with_thresholds(
    graph: Medial, samples: Samples, inside: Bools, doors: Sequence[OpeningShape], pieces_up_to: int
) -> tuple[Medial, tuple[Threshold, ...]]:
    """Return the graph with nodes on the thresholds, numbered after its own, and joins to them.

    `inside` tells which nodes lie in the room, grown by half the tolerance; owners of samples up to
    a number are pieces, whose cores are drawn in by as much.
    """
    # Joins with one end outside go through doorways: walls are sampled with those cut out.
    crossing = np.flatnonzero(inside[graph.one] != inside[graph.other])
    from_one = inside[graph.one[crossing]]
    inner = np.where(from_one, graph.one[crossing], graph.other[crossing])
    outer = np.where(from_one, graph.other[crossing], graph.one[crossing])
    met = [_met(graph.at[inner], graph.at[outer], door) for door in doors]
    counts = [len(over) for over, _ in met]
    if not sum(counts):
        nothing = np.zeros(0, dtype=np.intp)
        return graph, (Threshold(nothing, nothing, np.zeros(0)),) * len(doors)
    over = np.concatenate([over for over, _ in met])
    at = np.concatenate([at for _, at in met])
    width, free, radius = _measured(graph, samples, crossing[over], inner[over], at, pieces_up_to)
    ends = np.array([[door.left, door.right] for door in doors]).repeat(counts, axis=0)
    jambs = _between_jambs(graph, samples, crossing[over], ends)
    # the door itself is as wide as it is: only what stands before it counts
    width[jambs] = free[jambs] = np.inf
    nodes = len(graph.at) + np.arange(len(over))
    joins = len(graph.one) + np.arange(len(over))
    longer = replace(
        graph,
        at=np.concatenate([graph.at, at]),
        radius_mm=np.concatenate([graph.radius_mm, radius]),
        # the new nodes first, so that the joins stand in the order of these ends as they did
        one=np.concatenate([graph.one, nodes]),
        other=np.concatenate([graph.other, inner[over]]),
        left=np.concatenate([graph.left, graph.left[crossing[over]]]),
        right=np.concatenate([graph.right, graph.right[crossing[over]]]),
        width_mm=np.concatenate([graph.width_mm, width]),
    )
    parts = (np.split(each, np.cumsum(counts)[:-1]) for each in (nodes, joins, free))
    return longer, tuple(Threshold(*part) for part in zip(*parts, strict=True))


def _met(inner: Floats, outer: Floats, door: OpeningShape) -> tuple[Ints, Floats]:
    """Return which of some ways out of the room pass a threshold, and where.

    One end of each lies in the room; on the edge itself rounding decides which, so that a way whose
    ends lie on one side by less than that passes too.
    """
    # the edge of the room as the nodes are asked about it: grown by half the tolerance
    ends = np.array([door.left, door.right]) - HALF_MM * np.array(door.inward)
    along = ends[1] - ends[0]
    length = math.hypot(*along)
    along /= length
    off = np.array([-along[1], along[0]])
    here, there = (inner - ends[0]) @ off, (outer - ends[0]) @ off
    apart = here - there
    share = np.clip(here / np.where(apart == 0, 1, apart), 0, 1)
    at = inner + share[:, None] * (outer - inner)
    place = (at - ends[0]) @ along
    # Half a millimetre beyond both jambs: a join along the wall's end must not slip past the door.
    passes = (place >= -HALF_MM) & (place <= length + HALF_MM)
    over = np.flatnonzero(passes & (np.abs((at - ends[0]) @ off) < HALF_MM))
    return over, at[over]


def _measured(
    graph: Medial, samples: Samples, joins: Ints, inner: Ints, at: Floats, pieces_up_to: int
) -> tuple[Floats, Floats, Floats]:
    """Measure joins from their inner nodes to where they are cut: how wide they are, what is free
    at the cut, and the radius there of the circle that holds no sample.
    """
    width, free = graph.width_mm[joins].copy(), np.full(len(joins), np.inf)
    radius = graph.radius_mm[inner].copy()
    sides = np.stack([graph.left[joins], graph.right[joins]])
    # beyond the samples lie the far corners
    known = np.flatnonzero((sides < len(samples.xy)).all(axis=0))
    sides, at, within = sides[:, known], at[known], graph.at[inner[known]]
    x, y = np.concatenate([samples.xy, at]).T
    cut = len(samples.xy) + np.arange(len(known))
    radius[known] = np.hypot(*(at - samples.xy[sides[0]]).T)
    stretches = np.stack([samples.before[sides], samples.after[sides]])
    clear = to_stretch(x, y, cut, sides, stretches).min(axis=0)
    clear -= HALF_MM * (samples.owner[sides] < pieces_up_to)
    free[known] = 2 * clear.min(axis=0)
    # Where it still gets narrower on the way out, the threshold is its narrowest place indoors.
    out, middle = at - within, samples.xy[sides].mean(axis=0) - within
    beyond = known[(middle * out).sum(axis=1) >= (out * out).sum(axis=1)]
    width[beyond] = free[beyond]
    return width, free, radius


def _between_jambs(graph: Medial, samples: Samples, joins: Ints, ends: Floats) -> Bools:
    """Return which joins pass between both ends of their door."""
    xy = np.concatenate([samples.xy, np.full((FAR_CORNERS, 2), np.inf)])
    sides = xy[np.stack([graph.left[joins], graph.right[joins]])]
    near = np.abs(sides[:, :, None] - ends).max(axis=-1) < HALF_MM
    result: Bools = near.any(axis=-1).all(axis=0)
    return result
