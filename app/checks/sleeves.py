"""What stands beside a sleeve: a plate slides past it from the end of the bar to its collar.

The room beyond the end says whether a plate comes off at all, this whether it goes on all the way.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon

from app.checks.layers import layers
from app.checks.loading import SLEEVES, racked
from app.checks.snag import Snag
from app.published.register import published
from app.scene.bar_lengths import bar_of
from app.scene.build import Placed, Scene
from app.scene.shapes import turn, turned_points
from app.scene.tolerance import HALF_MM, heights_meet
from app.wording import lower

Floats = NDArray[np.float64]
PLATE = "plate.large-diameter-mm"
APART_DECIMALS = 1
"""What is nearer by less than a tenth of a millimetre is nearer by rounding."""


def beside_sleeves(scene: Scene) -> Iterator[Snag]:
    """Yield a `stop` for each sleeve on to which something beside it lets no plate.

    Walls are the business of `outside`, what a plate as it is drawn runs into that of `clashes`.
    """
    for number, bar in enumerate(scene.order):
        if not racked(scene, bar):
            continue
        for name, way in SLEEVES:
            snag = _beside(scene, number, name, way)
            if snag is not None:
                yield snag


def plate_mm(bar: Placed) -> float:
    """Return how large across the plates of a bar are: as typed, else the largest."""
    return bar.piece.plate_mm or published(PLATE)


def slid_over(bar: Placed, way: float) -> Polygon:
    """Return the floor under the plates that slide on to a sleeve, with the bar in the middle."""
    shape = bar_of(bar)
    assert shape is not None
    end, half = bar.extent.width_mm / 2 - HALF_MM, plate_mm(bar) / 2 - HALF_MM
    near = end - shape.sleeve_mm + 2 * HALF_MM
    corners = np.array([(near, -half), (end, -half), (end, half), (near, half)]) * (way, 1.0)
    return Polygon(turned_points(corners, bar.pose.angle_deg))


def lows_with_plates(scene: Scene) -> Floats:
    """Return from which height on each solid of a scene counts with plates all along its sleeves.

    One plate is drawn at each collar; where a second and a third go nothing must burn either.
    """

    def made() -> Floats:
        lows = scene.solids.low_mm.copy()
        for number, placed in enumerate(scene.order):
            if placed.kit.bar is None or not placed.in_use:
                continue
            mine = np.flatnonzero(scene.solids.owner == number)
            sleeves = mine[[part == "sleeve" for part in placed.shape.parts]]
            lows[sleeves] = np.minimum(lows[sleeves], heights_of_plates(placed)[0])
        return lows

    return scene.memo(("lows with plates",), made)


def heights_of_plates(bar: Placed) -> tuple[float, float]:
    """Return from and to which heights plates reach, in the lowest and the highest rest, in mm."""
    low, high = bar.rest_mm
    half = plate_mm(bar) / 2
    return bar.lift_mm + low - half, bar.lift_mm + high + half


def _beside(scene: Scene, number: int, name: str, way: float) -> Snag | None:
    """Find what is nearest to the bar beside a sleeve."""
    bar, solids = scene.order[number], scene.solids
    key = "slid over", bar.piece.id, *bar.at, bar.pose.angle_deg, way
    there = scene.memo(key, lambda: shapely.transform(slid_over(bar, way), lambda xy: xy + bar.at))
    hits = np.sort(scene.tree.query(there, predicate="intersects"))
    owners = solids.owner[hits]
    if not (owners != number).any():
        return None
    hits = hits[_strange(scene, number, owners) & ~layers(scene)[owners]]
    low, high = map(np.array, heights_of_plates(bar))
    hits = hits[heights_meet(low, high, solids.low_mm[hits], solids.high_mm[hits])]
    if not len(hits):
        return None
    common = shapely.intersection(there, solids.cores[hits])
    # a core is half a millimetre within the thing
    apart = shapely.distance(_axis(bar, way), common) - HALF_MM
    nearest = int(np.argmin(apart.round(APART_DECIMALS)))
    other, at = int(solids.owner[hits[nearest]]), common[nearest].centroid
    return _snag(scene, bar, name, other, max(float(apart[nearest]), 0.0), (at.x, at.y))


def _axis(bar: Placed, way: float) -> LineString:
    x, y = turn(way * bar.extent.width_mm / 2, 0.0, bar.pose.angle_deg)
    return LineString([bar.at, (bar.at[0] + x, bar.at[1] + y)])


def _strange(scene: Scene, number: int, owners: NDArray[np.intp]) -> NDArray[np.bool_]:
    """Return which are other pieces than those of the bar's station, or columns."""
    count, walls = len(scene.order), len(scene.room.walls)
    mates = np.where(owners < count, owners, number)
    strange: NDArray[np.bool_] = scene.roots[mates] != scene.roots[number]
    return strange | (owners >= count + walls)


def _snag(
    scene: Scene, bar: Placed, name: str, other: int, apart_mm: float, at: tuple[float, float]
) -> Snag:
    code = f"plate-beside-{name}"
    pieces: tuple[str, ...] = (bar.piece.id,)
    if is_column := other >= len(scene.order):
        what = scene.fixed_names[other - len(scene.order)]
        code = f"plate-beside-column-{name}"
    else:
        what = f"the {lower(scene.order[other].name)}"
        pieces += (scene.order[other].piece.id,)
    wanted = plate_mm(bar) / 2
    return Snag(
        code=code,
        hangs_on_place=True,
        while_training=True,
        meets=None if is_column else "kit",
        severity="stop",
        template="No plate slides on at its {} end: {} is {:mm} beside it, and a plate needs "
        "{:bare} all round.",
        values=(name, what, apart_mm, wanted),
        pieces=pieces,
        names=(bar.name, f"{name} end"),
        measured=round(apart_mm),
        required=round(wanted),
        where=at,
        source_keys=(PLATE,),
    )
