"""Solids and working spaces of a scene as arrays, one row each."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.scene.shapes import SpaceShape
from app.scene.tolerance import Geometries

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Solids:
    """All solids, one entry each: pieces first, in order, then what `fixed` names.

    `owner` is the number of the piece, or of the fixed thing counted on from the last piece.
    """

    cores: Geometries
    low_mm: Floats
    high_mm: Floats
    owner: Ints


@dataclass(frozen=True, slots=True, eq=False)
class Spaces:
    """All working spaces, one entry each, with the number of their piece.

    `outward` is nought for rings and areas; `wanted_mm` is the recommended depth, without end for
    areas. Things between `low_mm` and `high_mm` count as being in the way.
    """

    cores: Geometries
    shapes: tuple[SpaceShape, ...]
    owner: Ints
    outward: Floats
    edge_mm: Floats
    aside_mm: Floats
    wanted_mm: Floats
    low_mm: Floats
    high_mm: Floats
