"""Outlines that are walked round, sampled: those of a piece once for wherever it stands.

Solids of a piece that touch are one outline: nobody walks between them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely

from app.published.register import remembered_by_bytes
from app.scene.memory import ANSWERS_AT_MOST
from app.scene.routes_graph import Floats, Ints, Samples, sampled
from app.scene.shapes import SHAPES_BYTES, Shape, shape_bytes
from app.scene.tolerance import TOLERANCE_MM, Geometries

SAMPLE_MM = 120
"""How closely outlines are sampled. Twice this is less than the narrowest way of the register, so
that no way that counts passes between two samples of one outline."""


def _bytes(samples: Samples, asked: tuple[Any, ...]) -> int:
    # the shape is held as long as the answer is
    arrays = (samples.xy, samples.before, samples.after, samples.owner)
    return shape_bytes(asked[0]) + sum(array.nbytes for array in arrays)


@remembered_by_bytes(ANSWERS_AT_MOST, SHAPES_BYTES, _bytes)
def outline_of(shape: Shape, standing: bytes) -> Samples:
    """Return samples of some solids of a piece, about its middle; `standing` has a byte each."""
    solids = shape.cores[np.frombuffer(standing, dtype=bool)]
    rings = shapely.get_exterior_ring(solids if len(solids) == 1 else _run_together(solids))
    return sampled(rings, np.zeros(len(rings), dtype=np.intp), SAMPLE_MM)


def _run_together(cores: Geometries) -> Geometries:
    """Return the outlines of solids; those that touch, their cores a tolerance apart, are one."""
    grown = shapely.buffer(cores, TOLERANCE_MM, join_style="mitre")
    whole = shapely.buffer(shapely.union_all(grown), -TOLERANCE_MM, join_style="mitre")
    parts: Geometries = shapely.get_parts(whole)
    return parts


def together(parts: Sequence[Samples], at: Floats, owners: Ints) -> Samples:
    """Return samples of several things, each moved to its place; its owners counted on from one."""
    counts = np.array([len(part.xy) for part in parts], dtype=np.intp)
    first: Ints = np.repeat(np.cumsum(counts) - counts, counts)
    return Samples(
        np.concatenate([part.xy for part in parts]) + np.repeat(at, counts, axis=0),
        np.concatenate([part.before for part in parts]) + first,
        np.concatenate([part.after for part in parts]) + first,
        np.concatenate([part.owner for part in parts]) + np.repeat(owners, counts),
        max(part.spacing_mm for part in parts),
    )
