"""Lines of what is counted or measured off the plan, in packs of one kind."""

from __future__ import annotations

import math
from collections.abc import Sequence

from app.scene.build import Scene
from app.takeoff.buying import cheapest
from app.takeoff.line import PRACTICE, Gathered, Line, Part, Step, offers

PIECE = "pc"
"""The unit of what comes by the piece: nobody sells half of one."""

_HAIR = 1e-9
"""What a count may lie above a whole number by the rounding of floating point."""


def counted(
    scene: Scene,
    gathered: Gathered,
    *,
    key: str,
    part: Part,
    item: str,
    where: str,
    net: float,
    unit: str,
    pack: str | Sequence[str],
    waste: float = 0.0,
    rate: str = PRACTICE,
    working: tuple[Step, ...] = (),
    assumed: bool = False,
    notes: tuple[str, ...] = (),
    was: tuple[str, ...] = (),
) -> Line:
    """Return a line in the cheapest packs of one kind; pieces are counted up to whole ones.

    `pack` is the one it is sold in, or those of several sizes.
    """
    if unit == PIECE:
        net, waste = math.ceil(net - _HAIR), math.ceil(waste - _HAIR)
    packs = offers(scene.plan, [pack] if isinstance(pack, str) else pack, gathered.problems)
    return Line(
        key=key,
        part=part,
        item=item,
        where=where,
        net=net,
        waste=waste,
        unit=unit,
        bought=cheapest(net + waste, packs) if packs else (),
        rate=rate,
        working=working or (Step("measured or counted", net, unit),),
        assumed=assumed,
        notes=notes,
        was=was,
    )
