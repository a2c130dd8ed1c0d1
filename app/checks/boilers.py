"""What stands under a boiler on the wall: pipes and taps there must be got at."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from app.checks.snag import Snag
from app.published.register import published
from app.scene.build import Scene
from app.scene.tolerance import HALF_MM, falls_short
from app.wording import lower

_BOILER = "boiler"
_BELOW = "boiler.below-mm"


def boilers(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each boiler with something under it that comes up too near."""
    for placed in scene.order:
        if placed.kit.key != _BOILER or not len(placed.shape.low_mm):
            continue
        bottom = float(placed.shape.low_mm.min()) + placed.lift_mm
        solids, core = scene.solids, placed.footprint.buffer(-HALF_MM, join_style="mitre")
        hits = np.sort(scene.tree.query(core, predicate="intersects"))
        hits = hits[hits < scene.piece_solids]
        hits = hits[scene.roots[solids.owner[hits]] != scene.roots[scene.order.index(placed)]]
        hits = hits[solids.low_mm[hits] < bottom]
        if not len(hits):
            continue
        highest = hits[int(np.argmax(np.round(solids.high_mm[hits])))]
        free = bottom - float(solids.high_mm[highest])
        # what reaches into the boiler itself is said as that
        if free < 0 or not falls_short(free, published(_BELOW)):
            continue
        under = scene.order[int(solids.owner[highest])]
        common = shapely.intersection(core, solids.cores[highest]).centroid
        yield Snag(
            code="below-boiler",
            hangs_on_place=True,
            severity="care",
            template="{:mm} under it to the {}. Allow {:bare} for pipes and taps.",
            values=(free, lower(under.name), published(_BELOW)),
            pieces=(placed.piece.id, under.piece.id),
            names=(placed.name, "below it"),
            measured=round(free),
            required=round(published(_BELOW)),
            where=(common.x, common.y),
            source_keys=(_BELOW,),
        )
