"""The handle of a garage door that is the only way out: in the middle of its leaf, for a hand."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.checks.snag import Snag, agreeing
from app.model.room import OpeningKind
from app.published.register import published
from app.scene.build import Scene
from app.scene.doors import OpeningShape
from app.scene.naming import opening_name
from app.scene.routes import ways_out
from app.scene.tolerance import TOLERANCE_MM, Geometries
from app.wording import lower

_HANDLE, _PERSON = "door.handle-mm", "route.least-mm"
_LIFTED: frozenset[OpeningKind] = frozenset({"canopy", "tracks", "sectional", "roller"})
"""What is taken hold of in the middle; what slides aside is taken by its edge."""
_FULL_SHARE = 0.8
"""What fills this share of its outline is no open frame: the boards of shelves lie a little behind
their posts, and it is up to the posts that a tape is held."""


def door_handle(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each thing so high that no hand gets past it to the handle of such a door.

    What is lower than the handle is leant over; an opener lets go by its cord.
    """
    out = ways_out(scene)
    if not all(shape.opening.is_garage_door for shape in out):
        return
    for shape in out:
        if shape.opening.kind in _LIFTED and not shape.opening.opener:
            yield from _stood_before(scene, shape)


def _filled(cores: Geometries) -> BaseGeometry:
    """Return what a hand does not get through of a piece: up to its posts where it is full."""
    solid = shapely.union_all(cores)
    outline = solid.convex_hull
    return outline if solid.area >= _FULL_SHARE * outline.area else solid


def _stood_before(scene: Scene, shape: OpeningShape) -> Iterator[Snag]:
    """Yield what stands where somebody is to stand who takes the handle."""
    deep = published(_PERSON)
    left, right = np.array(shape.left), np.array(shape.right)
    middle, along = (left + right) / 2, (right - left) / np.hypot(*(right - left))
    inwards, half = np.array(shape.inward) * deep, along * deep / 2
    corners = (middle - half, middle + half, middle + half + inwards, middle - half + inwards)
    there = Polygon(corners).buffer(-TOLERANCE_MM, join_style="mitre")
    solids = scene.solids
    high = np.flatnonzero(solids.high_mm[: scene.piece_solids] > published(_HANDLE))
    owners = solids.owner[high]
    name = lower(opening_name(scene, shape))
    for number in np.unique(owners).tolist():
        if not _filled(solids.cores[high[owners == number]]).intersects(there):
            continue
        placed = scene.order[number]
        yield Snag(
            code=f"handle-of-{shape.opening.id}",
            hangs_on_place=True,
            severity="care",
            template="The {} before the middle of the {}, the only way out: no hand gets to its "
            "handle. Keep {:mm} free there.",
            values=(agreeing(lower(placed.name), "stands", "stand"), name, deep),
            pieces=(placed.piece.id,),
            names=(name, "handle"),
            unit=None,
            opening=shape.opening.id,
            where=placed.at,
            source_keys=(_HANDLE, _PERSON),
        )
