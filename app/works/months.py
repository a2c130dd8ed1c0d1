"""Money month by month: what is bought in which, what is left, what one can train from when."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from typing import Any

from app.budget import Budget
from app.checks.goes_together import is_plates
from app.checks.run import run
from app.checks.spots import spots
from app.costs.cost import Costs
from app.costs.tax import half_up
from app.errors import Fault, PlanError
from app.library.movements import movements
from app.model.money import Entry, Price
from app.model.phases import without
from app.model.phasing import later_month, month_of
from app.model.plan import Plan
from app.model.works import MONTHS, day_words
from app.scene.build import Scene, build_scene
from app.units import format_money
from app.works.phases import BAR, ORDERED, ToBuy, Wishes, purse_of, where_it_fits, wishes_of
from app.works.purchase import Purse
from app.works.purchases import Buying, buy, choices
from app.works.room_ready import RoomReady

Trains = tuple[str, str]
"""A movement and the person who does it."""

JudgedWithout = dict[frozenset[str], tuple[Trains, ...]]
"""What can be trained in a room without some of its pieces."""


@dataclass(frozen=True, slots=True)
class Month:
    """One month: what is bought in it, and what can be done in it with what has come by then.

    Sums in minor units. `there_is_minor` is all that came in by its end, `kept_back_minor` what
    of it stays in the purse for surprises, `missing_minor` what a hand has laid into it and before
    it beyond that. `new` are those of `trains` that could not be done in the month before.
    """

    month: str
    buys: tuple[ToBuy, ...]
    spent_minor: int
    spent_by_then_minor: int
    there_is_minor: int
    kept_back_minor: int
    missing_minor: int
    trains: tuple[Trains, ...]
    new: tuple[Trains, ...]


@dataclass(frozen=True, slots=True)
class Months:
    """All months up to the one in which the last thing has come, and what is in none.

    `beyond` are things that the purse does not reach within the months looked at; `left_out` what
    the household left out; `unpriced` what is in the months though nobody knows its price.
    `first_training` is the day on which the room is ready with this money; None where nobody knows.
    """

    currency: str
    months: tuple[Month, ...]
    beyond: tuple[ToBuy, ...]
    left_out: tuple[ToBuy, ...]
    unpriced: tuple[str, ...]
    problems: tuple[str, ...]
    proven: bool
    total_minor: int
    first_month: str
    first_training: date | None = None

    @property
    def least_left(self) -> tuple[int, str] | None:
        """The least that is left over at the end of a month, and which; None without months."""
        left = [
            (m.there_is_minor - m.spent_by_then_minor - m.kept_back_minor, m.month)
            for m in self.months
        ]
        return min(left, default=None)


@dataclass(frozen=True, eq=False)
class Asked:
    """What is asked of the months of a plan: its wishes, its purse, and the month it begins with.

    What can be trained without some pieces is kept in `judged`: choices are much alike. `ready`
    says what the works ask for when; None where they cannot be planned.
    """

    scene: Scene
    costed: Costs
    wishes: Wishes
    purse: Purse
    first: str
    judged: JudgedWithout = field(default_factory=dict)
    ready: RoomReady | None = None

    def choices(self, budget: Budget) -> Iterator[Buying]:
        """Yield a choice as soon as there is one, then better ones; the last is the answer."""
        return choices(self.wishes.purchases, self.wishes.uses, self.purse, budget)

    def best(self) -> Buying:
        """Return the last of the choices, once no better one is looked for."""
        return buy(self.wishes.purchases, self.wishes.uses, self.purse)

    def months(self, buying: Buying) -> Months:
        """Return the purchases month by month as they were chosen."""
        wishes, currency = self.wishes, self.scene.plan.currency
        first_training: date | None = None
        later: tuple[str, ...] = ()
        if self.ready is not None:
            must = {thing.key for thing in wishes.purchases if thing.must}
            months = {
                key: later_month(self.first, t)
                for key, t in buying.months.items()
                if t is not None and key in must
            }
            first_training, later = self.ready.with_money(months)
        return Months(
            currency,
            tuple(self._each(buying)),
            tuple(thing for thing in wishes.things if buying.months[thing.key] is None),
            wishes.left_out,
            tuple(item for thing in wishes.things for item in thing.unpriced),
            (
                *_foreign(self.scene.plan, self.costed),
                *_problems(wishes, buying, self.purse, self.first, currency),
                *later,
            ),
            buying.proven,
            sum(buying.spent_minor),
            self.first,
            first_training,
        )

    def _each(self, buying: Buying) -> Iterator[Month]:
        wishes, purse = self.wishes, self.purse
        way = {thing.key: thing.on_the_way_months for thing in wishes.purchases}
        comes = {key: at + way[key] for key, at in buying.months.items() if at is not None}
        last = min(max(comes.values(), default=0), purse.months - 1)
        last = max(last, max((t for t, spent in enumerate(buying.spent_minor) if spent), default=0))
        spent = 0
        before: tuple[Trains, ...] = ()
        for t in range(last + 1):
            spent += buying.spent_minor[t]
            late = [thing for thing in wishes.things if comes.get(thing.key, t + 1) > t]
            gone = (piece for thing in (*late, *wishes.left_out) for piece in thing.pieces)
            trains = self._trains(frozenset(gone))
            yield Month(
                later_month(self.first, t),
                tuple(thing for thing in wishes.things if buying.months[thing.key] == t),
                buying.spent_minor[t],
                spent,
                purse.available(t),
                half_up(spent * Fraction(purse.kept_back)),
                buying.missing.get(t, 0),
                trains,
                tuple(one for one in trains if one not in before),
            )
            before = trains

    def _trains(self, missing: frozenset[str]) -> tuple[Trains, ...]:
        if missing not in self.judged:
            self.judged[missing] = _trains(self.scene, missing)
        return self.judged[missing]


def asked_of(
    scene: Scene,
    costed: Costs,
    first_month: str,
    judged: JudgedWithout | None = None,
    ready: RoomReady | None = None,
) -> Asked:
    """Return what is asked of the months of a plan. `first_month` as "2027-03".

    `costed` is what the plan comes to. A first month of the plan's own goes before `first_month`.
    `judged` is what is known of this room already, and is added to; `ready` says when the works
    want each thing. Raises PlanError where nothing
    is put by and nothing comes in though there is something to pay.
    """
    plan = scene.plan
    first = plan.phasing.first_month or first_month
    wanted = {} if ready is None else ready.wanted_from()
    wishes, purse = wishes_of(scene, costed, first, wanted), purse_of(plan.phasing, costed)
    if not purse.put_by_minor and not purse.a_month_minor and any(t.minor for t in wishes.things):
        raise PlanError(
            Fault("", "nothing is saved up and nothing comes in: say what there is to spend")
        )
    return Asked(scene, costed, wishes, purse, first, {} if judged is None else judged, ready)


def months_of(
    scene: Scene, costed: Costs, first_month: str, ready: RoomReady | None = None
) -> Months:
    """Return the purchases of a plan month by month, once no better choice is looked for.

    Raises as `asked_of` does.
    """
    asked = asked_of(scene, costed, first_month, ready=ready)
    return asked.months(asked.best())


def _trains(scene: Scene, missing: frozenset[str]) -> tuple[Trains, ...]:
    """Judge the room without some pieces, as any plan: what is wanted and fits, by whom.

    A bar is lifted once plates are there, where the plan has any.
    """
    plan = without(scene.plan, missing)
    now = scene if plan is scene.plan else build_scene(plan)
    stopped = {
        (snag.movement, snag.person)
        for snag in run(now)
        if snag.severity == "stop" and snag.movement is not None
    }
    bare = any(map(is_plates, scene.order)) and not any(map(is_plates, now.order))
    lifted = {
        movement: tuple(spot for spot in places if not (bare and BAR in spot.use.needs))
        for movement, places in spots(now).items()
    }
    return tuple(
        (movement, person.id)
        for movement, places in lifted.items()
        for person in plan.people
        if not {(movement, person.id), (movement, None)} & stopped
        and where_it_fits(now, person, movement, places)
    )


def _foreign(plan: Plan, costed: Costs) -> Iterator[str]:
    """Yield a sentence for each price in another money: it is kept, and not counted."""
    names = {line.key: line.item for line in costed.lines}
    every: list[Entry | Price] = [*plan.money.entries, *plan.money.prices]
    for note in every:
        if note.currency not in (None, plan.currency):
            yield (
                f"{names.get(note.id, note.id)}: its price is in {note.currency} and the plan's "
                f"money is {plan.currency}: it does not count until it is given in {plan.currency}"
            )


def _problems(
    wishes: Wishes, buying: Buying, purse: Purse, first: str, currency: str
) -> Iterator[str]:
    names: Mapping[str, str] = {thing.key: thing.name for thing in wishes.things}
    for t, missing in buying.missing.items():
        spent = sum(buying.spent_minor[: t + 1])
        needed = f"{format_money(spent, currency)} spent"
        if purse.kept_back:
            needed += " and what is kept back for surprises"
        yield (
            f"{month_words(later_month(first, t))} does not reach: {needed} take "
            f"{format_money(missing, currency)} more than the "
            f"{format_money(purse.available(t), currency)} there is by then"
        )
    for key, waits_for in buying.unmet:
        yield f"{names.get(key, key)} is laid before {names[waits_for]}, which it waits for"
    for thing in wishes.things:
        if buying.months[thing.key] is None and thing.key != ORDERED:
            why = "must be there, but it" if thing.wanted.must else "it"
            yield (
                f"{thing.name}, {format_money(thing.minor, currency)}: {why} is not reached "
                f"within {purse.months} months"
            )


def month_words(month: str) -> str:
    """Write a month as people say it: "March 2027"."""
    year, _, number = month.partition("-")
    return f"{MONTHS[int(number) - 1]} {year}"


def from_when(month: str, first_training: date | None) -> date | None:
    """Return the day from which is trained what a month adds: the end of the works at the soonest.

    None: from the month on, the works are done by then or nobody knows when they are.
    """
    if first_training is None or month > month_of(first_training):
        return None
    return first_training


def as_json(answer: Months) -> dict[str, Any]:
    """Return the months as JSON data; sums are whole minor units.

    `movements` are those that can be trained in the month with what is bought, `new` those of
    them that could not be before; `from` is the day on which the works end where that is later.
    """

    def since(month: str) -> str:
        day = from_when(month, answer.first_training)
        return month if day is None else day.isoformat()

    return {
        "first_training": answer.first_training and answer.first_training.isoformat(),
        "currency": answer.currency,
        "proven": answer.proven,
        "total_minor": answer.total_minor,
        "months": [
            {
                "month": month.month,
                "buys": [
                    {"key": thing.key, "item": thing.name, "minor": thing.minor}
                    for thing in month.buys
                ],
                "spent_minor": month.spent_minor,
                "spent_by_then_minor": month.spent_by_then_minor,
                "there_is_minor": month.there_is_minor,
                "kept_back_minor": month.kept_back_minor,
                "missing_minor": month.missing_minor,
                "movements": sorted({movement for movement, _ in month.trains}),
                "new": [
                    {"movement": movement, "person": person, "from": since(month.month)}
                    for movement, person in month.new
                ],
            }
            for month in answer.months
        ],
        "beyond": [{"key": thing.key, "minor": thing.minor} for thing in answer.beyond],
        "left_out": [thing.key for thing in answer.left_out],
        "unpriced": list(answer.unpriced),
        "problems": list(answer.problems),
    }


def as_text(answer: Months, people: Mapping[str, str]) -> Iterator[str]:
    """Yield the months as lines to read; `people` are their names by id.

    What comes before the works end is trained from the day on which they do.
    """

    def money(minor: int) -> str:
        return format_money(minor, answer.currency)

    if answer.first_training is not None:
        yield f"The room is ready on {day_words(answer.first_training)}, with this money"
    for month in answer.months:
        left = month.there_is_minor - month.spent_by_then_minor
        yield (
            f"{month_words(month.month)}: {money(month.spent_minor)} spent, {money(left)} left, "
            f"{money(month.kept_back_minor)} of it money kept back"
        )
        for thing in month.buys:
            nobody = ", on nobody's list of wishes" if thing.is_no_wish else ""
            yield f"  buy {thing.name}, {money(thing.minor)}{nobody}"
        for movement, names in by_movement(month.new, people).items():
            day = from_when(month.month, answer.first_training)
            when = "from now" if day is None else f"from {day_words(day)}"
            yield f"  {when}: {movement}, {' and '.join(names)}"
    for thing in answer.left_out:
        yield f"left out: {thing.name}, {money(thing.minor)}"
    for item in answer.unpriced:
        yield f"without a price yet, not in the sums: {item}"
    yield from answer.problems
    if not answer.proven:
        yield "There may be a better order than this one: the search was ended before its proof."


def by_movement(trains: tuple[Trains, ...], people: Mapping[str, str]) -> dict[str, list[str]]:
    """Return who does each movement, by its name."""
    names: dict[str, list[str]] = {}
    for movement, person in trains:
        names.setdefault(movements()[movement].name, []).append(people.get(person, person))
    return names
