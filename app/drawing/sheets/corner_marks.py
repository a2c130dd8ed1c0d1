"""The corners of a room marked and named in a plan: what offsets and tapes start from."""

from __future__ import annotations

import shapely

from app.drawing.lettering import width_of
from app.drawing.placing import Crowd, Spot
from app.drawing.primitives import Item, Polygon, Text
from app.drawing.sheets.taping import corner_name, corners_of
from app.scene.build import Scene


def corner_marks(scene: Scene, em: float, crowd: Crowd) -> list[Item]:
    """Mark each corner with a filled square inside it and its name beside."""
    items: list[Item] = []
    inner = scene.room.free.buffer(-em * 1.1, join_style="mitre")
    for i, (x, y) in enumerate(corners_of(scene)):
        half = em * 0.22
        ring = (
            (x - half, y - half),
            (x + half, y - half),
            (x + half, y + half),
            (x - half, y + half),
        )
        items.append(Polygon(ring, "dark"))
        words = corner_name(i)
        spots = [
            Spot((x + dx * em * 1.3, y + dy * em * 1.1), abs(dx) + abs(dy))
            for dx in (-1, 1, -2, 2, -3, 3)
            for dy in (-1, 1, -2, 2, -3, 3)
            if inner.is_empty or scene.room.free.covers(shapely.Point(x + dx * em, y + dy * em))
        ] or [Spot((x, y + em))]
        at = crowd.place(width_of(words, em, bold=True), em, spots)
        items.append(Text((at[0], at[1] + em * 0.36), words, "chalk-mark"))
    return items
