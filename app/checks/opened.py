"""What opens upwards while it is used, such as the lid of a freezer: room above it to do so."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon, box

from app.checks.snag import Snag, kit_key
from app.library.anchors import Extent
from app.library.kit import KitState
from app.published.register import published
from app.scene.build import Placed, Scene, in_state
from app.scene.shapes import turned
from app.scene.tolerance import HALF_MM, Geometries, falls_short
from app.units import QUARTER_TURN_DEG
from app.wording import lower

OPEN_DEG = "lid.open-deg"
_LID = "lid"
_ON_ITS_WAY = "on its way open"
_STRIPS = 128
"""Strips of a lid, each as high as it gets anywhere in it: of a lid of 640 they err by 3 mm at half
its depth, towards asking for more."""

Floats = NDArray[np.float64]


class Risen(NamedTuple):
    """What of a piece is higher once it is open: areas about its middle, and how high each gets.

    Heights are above its own foot, in mm; `upright` tells which are of what stands open, not of a
    lid on its way there.
    """

    areas: Geometries
    tops_mm: Floats
    upright: NDArray[np.bool_]


class _Over(NamedTuple):
    """What is over one of these areas: its underside and what it is, by the piece if it is one."""

    spare_mm: float
    top_mm: float
    under_mm: float
    what: str
    piece: str | None
    upright: bool


def opened(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each piece that meets something above it once it is open.

    A piece that is drawn open is judged as it stands.
    """
    for placed in scene.order:
        for state in opens_in(placed):
            snag = _judged(scene, placed, state)
            if snag is not None:
                yield snag


def opens_in(placed: Placed) -> tuple[KitState, ...]:
    """Return the states that a piece is opened into where it stands shut."""
    if placed.piece.state is not None:
        return ()
    return tuple(state for state in placed.kit.states if state.usable)


def risen(placed: Placed, state: KitState, strips: int = _STRIPS) -> Risen | None:
    """Return what of a piece rises in a state; None where nothing does.

    A lid is hinged at the back, and swept all the way: in so many strips from there to the front.
    """
    shape = in_state(placed, state.key).shape
    up = shape.high_mm > float(placed.shape.high_mm.max())
    if not up.any():
        return None
    lid = up & (np.array(shape.parts) == _LID)
    if published(OPEN_DEG) < QUARTER_TURN_DEG:
        # it never stands upright
        up &= ~lid
    areas, tops = shape.cores[up], shape.high_mm[up]
    upright = np.ones(len(areas), dtype=bool)
    if lid.any():
        swept, heights = _swept(placed.extent, strips)
        there = [turned(one, placed.pose.angle_deg) for one in swept]
        areas = np.concatenate([areas, np.array(there, dtype=object)])
        tops = np.concatenate([tops, float(shape.low_mm[lid].min()) + heights])
        upright = np.concatenate([upright, np.zeros(len(there), dtype=bool)])
    return Risen(areas, tops, upright)


def _swept(extent: Extent, strips: int) -> tuple[list[Polygon], Floats]:
    """Return strips of the floor under a lid, and how high above its hinge it gets over each.

    What is so far from the hinge gets highest where the lid's own edge passes, or as far up as the
    lid is opened.
    """
    long, angle = extent.depth_mm, math.radians(published(OPEN_DEG))
    across = extent.width_mm / 2 - HALF_MM
    ends = np.linspace(HALF_MM, long - HALF_MM, strips + 1)
    near, far, edge = ends[:-1], ends[1:], long * math.cos(angle)
    heights = np.sqrt(long**2 - np.maximum(near, edge) ** 2)
    under = far < edge
    heights[under] = far[under] * math.tan(angle)
    back = -extent.depth_mm / 2
    areas = [box(-across, back + a, across, back + b) for a, b in zip(near, far, strict=True)]
    return areas, heights


def _judged(scene: Scene, placed: Placed, state: KitState) -> Snag | None:
    known = ("opened shape", state.key, placed.piece.id, placed.pose.angle_deg)
    made = scene.memo(known, lambda: risen(placed, state))
    if made is None:
        return None
    areas: Geometries = shapely.transform(made.areas, lambda xy: xy + placed.at)
    tops = made.tops_mm + placed.lift_mm
    key = ("opened", state.key, placed.piece.id, *placed.at, placed.pose.angle_deg)
    room = scene.memo(key, partial(_room_over, scene, areas, tops, made.upright))
    things = _things_over(scene, placed, areas, tops, made.upright)
    worst = min((room, *things), key=lambda one: (one.spare_mm, one.what))
    if not falls_short(worst.spare_mm, 0.0):
        return None
    comes = "{:cap} it comes to {:bare}" if worst.upright else "{:cap} it swings up to {:bare}"
    return Snag(
        code=f"opened-{state.key}",
        hangs_on_place=True,
        severity="care",
        template=f"{comes}; {{}} is at {{:mm}} over it.",
        values=(
            state.name if worst.upright else _ON_ITS_WAY,
            worst.top_mm,
            worst.what,
            worst.under_mm,
        ),
        pieces=(placed.piece.id, *((worst.piece,) if worst.piece else ())),
        names=(placed.name, state.name),
        measured=round(worst.under_mm),
        required=round(worst.top_mm),
        where=placed.at,
        source_keys=(kit_key(placed.kit.key, state.key), OPEN_DEG),
    )


def _room_over(scene: Scene, areas: Geometries, tops: Floats, upright: NDArray[np.bool_]) -> _Over:
    clear, cause = scene.overhead.clear(areas)
    least = int((clear - tops).argmin())
    item = int(cause[least])
    what = f"the {lower(scene.overhead.items[item].name)}" if item >= 0 else "the sky"
    over, top = float(clear[least]), float(tops[least])
    return _Over(over - top, top, over, what, None, bool(upright[least]))


def _things_over(
    scene: Scene, placed: Placed, areas: Geometries, tops: Floats, upright: NDArray[np.bool_]
) -> Iterator[_Over]:
    """Yield the pieces that hang over where something rises, above what it is when shut."""
    solids = scene.solids
    shut = float(placed.shape.high_mm.max()) + placed.lift_mm
    for area, hit in scene.tree.query(areas, predicate="intersects").T.tolist():
        if hit >= scene.piece_solids:
            continue
        other, low = scene.order[int(solids.owner[hit])], float(solids.low_mm[hit])
        if other is not placed and low >= shut:
            top, name = float(tops[area]), f"the {lower(other.name)}"
            yield _Over(low - top, top, low, name, other.piece.id, bool(upright[area]))
