"""The way of a bar from its hooks to where it is lifted: what is tall stands beside none of it.

A squat or a press that is done before the posts carries a bar of two metres out there on the
shoulders. What is as high as the plates come down there, and stands in the way of an end, is met by
it, and so is what hangs lower than the plates are carried; what rises there is a matter of height.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely import Polygon

from app.checks.snag import Snag
from app.checks.spot import Spot
from app.checks.spots import spots
from app.model.fronts import front_of
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.swept import put
from app.scene.tolerance import HALF_MM, TOLERANCE_MM
from app.wording import lower

LOWEST = {
    "squat": "squat.bar-at-bottom-ratio",
    "standing-press": "body.shoulder-height-ratio",
}
"""How low a bar comes in a movement that it is carried out for, as a share of the stature."""

_SHOULDER, _PLATE = "body.shoulder-height-ratio", "plate.large-diameter-mm"


def bar_paths(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each station whose bar meets something on its way out; a note if only nice.

    A movement with a place elsewhere whose bar meets nothing asks for no other. Of several things
    that one bar meets, what takes most of its way is named: which it is hangs on no name or order.
    """
    met: dict[str, list[tuple[bool, float, Snag]]] = {}
    for movement, ratio in LOWEST.items():
        people = [p for p in scene.plan.people if p.wish_for(movement) in ("want", "nice")]
        if not people:
            continue
        low = published(ratio) * min(person.stature_mm for person in people)
        high = published(_SHOULDER) * max(person.stature_mm for person in people)
        wanted = any(person.wish_for(movement) == "want" for person in people)
        every = [_met(scene, spot, (low, high), wanted) for spot in spots(scene).get(movement, ())]
        if every and all(snag is not None for snag in every):
            for one in every:
                assert one is not None
                met.setdefault(one[1].pieces[0], []).append((wanted, *one))
    for rows in met.values():
        yield max(rows, key=lambda row: row[:2])[2]


def _met(
    scene: Scene, spot: Spot, bar_mm: tuple[float, float], wanted: bool
) -> tuple[float, Snag] | None:
    """Return what the bar of a station meets on its way to a place, and how much of it in mm2.

    `bar_mm` are from and to which height over the covering its middle comes.
    """
    if spot.use.inside:
        return None
    bars = (one for one in scene.stations[spot.placed.root] if one.kit.bar is not None)
    bar = next((one for one in bars if not one.piece.on_floor), None)
    if bar is None:
        return None
    plate = bar.piece.plate_mm or published(_PLATE)
    covering = scene.plan.room.floor.covering.thickness_mm
    low, high = covering + bar_mm[0] - plate / 2, covering + bar_mm[1] + plate / 2
    key = "bar path", bar.piece.id, bar.pose, spot.at
    at_rest, way = scene.memo(key, lambda: _ways(bar, spot, plate))
    solids, count = scene.solids, len(scene.order)
    hits = np.sort(scene.tree.query(way, predicate="intersects"))
    hits = hits[(solids.high_mm[hits] > low) & (solids.low_mm[hits] < high - TOLERANCE_MM)]
    own = [number for number, one in enumerate(scene.order) if one.root == bar.root]
    hits = hits[~np.isin(solids.owner[hits], own)]
    # what it meets where it hangs is told by what is asked for beyond its ends
    hits = hits[~shapely.intersects(solids.cores[hits], at_rest)]
    if not len(hits):
        return None
    taken = shapely.area(shapely.intersection(solids.cores[hits], way))
    first = int(hits[taken.argmax()])
    owner = int(solids.owner[first])
    other = scene.order[owner] if owner < count else None
    name = f"the {lower(other.name)}" if other else scene.fixed_names[owner - count]
    place = way.intersection(solids.cores[first]).centroid
    right, _ = front_of(scene.plan).split(place.x - bar.at[0], place.y - bar.at[1])
    snag = Snag(
        code="bar-path",
        hangs_on_place=True,
        while_training=True,
        severity="care" if wanted else "note",
        template="Carried out to where it is lifted, its {} end meets {}. Keep what is higher than "
        "{:mm} off its way.",
        values=("right" if right > 0 else "left", name, low),
        pieces=(bar.root, other.piece.id) if other else (bar.root,),
        names=(bar.name, "on its way"),
        unit=None,
        where=(place.x, place.y),
        source_keys=(_PLATE, *LOWEST.values()),
        against=other.piece.id if other else name,
    )
    return float(taken.max()), snag


def _ways(bar: Placed, spot: Spot, plate_mm: float) -> tuple[Polygon, Polygon]:
    """Return the floor under a bar on its hooks, and under all of its way to a place."""
    half, near = bar.extent.width_mm / 2, plate_mm / 2
    lying = put(Polygon([(-half, -near), (half, -near), (half, near), (-half, near)]), bar, (0, 0))
    dx, dy = spot.at[0] - bar.at[0], spot.at[1] - bar.at[1]
    there = shapely.transform(lying, lambda xy: xy + np.array([dx, dy]))
    way = shapely.union_all([lying, there]).convex_hull
    drawn_in = way.buffer(-HALF_MM - TOLERANCE_MM, join_style="mitre")
    return lying, drawn_in
