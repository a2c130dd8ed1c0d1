"""The table of quantities in its columns: head, parts, rows as high as their words, sums."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from app.drawing.ink import SMALL_MM, size_of
from app.drawing.lettering import width_of, wrap
from app.drawing.paper import Box
from app.drawing.primitives import Group, Item, Line, Polygon, Text
from app.model.plan import Plan
from app.scales import MASS
from app.takeoff.line import Line as ListLine
from app.takeoff.line import TakeOff
from app.units import Units, format_money
from app.wording import measure_words

TABLE_HEAD_MM = 8.0
PART_MM = 8.0
TOTAL_MM = 7.0
_TICK_MM = 2.8
_LINE_MM = 4.4
_TIGHT_MM, _AIRY_MM = 0.8, 1.4
_COLUMNS = (("net", 0.42), ("waste", 0.51), ("to buy", 0.62), ("kg", 0.87), ("cost", 1.0))
_GAP_MM = 2.0
_KILOS_MM = 9.0

Under = Literal["place and rate", "place", "place of fixings"]
UNDER: tuple[Under, ...] = ("place and rate", "place", "place of fixings")
"""What stands under a line, the most first: which screw is for what no other sheet tells."""
_FIXINGS = "fixings"


class Columns:
    """Where the columns of the table stand in a box, in mm of paper; `units` are the plan's.

    Without `prices` none is lettered, nor what a line or all of them cost.
    """

    def __init__(self, box: Box, units: Units, prices: bool = True) -> None:
        self.box = box
        self.prices = prices
        self.heads = {"net": "needed", "waste": "extra", "kg": MASS.unit(units)}
        """What a column is called where that is not its name."""
        self.stops = {name: box.x + box.width * share for name, share in _COLUMNS}
        self.item = box.x + _TICK_MM + _GAP_MM
        self.packs = self.stops["to buy"] - 0.09 * box.width
        self.packs_wide = self.stops["kg"] - self.packs - _KILOS_MM


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the list with its words divided into lines; `where` only where there is room.

    Its place stands `beside` the item where both go on one line, else under it.
    """

    columns: Columns
    key: str
    item: tuple[str, ...]
    net: str
    waste: str
    packs: tuple[str, ...]
    kilos: str
    cost: str
    where: tuple[str, ...]
    beside: str = ""

    @property
    def high_mm(self) -> float:
        """The height the row takes, the air under it included."""
        lines = max(len(self.item), len(self.packs), 1) + len(self.where)
        return lines * _LINE_MM + (_AIRY_MM if self.where or self.beside else _TIGHT_MM)

    def at(self, y: float) -> tuple[Item, ...]:
        """Letter the row from a height down, with its box to tick."""
        box, stops = self.columns.box, self.columns.stops
        foot, left = y + 3.5, self.columns.item
        ring = (
            (box.x, foot - _TICK_MM + 0.3), (box.x + _TICK_MM, foot - _TICK_MM + 0.3),
            (box.x + _TICK_MM, foot + 0.3), (box.x, foot + 0.3),
        )  # fmt: skip
        items: list[Item] = [
            Polygon(ring, "key-ring"),
            *_down(self.item, left, foot, "small"),
            Text((stops["net"], foot), self.net, "small", "end"),
            Text((stops["waste"], foot), self.waste, "small", "end"),
            *_down(self.packs, self.columns.packs, foot, "small"),
            Text((stops["kg"], foot), self.kilos, "small", "end"),
            Text((stops["cost"], foot), self.cost, "small", "end"),
        ]
        if self.beside:
            at = left + width_of(self.item[0], size_of("small")) + _GAP_MM
            items.append(Text((at, foot), self.beside, "size", "start"))
        if self.where:
            lines = max(len(self.item), len(self.packs), 1)
            items += _down(self.where, left, foot + lines * _LINE_MM, "size")
        if self.where or self.beside:
            under = y + self.high_mm - 0.4
            items.append(Line((box.x, under), (box.right, under), "hair"))
        return (Group(tuple(items), "", (("line", self.key),)),)


def row_of(plan: Plan, line: ListLine, columns: Columns, under: Under) -> Row:
    """Divide the words of a line of the list among the columns; none of them is cut.

    `under` says what stands under it: its place and where its rate is from, the place, or that of
    fixings alone.
    """
    small = size_of("small")
    net = measure_words(line.net, line.unit, plan.units)
    free = columns.stops["net"] - columns.item - width_of(net, small) - _GAP_MM
    item = f"{line.item} (assumed)" if line.assumed else line.item
    where = line.where if under == "place" or not line.rate else f"{line.where}; {line.rate}"
    where = line.where if under == "place of fixings" else where
    where = "" if under == "place of fixings" and line.part != _FIXINGS else as_printed(where)
    items = wrap(item, small, free)
    wide = width_of(item, small) + _GAP_MM + width_of(where, SMALL_MM)
    beside = where if len(items) == 1 and wide <= free else ""
    return Row(
        columns,
        line.key,
        items,
        net,
        measure_words(line.waste, line.unit, plan.units).split(" ")[0],
        wrap(
            as_printed(line.packs_worded(plan.units) or "no pack known"), small, columns.packs_wide
        ),
        f"{MASS.counted(line.mass_kg, plan.units):.0f}" if line.mass_kg else "–",
        _cost(plan, line) if columns.prices else "",
        wrap(where, SMALL_MM, columns.box.right - columns.item) if where and not beside else (),
        beside,
    )


def _cost(plan: Plan, line: ListLine) -> str:
    cost = line.cost_minor
    return "no price" if cost is None else format_money(cost, plan.currency)


def table_head(columns: Columns, goes_on: bool) -> tuple[Item, ...]:
    """Letter the head of the table, anew on every sheet."""
    box = columns.box
    items: list[Item] = [
        Text(
            (box.x, box.y + 3.4), "What to buy, more" if goes_on else "What to buy", "head", "start"
        )
    ]
    for name, at in columns.stops.items():
        if name == "cost" and not columns.prices:
            continue
        place = (columns.packs if name == "to buy" else at, box.y + 3.4)
        head = columns.heads.get(name, name)
        items.append(Text(place, head, "size", "start" if name == "to buy" else "end"))
    return tuple(items)


def part_head(columns: Columns, y: float, name: str) -> tuple[Item, ...]:
    """Letter the name of a part over its rows."""
    box = columns.box
    return (
        Text((box.x, y + 4.6), name, "small-bold", "start"),
        Line((box.x, y + 5.8), (box.right, y + 5.8), "rule"),
    )


def total(plan: Plan, take_off: TakeOff, columns: Columns, y: float) -> tuple[Item, ...]:
    """Letter what the whole list weighs and, as far as it has prices, costs."""
    box, stops = columns.box, columns.stops
    mass = sum(line.mass_kg for line in take_off.lines)
    money = format_money(sum(line.cost_minor or 0 for line in take_off.lines), plan.currency)
    words = "Together, as far as it has prices" if columns.prices else "Together"
    weight = (
        Line((box.x, y + 0.8), (box.right, y + 0.8), "rule"),
        Text((box.x, y + 5.0), words, "small-bold", "start"),
        Text((stops["kg"], y + 5.0), f"{MASS.counted(mass, plan.units):.0f}", "small-bold", "end"),
    )
    if not columns.prices:
        return weight
    return (*weight, Text((stops["cost"], y + 5.0), money, "small-bold", "end"))


def as_printed(words: str) -> str:
    """Write square metres as one prints them."""
    return words.replace("m2", "m²")


def _down(lines: Sequence[str], x: float, foot: float, ink: str) -> list[Item]:
    return [Text((x, foot + i * _LINE_MM), line, ink, "start") for i, line in enumerate(lines)]
