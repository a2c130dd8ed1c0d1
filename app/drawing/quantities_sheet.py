"""The list of quantities as a sheet: what to buy, by part, with the sums of money and mass."""

from __future__ import annotations

from app.drawing.ink import FONT, SMALL_MM, sheet_look, size_of
from app.drawing.lettering import shorten, width_of, wrap
from app.drawing.paper import MARGIN_MM, Box, SheetError, paper_of
from app.drawing.plan_sheet import Sheet, TitleFields
from app.drawing.primitives import Group, Item, Line, Polygon, Text
from app.drawing.sheet_words import TITLE_MM, TitleWords, heading, title_block
from app.drawing.svg import document
from app.model.plan import Plan
from app.takeoff.line import PART_NAMES, TakeOff
from app.takeoff.line import Line as ListLine
from app.units import format_money
from app.wording import measure_words

_PAD_MM = 4.0
_TITLE_WIDE_MM = 86.0
_HEAD_MM = 7.0
_TICK_MM = 2.6
_TIGHT, _AIRY = 4.1, 8.0
_COLUMNS = (("net", 0.47), ("waste", 0.55), ("to buy", 0.66), ("kg", 0.9), ("cost", 1.0))


def quantities_sheet(
    plan: Plan, found: TakeOff, *, paper: str = "A4", fields: TitleFields | None = None
) -> Sheet:
    """Letter the list of quantities on an upright paper, with a box to tick for each line.

    Raises SheetError for an unknown paper and for a list that is too long for it.
    """
    fields = fields or TitleFields()
    chosen = paper_of(paper)
    width, height = chosen.short_mm, chosen.long_mm
    frame = Box(MARGIN_MM, MARGIN_MM, width - 2 * MARGIN_MM, height - 2 * MARGIN_MM)
    body = Box(
        frame.x + _PAD_MM, frame.y + _PAD_MM, frame.width - 2 * _PAD_MM,
        frame.height - TITLE_MM - 2 * _PAD_MM,
    )  # fmt: skip
    parts = {line.part for line in found.lines}
    room = body.height - 2 * _HEAD_MM - len(parts) * _HEAD_MM
    step = next((s for s in (_AIRY, _TIGHT) if s * len(found.lines) <= room), None)
    if step is None:
        raise SheetError(
            f"the list has {len(found.lines)} lines, too many for {chosen.key}: take A3 or Tabloid"
        )
    words = TitleWords(
        plan.name, "not to scale", chosen.key, fields.revision, fields.date,
        fields.drawn_for or plan.drawn_for, "", "Quantities",
    )  # fmt: skip
    block = Box(frame.right - _TITLE_WIDE_MM, frame.bottom - TITLE_MM, _TITLE_WIDE_MM, TITLE_MM)
    ring = (
        (frame.x, frame.y), (frame.right, frame.y),
        (frame.right, frame.bottom), (frame.x, frame.bottom),
    )  # fmt: skip
    table, end = _table(plan, found, body, step)
    left = block.x - frame.x - 2 * _PAD_MM
    foot = Box(body.x, end + 2 * _PAD_MM, left, frame.bottom - _PAD_MM - end - 2 * _PAD_MM)
    svg = document(
        [
            Polygon(((0, 0), (width, 0), (width, height), (0, height)), "page"),
            Polygon(ring, "frame"),
            Group(tuple(table), "list"),
            Group(tuple(_foot(found, foot)), "words"),
            Group(title_block(words, block), "title-block"),
        ],
        {
            "width": f"{width:g}mm",
            "height": f"{height:g}mm",
            "viewBox": f"0 0 {width:g} {height:g}",
            "font-family": FONT,
            "role": "img",
        },
        sheet_look(1),
        title=f"{plan.name}: quantities on {chosen.key}",
    )
    return Sheet(svg, chosen.key, 1, width, height)


def _table(plan: Plan, found: TakeOff, box: Box, step: float) -> tuple[list[Item], float]:
    """Letter the list from the top of a box down; give also where it ends."""
    items: list[Item] = [heading(box.x, box.y, "What to buy")]
    stops = {name: box.x + box.width * share for name, share in _COLUMNS}
    starts = stops["to buy"] - 0.09 * box.width
    for name, at in stops.items():
        left = name == "to buy"
        items.append(
            Text((starts if left else at, box.y + 3.4), name, "size", "start" if left else "end")
        )
    y = box.y + _HEAD_MM
    part, total = "", 0
    for line in found.lines:
        if line.part != part:
            part = line.part
            items.append(Text((box.x, y + 4.6), PART_NAMES[line.part], "small-bold", "start"))
            items.append(Line((box.x, y + 5.8), (box.right, y + 5.8), "rule"))
            y += _HEAD_MM
        items += _row(plan, line, box, y, step, stops, starts)
        y += step
        total += line.cost_minor or 0
    mass = sum(line.mass_kg for line in found.lines)
    items.append(Line((box.x, y + 0.8), (box.right, y + 0.8), "rule"))
    items.append(Text((box.x, y + 5.0), "Together, as far as it has prices", "small-bold", "start"))
    items.append(Text((stops["kg"], y + 5.0), f"{mass:.0f}", "small-bold", "end"))
    money = format_money(total, plan.currency)
    items.append(Text((stops["cost"], y + 5.0), money, "small-bold", "end"))
    return items, y + 6.0


def _row(
    plan: Plan, line: ListLine, box: Box, y: float, step: float,
    stops: dict[str, float], starts: float,
) -> list[Item]:  # fmt: skip
    size, small = size_of("small"), SMALL_MM
    foot = y + 3.2
    tick = ((box.x, foot - _TICK_MM + 0.3), (box.x + _TICK_MM, foot - _TICK_MM + 0.3),
            (box.x + _TICK_MM, foot + 0.3), (box.x, foot + 0.3))  # fmt: skip
    left = box.x + _TICK_MM + 2
    net = measure_words(line.net, line.unit, plan.units)
    free = stops["net"] - left - width_of(net, size) - 2
    item = f"{line.item} (assumed)" if line.assumed else line.item
    cost = line.cost_minor
    packs = shorten(
        _as_printed(line.pack_words or "no pack known"), size, stops["kg"] - starts - 12
    )
    waste = measure_words(line.waste, line.unit, plan.units).split(" ")[0]
    items: list[Item] = [
        Polygon(tick, "key-ring"),
        Text((left, foot), shorten(item, size, free), "small", "start"),
        Text((stops["net"], foot), net, "small", "end"),
        Text((stops["waste"], foot), waste, "small", "end"),
        Text((starts, foot), packs, "small", "start"),
        Text((stops["kg"], foot), f"{line.mass_kg:.0f}" if line.mass_kg else "–", "small", "end"),
        Text(
            (stops["cost"], foot),
            "no price" if cost is None else format_money(cost, plan.currency), "small", "end",
        ),
    ]  # fmt: skip
    if step == _AIRY:
        where = shorten(_as_printed(f"{line.where}; {line.rate}"), small, box.right - left)
        items.append(Text((left, foot + 3.3), where, "size", "start"))
        items.append(Line((box.x, y + step - 0.4), (box.right, y + step - 0.4), "hair"))
    return items


def _as_printed(words: str) -> str:
    """Write square metres as one prints them."""
    return words.replace("m2", "m²")


def _foot(found: TakeOff, box: Box) -> list[Item]:
    """Letter what could not be counted, then what is worth saying, as far as there is room."""
    items: list[Item] = [heading(box.x, box.y, "Before you buy")]
    told = [f"Not counted: {problem}" for problem in found.problems] + list(found.says)
    step = SMALL_MM * 1.3
    holds = int((box.height - 7.4) // step)
    lines: list[str] = []
    for i, words in enumerate(told):
        more = wrap(_as_printed(words), SMALL_MM, box.width)
        last = i + 1 == len(told)
        if len(lines) + len(more) + (0 if last else 1) > holds:
            if len(lines) < holds:
                lines.append("More stands on the page of quantities.")
            break
        lines += more
    for i, line in enumerate(lines):
        items.append(Text((box.x, box.y + 7.4 + i * step), line, "small", "start"))
    return items
