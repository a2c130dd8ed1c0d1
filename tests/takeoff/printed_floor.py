"""A floor put together from what its pages print: sentences with tape distances, and nothing else.

Whoever reads them has a stock piece, a tape and a knife: each cut is marked by its two distances,
the part that is to be kept is kept, and the piece goes where its two distances say.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

import shapely
import shapely.affinity
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

_FROM = re.compile(r"(\d+) mm × (\d+) mm\.$")
_STRAIGHT = re.compile(
    r"^(\d+) mm from the (left|right|top|bottom) edge(?:, itself cut)?, at both ends\. "
    r"Keep the (left|right|top|bottom) part\.$"
)
_ASKEW = re.compile(
    r"^Askew: (\d+) mm from the (left|right|top|bottom) edge(?:, itself cut)? at the \w+, "
    r"(\d+) mm at the \w+\. Keep the (left|right|top|bottom) part\.$"
)
_SPOT = re.compile(r"(\d+) mm from its left, (\d+) mm from its top")
_PLACE = re.compile(
    r"^Its left edge (\d+) mm to the (left|right) of the left end of .*, its top (\d+) mm"
    r"( beyond the line)? off it\.$"
)


def cut_as_told(source: str, whole: tuple[float, float], cuts: Sequence[str]) -> BaseGeometry:
    """Return the piece that comes of the cuts, its own left and top at nought."""
    size = _FROM.search(source)
    wide, high = (float(size[1]), float(size[2])) if size else whole
    piece: BaseGeometry = shapely.box(0, 0, wide, high)
    for cut in cuts:
        x0, y0, x1, y1 = piece.bounds
        straight, askew = _STRAIGHT.match(cut), _ASKEW.match(cut)
        if straight:
            first = second = float(straight[1])
            edge, keep = straight[2], straight[3]
        elif askew:
            first, second = float(askew[1]), float(askew[3])
            edge, keep = askew[2], askew[4]
        else:
            spots = [(x0 + float(x), y0 + float(y)) for x, y in _SPOT.findall(cut)]
            assert spots, f"nobody can cut this: {cut}"
            piece = _notched(piece, spots, "hole" in cut)
            continue
        upright = edge in ("left", "right")
        base = {"left": x0, "right": x1, "top": y0, "bottom": y1}[edge]
        way = 1 if edge in ("left", "top") else -1
        a, b = base + way * first, base + way * second
        far = 10 * (x1 - x0 + y1 - y0)
        side = -far if keep in ("left", "top") else far
        half = (
            Polygon([(a, y0), (b, y1), (b + side, y1), (a + side, y0)])
            if upright
            else Polygon([(x0, a), (x1, b), (x1, b + side), (x0, a + side)])
        )
        piece = piece.intersection(half)
    x0, y0, _, _ = piece.bounds
    return shapely.affinity.translate(piece, -x0, -y0)


def _notched(piece: BaseGeometry, spots: Sequence[tuple[float, float]], hole: bool) -> BaseGeometry:
    """Cut along marks: a hole falls out whole, else the smaller of the two parts falls off."""
    if hole:
        return piece.difference(Polygon(spots[:-2]))
    line = shapely.LineString(spots)
    parts = shapely.get_parts(
        shapely.polygonize([shapely.node(shapely.union_all([piece.boundary, line]))])
    )
    largest: BaseGeometry = max(parts, key=lambda part: float(part.area))
    return largest


def lies_as_told(piece: BaseGeometry, place: str) -> BaseGeometry:
    """Return the piece where it lies: along the start wall from its left end, and off it."""
    told = _PLACE.match(place)
    assert told, f"nobody knows where that is: {place}"
    left = float(told[1]) * (1 if told[2] == "right" else -1)
    deep = float(told[3]) * (-1 if told[4] else 1)
    return shapely.affinity.translate(piece, left, deep)
