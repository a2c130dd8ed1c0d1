"""The sheets of the works: the chart, the stages with what stands where, the orders by day."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import TypeAlias

from app.drawing.composed import Subject, in_pages
from app.drawing.flow import Block, Words
from app.drawing.frame import body_of
from app.drawing.ink import LETTER_MM
from app.drawing.medium import Medium
from app.drawing.paper import Box, paper_of
from app.drawing.pouring import aired
from app.drawing.primitives import Group, Item, Text
from app.drawing.sheet import Sheet, TitleFields
from app.drawing.stage_figure import Bounds, building_items, stage_items
from app.drawing.works_chart import Chart, shortened, works_chart
from app.drawing.works_marks import Measure, inks_of, legend, legend_mm
from app.units import Units, format_money, format_short
from app.wording import length_words, lower
from app.works.building_room import BuildingRoom, building_room
from app.works.goal import goal_name
from app.works.orders import lead_words
from app.works.paid_when import PaidWhen
from app.works.programme import trade_words
from app.works.works import WorksAnswer

ROW_MM = 5.2
"""A row of the chart: lettering whose capitals are 2.5 mm, and a bar's height of air."""

HIGHER_ROWS = 1.4
"""How much higher than usual rows may be: bars of one row still belong to its name."""

LOST_AT_MOST = 1
"""How many more names may be shortened to save a sheet: cautions tell that of unpacking whole."""

HEAD_MM = 12.0
FOOT_MM = 6.0
"""What is free between the small plans and the words under them."""
Drawing: TypeAlias = Callable[[Medium], tuple[tuple[Item, ...], Bounds]]
"""Draws a small plan in mm of the room, and tells how far it reaches."""

STAGES_HIGH = 0.52
"""Share of the height that the small plans of the stages take; the words stand below."""


def works_sheet(
    answer: WorksAnswer,
    *,
    paper: str = "A3",
    fields: TitleFields | None = None,
    money: bool = True,
    paid: PaidWhen | None = None,
) -> Sheet:
    """Draw the works on as many sheets as they take; `money` with what it costs.

    `paid` is what the household's purse does to them, where it has typed one.

    The chart stands on upright paper where that saves a sheet and shortens hardly a name; the
    rest on level paper. Raises SheetError for an unknown paper.
    """
    plan = answer.scene.plan
    chosen = paper_of(paper)
    level, upright = (chosen.long_mm, chosen.short_mm), (chosen.short_mm, chosen.long_mm)
    made = answer.programme
    charted = _charted(answer, level)
    size, standing = level, _charted(answer, upright)
    names_lost = shortened(answer, standing.measure) - shortened(answer, charted.measure)
    if len(standing.parts) < len(charted.parts) and names_lost <= LOST_AT_MOST:
        size, charted = upright, standing
    body = charted.body
    first = made.first_training
    name = goal_name(plan, None if paid is None else paid.is_late)
    title = f"{name.capitalize()}: {first.day} {first:%B %Y}"
    hours = f"{made.own_hours:.0f} h of the household{trade_words(made)}"
    pages: list[tuple[Item, ...]] = []
    for part in charted.parts:
        drawn = inks_of(part.items)
        key = legend(body.x, body.bottom, _level_measure(body), body.width, drawn)
        pages.append(
            (
                Text((body.x, body.y + 5), title, "title", "start"),
                Text((body.right, body.y + 5), hours, "label", "end"),
                Group(part.items, "works", (), (body.x, body.y + HEAD_MM)),
                Group(key, "legend"),
            )
        )
    subject, fields = Subject("works", "Works", "programme"), fields or TitleFields()
    further = list(_further(answer, body_of(*level), money, paid))
    sizes = [*([size] * len(pages)), *([level] * len(further))]
    return in_pages(plan, subject, [*pages, *further], chosen, sizes, fields)


@dataclass(frozen=True, slots=True)
class _Charted:
    """The chart on paper of one size: its room, its sizes, its parts."""

    body: Box
    measure: Measure
    parts: tuple[Chart, ...]


def _level_measure(body: Box) -> Measure:
    return Measure(body.width, ROW_MM, LETTER_MM)


def _charted(answer: WorksAnswer, size: tuple[float, float]) -> _Charted:
    body = body_of(*size)
    measure = _level_measure(body)
    room = body.height - HEAD_MM - ROW_MM - legend_mm(measure, body.width)
    parts = works_chart(answer, measure, room)
    # a chart that leaves room has higher rows, as long as it takes no more sheets
    high = max(part.height for part in parts) + ROW_MM
    higher = Measure(body.width, ROW_MM * max(1.0, min(room / high, HIGHER_ROWS)), LETTER_MM)
    spread = works_chart(answer, higher, room)
    if len(spread) == len(parts):
        measure, parts = higher, spread
    return _Charted(body, measure, parts)


def _further(
    answer: WorksAnswer, body: Box, money: bool, paid: PaidWhen | None
) -> Iterator[tuple[Item, ...]]:
    building = building_room(answer.scene)
    count = len(answer.stages) + (building is not None)
    high = body.height * STAGES_HIGH if count else 0.0
    thirds = _thirds(body)
    # words stand under the small plans, and in whole columns beside where these are few
    over = [Box(one.x, one.y + high, one.width, one.height - high) for one in thirds[:count]]
    wide = body.width if count >= len(thirds) else thirds[max(count, 1) - 1].right - body.x
    figures = tuple(_figures(answer, building, Box(body.x, body.y, wide, high)))
    first = (*over, *thirds[count:])
    pages = aired(_blocks(answer, building, money, paid), first, thirds)
    for i, words in enumerate(pages):
        yield (*(figures if not i else ()), Group(words, "words"))


def _thirds(box: Box) -> tuple[Box, ...]:
    gap = 5.0
    wide = (box.width - 2 * gap) / 3
    return tuple(Box(box.x + i * (wide + gap), box.y, wide, box.height) for i in range(3))


def _figures(answer: WorksAnswer, building: BuildingRoom | None, box: Box) -> Iterator[Item]:
    """Yield the small plans side by side: of every stage, then where the largest is built."""
    scene = answer.scene
    drawn: list[tuple[str, Drawing]] = []
    for stage in answer.stages:
        days = f"{stage.starts:%a} {stage.starts.day} {stage.starts:%b} to "
        days += f"{stage.ends:%a} {stage.ends.day} {stage.ends:%b}"
        drawn.append((f"{stage.name}: {days}", partial(stage_items, scene, stage)))
    if building is not None:
        drawn.append(("Build the largest first here", partial(building_items, scene, building)))
    for i, (title, draw) in enumerate(drawn):
        wide, high = box.width / len(drawn), box.height - HEAD_MM - FOOT_MM
        units = scene.plan.units
        _, (x0, y0, x1, y1) = draw(Medium(1.0, units, False))
        scale = max((x1 - x0) / (wide * 0.9), (y1 - y0) / high)
        items, _ = draw(Medium(LETTER_MM * scale, units, True))
        left = box.x + i * wide + (wide - (x1 - x0) / scale) / 2
        yield Text((left, box.y + 5), title, "head", "start")
        at = (round(left - x0 / scale, 3), round(box.y + HEAD_MM - y0 / scale, 3))
        yield Group(items, "figure", (("scale", f"{scale:.1f}"),), at, scale=1 / scale)


def _building_words(building: BuildingRoom, units: Units) -> list[str]:
    long, wide, around = (
        format_short(mm, units) for mm in (building.long_mm, building.wide_mm, building.round_mm)
    )
    words = [
        f"{building.placed.name}, the largest, is built first, before other kit is in the way: its "
        f"longest part flat on the floor, {long} × {wide}, and {around} free round it."
    ]
    if building.free is None:
        words.append(
            "Nowhere is that much floor free: build it outside or in another room if it passes the "
            "doors built, or upright as far as its manual lets you."
        )
    else:
        words.append("Blue: the floor to keep free. Dashed: where it stands in the end.")
    return words


def _blocks(
    answer: WorksAnswer, building: BuildingRoom | None, money: bool, paid: PaidWhen | None
) -> list[Block]:
    plan = answer.scene.plan
    blocks = []
    for stage in answer.stages:
        rows = [f"{i}  {place.name}" for i, place in enumerate(stage.places, start=1)]
        if stage.way_mm is not None:
            wide = length_words(stage.way_mm, plan.units)
            rows.append(f"Way to the door, green: {wide} wide at its narrowest.")
        if stage.painted:
            days = ", ".join(f"{day:%a} {day.day} {day:%b}" for day in stage.painted)
            rows.append(f"Coats go on {days}.")
        blocks.append(Block(f"{stage.name}: what stands where", tuple(map(Words, rows))))
    if building is not None:
        lines = _building_words(building, plan.units)
        blocks.append(Block("Build the largest first", tuple(map(Words, lines))))
    if paid is not None and paid.is_late:
        lines = [f"{paid.goal}.", *paid.sentences()]
        blocks.append(Block("With your money", tuple(map(Words, lines))))
    blocks.append(Block("Order", tuple(map(Words, _order_words(answer, money, paid)))))
    blocks.append(Block("Mind", tuple(map(Words, _cautions(answer)))))
    blocks.append(Block("The year after", tuple(map(Words, _year_words(answer)))))
    says = (*answer.problems, *answer.says)
    if says:
        blocks.append(Block("Worth knowing", tuple(map(Words, says))))
    return blocks


def _cautions(answer: WorksAnswer) -> Iterator[str]:
    """Yield what is to be minded, with all tasks that it is told of."""
    names: dict[str, dict[str, None]] = {}
    for one in answer.programme.tasks:
        if one.task.caution and not one.done:
            names.setdefault(one.task.caution, {})[one.task.name] = None
    for caution, tasks in names.items():
        first, *others = tasks
        yield f"{', '.join((first, *map(lower, others)))}: {caution}"


def _order_words(answer: WorksAnswer, money: bool, paid: PaidWhen | None) -> Iterator[str]:
    """Yield each order with its last day, the year where it is another than in the line before.

    With when the purse reaches it, where that is later.
    """
    year, today = 0, answer.programme.today
    for order in answer.orders:
        cost = ""
        if money and order.sum_minor is not None:
            cost = f", {format_money(order.sum_minor, answer.scene.plan.currency)}"
        by = _day(order.order_by) + (
            f" {order.order_by.year}" if order.order_by.year != year else ""
        )
        year = order.order_by.year
        what = f"{'Now, by' if order.order_by <= today else 'By'} {by}: {order.name}{cost}."
        reached = "" if paid is None else paid.of_order(order)
        if reached:
            what = f"{what} {reached}"
        there = _day(order.arrives)
        if order.is_fetched:
            late = f"a delivery takes {order.lead_workdays} workdays and comes too late"
            yield f"{what} Fetch from the shop on {there}: {late}."
        else:
            comes = "comes" if order.is_visit else "here"
            yield f"{what} {lead_words(order)}; {comes} {there}, {order.place}."


def _day(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b}"


def _year_words(answer: WorksAnswer) -> Iterator[str]:
    """Yield what is looked after in the year that follows, each with all its days."""
    days: dict[str, list[date]] = {}
    for one in answer.year_after:
        for what in one.name.split("; "):
            days.setdefault(f"{what[:1].upper()}{what[1:]}", []).append(one.on)
    for what, on in days.items():
        told, year = [], 0
        for day in sorted(on):
            told.append(f"{day.day} {day:%b}" + (f" {day.year}" if day.year != year else ""))
            year = day.year
        yield f"{what}: {', '.join(told)}."
