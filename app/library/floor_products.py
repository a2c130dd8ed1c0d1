"""Floor coverings as they are sold: sizes, thickness and a guide price for each stock piece.

Schema and loader of `floor_products.toml`.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources

from pydantic import Field, ValidationError

from app.errors import ElbowroomError
from app.library.kit import Status
from app.model.base import Frozen, Id, Label, Size
from app.model.flooring import FloorKind
from app.model.room import CoveringMaterial


class FloorProduct(Frozen):
    """One product. The price is for one stock piece, or for a metre of a roll that is sold by it,
    in a currency of the guide prices.
    """

    key: Id
    name: Label
    kind: FloorKind
    material: CoveringMaterial
    length_mm: Size
    width_mm: Size
    thickness_mm: Size
    price_minor: int = Field(ge=0)
    by_metre: bool = False
    lasts_years: float = Field(gt=0)
    source: str = "typical sizes and prices, common practice, no source"
    status: Status = "practice"


@cache
def floor_products() -> Mapping[str, FloorProduct]:
    """Load every row by its key. Raises ElbowroomError naming the row that is wrong."""
    text = resources.files("app.library").joinpath("floor_products.toml").read_text("utf-8")
    rows = {}
    for key, row in tomllib.loads(text).items():
        try:
            rows[key] = FloorProduct.model_validate({"key": key, **row})
        except ValidationError as error:
            raise ElbowroomError(f"floor_products.toml, {key}: {error}") from None
    return rows
