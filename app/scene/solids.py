"""Solids and working spaces of a scene as arrays, one row each."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from app.scene.shapes import SpaceShape
from app.scene.tolerance import CHORDS_A_QUARTER, SHORT_MM, TOLERANCE_MM, Geometries

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

_TO_ITS_END_MM = TOLERANCE_MM - SHORT_MM
"""So a core is met where as much is lacking as falls short."""
_CHORDS_INSIDE = 1 / math.cos(math.pi / 2 / CHORDS_A_QUARTER / 2) - 1
"""The share of its radius by which the chords of an arc lie inside it."""


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

    `looked_in` are the cores, those of strips and rings as far out as they end: a core ends half a
    millimetre early, and a thing in it begins as much late: 299 of 300 would never be looked at.
    What stands right at the edge still lies deeper than this. Of a ring the chords lie inside as
    well. `outward` is nought for rings and areas; `own_mm` is how far the piece itself reaches
    across, where `aside_mm` is how far the core does. `wanted_mm` is the recommended depth, without
    end for areas. Things between `low_mm` and `high_mm` count as being in the way.
    """

    cores: Geometries
    looked_in: Geometries
    shapes: tuple[SpaceShape, ...]
    owner: Ints
    outward: Floats
    edge_mm: Floats
    aside_mm: Floats
    own_mm: Floats
    wanted_mm: Floats
    low_mm: Floats
    high_mm: Floats


def spaces_of(
    cores: Geometries, looked_in: Geometries, shapes: tuple[SpaceShape, ...], owner: Ints
) -> Spaces:
    """Return working spaces by their cores where they lie, their shapes and their pieces."""
    bands = np.array([s.heights_mm for s in shapes], dtype=np.float64).reshape(-1, 2)
    return Spaces(
        cores,
        looked_in,
        shapes,
        owner,
        _outward(shapes),
        np.array([s.edge_mm for s in shapes], dtype=np.float64),
        np.array([s.aside_mm for s in shapes], dtype=np.float64).reshape(-1, 2),
        np.array([s.own_mm for s in shapes], dtype=np.float64).reshape(-1, 2),
        _wanted_mm(shapes),
        bands[:, 0],
        bands[:, 1],
    )


def to_their_ends(cores: Geometries, shapes: Sequence[SpaceShape]) -> Geometries:
    """Return what is looked in of working spaces, by their cores where they lie."""
    out, wanted = _outward(shapes), _wanted_mm(shapes)
    xy, index = shapely.get_coordinates(cores, return_index=True)
    moved: Geometries = shapely.set_coordinates(cores.copy(), xy + out[index] * _TO_ITS_END_MM)
    rings = np.flatnonzero(~out.any(axis=1) & np.isfinite(wanted))
    if len(rings):
        more = _TO_ITS_END_MM + wanted[rings] * _CHORDS_INSIDE
        moved[rings] = shapely.buffer(moved[rings], more, join_style="mitre")
    return moved


def _wanted_mm(shapes: Sequence[SpaceShape]) -> Floats:
    wanted = [np.inf if s.space.side == "area" else s.space.recommended_mm for s in shapes]
    return np.array(wanted, dtype=np.float64)


def _outward(shapes: Sequence[SpaceShape]) -> Floats:
    ways = [s.outward or (0.0, 0.0) for s in shapes]
    return np.array(ways, dtype=np.float64).reshape(-1, 2)
