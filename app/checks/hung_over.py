"""What other kit hangs overhead where somebody trains: a bag, a bar under the joists, a shelf.

One rule for all movements: what rises in one meets whatever hangs over its floor lower than that.
What hangs from a ceiling hangs over all floor under it, however low it reaches: a head or a hand
meets it, and who lies on a mat minds no rings over it.
What juts out from a wall is over the hands of whoever lifts them there, and over the heads of those
who stand there: on a box or deck over that alone. What reaches below a shoulder is beside them, as
the working spaces tell, and over who stands on a box or deck alone; and all on a wall is beside who
lies on a mat.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

import numpy as np
import shapely
from shapely import Polygon

from app.checks.hangers import hangs
from app.checks.layers import is_floor
from app.published.register import published, row
from app.scene.build import Placed, Scene
from app.scene.tolerance import Geometries, falls_short

_RACKS = "Racks"
_BODY = "route.least-mm"
_SHOULDER, _GROWN = "body.shoulder-height-ratio", "spotter.stature-mm"
"""Whose shoulder: that of the shortest who is taken for grown up."""
_HIGH = "space.to-mm"
"""What hangs higher is no hindrance in a working space, so no check of these asks of it."""

Over = Literal["all", "upright", "deck"]
"""Whom a piece hangs over: all who are under it, who is upright there, who is on a deck there."""


def hung_places(scene: Scene) -> tuple[tuple[object, ...], ...]:
    """Return where everything is that hangs over people's heads: what answers hang on."""
    return tuple((one.piece.id, *one.at, one.pose.angle_deg) for one in _hung(scene))


def stood_on(placed: Placed) -> Geometries:
    """Return the floor or deck of a piece over which whatever hangs is overhead; none in a rack."""
    if placed.kit.group == _RACKS:
        return np.zeros(0, dtype=object)
    floors = [space.core for space in placed.shape.spaces if is_floor(space.space)]
    flat: Geometries = np.array(floors or [placed.shape.footprint], dtype=object)
    moved: Geometries = shapely.transform(flat, lambda xy: xy + np.array(placed.at))
    return moved


def juts_out(placed: Placed) -> bool:
    """Return whether a piece on a wall comes out over who stands with their back to that.

    What is less deep than half a body is as near as the wall.
    """
    if placed.kit.fixing != "wall" or not len(placed.shape.low_mm):
        return False
    deep = placed.extent.depth_mm > row(_BODY).value / 2
    return deep and float(placed.shape.low_mm.min()) > 0


def hangs_over(placed: Placed) -> Over | None:
    """Return whom a piece hangs over, None for what is overhead to nobody."""
    if placed.kit.bar is not None or not len(placed.shape.low_mm):
        return None
    low = float(placed.shape.low_mm.min()) + placed.lift_mm
    if hangs(placed) or low >= published(_HIGH):
        return "all"
    if not juts_out(placed):
        return None
    return "deck" if falls_short(low, shoulder_mm()) else "upright"


def shoulder_mm() -> float:
    """Return how high the shoulder of the shortest who is taken for grown up is, in mm."""
    return row(_SHOULDER).value * row(_GROWN).value


def under(placed: Placed, areas: Geometries, held: Sequence[bool]) -> dict[Over, Geometries]:
    """Return the floor over which each kind of what hangs is met by parts of a movement.

    `areas` are those of the parts, done on or before a piece, and `held` tells which of these are
    hands or in them.
    """
    if has_floor(placed):
        # a floor of its own is lain on, and nothing on a wall is over that
        none = np.full(len(areas), Polygon())
        return {"all": areas, "upright": none, "deck": none}
    own = shapely.union_all(stood_on(placed))
    on_it = shapely.intersection(areas, own)
    # a head is where the body is, what is held beyond that too
    stays = ~np.array(held, dtype=bool) & shapely.intersects(shapely.centroid(areas), own)
    return {"all": areas, "upright": np.where(stays, on_it, areas), "deck": on_it}


def lowest_over(
    scene: Scene, root: str, floors: Mapping[Over, Geometries]
) -> list[tuple[float, Placed] | None]:
    """Return for each part how low the lowest hangs that another station has over it, in mm.

    `root` is the station whose own parts do not count, `floors` those of the parts by `under`.
    """
    lowest: list[tuple[float, Placed] | None] = [None] * len(floors["all"])
    for placed in _hung(scene):
        if placed.root == root:
            continue
        over = hangs_over(placed)
        assert over is not None
        where, lows = floors[over], placed.shape.low_mm + placed.lift_mm
        met = shapely.intersects(placed.polygons()[:, np.newaxis], where[np.newaxis, :])
        hanging = np.where(met, lows[:, np.newaxis], np.inf)
        for i, low in enumerate(hanging.min(axis=0).tolist()):
            before = lowest[i]
            if np.isfinite(low) and (before is None or low < before[0]):
                lowest[i] = low, placed
    return lowest


def has_floor(placed: Placed) -> bool:
    """Return whether a piece is floor to move on."""
    return any(is_floor(space.space) for space in placed.shape.spaces)


def _hung(scene: Scene) -> list[Placed]:
    known = scene.memo(
        ("hung over",),
        lambda: tuple(one.piece.id for one in scene.order if hangs_over(one) is not None),
    )
    return [scene.placed[piece_id] for piece_id in known]
