"""Where the stations of a plan stand while a search goes on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np
from shapely.geometry.base import BaseGeometry

from app.model.kit import Pose
from app.placing.ground import NeedKey
from app.placing.pairs import Atom
from app.placing.standing import (
    HERE,
    THE_ROOM,
    Standing,
    plan_places,
    plan_turn,
    station_poses,
)
from app.placing.terms import HEADROOM, WINDOW, Put, Term
from app.placing.view import View
from app.scene.build import Scene


@dataclass(frozen=True, eq=False)
class Layout:
    """Some stations of a scene where they stand; never changed. A new one is cheap."""

    scene: Scene
    views: tuple[View, ...]
    at: Mapping[str, Standing]
    _met: dict[tuple[int, str, Atom], frozenset[str]] = field(default_factory=dict)
    _passing: dict[tuple[int, NeedKey], frozenset[str]] = field(default_factory=dict)
    regions: dict[tuple[str, float], BaseGeometry] = field(default_factory=dict)
    _terms: dict[tuple[int, str, float], tuple[Term, ...]] = field(default_factory=dict)

    def put(self, root: str, turn_deg: float, point: tuple[float, float]) -> Layout:
        """Return the layout with a station placed, wherever it stood before."""
        there = Standing(plan_turn(turn_deg), *plan_places(np.array(point))[0].tolist())
        return Layout(self.scene, self.views, {**self.at, root: there})

    def without(self, root: str) -> Layout:
        """Return the layout without a station."""
        return Layout(
            self.scene, self.views, {one: at for one, at in self.at.items() if one != root}
        )

    def only(self, roots: Iterable[str]) -> Layout:
        """Return the layout with some of its stations alone."""
        some = set(roots)
        return Layout(
            self.scene, self.views, {one: at for one, at in self.at.items() if one in some}
        )

    def poses(self, roots: Iterable[str] | None = None) -> dict[str, Pose]:
        """Return the poses of all pieces of some stations, all of the layout if none are named."""
        poses: dict[str, Pose] = {}
        for root in self.at if roots is None else roots:
            poses |= station_poses(self.scene, root, self.at[root])
        return poses

    def met(self, view: int, owner: str, atom: Atom) -> frozenset[str]:
        """Return which stations here meet a zone of a rule; the room itself among them."""
        key = view, owner, atom
        if key not in self._met:
            self._met[key] = frozenset(self._meeting(view, owner, atom))
        return self._met[key]

    def _meeting(self, view: int, owner: str, atom: Atom) -> Iterator[str]:
        seen = self.views[view]
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
                if (low := self.views[view].stand(root, at.turn_deg).too_low.get(need)) is not None
                and not low.holds(at.x_mm, at.y_mm)
            )
        return self._passing[key]

    def terms(self, view_number: int, root: str, turn_deg: float) -> tuple[Term, ...]:
        """Return the terms of a station at a turn among those here, the hardest first.

        Where it stood itself does not count.
        """
        key = view_number, root, turn_deg
        if key not in self._terms:
            self._terms[key] = tuple(self._refusing(*key))
        return self._terms[key]

    def _refusing(self, view_number: int, root: str, turn_deg: float) -> Iterator[Term]:
        view = self.views[view_number]
        stand = view.stand(root, turn_deg)
        yield Term(THE_ROOM, ((Put(stand.hard, HERE),),))
        others = [
            (other, at, view.table(other, at.turn_deg, root, turn_deg))
            for other, at in self.at.items()
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
        owners = [
            (other, view.form(other).rules, table.of_first, at) for other, at, table in others
        ]
        owners.append((THE_ROOM, view.ground.rules, stand.rooms, HERE))
        for owner, rules, met, at in owners:
            for i in sorted({i for i, _ in met}):
                mine = {j: Put(met[i, j], at) for j in range(len(rules[i])) if (i, j) in met}
                unmet = [
                    j
                    for j in range(len(rules[i]))
                    if not self.met(view_number, owner, (i, j)) - {root}
                ]
                # only what itself has a part in it is refused
                if all(j in mine for j in unmet):
                    zones = [(mine[j],) for j in unmet]
                    yield Term(owner or WINDOW, (*zones, tuple(mine.values())))
        for need, low in stand.too_low.items():
            if low and not self.passing(view_number, need) - {root}:
                yield Term(f"{HEADROOM}:{need.person}:{need.movement}", ((Put(low, HERE),),))
