"""Solid against solid: two things cannot stand in the same place at the same height."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray

from app.checks.between_posts import WIDER, wider_than
from app.checks.crowding import (
    ROWS_AT_LEAST,
    ROWS_AT_MOST,
    near_pairs,
    not_looked_at,
    parts_of_pairs,
)
from app.checks.layers import layers
from app.checks.met import what_is_met
from app.checks.pair_figures import Half, pair_figures
from app.checks.snag import Snag
from app.scene.build import Scene
from app.scene.tolerance import TOLERANCE_MM, Geometries, heights_meet
from app.wording import lower

PIECE_PAIRS_AT_MOST = 10_000
"""Pairs of pieces that are looked at: three for each of the most pieces that a plan may have."""

PIECES_AT_A_TIME = 2_000
"""Pairs of pieces measured in one go: some ten thousand pairs of solids, quick and small."""

COLUMNS = 5
"""Whether the two meet, over what area in mm2, how deep in mm, and where (x, y)."""

_SOURCE = ("scene.touch-tolerance-mm",)


def clashes(scene: Scene) -> Iterator[Snag]:
    """Yield a `stop` for each two pieces, or piece and column, that reach into one another.

    Walls are the business of `outside`. Things may stand on a mat or platform that is low enough
    to step over. A bar does not clash with the rest of its own station: whether it lies on its
    rest is the business of `bars`.
    """
    solids = scene.solids
    layer = layers(scene)
    count, in_order = _may_meet(scene, layer)
    rows: list[tuple[float, Snag]] = []
    looked_at = 0
    # Some more than the limit at a time does no harm; that the rest is only what is left over does.
    for part, (one, other) in enumerate(_at_a_time(in_order)):
        rows += _clashing(scene, part, *parts_of_pairs(solids.owner, one, other))
        looked_at += len(one)
        enough = ROWS_AT_LEAST if looked_at >= PIECE_PAIRS_AT_MOST else ROWS_AT_MOST
        if len(rows) >= enough:
            break
    unseen = count - looked_at
    if len(rows) > ROWS_AT_MOST:
        unseen += len(rows) - ROWS_AT_MOST
        rows.sort(key=lambda row: (-row[0], row[1].key))
        del rows[ROWS_AT_MOST:]
    yield from (snag for _, snag in rows)
    yield from not_looked_at("clash-unseen", "they stand near or in one another", unseen)


def _may_meet(
    scene: Scene, layer: NDArray[np.bool_]
) -> tuple[int, Iterator[tuple[NDArray[np.intp], NDArray[np.intp]]]]:
    """Return how many pairs of pieces, and of piece and column, have boxes that meet, and all."""
    count = len(scene.order)
    columns = count + len(scene.room.walls)
    solids = scene.solids
    mine = (solids.owner < count) | (solids.owner >= columns)
    mine &= ~layer[solids.owner]
    return near_pairs(solids.cores[mine], solids.owner[mine], count, PIECE_PAIRS_AT_MOST)


def _at_a_time(
    parts: Iterator[tuple[NDArray[np.intp], NDArray[np.intp]]],
) -> Iterator[tuple[NDArray[np.intp], NDArray[np.intp]]]:
    """Yield the pairs so many at a time."""
    for one, other in parts:
        for at in range(0, len(one), PIECES_AT_A_TIME):
            some = slice(at, at + PIECES_AT_A_TIME)
            yield one[some], other[some]


def _clashing(
    scene: Scene, part: int, one: NDArray[np.intp], other: NDArray[np.intp]
) -> Iterator[tuple[float, Snag]]:
    """Yield depth and snag of those pairs of solids that reach into one another."""
    solids = scene.solids
    keep = heights_meet(
        solids.low_mm[one], solids.high_mm[one], solids.low_mm[other], solids.high_mm[other]
    )
    keep &= ~_bar_in_station(scene, solids.owner[one], solids.owner[other])
    one, other = one[keep], other[keep]
    mine = Half(one, solids.owner[one], len(solids.owner))
    theirs = Half(other, solids.owner[other], len(solids.owner))
    figures_of_pairs = pair_figures(scene, "clashes", COLUMNS)
    figures = figures_of_pairs.measured(scene, part, mine, theirs, partial(_figures, scene))
    met = figures[:, 0] > 0
    one, other, figures = one[met], other[met], figures[met]
    if not len(one):
        return
    pairs = np.stack([solids.owner[one], solids.owner[other]], axis=1)
    # Of the many places at which two pieces of many solids meet the deepest speaks for both: of the
    # largest the depth may fall where one of them grows, for it may be another place then.
    order = np.lexsort((-figures[:, 1], -figures[:, 2], pairs[:, 1], pairs[:, 0]))
    pairs, figures = pairs[order], figures[order]
    starts = np.flatnonzero(np.r_[True, (np.diff(pairs, axis=0) != 0).any(axis=1)])
    for (a, b), row in zip(pairs[starts].tolist(), figures[starts].tolist(), strict=True):
        _, _, narrow, x, y = row
        depth = narrow + TOLERANCE_MM
        yield depth, _snag(scene, a, b, depth, (x, y))


def _figures(scene: Scene, one: NDArray[np.intp], other: NDArray[np.intp]) -> NDArray[np.float64]:
    """Return the figures of each two solids, (n, `COLUMNS`)."""
    cores = scene.solids.cores
    figures = np.zeros((len(one), COLUMNS))
    met = np.asarray(shapely.intersects(cores[one], cores[other]))
    common = shapely.intersection(cores[one[met]], cores[other[met]])
    middles = shapely.get_coordinates(shapely.centroid(common))
    ones = np.ones(len(common))
    figures[met] = np.column_stack([ones, shapely.area(common), narrow_mm(common), middles])
    return figures


def narrow_mm(polygons: Geometries) -> NDArray[np.float64]:
    """Return the least width of each polygon's hull in mm, in whichever direction that lies.

    It is least square to one of the hull's sides. A polygon without area has none.
    """
    xy, index = shapely.get_coordinates(shapely.convex_hull(polygons), return_index=True)
    counts = np.bincount(index, minlength=len(polygons))
    starts = np.cumsum(counts) - counts
    narrow = np.zeros(len(polygons))
    for count in np.unique(counts):
        sides = int(count) - 1
        # A hull of a line or a point: touching after rounding, no depth.
        if sides <= 2:
            continue
        mine = np.flatnonzero(counts == count)
        ring = xy[starts[mine][:, None] + np.arange(sides)]
        along = np.roll(ring, -1, axis=1) - ring
        length = np.hypot(along[..., 0], along[..., 1])
        square = np.stack([-along[..., 1], along[..., 0]], axis=-1) / length[..., None]
        reach = square @ ring.swapaxes(1, 2)
        widths = reach.max(axis=-1) - reach.min(axis=-1)
        narrow[mine] = widths.min(axis=-1)
    return narrow


def _bar_in_station(
    scene: Scene, first: NDArray[np.intp], second: NDArray[np.intp]
) -> NDArray[np.bool_]:
    count = len(scene.order)
    piece = second < count
    mate = np.where(piece, second, 0)
    same = piece & (scene.roots[first] == scene.roots[mate])
    bars: NDArray[np.bool_] = same & (scene.bars[first] | scene.bars[mate])
    return bars


def _snag(scene: Scene, a: int, b: int, depth_mm: float, at: tuple[float, float]) -> Snag:
    one = scene.order[a]
    # a wall that is met is the edge of the room and said there
    named, others, code, meets = what_is_met(scene, b, "clash")
    name = lower(named)
    template = "{} and {} overlap by {:mm}."
    values: tuple[object, ...] = (one.name, name, depth_mm)
    if b < len(scene.order) and one.root == scene.order[b].root:
        other = scene.order[b]
        wider = wider_than(one, other) or wider_than(other, one)
        template, values = (template, values) if wider is None else (WIDER, wider)
    return Snag(
        code=code,
        hangs_on_place=True,
        meets=meets,
        severity="stop",
        template=template,
        values=values,
        pieces=(one.piece.id, *others),
        names=(one.name, name),
        measured=-round(depth_mm),
        required=0,
        where=at,
        source_keys=_SOURCE,
    )
