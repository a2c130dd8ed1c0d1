"""What a floor sheet tells: facts, notes and cut stock pieces, set down columns, sheet by sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.drawing.floor_figure import alike_sheets, cut_words, runs, sheet_items, whole_numbers
from app.drawing.flow import LINE_MM, Flow
from app.drawing.ink import SMALL_MM
from app.drawing.lettering import wrap
from app.drawing.paper import Box
from app.drawing.primitives import Group, Item
from app.scales import MASS
from app.takeoff.floor import Layout
from app.takeoff.floor_layout import StockSheet
from app.units import Units, format_length
from app.wording import area_words, in_figures

_PAD_MM = 4.0
_FOOT_MM = 1.2
_CELL_MM = 34.0
_THUMB_SCALES = (10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0, 125.0, 150.0, 200.0, 400.0)
_THUMB_SHARE = 0.55
_LEAST_THUMB_MM = 9.0
_READABLE_MM = 15.0
_LARGE_ENOUGH = 25.0
"""At 1:25 a cut is read with the tape in the hand, however narrow a strip of it is."""
_GOES_ON = "Cut pieces are drawn on another sheet."


def floor_in_words(
    first: Sequence[Box],
    further: Sequence[Box],
    layout: Layout,
    units: Units,
    setting: Sequence[str],
    wall: str = "",
) -> tuple[tuple[Item, ...], ...]:
    """Return what stands on each sheet: facts and notes, then the cut stock pieces.

    `setting` says where to begin and where ramps lie, `wall` from which wall one lays. `first` are
    the columns of the first sheet in mm of paper, `further` those of every other. The cut pieces
    are drawn as large as there is room for on the first sheet; where they would come out too small
    to read there, at a readable scale over as few sheets as that takes, the largest that takes no
    more, down columns as wide as that asks for; and where even a further sheet is too small to draw
    one, they are told in words.
    """
    facts, notes = _facts(layout, units, setting), layout.notes
    flow = Flow(first, further)
    flow.begin(layout.laid.laying.name.capitalize())
    flow.letter(facts)
    told_on = len(flow.pages)
    flow.letter(notes)
    sheets = alike_sheets(layout)
    if sheets:
        drawn = _cuts(flow, sheets, layout, (units, wall), on_this=True)
        if drawn is None or len(drawn.pages) > told_on:
            # said where the facts stand: on the sheet that draws them nobody asks for it
            said = Flow(first, further)
            said.begin(layout.laid.laying.name.capitalize())
            said.letter([*facts, _GOES_ON, *notes])
            further_on = _cuts(said, sheets, layout, (units, wall), on_this=False)
            drawn = further_on or _in_words(flow, sheets, layout, (units, wall))
        flow = drawn
    return tuple(tuple(page) for page in flow.pages)


def _facts(layout: Layout, units: Units, setting: Sequence[str]) -> list[str]:
    laying = layout.laid.laying
    facts = [
        " × ".join(
            format_length(mm, units)
            for mm in (laying.length_mm, laying.width_mm, laying.thickness_mm)
        ),
        layout.sentence,
        *setting,
        f"{MASS.words(layout.mass_kg, units)} delivered, "
        f"{MASS.words(layout.lift_kg, units, 1)} each lift; "
        f"{area_words(layout.area_m2, units, 2)} laid, "
        f"{area_words(layout.waste_m2, units, 2)} cut off.",
        "Lay in the order of the numbers. Hatched pieces are cut; sizes in the list are as they "
        "lie in the stock piece, along × down. Measure each on the spot before it is cut.",
    ]
    whole = whole_numbers(layout)
    return [*facts, f"Laid as they come: {whole}."] if whole else facts


def _cuts(
    flow: Flow,
    sheets: Sequence[Sequence[StockSheet]],
    layout: Layout,
    told: tuple[Units, str],
    on_this: bool,
) -> Flow | None:
    """Go on with the cut stock pieces at the scale that suits; None where there is none.

    They are `told` in these units, and which edge lies towards which wall. They stand whole
    `on_this` sheet, or over as many as they take.
    """
    words = [cut_words(group, layout.mats, *told) for group in sheets]
    least = min(sheets[0][0].width_mm, sheets[0][0].height_mm)
    strip = min(min(cut.width_mm, cut.height_mm) for group in sheets for cut in group[0].cuts)
    scales = [scale for scale in _THUMB_SCALES if least / scale >= _LEAST_THUMB_MM]

    def reads(scale: float) -> bool:
        """Return whether a number finds room in the narrowest strip."""
        wide = scale <= _LARGE_ENOUGH or strip / scale >= SMALL_MM
        return wide and least / scale >= _READABLE_MM

    def drawn(scale: float, further: Sequence[Box]) -> Flow | None:
        trial = flow.copy()
        trial.further = further
        trial.begin(_head(sheets, layout))
        return trial if _drawn(trial, sheets, words, layout, scale) else None

    here = (drawn(scale, flow.further) for scale in filter(reads, scales))
    whole = next((one for one in here if one and len(one.pages) == len(flow.pages)), None)
    if whole is not None or on_this:
        return whole
    ways = [
        (not reads(scale), len(trial.pages), scale, trial)
        for further in _merged(flow)
        for scale in scales
        if (trial := drawn(scale, further)) is not None
    ]
    return min(ways, key=lambda way: way[:3])[3] if ways else None


def _in_words(
    flow: Flow, sheets: Sequence[Sequence[StockSheet]], layout: Layout, told: tuple[Units, str]
) -> Flow:
    """Go on with the cut pieces in words, `told` in these units."""
    flow.begin(_head(sheets, layout))
    words = [cut_words(group, layout.mats, *told) for group in sheets]
    flow.letter([f"From one: {'; '.join(each)}." for each in words])
    return flow


def _head(sheets: Sequence[Sequence[StockSheet]], layout: Layout) -> str:
    count, stock = sum(len(group) for group in sheets), layout.laid.laying.piece_name
    return f"Cut from {in_figures(count, stock)}" if count > 1 else f"Cut from one {stock}"


def _merged(flow: Flow) -> Iterator[Sequence[Box]]:
    """Yield the columns of further sheets: as they are, then wider ones for pieces off a roll."""
    columns = flow.further
    yield columns
    # where words stand in the columns already these stay as they are
    for each in range(2, len(columns) + 1) if len(flow.pages) == 1 else ():
        parts = [columns[i : i + each] for i in range(0, len(columns) - each + 1, each)]
        yield [Box(p[0].x, p[0].y, p[-1].right - p[0].x, p[0].height) for p in parts]


def _drawn(
    flow: Flow,
    sheets: Sequence[Sequence[StockSheet]],
    words: Sequence[tuple[str, ...]],
    layout: Layout,
    scale: float,
) -> bool:
    """Draw the stock pieces in rows at 1:`scale`; False where a further sheet cannot hold one."""
    wide, high = sheets[0][0].width_mm / scale, sheets[0][0].height_mm / scale
    if high > max(box.height for box in (*flow.first, *flow.further)) * _THUMB_SHARE:
        return False
    at = passed = 0
    while at < len(sheets):
        across = max(1, int(flow.width // max(wide + _PAD_MM, _CELL_MM)))
        cell = flow.width / across
        captions = [
            [line for part in each for line in wrap(part, SMALL_MM, cell - 2)]
            for each in words[at : at + across]
        ]
        deep = high + _FOOT_MM + max(len(lines) for lines in captions) * LINE_MM
        box = flow.take(deep) if wide <= flow.width else None
        if box is None:
            passed += 1
            if passed > len(flow.first) + 2 * len(flow.further):
                return False
            flow.go_on()
            continue
        for i, lines in enumerate(captions):
            group_of, x = sheets[at + i], box.x + i * cell
            drawn = tuple(sheet_items(group_of, layout.mats, (x, box.y), scale, SMALL_MM))
            group = Group(
                drawn, "stock-sheet", (("sheet", runs([one.number for one in group_of])),)
            )
            flow.pages[-1].append(group)
            flow.add(lines, x, box.y + high + _FOOT_MM)
        flow.y += 2.6
        at, passed = at + len(captions), 0
    return True
