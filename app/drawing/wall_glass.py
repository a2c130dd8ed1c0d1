"""Mirrors on walls as they stand before them: for the plan, the sections and the picture."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shapely import Polygon

from app.checks.mirrors import edges_mm
from app.drawing.figure_room import socket_at
from app.model.finishing import MirrorArea
from app.scene.build import Placed, Scene
from app.scene.tolerance import TOLERANCE_MM
from app.scene.walls import WallShape
from app.takeoff.mirrors import is_hung
from app.units import Units, format_short

_THICK_MM = 20.0
"""How thick it is drawn, with what holds it: thinner would not be seen at the scales of paper."""


@dataclass(frozen=True, slots=True)
class Glass:
    """A mirror from above: what is covered of which wall, and the outline before its face."""

    area: MirrorArea
    wall: WallShape
    outline: Polygon


def glass(scene: Scene) -> Iterator[Glass]:
    """Yield every mirror of the fit-out."""
    walls = {wall.id: wall for wall in scene.room.walls}
    for area in scene.plan.fit_out.mirrors:
        wall = walls[area.wall]
        ends = [socket_at(wall, area.offset_mm + along) for along in (0.0, area.width_mm)]
        (a, b), (ix, iy) = ends, wall.inward
        front = [(x + ix * _THICK_MM, y + iy * _THICK_MM) for x, y in (b, a)]
        yield Glass(area, wall, Polygon([a, b, *front]))


def bought_high_mm(placed: Placed) -> float:
    """Return how high a piece is itself: of a mirror the glass, of what hangs not how high."""
    if is_hung(placed):
        low, top = edges_mm(placed)
        return top - low
    if _hangs(placed):
        return float(placed.shape.high_mm.max() - placed.shape.low_mm.min())
    return placed.extent.height_mm


def hung_words(placed: Placed, units: Units, more: str = "") -> str:
    """Say behind the name of what hangs on a wall how high: " (top at 2000)"; else only `more`."""
    hangs = is_hung(placed) or _hangs(placed)
    high = f"top at {format_short(placed.extent.height_mm, units)}" if hangs else ""
    said = "; ".join(filter(None, (high, more)))
    return f" ({said})" if said else ""


def _hangs(placed: Placed) -> bool:
    """Return whether a piece hangs clear of the floor on a wall: its height is its upper edge's."""
    low = placed.shape.low_mm
    return placed.kit.fixing == "wall" and bool(len(low)) and float(low.min()) > TOLERANCE_MM
