"""The plan's things to buy as purchases: grouped, priced with tax, valued, in need of one another.

Fit-out is bought part by part (paint with its rollers, the lights with their screws), kit piece by
piece. What is worth something is what people want to do: a movement that somebody wants and that
fits them here counts in every month in which all that it takes is there. What no movement asks for
has a small worth of its own, for somebody put it on the plan.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import product

from app.checks.goes_together import is_plates
from app.checks.spot import Spot
from app.checks.spots import SHUT, judge, spots
from app.costs.budget import gross_minor_by_line
from app.costs.cost import PIECE, CostLine, Costs
from app.costs.tax import rate_of
from app.library.movements import movements
from app.model.people import Person
from app.model.phasing import Phasing, PurchaseNote, months_between
from app.published.register import published
from app.scene.build import Scene
from app.scene.tolerance import falls_short
from app.takeoff.line import PART_NAMES
from app.works.purchase import Purchase, Purse, Use

PART = "part."
"""What the key of a part of the fit-out begins with."""
ORDERED = "ordered"
"""The key of all that is ordered already and has to be paid."""

WORTH_WANTED = 4
"""What a month of something that one person wants to do is worth: counts among themselves."""
WORTH_NICE = 2
"""Likewise of what one would like to do: two such are one that is wanted."""
WORTH_BY_ITSELF = 1
"""Likewise of a thing that nothing wanted asks for: it gives way to all else, and is bought."""

_FIRST: Mapping[str, tuple[str, ...]] = {
    "linings": ("tools", "protection"),
    "fixings": ("tools", "protection"),
    "paint": ("tools", "protection", "linings"),
    "light": ("fixings",),
    "floor": ("paint", "light"),
    "strip": ("paint",),
    "mirrors": ("paint",),
    "projection": ("paint",),
}
"""What comes before what among the parts: nothing is begun without tools and what protects; paint
drips, and one stands on a ladder for the lights: both before the floor lies."""

WORKDAYS_A_MONTH = 21
"""Days from Monday to Friday of a month, in the mean and rounded down."""


@dataclass(frozen=True, slots=True)
class ToBuy:
    """One thing to buy as people read it: its name, its price, why it is there when it is.

    `minor` has tax in it. `unpriced` names what is in it that nobody knows the price of. `serves`
    are the names of what is wanted and takes this; nobody wishes for it where that is empty.
    """

    key: str
    name: str
    group: str
    minor: int
    unpriced: tuple[str, ...]
    serves: tuple[str, ...]
    wanted: PurchaseNote
    later: bool
    pieces: tuple[str, ...] = ()

    @property
    def is_no_wish(self) -> bool:
        """Whether it is there to train with and nobody wishes for what one does with it."""
        return bool(self.pieces) and not self.serves and self.group != "Of the house"

    @property
    def earliest(self) -> int:
        """The first month that is tried.

        What was put off with one word before there were months is not bought in the first, until
        something else is said of it.
        """
        return int(self.later and self.wanted == PurchaseNote(id=self.key))


@dataclass(frozen=True, slots=True)
class Wishes:
    """All there is to buy, what can be done with it, and the same for the solver."""

    things: tuple[ToBuy, ...]
    purchases: tuple[Purchase, ...]
    uses: tuple[Use, ...]
    left_out: tuple[ToBuy, ...]
    ordered_minor: int


def purse_of(phasing: Phasing, costs: Costs) -> Purse:
    """Return what there is to spend, and the share of it that is kept back for surprises."""
    return Purse(
        phasing.put_by_minor,
        phasing.a_month_minor,
        phasing.months,
        rate_of(costs.contingency_percent),
    )


def wishes_of(
    scene: Scene, costs: Costs, first_month: str, wanted_from: Mapping[str, str] | None = None
) -> Wishes:
    """Return what is to be bought for a plan, with its worth and what it waits for.

    `wanted_from` says by its key before which month a thing is of no use: nothing is bought sooner.
    """
    from_month = wanted_from or {}
    phasing = scene.plan.phasing
    all_things = [*_parts(costs, phasing), *_kit(scene, costs, phasing)]
    ways = _uses(scene)
    serves = _served_by(scene, ways)
    left_out = tuple(thing for thing in all_things if thing.wanted.left_out)
    things = tuple(
        ToBuy(
            thing.key, thing.name, thing.group, thing.minor, thing.unpriced,
            tuple(serves.get(thing.key, ())), thing.wanted, thing.later, thing.pieces,
        )
        for thing in all_things
        if not thing.wanted.left_out
    )  # fmt: skip
    keys = {thing.key for thing in things}
    gone = {thing.key for thing in left_out}
    gross = gross_minor_by_line(costs)
    ordered = sum(gross[line.key] for line in costs.lines if line.standing == "committed")
    purchases = [
        _purchase(scene, thing, keys, first_month, from_month.get(thing.key, first_month))
        for thing in things
    ]
    if ordered:
        purchases.append(Purchase(ORDERED, ordered, month=0))
    return Wishes(things, tuple(purchases), _open_uses(scene, ways, keys, gone), left_out, ordered)


def _parts(costs: Costs, phasing: Phasing) -> Iterator[ToBuy]:
    """Yield what is to come of each part of the fit-out, in the order of the list."""
    names = {name: part for part, name in PART_NAMES.items()}
    by_part: dict[str, list[CostLine]] = {}
    for line in costs.lines:
        if line.group == "fit-out" and line.standing == "to-come":
            by_part.setdefault(line.part, []).append(line)
    for name, lines in by_part.items():
        key = f"{PART}{names[name]}"
        yield _to_buy(costs, key, name, name, lines, phasing)


def _kit(scene: Scene, costs: Costs, phasing: Phasing) -> Iterator[ToBuy]:
    for line in costs.lines:
        if line.group == "kit" and line.standing == "to-come":
            placed = scene.placed[line.key.removeprefix(PIECE)]
            yield _to_buy(
                costs, line.key, line.item, placed.kit.group, [line], phasing, (placed.piece.id,)
            )


def _to_buy(
    costs: Costs,
    key: str,
    name: str,
    group: str,
    lines: list[CostLine],
    phasing: Phasing,
    pieces: tuple[str, ...] = (),
) -> ToBuy:
    gross = gross_minor_by_line(costs)
    minor = sum(gross[line.key] for line in lines)
    unpriced = tuple(line.item for line in lines if line.asked_minor is None)
    later = all(line.later for line in lines)
    return ToBuy(key, name, group, minor, unpriced, (), phasing.note_of(key), later, pieces)


def _purchase(
    scene: Scene, thing: ToBuy, keys: set[str], first_month: str, wanted_from: str
) -> Purchase:
    note, is_part = thing.wanted, thing.key.startswith(PART)
    month = None
    if note.month is not None:
        month = max(0, months_between(first_month, note.month))
        # laid beyond the months that are looked at: not bought within them
        month = min(month, scene.plan.phasing.months)
    worth = note.worth
    if worth is None:
        worth = 0 if thing.serves and not is_part else WORTH_BY_ITSELF
    return Purchase(
        thing.key,
        thing.minor,
        worth,
        is_part if note.must is None else note.must,
        tuple(first for first in _waits_for(scene, thing) if first in keys),
        _on_the_way_months(thing),
        max(thing.earliest, months_between(first_month, wanted_from)),
        month,
    )


def _waits_for(scene: Scene, thing: ToBuy) -> Iterator[str]:
    if not thing.pieces:
        yield from (f"{PART}{part}" for part in _FIRST.get(thing.key.removeprefix(PART), ()))
        return
    placed = scene.placed[thing.pieces[0]]
    host = placed.piece.carried_by
    if host is not None:
        yield f"{PIECE}{host}"
    elif placed.kit.group == "Of the house":
        yield f"{PART}paint"
    else:
        # nobody trains before the room is done: all that has to be there comes before kit
        yield from (
            key
            for part in PART_NAMES
            if scene.plan.phasing.note_of(key := f"{PART}{part}").must is not False
        )


def _on_the_way_months(thing: ToBuy) -> int:
    """Return after how many months it is in use: what it takes to come, in whole months."""
    kind = {"part.floor": "floor", "part.mirrors": "mirror"}.get(thing.key, "small")
    if thing.pieces:
        kind = "machine" if thing.group == "Machines" else "kit"
    return math.ceil(published(f"works.lead.{kind}-workdays") / WORKDAYS_A_MONTH)


BAR = "bar"
"""What a use needs that is done with a bar."""

UseKey = tuple[str, str]
"""A movement and a person."""


def use_name(use: UseKey) -> str:
    """Name a use in the solver."""
    return f"{use[0]}:{use[1]}"


def _uses(scene: Scene) -> dict[UseKey, tuple[frozenset[str], ...]]:
    """Return all that somebody wants to do and that fits, with the sets of pieces that it takes."""
    by_movement = spots(scene)
    ways_by_use: dict[UseKey, tuple[frozenset[str], ...]] = {}
    for person in scene.plan.people:
        for movement, places in by_movement.items():
            fitting = where_it_fits(scene, person, movement, places)
            ways = tuple(dict.fromkeys(way for spot in fitting for way in _ways(scene, spot)))
            if ways:
                ways_by_use[movement, person.id] = ways
    return ways_by_use


def where_it_fits(
    scene: Scene, person: Person, movement: str, places: tuple[Spot, ...]
) -> tuple[Spot, ...]:
    """Return the places at which a person can do a movement; none where they do not wish for it."""
    if person.wish_for(movement) not in ("want", "nice"):
        return ()
    return tuple(
        spot
        for spot in places
        if not falls_short(judge(scene, person, spot, SHUT).spare_least_mm, 0)
    )


def _ways(scene: Scene, spot: Spot) -> Iterator[frozenset[str]]:
    """Yield each set of pieces with which a movement can be done at one place.

    Who lifts a bar wants plates on it: one stack of those in the plan, where there are any.
    """
    station = [placed for placed in scene.order if placed.root == spot.placed.root]
    kinds = {
        BAR: [placed for placed in station if placed.kit.bar is not None],
        "bench": [placed for placed in station if placed.kit.group == "Benches"],
    }
    always = {spot.placed.piece.id, spot.placed.root}
    wanted = [kinds[need] for need in spot.use.needs]
    stacks = [placed for placed in scene.order if is_plates(placed)]
    if BAR in spot.use.needs and stacks:
        wanted.append(stacks)
    for some in product(*wanted):
        yield frozenset({*always, *(placed.piece.id for placed in some)})


def _served_by(
    scene: Scene, ways: Mapping[UseKey, tuple[frozenset[str], ...]]
) -> dict[str, list[str]]:
    """Return for each piece, by its key of money, what is wanted and takes it."""
    serves: dict[str, list[str]] = {}
    for (movement, _), sets in ways.items():
        name = movements()[movement].name
        for piece in sorted(frozenset().union(*sets)):
            names = serves.setdefault(f"{PIECE}{piece}", [])
            if name not in names:
                names.append(name)
    return serves


def _open_uses(
    scene: Scene,
    ways: Mapping[UseKey, tuple[frozenset[str], ...]],
    keys: Iterable[str],
    left_out: set[str],
) -> tuple[Use, ...]:
    """Return the uses for the solver: what is there already is no longer asked for."""
    to_buy = set(keys)
    uses = []
    for (movement, person_id), sets in ways.items():
        person = next(one for one in scene.plan.people if one.id == person_id)
        still = tuple(
            dict.fromkeys(
                frozenset(key for piece in way if (key := f"{PIECE}{piece}") in to_buy)
                for way in sets
                if not left_out & {f"{PIECE}{piece}" for piece in way}
            )
        )
        if still:
            worth = WORTH_WANTED if person.wish_for(movement) == "want" else WORTH_NICE
            uses.append(Use(use_name((movement, person_id)), worth, still))
    return tuple(uses)
