"""What a hand does not get at: a socket behind what nobody pulls aside, a bar over a short person.

A door that is drawn higher than its wall is asked about here too: one of the two was misread.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from shapely import Point, Polygon

from app.checks.headroom import person_name
from app.checks.on_end import tape_error_mm
from app.checks.snag import Snag
from app.checks.spots import spots
from app.checks.standing import snags_of_plan
from app.formulas.body import fingertip_reach_typical_mm
from app.model.room import Plane
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.doors import OpeningShape
from app.scene.footing import bar_mm
from app.scene.loads import loads, outlets
from app.scene.tolerance import falls_short
from app.wording import lower

_PLUG, _HEAVY = "socket.plug-mm", "socket.heavy-kg"
_REACH, _HOP = "body.fingertip-reach.typical-ratio", "pull-up.hop-mm"
_ERROR = "measure.tape-error-mm"
_PULL_UP = "pull-up"
_INWARDS_MM = 1.0
"""So far inside its wall the ceiling over a door is taken: on the plan, clear of its edge."""


def out_of_reach(scene: Scene) -> Iterator[Snag]:
    """Yield a note for each socket that is stood before, and for bars too high to be got at."""
    yield from _sockets_behind(scene)
    yield from snags_of_plan(scene, "bars out of reach", _bars)
    yield from snags_of_plan(scene, "doors over the ceiling", _doors)


def _sockets_behind(scene: Scene) -> Iterator[Snag]:
    if not scene.plan.room.sockets:
        return
    plugged = {load.placed.piece.id for load in loads(scene)}
    names = dict(zip((wall.id for wall in scene.room.walls), scene.fixed_names, strict=False))
    for socket, at in zip(scene.plan.room.sockets, outlets(scene), strict=True):
        for placed in scene.order:
            # what is plugged in there may stand before it
            if (
                placed.piece.id in plugged
                or not placed.in_use
                or not _is_before(placed, socket.height_mm)
            ):
                continue
            if falls_short(placed.footprint.distance(at), published(_PLUG)):
                yield Snag(
                    code=f"socket-behind-{socket.id}",
                    severity="note",
                    template="The socket on {} is behind the {}: no plug goes in there.",
                    values=(names.get(socket.wall, "the wall"), lower(placed.name)),
                    pieces=(placed.piece.id,),
                    names=("sockets", lower(placed.name)),
                    unit=None,
                    where=(at.x, at.y),
                    source_keys=(_PLUG, _HEAVY),
                )
                break


def _is_before(placed: Placed, height_mm: float) -> bool:
    """Return whether a piece is so heavy, and reaches so high, that a socket is shut in by it.

    One reaches through the frame of a rack.
    """
    mass = placed.piece.mass_kg or placed.kit.mass_kg
    if placed.kit.group == "Racks" or mass < published(_HEAVY) or not len(placed.shape.low_mm):
        return False
    low, high = placed.shape.low_mm.min(), placed.shape.high_mm.max()
    return bool(low + placed.lift_mm <= height_mm < high + placed.lift_mm)


def _bars(scene: Scene) -> Iterator[Snag]:
    """Yield a note of the shortest person who reaches no bar here, hopping."""
    people = [one for one in scene.plan.people if one.wish_for(_PULL_UP) in ("want", "nice")]
    bars = [
        (bar_mm(spot.placed, spot.use) + spot.placed.lift_mm, spot.placed)
        for spot in spots(scene).get(_PULL_UP, ())
    ]
    if not people or not bars:
        return
    height, placed = min(bars, key=lambda one: one[0])
    shortest = min(people, key=lambda person: person.stature_mm)
    tips = fingertip_reach_typical_mm(shortest.stature_mm)
    reached = tips + scene.plan.room.floor.covering.thickness_mm
    if not falls_short(reached + published(_HOP), height):
        return
    yield Snag(
        code="bar-out-of-reach",
        severity="note",
        template="{} reaches {:bare} with the fingertips, and the bar is at {:mm}: a step to "
        "get on and off it.",
        values=(person_name(shortest, scene.plan.units), reached, height),
        pieces=(placed.piece.id,),
        names=("pull-ups", person_name(shortest, scene.plan.units)),
        person=shortest.id,
        movement=_PULL_UP,
        measured=round(reached),
        required=round(height),
        where=placed.at,
        source_keys=(_REACH, _HOP),
    )


def _doors(scene: Scene) -> Iterator[Snag]:
    """Yield a question for each door whose head is higher than the ceiling before it."""
    error = tape_error_mm(scene)
    for shape in scene.room.openings:
        opening = shape.opening
        if opening.kind == "window":
            continue
        head, over = opening.sill_mm + opening.height_mm, _ceiling_mm(scene, shape)
        if over is not None and falls_short(over + error, head):
            yield Snag(
                code=f"door-over-ceiling-{opening.id}",
                question=True,
                severity="note",
                template="which is right: the {}, {:mm} high, or the ceiling, {:mm} there",
                values=(lower(opening.label or "door"), head, over),
                unit=None,
                source_keys=(_ERROR,),
            )


def _ceiling_mm(scene: Scene, shape: OpeningShape) -> float | None:
    """Return how low the ceiling is over a doorway as it was measured; None where none is drawn."""
    inwards = np.multiply(shape.inward, _INWARDS_MM)
    ends = [np.add(end, inwards).tolist() for end in (shape.left, shape.right)]
    heights = [
        plane.height_at(*at)
        for plane in scene.plan.room.ceiling.planes
        for at in ends
        if not plane.outline or _covers(plane, at)
    ]
    return min(heights, default=None)


def _covers(plane: Plane, at: list[float]) -> bool:
    return bool(Polygon(plane.outline).covers(Point(*at)))
