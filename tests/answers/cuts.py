"""What is cut from bars, sheets, rolls and offcuts, and what packs are bought, drawn by lot."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from app.errors import PlanError
from app.takeoff.buying import cheapest
from app.takeoff.cutting_1d import cut_lengths
from app.takeoff.cutting_2d import CutSheet, Wanted, cut_sheets
from app.takeoff.guillotine import NO_EDGE, Edge
from app.takeoff.line import Offer
from app.takeoff.offcuts import Offcut, cut_again
from app.takeoff.roll_lengths import cut_off, off_the_roll
from tests.answers.lot import Lot
from tests.answers.told import fields_told, told

EDGES = (NO_EDGE, NO_EDGE, *Edge)
DRAWS = 6


def bars(lot: Lot) -> str:
    """Return how some lengths are cut from one or several bars."""
    stocks = lot.rows(["2000", "2400", "2500", "3000", "4000"], lot.one((1, 1, 2, 3)))
    pieces = [
        (lot.mm(150, 1900, lot.one((1, 50, 130))), lot.count(1, 6)) for _ in range(lot.count(1, 7))
    ]
    pieces += [(lot.one((0.0, 2700.0)), 1)] if lot.share(0.1) else []
    plan = cut_lengths(pieces, [float(each) for each in stocks], lot.one((0, 0, 2, 3.5, -1)))
    return f"{told(pieces)} of {told(stocks)}: {fields_told(plan)}"


def sheets(lot: Lot) -> str:
    """Return how some rectangles are cut from sheets of one size."""
    wide, high, kerf = lot.one((600, 1000, 1220)), lot.one((600, 1000)), lot.one((0, 0, 3))
    wanted = _wanted(lot, wide, high, lot.count(1, 9))
    plan = cut_sheets(wanted, wide, high, kerf)
    return f"{_asked(wanted)} of {wide} {high} {kerf}: {_cut(plan.sheets)} {plan.lower_bound}"


def again(lot: Lot) -> str:
    """Return how some rectangles are cut from offcuts and from new sheets."""
    wide, high, kerf = 1000, lot.one((600, 1000)), lot.one((0, 0, 3))
    wanted = _wanted(lot, wide, high, lot.count(1, 5))
    offcuts = []
    for number in range(lot.count(0, 4)):
        x, y = lot.one((0, 0, 300)), lot.one((0, 0, 200))
        box = (x, y, lot.mm(x + 100, wide, 50), lot.mm(y + 100, high, 50))
        offcuts.append(Offcut(number + 1, box, lot.one(EDGES)))
    plan = cut_again(wanted, offcuts, wide, high, kerf)
    old = [(one.sheet, _rects(CutSheet(rects, ()))) for one, rects in plan.from_offcuts]
    there = [(one.sheet, one.box, one.factory.value) for one in offcuts]
    return f"{_asked(wanted)} of {told(there)}: {told(old)} new {_cut(plan.new)} {plan.least}"


def rolls(lot: Lot) -> str:
    """Return which lengths are cut off a roll for some pieces."""
    wide, step, kerf = lot.one((1000, 1250, 2000)), lot.one((100, 100, 10)), lot.one((0, 0, 4))
    pieces = [
        (lot.mm(300, 4300, lot.one((1, 100))), lot.mm(90, wide, lot.one((1, 50))))
        for _ in range(lot.count(1, 8))
    ]
    plan = off_the_roll(pieces, wide, step, kerf)
    cut = cut_off(plan, pieces, wide, step, lot.share(0.5), kerf)
    made = [(_rects(sheet), size) for sheet, size in cut]
    return f"{told(pieces)} of {wide} by {step}: {told(made)} {plan.steps} {plan.least}"


def packs(lot: Lot) -> str:
    """Return which packs are bought for a need."""
    offers = [
        Offer(f"pack-{i}", f"pack {i}", size, lot.one((None, lot.count(100, 9000))), False)
        for i, size in enumerate(lot.shuffled((0.75, 1, 2.5, 5, 8, 10))[: lot.count(1, 4)])
    ]
    need = lot.one((0, 0.4, 3, 7.5, 12, 31, 480, 12_000))
    return f"{need} of {told(offers)}: {told(cheapest(need, offers))}"


def _wanted(lot: Lot, wide: float, high: float, count: int) -> list[Wanted]:
    held = lot.share(0.4)
    step = lot.one((1, 50, 100))
    return [
        Wanted(
            lot.mm(50, wide, step),
            lot.mm(50, high, step),
            lot.one(EDGES) if held else NO_EDGE,
            lot.share(0.7),
        )
        for _ in range(count)
    ]


def _asked(wanted: list[Wanted]) -> str:
    return told([(w.width_mm, w.height_mm, w.edges.value, w.turns) for w in wanted])


def _rects(sheet: CutSheet) -> str:
    return told([(rect.number, *rect.bounds, rect.quarters) for rect in sheet.rects])


def _cut(made: tuple[CutSheet, ...]) -> str:
    return told([(_rects(sheet), sheet.knife) for sheet in made])


KINDS: tuple[Callable[[Lot], str], ...] = (bars, sheets, again, rolls, packs)
NAMES = [f"{kind.__name__} {number}" for kind in KINDS for number in range(1, 9)]


def cut(name: str) -> Iterator[str]:
    """Yield what is cut or bought for some draws of a kind."""
    lot = Lot(name)
    kind = next(each for each in KINDS if each.__name__ == name.split()[0])
    for _ in range(DRAWS):
        try:
            yield kind(lot)
        except (PlanError, ValueError) as error:
            yield f"refused: {error}"
