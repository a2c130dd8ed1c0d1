"""A starter set placed by the judge: station by station, where nothing new is a stop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.arrange.effort import FULL, STARTER_STEPS, work_of
from app.arrange.joining import joined
from app.arrange.same_use import already
from app.arrange.station_place import NOT_JUDGED, about, find_place
from app.budget import Budget
from app.changes.commands import adds, apply
from app.checks.run import run
from app.library.kit import KitType, kit_types
from app.library.starters import Carried, StarterSet, Station
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room_walls import fresh_id
from app.scene.build import Placed, build_scene
from app.wording import Phrase, lower, phrase


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A piece of a set that is not put in, and why."""

    name: str
    why: Phrase


@dataclass(frozen=True, slots=True)
class PlacedSet:
    """A set in a room: the new pieces where they stand, the plan with them, what is worth saying.

    `left_out` is all of the set that is not put in: it stands already, or finds no place without
    a new stop.
    """

    starter: StarterSet
    pieces: tuple[Piece, ...]
    plan: Plan
    left_out: tuple[LeftOut, ...]
    says: tuple[str, ...]


def place_set(plan: Plan, starter: StarterSet, budget: Budget | None = None) -> PlacedSet:
    """Place a set on a plan, in its order, each station at the best place that is left.

    What serves the same use on the plan is not put in again; a bar or bench goes to a rack that
    stands. A place is taken only if the judge finds no stop there that was not before, and never
    where a door swings; of those one with the fewest new cares, and of those one on floor that is
    nobody's. What the budget does not reach is left out, and says so.
    """
    filling = _Filling(plan, budget or Budget(STARTER_STEPS))
    for station in starter.stations:
        filling.take(station)
    return PlacedSet(
        starter, tuple(filling.placed), filling.plan, tuple(filling.left_out), tuple(filling.says)
    )


class _Filling:
    """A plan that is filled station by station; what stood at first is `there`."""

    def __init__(self, plan: Plan, budget: Budget) -> None:
        self.plan = plan
        self.budget = budget
        self.there = build_scene(plan).order
        self.placed: list[Piece] = []
        self.left_out: list[LeftOut] = []
        self.says: list[str] = []

    def take(self, station: Station) -> None:
        kit = kit_types()[station.type]
        hosts = list(already(self.there, kit, station.instead))
        if hosts:
            self._leave(kit, _stands_already(hosts[0]))
            for carried in self._missing(station):
                self._carry(carried, hosts)
            return
        wanted = self._missing(station)
        lean = Station(type=station.type, instead=station.instead, carries=tuple(wanted))
        why = phrase("")
        for key in (station.type, *station.instead):
            spot = find_place(self.plan, lean, key, self.budget)
            if isinstance(spot, tuple):
                if key != station.type:
                    name, other = kit_types()[key].name, lower(kit.name)
                    self.says.append(f"{name} instead of the {other}, which does not fit.")
                self._put(spot)
                return
            why = why if why.template else spot
        self._leave(kit, why)
        for carried in wanted:
            rest = phrase("it goes with the {}, which is left out", lower(kit.name))
            self._leave(kit_types()[carried.type], rest)

    def _missing(self, station: Station) -> list[Carried]:
        return [one for one in station.carries if not self._already_there(kit_types()[one.type])]

    def _already_there(self, kit: KitType) -> bool:
        """Return whether what a station carries is there already, and then say so."""
        there = next(already(self.there, kit), None)
        if there is not None:
            self._leave(kit, _stands_already(there))
        return there is not None

    def _carry(self, carried: Carried, hosts: Sequence[Placed]) -> None:
        """Put a bar or bench to a rack that stands, where it brings no new stop."""
        kit, scene = kit_types()[carried.type], build_scene(self.plan)
        if not self.budget.allows(work_of(scene, FULL)):
            self._leave(kit, NOT_JUDGED)
            return
        known = {about(snag) for snag in run(scene)}
        name = lower(hosts[0].name)
        why = phrase("the {} that stands has no room for it", name)
        for host in hosts:
            way = joined(scene, kit.key, host.piece.id, self.budget)
            if way is None:
                continue
            taken = {piece.id for piece in self.plan.pieces}
            piece = Piece(
                id=fresh_id(kit.key, taken),
                type=kit.key,
                pose=way.pose,
                carried_by=way.host,
                plate_mm=carried.plate_mm,
            )
            with_it = build_scene(apply(self.plan, adds([piece])))
            if not self.budget.allows(work_of(with_it, FULL)):
                why = NOT_JUDGED
                break
            snags = run(with_it)
            new = [one for one in snags if one.severity == "stop" and about(one) not in known]
            if not new:
                self._put((piece,))
                self.says.append(f"{kit.name}: goes to the {name} that stands.")
                return
            why = phrase("in the {} that stands it would be a stop: {}", name, new[0].wording)
        self._leave(kit, why)

    def _put(self, pieces: tuple[Piece, ...]) -> None:
        self.placed += pieces
        self.plan = apply(self.plan, adds(pieces))

    def _leave(self, kit: KitType, why: Phrase) -> None:
        self.left_out.append(LeftOut(kit.name, why))


def _stands_already(placed: Placed) -> Phrase:
    return phrase("the {} that is already here will do", lower(placed.name))
