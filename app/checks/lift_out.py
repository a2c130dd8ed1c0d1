"""Bars kept upright: the whole length of the bar and what it is lifted by, wherever it comes out.

Between joists a holder may stand with its bars and yet no bar come out: over the holder and the
place before it there must be room for the longest bar.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np
import shapely

from app.checks.boarding import TODAY, fits_today
from app.checks.snag import Snag
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.tolerance import TOLERANCE_MM, falls_short
from app.wording import lower

HOLDER = "bar-holder"
_LIFT = "bar.upright-lift-out-mm"


def lift_out(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each upright holder out of which the longest bar cannot be lifted.

    A stop where a bar that is there is longer than there is height to stand it up.
    """
    for placed in scene.order:
        if placed.kit.key == HOLDER and placed.in_use:
            key = ("lift-out", placed.piece.id, placed.pose)
            snag = scene.memo(key, partial(_judged, scene, placed))
            if snag is not None:
                yield snag


def _longest(scene: Scene, holder: Placed) -> Placed | None:
    """Return the longest bar that is kept in a holder, or may be: what lies on a rest has none."""
    bars = [
        placed
        for placed in scene.order
        if placed.kit.bar is not None and placed.root in (holder.root, placed.piece.id)
    ]
    return max(bars, key=lambda bar: bar.extent.width_mm, default=None)


def _longest_mm(scene: Scene) -> float:
    """Return the longest bar of the plan in mm, the usual long one where there is none."""
    bars = [placed.extent.width_mm for placed in scene.order if placed.kit.bar is not None]
    return max(bars, default=published("bar.long.length-mm"))


def upright_mm(scene: Scene) -> float:
    """Return how high the longest bar of the plan reaches while it is lifted out, in mm."""
    return _longest_mm(scene) + published(_LIFT)


def _judged(scene: Scene, placed: Placed) -> Snag | None:
    length, lift = _longest_mm(scene), published(_LIFT)
    needed = placed.lift_mm + length + lift
    own = scene.spaces.cores[scene.spaces.owner == scene.order.index(placed)]
    both = np.array([placed.footprint, shapely.union_all([placed.footprint, *own])], dtype=object)
    clear, cause = scene.overhead.clear(shapely.buffer(both, -TOLERANCE_MM, join_style="mitre"))
    at_holder, over = clear.tolist()
    top = placed.lift_mm + placed.extent.height_mm
    # a holder higher than the room is said as such
    if not falls_short(over, needed) or falls_short(at_holder, top):
        return None
    name = scene.overhead.items[int(cause[1])].name
    over_it = "the ceiling" if name == "ceiling" else f"the {lower(name)}"
    bar = _longest(scene, placed)
    if bar is not None and falls_short(at_holder, placed.lift_mm + bar.extent.width_mm):
        return _cannot_stand(placed, bar, over_it, at_holder)
    bare, _ = scene.room.bare.clear(shapely.buffer(both[1:], -TOLERANCE_MM, join_style="mitre"))
    today = fits_today(scene, lambda: float(bare[0]), needed)
    return Snag(
        code="bar-lift-out",
        hangs_on_place=True,
        severity="care",
        template="{}: a bar of {:bare} is lifted {:bare} to come out, so it needs {:mm} here; "
        "under {} there are {:bare}{}.",
        values=(
            placed.name,
            length,
            lift,
            needed,
            over_it,
            over,
            f"; {TODAY}" if today else "",
        ),
        pieces=(placed.piece.id,),
        names=(placed.name, "taking a bar out"),
        measured=round(over),
        required=round(needed),
        where=placed.at,
        source_keys=(_LIFT, "bar.long.length-mm"),
    )


def _cannot_stand(placed: Placed, bar: Placed, over_it: str, clear_mm: float) -> Snag:
    length = placed.lift_mm + bar.extent.width_mm
    return Snag(
        code="bar-stands-too-high",
        hangs_on_place=True,
        severity="stop",
        template="{}: the {} is {:bare} long and does not stand in it: under {} there are {:mm}.",
        values=(placed.name, lower(bar.name), length, over_it, clear_mm),
        pieces=(placed.piece.id, bar.piece.id),
        names=(placed.name, "bars upright"),
        measured=round(clear_mm),
        required=round(length),
        where=placed.at,
        source_keys=("scene.touch-tolerance-mm",),
    )
