"""Main switch, gas tap, stopcock: the clear depth and width before what shuts off."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon

from app.checks.crowding import (
    PAIRS_AT_MOST,
    ROWS_AT_LEAST,
    ROWS_AT_MOST,
    deepest,
    not_looked_at,
)
from app.checks.snag import Snag
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.shapes import SpaceShape
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, enough_mm, falls_short
from app.wording import lower, phrase

SHUT_OFFS = {"consumer-unit": "main switch", "gas-tap": "gas tap", "water-stopcock": "stopcock"}
_SWITCH = "to-reach-the-main-switch"
STEP = "shut-off.stepped-over-mm"

THINGS_AT_MOST = 300
"""Parts that are measured before one shut-off: a wall full of shelves has some sixty."""


@dataclass(frozen=True, slots=True)
class _Thing:
    """What reaches into the floor before a shut-off: from where to where across it, how near."""

    owner: int
    from_mm: float
    to_mm: float
    away_mm: float
    at: tuple[float, float]


def shut_offs(scene: Scene) -> Iterator[Snag]:
    """Yield a stop where before something that shuts off too little depth or width is clear.

    The width need not be centred, but it takes in the thing itself. What can be stepped over and
    what hangs overhead blocks nothing.
    """
    judged = [
        (placed, before)
        for placed in scene.order
        for before in placed.shape.spaces
        if before.space.to_reach and before.outward is not None
    ]
    looked_at = rows = unseen = 0
    for i, (placed, before) in enumerate(judged):
        if rows >= (ROWS_AT_LEAST if looked_at > PAIRS_AT_MOST else ROWS_AT_MOST):
            unseen += len(judged) - i
            break
        depth, width = _asked(placed, before)
        things, more = _things(scene, placed, before, depth, _reach(placed, width))
        unseen += more
        looked_at += len(things)
        for snag in _judged(scene, placed, before, things):
            rows += 1
            yield snag
    yield from not_looked_at("shut-off-unseen", "what stands before a shut-off", unseen)


def _asked(placed: Placed, before: SpaceShape) -> tuple[float, float]:
    """Return how deep and how wide is to be clear, mm."""
    depth_key, width_key = clear_keys(placed)
    # what the maker's manual or an own row asks beyond the published depth counts as well
    return max(published(depth_key), before.space.least_mm), published(width_key)


def _reach(placed: Placed, width_mm: float) -> float:
    """Return how far to one side of a shut-off a clear floor of some width may go, mm."""
    return width_mm - min(placed.extent.width_mm, width_mm) / 2


def clear_keys(placed: Placed) -> tuple[str, str]:
    """Return the keys of the depth and width that must be clear before a shut-off."""
    switch = any(shape.space.key == _SWITCH for shape in placed.shape.spaces)
    kind = "meter" if switch else "shut-off"
    return f"{kind}.depth-mm", f"{kind}.width-mm"


def _judged(
    scene: Scene, placed: Placed, before: SpaceShape, things: list[_Thing]
) -> Iterator[Snag]:
    if not things:
        return
    depth, width = _asked(placed, before)
    reach = _reach(placed, width)
    half = width - reach
    left = max((t.to_mm for t in things if t.to_mm <= -half + TOLERANCE_MM), default=-reach)
    right = min((t.from_mm for t in things if t.from_mm >= half - TOLERANCE_MM), default=reach)
    if any(_reaches_into(thing, -half, half) for thing in things):
        nearest = _deepest(things, width, reach)
        template = "{:mm} clear before it, then {}. Keep {:bare} deep and {:bare} wide free."
        values: tuple[object, ...] = (nearest.away_mm, _name(scene, nearest), depth, width)
        yield _snag(scene, placed, before, (nearest,), template, values, (nearest.away_mm, depth))
        return
    if not falls_short(right - left, width):
        return
    sides = [t for t in things if _same(t.to_mm, left) or _same(t.from_mm, right)]
    sides.sort(key=lambda thing: thing.from_mm)
    names = dict.fromkeys(_name(scene, thing) for thing in sides)
    template = "{:mm} wide clear before it{}. Keep {:bare} wide and {:bare} deep free."
    by = phrase(", beside {}", " and ".join(names))
    values = (right - left, by, width, depth)
    yield _snag(scene, placed, before, tuple(sides), template, values, (right - left, width))


def _reaches_into(thing: _Thing, from_mm: float, to_mm: float) -> bool:
    return thing.to_mm > from_mm + TOLERANCE_MM and thing.from_mm < to_mm - TOLERANCE_MM


def _deepest(things: list[_Thing], width_mm: float, reach_mm: float) -> _Thing:
    """Return what bounds the deepest clear floor of some width that takes in the shut-off.

    Along the wall such a floor is at its deepest with a side at a thing or as far as it may go.
    """
    things = _bounding(things)
    first, last = -reach_mm, reach_mm - width_mm
    starts = {first, last, (first + last) / 2}
    starts |= {thing.to_mm for thing in things} | {thing.from_mm - width_mm for thing in things}
    bounds = []
    for start in sorted(starts):
        if not first - TOLERANCE_MM <= start <= last + TOLERANCE_MM:
            continue
        # moved aside by the tolerance it could pass by what just reaches in
        start = min(max(start, first), last)
        ahead = [thing for thing in things if _reaches_into(thing, start, start + width_mm)]
        bounds.append(min(ahead, key=_nearness))
    return max(bounds, key=lambda thing: round(thing.away_mm))


def _bounding(things: Sequence[_Thing]) -> list[_Thing]:
    """Leave out what stands behind something as wide: where it would bound, that one does before.

    In a heap of thousands a few are left, of which all pairs can be looked at.
    """
    kept: list[_Thing] = []
    for thing in sorted(things, key=_nearness):
        if not any(one.from_mm <= thing.from_mm and thing.to_mm <= one.to_mm for one in kept):
            kept.append(thing)
    return kept


def _nearness(thing: _Thing) -> tuple[int, float]:
    return round(thing.away_mm), thing.from_mm


def _same(one_mm: float, other_mm: float) -> bool:
    return abs(one_mm - other_mm) <= HALF_MM


def _things(
    scene: Scene, placed: Placed, before: SpaceShape, depth_mm: float, reach_mm: float
) -> tuple[list[_Thing], int]:
    """Return what stands on the floor before a shut-off and is too high to step over.

    Of a piece that is, its low parts count as well: nobody steps onto the foot of a shelf. Where
    very much does, it is what is nearest, and the number of parts that were left out.
    """
    assert before.outward is not None  # else nothing is kept clear before it
    ox, oy = before.outward
    frame = np.array([(ox, oy), (-oy, ox)])
    # lane and thing are both drawn in: so much farther out it is met where it leaves too little
    at, near = np.array(placed.at), before.edge_mm
    far = near + enough_mm(depth_mm) + TOLERANCE_MM
    corners = [(near, -reach_mm), (near, reach_mm), (far, reach_mm), (far, -reach_mm)]
    lane = Polygon(np.array(corners) @ frame + at).buffer(-HALF_MM, join_style="mitre")
    solids = scene.solids
    low = scene.plan.room.floor.covering.thickness_mm + published(STEP)
    high = before.space.z[1]
    hits = np.sort(scene.tree.query(lane, predicate="intersects"))
    hits = hits[solids.low_mm[hits] < high - TOLERANCE_MM]
    owners = solids.owner[hits]
    too_high = np.unique(owners[solids.high_mm[hits] > low + TOLERANCE_MM])
    own = [i for i in too_high if i < len(scene.order) and scene.order[i].root == placed.root]
    hits = hits[np.isin(owners, np.setdiff1d(too_high, own))]
    if not len(hits):
        return [], 0
    count = len(hits)
    if count > THINGS_AT_MOST:
        low_x, low_y, high_x, high_y = shapely.bounds(solids.cores[hits]).T
        middles = np.column_stack((low_x + high_x, low_y + high_y)) / 2
        away = np.hypot(*(middles - at).T)
        hits = np.sort(hits[deepest(-away, hits, THINGS_AT_MOST)])
    xy, part = shapely.get_coordinates(
        shapely.intersection(lane, solids.cores[hits]), return_index=True
    )
    inside = (xy - at) @ frame.T
    # the coordinates of a part stand together
    starts = np.flatnonzero(np.r_[True, np.diff(part) != 0])
    from_mm = np.minimum.reduceat(inside[:, 1], starts) - HALF_MM
    to_mm = np.maximum.reduceat(inside[:, 1], starts) + HALF_MM
    order = np.lexsort((inside[:, 0], part))
    nearest = order[starts]
    away_mm = np.maximum(inside[nearest, 0] - HALF_MM - near, 0.0)
    names = solids.owner[hits[part[starts]]]
    things = [
        _Thing(int(owner), float(left), float(right), float(away), (float(x), float(y)))
        for owner, left, right, away, (x, y) in zip(
            names, from_mm, to_mm, away_mm, xy[nearest], strict=True
        )
    ]
    return things, count - len(hits)


def _name(scene: Scene, thing: _Thing) -> str:
    count = len(scene.order)
    if thing.owner >= count:
        return scene.fixed_names[thing.owner - count]
    return f"the {lower(scene.order[thing.owner].name)}"


def _snag(
    scene: Scene,
    placed: Placed,
    before: SpaceShape,
    things: tuple[_Thing, ...],
    template: str,
    values: tuple[object, ...],
    figures: tuple[float, float],
) -> Snag:
    others = [
        scene.order[thing.owner].piece.id for thing in things if thing.owner < len(scene.order)
    ]
    return Snag(
        code=f"room-{before.space.key}",
        hangs_on_place=bool(others),
        space=before.space.key,
        to_reach=True,
        severity="stop",
        template=template,
        values=values,
        pieces=tuple(dict.fromkeys((placed.piece.id, *others))),
        names=(SHUT_OFFS.get(placed.kit.key, placed.name), before.space.name),
        measured=round(figures[0]),
        required=round(figures[1]),
        where=things[0].at,
        source_keys=(*clear_keys(placed), STEP),
    )
