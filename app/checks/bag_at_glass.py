"""Glass beside a bag: who boxes steps back without looking, and a bag leans or swings."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import LineString

from app.checks.flight import window_name
from app.checks.snag import Snag
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.doors import OpeningShape
from app.scene.tolerance import HALF_MM
from app.wording import lower

_SILL = "glass.stumble-sill-mm"
_BOXED = "bag"


def bag_at_glass(scene: Scene) -> Iterator[Snag]:
    """Yield a note for each bag with glass of the room in the floor that it is used on.

    Mirrors are the business of `mirrors`, and how near the wall is that of `room_to_use`.
    """
    panes = [
        shape
        for shape in scene.room.openings
        if shape.opening.has_glass and shape.opening.sill_mm < published(_SILL)
    ]
    for number, bag in enumerate(scene.order if panes else ()):
        if not bag.in_use or not any(use.movement == _BOXED for use in bag.kit.uses):
            continue
        near = [
            (max(bag.footprint.distance(line) - HALF_MM, 0.0), i)
            for i, shape in enumerate(panes)
            if _is_in(scene, number, line := LineString([shape.left, shape.right]))
        ]
        if near:
            away, nearest = min(near)
            yield _snag(bag, panes[nearest], away)


def _is_in(scene: Scene, number: int, line: LineString) -> bool:
    """Return whether glass lies in some working space of a piece."""
    # a core ends half a millimetre before its space does: so much may be lacking anywhere
    cores = scene.spaces.cores[scene.spaces.owner == number]
    return any(core.intersects(line) for core in cores)


def _snag(bag: Placed, shape: OpeningShape, away_mm: float) -> Snag:
    return Snag(
        code="bag-at-glass",
        while_training=True,
        severity="note",
        template="{:mm} to the {}, and who boxes steps back without looking: put a board before "
        "the glass, or film on it.",
        values=(away_mm, lower(window_name(shape))),
        pieces=(bag.piece.id,),
        names=(bag.name, "glass"),
        measured=round(away_mm),
        where=bag.at,
        opening=shape.opening.id,
        source_keys=(_SILL,),
    )
