"""What other kit hangs overhead where somebody trains: a heating panel, a bar under the joists.

A boiler or pegs on a wall hang over who stands on a box or deck there; over a mat they are beside
who lies on it.

What reaches lower is in the way of who works before a thing and is judged with its working space;
this is what only something raised comes to. Over a deck, or over floor that is all the thing, what
hangs counts however low it is: a runner's head meets the bar over the belt, and nobody who lies on
a mat minds the rings over it.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely import Polygon

from app.checks.hangers import hangs
from app.checks.layers import is_floor
from app.published.register import published, row
from app.scene.build import Placed, Scene
from app.scene.tolerance import Geometries

_RACKS = "Racks"
_BODY = "route.least-mm"
_HIGH = "space.to-mm"
"""What hangs higher is no hindrance in a working space, so no check of these asks of it."""


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


def lowest_over(
    scene: Scene, root: str, areas: Geometries, on: Placed | None = None
) -> list[tuple[float, Placed] | None]:
    """Return for each area how low the lowest part hangs that another station has over it, in mm.

    `root` is the station whose own parts do not count, `on` what one stands or lies on.
    """
    own = np.zeros(0, dtype=object) if on is None else stood_on(on)
    over = shapely.intersection(areas, shapely.union_all(own))
    # a floor of its own is lain on, and nothing on a wall is over that
    deck = over if on is not None and not has_floor(on) else np.full(len(areas), Polygon())
    high = published(_HIGH)
    lowest: list[tuple[float, Placed] | None] = [None] * len(areas)
    for placed in _hung(scene):
        if placed.root == root:
            continue
        lows = placed.shape.low_mm + placed.lift_mm
        where = areas if lows.min() >= high else deck if juts_out(placed) else over
        met = shapely.intersects(placed.polygons()[:, np.newaxis], where[np.newaxis, :])
        under = np.where(met, lows[:, np.newaxis], np.inf)
        for i, low in enumerate(under.min(axis=0).tolist()):
            before = lowest[i]
            if np.isfinite(low) and (before is None or low < before[0]):
                lowest[i] = low, placed
    return lowest


def has_floor(placed: Placed) -> bool:
    """Return whether a piece is floor to move on."""
    return any(is_floor(space.space) for space in placed.shape.spaces)


def _hung(scene: Scene) -> list[Placed]:
    high = published(_HIGH)
    known = scene.memo(
        ("hung over",),
        lambda: tuple(
            placed.piece.id
            for placed in scene.order
            if placed.kit.bar is None
            and len(placed.shape.low_mm)
            and (
                hangs(placed)
                or juts_out(placed)
                or placed.shape.low_mm.min() + placed.lift_mm >= high
            )
        ),
    )
    return [scene.placed[piece_id] for piece_id in known]
