"""The sheets of the works: the chart, the stages with what stands where, the orders by day."""

from __future__ import annotations

from collections.abc import Iterator

from app.drawing.composed import Subject, body_of, in_pages
from app.drawing.flow import Block, Words
from app.drawing.ink import LETTER_MM
from app.drawing.medium import Medium
from app.drawing.paper import Box, paper_of
from app.drawing.pouring import poured
from app.drawing.primitives import Group, Item, Text
from app.drawing.sheet import Sheet, TitleFields
from app.drawing.stage_figure import stage_items
from app.drawing.works_chart import Measure, legend, works_chart
from app.units import format_money
from app.wording import length_words
from app.works.orders import lead_words
from app.works.works import WorksAnswer

ROW_MM = 5.2
"""A row of the chart: lettering whose capitals are 2.5 mm, and a bar's height of air."""

HEAD_MM = 12.0
FOOT_MM = 6.0
"""What is free between the small plans and the words under them."""
STAGES_HIGH = 0.52
"""Share of the height that the small plans of the stages take; the words stand below."""


def works_sheet(
    answer: WorksAnswer,
    *,
    paper: str = "A3",
    fields: TitleFields | None = None,
    money: bool = True,
) -> Sheet:
    """Draw the works on level paper, on as many sheets as they take; `money` with what it costs.

    Raises SheetError for an unknown paper.
    """
    plan = answer.scene.plan
    chosen = paper_of(paper)
    size = (chosen.long_mm, chosen.short_mm)
    body = body_of(*size)
    made = answer.programme
    measure = Measure(body.width, ROW_MM, LETTER_MM)
    room = body.height - HEAD_MM - 2 * ROW_MM
    first = made.first_training
    title = f"First training: {first.day} {first:%B %Y}"
    hours = f"{made.own_hours:.0f} h of the household, {made.trade_hours:.1f} h of licensed trades"
    pages: list[tuple[Item, ...]] = []
    for part in works_chart(answer, measure, room):
        pages.append(
            (
                Text((body.x, body.y + 5), title, "title", "start"),
                Text((body.right, body.y + 5), hours, "label", "end"),
                Group(part.items, "works", (), (body.x, body.y + HEAD_MM)),
                Group(legend(body.x, body.bottom - ROW_MM, measure, body.width), "legend"),
            )
        )
    pages += _further(answer, body, money)
    subject = Subject("works", "Works", "programme")
    return in_pages(plan, subject, pages, chosen, size, fields or TitleFields())


def _further(answer: WorksAnswer, body: Box, money: bool) -> Iterator[tuple[Item, ...]]:
    high = body.height * STAGES_HIGH if answer.stages else 0.0
    figures = tuple(_stages(answer, Box(body.x, body.y, body.width, high)))
    below = Box(body.x, body.y + high, body.width, body.height - high)
    pages = poured(_blocks(answer, money), _thirds(below), _thirds(body))
    for i, words in enumerate(pages):
        yield (*(figures if not i else ()), Group(words, "words"))


def _thirds(box: Box) -> tuple[Box, ...]:
    gap = 5.0
    wide = (box.width - 2 * gap) / 3
    return tuple(Box(box.x + i * (wide + gap), box.y, wide, box.height) for i in range(3))


def _stages(answer: WorksAnswer, box: Box) -> Iterator[Item]:
    count = len(answer.stages)
    for i, stage in enumerate(answer.stages):
        wide, high = box.width / count, box.height - HEAD_MM - FOOT_MM
        units = answer.scene.plan.units
        _, bounds = stage_items(answer.scene, stage, Medium(1.0, units, False))
        x0, y0, x1, y1 = bounds
        scale = max((x1 - x0) / (wide * 0.9), (y1 - y0) / high)
        items, _ = stage_items(answer.scene, stage, Medium(LETTER_MM * scale, units, True))
        left = box.x + i * wide + (wide - (x1 - x0) / scale) / 2
        days = f"{stage.starts:%a} {stage.starts.day} {stage.starts:%b} to "
        days += f"{stage.ends:%a} {stage.ends.day} {stage.ends:%b}"
        yield Text((left, box.y + 5), f"{stage.name}: {days}", "head", "start")
        at = (round(left - x0 / scale, 3), round(box.y + HEAD_MM - y0 / scale, 3))
        yield Group(items, "figure", (("scale", f"{scale:.1f}"),), at, scale=1 / scale)


def _blocks(answer: WorksAnswer, money: bool) -> list[Block]:
    plan = answer.scene.plan
    blocks = []
    for stage in answer.stages:
        rows = [f"{i}  {place.name}" for i, place in enumerate(stage.places, start=1)]
        if stage.way_mm is not None:
            wide = length_words(stage.way_mm, plan.units)
            rows.append(f"Way to the door, green: {wide} wide at its narrowest.")
        blocks.append(Block(f"{stage.name}: what stands where", tuple(map(Words, rows))))
    orders = []
    for order in answer.orders:
        cost = (
            f", {format_money(order.sum_minor, plan.currency)}"
            if money and order.sum_minor is not None
            else ""
        )
        orders.append(
            f"By {order.order_by:%a} {order.order_by.day} {order.order_by:%b}: {order.name}{cost}. "
            f"{lead_words(order)}; {'comes' if order.is_visit else 'here'} "
            f"{order.arrives:%a} {order.arrives.day} {order.arrives:%b}, {order.place}."
        )
    blocks.append(Block("Order", tuple(map(Words, orders))))
    cautions = dict.fromkeys(
        f"{one.task.name}: {one.task.caution}"
        for one in answer.programme.tasks
        if one.task.caution and not one.done
    )
    blocks.append(Block("Mind", tuple(map(Words, cautions))))
    after = [f"{one.on.day} {one.on:%b %Y}: {one.name}." for one in answer.year_after]
    blocks.append(Block("The year after", tuple(map(Words, after))))
    says = (*answer.problems, *answer.says)
    if says:
        blocks.append(Block("Worth knowing", tuple(map(Words, says))))
    return blocks
