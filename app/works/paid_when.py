"""What the money of the months does to the works: what is bought later, when training begins."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from app.library.movements import movements
from app.model.works import day_words
from app.wording import lower
from app.works.months import Months, from_when, month_words
from app.works.orders import Order
from app.works.room_ready import RoomReady

MONTHS_NAMED = 6
"""Months named in one sentence; their own page has them all."""


@dataclass(frozen=True, slots=True)
class LaterBought:
    """A thing that the purse reaches after the works want it ordered; no `month`: not at all."""

    key: str
    name: str
    month: str | None


@dataclass(frozen=True, slots=True)
class PaidWhen:
    """The works as the purse pays for them.

    `in_time` is the first training if all were paid in time, `ready` the day on which the room is
    ready with this money. `trains` names what is trained first, `trains_from` the day or month
    from which; both empty where nothing that is wanted can be done within the months looked at.
    `bought_with` has by the line of each order what its lines are bought with.
    """

    in_time: date
    ready: date
    trains_from: date | str
    trains: tuple[str, ...]
    later: tuple[LaterBought, ...]
    bought_with: Mapping[str, tuple[str, ...]]

    @property
    def is_late(self) -> bool:
        """Whether the money keeps anything waiting."""
        return bool(self.later) or self.ready > self.in_time

    @property
    def goal(self) -> str:
        """When one trains first with this money, in words."""
        if not self.trains_from:
            return "With your money nothing that is wanted can be trained within these months"
        return f"First training with your money: {self.goal_when}"

    @property
    def goal_when(self) -> str:
        """The day or month from which one trains first with this money; empty where none is."""
        when = self.trains_from
        return day_words(when) if isinstance(when, date) else month_words(when) if when else ""

    def sentences(self) -> Iterator[str]:
        """Yield what the money does, sentence by sentence."""
        if not self.is_late:
            yield "Your money is there when the works ask for it: the dates here hold."
            return
        if self.trains:
            yield f"Then you can do: {', '.join(self.trains)}."
        # late kit alone leaves the room its day, which is before that of the last kit
        if self.ready > self.in_time:
            yield f"The room is ready on {day_words(self.ready)}."
        bought: dict[str, list[str]] = {}
        for one in self.later:
            if one.month is not None:
                bought.setdefault(one.month, []).append(lower(one.name))
        if bought:
            named = [f"{', '.join(some)} in {month_words(at)}" for at, some in bought.items()]
            more = sum(map(len, list(bought.values())[MONTHS_NAMED:]))
            rest = [f"{more} more after that"] if more else []
            yield f"Bought later than these dates ask: {'; '.join([*named[:MONTHS_NAMED], *rest])}."
        beyond = [lower(one.name) for one in self.later if one.month is None]
        if beyond:
            yield f"Not reached in the months looked at: {', '.join(beyond)}."
        yield (
            f"The chart and the orders show what can be done by {day_words(self.in_time)} if each "
            "thing is paid when it is asked for."
        )

    def of_order(self, order: Order) -> str:
        """Say of an order when the purse reaches it; empty where that is in time."""
        keys = set(self.bought_with[order.line])
        some = [one for one in self.later if one.key in keys]
        if order.settled or not some:
            return ""
        if any(one.month is None for one in some):
            return "Your money does not reach it in the months looked at."
        last = max(one.month for one in some if one.month is not None)
        it = "all of it" if len(keys) > 1 else "it"
        return f"Your money reaches {it} in {month_words(last)}."


def paid_when(ready: RoomReady, months: Months) -> PaidWhen:
    """Return what becomes of the works of a plan with what is bought in which month."""
    wanted = ready.wanted_from()
    later = [
        LaterBought(thing.key, thing.name, month.month)
        for month in months.months
        for thing in month.buys
        if month.month > wanted.get(thing.key, month.month)
    ]
    later += [LaterBought(thing.key, thing.name, None) for thing in months.beyond]
    first = next((month for month in months.months if month.new), None)
    room = months.first_training or ready.first_training
    when: date | str = ""
    names: tuple[str, ...] = ()
    if first is not None:
        when = from_when(first.month, room) or first.month
        names = tuple(dict.fromkeys(movements()[key].name for key, _ in first.new))
    bought_with = {order.line: tuple(ready.keys_of(order)) for order in ready.works.orders}
    return PaidWhen(ready.first_training, room, when, names, tuple(later), bought_with)
