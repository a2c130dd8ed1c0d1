"""The ceiling of a section as it is cut, and what hangs under it where the cut meets it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely import Polygon as Area
from shapely.geometry.base import BaseGeometry

from app.drawing.medium import Medium
from app.drawing.primitives import Item, Point, Polygon
from app.drawing.sheets.cut_face import cut_face
from app.drawing.sheets.cutting_plane import Cut
from app.drawing.sheets.section_room import HUNG_MM, UP_TO_CEILING
from app.drawing.short_names import short_name
from app.scene.build import Scene
from app.scene.overhead import Above

LID_MM = 120.0
"""How thick a ceiling is drawn: what is in it is not known and not told."""
_AT_WALL_MM = 0.5
"""So near to a wall, and to the cut, a ceiling is as high as at the wall, also a steep one."""


def lid_of(runs: Sequence[tuple[Above, list[Point]]], lid: float, medium: Medium) -> list[Item]:
    """Draw the ceiling as it is cut: of planes over one another only the lowest is there."""
    solids = [
        Area([*run, (run[-1][0], lid), (run[0][0], lid)]).buffer(0)
        for item, run in runs
        if item.kind == "ceiling"
    ]
    if not solids:
        return []
    whole = shapely.union_all(solids).buffer(0.5).buffer(-0.5)
    thick = LID_MM * 0.7
    face = whole.difference(shapely.affinity.translate(whole, 0, thick))
    return cut_face(face, medium)


def roof_over(
    runs: Sequence[tuple[Above, list[Point]]], left: float, right: float, lid: float
) -> float:
    """Return how high a wall is drawn: up to the ceiling that it carries, and through it."""
    ceilings = [run for item, run in runs if item.kind == "ceiling"]
    sides = [z for s in (left, right) if (z := ceiling_at(s, ceilings)) is not None]
    return max(sides) + LID_MM if sides else lid


def overhead_cut(
    scene: Scene,
    runs: Sequence[tuple[Above, list[Point]]],
    medium: Medium,
) -> list[Item]:
    """Draw what hangs under the ceiling where it is cut: beams and bulkheads up to the ceiling."""
    items: list[Item] = []
    ceilings = [run for item, run in runs if item.kind == "ceiling"]
    joists = scene.room.room.ceiling.showing
    depth = joists.depth_mm if joists else 0.0
    wide = joists.width_mm if joists else 0.0
    for item, run in runs:
        kind = item.kind
        (s0, z0), (s1, z1) = run
        if kind == "joist":
            ink = "joist-side" if s1 - s0 > 4 * wide else "joist-end"
            ring = ((s0, -z0), (s1, -z1), (s1, -z1 - depth), (s0, -z0 - depth))
            items.append(Polygon(ring, ink))
        elif kind == "door":
            ring = ((s0, -z0), (s1, -z1), (s1, -z1 - 45), (s0, -z0 - 45))
            items.append(Polygon(ring, "thing"))
        elif kind in UP_TO_CEILING:
            top = ceiling_at((s0 + s1) / 2, ceilings)
            high = max(z0, z1) + HUNG_MM if top is None else max(z0, z1, top)
            items += cut_face(shapely.box(s0, min(z0, z1), s1, high), medium)
        elif kind != "ceiling":
            ring = ((s0, -z0), (s1, -z1), (s1, -z1 - HUNG_MM), (s0, -z0 - HUNG_MM))
            items.append(Polygon(ring, "thing"))
    return items


def joists_behind(
    scene: Scene, cut: Cut, runs: Sequence[tuple[Above, list[Point]]]
) -> Iterator[Item]:
    """Yield the joist that one looks at behind a cut that runs between two of them."""
    joists = scene.room.room.ceiling.showing
    if joists is None or any(item.kind == "joist" for item, _ in runs):
        return
    behind = []
    for item in scene.room.training.items:
        if item.kind == "joist":
            flat = cut.flat(shapely.get_coordinates(item.polygon))
            under = float(item.heights(item.polygon).min())
            behind.append((float(flat[:, 1].min()), flat[:, 0].min(), flat[:, 0].max(), under))
    seen = [one for one in behind if one[0] > 0]
    if seen:
        _, s0, s1, z = min(seen)
        ring = ((s0, -z), (s1, -z), (s1, -z - joists.depth_mm), (s0, -z - joists.depth_mm))
        yield Polygon(ring, "seen")


def low_things_cut(
    runs: Sequence[tuple[Above, list[Point]]],
) -> Iterator[tuple[str, BaseGeometry]]:
    """Yield the name of each beam or pipe that is cut, once, and what is seen of it, z up."""
    ceilings = [run for item, run in runs if item.kind == "ceiling"]
    named: set[str] = set()
    for item, ((s0, z0), (s1, z1)) in runs:
        if item.kind in ("joist", "door", "ceiling") or item.name in named:
            continue
        named.add(item.name)
        top = ceiling_at((s0 + s1) / 2, ceilings) if item.kind in UP_TO_CEILING else None
        low = min(z0, z1)
        high = max(low + HUNG_MM, top or low)
        name = short_name(item.name)
        yield name[:1].upper() + name[1:], shapely.box(s0, low, s1, high)


def ceiling_at(s: float, ceilings: Sequence[list[Point]]) -> float | None:
    """Return how high the ceiling is at a place of the cut, the lowest of planes over it."""
    heights = [
        float(np.interp(s, (s0, s1), (z0, z1)))
        for (s0, z0), (s1, z1) in ceilings
        if s0 - _AT_WALL_MM <= s <= s1 + _AT_WALL_MM
    ]
    return min(heights, default=None)
