"""A door that opens to behind a belt, or onto who lifts: who opens it meets who is there."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.checks.layers import is_floor
from app.checks.room_to_use import spaces_judged
from app.checks.snag import Snag, space_sources
from app.scene.build import Scene
from app.scene.doors import OpeningShape
from app.scene.naming import opening_name
from app.scene.tolerance import HALF_MM
from app.wording import lower

_LIES = "floor-work"
_LIFTS = frozenset({"kettlebell-swing", "kettlebell-overhead"})


def door_behind(scene: Scene) -> Iterator[Snag]:
    """Yield a note for each hinged door whose leaf swings into the run-off of a belt.

    Most days it stays shut while somebody runs, so the run-off is none the shorter for it.
    """
    falls = np.flatnonzero([s.space.kind == "fall-off" for s in scene.spaces.shapes])
    for shape in scene.room.openings if len(falls) else ():
        swept = _swept(scene, shape)
        for space in falls[shapely.intersects(scene.spaces.cores[falls], swept)].tolist():
            owner = scene.order[int(scene.spaces.owner[space])]
            row = scene.spaces.shapes[space].space
            common = shapely.intersection(scene.spaces.cores[space], swept).centroid
            yield Snag(
                code=f"door-behind-{shape.opening.id}",
                hangs_on_place=True,
                while_training=True,
                severity="note",
                background=True,
                template="The {} opens to where somebody steps or falls off: knock first, or hang "
                "it to open out.",
                values=(lower(opening_name(scene, shape)),),
                pieces=(owner.piece.id,),
                names=(owner.name, lower(opening_name(scene, shape))),
                unit=None,
                where=(common.x, common.y),
                opening=shape.opening.id,
                source_keys=space_sources(owner.kit, row),
            )


def _swept(scene: Scene, door: OpeningShape) -> BaseGeometry:
    """Return the core of the floor that the leaves of a door swing over; made once a room."""

    def made() -> BaseGeometry:
        leaves = [sweep.polygon for sweep in door.sweeps if sweep.hinge is not None]
        return shapely.union_all(leaves).buffer(-HALF_MM, join_style="mitre")

    return scene.memo(("swept by the leaves", door.opening.id), made)


def door_into(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each hinged door whose leaf swings through where somebody lifts or lies.

    That is before a rack, and floor on which a weight is swung or somebody lies. It is shut while a
    plan is looked at, so that nothing stands in it, and opens onto the back of who holds a bar.
    """
    doors = [shape for shape in scene.room.openings if any(s.hinge for s in shape.sweeps)]
    if not doors:
        return
    judged, people = spaces_judged(scene), scene.plan.people
    lies = not people or any(person.wish_for(_LIES) != "no" for person in people)
    for i, shape in enumerate(scene.spaces.shapes):
        owner, row = scene.order[int(scene.spaces.owner[i])], shape.space
        done = {use.movement for use in owner.kit.uses} if is_floor(row) else set[str]()
        swung, lain = bool(done & _LIFTS), lies and _LIES in done
        before = owner.kit.group == "Racks" and row.side == "front" and row.kind == "body"
        if not judged[i] or not owner.in_use or not (swung or lain or before):
            continue
        for door in doors:
            common = scene.spaces.cores[i].intersection(_swept(scene, door))
            if common.area <= 0:
                continue
            at = common.centroid
            yield Snag(
                code=f"door-into-{door.opening.id}",
                hangs_on_place=True,
                while_training=True,
                severity="care",
                template="The {} opens onto who {} there. {} the other way, or to open out; until "
                "then nobody opens it without knocking.",
                values=(
                    lower(opening_name(scene, door)),
                    "lies" if lain else "lifts",
                    "Put that elsewhere, or hang the door" if lain else "Hang it",
                ),
                pieces=(owner.piece.id,),
                names=(owner.name, lower(opening_name(scene, door))),
                unit=None,
                where=(at.x, at.y),
                opening=door.opening.id,
                source_keys=space_sources(owner.kit, row),
            )
