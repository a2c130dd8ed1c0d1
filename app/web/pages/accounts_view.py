"""What the page of quantities asks for: lines by part, the choices, and how numbers are written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from markupsafe import Markup

from app.drawing.floor_figure import (
    alike_sheets,
    cut_words,
    floor_film,
    runs,
    sheet_picture,
    trade_bar,
    whole_numbers,
)
from app.drawing.quantity_pictures import lamps, painted_walls, tins
from app.errors import PlanError
from app.forms.field_table import Words
from app.forms.fit_edits import TABLES
from app.forms.fit_edits_floor import low_pieces
from app.library.finishes import finishes
from app.library.floor_products import floor_products
from app.library.own import kits_of
from app.model.flooring import FloorLaying
from app.model.plan import Plan
from app.scales import MASS
from app.scene.naming import wall_called
from app.takeoff.floor import Layout
from app.takeoff.floor_layout import StockSheet
from app.takeoff.floor_site import is_sawn, least_strip
from app.takeoff.floor_trade import Choice, order_words
from app.takeoff.line import PART_NAMES, READY_NAME
from app.takeoff.quantities import as_json
from app.takeoff.ramps import ramps
from app.takeoff.stock_words import stock_words
from app.units import KILO, format_short
from app.usecases.accounts import BESIDE_S, Account, Beside, Ways, product_laying
from app.web.pages.plan_view import PlanView
from app.wording import measure_in, measure_words

CHOICES = (
    ("floor", "Floor"),
    ("paint", "Paint"),
    ("light", "Light"),
    ("strip", "Light strip"),
    ("mirror", "Mirrors"),
    ("projection", "Projection"),
    ("general", "Measuring"),
)
"""The parts of the fit-out that are chosen beside the list."""
LISTS = {
    "floor": "floors",
    "paint": "paint",
    "strip": "strips",
    "mirror": "mirrors",
    "projection": "projections",
}


def known_choice(plan: Plan, of: str) -> str:
    """Return a choice of the page that is there: the one asked for, its list, or the floor."""
    kind, colon, thing_id = of.partition(":")
    if kind not in dict(CHOICES):
        return "floor"
    if not colon:
        return of
    things = getattr(plan.fit_out, LISTS.get(kind, ""), ())
    return of if any(thing.id == thing_id for thing in things) else kind


def _coats(count: int) -> str:
    return "1 coat" if count == 1 else f"{count} coats"


@dataclass(frozen=True)
class FitView(PlanView):
    """A plan's quantities as the page shows them."""

    account: Account
    tables = TABLES
    ready_name = READY_NAME

    @cached_property
    def chosen(self) -> Any:
        """The thing that is chosen; None for a whole part."""
        kind, colon, thing_id = self.of.partition(":")
        if not colon:
            return None
        return next(t for t in getattr(self.plan.fit_out, LISTS[kind]) if t.id == thing_id)

    @cached_property
    def parts(self) -> list[tuple[str, list[dict[str, Any]]]]:
        """The lines by part: the part's name and its lines as data with their working."""
        lines = as_json(self.account.take_off, self.plan.currency, self.plan.units)["lines"]
        lines_by_part: dict[str, list[dict[str, Any]]] = {}
        for line in lines:
            lines_by_part.setdefault(line["part"], []).append(line)
        return [(PART_NAMES[part], these) for part, these in lines_by_part.items()]  # type: ignore[index]

    @staticmethod
    def source(step: dict[str, Any]) -> str:
        """Where a number of the working comes from: a published value or a library row."""
        known = finishes()
        for rows in (
            known.textures, known.coatings, known.strips, known.profiles, known.fittings,
            known.sheets, known.anchors,
        ):  # fmt: skip
            row = rows.get(step["key"])
            if row is not None:
                return f"{row.source} ({row.status})"
        words = step["source"] or step["key"]
        return str(words if step["source"] or "." not in words else "")

    @property
    def total(self) -> str:
        """What all lines with a price come to."""
        lines = self.account.take_off.lines
        return self.money(sum(line.cost_minor or 0 for line in lines))

    @cached_property
    def pictures(self) -> list[tuple[Markup, str]]:
        """What is bought as one sees it: walls with their coats, tins, lamps; and the words."""
        scene = self.account.scene
        seen = [
            (one.svg, f"{one.name[:1].upper()}{one.name[1:]}: {_coats(one.count)}")
            for one in painted_walls(scene)
        ]
        for line in self.account.take_off.lines:
            shown = [one.svg for one in tins(line)]
            if shown:
                seen.append(("".join(shown), f"{line.item}: {line.packs_worded(self.plan.units)}"))
        hung = lamps(scene)
        if hung is not None:
            seen.append((hung.svg, f"{hung.count} × {hung.name}"))
        return [(Markup(svg), words) for svg, words in seen]

    @property
    def unpriced(self) -> int:
        """How many lines have no price."""
        return sum(line.cost_minor is None for line in self.account.take_off.lines)

    @property
    def mass(self) -> float:
        """The mass of all that is bought, in kg."""
        return sum(line.mass_kg for line in self.account.take_off.lines)

    @property
    def laid(self) -> FloorLaying | None:
        """The floor that is shown on the sheet instead of the list."""
        return self.chosen if self.kind == "floor" else None

    @cached_property
    def _layout(self) -> tuple[Layout | None, str]:
        if self.laid is None:
            return None, ""
        try:
            return self.account.layout(self.laid.id), ""
        except PlanError as error:
            return None, error.faults[0].sentence if error.faults else error.sentence

    @property
    def layout(self) -> Layout | None:
        """The floor as it is to be laid."""
        return self._layout[0]

    @property
    def why_not(self) -> str:
        """Why the floor cannot be laid; empty where it can."""
        return self._layout[1]

    def film(self, view_box: str) -> str:
        """The numbered pieces as SVG markup over the room's drawing."""
        layout = self.layout
        return floor_film(self.account.scene, layout, view_box) if layout is not None else ""

    @property
    def has_ramps(self) -> bool:
        """Whether ramps lie at the free edges of the floor."""
        return bool(ramps(self.account.scene))

    @property
    def whole(self) -> str:
        """The numbers that are laid as they come."""
        return whole_numbers(self.layout) if self.layout is not None else ""

    @property
    def cut_sheets(self) -> list[tuple[StockSheet, Markup, tuple[str, ...]]]:
        """The stock pieces that are cut, alike ones once: one, its picture, its cuts in words."""
        layout = self.layout
        if layout is None:
            return []
        sheets = []
        wall = wall_called(self.account.scene, layout.start.wall)
        for group in alike_sheets(layout):
            words = cut_words(group, layout.mats, self.plan.units, wall)
            names = runs([sheet.number for sheet in group])
            label = f"Stock piece {names}, cut into {'; '.join(words)}"
            sheets.append((group[0], Markup(sheet_picture(group, layout.mats, label)), words))
        return sheets

    def stock(self, count: int) -> str:
        """A count of stock pieces, or how much of a roll that is measured off."""
        laid = self.layout.laid if self.layout is not None else None
        metres = laid is not None and laid.step_mm
        return stock_words(laid, count, self.plan.units) if laid and metres else str(count)

    @cached_property
    def _around(self) -> tuple[Ways | None, tuple[Beside, ...]]:
        if self.laid is None:
            return None, ()
        account, floor = self.account, self.laid.id
        if self.layout is None:
            return None, account.beside(floor, BESIDE_S)
        # The floor is there at once, who asks again gets its ways, and then product after product.
        known = account.ways(floor, wait=False)
        ways = known or account.ways(floor, wait=account.asked_before(floor))
        return ways, account.beside(floor, 0.0 if known is None else BESIDE_S)

    @property
    def ways(self) -> Ways | None:
        """Other ways to lay this floor; None while they are to come, or where it cannot be."""
        return self._around[0]

    @property
    def beside(self) -> tuple[Beside, ...]:
        """Every product laid in the place of this floor, as far as that is done by now."""
        return self._around[1]

    @property
    def ways_to_come(self) -> bool:
        """Whether other ways to lay this floor are still being laid."""
        return self.layout is not None and self.ways is None

    @property
    def looking(self) -> bool:
        """Whether ways, or products beside this floor, are still to come."""
        return any(one.to_come for one in self.beside) or self.ways_to_come

    @property
    def notes(self) -> tuple[str, ...]:
        """What is worth saying of this floor."""
        layout = self.ways.layout if self.ways is not None else self.layout
        return layout.notes if layout is not None else ()

    @cached_property
    def trade(self) -> list[tuple[Choice, list[tuple[str, Markup]]]]:
        """The ways to lay this floor that are worth a look: each with its figures and their bars.

        Empty where it cannot be laid, where it is being laid already, and while they are to come.
        """
        if self.laid is None or self.ways is None:
            return []
        ways = self.ways.trade
        if not ways:
            return []
        pieces, least, knife = (
            max(getattr(way, name) for way in ways) for name in ("pieces", "least_mm", "knife_mm")
        )
        wanted = least_strip(self.laid)
        return [
            (
                way,
                [
                    (
                        self.stock(way.pieces).removesuffix(" of roll"),
                        Markup(trade_bar(way.pieces, pieces)),
                    ),
                    (
                        format_short(way.least_mm, self.plan.units),
                        Markup(trade_bar(way.least_mm, max(least, wanted), wanted)),
                    ),
                    (
                        self.measure(way.knife_mm / KILO, "m", 1),
                        Markup(trade_bar(way.knife_mm, knife)),
                    ),
                ],
            )
            for way in ways
        ]

    @property
    def sawn(self) -> bool:
        """Whether this floor is cut with a saw."""
        return self.laid is not None and is_sawn(self.laid)

    @property
    def order_words(self) -> str:
        """In which order the figures of the ways decide."""
        return "" if self.laid is None else order_words(self.laid, self.plan.units)

    def way_fields(self, laying: FloorLaying) -> dict[str, str]:
        """The fields that say how a floor is laid, its lengths as fine as they were sought."""
        texts = TABLES["way"].texts(self.plan, laying)
        for name, value in (("first", laying.first_mm), ("first_row", laying.first_row_mm)):
            texts[name] = "" if value is None else f"{value:g} mm"
        return texts

    @property
    def products(self) -> list[tuple[str, dict[str, str]]]:
        """Every product of the library: its name and the fields that lay it."""
        return [
            (product.name, self.product_fields(product_laying(product, self.plan.currency)))
            for product in floor_products().values()
        ]

    def product_fields(self, laying: FloorLaying) -> dict[str, str]:
        """The fields of a product, as its form would hold them."""
        return TABLES["product"].texts(self.plan, laying)

    @cached_property
    def lists(self) -> Mapping[str, Words]:
        """The choices that a form takes from the plan or a library, by name."""
        known, walls = finishes(), self.wall_choices()
        rows: dict[str, Mapping[str, Any]] = {
            "coatings": known.coatings, "textures": known.textures, "strips": known.strips,
            "profiles": known.profiles, "fittings": known.fittings, "mirror_sheets": known.sheets,
        }  # fmt: skip
        first = {"textures": [("", "by what it is made of")], "profiles": [("", "none")]}
        return {
            name: first.get(name, []) + [(row.key, row.name) for row in these.values()]
            for name, these in rows.items()
        } | {
            "walls": walls,
            "zones": [
                ("", "the whole floor"),
                *((key, f"from wall {words}") for key, words in walls),
            ],
            "start_walls": [("", "the longest straight one"), *walls],
        }

    @property
    def staying(self) -> list[tuple[str, str]]:
        """Pieces that stay: id and name."""
        kits = kits_of(self.plan)
        return [
            (p.id, p.label or (kits[p.type].name if p.type in kits else p.type))
            for p in self.plan.pieces
            if p.stays
        ]

    @property
    def low(self) -> list[tuple[str, str]]:
        """Pieces that a floor can be laid up to, flush: id and name."""
        kits = kits_of(self.plan)
        return [(p.id, p.label or kits[p.type].name) for p in low_pieces(self.plan)]

    @staticmethod
    def number(value: float, digits: int = 2) -> str:
        """Write a number without needless noughts."""
        text = f"{value:,.{digits}f}"
        return text.rstrip("0").rstrip(".") if "." in text else text

    def kilos(self, mass_kg: float, digits: int = 0) -> str:
        """Write a mass with its unit, in the units of the plan."""
        units = self.plan.units
        return f"{self.number(MASS.counted(mass_kg, units), digits)} {MASS.unit(units)}"

    def kilos_a_square(self, kg_per_m2: float) -> float:
        """Return what a square metre or a square foot weighs, in kg or lb."""
        return measure_in(kg_per_m2, "kg/m2", self.plan.units)[0]

    def measure(self, value: float, unit: str, digits: int = 2) -> str:
        """Write a quantity with its unit, in the units of the plan."""
        return measure_words(value, unit, self.plan.units, digits)

    def money_a_square(self, minor_a_m2: float | None) -> str:
        """Write what a square metre costs as what a square metre or a square foot does."""
        return self.money(None if minor_a_m2 is None else minor_a_m2 * self.square[1])

    @staticmethod
    def unit(unit: str) -> str:
        """Write a unit as one prints it."""
        return unit.replace("m2", "m²")
