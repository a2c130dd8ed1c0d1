"""A mat whose edge is low: one lies under that with the feet, and sits up in its middle alone.

What is too low over the middle is said with the headroom; here it is enough there.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np
import shapely

from app.checks.headroom import person_name
from app.checks.hung_over import hung_places, lowest_over, under
from app.checks.layers import is_floor
from app.checks.snag import Snag
from app.checks.spot import Spot
from app.checks.spots import SHUT, judge, spots
from app.formulas.headroom import Demand
from app.model.people import Person
from app.scene.build import Scene
from app.scene.tolerance import Geometries, falls_short
from app.wording import lower

_FLOOR_WORK = "floor-work"
_Over = tuple[float, str]
"""How much is clear over all of a mat, in mm, and under what."""


def low_edges(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each person who can sit up on no mat but that some of it is too low."""
    people = [person for person in scene.plan.people if person.wish_for(_FLOOR_WORK) == "want"]
    mats = [
        spot
        for spot in spots(scene).get(_FLOOR_WORK, ())
        if people and any(map(is_floor, spot.placed.kit.spaces))
    ]
    for person in people:
        judged = [(spot, judge(scene, person, spot, SHUT)) for spot in mats]
        fit = [(spot, v) for spot, v in judged if not falls_short(v.spare_need_mm, 0)]
        over = [(_over_all(scene, spot), spot, verdict.demand) for spot, verdict in fit]
        # of several mats one is enough
        if over and all(falls_short(clear, demand.need_mm) for (clear, _), _, demand in over):
            most = max(over, key=lambda one: round(one[0][0]))
            yield _snag(scene, person, *most)


def _over_all(scene: Scene, spot: Spot) -> _Over:
    placed = spot.placed
    key = "over the mat", placed.piece.id, placed.pose, hung_places(scene)
    return scene.memo(key, partial(_measured, scene, spot))


def _measured(scene: Scene, spot: Spot) -> _Over:
    placed = spot.placed
    floors = [space.core for space in placed.shape.spaces if is_floor(space.space)]
    areas: Geometries = shapely.transform(
        np.array(floors, dtype=object), lambda xy: xy + np.array(placed.at)
    )
    # what lies beyond a wall is said as that
    areas = shapely.intersection(areas, scene.room.free)
    areas = areas[~shapely.is_empty(areas)]
    if not len(areas):
        return np.inf, "sky"
    heights, causes = scene.overhead.clear(areas)
    hung = lowest_over(scene, placed.root, under(placed, areas, [False] * len(areas)))
    found = [
        (high, scene.overhead.items[cause].name if cause >= 0 else "sky")
        for high, cause in zip(heights.tolist(), causes.tolist(), strict=True)
    ]
    found += [(one[0], one[1].name) for one in hung if one is not None]
    return min(found)


def _snag(scene: Scene, person: Person, over: _Over, spot: Spot, demand: Demand) -> Snag:
    clear, what = over
    return Snag(
        code="low-edge",
        hangs_on_place=True,
        while_training=True,
        severity="care",
        template="Over its edge there are {:mm} under the {}, and sitting up takes {:bare} with "
        "the margin: lie with the feet there.",
        values=(clear, lower(what), demand.need_mm),
        pieces=(spot.placed.piece.id,),
        names=(spot.placed.name, person_name(person, scene.plan.units)),
        person=person.id,
        measured=round(clear),
        required=round(demand.need_mm),
        where=spot.placed.at,
        source_keys=demand.source_keys,
        working=tuple((term.label, round(term.mm, 1)) for term in demand.need),
    )
