"""Buying month by month as a household types it: what is put by, what comes in, what comes first.

The months themselves are not kept, they follow from this and the prices. What was said of a thing
is kept under its key and waits there while the plan does not ask for that thing.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated

from pydantic import Field, field_validator

from app.model.base import Frozen, Hundredth, MoreThanNothing, by_id
from app.model.money import Minor, MoneyKey

MONTHS_USUAL = 24
MONTHS_AT_MOST = 60
WORTH_AT_MOST = 20

YEAR_MONTH = r"^(19|20|21)[0-9]{2}-(0[1-9]|1[0-2])$"
YearMonth = Annotated[str, Field(pattern=YEAR_MONTH)]
"""A month of the calendar: "2027-03"."""


class PurchaseNote(Frozen):
    """What a household says of one thing to buy; empty means what the plan makes of it.

    `worth` is what a month of having it is worth beside the others, 0 to 20. `month` is where a
    hand laid it.
    """

    id: MoneyKey
    must: bool | None = None
    worth: Annotated[int, Field(ge=0, le=WORTH_AT_MOST)] | None = None
    month: YearMonth | None = None
    left_out: bool = False


class Phasing(Frozen):
    """The purse and what is said of single things.

    `first_month` empty: the month that it is. `trainings_a_week` empty: nothing is said of what
    one training costs.
    """

    put_by_minor: Minor = 0
    a_month_minor: Minor = 0
    first_month: YearMonth | None = None
    months: Annotated[int, Field(ge=1, le=MONTHS_AT_MOST)] = MONTHS_USUAL
    trainings_a_week: Annotated[float, Field(gt=0, le=100), Hundredth, MoreThanNothing] | None = (
        None
    )
    things: tuple[PurchaseNote, ...] = Field(default=(), max_length=4000)

    @field_validator("things")
    @classmethod
    def _in_order(cls, things: tuple[PurchaseNote, ...]) -> tuple[PurchaseNote, ...]:
        return by_id(things)

    def note_of(self, key: str) -> PurchaseNote:
        """Return what is said of a thing; nothing where nothing is."""
        return next((one for one in self.things if one.id == key), PurchaseNote(id=key))


def month_of(day: date) -> str:
    """Write the month of a day: "2027-03"."""
    return f"{day.year:04}-{day.month:02}"


def later_month(month: str, by: int) -> str:
    """Return the month so many after another: "2027-11" and 3 give "2028-02"."""
    year, _, number = month.partition("-")
    count = int(year) * 12 + int(number) - 1 + by
    return f"{count // 12:04}-{count % 12 + 1:02}"


def months_between(first: str, then: str) -> int:
    """Return how many months after the first another is; negative before it."""
    (a, b), (c, d) = (map(int, month.split("-")) for month in (first, then))
    return (c - a) * 12 + d - b
