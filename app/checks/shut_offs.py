"""Main switch, gas tap, stopcock: the clear depth and width before what shuts off."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon

from app.checks.snag import Snag
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.shapes import SpaceShape
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, falls_short
from app.wording import lower, phrase

SHUT_OFFS = {"consumer-unit": "main switch", "gas-tap": "gas tap", "water-stopcock": "stopcock"}
_SWITCH = "to-reach-the-main-switch"
STEP = "shut-off.stepped-over-mm"


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
    for placed in scene.order:
        for before in placed.shape.spaces:
            if before.space.to_reach and before.outward is not None:
                yield from _judged(scene, placed, before)


def clear_keys(placed: Placed) -> tuple[str, str]:
    """Return the keys of the depth and width that must be clear before a shut-off."""
    switch = any(shape.space.key == _SWITCH for shape in placed.shape.spaces)
    kind = "meter" if switch else "shut-off"
    return f"{kind}.depth-mm", f"{kind}.width-mm"


def _judged(scene: Scene, placed: Placed, before: SpaceShape) -> Iterator[Snag]:
    depth_key, width_key = clear_keys(placed)
    # what the maker's manual or an own row asks beyond the published depth counts as well
    depth = max(published(depth_key), before.space.least_mm)
    width = published(width_key)
    half = min(placed.extent.width_mm, width) / 2
    reach = width - half
    things = list(_things(scene, placed, before, depth, reach))
    if not things:
        return
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
        bounds.append(min(ahead, key=lambda thing: (round(thing.away_mm), thing.from_mm)))
    return max(bounds, key=lambda thing: round(thing.away_mm))


def _same(one_mm: float, other_mm: float) -> bool:
    return abs(one_mm - other_mm) <= HALF_MM


def _things(
    scene: Scene, placed: Placed, before: SpaceShape, depth_mm: float, reach_mm: float
) -> Iterator[_Thing]:
    """Yield what stands on the floor before a shut-off and is too high to step over.

    Of a piece that is, its low parts count as well: nobody steps onto the foot of a shelf.
    """
    assert before.outward is not None  # else nothing is kept clear before it
    ox, oy = before.outward
    frame = np.array([(ox, oy), (-oy, ox)])
    at, near, far = np.array(placed.at), before.edge_mm, before.edge_mm + depth_mm
    corners = [(near, -reach_mm), (near, reach_mm), (far, reach_mm), (far, -reach_mm)]
    lane = Polygon(np.array(corners) @ frame + at).buffer(-HALF_MM, join_style="mitre")
    solids = scene.solids
    low = scene.plan.room.floor.covering.thickness_mm + published(STEP)
    high = before.space.z[1]
    hits = np.sort(scene.tree.query(lane, predicate="intersects"))
    hits = hits[solids.low_mm[hits] < high - TOLERANCE_MM]
    too_high = {int(solids.owner[n]) for n in hits if solids.high_mm[n] > low + TOLERANCE_MM}
    for number in hits:
        owner = int(solids.owner[number])
        if owner < len(scene.order) and scene.order[owner].root == placed.root:
            continue
        if owner not in too_high:
            continue
        xy = shapely.get_coordinates(lane.intersection(solids.cores[number]))
        inside = (xy - at) @ frame.T
        nearest = int(inside[:, 0].argmin())
        yield _Thing(
            owner,
            float(inside[:, 1].min()) - HALF_MM,
            float(inside[:, 1].max()) + HALF_MM,
            max(float(inside[nearest, 0]) - HALF_MM - near, 0.0),
            (float(xy[nearest][0]), float(xy[nearest][1])),
        )


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
