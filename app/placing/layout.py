"""Where the stations of a plan stand while a search goes on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
from shapely.geometry.base import BaseGeometry

from app.model.kit import Pose
from app.placing.convex import Floats
from app.placing.ground import NeedKey
from app.placing.pairs import Atom
from app.placing.view import TURN_DECIMALS

if TYPE_CHECKING:
    from app.placing.core import Core
    from app.placing.terms import Term

PLACE_DECIMALS = 2
"""Decimals of a mm to which places are told: those of a plan."""
THE_ROOM = ""
"""Whose rules those of the room itself are."""


@dataclass(frozen=True, slots=True)
class Standing:
    """How a station stands: its turn in degrees and where its root is, in mm."""

    turn_deg: float
    x_mm: float
    y_mm: float


@dataclass(frozen=True, eq=False)
class Layout:
    """Some stations of a core where they stand; never changed. A new one is cheap."""

    core: Core
    at: Mapping[str, Standing]
    _met: dict[tuple[int, str, Atom], frozenset[str]] = field(default_factory=dict)
    _passing: dict[tuple[int, NeedKey], frozenset[str]] = field(default_factory=dict)
    regions: dict[tuple[str, float], BaseGeometry] = field(default_factory=dict)
    terms: dict[tuple[int, str, float], tuple[Term, ...]] = field(default_factory=dict)

    def put(self, root: str, turn_deg: float, point: tuple[float, float]) -> Layout:
        """Return the layout with a station placed, wherever it stood before."""
        there = Standing(whole(turn_deg), *told(np.array(point))[0].tolist())
        return Layout(self.core, {**self.at, root: there})

    def without(self, root: str) -> Layout:
        """Return the layout without a station."""
        return Layout(self.core, {one: at for one, at in self.at.items() if one != root})

    def only(self, roots: Iterable[str]) -> Layout:
        """Return the layout with some of its stations alone."""
        some = set(roots)
        return Layout(self.core, {one: at for one, at in self.at.items() if one in some})

    def poses(self, roots: Iterable[str] | None = None) -> dict[str, Pose]:
        """Return the poses of all pieces of some stations, all of the layout if none are named."""
        poses: dict[str, Pose] = {}
        for root in self.at if roots is None else roots:
            there = self.at[root]
            poses |= self.core.poses(root, there.turn_deg, (there.x_mm, there.y_mm))
        return poses

    def met(self, view: int, owner: str, atom: Atom) -> frozenset[str]:
        """Return which stations here meet a zone of a rule; the room itself among them."""
        key = view, owner, atom
        if key not in self._met:
            self._met[key] = frozenset(self._meeting(view, owner, atom))
        return self._met[key]

    def _meeting(self, view: int, owner: str, atom: Atom) -> Iterator[str]:
        seen = self.core.views[view]
        if owner == THE_ROOM:
            if atom in seen.ground.broken:
                yield THE_ROOM
            for other, at in self.at.items():
                places = seen.stand(other, at.turn_deg).rooms.get(atom)
                if places is not None and places.holds(at.x_mm, at.y_mm):
                    yield other
            return
        mine = self.at[owner]
        fixed = seen.stand(owner, mine.turn_deg).own.get(atom)
        if fixed is not None and fixed.holds(mine.x_mm, mine.y_mm):
            yield THE_ROOM
        for other, at in self.at.items():
            if other == owner:
                continue
            table = seen.table(owner, mine.turn_deg, other, at.turn_deg)
            places = table.of_first.get(atom)
            if places is not None and places.holds(at.x_mm - mine.x_mm, at.y_mm - mine.y_mm):
                yield other

    def passing(self, view: int, need: NeedKey) -> frozenset[str]:
        """Return at which stations here a movement has height enough for a person."""
        key = view, need
        if key not in self._passing:
            self._passing[key] = frozenset(
                root
                for root, at in self.at.items()
                if (low := self.core.views[view].stand(root, at.turn_deg).too_low.get(need))
                is not None
                and not low.holds(at.x_mm, at.y_mm)
            )
        return self._passing[key]


def told(points: Floats) -> Floats:
    """Return places as a plan tells them, (n, 2)."""
    places: Floats = np.atleast_2d(np.asarray(points, dtype=np.float64)).round(PLACE_DECIMALS)
    return places


def whole(turn_deg: float) -> float:
    """Return a turn as a plan tells it, from nought to less than 360 degrees."""
    return round(turn_deg % 360, TURN_DECIMALS) % 360
