"""The room in one bay of a section: floor, walls and what really hangs over the movement.

The cut runs along the way the person faces. Seen is what lies over the strip that the deciding
part sweeps: where a joist or a slope lies across that strip its lowest edge counts, as for the
verdict. Side view in mm: x from the middle of the movement, z up from the bare floor.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.drawing.body import Spot
from app.drawing.section_bay import Bay
from app.scene.build import Placed, Scene
from app.scene.overhead import Above

_SKY_MM = 1e5
_SAME_MM = 1.0
"""Heights that differ by less are one, as a tape tells them."""
Floats = NDArray[np.float64]
_THICK_MM = {"ceiling": 70.0, "door": 45.0, "opener": 160.0, "light": 70.0, "pipe": 90.0}


@dataclass(frozen=True, slots=True)
class Hung:
    """One thing overhead as the section shows it: its underside from left to right."""

    kind: str
    name: str
    under: tuple[Spot, ...]
    thick_mm: float

    @property
    def area(self) -> Polygon:
        """The cut face."""
        top = [(x, z + self.thick_mm) for x, z in reversed(self.under)]
        return Polygon([*self.under, *top])

    @property
    def wide_mm(self) -> float:
        """How far it runs along the section."""
        return self.under[-1][0] - self.under[0][0]


def swept(bay: Bay) -> tuple[float, float]:
    """Return from where to where the deciding part sweeps along the section."""
    along = _along(bay, shapely.get_coordinates(bay.area))[:, 0]
    return float(along.min()), float(along.max())


def overhead(scene: Scene, bay: Bay, left: float, right: float) -> tuple[Hung, ...]:
    """Return all that hangs over the strip between two places along the section."""
    sides = _along(bay, shapely.get_coordinates(bay.area))[:, 1]
    low, high = float(sides.min()) + 1, float(sides.max()) - 1
    strip = _to_room(bay, [(left, low), (right, low), (right, high), (left, high)])
    hung = []
    for item in bay.overhead.items:
        for part in shapely.get_parts(item.polygon.intersection(strip)):
            if isinstance(part, Polygon) and not part.is_empty:
                under = _underside(bay, item, part)
                if under[-1][0] - under[0][0] > 1:
                    hung.append(Hung(item.kind, item.name, under, _thick(scene, bay, item, under)))
    return tuple(hung)


def ceiling(hung: Sequence[Hung]) -> tuple[BaseGeometry, tuple[tuple[Spot, ...], ...]]:
    """Return the cut face of the ceiling and the runs of its underside.

    Where planes lie over one another only the lowest is there.
    """
    planes = [one for one in hung if one.kind == "ceiling"]
    solid = shapely.union_all(
        [Polygon([*p.under, (p.under[-1][0], _SKY_MM), (p.under[0][0], _SKY_MM)]) for p in planes]
    )
    thick = _THICK_MM["ceiling"]
    face = solid.difference(shapely.affinity.translate(solid, 0, thick))
    runs = []
    # planes that end on one line leave corners along it that are none
    for part in shapely.get_parts(solid.simplify(0.01)):
        if isinstance(part, Polygon) and not part.is_empty:
            low = [(x, z) for x, z in part.exterior.coords[:-1] if z < _SKY_MM]
            runs.append(tuple(sorted(low)))
    return face, tuple(runs)


def clear_at(bay: Bay, hung: Sequence[Hung]) -> float | None:
    """Return where along the section the clear height of a bay is, as near its middle as may be.

    None where nothing overhead decides, as where a machine's own bar does.
    """
    low, high = swept(bay)
    places = []
    for one in hung:
        xs, zs = np.array(one.under).T
        first, last = max(low, float(xs[0])), min(high, float(xs[-1]))
        if first <= last:
            middle = min(max(0.0, first), last)
            among = [first, middle, last, *(x for x in xs.tolist() if first < x < last)]
            places += [(x, float(np.interp(x, xs, zs))) for x in among]
    true = [x for x, z in places if abs(z - bay.clear_mm) <= _SAME_MM]
    return min(true, key=abs, default=None)


def walls(scene: Scene, bay: Bay, left: float, right: float) -> tuple[float | None, float | None]:
    """Return where the section meets a wall to the left and right of the movement, if it does."""
    x, y = bay.at
    fx, fy = bay.facing
    line = shapely.LineString(
        [(x + fx * left, y + fy * left), (x + fx * right, y + fy * right)],
    )
    here = shapely.Point(x, y)
    for part in shapely.get_parts(line.intersection(scene.room.free)):
        if part.distance(here) < 1 and part.geom_type == "LineString":
            ends = sorted(_along(bay, shapely.get_coordinates(part))[:, 0])
            near, far = float(ends[0]), float(ends[-1])
            return near if near > left + 1 else None, far if far < right - 1 else None
    return None, None


def seen(bay: Bay, placed: Placed) -> BaseGeometry:
    """Return a piece from the side, as one outline."""
    boxes = []
    for polygon, low, high in zip(
        placed.polygons(), placed.shape.low_mm, placed.shape.high_mm, strict=True
    ):
        along = _along(bay, shapely.get_coordinates(polygon))[:, 0]
        z0, z1 = low + placed.lift_mm, high + placed.lift_mm
        boxes.append(shapely.box(along.min(), z0, along.max(), z1))
    return shapely.union_all(boxes) if boxes else Polygon()


def _along(bay: Bay, xy: Floats) -> Floats:
    fx, fy = bay.facing
    moved = xy - np.array(bay.at)
    turned: Floats = moved @ np.array([[fx, -fy], [fy, fx]])
    return turned


def _to_room(bay: Bay, spots: list[Spot]) -> Polygon:
    fx, fy = bay.facing
    x, y = bay.at
    return Polygon([(x + s * fx - n * fy, y + s * fy + n * fx) for s, n in spots])


def _underside(bay: Bay, item: Above, part: Polygon) -> tuple[Spot, ...]:
    """Return the lowest edge of a slanted part as it shows from the side, left to right."""
    xy = shapely.get_coordinates(part.exterior)
    heights = item.heights_at(xy)
    spots = sorted(set(zip(_along(bay, xy)[:, 0].tolist(), heights.tolist(), strict=True)))
    chain: list[Spot] = []
    for spot in spots:
        while len(chain) > 1 and not _turns_up(chain[-2], chain[-1], spot):
            chain.pop()
        if chain and abs(chain[-1][0] - spot[0]) < 0.01:
            continue
        chain.append(spot)
    return tuple(chain)


def _turns_up(a: Spot, b: Spot, c: Spot) -> bool:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) > 0


def _thick(scene: Scene, bay: Bay, item: Above, under: tuple[Spot, ...]) -> float:
    joists = scene.room.room.ceiling.showing
    if item.kind == "joist" and joists is not None:
        return joists.depth_mm
    if item.kind in _THICK_MM:
        return _THICK_MM[item.kind]
    # a beam or duct goes up to the ceiling
    x, z = under[0]
    fx, fy = bay.facing
    here = shapely.Point(bay.at[0] + fx * x, bay.at[1] + fy * x)
    for other in bay.overhead.items:
        if other.kind == "ceiling" and other.polygon.distance(here) < 1:
            a, b, c = other.coefficients
            return max(60.0, a + b * here.x + c * here.y - z)
    return 150.0
