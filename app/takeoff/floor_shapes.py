"""Shapes of pieces: upright bands of a square outline, legs narrower than they should be, slits.

Most outlines run square to the rows, and such a shape is a handful of rectangles: what is asked of
it is read off them. Others go the long way through the geometry library.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from app.scene.tolerance import TOLERANCE_MM

Bounds = tuple[float, float, float, float]
Band = tuple[float, float, tuple[tuple[float, float], ...]]
"""From u, to u, and the spans of v between which there is floor."""

_SQUARE = 1.5
"""How far a corner may reach out, in widths: that of a square does by the root of 2."""

HAIR_MM = 0.1
"""Edges that lie no further apart are one, and lines as little askew are straight."""

_NOTHING_MM = 1e-6
"""What is thinner came of rounding alone: plans keep lengths to 0.01 mm."""


def bands_of(shape: BaseGeometry) -> list[Band] | None:
    """Return a shape as bands from left to right; None where an edge runs askew."""
    level: list[tuple[float, float, float]] = []
    marks: set[float] = set()
    for part in shapely.get_parts(shape):
        if part.geom_type != "Polygon":
            continue
        for ring in (part.exterior, *part.interiors):
            for (x0, y0), (x1, y1) in pairwise(ring.coords):
                if abs(y0 - y1) < HAIR_MM:
                    level.append((min(x0, x1), max(x0, x1), y0))
                elif abs(x0 - x1) > HAIR_MM:
                    return None
                marks.update((x0, x1))
    bands: list[Band] = []
    for left, right in pairwise(sorted(marks)):
        middle = (left + right) / 2
        at = sorted(y for x0, x1, y in level if x0 < middle < x1)
        if len(at) % 2:
            return None
        spans = tuple(zip(at[::2], at[1::2], strict=True))
        # Alike bands are one, so that no corner is seen between them.
        if bands and bands[-1][2] == spans and bands[-1][1] == left:
            bands[-1] = (bands[-1][0], right, spans)
        elif spans:
            bands.append((left, right, spans))
    return bands


def bands_between(bands: Sequence[Band], low: float, high: float) -> list[Band]:
    """Return what lies of bands between two lines across them."""
    within: list[Band] = []
    for left, right, spans in bands:
        kept = tuple(
            (max(under, low), min(over, high))
            for under, over in spans
            if min(over, high) - max(under, low) > _NOTHING_MM
        )
        if within and within[-1][2] == kept and within[-1][1] == left:
            within[-1] = (within[-1][0], right, kept)
        elif kept:
            within.append((left, right, kept))
    return within


def joined(bands: Sequence[Band]) -> list[list[Bounds]]:
    """Return the rectangles of each piece that bands hold together."""
    pieces: list[list[Bounds]] = []
    open_ones: list[tuple[Bounds, list[Bounds]]] = []
    for left, right, spans in bands:
        now: list[tuple[Bounds, list[Bounds]]] = []
        for low, high in spans:
            one = (left, low, right, high)
            meets = [
                group for box, group in open_ones
                if abs(box[2] - left) < HAIR_MM and touch_mm(box, one) > HAIR_MM
            ]  # fmt: skip
            group = meets[0] if meets else []
            if not meets:
                pieces.append(group)
            for other in meets[1:]:
                if other is not group:
                    group += other
                    pieces = [each for each in pieces if each is not other]
                    now = [(box, group if own is other else own) for box, own in now]
                    open_ones = [(box, group if own is other else own) for box, own in open_ones]
            group.append(one)
            now.append((one, group))
        open_ones = now
    return pieces


def touch_mm(one: Bounds, other: Bounds) -> float:
    """Return along how much two rectangles meet that stand side by side."""
    (_, low, _, high), (_, below, _, above) = one, other
    return min(high, above) - max(low, below)


def seams(boxes: Sequence[Bounds]) -> tuple[float, int]:
    """Return along how much the rectangles of a piece meet, and how often."""
    length, count = 0.0, 0
    for i, one in enumerate(boxes):
        for other in boxes[i + 1 :]:
            beside = min(abs(one[2] - other[0]), abs(other[2] - one[0])) < HAIR_MM
            if beside and (touch := touch_mm(one, other)) > HAIR_MM:
                length, count = length + touch, count + 1
    return length, count


def inner_mm(boxes: Sequence[Bounds], box: Bounds) -> float:
    """Return how much of a piece's outline does not lie on its bounding box."""
    u0, v0, u1, v1 = box
    length = -2 * seams(boxes)[0]
    for a, low, b, high in boxes:
        wide, tall = b - a, high - low
        length += 2 * (wide + tall)
        length -= wide * ((abs(low - v0) < HAIR_MM) + (abs(high - v1) < HAIR_MM))
        length -= tall * ((abs(a - u0) < HAIR_MM) + (abs(b - u1) < HAIR_MM))
    return max(length, 0.0)


def narrow_part(part: Polygon, least: float) -> bool:
    """Return whether a piece has a leg narrower than it should be, and longer than it is wide.

    What a square of that width cannot reach inside the piece is such a leg: beside a column, or
    where a skewed wall runs out to a point. A stub shorter than wide stays with its piece.
    """
    reach = (least - TOLERANCE_MM) / 2
    if reach <= 0:
        return False
    bands = bands_of(part)
    if bands is not None:
        return narrow_boxes([b for piece in joined(bands) for b in piece], least)
    # Square corners come back whole, sharper ones are cut off: there the piece runs out to a point.
    inner = part.buffer(-reach, join_style="mitre")
    wide = inner.buffer(reach + HAIR_MM, join_style="mitre", mitre_limit=_SQUARE)
    for leg in shapely.get_parts(part.difference(wide)):
        if leg.area < TOLERANCE_MM * reach:
            continue
        root = leg.boundary.intersection(wide.buffer(TOLERANCE_MM)).length
        if root <= 0 or leg.area / root > root:
            return True
    return False


def narrow_boxes(boxes: Sequence[Bounds], least: float) -> bool:
    """Return the same of a piece given as rectangles.

    The lines of all their edges part the piece into cells; every rectangle of cells that is wide
    and high enough is reached; what is left over hangs together in legs.
    """
    need = least - TOLERANCE_MM
    if all(b - a >= need and over - low >= need for a, low, b, over in boxes):
        # a square of that width reaches every spot within its own rectangle
        return False
    us, vs, floor = _cells_of(boxes)
    wide, high = len(us) - 1, len(vs) - 1
    left = {(i, j) for i in range(wide) for j in range(high) if floor[i][j]}
    whole = set(left)
    for i in range(wide):
        free = [True] * high
        for k in range(i, wide):
            free = [f and floor[k][j] for j, f in enumerate(free)]
            if us[k + 1] - us[i] < need:
                continue
            j = 0
            while j < high:
                end = j
                while end < high and free[end]:
                    end += 1
                if end > j and vs[end] - vs[j] >= need:
                    left -= {(a, b) for a in range(i, k + 1) for b in range(j, end)}
                j = max(end, j + 1)
    return bool(left) and _has_leg(left, whole, us, vs)


def _cells_of(boxes: Sequence[Bounds]) -> tuple[list[float], list[float], list[list[bool]]]:
    """Return the lines along all edges, both ways, and whether floor lies in each cell of them."""
    us = _marks([u for box in boxes for u in box[::2]])
    vs = _marks([v for box in boxes for v in box[1::2]])
    floor = [
        [
            any(
                a < (left + right) / 2 < b and low < (under + over) / 2 < high
                for a, low, b, high in boxes
            )
            for under, over in pairwise(vs)
        ]
        for left, right in pairwise(us)
    ]
    return us, vs, floor


def _marks(values: Sequence[float]) -> list[float]:
    marks: list[float] = []
    for value in sorted(values):
        if not marks or value - marks[-1] > HAIR_MM:
            marks.append(value)
    return marks


def _has_leg(
    left: set[tuple[int, int]],
    whole: set[tuple[int, int]],
    us: Sequence[float],
    vs: Sequence[float],
) -> bool:
    reached = whole - left
    while left:
        stack = [left.pop()]
        area = root = 0.0
        while stack:
            i, j = stack.pop()
            wide, high = us[i + 1] - us[i], vs[j + 1] - vs[j]
            area += wide * high
            for di, dj, edge in ((1, 0, high), (-1, 0, high), (0, 1, wide), (0, -1, wide)):
                beside = (i + di, j + dj)
                if beside in reached:
                    root += edge
                elif beside in left:
                    left.discard(beside)
                    stack.append(beside)
        if root <= 0 or area / root > root:
            return True
    return False


def slits_of(part: Polygon) -> list[LineString]:
    """Return the cuts that open a piece round what stands in a hole of it: the shortest ones."""
    outside = part.exterior
    return [shapely.shortest_line(LineString(ring), outside) for ring in part.interiors]


def slits_mm(boxes: Sequence[Bounds]) -> list[float]:
    """Return how long these are in a piece given as rectangles, one for each hole.

    What is empty between the lines of all edges hangs together in holes and in what lies outside.
    """
    us, vs, floor = _cells_of(boxes)
    wide, high = len(us) - 1, len(vs) - 1
    empty = {(i, j) for i in range(wide) for j in range(high) if not floor[i][j]}
    holes: list[list[Bounds]] = []
    outside: list[Bounds] = []
    while empty:
        stack, group, at_edge = [empty.pop()], [], False
        while stack:
            i, j = stack.pop()
            group.append((us[i], vs[j], us[i + 1], vs[j + 1]))
            at_edge = at_edge or i in (0, wide - 1) or j in (0, high - 1)
            for beside in ((i + 1, j), (i - 1, j), (i, j + 1), (i, j - 1)):
                if beside in empty:
                    empty.discard(beside)
                    stack.append(beside)
        if at_edge:
            outside += group
        else:
            holes.append(group)
    u0, v0, u1, v1 = us[0], vs[0], us[-1], vs[-1]
    return [
        min(
            [min(a - u0, u1 - b, low - v0, v1 - over) for a, low, b, over in hole]
            + [_between_mm(one, other) for one in hole for other in outside]
        )
        for hole in holes
    ]


def _between_mm(one: Bounds, other: Bounds) -> float:
    """Return the shortest way between two rectangles."""
    (a, low, b, over), (c, under, d, high) = one, other
    return math.hypot(max(c - b, a - d, 0.0), max(under - over, low - high, 0.0))


def slit_of_frame(boxes: Sequence[Bounds], box: Bounds) -> float | None:
    """Return how long the slit is of a rectangle with a rectangular hole; None for other pieces.

    `boxes` are its rectangles from left to right, `box` is its bounds.
    """
    if len(boxes) != FRAME:
        return None
    u0, v0, u1, v1 = box
    first, *middle, last = sorted(boxes)
    (a, low, b, under), (c, over, d, high) = middle
    sides = (u0, v0, a, v1), (b, v0, u1, v1), (u0, v0, c, v1), (d, v0, u1, v1)
    edges = (first, last, first, last)
    alike = all(
        abs(x - y) < HAIR_MM
        for side, edge in zip(sides, edges, strict=True)
        for x, y in zip(side, edge, strict=True)
    )
    if not alike or abs(low - v0) >= HAIR_MM or abs(high - v1) >= HAIR_MM or under >= over:
        return None
    return min(a - u0, u1 - b, under - v0, v1 - over)


FRAME = 4
"""Rectangles of one with a hole: before it, above it, below it, after it."""


def inner_of(part: Polygon, box: Bounds) -> float:
    """Return how much of an outline does not lie on its bounding box, for any outline."""
    u0, v0, u1, v1 = box
    length = 0.0
    for ring in (part.exterior, *part.interiors):
        for (x0, y0), (x1, y1) in pairwise(ring.coords):
            upright = abs(x0 - x1) < HAIR_MM and min(abs(x0 - u0), abs(x0 - u1)) < HAIR_MM
            level = abs(y0 - y1) < HAIR_MM and min(abs(y0 - v0), abs(y0 - v1)) < HAIR_MM
            if not (upright or level):
                length += math.hypot(x1 - x0, y1 - y0)
    return length
