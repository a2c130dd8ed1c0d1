"""A laid floor as figures: numbered pieces over the room, and each stock piece with its cuts."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely
from shapely import Polygon as Outline
from shapely.geometry.base import BaseGeometry
from shapely.ops import polylabel

from app.drawing.hatching import hatch
from app.drawing.lettering import width_of, wrap
from app.drawing.medium import region
from app.drawing.primitives import Item, Line, Point, Polygon, Text
from app.drawing.svg import fragment
from app.drawing.wallward import side_towards, towards_in_stock, wallward
from app.model.flooring import FloorLaying
from app.scene.build import Placed, Scene
from app.takeoff.cutting_2d import CutRect
from app.takeoff.floor import Layout
from app.takeoff.floor_layout import Mat, StockSheet
from app.takeoff.floor_region import laid_round, let_in
from app.takeoff.floor_shapes import slits_of
from app.takeoff.lay_words import shape_words
from app.takeoff.ramps import ramp_areas
from app.units import Units, format_short

_FILM_LETTERS = 44.0
_SHEET_LETTERS = 11.0
_LONG_LETTERS = 28.0
_BAR_LONG, _BAR_HIGH = 100.0, 8.0
_LINE_EM = 1.15
_LEAST_NAME = 3.0
"""How long a thing is in letters before its name is lettered on it: a shorter one says nothing."""


def mat_items(
    layout: Layout,
    em_mm: float,
    strokes: bool = False,
    keep_off: BaseGeometry | None = None,
    toward: Point | None = None,
) -> tuple[Item, ...]:
    """Draw every piece as it lies, with its number; cut ones hatched, in mm of the room.

    A number is lettered smaller, down to a third, where its piece is narrow. With `strokes` the
    hatch is drawn as lines, else the ink alone tells cut from whole. Numbers `keep_off` a mark.
    `toward` the wall of the start, a unit vector of the plan, points an arrow on what is notched.
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
        number = _number(mat, em_mm, keep_off)
        names.append(number)
        if mat.notched and toward is not None:
            names += wallward(mat.polygon, number.at, toward, em_mm)
    return (*areas, *names)


def _number(mat: Mat, em_mm: float, keep_off: BaseGeometry | None) -> Text:
    at = mat.polygon.centroid
    letters = at.buffer(em_mm * 0.5)
    if mat.notched and not mat.polygon.covers(letters):
        # the middle of where it is widest: a leg of an angle has no room for the number
        at = polylabel(mat.polygon, em_mm / 10)
    if keep_off is not None and at.buffer(em_mm).intersects(keep_off):
        beside = mat.polygon.difference(shapely.box(*keep_off.bounds))
        largest = max(shapely.get_parts(beside), key=lambda part: part.area, default=mat.polygon)
        at = polylabel(largest, em_mm / 10)
    x0, y0, x1, y1 = mat.polygon.bounds
    upright = x1 - x0 < width_of(str(mat.number), em_mm) and y1 - y0 > x1 - x0
    if upright:
        return Text((at.x + em_mm * 0.36, at.y), str(mat.number), "lay-number", turn_deg=-90.0)
    return Text((at.x, at.y + em_mm * 0.36), str(mat.number), "lay-number")


def ramp_items(scene: Scene) -> Iterator[Item]:
    """Draw the ramps at the free edges of the floor, beside the covering, in mm of the room."""
    return (region(area, "lay-ramp") for _, area in ramp_areas(scene))


def staying_in(scene: Scene, laying: FloorLaying) -> tuple[Placed, ...]:
    """Return what a floor is laid round, and what is let into it: no mat lies there."""
    return (*laid_round(scene, laying), *let_in(scene, laying))


def stay_names(staying: Sequence[Placed], em_mm: float) -> Iterator[Text]:
    """Name what stays, each inside its own outline where a name finds room there."""
    for placed in staying:
        x0, y0, x1, y1 = placed.footprint.bounds
        short, long = sorted((x1 - x0, y1 - y0))
        if short > em_mm and long > _LEAST_NAME * em_mm:
            yield from _stay_name(placed, em_mm, short, long, upright=y1 - y0 > x1 - x0)


def _stay_name(
    placed: Placed, em_mm: float, short: float, long: float, upright: bool
) -> Iterator[Text]:
    """Name a thing along its longer side, in as many lines as it has room."""
    at = placed.footprint.centroid
    lines = wrap(placed.name, em_mm, long, max(1, int(short // (em_mm * _LINE_EM))))
    for i, line in enumerate(lines):
        down = em_mm * (0.36 + _LINE_EM * (i - (len(lines) - 1) / 2))
        if upright:
            yield Text((at.x + down, at.y), line, "stay-name", turn_deg=-90.0)
        else:
            yield Text((at.x, at.y + down), line, "stay-name")


def floor_film(scene: Scene, layout: Layout, view_box: str) -> str:
    """Return the laid floor as an `<svg>` to lie over a room's drawing of the same view box.

    With its ramps and the names of what stays, which the drawing under it then leaves out.
    """
    _, _, width, height = (float(word) for word in view_box.split())
    em = max(width, height) / _FILM_LETTERS
    staying = staying_in(scene, layout.laid.laying)
    return fragment(
        (*ramp_items(scene), *mat_items(layout, em), *stay_names(staying, em)),
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


def alike_sheets(layout: Layout) -> tuple[tuple[StockSheet, ...], ...]:
    """Return the stock pieces that are cut, those that are cut alike together, in their order."""
    known = {mat.number: mat for mat in layout.mats}
    groups: dict[tuple[object, ...], list[StockSheet]] = {}
    for sheet in cut_sheets_of(layout):
        shapes = tuple(_cut_like(known[cut.number]) for cut in _in_place(sheet))
        groups.setdefault(shapes, []).append(sheet)
    return tuple(tuple(group) for group in groups.values())


def _in_place(sheet: StockSheet) -> list[CutRect]:
    return sorted(sheet.cuts, key=lambda cut: (round(cut.x_mm), round(cut.y_mm)))


def _cut_like(mat: Mat) -> tuple[object, ...]:
    """Return where a piece lies in its stock piece and its shape there, to the millimetre."""
    rect = mat.rect
    box = tuple(round(mm) for mm in (rect.x_mm, rect.y_mm, rect.width_mm, rect.height_mm))
    if not mat.notched:
        return box
    # pieces alike there that lie otherwise in the room have their arrows otherwise
    box = (*box, mat.rect.quarters)
    rings = (mat.outline.exterior, *mat.outline.interiors)
    return (*box, tuple(sorted((round(x), round(y)) for r in rings for x, y in r.coords[:-1])))


def _numbers(group: Sequence[StockSheet]) -> list[tuple[CutRect, list[int]]]:
    """Return each cut of the first of some stock pieces that are alike, with all its numbers."""
    first, *_ = group
    every = [_in_place(sheet) for sheet in group]
    alike = {cuts[0].number: [cut.number for cut in cuts] for cuts in zip(*every, strict=True)}
    return [(cut, alike[cut.number]) for cut in first.cuts]


def cut_words(
    group: Sequence[StockSheet], mats: Sequence[Mat], units: Units, wall: str = ""
) -> tuple[str, ...]:
    """Say of each cut of stock pieces that are cut alike its numbers and size, and what more is to
    be cut of it by the tape; first how many stock pieces there are of the kind. Cuts of one size
    and shape are told once, with all their numbers. Of what is notched also which edge lies
    towards the `wall` of the start: a piece may be turned in its stock piece.
    """
    known = {mat.number: mat for mat in mats}
    first = (f"{len(group)} of this",) if len(group) > 1 else ()
    size_mm = group[0].width_mm, group[0].height_mm
    numbers_of: dict[str, list[int]] = {}
    for cut, numbers in _numbers(group):
        size = f"{format_short(cut.width_mm, units)} × {format_short(cut.height_mm, units)}"
        shape = shape_words(known[cut.number], size_mm, units) if known[cut.number].notched else ()
        if shape and wall:
            shape = (*shape, f"its {side_towards(known[cut.number])} edge towards {wall}")
        numbers_of.setdefault("; ".join((size, *shape)), []).extend(numbers)
    return (*first, *(f"{runs(numbers)}: {words}" for words, numbers in numbers_of.items()))


def sheet_items(
    group: Sequence[StockSheet], mats: Sequence[Mat], at: Point, scale: float, em: float
) -> Iterator[Item]:
    """Draw stock pieces that are cut alike, once, at 1:`scale`, the top left corner at `at`."""
    sheet = group[0]
    known = {mat.number: mat for mat in mats}

    def put(x: float, y: float) -> Point:
        return at[0] + x / scale, at[1] + y / scale

    def box(x: float, y: float, wide: float, high: float) -> tuple[Point, ...]:
        return put(x, y), put(x + wide, y), put(x + wide, y + high), put(x, y + high)

    yield Polygon(box(0, 0, sheet.width_mm, sheet.height_mm), "stock")
    for cut in sheet.cuts:
        mat = known[cut.number]
        if not mat.notched:
            yield Polygon(box(cut.x_mm, cut.y_mm, cut.width_mm, cut.height_mm), "stock-cut")
        else:
            # what falls off stays dark as other offcuts do
            yield Polygon(
                tuple(put(x, y) for x, y in mat.outline.exterior.coords[:-1]), "stock-cut"
            )
            for hole in mat.outline.interiors:
                yield Polygon(tuple(put(x, y) for x, y in hole.coords[:-1]), "stock-off")
            for edge in (mat.outline.exterior, *mat.outline.interiors):
                yield Polygon(tuple(put(x, y) for x, y in edge.coords[:-1]), "stock-notch")
            for slit in slits_of(mat.outline):
                (x0, y0), (x1, y1) = slit.coords
                yield Line(put(x0, y0), put(x1, y1), "knife")
    for start, end in sheet.knife:
        yield Line(put(*start), put(*end), "knife")
    # once more over what is cut: its white covers half of the line
    yield Polygon(box(0, 0, sheet.width_mm, sheet.height_mm), "stock-edge")
    for cut, numbers in _numbers(group):
        x, y = put(cut.x_mm + cut.width_mm / 2, cut.y_mm + cut.height_mm / 2)
        mat = known[cut.number]
        if mat.notched:
            spot = polylabel(mat.outline, em * scale / 10)
            x, y = put(spot.x, spot.y)
            drawn = Outline([put(*each) for each in mat.outline.exterior.coords])
            yield from wallward(drawn, (x, y), towards_in_stock(mat), em)
        long = max(cut.width_mm, cut.height_mm) / scale
        words = runs(numbers)
        # where all numbers find no room the list says them
        words = words if width_of(words, em) < long else str(numbers[0])
        narrow = cut.width_mm / scale < width_of(words, em)
        if narrow and cut.height_mm > cut.width_mm:
            yield Text((x + em * 0.36, y), words, "stock-number", turn_deg=-90.0)
        else:
            yield Text((x, y + em * 0.36), words, "stock-number")


def sheet_picture(group: Sequence[StockSheet], mats: Sequence[Mat], label: str) -> str:
    """Return stock pieces cut alike, drawn once, as an `<svg>` for a page, named by `label`."""
    sheet = group[0]
    short, long = sorted((sheet.width_mm, sheet.height_mm))
    em = max(short / _SHEET_LETTERS, long / _LONG_LETTERS)
    rim = em / 4
    view = (-rim, -rim, sheet.width_mm + 2 * rim, sheet.height_mm + 2 * rim)
    return fragment(
        sheet_items(group, mats, (0.0, 0.0), 1.0, em),
        {
            "class": "stock-sheet",
            "viewBox": " ".join(f"{value:.1f}" for value in view),
            "font-size": f"{em:.0f}",
            "role": "img",
            "aria-label": label,
        },
        digits=1,
    )
