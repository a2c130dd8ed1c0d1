"""Lanes: a strip before a piece is judged by the width left in it where things only flank it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.shapes import SpaceShape
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, falls_short

Ints = NDArray[np.intp]
Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

EASY = "route.easy-mm"
"""A lane is still one to work in where about its middle somebody carrying something passes."""

_PERSON = "route.least-mm"
COLUMNS = 6
"""From and to, and both ends (x, y each)."""

FLANK = "lane.flank-mm"
"""Who steps out of a rack does not see a hand's width at the side of its lane."""

LANE_SIDES = frozenset({"front", "back"})
"""A strip beside a piece is as long as the piece: its width is nobody's lane."""


WIDTH_DECIMALS = 1
"""Of a millimetre: finer than anybody measures, coarser than what rounding leaves of a turn."""


@dataclass(frozen=True, slots=True)
class Lane:
    """A lane flanked by things: its number, the thing that takes most, widths in mm, and where.

    Of its width `asked_mm` is enough.
    """

    space: int
    solid: int
    left_mm: float
    asked_mm: float
    at: tuple[float, float]


def reach_across(scene: Scene, of: Ints, hit: Ints) -> Floats:
    """Return how far each solid lies across the strip it reaches into, (n, 6) in mm.

    From and to, to the left of outwards, the middle of the piece being nought; then the places of
    its first and last corner. It is the whole thing, not what of it is in the strip: moved
    outwards it takes no more of its width. For a space that is no strip it is all nought.
    """
    spaces = scene.spaces
    xy, index = shapely.get_coordinates(scene.solids.cores[hit], return_index=True)
    reaches = np.zeros((len(of), COLUMNS))
    if not len(of):
        return reaches
    space = of[index]
    out, away = spaces.outward[space], xy - scene.at[spaces.owner[space]]
    across = away[:, 1] * out[:, 0] - away[:, 0] * out[:, 1]
    order = np.lexsort((across, index))
    counts = np.bincount(index, minlength=len(of))
    ends = np.cumsum(counts)
    last, first = order[ends - 1], order[ends - counts]
    strip = out[first].any(axis=1)
    # cores of strip and things alike are drawn in by half a millimetre: here true edges count
    both = across[first] - HALF_MM, across[last] + HALF_MM
    reaches[strip] = np.column_stack([*both, xy[first], xy[last]])[strip]
    return reaches


def in_lanes(scene: Scene, of: Ints, hit: Ints, across: Floats) -> tuple[Bools, list[Lane]]:
    """Return which pairs of a space and a solid in it only flank a lane, and the lanes narrowed.

    `hit` are solids by their number, `across` what `reach_across` says of each pair. What stands in
    the midst of a lane is none of these, and what flanks it beside that is as it was. What comes
    into an end of the room along a whole side by no more than nobody minds flanks that too.
    """
    flanks = _at_an_end(scene, of, hit, across)
    lanes = []
    in_lane = np.flatnonzero(scene.memo(("lanes",), lambda: _are_lanes(scene))[of])
    midsts = _midsts(scene)
    beside = in_lane[_beside_the_midst(scene, of[in_lane], hit[in_lane], across[in_lane], midsts)]
    pairs: dict[int, list[int]] = {}
    for i, space in zip(beside.tolist(), of[beside].tolist(), strict=True):
        pairs.setdefault(space, []).append(i)
    for space, mine in sorted(pairs.items()):
        lane = _lane(scene, space, hit[mine].tolist(), across[mine].tolist(), midsts[space])
        if lane is not None:
            flanks[mine] = True
            if falls_short(lane.left_mm, lane.asked_mm):
                lanes.append(lane)
    return flanks, lanes


def _at_an_end(scene: Scene, of: Ints, hit: Ints, across: Floats) -> Bools:
    """Return which solids only come into the end of room along a side, by what nobody minds.

    A machine whose front stands under a screen on the wall is got on beside its saddle.
    """
    ends = np.zeros(len(of), dtype=bool)
    along = np.flatnonzero(scene.memo(("along sides",), lambda: _are_along_sides(scene))[of])
    aside = scene.spaces.aside_mm[of[along]]
    low, high = aside[:, 0] - HALF_MM, aside[:, 1] + HALF_MM
    into = np.minimum(across[along, 1] - low, high - across[along, 0])
    little = along[into <= published(FLANK) + TOLERANCE_MM]
    for space in np.unique(of[little]).tolist():
        mine = little[of[little] == space]
        lane = _lane(scene, space, hit[mine].tolist(), across[mine].tolist(), _midsts(scene)[space])
        if lane is not None and not falls_short(lane.left_mm, lane.asked_mm):
            ends[mine] = True
    return ends


def is_along_a_side(shape: SpaceShape) -> bool:
    """Return whether a space is room to get at a piece along the whole of one of its sides."""
    row = shape.space
    if row.kind != "access" or row.to_reach or shape.outward is None:
        return False
    (first, last), (low, high) = shape.own_mm, shape.aside_mm
    return max(abs(first - low), abs(last - high)) <= TOLERANCE_MM


def is_where_one_stands(shape: SpaceShape) -> bool:
    """Return whether room to get at a piece along one of its sides is for who stands there.

    What has heights of its own is for air, heat or a service hatch: a hand's width of that is no
    less than the rest.
    """
    return is_along_a_side(shape) and shape.space.heights is None


def _are_along_sides(scene: Scene) -> Bools:
    """Return for each space of a plan whether it is such room, wherever it lies."""
    return np.array([is_along_a_side(shape) for shape in scene.spaces.shapes], dtype=bool)


def _in_nobodys_way_mm(scene: Scene, space: int) -> float:
    """Return how much of the width of a lane may be lacking and nobody minds.

    Behind a belt the width is published, and all of it is kept.
    """
    falls = scene.spaces.shapes[space].space.kind == "fall-off"
    return 0.0 if falls else published(FLANK)


def _are_lanes(scene: Scene) -> Bools:
    """Return for each space of a plan whether it is a lane, wherever it lies."""
    rows = (shape.space for shape in scene.spaces.shapes)
    return np.array(
        [row.side in LANE_SIDES and row.kind != "access" and not row.either for row in rows],
        dtype=bool,
    )


def _lane(
    scene: Scene, space: int, hit: list[int], across: list[list[float]], midst: Floats
) -> Lane | None:
    """Measure the width left between what flanks a strip; None where too little is left."""
    spaces = scene.spaces
    low = float(spaces.aside_mm[space][0]) - HALF_MM
    high = float(spaces.aside_mm[space][1]) + HALF_MM
    lowest, highest = low, high
    taken, worst, at = 0.0, -1, (0.0, 0.0)
    # of alike ones the first of the plan is named, not the one that rounding puts first
    for solid, (first, last, first_x, first_y, last_x, last_y) in sorted(
        zip(hit, across, strict=True)
    ):
        into_low, into_high = last - low, high - first
        from_low = into_low <= into_high
        lowest = max(lowest, last) if from_low else lowest
        highest = highest if from_low else min(highest, first)
        into = round(min(into_low, into_high), WIDTH_DECIMALS)
        if into > taken:
            taken = into
            worst = int(scene.solids.owner[solid])
            at = (last_x, last_y) if from_low else (first_x, first_y)
    left = highest - lowest
    from_mm, to_mm = midst.tolist()
    if worst < 0 or lowest > from_mm or highest < to_mm:
        return None
    return Lane(space, worst, left, high - low - _in_nobodys_way_mm(scene, space), at)


def midst_wide_mm(owner: Placed, falls: bool) -> float:
    """Return how wide the midst of a lane is in mm; of what is fallen off as wide as that is."""
    return owner.extent.width_mm if falls else published(EASY)


def end_to_spare_mm(shape: SpaceShape) -> float:
    """Return how far a thing may come into either end of room along a side and nobody minds.

    At the foot of a bench nobody turns round with a bar, and of a strip in which somebody has room
    enough between its ends a hand's width is no loss. What is narrower keeps all of its side.
    """
    if not is_where_one_stands(shape):
        return 0.0
    low, high = shape.aside_mm
    spare = published(FLANK)
    # the strip is drawn in by half a millimetre on either side
    between = high - low + 2 * HALF_MM - 2 * spare
    return 0.0 if falls_short(between, published(_PERSON)) else spare


def _midst_to_get_at_mm(shape: SpaceShape) -> float:
    """Return how wide the midst is of room along a side, which must be free."""
    spare, (low, high) = end_to_spare_mm(shape), shape.aside_mm
    return min(published(EASY), high - low - 2 * spare) if spare else published(EASY)


def _midsts(scene: Scene) -> Floats:
    """Return from and to where across each lane somebody must be able to be, (n, 2) in mm.

    Who works there stands in its middle: that much of it must be left, not just any part; who falls
    off a belt falls behind the machine's own width. Of what is no lane it says nothing.
    """
    half = scene.memo(("midsts wide",), lambda: _midsts_wide_mm(scene)) / 2 - TOLERANCE_MM
    middle = scene.spaces.aside_mm.sum(axis=1) / 2
    return np.column_stack([middle - half, middle + half])


def _midsts_wide_mm(scene: Scene) -> Floats:
    spaces = scene.spaces
    return np.array(
        [
            _midst_to_get_at_mm(shape)
            if is_where_one_stands(shape)
            else midst_wide_mm(scene.order[owner], shape.space.kind == "fall-off")
            for shape, owner in zip(spaces.shapes, spaces.owner.tolist(), strict=True)
        ],
        dtype=np.float64,
    )


def _beside_the_midst(scene: Scene, of: Ints, hit: Ints, across: Floats, midsts: Floats) -> Bools:
    """Return which of some solids in lanes belong to things that stand on one side of the midst.

    What has a leg on either side stands before it.
    """
    owners = scene.solids.owner
    things = of * len(owners) + owners[hit]
    _, thing = np.unique(things, return_inverse=True)
    first, last = np.full(len(of), np.inf), np.full(len(of), -np.inf)
    np.minimum.at(first, thing, across[:, 0])
    np.maximum.at(last, thing, across[:, 1])
    beside: Bools = (last[thing] <= midsts[of, 0]) | (first[thing] >= midsts[of, 1])
    return beside


def beside_it(scene: Scene, of: Ints, first_mm: Floats, last_mm: Floats) -> Bools:
    """Return whether what lies across strips from and to so far is beside the piece's outline."""
    strip = scene.spaces.outward[of].any(axis=1)
    first, last = scene.spaces.own_mm[of].T
    # the true edges of both: what only touches lies beside it
    beside: Bools = strip & ((first_mm >= last - TOLERANCE_MM) | (last_mm <= first + TOLERANCE_MM))
    return beside
