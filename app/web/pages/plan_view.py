"""What every page with forms asks for: what is chosen, forms over it, lengths and sums in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from app.forms.field_table import Table, Words
from app.forms.typed_money import written_sum
from app.model.plan import Plan
from app.model.room_walls import letter_at
from app.units import format_length, format_money
from app.web.pages.table_view import Shown, drawn, in_groups, wall_words
from app.wording import measure_in

NO_HINTS: Mapping[str, str] = {}
"""Where the examples of a table say enough."""


@dataclass(frozen=True)
class PlanView:
    """A plan as one page shows it; `of` is the part or thing that is chosen."""

    plan: Plan
    of: str
    tables: ClassVar[Mapping[str, Table]] = {}

    @property
    def kind(self) -> str:
        """The kind of what is chosen: `wall`, `paint`, or the name of a part."""
        return self.of.partition(":")[0]

    @property
    def lists(self) -> Mapping[str, Words]:
        """The choices that a form takes from the plan or a library, by name."""
        return {"walls": self.wall_choices()}

    def fields(
        self, name: str, thing: Any = None, hints: Mapping[str, str] = NO_HINTS, **labels: str
    ) -> dict[str, Shown]:
        """The fields of a form over a thing, over none yet where it adds one, by their names.

        `hints` stand for examples of the table, `labels` for its labels, by the field's name.
        """
        return drawn(self.tables[name], self.plan, thing, self.lists, labels, hints)

    def form(
        self, name: str, thing: Any = None, hints: Mapping[str, str] = NO_HINTS, **labels: str
    ) -> list[tuple[str, list[Shown]]]:
        """The same in groups of those that are drawn alike."""
        return in_groups(self.fields(name, thing, hints, **labels))

    def wall_choices(self) -> list[tuple[str, str]]:
        """Every wall with what to call it in a list."""
        return wall_words(self.plan)

    def letter(self, wall_id: str | None) -> str:
        """The letter of a wall, a dash for one that is not there."""
        ids = [wall.id for wall in self.plan.room.walls]
        return letter_at(ids.index(wall_id)) if wall_id in ids else "–"

    def say(self, length_mm: float) -> str:
        """Write a length for a sentence."""
        return format_length(length_mm, self.plan.units)

    def money(self, minor: float | None) -> str:
        """Write a sum for people, "no price" where there is none."""
        return "no price" if minor is None else format_money(round(minor), self.plan.currency)

    def sum(self, minor: int | None) -> str:
        """Write a sum into a field."""
        return written_sum(minor, self.plan.currency)

    @property
    def square(self) -> tuple[str, float]:
        """What areas are counted in, and how many square metres one of them is."""
        share, unit = measure_in(1, "m2", self.plan.units)
        return unit.replace("2", "²"), 1 / share
