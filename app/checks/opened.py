"""What opens upwards while it is used, such as the lid of a freezer: room above it to do so."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np
import shapely

from app.checks.snag import Snag, kit_key
from app.library.kit import KitState
from app.scene.build import Placed, Scene, in_state
from app.scene.tolerance import Geometries, falls_short
from app.wording import lower

Over = tuple[float, str, str | None]
"""The underside of what is overhead in mm, what that is, and its piece if it is one."""


def opened(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each piece that meets something above it once it is open.

    A piece that is drawn open is judged as it stands.
    """
    for placed in scene.order:
        if placed.piece.state is None:
            for state in placed.kit.states:
                snag = _judged(scene, placed, state) if state.usable else None
                if snag is not None:
                    yield snag


def _judged(scene: Scene, placed: Placed, state: KitState) -> Snag | None:
    known = ("opened shape", state.key, placed.piece.id, placed.pose.angle_deg)
    shape = scene.memo(known, lambda: in_state(placed, state.key).shape)
    shut = float(placed.shape.high_mm.max())
    rises = shape.high_mm > shut
    if not rises.any():
        return None
    cores: Geometries = shapely.transform(shape.cores[rises], lambda xy: xy + placed.at)
    top = float(shape.high_mm[rises].max()) + placed.lift_mm
    key = ("opened", state.key, placed.piece.id, *placed.at, placed.pose.angle_deg)
    room: Over = scene.memo(key, partial(_room_over, scene, cores))
    over, what, other = min((room, *_things_over(scene, placed, cores, shut)))
    if not falls_short(over, top):
        return None
    return Snag(
        code=f"opened-{state.key}",
        hangs_on_place=True,
        severity="care",
        template="{:cap} it comes to {:bare}; {} is at {:mm} over it.",
        values=(state.name, top, what, over),
        pieces=(placed.piece.id, *((other,) if other else ())),
        names=(placed.name, state.name),
        measured=round(over),
        required=round(top),
        where=placed.at,
        source_keys=(kit_key(placed.kit.key, state.key),),
    )


def _room_over(scene: Scene, cores: Geometries) -> Over:
    clear, cause = scene.overhead.clear(cores)
    least = int(clear.argmin())
    return float(clear[least]), f"the {lower(scene.overhead.items[int(cause[least])].name)}", None


def _things_over(scene: Scene, placed: Placed, cores: Geometries, shut_mm: float) -> Iterator[Over]:
    """Yield the pieces that hang over where something rises, above what it is when shut."""
    solids = scene.solids
    _, hits = scene.tree.query(cores, predicate="intersects")
    for hit in np.unique(hits[hits < scene.piece_solids]):
        other = scene.order[int(solids.owner[hit])]
        low = float(solids.low_mm[hit])
        if other is not placed and low >= shut_mm + placed.lift_mm:
            yield low, f"the {lower(other.name)}", other.piece.id
