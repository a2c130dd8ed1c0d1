"""Sockets: what draws much power stands within a cord of one, and no heater under one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely

from app.checks.snag import Snag, is_many
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.loads import loads, outlets
from app.units import KILO
from app.wording import lower

_METRE = KILO
_WIRED = ("wall", "ceiling")
_HEATER = "heater"
_UNDER = "heater.under-socket-mm"


def sockets_in_reach(scene: Scene) -> Iterator[Snag]:
    """Yield one care of all that a cord cannot reach from any socket, and heaters under one."""
    if not scene.plan.room.sockets:
        return
    yield from _heaters_under(scene)
    least = published("electric.lead-matters-w")
    movable = scene.memo(
        ("needs-socket",),
        lambda: tuple(
            (load.placed.piece.id, load.watts >= least)
            for load in loads(scene)
            if load.placed.kit.fixing not in _WIRED and not load.placed.piece.stays
        ),
    )
    if not movable:
        return
    points = scene.memo(("outlets",), lambda: shapely.multipoints(outlets(scene)))
    cord = published("electric.cord-mm")
    far: list[tuple[float, Placed]] = []
    little: list[tuple[float, Placed]] = []
    for piece_id, much in movable:
        placed = scene.placed[piece_id]
        away = float(shapely.distance(points, placed.footprint))
        if away > cord:
            (far if much else little).append((away, placed))
    if far:
        yield _far(far, cord)
    if little:
        yield _on_a_lead(little, cord)


def _heaters_under(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each heater right below a socket: what is plugged in there gets hot."""
    before = published(_UNDER)
    walls = {wall.id: wall for wall in scene.room.walls}
    for placed in scene.order:
        if placed.kit.key != _HEATER or not placed.in_use:
            continue
        top = float(placed.shape.high_mm.max()) + placed.lift_mm
        for socket, at in zip(scene.plan.room.sockets, outlets(scene), strict=True):
            dx, dy = walls[socket.wall].inward
            strip = shapely.LineString([(at.x, at.y), (at.x + dx * before, at.y + dy * before)])
            if socket.height_mm > top and shapely.intersects(strip, placed.footprint):
                yield _below(placed)
                break


def _below(placed: Placed) -> Snag:
    return Snag(
        code="heater-under-socket",
        hangs_on_place=True,
        severity="care",
        template="{} right below a socket: plug and cord get hot there. Move it to one side.",
        values=(f"{placed.name} {'stand' if is_many(placed.name) else 'stands'}",),
        pieces=(placed.piece.id,),
        names=(placed.name, "socket"),
        unit=None,
        where=placed.at,
        source_keys=(_UNDER,),
    )


def _on_a_lead(far: Sequence[tuple[float, Placed]], cord: float) -> Snag:
    """Return one note of what heats no lead, but has one that people trip over."""
    most, worst = max(far, key=lambda pair: pair[0])
    names = " and ".join(dict.fromkeys(lower(placed.name) for _, placed in far))
    return Snag(
        code="lead-over-the-floor",
        background=True,
        hangs_on_place=True,
        severity="note",
        template="{}: the nearest socket is {:metres} off, a cord is about {:bare-metres}. A lead "
        "over the floor trips people: run it along the wall.",
        values=(names[:1].upper() + names[1:], most, cord),
        pieces=tuple(placed.piece.id for _, placed in far),
        names=("leads",),
        measured=round(most),
        required=round(cord),
        where=worst.at,
        source_keys=("electric.cord-mm",),
    )


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
