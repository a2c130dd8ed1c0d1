"""The floor as a sheet true to scale: numbered pieces, and what is cut from which stock piece."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from app.drawing.continuation import columns_of, page_and_frame, sheet_document
from app.drawing.figure import room_figure
from app.drawing.floor_figure import mat_items
from app.drawing.floor_flow import floor_in_words
from app.drawing.ink import CUT_MM, FONT, GREY, INK, SMALL_MM, THIN_MM, THING_MM, WHITE, sheet_look
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
from app.drawing.primitives import Group, Item, Line
from app.drawing.sheet_words import (
    TITLE_MM,
    TitleWords,
    hundred_mm,
    rule_between,
    scale_bar,
    title_block,
)
from app.drawing.svg import Look, document
from app.scene.build import Scene
from app.takeoff.floor import Layout
from app.takeoff.floor_region import laid_round

LETTER_MM = 3.0
_AIR_MM = 4.0
_PAD_MM = 4.0


def floor_sheet(
    scene: Scene,
    layout: Layout,
    *,
    paper: str = "A3",
    scale: int | None = None,
    fields: TitleFields | None = None,
) -> Sheet:
    """Draw a laid floor on paper: to lay from, with its cut list, over further sheets if need be.

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
    )
    every = [_in_words(way, scene, layout) for way in ways]
    # the way to divide the sheet that takes fewest; of equals the preferred one
    best = min(range(len(ways)), key=lambda i: (len(every[i]), i))
    arrangement, pages = ways[best], every[best]
    size_mm = (arrangement.width_mm, arrangement.height_mm)
    title = f"{scene.plan.name}: floor, {scale_words(scale)} on {chosen.key}"
    side = _side(arrangement, pages[0], replace(words, sheet=_which(1, len(pages))))
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
            *page_and_frame(*size_mm),
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
        title=title,
    )
    more = _further(pages[1:], words, size_mm, title)
    return Sheet(svg, chosen.key, scale, *size_mm, more=more)


def floor_look(scale: int) -> Look:
    """Return the look of every ink of a floor sheet whose figure is at 1:`scale`."""

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


def _in_words(
    arrangement: Arrangement, scene: Scene, layout: Layout
) -> tuple[tuple[Item, ...], ...]:
    """Return facts and cut list: what stands beside or below the figure, then on further sheets."""
    boxes = [
        Box(c.x + _PAD_MM, c.y + _PAD_MM, c.width - 2 * _PAD_MM, c.height - 2 * _PAD_MM)
        for c in arrangement.columns
    ]
    last = boxes[-1]
    boxes[-1] = Box(last.x, last.y, last.width, last.height - TITLE_MM)
    _, further = columns_of(arrangement.width_mm, arrangement.height_mm)
    return floor_in_words(boxes, further, layout, scene.plan.units)


def _side(arrangement: Arrangement, items: tuple[Item, ...], words: TitleWords) -> tuple[Item, ...]:
    """Return the rules round the columns, what is told in them and the title block."""
    first = arrangement.columns[0]
    if arrangement.beside:
        edges: tuple[Item, ...] = (Line((first.x, first.y), (first.x, first.bottom), "rule"),)
    else:
        across = Line((first.x, first.y), (arrangement.frame.right, first.y), "rule")
        edges = (across, *rule_between(arrangement.columns))
    return (*edges, Group(items, "cut-list"), _block(arrangement.columns[-1], words))


def _block(corner: Box, words: TitleWords) -> Group:
    box = Box(corner.x, corner.bottom - TITLE_MM, corner.width, TITLE_MM)
    return Group(title_block(words, box), "title-block")


def _further(
    pages: Sequence[tuple[Item, ...]], words: TitleWords, size: tuple[float, float], title: str
) -> tuple[str, ...]:
    """Set what the first sheet had no room for on sheets of its size."""
    columns, _ = columns_of(*size)
    made = []
    for i, items in enumerate(pages):
        which = _which(i + 2, 1 + len(pages))
        block = _block(columns[-1], replace(words, scale="not to scale", sheet=which))
        drawn = [*rule_between(columns), Group(items, "cut-list"), block]
        made.append(sheet_document(drawn, size, f"{title}, sheet {i + 2}", floor_look(1)))
    return tuple(made)


def _which(number: int, count: int) -> str:
    return f"Floor {number} of {count}" if count > 1 else "Floor"


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
