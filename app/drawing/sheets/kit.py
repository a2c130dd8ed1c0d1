"""The kit on paper: each thing with its size, mass, price, whose it is by now and when it comes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from app.checks.mirrors import mirror_kg
from app.costs.cost import PIECE, CostLine, Costs
from app.drawing.composed import Subject
from app.drawing.flow import Block, Entry, Stacked, Words
from app.drawing.sheet import Sheet, TitleFields
from app.drawing.sheets.costs import cost_blocks, not_in_it
from app.drawing.table_cells import Cells
from app.drawing.wall_glass import bought_high_mm
from app.drawing.word_sheet import worded
from app.scales import MASS, beside_kg
from app.scene.build import Placed, Scene
from app.takeoff.mirrors import is_hung
from app.units import Units, format_money, format_short
from app.wording import measure_words

SUBJECT = Subject("kit", "Kit", "parts list")
_SHARES, _RIGHT = (0.72, 0.28), (False, True)
_GUIDE = "Guide prices and masses of the library where none of yours are typed; the maker's decide."
_NONE = "No kit stands on this plan yet."
_STANDINGS = {
    "owned": "owned",
    "bought": "paid",
    "committed": "ordered",
    "to-come": "to be ordered",
}


@dataclass(frozen=True, slots=True)
class _Row:
    """Things that are alike in all that the list says of them, in one row."""

    name: str
    size: str
    mass: str
    mass_kg: float
    asked_minor: int | None
    standing: str
    when: str


def kit_sheet(
    scene: Scene,
    costs: Costs,
    when: Mapping[str, str],
    *,
    money: bool = True,
    paper: str = "A4",
    fields: TitleFields | None = None,
) -> Sheet:
    """Letter the kit by its kinds; `when` says of a piece, by its id, when it is to be ordered.

    Without `money` no price and no sum is told. What stays in the room is no kit to be bought and
    is not on it. Raises SheetError for a paper.
    """
    blocks = kit_blocks(scene, costs, when, money)
    return worded(scene.plan, SUBJECT, blocks, paper=paper, fields=fields)


def costs_and_kit_sheet(
    scene: Scene,
    costs: Costs,
    when: Mapping[str, str],
    *,
    paper: str = "A4",
    fields: TitleFields | None = None,
) -> Sheet:
    """Letter both lists on one sheet, as they stand in a set. Raises SheetError for a paper.

    Each piece is told once, with its price.
    """
    kit = kit_blocks(scene, costs, when, True)
    named = [replace(block, title=f"Kit: {block.title.lower()}") for block in kit]
    subject = Subject("costs", "Costs and kit", "cost list")
    blocks = [*cost_blocks(costs, kit=False), *named]
    return worded(scene.plan, subject, blocks, paper=paper, fields=fields)


def kit_blocks(scene: Scene, costs: Costs, when: Mapping[str, str], money: bool) -> list[Block]:
    """Return what stands on the sheet of the kit, as `kit_sheet` does."""
    lines = {line.key: line for line in costs.lines}
    groups: dict[str, list[_Row]] = {}
    for placed in scene.order:
        if not placed.piece.stays:
            row = _row(placed, lines.get(PIECE + placed.piece.id), when, scene.plan.units)
            groups.setdefault(placed.kit.group, []).append(row)
    currency = costs.currency if money else ""
    blocks = [
        Block(group, tuple(_entry(row, rows.count(row), currency) for row in dict.fromkeys(rows)))
        for group, rows in groups.items()
    ]
    every = [row for rows in groups.values() for row in rows]
    holding = [p.kit.name for p in scene.order if p.kit.holds and not p.piece.stays]
    blocks += not_in_it(holding) if money else []
    blocks.append(
        Block(
            "Together",
            (*_sums(every, currency, scene.plan.units), Words(_GUIDE if every else _NONE)),
        )
    )
    return blocks


def _row(placed: Placed, line: CostLine | None, when: Mapping[str, str], units: Units) -> _Row:
    extent = placed.extent
    mass_kg = placed.piece.mass_kg or placed.kit.mass_kg
    mass_kg = mirror_kg(placed) if is_hung(placed) else mass_kg
    sides = (extent.width_mm, extent.depth_mm, bought_high_mm(placed))
    size = " × ".join(format_short(side, units) for side in sides)
    standing = line.standing if line is not None else "to-come"
    due = "" if standing in ("owned", "bought") else when.get(placed.piece.id, "")
    return _Row(
        beside_kg(placed.name, units),
        f"{size} mm" if units == "metric" else size,
        measure_words(mass_kg, "kg", "metric", 1)
        if units == "metric"
        else MASS.words(mass_kg, units),
        mass_kg,
        line.asked_minor if line is not None else None,
        standing,
        due or ("later" if line is not None and line.later and standing == "to-come" else ""),
    )


def _entry(row: _Row, count: int, currency: str) -> Entry:
    name = row.name if count == 1 else f"{count} × {row.name}"
    price = ""
    if currency:
        price = "no price"
        if row.standing == "owned":
            price = "owned"
        elif row.asked_minor is not None:
            price = format_money(row.asked_minor * count, currency)
    each = " each" if count > 1 else ""
    # the day or month stands for what is not ordered yet
    stands = row.when if row.when and row.standing == "to-come" else _STANDINGS[row.standing]
    size_words = f"{row.size}, {row.mass}{each}; {stands}"
    return Stacked((Cells((name, price), _SHARES, _RIGHT, after_mm=0.0), Words(size_words, "size")))


def _sums(rows: list[_Row], currency: str, units: Units) -> Iterator[Entry]:
    def sum_of(name: str, some: list[_Row]) -> Iterator[Entry]:
        if not some:
            return
        mass = MASS.words(sum(row.mass_kg for row in some), units)
        minor = sum(row.asked_minor or 0 for row in some)
        priced = currency and some[0].standing != "owned"
        sum_words = f"{format_money(minor, currency)}, {mass}" if priced else mass
        yield Cells((f"{name}, {len(some)}", sum_words), (0.5, 0.5), _RIGHT)

    for standing, name in (
        *(("to-come", "To be ordered"), ("committed", "Ordered")),
        *(("bought", "Paid"), ("owned", "Owned already")),
    ):
        yield from sum_of(name, [row for row in rows if row.standing == standing])
