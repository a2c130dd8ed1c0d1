"""Places on a kit type that follow its real size: "l+75" is 75 mm right of its left edge.

Across: l, c, r (left edge, middle, right edge). Front to back: b, m, f (back edge, middle, front
edge; front is where the user stands and lies at +y). In height: a number from the piece's own
foot, t (its top), or o (the top of a lid that stands open on it, as high as the piece is deep). The
origin is the middle of the outline.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated

from pydantic import AfterValidator

ANCHORS_AT_MOST = 4096
"""Anchors that are kept as they were read: all of the library are some two thousand."""
_FORM = re.compile(r"^([lcrbmfto])?([+-]?\d+(?:\.\d+)?)?$")


@dataclass(frozen=True, slots=True)
class Extent:
    """The real size of a piece in mm: across, front to back, and up."""

    width_mm: float
    depth_mm: float
    height_mm: float


@lru_cache(maxsize=ANCHORS_AT_MOST)
def _parse(text: str) -> tuple[str, float]:
    match = _FORM.match(text.replace(" ", ""))
    if match is None or not text:
        raise ValueError(f"{text!r} is not a place such as 'l+75', 'm' or '440'")
    return match[1] or "", float(match[2] or 0)


def _known(text: str) -> str:
    _parse(text)
    return text


Anchor = Annotated[str, AfterValidator(_known)]


def place(anchor: str, extent: Extent) -> float:
    """Return the coordinate in mm that an anchor means on a piece of this size."""
    letter, offset = _parse(anchor)
    half_width, half_depth = extent.width_mm / 2, extent.depth_mm / 2
    base = {
        "l": -half_width,
        "r": half_width,
        "b": -half_depth,
        "f": half_depth,
        "t": extent.height_mm,
        "o": extent.height_mm + extent.depth_mm,
    }.get(letter, 0.0)
    return base + offset
