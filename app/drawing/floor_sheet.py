"""The floor as a sheet true to scale: numbered pieces, and what is cut from which stock piece."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from app.drawing.figure import room_figure
from app.drawing.floor_figure import (
    cut_sheets_of,
    cut_words,
    mat_items,
    sheet_items,
    whole_numbers,
)
from app.drawing.ink import CUT_MM, FONT, GREY, INK, SMALL_MM, THIN_MM, THING_MM, WHITE, sheet_look
from app.drawing.lettering import wrap
from app.drawing.medium import Medium, region
from app.drawing.paper import (
    SIDE_BY_SIDE_MM,
    Arrangement,
    Box,
    arrange_at,
    largest_scale,
    paper_of,
    scale_words,
)
from app.drawing.plan_sheet import Sheet, TitleFields
from app.drawing.primitives import Group, Item, Line, Polygon, Text
from app.drawing.sheet_words import (
    TITLE_MM,
    TitleWords,
    heading,
    hundred_mm,
    rule_between,
    scale_bar,
    title_block,
)
from app.drawing.svg import Look, document
from app.scene.build import Scene
from app.takeoff.floor import Layout
from app.takeoff.floor_region import laid_round
from app.units import format_length
from app.wording import area_words

LETTER_MM = 3.0
_AIR_MM = 4.0
_PAD_MM = 4.0
_LINE_MM = SMALL_MM * 1.32
_CELL_MM = 34.0
_THUMB_SCALES = (10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0, 150.0, 200.0, 400.0)
_WORDS_SHARE = 0.45
_LEAST_THUMB_MM = 9.0


@dataclass
class _Flow:
    """Sets things one under the other through columns; `full` counts what found no room."""

    boxes: Sequence[Box]
    column: int = 0
    y: float = 0.0
    items: list[Item] = field(default_factory=list)

    def take(self, high: float) -> Box | None:
        """Give a box of this height in the column where there is room, None when there is none."""
        while self.column < len(self.boxes):
            box = self.boxes[self.column]
            if self.y + high <= box.height:
                found = Box(box.x, box.y + self.y, box.width, high)
                self.y += high
                return found
            self.column, self.y = self.column + 1, 0.0
        return None


def floor_sheet(
    scene: Scene,
    layout: Layout,
    *,
    paper: str = "A3",
    scale: int | None = None,
    fields: TitleFields | None = None,
) -> Sheet:
    """Draw a laid floor on paper: to lay from, with its cut list.

    Raises SheetError for a paper or scale that does not do.
    """
    fields = fields or TitleFields()
    units = scene.plan.units

    def size(at: int) -> tuple[float, float]:
        x0, y0, x1, y1 = room_figure(scene.room, Medium(LETTER_MM * at, units, False)).bounds
        return (x1 - x0) / at + _AIR_MM, (y1 - y0) / at + _AIR_MM

    chosen = paper_of(paper)
    scale = scale or largest_scale(size, chosen, units)
    ways = arrange_at(size, chosen, scale, units)
    words = TitleWords(
        scene.plan.name,
        scale_words(scale),
        chosen.key,
        fields.revision,
        fields.date,
        fields.drawn_for or scene.plan.drawn_for,
        "",
        "Floor",
    )
    sides = [_side(way, scene, layout, words) for way in ways]
    best = min(range(len(ways)), key=lambda i: (sides[i][1], i))
    arrangement, (side, missing) = ways[best], sides[best]
    figure = room_figure(scene.room, Medium(LETTER_MM * scale, units, True))
    x0, y0, x1, y1 = (value / scale for value in figure.bounds)
    place = arrangement.figure
    origin = (
        round(place.x + (place.width - (x1 - x0)) / 2 - x0, 3),
        round(place.y + (place.height - (y1 - y0)) / 2 - y0, 3),
    )
    drawn: list[Item] = [
        figure.floor,
        Group(mat_items(layout, LETTER_MM * scale, strokes=True), "layer-mats"),
        *(
            region(placed.footprint, "stay-edge")
            for placed in laid_round(scene, layout.laid.laying)
        ),
        figure.walls,
        figure.doors,
        figure.dims,
    ]
    svg = document(
        [
            *_page(arrangement),
            Group(tuple(drawn), "figure", (("scale", str(scale)),), origin, scale=1 / scale),
            *side,
            *_strip(arrangement, scale, scene),
        ],
        {
            "width": f"{arrangement.width_mm:g}mm",
            "height": f"{arrangement.height_mm:g}mm",
            "viewBox": f"0 0 {arrangement.width_mm:g} {arrangement.height_mm:g}",
            "font-family": FONT,
            "role": "img",
        },
        floor_look(scale),
        title=f"{scene.plan.name}: floor, {scale_words(scale)} on {chosen.key}",
    )
    note = f"{missing} cut stock pieces are not listed: take a larger paper" if missing else ""
    return Sheet(svg, chosen.key, scale, arrangement.width_mm, arrangement.height_mm, note)


def floor_look(scale: int) -> Look:
    """Give the look of every ink of a floor sheet whose figure is at 1:`scale`."""

    def in_room(mm: float) -> str:
        return f"{mm * scale:.4g}"

    letters = {"fill": INK, "font-weight": "700", "stroke": WHITE, "paint-order": "stroke"}
    own = {
        "lay": {"fill": WHITE, "stroke": INK, "stroke-width": in_room(THING_MM)},
        "lay-hatch": {"stroke": "#9a9a9a", "stroke-width": in_room(THIN_MM)},
        "lay-narrow": {"stroke-width": in_room(CUT_MM)},
        "lay-number": letters | {"font-size": in_room(LETTER_MM), "stroke-width": in_room(0.8)},
        "stock": {"fill": "#e6e6e6", "stroke": INK, "stroke-width": str(THING_MM)},
        "stock-cut": {"fill": WHITE, "stroke": "none"},
        "stock-notch": {"fill": "none", "stroke": GREY, "stroke-width": "0.2",
                        "stroke-dasharray": "0.8 0.6"},
        "knife": {"stroke": INK, "stroke-width": str(THING_MM)},
        "stock-number": letters | {"font-size": str(SMALL_MM), "stroke-width": "0.6"},
    }  # fmt: skip
    return {**sheet_look(scale), **own}


def _side(
    arrangement: Arrangement, scene: Scene, layout: Layout, words: TitleWords
) -> tuple[tuple[Item, ...], int]:
    """Set facts and cut list beside or below the figure; give also how many cuts found no room."""
    boxes = [
        Box(c.x + _PAD_MM, c.y + _PAD_MM, c.width - 2 * _PAD_MM, c.height - 2 * _PAD_MM)
        for c in arrangement.columns
    ]
    last = boxes[-1]
    boxes[-1] = Box(last.x, last.y, last.width, last.height - TITLE_MM)
    corner = arrangement.columns[-1]
    title = Box(corner.x, corner.bottom - TITLE_MM, corner.width, TITLE_MM)
    flow = _Flow(boxes)
    _facts(flow, scene, layout)
    missing = _cuts(flow, scene, layout)
    _lines(flow, layout.notes)
    first = arrangement.columns[0]
    if arrangement.beside:
        edges: tuple[Item, ...] = (Line((first.x, first.y), (first.x, first.bottom), "rule"),)
    else:
        across = Line((first.x, first.y), (arrangement.frame.right, first.y), "rule")
        edges = (across, *rule_between(arrangement.columns))
    block = Group(title_block(words, title), "title-block")
    return (*edges, Group(tuple(flow.items), "cut-list"), block), missing


def _facts(flow: _Flow, scene: Scene, layout: Layout) -> None:
    laying, units = layout.laid.laying, scene.plan.units
    size = " × ".join(
        format_length(mm, units) for mm in (laying.length_mm, laying.width_mm, laying.thickness_mm)
    )
    box = flow.take(6.0)
    if box is not None:
        flow.items.append(heading(box.x, box.y, laying.name.capitalize()))
    told = [
        size,
        layout.sentence,
        f"{layout.mass_kg:.0f} kg delivered, {layout.lift_kg:.1f} kg each lift; "
        f"{area_words(layout.area_m2, units, 2)} laid, "
        f"{area_words(layout.waste_m2, units, 2)} waste.",
        "Lay in the order of the numbers. Hatched pieces are cut; sizes in the list are as they "
        "lie in the stock piece, along × down. Measure each on the spot before it is cut.",
    ]
    whole = whole_numbers(layout)
    if whole:
        told.append(f"Laid as they come: {whole}.")
    _lines(flow, told)


def _lines(flow: _Flow, paragraphs: Sequence[str]) -> None:
    """Letter paragraphs one by one, each whole, as far as there is room."""
    width = min(box.width for box in flow.boxes)
    for words in paragraphs:
        lines = wrap(words, SMALL_MM, width)
        box = flow.take(len(lines) * _LINE_MM)
        if box is None:
            return
        flow.items += [
            Text((box.x, box.y + SMALL_MM + n * _LINE_MM), line, "small", "start")
            for n, line in enumerate(lines)
        ]
        flow.y += 0.9


def _cuts(flow: _Flow, scene: Scene, layout: Layout) -> int:
    """Draw the cut stock pieces as large as there is room for; give how many found none.

    Where they would come out too small to read, they are told in words instead.
    """
    sheets = cut_sheets_of(layout)
    if not sheets:
        return 0
    least = min(sheets[0].width_mm, sheets[0].height_mm)
    for scale in _THUMB_SCALES:
        trial = _Flow(flow.boxes, flow.column, flow.y)
        if least / scale < _LEAST_THUMB_MM or _at_scale(trial, scene, layout, scale) != 0:
            continue
        flow.items += trial.items
        flow.column, flow.y = trial.column, trial.y
        return 0
    return _in_words(flow, scene, layout)


def _in_words(flow: _Flow, scene: Scene, layout: Layout) -> int:
    sheets = cut_sheets_of(layout)
    box = flow.take(6.0)
    if box is not None:
        flow.items.append(heading(box.x, box.y, f"Cut from {len(sheets)} pieces"))
    told = 0
    for sheet in sheets:
        words = "; ".join(cut_words(sheet, layout.mats, scene.plan.units))
        lines = wrap(f"From one: {words}.", SMALL_MM, min(box.width for box in flow.boxes))
        box = flow.take(len(lines) * _LINE_MM + 0.6)
        if box is None:
            break
        told += 1
        flow.items += [
            Text((box.x, box.y + SMALL_MM + n * _LINE_MM), line, "small", "start")
            for n, line in enumerate(lines)
        ]
    return len(sheets) - told


def _at_scale(flow: _Flow, scene: Scene, layout: Layout, scale: float) -> int | None:
    sheets = cut_sheets_of(layout)
    width = min(box.width for box in flow.boxes)
    wide, high = sheets[0].width_mm / scale, sheets[0].height_mm / scale
    if wide > width or high > max(box.height for box in flow.boxes) * (1 - _WORDS_SHARE):
        return None
    across = max(1, int(width // max(wide + _PAD_MM, _CELL_MM)))
    cell = width / across
    box = flow.take(6.0)
    if box is not None:
        flow.items.append(heading(box.x, box.y, f"Cut from {len(sheets)} pieces"))
    left = len(sheets)
    for start in range(0, len(sheets), across):
        row = sheets[start : start + across]
        told = [
            [
                line
                for words in cut_words(sheet, layout.mats, scene.plan.units)
                for line in wrap(words, SMALL_MM, cell - 2)
            ]
            for sheet in row
        ]
        deep = high + 1.2 + max(len(lines) for lines in told) * _LINE_MM + 2.6
        box = flow.take(deep)
        if box is None:
            return left
        for i, (sheet, lines) in enumerate(zip(row, told, strict=True)):
            x = box.x + i * cell
            drawn = tuple(sheet_items(sheet, layout.mats, (x, box.y), scale, SMALL_MM))
            flow.items.append(Group(drawn, "stock-sheet", (("sheet", str(sheet.number)),)))
            foot = box.y + high + 1.2
            flow.items += [
                Text((x, foot + SMALL_MM + n * _LINE_MM), line, "small", "start")
                for n, line in enumerate(lines)
            ]
        left -= len(row)
    return left


def _page(arrangement: Arrangement) -> tuple[Item, ...]:
    w, h, frame = arrangement.width_mm, arrangement.height_mm, arrangement.frame
    ring = (
        (frame.x, frame.y), (frame.right, frame.y),
        (frame.right, frame.bottom), (frame.x, frame.bottom),
    )  # fmt: skip
    page = Polygon(((0, 0), (w, 0), (w, h), (0, h)), "page")
    return (page, Polygon(ring, "frame"))


def _strip(arrangement: Arrangement, scale: int, scene: Scene) -> tuple[Item, ...]:
    strip, units = arrangement.strip, scene.plan.units
    top = strip.y + 4
    if strip.width >= SIDE_BY_SIDE_MM:
        left = strip.right - 106
        bar = scale_bar(strip.x + 6, top, left - strip.x - 12, scale, units)
    else:
        left = strip.x + 6
        bar = scale_bar(left, top + 11, strip.width - 12, scale, units)
    return (Group(bar, "scale-bar"), Group(hundred_mm(left, top, units), "true-length"))
