"""The list as one takes it to the shops: by kind of shop, without what is there already."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import partial

from app.library.finishes import SHOPS, Shop, finishes
from app.model.money import Standing
from app.takeoff.line import READY_NAME, Line, Ready
from app.takeoff.quantities import plain_cell
from app.units import Units, bare_money
from app.wording import measure_in

KIT = "kit"
KIT_NAME = "Kit"
COLUMNS = (
    "shop", "key", "item", "where", "packs", "holds", "unit", "mass kg", "price each", "sum",
    "currency", "standing",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Errand:
    """One thing to bring home: `packs` in words, in the units of the plan; bought or still to come.

    `sum_minor` is None where nobody knows a price. `line` is the line of the list; kit has none.
    """

    key: str
    item: str
    where: str
    packs: str
    sum_minor: int | None
    standing: Standing
    mass_kg: float
    line: Line | None = None

    @property
    def got(self) -> bool:
        """Whether it is bought."""
        return self.standing == "bought"


@dataclass(frozen=True, slots=True)
class Stop:
    """One kind of shop with what is had there."""

    key: str
    name: str
    errands: tuple[Errand, ...]

    @property
    def left(self) -> int:
        """How much of it is still to come."""
        return sum(not errand.got for errand in self.errands)


def shop_of(line: Line) -> Shop:
    """Return who sells a line: floors that are laid out have packs of their own."""
    pack = finishes().packs.get(line.bought[0].key) if line.bought else None
    if pack is not None:
        return pack.shop
    return "floor" if line.part == "floor" else "building"


def shopping(
    lines: Iterable[Line],
    stands: Mapping[str, Standing],
    sums: Mapping[str, int | None],
    kit: Iterable[Errand],
    units: Units,
) -> tuple[Stop, ...]:
    """Return the shops to go to, each with its errands; what is owned is left out.

    `stands` and `sums` are by the key of the line.
    """
    by_shop: dict[str, list[Errand]] = {key: [] for key in (*SHOPS, KIT)}
    for line in lines:
        standing = stands.get(line.key, "to-come")
        if standing != "owned":
            by_shop[shop_of(line)].append(
                Errand(
                    line.key, line.item, line.where, line.packs_worded(units), sums.get(line.key),
                    standing, line.mass_kg, line,
                )
            )  # fmt: skip
    by_shop[KIT] += [errand for errand in kit if errand.standing != "owned"]
    names = [*SHOPS.values(), KIT_NAME]
    stops = zip(names, by_shop.items(), strict=True)
    return tuple(Stop(key, name, tuple(errands)) for name, (key, errands) in stops if errands)


def _three(size: float) -> str:
    """Write what a pack holds to three places: a tin of 18.93 L is one of 5 gallons."""
    return f"{size:.3g}" if size < _WHOLE_FROM else f"{size:.0f}"


_WHOLE_FROM = 100.0
"""From here on three places are whole ones."""


def as_csv(stops: Iterable[Stop], currency: str, units: Units, ready: Iterable[Ready] = ()) -> str:
    """Return the shopping list as CSV, a row for each pack; sums in whole money with decimals.

    What is to be had ready comes last, owned and without a sum.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    amount = partial(bare_money, currency=currency)
    for stop in stops:
        for errand in stop.errands:
            head = [stop.name, errand.key, plain_cell(errand.item), plain_cell(errand.where)]
            tail = [currency, errand.standing]
            if errand.line is None or not errand.line.bought:
                mass = f"{errand.mass_kg:g}"
                writer.writerow([*head, 1, 1, "pc", mass, "", amount(errand.sum_minor), *tail])
                continue
            line = errand.line
            for pack in line.bought:
                holds, unit = measure_in(pack.size, line.unit, units)
                each = pack.price_minor
                total = None if each is None else round(each * pack.count)
                share = pack.size * pack.count / line.to_buy
                # a line whose mass nobody knows has none: nought would be a figure
                mass = f"{line.mass_kg * share:.1f}" if line.mass_kg else ""
                cells = [pack.count, f"{_three(holds)}", unit, mass, amount(each), amount(total)]
                writer.writerow([*head, *cells, *tail])
    for one in ready:
        head = [READY_NAME, one.key, plain_cell(one.item), plain_cell(one.where)]
        writer.writerow([*head, 1, 1, "pc", "", "", "", currency, "owned"])
    return out.getvalue()
