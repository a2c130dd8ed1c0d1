"""Sockets: what draws much power stands within a cord of one, without a lead over the floor."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely

from app.checks.snag import Snag
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.loads import loads, outlets
from app.units import KILO
from app.wording import lower

_METRE = KILO
_WIRED = ("wall", "ceiling")


def sockets_in_reach(scene: Scene) -> Iterator[Snag]:
    """Yield one care of all that a cord cannot reach from any socket, along the plan."""
    if not scene.plan.room.sockets:
        return
    least = published("electric.lead-matters-w")
    movable = scene.memo(
        ("needs-socket",),
        lambda: tuple(
            load.placed.piece.id
            for load in loads(scene)
            if load.watts >= least
            and load.placed.kit.fixing not in _WIRED
            and not load.placed.piece.stays
        ),
    )
    if not movable:
        return
    points = scene.memo(("outlets",), lambda: shapely.multipoints(outlets(scene)))
    cord = published("electric.cord-mm")
    far = []
    for piece_id in movable:
        placed = scene.placed[piece_id]
        away = float(shapely.distance(points, placed.footprint))
        if away > cord:
            far.append((away, placed))
    if far:
        yield _far(far, cord)


def _far(far: Sequence[tuple[float, Placed]], cord: float) -> Snag:
    most, worst = max(far, key=lambda pair: pair[0])
    names = " and ".join(lower(placed.name) for _, placed in far)
    return Snag(
        code="socket-reach",
        eased_by=frozenset({"socket"}),
        hangs_on_place=True,
        severity="care",
        template="{}: the nearest socket is {:metres} off, a cord is about {:bare-metres}. Have an "
        "electrician put a socket there; a lead over the floor trips people and heats up.",
        values=(names[:1].upper() + names[1:], most, cord),
        pieces=tuple(placed.piece.id for _, placed in far),
        names=("sockets", *(lower(placed.name) for _, placed in far)),
        measured=round(most),
        required=round(cord),
        where=worst.at,
        source_keys=("electric.cord-mm", "electric.lead-matters-w"),
    )
