"""Where people stand to use a station: points on the floor before it, in its working spaces."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon

from app.published.register import row
from app.scene.build import Scene
from app.scene.routes_graph import Floats, Ints
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, Geometries

PLACES_ALONG = 3
"""Places along a side, in the middle of each third of it."""

MIDDLES = (np.arange(PLACES_ALONG) + 0.5) / PLACES_ALONG
"""Where these lie, as shares of the side: half a part in, then a whole part further each time."""


CORNERS = 4
"""Corners of a rectangle; its ring tells the first one twice."""


@dataclass(frozen=True, slots=True)
class Stand:
    """Where people stand to use a station: points on the floor, and the spaces they lie in."""

    number: int
    points: Floats
    spaces: Geometries


def stands(scene: Scene) -> tuple[Stand, ...]:
    """Return the stations that people go to: those with a space deep enough to stand in.

    The carrier's own spaces count where it has any, those where it is trained at before those
    where it is loaded or opened.
    """
    spaces = scene.spaces
    least = _body_mm()
    chosen: dict[int, tuple[int, list[int]]] = {}
    for i, shape in enumerate(spaces.shapes):
        space = shape.space
        if space.side not in ("ring", "area") and space.recommended_mm < least:
            continue
        if space.heights is not None:
            continue
        owner = int(spaces.owner[i])
        root = int(scene.roots[owner])
        # Before the rack, not before the bar in it; where one trains, not where one loads.
        rank = 2 * (owner != root) + (space.kind == "access")
        best, equals = chosen.get(root, (rank, []))
        if rank < best:
            best, equals = rank, []
        if rank == best:
            equals.append(i)
        chosen[root] = best, equals
    numbers = np.array([i for _, equals in chosen.values() for i in equals], dtype=np.intp)
    places = dict(zip(numbers.tolist(), _points(scene, numbers), strict=True))
    return tuple(
        Stand(root, np.concatenate([places[i] for i in equals]), spaces.cores[equals])
        for root, (_, equals) in sorted(chosen.items())
    )


def _body_mm() -> float:
    """Return the depth in which a person stands: as published, however wide ways are wanted."""
    return row("route.least-mm").value


def _points(scene: Scene, numbers: Ints) -> list[Floats]:
    """Return points in each working space: along a strip half a person off the edge, else all over.

    People stand before the piece's edge, not at the far end of the strip.
    """
    spaces = scene.spaces
    out, aside = spaces.outward[numbers], spaces.aside_mm[numbers]
    depth = spaces.wanted_mm[numbers] - TOLERANCE_MM
    off = spaces.edge_mm[numbers] + HALF_MM + np.minimum(_body_mm(), depth) / 2
    middle = scene.at[spaces.owner[numbers]] + out * off[:, None]
    sideways = np.stack([-out[:, 1], out[:, 0]], axis=1)
    across = aside[:, :1] + MIDDLES * (aside[:, 1:] - aside[:, :1])
    strips = middle[:, None] + across[:, :, None] * sideways[:, None]
    return [
        strip if out[i].any() else _all_over(spaces.cores[numbers[i]])
        for i, strip in enumerate(strips)
    ]


def _all_over(core: Polygon) -> Floats:
    box = shapely.get_coordinates(core.minimum_rotated_rectangle)[:CORNERS]
    origin, u, v = box[0], box[1] - box[0], box[-1] - box[0]
    a, b = np.meshgrid(MIDDLES, MIDDLES)
    return np.asarray(origin + a.reshape(-1, 1) * u + b.reshape(-1, 1) * v)
