"""What may refuse a place to a station among others, one term after another.

A term refuses where all of its zones are met; a zone is met in any of its places. So one form
serves points, many at once, and areas.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.placing.convex import Floats, moved_shape
from app.placing.form import Flags
from app.placing.layout import THE_ROOM, Layout, Standing
from app.placing.pairs import Places

HERE = Standing(0.0, 0.0, 0.0)
"""Where the room itself stands."""
HEADROOM, WINDOW = "headroom", "window"
"""Names of terms; others are called after parts of the room or after stations."""


class Put(NamedTuple):
    """Places as seen from a thing that stands somewhere."""

    places: Places
    at: Standing

    @property
    def shape(self) -> BaseGeometry:
        """The places in the room."""
        return moved_shape(self.places.shape, self.at.x_mm, self.at.y_mm)


class Term(NamedTuple):
    """What refuses: the room or a station by its root, or a movement; and its zones."""

    name: str
    zones: tuple[tuple[Put, ...], ...]

    def refuses(self, points: Floats) -> Flags:
        """Return which points, (n, 2), are refused."""
        if len(points) == 1:
            x, y = points[0].tolist()
            # one place is asked for in plain numbers: arrays of one cost more than the question
            return np.array([all(_holds(zone, x, y) for zone in self.zones)])
        refused = np.ones(len(points), dtype=bool)
        for zone in self.zones:
            met = np.zeros(len(points), dtype=bool)
            for places, at in zone:
                met |= places.hold(points - (at.x_mm, at.y_mm))
            refused &= met
        return refused

    @property
    def shape(self) -> BaseGeometry:
        """All that is refused, as an area of the room."""
        unions = [shapely.union_all([put.shape for put in zone]) for zone in self.zones]
        common = unions[0]
        for union in unions[1:]:
            common = common.intersection(union)
        return common


def _holds(zone: tuple[Put, ...], x: float, y: float) -> bool:
    return any(places.holds(x - at.x_mm, y - at.y_mm) for places, at in zone)


def terms(view_number: int, root: str, turn_deg: float, layout: Layout) -> tuple[Term, ...]:
    """Return the terms of a station at a turn among those of a layout, the hardest first.

    Where it stood itself does not count.
    """
    key = view_number, root, turn_deg
    if key not in layout.terms:
        layout.terms[key] = tuple(_terms(*key, layout))
    return layout.terms[key]


def _terms(view_number: int, root: str, turn_deg: float, layout: Layout) -> Iterator[Term]:
    view = layout.core.views[view_number]
    stand = view.stand(root, turn_deg)
    yield Term(THE_ROOM, ((Put(stand.hard, HERE),),))
    others = [
        (other, at, view.table(other, at.turn_deg, root, turn_deg))
        for other, at in layout.at.items()
        if other != root
    ]
    for other, at, table in others:
        if table.hard:
            yield Term(other, ((Put(table.hard, at),),))
    for i, rule in enumerate(view.form(root).rules):
        if len(rule) > 1:
            zones = []
            for j in range(len(rule)):
                fixed = [Put(stand.own[i, j], HERE)] if (i, j) in stand.own else []
                theirs = [
                    Put(table.of_second[i, j], at)
                    for _, at, table in others
                    if (i, j) in table.of_second
                ]
                zones.append((*fixed, *theirs))
            if all(zones):
                yield Term(root, tuple(zones))
    owners = [(other, view.form(other).rules, table.of_first, at) for other, at, table in others]
    owners.append((THE_ROOM, view.ground.rules, stand.rooms, HERE))
    for owner, rules, met, at in owners:
        for i in sorted({i for i, _ in met}):
            mine = {j: Put(met[i, j], at) for j in range(len(rules[i])) if (i, j) in met}
            unmet = [
                j
                for j in range(len(rules[i]))
                if not layout.met(view_number, owner, (i, j)) - {root}
            ]
            # only what itself has a part in it is refused
            if all(j in mine for j in unmet):
                zones = [(mine[j],) for j in unmet]
                yield Term(owner or WINDOW, (*zones, tuple(mine.values())))
    for need, low in stand.too_low.items():
        if low and not layout.passing(view_number, need) - {root}:
            yield Term(f"{HEADROOM}:{need.person}:{need.movement}", ((Put(low, HERE),),))
