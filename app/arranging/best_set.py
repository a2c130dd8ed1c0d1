"""The best set of a wish list that fits together: what it holds, and why the rest is left out.

Every reason was tried: an amount was added up, a place was looked for. What was only not found is
not called impossible.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from app.arrange.better import weight_of
from app.arrange.same_use import already, are_plates
from app.arrange.station_place import about, piece_ids, station_pieces
from app.arranging.best_layouts import JudgedLayout
from app.arranging.no_place import has_place, no_place
from app.arranging.problem import Problem, Task
from app.arranging.search import Search
from app.budget import Budget
from app.changes.commands import adds, apply
from app.checks.run import run
from app.checks.snag import Snag
from app.errors import ElbowroomError
from app.library.kit import KitType, kit_types
from app.library.starters import Station, starter_sets
from app.model.base import json_of
from app.model.kit import Piece, Pose
from app.model.plan import Plan
from app.published.register import overridden
from app.scene.build import build_scene
from app.units import format_money
from app.wording import Phrase, joined, lower, phrase

WANTED_AT_MOST = 12
"""Things on a wish list: their four thousand sets are gone through one by one."""
STEPS_A_SET = 16
"""Steps of one search for a layout of one set: where there is room the first few find one."""
STEPS_AGAIN = 24
"""Steps more for a set of more worth than the best, once that is known: where each thing just has
its half of the room it asks for, of eight searches for two things five found that within sixteen
steps, and the last after thirty."""
SET_STEPS = 400
"""Steps of all searches for one wish list: about half a minute."""
STEPS_OF_THE_BEST = 30
"""Steps that are made for the set that is shown, beyond the first layout without a stop."""
CRAMPED_SHARE = 0.5
"""What share of a space may be lacking before a new thing: with less than half of it nobody who
bought it to use it is glad of it."""
SEED = 1
_SOMEWHERE = Pose(x_mm=0, y_mm=0)
Chosen = frozenset[int]


class WishListError(ElbowroomError):
    """A wish list that cannot be gone through; the sentence says why."""

    code = "wish-list"


@dataclass(frozen=True, slots=True)
class Wanted:
    """One thing of a wish list: a station, and what it is worth beside the others of the list."""

    station: Station
    worth: float

    @property
    def kit(self) -> KitType:
        """The kit type of its carrier."""
        return kit_types()[self.station.type]

    @property
    def name(self) -> str:
        """What it is called, with all that it carries."""
        names = [kit_types()[key].name for key in self.station.types()]
        return " + ".join([names[0], *map(lower, names[1:])])

    @property
    def about_minor(self) -> int:
        """What it costs at the guide prices of the library, all that it carries with it."""
        return sum(kit_types()[key].price_minor or 0 for key in self.station.types())


@dataclass(frozen=True, slots=True)
class LeftOut:
    """What of a wish list is not in the set, and why."""

    wanted: Wanted
    why: Phrase


@dataclass(frozen=True, slots=True)
class BestSet:
    """What of a wish list goes in together, where it stands, what it costs, and what is left out.

    `placed` are the pieces of each thing that is in it. `proven` tells that no affordable set of
    more worth was left untried.
    """

    chosen: tuple[Wanted, ...]
    placed: tuple[tuple[Piece, ...], ...]
    plan: Plan
    minor: int
    left_out: tuple[LeftOut, ...]
    proven: bool

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """All that is put in, where it stands."""
        return tuple(piece for one in self.placed for piece in one)


def usual_station(type_key: str) -> Station:
    """Return a kit type as it is bought: a rack with its bar and bench, else the thing alone."""
    known = (station for one in starter_sets().values() for station in one.stations)
    racks = [one for one in known if kit_types()[one.type].group == "Racks" and one.carries]
    same = next((one for one in racks if type_key in (one.type, *one.instead)), None)
    if same is None:
        return Station(type=type_key)
    return Station(type=type_key, carries=same.carries)


def best_set(
    plan: Plan,
    wanted: Sequence[Wanted],
    sum_minor: int | None = None,
    budget: Budget | None = None,
) -> BestSet:
    """Return the set of most worth, within a sum, for which a layout without a stop was found.

    What is on the plan stays where it is. What serves the same use there is not put in again.
    Raises WishListError where the list is empty or too long.
    """
    if not wanted:
        raise WishListError("There is nothing on the list: choose what you would like to have.")
    if len(wanted) > WANTED_AT_MOST:
        raise WishListError(
            f"There are {len(wanted)} things on the list; at most {WANTED_AT_MOST} are weighed "
            "against one another at once. Take those off that matter least."
        )
    with overridden({one.id: one.value for one in plan.overrides}):
        return _Weighing(plan, tuple(wanted), sum_minor, budget or Budget(SET_STEPS)).answer()


class _Weighing:
    """One wish list while it is gone through: what was tried, and what came of it."""

    def __init__(
        self, plan: Plan, wanted: tuple[Wanted, ...], sum_minor: int | None, budget: Budget
    ) -> None:
        self.plan, self.wanted, self.sum_minor, self.budget = plan, wanted, sum_minor, budget
        self.bare = build_scene(plan)
        self.known = {about(snag) for snag in run(self.bare) if snag.severity == "stop"}
        self.plates = [are_plates(one.kit) for one in wanted]
        self.bars = [any(kit_types()[key].bar for key in one.station.types()) for one in wanted]
        self.bar_there = any(placed.kit.bar for placed in self.bare.order) or not any(self.bars)
        self.plates_to_be_had: tuple[int, ...] = ()
        self.why: dict[int, Phrase] = {}
        self.roots: dict[int, str] = {}
        self.new: dict[int, tuple[Piece, ...]] = {}
        with_all = plan
        for number, one in enumerate(wanted):
            names = piece_ids(with_all, one.station, one.station.type)
            self.new[number] = station_pieces(one.station, one.kit, names, _SOMEWHERE)
            self.roots[number] = names[0]
            with_all = apply(with_all, adds(self.new[number]))
        keep = frozenset(piece.id for piece in plan.pieces)
        self.new_pieces = frozenset(piece.id for pieces in self.new.values() for piece in pieces)
        self.problem = Problem(Task(with_all, keep), self.is_cramped)
        self.layout_of: dict[Chosen, JudgedLayout] = {}
        self.failed: dict[Chosen, Search] = {}

    def answer(self) -> BestSet:
        """Return the best set."""
        self.sorted_out()
        some = [number for number in range(len(self.wanted)) if number not in self.why]
        best, proven = self.best(some)
        for number in some:
            if number not in best:
                self.why[number] = self.reason(number, best)
        layout = self.bettered(best)
        poses = {} if layout is None else layout.poses
        placed = tuple(
            tuple(_at(piece, poses[piece.id]) for piece in self.new[number])
            for number in sorted(best)
        )
        pieces = [piece for one in placed for piece in one]
        return BestSet(
            tuple(self.wanted[number] for number in sorted(best)),
            placed,
            apply(self.plan, adds(pieces)) if pieces else self.plan,
            self.minor(best),
            tuple(LeftOut(self.wanted[number], self.why[number]) for number in sorted(self.why)),
            proven,
        )

    def sorted_out(self) -> None:
        """Leave out at once what is there, what is too dear alone, and what fits nowhere alone."""
        core = self.problem.core
        for number, one in enumerate(self.wanted):
            there = next(already(self.bare.order, one.kit), None)
            if there is not None:
                self.why[number] = phrase("already here: the {}", lower(there.name))
            elif self.sum_minor is not None and one.about_minor > self.sum_minor:
                self.why[number] = self.too_dear(one.about_minor)
            elif not has_place(core, self.roots[number]):
                self.why[number] = phrase("it cannot be: {}", no_place(core, self.roots[number]))
        self.plates_to_be_had = tuple(
            number for number, plates in enumerate(self.plates) if plates and number not in self.why
        )

    def best(self, some: Sequence[int]) -> tuple[Chosen, bool]:
        """Return the best set of some that was found, and whether none better was left untried.

        What failed and would be better is looked for longer, once all others were tried.
        """
        best, proven = self.first_of(some)
        better = [one for one in self.failed if self.worth(one) > self.worth(best)]
        for one in sorted(better, key=self.rank):
            if self.budget.over:
                break
            if self.found(one, self.failed[one], STEPS_AGAIN) is not None:
                return one, proven
        return best, proven

    def first_of(self, some: Sequence[int]) -> tuple[Chosen, bool]:
        """Return the best set that a short search for each finds, and whether all were tried."""
        best: Chosen = frozenset()
        # one after another first, the most worth before the rest: a set to be better than
        for number in sorted(some, key=lambda k: (self.plates[k], -self.wanted[k].worth, k)):
            more = self.with_plates(best | {number})
            if self.affordable(more) and self.of_use(more) and self.layout(more) is not None:
                best = more
        for better in self.sets(some):
            if self.worth(better) <= self.worth(best):
                return best, True
            if any(failed <= better for failed in self.failed):
                continue
            if self.layout(better) is not None:
                return better, True
            if self.budget.over:
                return best, False
        return best, True

    def sets(self, some: Sequence[int]) -> Iterator[Chosen]:
        """Yield the affordable sets, those of most worth first, of equals the cheaper."""
        every = [
            frozenset(one) for count in range(len(some) + 1) for one in combinations(some, count)
        ]
        every = [one for one in every if self.affordable(one) and self.of_use(one)]
        yield from sorted(every, key=self.rank)

    def rank(self, chosen: Chosen) -> tuple[float, int, list[int]]:
        """Return how early a set is tried: the most worth first, of equals the cheaper."""
        return -self.worth(chosen), self.minor(chosen), sorted(chosen)

    def layout(self, chosen: Chosen) -> JudgedLayout | None:
        """Return a layout of a set without a new stop, None where a short search finds none."""
        if chosen in self.layout_of:
            return self.layout_of[chosen]
        if chosen in self.failed:
            return None
        return self.found(chosen, self.search(chosen), STEPS_A_SET)

    def found(self, chosen: Chosen, search: Search, steps: int) -> JudgedLayout | None:
        """Return what so many more steps of a search for a set find, and keep in mind what came."""
        for _ in range(steps):
            if not self.budget.allows():
                return None
            search.step()
            whole = (one for one in search.layouts.every if not one.stops)
            best = next((one for one in whole if self.is_used(search.problem, one)), None)
            if best is not None:
                self.layout_of[chosen] = best
                self.failed.pop(chosen, None)
                return best
        self.failed[chosen] = search
        return None

    def bettered(self, chosen: Chosen) -> JudgedLayout | None:
        """Return a better layout of a set than the first one; the first where none is found."""
        first = self.layout_of.get(chosen)
        if first is None:
            return None
        search = self.search(chosen)
        for _ in range(STEPS_OF_THE_BEST):
            if not self.budget.allows():
                break
            search.step()
        better = [one for one in search.layouts.every if not one.stops and one.rank < first.rank]
        return next((one for one in better if self.is_used(search.problem, one)), first)

    def search(self, chosen: Chosen) -> Search:
        """Return a search for layouts of a set."""
        out = frozenset(root for number, root in self.roots.items() if number not in chosen)
        return Search(self.problem, SEED, 0, out)

    def is_used(self, problem: Problem, layout: JudgedLayout) -> bool:
        """Return whether all that is new is of use in a layout, and nothing new is a stop.

        Height is a question of who: that is said of each thing, not of the list.
        """
        return not any(
            self.is_cramped(snag)
            or (
                snag.severity == "stop" and snag.lacks != "height" and about(snag) not in self.known
            )
            for snag in run(problem.at(layout.poses))
        )

    def is_cramped(self, snag: Snag) -> bool:
        """Return whether a finding is that something new has too little room to be of use."""
        of_place = snag.severity == "care" and snag.hangs_on_place and not snag.movement
        new = of_place and not self.new_pieces.isdisjoint(snag.pieces)
        return new and weight_of(snag).share > CRAMPED_SHARE

    def reason(self, number: int, best: Chosen) -> Phrase:
        """Return why a thing that might stand here alone is not in the set; each one tried."""
        more = self.with_plates(best | {number})
        if not self.of_use(more):
            return phrase("plates are of no use without a bar")
        if not self.affordable(more):
            return self.too_dear(self.minor(more))
        if self.layout(more) is not None:
            return phrase("no more was tried: the list is too long for the time")
        if best and self.layout(frozenset({number})) is None:
            if self.budget.over and frozenset({number}) not in self.failed:
                return phrase("it was not tried in time")
            return phrase("no place was found for it, even as the only thing of the list")
        for other in sorted(best, key=lambda k: (self.wanted[k].worth, k)):
            if self.layout(more - {other}) is not None:
                name = lower(self.wanted[other].kit.name)
                return phrase("a place was found for it only without the {}", name)
        if self.budget.over:
            return phrase("no place was found for it beside the others in the time there was")
        names = [lower(self.wanted[k].kit.name) for k in sorted(best)]
        if not names:
            return phrase("no place was found for it")
        return phrase("no place was found for it together with the {}", joined(", the ", names))

    def too_dear(self, minor: int) -> Phrase:
        """Return that an amount is more than the sum."""
        limit = self.sum_minor or 0
        currency = self.plan.currency
        return phrase(
            "with it the list comes to about {}, more than {}",
            format_money(minor, currency).replace(".00", ""),
            format_money(limit, currency).replace(".00", ""),
        )

    def affordable(self, chosen: Chosen) -> bool:
        """Return whether a set is within the sum."""
        return self.sum_minor is None or self.minor(chosen) <= self.sum_minor

    def of_use(self, chosen: Chosen) -> bool:
        """Return whether plates have a bar and a bar has plates, where they can be had at all."""
        plates = any(self.plates[number] for number in chosen)
        bars = any(self.bars[number] for number in chosen)
        if bars and not plates and self.plates_to_be_had:
            return False
        return self.bar_there or not plates or bars

    def with_plates(self, chosen: Chosen) -> Chosen:
        """Return a set with the plates that a bar in it lacks, the cheapest of the list."""
        if self.of_use(chosen) or not any(self.bars[number] for number in chosen):
            return chosen
        return chosen | {min(self.plates_to_be_had, key=lambda k: (self.minor(frozenset({k})), k))}

    def minor(self, chosen: Chosen) -> int:
        """Return what a set costs at guide prices."""
        return sum(self.wanted[number].about_minor for number in chosen)

    def worth(self, chosen: Chosen) -> float:
        """Return what a set is worth."""
        return sum(self.wanted[number].worth for number in chosen)


def _at(piece: Piece, pose: Pose) -> Piece:
    return Piece.model_validate({**json_of(piece), "pose": json_of(pose)})
