"""Coatings, textures, strips, fittings, mirrors, anchors and what the shop sells of them.

Schema and loader of `finishes.toml` and `stock.toml`.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any, Literal, TypeVar

from pydantic import Field, ValidationError

from app.errors import ElbowroomError
from app.library.kit import Status
from app.model.base import Frozen, Id, Label, Size
from app.model.finishing import PaintTool, Surface
from app.units import Units


class Row(Frozen):
    """What every row has: its key, name, and where it comes from.

    `in_feet` is what it is called where its name tells a size and people measure in feet.
    """

    key: Id
    name: Label = ""
    source: str = "typical figures, common practice, no source"
    status: Status = "practice"
    in_feet: Label = ""

    def called(self, units: Units) -> str:
        """Return its name in the shops of a plan in these units."""
        return self.in_feet if self.in_feet and units == "feet" else self.name


class Texture(Row):
    """How open a surface is: the share of the smooth spreading rate that is left on it."""

    factor: float = Field(gt=0, le=1)
    nap_mm: tuple[float, float]
    tool: PaintTool


class Coating(Row):
    """A paint, filler or sealer. Hours and days are at 20 C; an `even` one counts as it stands.

    `mix` are parts by volume, base to hardener.
    """

    suits: tuple[Surface, ...] = Field(alias="for")
    rate_m2_l: float = Field(gt=0)
    coats: int = Field(ge=1)
    solids_percent: float = Field(gt=0, le=100)
    solvent_g_l: float = Field(ge=0)
    kg_per_l: float = Field(gt=0)
    touch_dry_h: float = Field(gt=0)
    recoat_h: float = Field(gt=0)
    cure_days: float = Field(ge=0)
    film_um: float | None = None
    mix: tuple[int, int] | None = None
    even: bool = False
    packs: tuple[Id, ...] = Field(min_length=1)


class Strip(Row):
    """Light strip; `ohm_m` is that of both conductors of one metre together."""

    volts: float = Field(gt=0)
    watts_m: float = Field(gt=0)
    lamps_m: float = Field(gt=0)
    segment_mm: Size
    ohm_m: float = Field(gt=0)
    reel_mm: Size
    kg_per_m: float = Field(gt=0)
    pack: Id


class Profile(Row):
    """A profile that strip is laid into, sold by the length."""

    stock_mm: Size
    kg_per_m: float = Field(gt=0)
    pack: Id


class Supply(Row):
    """A supply for strip."""

    watts: float = Field(gt=0)
    pack: Id


class Fitting(Row):
    """A light fitting, its length across or along the room."""

    lumens: float = Field(gt=0)
    watts: float = Field(gt=0)
    length_mm: Size
    width_mm: Size
    depth_mm: Size
    pack: Id


class Sheet(Row):
    """The largest sheet of a mirror that is handled; it is cut to size."""

    width_mm: Size
    height_mm: Size
    thickness_mm: Size
    pack: Id


class Anchor(Row):
    """What holds in a wall of one construction; a drill of 0 means that nothing is drilled.

    `light` and `heavy` tell how, `light_by` and `heavy_by` name what the shop sells for it; an
    empty one means that nothing is bought because nothing holds.
    """

    light: Label
    heavy: Label
    light_by: Id
    heavy_by: Id | None = None
    drill_light_mm: float = Field(ge=0)
    drill_heavy_mm: float = Field(ge=0)
    hammer: bool


class Fastener(Row):
    """A plug with its screw, an anchor, a screw: called as the shop calls it.

    `driven`: it has a screw that a driver turns in; bolts are tightened with a spanner.
    """

    packs: tuple[Id, ...] = Field(min_length=1)
    driven: bool = True


Shop = Literal["floor", "building", "electric", "glass", "hire"]

SHOPS: dict[Shop, str] = {
    "floor": "Flooring",
    "building": "Paint, screws and timber",
    "electric": "Electrical shop",
    "glass": "Glazier",
    "hire": "Tool hire",
}
"""The kinds of shop, in the order in which one drives to them: what is heavy first."""


class Pack(Row):
    """What the shop sells: how much of its line's unit is in it, a guide price, who sells it.

    `units` are those of the plans in whose shops it is had; none means in all. It is had instead
    of the pack that it is `of` where people measure so.
    """

    size: float = Field(gt=0)
    price_minor: int = Field(ge=0)
    shop: Shop = "building"
    units: Units | None = None
    of: Id | None = None


@dataclass(frozen=True, slots=True)
class Finishes:
    """Every row, by kind and key."""

    textures: Mapping[str, Texture]
    coatings: Mapping[str, Coating]
    strips: Mapping[str, Strip]
    profiles: Mapping[str, Profile]
    supplies: Mapping[str, Supply]
    fittings: Mapping[str, Fitting]
    sheets: Mapping[str, Sheet]
    anchors: Mapping[str, Anchor]
    fasteners: Mapping[str, Fastener]
    packs: Mapping[str, Pack]


GUIDE_CURRENCIES = frozenset({"EUR", "GBP", "USD"})
"""Currencies in which the guide prices make sense."""

Kind = Literal[
    "texture",
    "coating",
    "strip",
    "profile",
    "supply",
    "fitting",
    "sheet",
    "anchor",
    "fastener",
    "pack",
]
Made = TypeVar("Made", bound=Row)


@cache
def finishes() -> Finishes:
    """Load every row. Raises ElbowroomError naming the file and row that is wrong."""
    data = _read("finishes.toml")
    packs = _rows(Pack, _read("stock.toml"), "stock.toml")
    result = Finishes(
        _rows(Texture, data["texture"]),
        _rows(Coating, data["coating"]),
        _rows(Strip, data["strip"]),
        _rows(Profile, data["profile"]),
        _rows(Supply, data["supply"]),
        _rows(Fitting, data["fitting"]),
        _rows(Sheet, data["sheet"]),
        _rows(Anchor, data["anchor"]),
        _rows(Fastener, data["fastener"]),
        packs,
    )
    sold = [(row.key, pack) for row in result.coatings.values() for pack in row.packs]
    sold += [(row.key, pack) for row in result.fasteners.values() for pack in row.packs]
    for kind in (
        result.strips, result.profiles, result.supplies, result.fittings, result.sheets,
    ):  # fmt: skip
        sold += [(row.key, row.pack) for row in kind.values()]
    sold += [(row.key, row.of) for row in packs.values() if row.of]
    for key, pack in sold:
        if pack not in packs:
            raise ElbowroomError(f"finishes.toml, {key}: stock.toml has no pack {pack!r}")
    for anchor in result.anchors.values():
        for fastener in (anchor.light_by, anchor.heavy_by):
            if fastener is not None and fastener not in result.fasteners:
                raise ElbowroomError(f"finishes.toml, {anchor.key}: no fastener {fastener!r}")
    return result


def _read(name: str) -> dict[str, Any]:
    text = resources.files("app.library").joinpath(name).read_text(encoding="utf-8")
    return tomllib.loads(text)


def _rows(
    kind: type[Made], data: Mapping[str, Any], name: str = "finishes.toml"
) -> dict[str, Made]:
    rows = {}
    for key, row in data.items():
        try:
            rows[key] = kind.model_validate({"key": key, **row})
        except ValidationError as error:
            raise ElbowroomError(f"{name}, {key}: {error}") from None
    return rows
