"""The film that is laid over the desk's drawing: where on the open floor a movement fits."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from app.drawing.medium import rings_of
from app.drawing.primitives import Group, Item, Region
from app.drawing.svg import part


def region_film(polygons: Sequence[shapely.Polygon], kind: str = "least") -> str:
    """Return an SVG `<g class="film">` in mm of the room, for a layer of the desk's drawing.

    `kind` is the ink of its area: "least", or "need" for the smaller one with its margin. An
    empty group where there is no such place.
    """
    area: list[Item] = []
    if polygons:
        rings = tuple(ring for polygon in polygons for ring in rings_of(polygon))
        area.append(Region(rings, f"film-{kind}"))
    return part(Group(tuple(area), "film", (("film", kind),)), digits=1)
