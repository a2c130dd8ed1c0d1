"""What the page of months asks for: the chart, what one can train from when, sums, one thing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from itertools import accumulate

from markupsafe import Markup

from app.checks.headroom import person_name
from app.checks.open_floor import card
from app.drawing.framed import Framed
from app.drawing.frieze import frieze, in_order
from app.drawing.months_chart import Block, Column, months_chart
from app.forms.field_table import Words
from app.forms.phasing_edits import OUT, TABLES
from app.library.movements import movements
from app.model.phasing import PurchaseNote, later_month
from app.model.works import day_words
from app.published.register import published, row
from app.scene.build import Scene
from app.units import PERCENT
from app.usecases.accounts import Account
from app.web.pages.plan_view import PlanView
from app.works.months import Months, from_when, month_words
from app.works.phases import PART, ToBuy

WEEKS_A_YEAR = 52


@dataclass(frozen=True, slots=True)
class Trained:
    """A movement that one can train from a month on, who can, and whose picture shows it."""

    name: str
    people: list[str]
    pose: tuple[str, str]


def poses_of(scene: Scene) -> dict[tuple[str, str], Markup]:
    """Return each person at the top of each movement as a small picture, by movement and person."""
    plan = scene.plan
    cards, people = card(scene), {person.id: person for person in plan.people}
    floor = plan.room.floor.covering.thickness_mm
    return {
        (one.line.movement, each.person_id): Markup(one.svg)
        for each in cards
        for one in frieze(each, people[each.person_id], in_order(cards), floor)
    }


def things_of(months: Months | None) -> dict[str, tuple[ToBuy, str]]:
    """Return all there is to buy, by its key, with the month it is bought in or why in none."""
    if months is None:
        return {}
    things = {
        thing.key: (thing, month_words(month.month))
        for month in months.months
        for thing in month.buys
    }
    things |= {thing.key: (thing, "not reached") for thing in months.beyond}
    return things | {thing.key: (thing, "left out") for thing in months.left_out}


def known_choice(months: Months | None, of: str) -> str:
    """Return a choice of the page that is there: the one asked for, else the purse."""
    kind, _, key = of.partition(":")
    if kind == "thing" and key in things_of(months):
        return of
    return kind if kind in ("purse", "things", "sums") else "purse"


@dataclass(frozen=True, slots=True)
class Bar:
    """One month as a bar, in hundredths of all there will be."""

    column: Column
    by_then_minor: int
    before: float
    bought: float
    there_is: float


@dataclass(frozen=True)
class MonthsView(PlanView):
    """A plan's months as the page shows them; `months` is None where there is nothing to spend.

    Nor is there an `account` while all is still to be counted.
    """

    account: Account | None
    months: Months | None
    tables = TABLES

    @cached_property
    def things(self) -> dict[str, tuple[ToBuy, str]]:
        """All there is to buy, by its key, with the month it is bought in or why in none."""
        return things_of(self.months)

    @property
    def kind(self) -> str:
        """Which part of the index that is."""
        return "things" if self.of.startswith("thing:") else self.of

    @property
    def thing(self) -> tuple[ToBuy, str] | None:
        """The thing that is chosen, with its month."""
        return self.things.get(self.of.removeprefix("thing:"))

    @property
    def note(self) -> PurchaseNote:
        """What is said of it."""
        return self.plan.phasing.note_of(self.of.removeprefix("thing:"))

    @property
    def is_part(self) -> bool:
        """Whether it is a part of the fit-out."""
        return self.of.startswith(f"thing:{PART}")

    @cached_property
    def columns(self) -> list[Column]:
        """The months as they are drawn; none where there is nothing to spend or to buy."""
        if self.months is None or not any(month.buys for month in self.months.months):
            return []
        return [
            Column(
                month_words(month.month),
                tuple(
                    Block(thing.key, thing.name, thing.minor, bool(thing.pieces))
                    for thing in month.buys
                ),
                month.there_is_minor,
                month.kept_back_minor,
                month.missing_minor,
                bool(month.new),
            )
            for month in self.months.months
        ]

    @cached_property
    def chart(self) -> Framed | None:
        """The chart; None where there is nothing to spend or to buy."""
        if not self.columns:
            return None
        return months_chart(self.columns, self.plan.currency, self.of.removeprefix("thing:"))

    @property
    def bars(self) -> Iterator[Bar]:
        """The months in which something is bought, one below the other for a narrow screen."""
        spent = list(accumulate((column.spent_minor for column in self.columns), initial=0))
        most = max([spent[-1], *(column.there_is_minor for column in self.columns)])
        for column, before, by_then in zip(self.columns, spent, spent[1:], strict=False):
            if column.blocks:
                share = [PERCENT * part / most for part in (before, by_then, column.there_is_minor)]
                yield Bar(column, by_then, share[0], share[1] - share[0], share[2])

    @property
    def rooms(self) -> Iterator[tuple[str, tuple[str, ...]]]:
        """Yield each month in which kit is bought, and which pieces are still missing after it."""
        if self.months is None:
            return
        never = [*self.months.beyond, *self.months.left_out]
        missing = {piece for thing in never for piece in thing.pieces}
        found = []
        for month in reversed(self.months.months):
            bought = {piece for thing in month.buys for piece in thing.pieces}
            if bought:
                found.append((month_words(month.month), tuple(sorted(missing))))
            missing |= bought
        yield from reversed(found)

    @cached_property
    def trains(self) -> list[tuple[str, list[Trained]]]:
        """From when one can train what, and who: a month, or the day on which the works end.

        What is bought sooner waits for the room.
        """
        names = {p.id: person_name(p, self.plan.units) for p in self.plan.people}
        rows: dict[str, list[Trained]] = {}
        for month in self.months.months if self.months else ():
            people_of: dict[str, list[str]] = {}
            for movement, person in month.new:
                people_of.setdefault(movement, []).append(person)
            trained = [
                Trained(movements()[key].name, [names[one] for one in some], (key, some[0]))
                for key, some in people_of.items()
            ]
            if trained:
                rows.setdefault(self._from(month.month), []).extend(trained)
        return list(rows.items())

    @property
    def first_training(self) -> date | None:
        """The day that the works lead to with this money, None where nobody knows."""
        return None if self.months is None else self.months.first_training

    @property
    def ready(self) -> str:
        """The day that the works lead to, in words."""
        return "" if self.first_training is None else day_words(self.first_training)

    def _from(self, month: str) -> str:
        day = from_when(month, self.first_training)
        return month_words(month) if day is None else day_words(day)

    @property
    def lists(self) -> Mapping[str, Words]:
        """The months a thing may be laid into, and whether it has to be there."""
        phasing = self.plan.phasing
        first = phasing.first_month or (self.months.months[0].month if self.months else "")
        months = [later_month(first, t) for t in range(phasing.months)] if first else []
        if self.note.month and self.note.month not in months:
            months.insert(0, self.note.month)
        usual = "must be there" if self.is_part else "is a wish"
        return {
            "months": [
                ("", "where it comes best"),
                *((month, month_words(month)) for month in months),
                (OUT, "leave it out"),
            ],
            "musts": [
                ("", usual),
                ("yes", "must be there, said by hand"),
                ("no", "is a wish, said by hand"),
            ],
        }

    @property
    def no_note(self) -> PurchaseNote:
        """What is said of a thing of which nothing is."""
        return PurchaseNote(id=self.note.id)

    @property
    def some_laid(self) -> bool:
        """Whether a hand laid something into a month."""
        return any(one.month for one in self.plan.phasing.things)

    def name_of(self, month: str) -> str:
        """Write a month as people say it."""
        return month_words(month)

    @property
    def least_left(self) -> str:
        """Say when the least is left over, and how much."""
        least = self.months.least_left if self.months else None
        if least is None or least[0] < 0:
            return ""
        return f"Least left over: {self.money(least[0])}, {month_words(least[1])}"

    @property
    def training_costs(self) -> str:
        """Say what one training comes to over the years that kit lasts; empty where not asked."""
        a_week = self.plan.phasing.trainings_a_week
        if not a_week or self.months is None or self.account is None:
            return ""
        years = published("phases.years")
        each = self.account.costs.gross_minor / (a_week * WEEKS_A_YEAR * years)
        return (
            f"{self.money(round(each))} a training, at {a_week:g} a week over {years:g} years "
            f"({row('phases.years').status})"
        )

    @property
    def second_hand(self) -> list[tuple[str, str]]:
        """Things that may be had second-hand, with about what that saves."""
        rows = []
        for key, (thing, _) in self.things.items():
            kind = {"Machines": "machine", "Racks": "iron", "Bars and weights": "iron",
                    "Benches": "iron"}.get(thing.group)  # fmt: skip
            if kind is None or not thing.minor or self.is_second_hand(key):
                continue
            least, most = (
                thing.minor * (1 - published(f"phases.second-hand.{kind}-{end}-share"))
                for end in ("most", "least")
            )
            about = f"{self.about(least)} to {self.about(most)}"
            rows.append((thing.name, about))
        return rows

    def about(self, minor: float) -> str:
        """Write a sum to whole tens, for what nobody knows nearer."""
        return self.money(int(round(minor, -3))).removesuffix(".00")

    def is_second_hand(self, key: str) -> bool:
        """Return whether it is down as second-hand already."""
        lines = () if self.account is None else self.account.costs.lines
        return any(line.key == key and line.second_hand for line in lines)
