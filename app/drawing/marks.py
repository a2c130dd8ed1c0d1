"""Numbers of pieces and flags of snags, planted in a figure. Sizes are mm of paper times scale."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Literal, TypeAlias

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from app.drawing.placing import Crowd, Spot, around, grid
from app.drawing.primitives import Circle, Group, Item, Line, Point, Polygon, Text
from app.scene.build import Placed

Severity: TypeAlias = Literal["stop", "care", "note"]

_RADIUS_MM, _WIDE_RADIUS_MM = 2.6, 3.2
"""Rings of numbers of one or two digits, and of three."""
_FLAG_MM = 5.0
_CLEAR_OF_RINGS, _ROUNDS = 1.05, 3
"""How far rings keep apart, in widths of one, and how many times so far one may stand off."""
MOST_SOUGHT = 120
"""With more pieces than this numbers are not sought a place with care: that takes too long."""


def balloons(
    numbered: Mapping[str, int], pieces: Sequence[Placed], crowd: Crowd, scale: int
) -> tuple[Group, ...]:
    """Return every piece its number in a ring, in it or beside it, with a leader where outside.

    The room for each is sought with care for up to 120 pieces. With more it stands in the middle or
    close by, and is left out where other numbers are everywhere there.
    """
    made: list[Group] = []
    rings: list[Point] = []
    footprints = STRtree([placed.footprint for placed in pieces])
    # the smallest pieces have the least choice, so they choose first
    for placed in sorted(pieces, key=lambda p: p.footprint.area):
        body = _body(placed)
        number = numbered[placed.piece.id]
        radius = (_RADIUS_MM if number < 100 else _WIDE_RADIUS_MM) * scale
        if len(pieces) > MOST_SOUGHT:
            free = _free_spot(placed.at, rings, _WIDE_RADIUS_MM * scale)
            if free is None:
                continue
            at = free
        else:
            at = _spot(placed, body, footprints, crowd, radius)
        rings.append(at)
        made.append(_balloon(placed, body, number, at, radius))
    return tuple(made)


def _free_spot(at: Point, rings: Sequence[Point], radius: float) -> Point | None:
    """Return the nearest place round a point that is clear of all rings, None where none is."""
    apart = 2 * radius * _CLEAR_OF_RINGS
    taken = np.array(rings).reshape(-1, 2)
    for far in range(_ROUNDS):
        for turn in range(8 if far else 1):
            angle = math.tau * turn / 8
            spot = (at[0] + math.cos(angle) * far * apart, at[1] + math.sin(angle) * far * apart)
            if not len(taken) or np.hypot(*(taken - spot).T).min() >= apart:
                return spot
    return None


def _spot(
    placed: Placed, body: BaseGeometry, others: STRtree, crowd: Crowd, radius: float
) -> Point:
    own = placed.footprint
    x0, y0, x1, y1 = own.bounds
    reach = radius * 2.4
    around_it = (x0 - reach, y0 - reach, x1 + reach, y1 + reach)
    points = np.array(grid(around_it, radius * 0.8, 26))
    places = np.array(shapely.points(points), dtype=object)
    size = max(x1 - x0, y1 - y0, radius)
    costs = np.hypot(*(points - placed.at).T) / size
    away = shapely.distance(places, own)
    # clear outside, or inside: a ring astride the outline belongs to nobody
    costs += np.where(away > 0, 2.2 + away / radius, 0.0)
    inside = np.flatnonzero(away == 0)
    costs[inside[shapely.distance(places[inside], body) > radius]] += 0.8
    near, _ = others.query(places, predicate="dwithin", distance=radius)
    hits = np.bincount(near, minlength=len(points)) - (away <= radius)
    costs += np.where(hits > 0, 3.0, 0.0)
    x, y = points[crowd.choose(2 * radius, 2 * radius, points, costs)].tolist()
    return x, y


def _body(placed: Placed) -> BaseGeometry:
    polygons = placed.polygons()
    body: BaseGeometry = shapely.union_all(polygons) if len(polygons) else placed.footprint
    return body


def _balloon(placed: Placed, body: BaseGeometry, number: int, at: Point, radius: float) -> Group:
    items: list[Item] = []
    place = shapely.Point(at)
    if body.distance(place) > radius * 0.5:
        foot = nearest_points(body, place)[0]
        gap = math.dist((foot.x, foot.y), at)
        if gap > radius:
            share = radius / gap
            edge = (at[0] + (foot.x - at[0]) * share, at[1] + (foot.y - at[1]) * share)
            items.append(Line(edge, (foot.x, foot.y), "leader"))
            items.append(Circle((foot.x, foot.y), radius * 0.16, "leader-dot"))
    items.append(Circle(at, radius, "balloon"))
    # half the height of a figure, whichever ring it stands in
    down = radius * 0.41 * (1.0 if number < 100 else _RADIUS_MM / _WIDE_RADIUS_MM)
    items.append(Text((at[0], at[1] + down), str(number), "numeral"))
    return Group(tuple(items), "balloon-group", (("number", str(number)), ("of", placed.piece.id)))


def flag_items(
    at: Point, number: int, severity: Severity, size: float, prefix: str = ""
) -> tuple[Item, ...]:
    """Draw a flag whose hoist's lower corner is `at`: square, pointed or round, with its number."""
    x, y = at
    wide = size * (1.0 if number < 100 else 1.35)
    top = y - size
    words = str(number)
    if severity == "stop":
        ring = ((x, top), (x + wide, top), (x + wide, y), (x, y))
        shape: Item = Polygon(ring, f"{prefix}flag-stop")
        foot = (x + wide / 2, y - size * 0.29)
    elif severity == "care":
        tip = wide * 1.45
        shape = Polygon(((x, top), (x + tip, y - size / 2), (x, y)), f"{prefix}flag-care")
        foot = (x + tip * 0.33, y - size * 0.29)
    else:
        shape = Circle((x + size / 2, y - size / 2), size * 0.52, f"{prefix}flag-note")
        foot = (x + size / 2, y - size * 0.3)
    return (shape, Text(foot, words, f"{prefix}on-{severity}"))


def planted_flags(
    flags: Sequence[tuple[int, Severity, Point]],
    crowd: Crowd,
    bounds: tuple[float, float, float, float],
    scale: int,
) -> tuple[Group, ...]:
    """Plant a flag at each place; those that would hide one another stand apart.

    The first group are their poles, then comes each flag. Places and flags keep within `bounds`:
    min x, min y, max x, max y in mm of the room.
    """
    size = _FLAG_MM * scale
    made: list[Group] = []
    poles: list[Item] = []
    x0, y0, x1, y1 = bounds
    for number, severity, place in flags:
        foot = (min(max(place[0], x0), x1), min(max(place[1], y0), y1))
        spots = []
        for dx in (0.0, 1.2, -1.2, 2.4, -2.4, 3.6, -3.6):
            for dy in (-1.1, -0.2, -2.2, 1.6, -3.3, 2.8):
                x, y = foot[0] + (dx + 0.6) * size, foot[1] + (dy - 0.5) * size
                at = (
                    min(max(x, x0 + size), max(x0, x1) - size),
                    min(max(y, y0 + size), max(y0, y1) - size),
                )
                spots.append(Spot(at, math.hypot(dx, dy + 1.1) * 0.7))
        x, y = crowd.place(size * 1.5, size * 1.1, spots, anywhere=True)
        hoist = (x - size * 0.6, y + size * 0.5)
        top = (hoist[0], hoist[1] - size)
        # all poles come first: none may run through the number of another flag
        poles.append(Line(foot, hoist if hoist[1] < foot[1] else top, "pole"))
        items: list[Item] = [Line(hoist, top, "pole")]
        items.append(Circle(foot, size * 0.09, "pole-foot"))
        items += flag_items(hoist, number, severity, size)
        made.append(Group(tuple(items), "flag", (("number", str(number)), ("severity", severity))))
        crowd.take(around(foot, size * 0.3, size * 0.3))
    return (Group(tuple(poles), "poles"), *made) if made else ()
