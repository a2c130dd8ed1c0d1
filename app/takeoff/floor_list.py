"""Floors in the list of quantities, and several products side by side."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from app.errors import PlanError
from app.library.finishes import GUIDE_CURRENCIES
from app.library.floor_products import floor_products
from app.model.flooring import FloorLaying
from app.model.plan import Plan
from app.scene.build import Scene
from app.takeoff.calling import floor_called
from app.takeoff.floor import Layout, floor_layout, piece_m2
from app.takeoff.floor_region import floor_to_cover
from app.takeoff.line import Bought, Gathered, Line, Step
from app.takeoff.stock_words import lengths_words, stock_words
from app.units import INCH_MM, KILO, MEGA, Units, format_money
from app.wording import Phrase, area_words, phrase


@dataclass(frozen=True, slots=True)
class Compared:
    """One product beside others: what a square metre of floor costs at once, and a year.

    `words` say how much of it is bought: a count of pieces, or metres off a roll.
    """

    name: str
    to_buy: int
    words: str
    proven: bool
    price_minor: int | None
    per_m2_minor: float | None
    per_m2_year_minor: float | None
    kg_per_m2: float
    waste_m2: float


def compare(scene: Scene, layings: Sequence[FloorLaying]) -> tuple[Compared, ...]:
    """Lay several products on the same plan and compare them by the square metre laid.

    Raises PlanError naming the floor for one that cannot be laid.
    """
    rows = []
    for laying in layings:
        layout = floor_layout(scene, laying, compare=False)
        price, years = layout.price_minor, laying.lasts_years
        per_m2 = None if price is None else price / layout.area_m2
        yearly = None if per_m2 is None or not years or years <= 0 else per_m2 / years
        rows.append(
            Compared(
                laying.name,
                layout.to_buy,
                stock_words(layout.laid, layout.to_buy, scene.plan.units)
                if layout.laid.step_mm
                else str(layout.to_buy),
                layout.proven,
                price,
                per_m2,
                yearly,
                layout.laid_kg / layout.area_m2,
                layout.waste_m2,
            )
        )
    return tuple(rows)


def floors(scene: Scene) -> Gathered:
    """Return a line of the quantities list for each product that is laid, over all its zones."""
    gathered = Gathered()
    products: dict[tuple[object, ...], list[Layout]] = {}
    for laying in scene.plan.fit_out.floors:
        called = floor_called(laying, scene.plan.fit_out.floors)
        try:
            layout = floor_layout(scene, laying, compare=False)
        except PlanError as error:
            gathered.problems += [f"{called}: {fault.sentence}" for fault in error.faults]
            continue
        products.setdefault(_product(laying), []).append(layout)
        gathered.says.append(f"{laying.name.capitalize()}: {layout.sentence}")
        gathered.says.extend(f"{laying.name.capitalize()}: {note}" for note in layout.notes)
    for some in products.values():
        # the line has the key of the same floor however they are written
        some.sort(key=lambda layout: (len(layout.laid.laying.id), layout.laid.laying.id))
    gathered.lines += [_line(scene, some, gathered.problems) for some in products.values()]
    gathered.says.extend(_laid_twice(scene))
    return gathered


def _product(laying: FloorLaying) -> tuple[object, ...]:
    """Return what makes two floors one product in a shop, whatever is asked for it."""
    return (
        laying.name, laying.kind, laying.material, laying.length_mm, laying.width_mm,
        laying.thickness_mm, laying.density_kg_m3, laying.mass_kg, laying.pack,
        laying.sold_by_metre,
    )  # fmt: skip


def _laid_twice(scene: Scene) -> Iterator[str]:
    """Say which floors lie over one another: their zones overlap, and both are counted."""
    layings = scene.plan.fit_out.floors
    covered = []
    for laying in layings if len(layings) > 1 else ():
        try:
            covered.append((floor_called(laying, layings), floor_to_cover(scene, laying)))
        except PlanError:
            # what cannot be laid is named where it is counted
            continue
    for (one, under), (other, over) in combinations(covered, 2):
        both = float(under.intersection(over).area) / MEGA
        if both >= _SAME_FLOOR_M2:
            area = area_words(both, scene.plan.units, 2)
            yield (
                f"{one.capitalize()} and {other} lie over one another on {area}, which is counted "
                "twice: give each its own part of the floor, or take one off."
            )


_SAME_FLOOR_M2 = 0.05
"""Two zones that were measured with a tape may meet by so much and still be beside one another."""


def _counted(layout: Layout, zone: str) -> Iterator[Step]:
    """Yield the working of one floor; `zone` is put before it where there are several."""
    laying, laid = layout.laid.laying, layout.laid
    if laid.step_mm:
        yield Step(f"{zone}off the roll", laid.to_buy * laid.step_mm / KILO, "m")
        least = laid.lower_bound * laid.step_mm / KILO
        yield Step(f"{zone}least possible for this layout", least, "m")
        yield Step(f"{zone}weight of the longest length", layout.lift_kg, "kg")
        return
    whole = sum(not mat.cut for mat in layout.mats)
    yield Step(f"{zone}{laying.kind}s laid whole", whole)
    yield Step(f"{zone}{laying.kind}s to cut from", layout.to_buy - whole)
    yield Step(f"{zone}fewest possible for this layout", layout.lower_bound)
    yield Step(f"{zone}weight of one {laying.kind}", layout.lift_kg, "kg")


def _called(laying: FloorLaying, units: Units) -> Phrase:
    """Say what a product is called, with its thickness where its name does not end with it."""
    name = f"{laying.name[:1].upper()}{laying.name[1:]}"
    if units == "metric" and re.search(rf"× {laying.thickness_mm:g}(,|$)", name):
        return phrase("{}", name)
    return phrase("{}, {:sold}", name, laying.thickness_mm)


def _side(mm: float, bare: bool = False) -> Phrase:
    """Say a side of a stock piece: what is made in mm keeps them, in inches none are said."""
    inches = Fraction(mm) / INCH_MM
    kind = "sold" if mm == round(mm) and inches.denominator > 1 else "exact"
    return phrase(f"{{:bare-{kind}}}" if bare else f"{{:{kind}}}", mm)


def _price(scene: Scene, layings: Sequence[FloorLaying], problems: list[str]) -> int | None:
    """Return the price of a pack, or a metre: the household's of the first of these floors that
    has one, else typed.

    A price in other money goes to the problems.
    """
    first = layings[0]
    pack = 1 if first.sold_by_metre else first.pack
    price = None if first.price_minor is None else first.price_minor * pack
    keys = {f"floor.{laying.id}": laying for laying in layings}
    prices = {price.id: price for price in scene.plan.money.prices}
    own = next((prices[key] for key in keys if key in prices), None)
    if own is not None and own.currency not in (None, scene.plan.currency):
        problems.append(
            f"{floor_called(keys[own.id], scene.plan.fit_out.floors)}: its price is in "
            f"{own.currency}, the plan's money is {scene.plan.currency}; "
            f"give it in {scene.plan.currency}"
        )
    elif own is not None:
        price = own.minor
    return price


def _where(scene: Scene, layouts: Sequence[Layout]) -> str:
    """Say where a product lies, and how much of it in each zone where there are several."""
    units, every = scene.plan.units, scene.plan.fit_out.floors
    places = []
    for layout in layouts:
        laid = layout.laid
        if len(layouts) == 1:
            place = "a zone" if laid.laying.zone else "the whole floor"
        else:
            called = floor_called(laid.laying, every)
            place = f"{called}: {stock_words(laid, laid.to_buy, units)}"
        if laid.step_mm:
            # a shop is told the lengths, and the price is for a metre
            place += f"; let the shop cut off {lengths_words(laid, units)}"
        places.append(place)
    return "; ".join(places)


def _by_price(
    scene: Scene, layouts: Sequence[Layout], problems: list[str]
) -> list[tuple[int | None, list[Layout]]]:
    """Return the zones of a product by what a pack, or a metre, costs there."""
    typed: dict[int | None, list[Layout]] = {}
    for layout in layouts:
        typed.setdefault(layout.laid.laying.price_minor, []).append(layout)
    # what the household says on the page of prices may make two prices one
    by_price: dict[int | None, list[Layout]] = {}
    for some in typed.values():
        price = _price(scene, [layout.laid.laying for layout in some], problems)
        by_price.setdefault(price, []).extend(some)
    return list(by_price.items())


def _is_guide(plan: Plan, laying: FloorLaying, price: int | None) -> bool:
    """Return whether the price of a pack, or a metre, is that of the library, typed by nobody."""
    pack = 1 if laying.sold_by_metre else laying.pack
    sizes = laying.kind, laying.length_mm, laying.width_mm, laying.thickness_mm
    return plan.currency in GUIDE_CURRENCIES and any(
        (one.kind, one.length_mm, one.width_mm, one.thickness_mm) == sizes
        and one.price_minor * pack == price
        for one in floor_products().values()
    )


def _bought(plan: Plan, name: str, layouts: Sequence[Layout], price: int | None) -> Bought:
    """Return the packs, or the metres, of zones of one price; the key is that of the first."""
    laying = layouts[0].laid.laying
    key, guide = f"floor.{laying.id}", _is_guide(plan, laying, price)
    if any(layout.laid.step_mm for layout in layouts):
        metres = sum(round(one.to_buy * one.laid.step_mm) for one in layouts) / KILO
        return Bought(key, name, laying.width_mm / KILO, metres, price, guide)
    count = -(-sum(layout.to_buy for layout in layouts) // laying.pack)
    return Bought(key, name, piece_m2(laying) * laying.pack, count, price, guide)


def _two_prices(scene: Scene, bought: Sequence[Bought]) -> Iterator[str]:
    """Say that one product has several prices, and how it is counted."""
    prices = [
        "none yet"
        if one.price_minor is None
        else format_money(one.price_minor, scene.plan.currency)
        for one in bought
    ]
    if len(prices) > 1:
        yield (
            f"It is given more than one price: {' and '.join(prices)}. Each zone is counted "
            "at its own; where one shop sells it all, give it one price."
        )


def _line(scene: Scene, layouts: Sequence[Layout], problems: list[str]) -> Line:
    """Return the line of one product. Each zone is cut from its own stock; packs are shared by
    zones of one price.
    """
    laying, several = layouts[0].laid.laying, len(layouts) > 1
    key = f"floor.{laying.id}"
    units = scene.plan.units
    length_mm, width_mm = laying.length_mm, laying.width_mm
    # a roll is asked for by its length and width, the others by their size
    size = phrase(
        "{} of {:fine}, {} wide" if laying.kind == "roll" else "{} {} × {}",
        laying.kind,
        length_mm if laying.kind == "roll" else _side(length_mm, bare=True),
        _side(width_mm),
    ).worded(units)
    name = size if laying.pack == 1 else f"pack of {laying.pack}, {size}"
    if any(layout.laid.step_mm for layout in layouts):
        name = phrase("m off the roll, {} wide", _side(width_mm)).worded(units)
    bought = tuple(
        _bought(scene.plan, name, some, price)
        for price, some in _by_price(scene, layouts, problems)
    )
    priced = _two_prices(scene, bought)
    area = sum(layout.area_m2 for layout in layouts)
    zones = [
        f"{floor_called(layout.laid.laying, scene.plan.fit_out.floors)}: " if several else ""
        for layout in layouts
    ]
    notes = [f"{zone}{layout.sentence}" for zone, layout in zip(zones, layouts, strict=True)]
    return Line(
        key=key,
        part="floor",
        item=_called(laying, units).worded(units),
        where=_where(scene, layouts),
        net=area,
        waste=sum(layout.waste_m2 for layout in layouts),
        unit="m2",
        bought=bought,
        mass_kg=sum(layout.mass_kg for layout in layouts),
        rate="laid out piece by piece, cuts nested",
        working=(
            Step("floor inside the gap, round what stays", area, "m2"),
            *(
                step
                for zone, layout in zip(zones, layouts, strict=True)
                for step in _counted(layout, zone)
            ),
        ),
        notes=(*priced, *notes),
        was=tuple(f"floor.{layout.laid.laying.id}" for layout in layouts[1:]),
    )
