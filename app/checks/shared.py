"""Floor that stations share: said once, in one line."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from shapely import STRtree

from app.checks.snag import Snag, lower
from app.scene.build import Scene


def shared(scene: Scene) -> Iterator[Snag]:
    """Yield one note naming how many pairs of stations use the same floor in turn."""
    spaces = scene.spaces
    if len(spaces.cores) < 2:
        return
    one, other = STRtree(spaces.cores).query(spaces.cores, predicate="intersects")
    roots = scene.roots[spaces.owner]
    first, second = roots[one], roots[other]
    apart = first < second
    pairs = np.unique(np.stack([first[apart], second[apart]], axis=1), axis=0)
    if not len(pairs):
        return
    named = [
        f"{lower(scene.order[a].name)} and {lower(scene.order[b].name)}" for a, b in pairs[: 2 + 1]
    ]
    more = len(pairs) - len(named)
    tail = f", and {more} more" if more else ""
    count = "Two stations share" if len(pairs) == 1 else f"{len(pairs)} pairs of stations share"
    yield Snag(
        code="shared-in-turn",
        severity="note",
        template="{} floor and are used in turn: {}{}.",
        values=(count, "; ".join(named), tail),
        names=("used in turn",),
        measured=len(pairs),
        unit="pairs",
        source_keys=("access.recommended-mm",),
    )
