"""What is to be arranged: which stations are free, what counts as a stop, what no place mends."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import shapely

from app.arrange.sense import may_move
from app.arranging.on_bare_wall import BareWallCore
from app.arranging.on_walls import on_each_wall
from app.arranging.seats import seats, unheld
from app.arranging.shares import spread
from app.arranging.standing import is_floor
from app.arranging.wishes import Wish
from app.changes.commands import apply, moves
from app.checks.hung_across import ACROSS, OFF_THE_WALL
from app.checks.run import run
from app.checks.snag import Snag
from app.checks.spots import spots
from app.model.base import json_of
from app.model.kit import Pose
from app.model.phases import without
from app.model.plan import Plan
from app.model.situations import OUT
from app.placing.core import Core
from app.placing.layout import Layout
from app.published.register import overridden
from app.scene.build import Scene, build_scene

Kind = tuple[str, str, str]
Poses = Mapping[str, Pose]
LOOKED_FOR_HEADROOM = 200
"""Places of a piece at which it is asked once whether a movement is high enough at any: two along
each metre of a garage."""


@dataclass(frozen=True, slots=True)
class Task:
    """What somebody asks for. Poses of pieces in `keep` stay.

    With `moves_at_most` no more stations than that leave their places. `worths` are of pieces that
    may be left out: what it is worth, in points of the score, to have each. `wishes` count in the
    score.
    """

    plan: Plan
    keep: frozenset[str] = frozenset()
    moves_at_most: int | None = None
    worths: tuple[tuple[str, float], ...] = ()
    wishes: tuple[Wish, ...] = ()


class Problem:
    """A task made ready: its scene, its free stations, and the stops that count.

    `as_is` is the scene of the plan as it stands; in that of the search every bar lies on its hooks
    that can. `no_use` says which cares count as a stop besides: with these nobody is glad of it.
    """

    def __init__(self, task: Task, no_use: Callable[[Snag], bool] | None = None) -> None:
        self.task = task
        self.no_use = no_use
        self.plan = task.plan
        self.as_is = build_scene(task.plan)
        self._without: dict[frozenset[str], Problem] = {}

    @cached_property
    def verdict(self) -> tuple[Snag, ...]:
        """What the judge says of the plan as it stands."""
        return run(self.as_is)

    @cached_property
    def seats(self) -> Mapping[str, Pose]:
        """Where what is not seated in its station goes first of all, by piece."""
        with overridden({one.id: one.value for one in self.plan.overrides}):
            return seats(self.as_is, self.verdict, self.free, self.task.moves_at_most)

    @cached_property
    def seated(self) -> frozenset[str]:
        """The carriers of the stations in which something is seated: they count as moved."""
        return frozenset(self.as_is.placed[piece].root for piece in self.seats)

    @cached_property
    def scene(self) -> Scene:
        """The scene that the search begins with."""
        return build_scene(self._seated_plan) if self.seats else self.as_is

    @cached_property
    def _seated_plan(self) -> Plan:
        return apply(self.plan, moves(self.plan, dict(self.seats))) if self.seats else self.plan

    @cached_property
    def free(self) -> tuple[str, ...]:
        """The carriers of the stations that may be moved, the largest first."""
        return tuple(self.sizes)

    @cached_property
    def sizes(self) -> Mapping[str, float]:
        """About how much floor each free station takes, in square metres, the largest first."""
        sizes = {
            root: self._size_m2(root)
            for root, members in self.as_is.stations.items()
            if may_move(self.as_is, root) and self._is_free(members)
        }
        return dict(sorted(sizes.items(), key=lambda one: (-one[1], one[0])))

    @cached_property
    def worths(self) -> Mapping[str, float]:
        """What each station is worth that may be left out, by its carrier, in points of the score.

        What stays where it is cannot be left out.
        """
        placed = self.as_is.placed
        known = [pair for pair in self.task.worths if pair[0] in placed]
        return {
            placed[piece].root: worth for piece, worth in known if placed[piece].root in self.free
        }

    def without(self, left_out: Iterable[str]) -> Problem:
        """Return the same problem without some stations, as if they had never been on the plan."""
        out = frozenset(left_out)
        if not out:
            return self
        if out not in self._without:
            plan = without(self.plan, self.members(out))
            self._without[out] = Problem(replace(self.task, plan=plan), self.no_use)
        return self._without[out]

    def members(self, roots: Iterable[str]) -> frozenset[str]:
        """Return the pieces of some stations."""
        stations = self.as_is.stations
        return frozenset(placed.piece.id for root in roots for placed in stations[root])

    def _is_free(self, members: Iterable[object]) -> bool:
        pieces = [placed.piece for placed in members]  # type: ignore[attr-defined]
        return not any(piece.id in self.task.keep or piece.state == OUT for piece in pieces)

    @cached_property
    def largest(self) -> str | None:
        """The carrier that tells layouts apart: the first rack, else the largest that stands."""
        placed = self.scene.placed
        racks = [root for root in self.free if placed[root].kit.group == "Racks"]
        stand = [root for root in self.free if not is_floor(placed[root])]
        return next(iter([*racks, *stand, *self.free]), None)

    def _size_m2(self, root: str) -> float:
        """Return about how much floor a station takes with the room it needs, in square metres."""
        polygons = []
        for placed in self.as_is.stations[root]:
            polygons.append(placed.shape.footprint)
            polygons += [s.polygon for s in placed.shape.spaces if s.space.kind != "access"]
        boxes = shapely.bounds(np.array(polygons, dtype=object))
        wide = boxes[:, 2].max() - boxes[:, 0].min()
        return float(wide * (boxes[:, 3].max() - boxes[:, 1].min())) / 1e6

    @cached_property
    def core(self) -> BareWallCore:
        """The fast core of the plan in which what cannot be done here at all is not asked for."""
        return BareWallCore(self.eased)

    @cached_property
    def homeless(self) -> frozenset[str]:
        """The carriers of what may be moved, is made for a wall, and has room on no bare wall.

        Where any number of things may move no layout has it; else it counts in none where it hangs.
        """
        return self.core.nowhere & frozenset(self.free)

    @cached_property
    def present(self) -> Layout:
        """The layout of the present: every free station where it stands."""
        return self.core.layout(self.free)

    @cached_property
    def eased(self) -> Scene:
        """The scene without the wishes that no place of this room fulfils."""
        return build_scene(eased(self._seated_plan, self.hopeless))

    @cached_property
    def hopeless(self) -> frozenset[tuple[str, str]]:
        """Persons and movements that are too low wherever in the room their piece stands."""
        wanted = [
            (person.id, wish.movement)
            for person in self.plan.people
            for wish in person.wishes
            if wish.wish == "want"
        ]
        core = Core.of(self.scene)
        places = spots(self.scene)
        return frozenset(
            asked
            for asked in wanted
            if asked[1] in places
            and not any(
                self._high_enough(core, root, asked)
                for root in dict.fromkeys(spot.placed.root for spot in places[asked[1]])
            )
        )

    def _high_enough(self, core: Core, root: str, asked: tuple[str, str]) -> bool:
        carrier = self.scene.placed[root]
        turns: tuple[float, ...] = (carrier.pose.angle_deg,)
        points = np.array([carrier.at])
        if root in self.free:
            turns, points = core.turns(root), spread(self.scene, LOOKED_FOR_HEADROOM)
        for turn in turns:
            high = core.headroom(root, turn, points).get(asked)
            if high is None or high.any():
                return True
        return False

    @cached_property
    def given(self) -> frozenset[Kind]:
        """Stops that are there now and that no move mends: they count in no layout.

        Those that hang on no place, those of bars that belong to no hooks, and those among what
        stays alone, and what every wall has against a thing that hangs.
        """
        given = {
            self.kind(snag)
            for snag in self.verdict
            if self._counts(snag) and (not snag.hangs_on_place or unheld(self.as_is, snag))
        }
        if self.free and len(self.free) < len(self.scene.stations):
            rest = build_scene(without(self.plan, self.members(self.free)))
            given |= {self.kind(snag) for snag in run(rest) if self._counts(snag)}
        return frozenset(given) | self._on_any_wall

    @cached_property
    def _on_any_wall(self) -> frozenset[Kind]:
        """Stops of what holds a thing on its wall that it has on whichever wall: to be settled."""
        found = set[Kind]()
        for root in self.free:
            if not self.scene.placed[root].kit.for_wall:
                continue
            walls = [
                {self.kind(snag) for snag in run(scene) if snag.lacks == "fixing"}
                for scene in on_each_wall(self.core, root)
            ]
            found |= {kind for kind in set[Kind]().union(*walls) if all(kind in w for w in walls)}
        return frozenset(found)

    def kind(self, snag: Snag) -> Kind:
        """Return what a finding is about: its code, its station, its movement."""
        first = snag.pieces[0] if snag.pieces else ""
        placed = self.scene.placed.get(first)
        return snag.code, placed.root if placed else first, snag.movement or ""

    def stops(self, verdict: Iterable[Snag]) -> list[Snag]:
        """Return the stops of a verdict that a layout can mend."""
        return [
            snag
            for snag in verdict
            if self._counts(snag)
            and not (snag.lacks == "height" and (snag.person, snag.movement) in self.hopeless)
            and self.kind(snag) not in self.given
        ]

    def _counts(self, snag: Snag) -> bool:
        """Return whether a finding counts as a stop: what hangs in mid-air is no layout either.

        Nor is what hangs across a window, where there is bare wall for it.
        """
        no_use = self.no_use is not None and self.no_use(snag)
        across = snag.code.startswith(ACROSS) and not self.core.nowhere.intersection(snag.pieces)
        return snag.severity == "stop" or snag.code == OFF_THE_WALL or across or no_use

    def cares(self, verdict: Iterable[Snag]) -> list[Snag]:
        """Return the cares of a verdict that a layout can mend."""
        return [snag for snag in verdict if snag.severity == "care" and snag.hangs_on_place]

    def at(self, poses: Poses) -> Scene:
        """Return the scene with pieces at other poses."""
        return self.scene.moved(dict(poses))

    def moved(self, poses: Poses) -> tuple[str, ...]:
        """Return the carriers that stand elsewhere than on the plan."""
        return tuple(
            root
            for root in self.free
            if root in poses
            and (root in self.seated or not same_place(poses[root], self.scene.placed[root].pose))
        )

    def plan_with(self, poses: Poses, left_out: Iterable[str] = ()) -> Plan:
        """Return the plan with pieces at other poses and without the stations left out."""
        there = apply(self.plan, moves(self.plan, dict(poses)))
        return without(there, self.members(left_out))


def same_place(one: Pose, other: Pose) -> bool:
    """Return whether two poses are one to somebody with a tape."""
    turned = abs((one.angle_deg - other.angle_deg + 180) % 360 - 180)
    return abs(one.x_mm - other.x_mm) < 1 and abs(one.y_mm - other.y_mm) < 1 and turned < 0.1


def eased(plan: Plan, hopeless: Iterable[tuple[str, str]]) -> Plan:
    """Return a plan in which persons no longer want what cannot be done here."""
    given_up = set(hopeless)
    if not given_up:
        return plan
    data = json_of(plan)
    for person in data["people"]:
        for wish in person["wishes"]:
            if (person["id"], wish["movement"]) in given_up:
                wish["wish"] = "nice"
    return Plan.model_validate(data)
