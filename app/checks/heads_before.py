"""Before a rack: who stands or steps out there meets what hangs lower than the tallest head.

What hangs no lower than a shoulder leaves the floor free: it is a matter of heads, not of room. So
is a beam, a duct or a lamp of the room, right up to the posts.
"""

from __future__ import annotations

from collections.abc import Iterator
from operator import itemgetter

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from app.checks.hangers import hung_solids
from app.checks.hung_over import shoulder_mm
from app.checks.one_fault import HEADS_BEFORE
from app.checks.snag import Snag, agreeing
from app.library.kit import Space
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.routes import head_mm
from app.scene.tolerance import TOLERANCE_MM, falls_short
from app.wording import lower

_SPARE = "route.overhead-spare-mm"
_RACKS = "Racks"
_CEILING = frozenset({"ceiling", "joist"})
"""What is as low everywhere: who cannot stand upright under that knows it of the whole room."""
_Low = tuple[float, str, str | None, tuple[float, float]]
"""What hangs low: how high in mm, its name, its piece if it is one, and where."""


def before_racks(scene: Scene) -> NDArray[np.bool_]:
    """Return which working spaces are floor before a rack, on which people stand upright."""
    owners = (scene.order[owner] for owner in scene.spaces.owner)
    return np.array(
        [
            placed.kit.group == _RACKS
            and shape.space.kind == "body"
            and shape.space.side == "front"
            for placed, shape in zip(owners, scene.spaces.shapes, strict=True)
        ],
        dtype=bool,
    )


def over_shoulders(scene: Scene) -> NDArray[np.bool_]:
    """Return which solids hang from above no lower than a shoulder: those that heads meet.

    None where there are no people: nobody's height is known then.
    """
    high: NDArray[np.bool_] = ~falls_short(scene.solids.low_mm, shoulder_mm())
    return high & hung_solids(scene) & bool(scene.plan.people)


def heads_before(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each rack before which something hangs too low for the tallest head."""
    if not scene.plan.people:
        return
    needed = head_mm(scene) + published(_SPARE)
    spaces = scene.spaces
    before: NDArray[np.bool_] = scene.memo(("before racks",), lambda: before_racks(scene))
    for number in np.flatnonzero(before).tolist():
        placed, floor = scene.order[spaces.owner[number]], spaces.cores[number]
        low = min(
            [*_hung(scene, placed, floor), *_of_room(scene, floor)], default=None, key=itemgetter(0)
        )
        if low is not None and falls_short(low[0], needed):
            yield _snag(placed, spaces.shapes[number].space, low, needed)


def _hung(scene: Scene, placed: Placed, floor: Polygon) -> Iterator[_Low]:
    """Yield how low what is no part of a station hangs over a floor, a shoulder high or more.

    What reaches lower there takes of the floor, and is said to do so.
    """
    solids = scene.solids
    hung = np.flatnonzero(hung_solids(scene))
    there = hung[shapely.intersects(solids.cores[hung], floor)]
    lowest: dict[int, int] = {}
    # the last one stands, the lowest
    for number in there[np.argsort(-solids.low_mm[there], kind="stable")].tolist():
        lowest[int(solids.owner[number])] = number
    for owner, number in lowest.items():
        other, low = scene.order[owner], float(solids.low_mm[number])
        if other.root != placed.root and not falls_short(low, shoulder_mm()):
            at = solids.cores[number].intersection(floor).representative_point()
            yield low, other.name, other.piece.id, (at.x, at.y)


def _of_room(scene: Scene, floor: Polygon) -> Iterator[_Low]:
    """Yield how low what is fixed under the ceiling hangs over a floor: a beam, a duct, a lamp."""
    for item in scene.overhead.items:
        if item.kind in _CEILING:
            continue
        part = item.polygon.intersection(floor)
        if part.area > TOLERANCE_MM:
            at = part.representative_point()
            yield float(item.heights(part).min()), item.name, None, (at.x, at.y)


def _snag(placed: Placed, space: Space, low: _Low, needed_mm: float) -> Snag:
    height, name, piece_id, where = low
    return Snag(
        code=HEADS_BEFORE,
        hangs_on_place=True,
        while_training=True,
        severity="care",
        template="The {} at {:mm} there: the tallest head in shoes needs {:bare}.",
        values=(agreeing(lower(name), "hangs", "hang"), height, needed_mm),
        pieces=(placed.piece.id,) if piece_id is None else (placed.piece.id, piece_id),
        names=(placed.name, space.name),
        measured=round(height),
        required=round(needed_mm),
        where=where,
        against=name if piece_id is None else piece_id,
        source_keys=(_SPARE, "body.shoe-mm"),
    )
