"""What a station minds of what other kit hangs over what is done at it, as rules of zones."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product

import numpy as np
from shapely.geometry.base import BaseGeometry

from app.checks.hung_over import Over, hung_places, under
from app.checks.spot import Spot, form_of
from app.checks.spots import demand_of, spots
from app.model.people import Person
from app.placing.convex import grown, moved_shape, rings
from app.placing.form import Rule, What, Zone
from app.scene.build import Placed, Scene
from app.scene.swept import Part
from app.scene.tolerance import HALF_MM, Geometries

_MINDED: dict[Over, What] = {"all": "hung", "upright": "over", "deck": "juts"}
"""What a zone minds of what hangs over each kind of floor."""


def under_what_hangs(scene: Scene, root: str, members: Sequence[Placed]) -> Iterator[Rule]:
    """Yield the room over what is done at a station in which nothing may hang.

    Of a movement that has another place besides this errs on neither side: it is passed over.
    """
    here = {placed.piece.id: placed for placed in members}
    # with nothing that hangs in the whole plan there is nothing to mind
    for movement, places in spots(scene).items() if hung_places(scene) else ():
        people = [p for p in scene.plan.people if p.wish_for(movement) == "want"]
        first = places[0]
        # onto a box one steps from any of its sides, and over it hangs the same
        box = first.side is not None and all(one.placed is first.placed for one in places)
        if (len(places) > 1 and not box) or first.placed.root != root or not people:
            continue
        there = [replace(spot, placed=here[spot.placed.piece.id]) for spot in places]
        for part, least, over, area in _floors(scene, there[0], people):
            if not part.on_floor:
                yield (_zone(area, least, _MINDED[over]),)
        if box:
            yield from _no_side_left(scene, there, people)


def _no_side_left(scene: Scene, sides: Sequence[Spot], people: Sequence[Person]) -> Iterator[Rule]:
    """Yield the rules that one side of a box be left before which somebody stands upright.

    What takes a side is a wall, what hangs over it and what of the room is too low there; where the
    room alone takes them all, that is told by its height.
    """
    ways = []
    for spot in sides:
        for part, least, over, area in _floors(scene, spot, people):
            if part.on_floor and over == "all":
                kit, room = _zone(area, least, "above"), _zone(area, least, "low")
                tops = tuple(least for _ in room.parts)
                ways.append((replace(kit, walls=True), replace(room, tops=tops)))
    for rule in product(*ways):
        if any(zone.what == "above" for zone in rule):
            yield rule


def _floors(
    scene: Scene, spot: Spot, people: Sequence[Person]
) -> Iterator[tuple[Part, float, Over, BaseGeometry]]:
    """Yield each part that rises at a place, the least it asks for in mm, and what hangs where."""
    placed, form = spot.placed, form_of(scene, spot)
    areas: Geometries = np.array(
        [moved_shape(area, *placed.at) for area in form.areas], dtype=object
    )
    floors = under(placed, areas, [part.is_held for part in form.parts])
    for number, part in enumerate(form.parts):
        asked = (demand_of(scene, one, spot, part.held_mm, part.on_floor) for one in people)
        least = max(one.least_mm for one in asked)
        for over, there in floors.items():
            # a core lies half a millimetre within what hangs
            area = grown(there[number], HALF_MM)
            if not area.is_empty:
                yield part, least, over, area


def _zone(area: BaseGeometry, high_mm: float, what: What) -> Zone:
    return Zone(tuple(rings(area)), 0.0, high_mm, what=what, walls=False)
