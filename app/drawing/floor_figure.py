"""A laid floor as figures: numbered pieces over the room, and each stock piece with its cuts."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from app.drawing.hatching import hatch
from app.drawing.lettering import width_of
from app.drawing.medium import region
from app.drawing.primitives import Item, Line, Point, Polygon, Text
from app.drawing.svg import fragment
from app.takeoff.floor import Layout
from app.takeoff.floor_layout import Mat, StockSheet
from app.takeoff.floor_shapes import slits_of
from app.units import Units, format_short

_FILM_LETTERS = 44.0
_SHEET_LETTERS = 11.0
_LONG_LETTERS = 28.0
_BAR_LONG, _BAR_HIGH = 100.0, 8.0


def mat_items(layout: Layout, em_mm: float, strokes: bool = False) -> tuple[Item, ...]:
    """Draw every piece as it lies, with its number; cut ones hatched, in mm of the room.

    A number is lettered smaller, down to a third, where its piece is narrow. With `strokes` the
    hatch is drawn as lines, else the ink alone tells cut from whole.
    """
    areas: list[Item] = []
    names: list[Item] = []
    for mat in layout.mats:
        ink = "lay-narrow" if mat.narrow else "lay-cut" if mat.cut else "lay-whole"
        areas.append(region(mat.polygon, f"lay {ink}"))
        if strokes and mat.cut:
            areas.append(hatch(mat.polygon, em_mm * 0.8, 45.0, "lay-hatch"))
        for slit in slits_of(mat.polygon):
            (x0, y0), (x1, y1) = slit.coords
            areas.append(Line((x0, y0), (x1, y1), "knife"))
        names.append(_number(mat, em_mm))
    return (*areas, *names)


def _number(mat: Mat, em_mm: float) -> Text:
    at = mat.polygon.centroid
    if not mat.polygon.covers(at):
        at = mat.polygon.representative_point()
    x0, y0, x1, y1 = mat.polygon.bounds
    upright = x1 - x0 < width_of(str(mat.number), em_mm) and y1 - y0 > x1 - x0
    if upright:
        return Text((at.x + em_mm * 0.36, at.y), str(mat.number), "lay-number", turn_deg=-90.0)
    return Text((at.x, at.y + em_mm * 0.36), str(mat.number), "lay-number")


def floor_film(layout: Layout, view_box: str) -> str:
    """Return the laid floor as an `<svg>` to lie over a room's drawing of the same view box."""
    _, _, width, height = (float(word) for word in view_box.split())
    em = max(width, height) / _FILM_LETTERS
    return fragment(
        mat_items(layout, em),
        {
            "class": "laid",
            "viewBox": view_box,
            "preserveAspectRatio": "xMidYMid meet",
            "font-size": f"{em:.0f}",
            "aria-hidden": "true",
        },
        digits=1,
    )


def trade_bar(value: float, greatest: float, mark: float | None = None) -> str:
    """Return a bar for a page, `greatest` as long as its place, with a mark across where asked."""

    def at(what: float) -> float:
        return _BAR_LONG * min(max(what / greatest, 0.0), 1.0) if greatest > 0 else 0.0

    wide = at(value)
    items: list[Item] = [
        Polygon(((0, 0), (wide, 0), (wide, _BAR_HIGH), (0, _BAR_HIGH)), "trade-bar")
    ]
    if mark is not None:
        items.append(Line((at(mark), 0), (at(mark), _BAR_HIGH), "trade-mark"))
    return fragment(
        items,
        {
            "class": "trade-bars",
            "viewBox": f"0 0 {_BAR_LONG:g} {_BAR_HIGH:g}",
            "preserveAspectRatio": "none",
            "aria-hidden": "true",
        },
        digits=1,
    )


def cut_sheets_of(layout: Layout) -> tuple[StockSheet, ...]:
    """Return the stock pieces that are touched by the knife."""
    cut = {mat.sheet for mat in layout.mats if mat.cut}
    return tuple(sheet for sheet in layout.sheets if sheet.number in cut)


def whole_numbers(layout: Layout) -> str:
    """Say which numbers are laid as they come: "1 to 4, 6, 8 to 11"."""
    return runs([mat.number for mat in layout.mats if not mat.cut])


def runs(numbers: Sequence[int]) -> str:
    """Write whole numbers shortly: 1, 2, 3, 5 as "1 to 3, 5"."""
    ranges: list[str] = []
    start = last = None
    for number in [*sorted(numbers), math.inf]:
        if last is not None and number == last + 1:
            last = int(number)
            continue
        if start is not None and last is not None:
            wide = last - start
            ranges.append(
                str(start) if not wide else f"{start}{' to ' if wide > 1 else ', '}{last}"
            )
        if number != math.inf:
            start = last = int(number)
    return ", ".join(ranges)


def cut_words(sheet: StockSheet, mats: Sequence[Mat], units: Units) -> tuple[str, ...]:
    """Say of each cut of a stock piece its number and size, and what more is to be done to it."""
    known = {mat.number: mat for mat in mats}
    lines = []
    for cut in sheet.cuts:
        size = f"{format_short(cut.width_mm, units)} × {format_short(cut.height_mm, units)}"
        mat = known[cut.number]
        words = f"{cut.number}: {size}"
        if mat.notched:
            words += ", notched on the spot"
        lines.append(words)
    return tuple(lines)


def sheet_items(
    sheet: StockSheet, mats: Sequence[Mat], at: Point, scale: float, em: float
) -> Iterator[Item]:
    """Draw a stock piece with its cuts at 1:`scale`, its top left corner at `at`."""
    known = {mat.number: mat for mat in mats}

    def put(x: float, y: float) -> Point:
        return at[0] + x / scale, at[1] + y / scale

    def box(x: float, y: float, wide: float, high: float) -> tuple[Point, ...]:
        return put(x, y), put(x + wide, y), put(x + wide, y + high), put(x, y + high)

    yield Polygon(box(0, 0, sheet.width_mm, sheet.height_mm), "stock")
    for cut in sheet.cuts:
        mat = known[cut.number]
        yield Polygon(box(cut.x_mm, cut.y_mm, cut.width_mm, cut.height_mm), "stock-cut")
        if mat.notched:
            for edge in (mat.outline.exterior, *mat.outline.interiors):
                yield Polygon(tuple(put(x, y) for x, y in edge.coords[:-1]), "stock-notch")
            for slit in slits_of(mat.outline):
                (x0, y0), (x1, y1) = slit.coords
                yield Line(put(x0, y0), put(x1, y1), "knife")
    for start, end in sheet.knife:
        yield Line(put(*start), put(*end), "knife")
    for cut in sheet.cuts:
        x, y = put(cut.x_mm + cut.width_mm / 2, cut.y_mm + cut.height_mm / 2)
        narrow = cut.width_mm / scale < width_of(str(cut.number), em)
        if narrow and cut.height_mm > cut.width_mm:
            yield Text((x + em * 0.36, y), str(cut.number), "stock-number", turn_deg=-90.0)
        else:
            yield Text((x, y + em * 0.36), str(cut.number), "stock-number")


def sheet_picture(sheet: StockSheet, mats: Sequence[Mat], label: str) -> str:
    """Return a stock piece with its cuts as an `<svg>` to stand in a page, `label` for its name."""
    short, long = sorted((sheet.width_mm, sheet.height_mm))
    em = max(short / _SHEET_LETTERS, long / _LONG_LETTERS)
    rim = em / 4
    view = (-rim, -rim, sheet.width_mm + 2 * rim, sheet.height_mm + 2 * rim)
    return fragment(
        sheet_items(sheet, mats, (0.0, 0.0), 1.0, em),
        {
            "class": "stock-sheet",
            "viewBox": " ".join(f"{value:.1f}" for value in view),
            "font-size": f"{em:.0f}",
            "role": "img",
            "aria-label": label,
        },
        digits=1,
    )
