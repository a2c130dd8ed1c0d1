"""What the works say to the months: from when each thing is wanted, and what late money moves.

Kit that is bought before anybody can build it waits where it is in the way, and its days to send
back run out; so nothing is bought before the month in which the works ask for it to be ordered.
Where the purse reaches a part of the fit-out only later, the first training is later too.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from app.costs.cost import PIECE, CostLine
from app.model.phasing import month_of
from app.model.works import day_words
from app.takeoff.line import PART_NAMES
from app.wording import lower
from app.works.lives import workdays_after
from app.works.orders import Order
from app.works.phases import PART
from app.works.task import WorksError
from app.works.works import WorksAnswer


@dataclass(frozen=True, eq=False)
class RoomReady:
    """The works of a plan as the months see them; `lines` are those of its costs."""

    works: WorksAnswer
    lines: tuple[CostLine, ...]

    @property
    def first_training(self) -> date:
        """The day that the works lead to if the money is there in time."""
        return self.works.programme.first_training

    def wanted_from(self) -> dict[str, str]:
        """Return by its key from which month each thing is to be ordered; no others are in it."""
        wanted: dict[str, str] = {}
        for order in self.works.orders:
            for key in self.keys_of(order):
                month = month_of(order.order_by)
                wanted[key] = min(month, wanted.get(key, month))
        return wanted

    def with_money(self, bought_in: Mapping[str, str]) -> tuple[date, tuple[str, ...]]:
        """Return the day of the first training as the money comes, and what is to be said of it.

        `bought_in` has the month of each part that is bought. Kit that comes later is built later
        and keeps nobody from training with the rest.
        """
        wanted, made = self.wanted_from(), self.works.programme
        late = {
            key: month
            for key, month in bought_in.items()
            if key.startswith(PART) and month > wanted.get(key, month)
        }
        if not late:
            return made.first_training, ()
        arrivals = dict(self.works.arrivals)
        for order in self.works.orders:
            for key, line in zip(self.keys_of(order), order.lines, strict=True):
                if key in late:
                    bought = date.fromisoformat(f"{late[key]}-01")
                    comes = workdays_after(bought, order.lead_workdays, made.works)
                    arrivals[line] = max(comes, arrivals.get(line, comes))
        try:
            then = self.works.if_there(arrivals).first_training
        except WorksError:
            return made.first_training, ("With this money the works find no end",)
        if then <= made.first_training:
            return made.first_training, ()
        names = ", ".join(
            lower(name) for part, name in PART_NAMES.items() if f"{PART}{part}" in late
        )
        return then, (
            f"The money comes later than the works ask for it ({names}): the room is ready on "
            f"{day_words(then)}, not on {day_words(made.first_training)}",
        )

    def keys_of(self, order: Order) -> list[str]:
        """Return for each line of an order what it is bought with."""
        parts = _parts_of(self.lines)
        return [line if line.startswith(PIECE) else parts.get(line, line) for line in order.lines]


def _parts_of(lines: Iterable[CostLine]) -> dict[str, str]:
    keys = {name: part for part, name in PART_NAMES.items()}
    return {line.key: f"{PART}{keys[line.part]}" for line in lines if line.part in keys}
