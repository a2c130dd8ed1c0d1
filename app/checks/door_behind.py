"""A door that opens to behind a belt: who opens it meets who steps or falls off there."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from app.checks.snag import Snag, space_sources
from app.scene.build import Scene
from app.scene.naming import opening_name
from app.scene.tolerance import HALF_MM
from app.wording import lower


def door_behind(scene: Scene) -> Iterator[Snag]:
    """Yield a note for each hinged door whose leaf swings into the run-off of a belt.

    Most days it stays shut while somebody runs, so the run-off is none the shorter for it.
    """
    falls = np.flatnonzero([s.space.kind == "fall-off" for s in scene.spaces.shapes])
    for shape in scene.room.openings if len(falls) else ():
        leaves = [sweep.polygon for sweep in shape.sweeps if sweep.hinge is not None]
        swept = shapely.union_all(leaves).buffer(-HALF_MM, join_style="mitre")
        for space in falls[shapely.intersects(scene.spaces.cores[falls], swept)].tolist():
            owner = scene.order[int(scene.spaces.owner[space])]
            row = scene.spaces.shapes[space].space
            common = shapely.intersection(scene.spaces.cores[space], swept).centroid
            yield Snag(
                code=f"door-behind-{shape.opening.id}",
                hangs_on_place=True,
                while_training=True,
                severity="note",
                background=True,
                template="The {} opens to where somebody steps or falls off: knock first, or hang "
                "it to open out.",
                values=(lower(opening_name(scene, shape)),),
                pieces=(owner.piece.id,),
                names=(owner.name, lower(opening_name(scene, shape))),
                unit=None,
                where=(common.x, common.y),
                opening=shape.opening.id,
                source_keys=space_sources(owner.kit, row),
            )
