"""Pieces as prisms in their own frame, cached by type, size and angle.

A shape holds arrays, one entry a solid: outline polygons turned to their angle about the origin,
their cores, and their bottoms and tops above the piece's own foot. Placing it is a translation.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from app.library.anchors import Extent, place
from app.library.forms import Flat, flat
from app.library.kit import KitType, Space, kit_types
from app.library.own import MANUAL_SOURCE
from app.model.kit import Piece
from app.model.situations import OUT
from app.published.register import overridden
from app.recent import Recent
from app.scene.tolerance import CHORDS_A_QUARTER, HALF_MM, TOLERANCE_MM, Geometries, cores
from app.scene.weight import BYTES_A_GEOMETRY

QUARTERS = 4
"""Quarters of a circle."""


SHAPES_AT_MOST = 4096
"""Turned shapes that are remembered: every angle of a slow turn of a piece, many times over."""

SHAPES_BYTES = 32_000_000
"""What they hold together, by `shape_bytes`."""

_HUNG = ("wall", "ceiling")
_HUNG_FROM, _HANDLE = "pull-up", "handle"
_OUTWARD = {"front": (0.0, 1.0), "back": (0.0, -1.0), "left": (-1.0, 0.0), "right": (1.0, 0.0)}


@dataclass(frozen=True, slots=True)
class SpaceShape:
    """One working space in the frame of a turned piece.

    `polygon` has the recommended depth. For a strip, `outward` is the unit normal of the edge,
    `edge_mm` the edge's distance from the origin along it, and `aside_mm` how far the core reaches
    across it (to the left and right when looking out), `own_mm` the piece's own outline; others
    have None and noughts. Things between `heights_mm` are in the way.
    """

    space: Space
    polygon: Polygon
    core: Polygon
    outward: tuple[float, float] | None
    edge_mm: float
    aside_mm: tuple[float, float]
    own_mm: tuple[float, float]
    heights_mm: tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """A kit type at one size and angle, about the origin."""

    polygons: Geometries
    cores: Geometries
    low_mm: NDArray[np.float64]
    high_mm: NDArray[np.float64]
    parts: tuple[str, ...]
    footprint: Polygon
    spaces: tuple[SpaceShape, ...]


def shape_of(piece: Piece, angle_deg: float, kit: KitType) -> Shape:
    """Return the shape of a piece of a kit type, turned to an angle about the origin; remembered.

    One shape serves every piece that is alike.
    """
    key = (
        piece.type,
        # a row as one plan has it may be another one tomorrow, so all of it is in the key
        None if kit.own is None and not kit.values and not kit.without else kit,
        piece.width_mm,
        piece.depth_mm,
        piece.height_mm,
        piece.plate_mm,
        piece.bar_height_mm if kit.fixing in _HUNG else None,
        piece.state,
        tuple((asked.space, asked.least_mm) for asked in piece.manual_mm),
        angle_deg,
    )
    return SHAPES.made(key, partial(_shape, *key))


def shape_bytes(shape: Shape) -> int:
    """Return about how many bytes a shape holds, by the number of its polygons."""
    return (2 * len(shape.polygons) + 2 * len(shape.spaces) + 1) * BYTES_A_GEOMETRY


SHAPES = Recent[tuple[object, ...], Shape](SHAPES_AT_MOST, SHAPES_BYTES, shape_bytes)


def _shape(
    type_key: str,
    own: KitType | None,
    width_mm: float | None,
    depth_mm: float | None,
    height_mm: float | None,
    plate_mm: float | None,
    bar_mm: float | None,
    state_key: str | None,
    manual: tuple[tuple[str, float], ...],
    angle_deg: float,
) -> Shape:
    kit = own or kit_types()[type_key]
    state = None if state_key == OUT else kit.state(state_key)
    solids = () if state_key == OUT else state.solids if state else kit.solids
    used = state_key is None or (state is not None and state.usable)
    extent = Extent(width_mm or kit.width_mm, depth_mm or kit.depth_mm, height_mm or kit.height_mm)
    flats = [resized_plate(kit, s.part, flat(s, extent), plate_mm) for s in solids]
    polygons = np.array([turned(polygon_of(f), angle_deg) for f in flats], dtype=object)
    spread = kit.bar is not None and plate_mm is not None
    heights = [
        (place(s.z[0], extent), place(s.z[1], extent))
        if not (spread and s.part == "plate" and plate_mm)
        else (-plate_mm / 2, plate_mm / 2)
        for s in solids
    ]
    if bar_mm is not None:
        heights = _hung_at(kit, extent, bar_mm, [s.part for s in solids], heights)
    footprint = turned(_footprint(kit, extent), angle_deg)
    return Shape(
        polygons=polygons,
        cores=cores(polygons) if len(polygons) else polygons,
        low_mm=np.array([low for low, _ in heights], dtype=np.float64),
        high_mm=np.array([high for _, high in heights], dtype=np.float64),
        parts=tuple(s.part for s in solids),
        footprint=footprint,
        spaces=_spaces(kit, extent, angle_deg, dict(manual)) if used else (),
    )


def _hung_at(
    kit: KitType,
    extent: Extent,
    bar_mm: float,
    parts: list[str],
    heights: list[tuple[float, float]],
) -> list[tuple[float, float]]:
    """Return from and to which heights parts reach where the bar one hangs from is at a height.

    What holds it is as much longer or shorter.
    """
    base = next((place(use.base, extent) for use in kit.uses if use.movement == _HUNG_FROM), None)
    if base is None or _HANDLE not in parts:
        return heights
    by = bar_mm - base
    if kit.fixing == "wall":
        # a rack on the wall stands on the floor too
        if any(low <= TOLERANCE_MM for low, _ in heights):
            return heights
        return [(max(low + by, 0.0), high + by) for low, high in heights]
    handle = [pair for part, pair in zip(parts, heights, strict=True) if part == _HANDLE]
    top = max(high for _, high in handle)
    # what it is screwed up by is over a bar that is typed higher than its type has room for
    above = [
        low
        for part, (low, _) in zip(parts, heights, strict=True)
        if part != _HANDLE and abs(low - top) > TOLERANCE_MM
    ]
    up = max(top + by - min(above), 0.0) if above else 0.0
    return [
        (low + by, high + by)
        if part == _HANDLE
        else (min(low + by, high + up), high + up)
        if abs(low - top) <= TOLERANCE_MM
        else (low + up, high + up)
        for part, (low, high) in zip(parts, heights, strict=True)
    ]


def resized_plate(kit: KitType, part: str, form: Flat, plate_mm: float | None) -> Flat:
    """Return a bar's plate, seen from above, the depth of the plates really used."""
    if kit.bar is None or part != "plate" or plate_mm is None or not form.points:
        return form
    xs = [x for x, _ in form.points]
    half = plate_mm / 2
    x0, x1 = min(xs), max(xs)
    return Flat(((x0, -half), (x1, -half), (x1, half), (x0, half)))


def polygon_of(form: Flat) -> Polygon:
    """Return a form as a polygon; the chords of a disc lie outside it."""
    return circle(form.centre, form.radius_mm) if form.radius_mm else Polygon(form.points)


def circle(centre: tuple[float, float], radius_mm: float) -> Polygon:
    """Return a many-sided polygon that holds the whole circle.

    The middle of a side lies on each axis: against a wall it is as wide as the circle.
    """
    count = QUARTERS * CHORDS_A_QUARTER
    outer = radius_mm / math.cos(math.pi / count)
    turns = [(2 * i + 1) * math.pi / count for i in range(count)]
    return Polygon(
        [(centre[0] + outer * math.cos(t), centre[1] + outer * math.sin(t)) for t in turns]
    )


def turn(x: float, y: float, angle_deg: float) -> tuple[float, float]:
    """Turn a point about the origin, clockwise as drawn."""
    angle = math.radians(angle_deg)
    cos, sin = math.cos(angle), math.sin(angle)
    return x * cos - y * sin, x * sin + y * cos


def turned(polygon: Polygon, angle_deg: float) -> Polygon:
    """Turn a polygon about the origin, clockwise as drawn."""
    result: Polygon = shapely.transform(polygon, lambda xy: turned_points(xy, angle_deg))
    return result


def turned_points(xy: NDArray[np.float64], angle_deg: float) -> NDArray[np.float64]:
    """Turn points, (n, 2) in mm, about the origin, clockwise as drawn."""
    angle = math.radians(angle_deg)
    cos, sin = math.cos(angle), math.sin(angle)
    moved: NDArray[np.float64] = xy @ np.array([[cos, sin], [-sin, cos]])
    return moved


def _footprint(kit: KitType, extent: Extent) -> Polygon:
    """Return the outline of the whole piece: its rectangle, or the disc that it is."""
    discs = [flat(s, extent) for s in kit.solids if s.shape == "disc"]
    half = min(extent.width_mm, extent.depth_mm) / 2
    for disc in discs:
        if disc.centre == (0.0, 0.0) and disc.radius_mm >= half:
            return circle((0.0, 0.0), disc.radius_mm)
    w, d = extent.width_mm / 2, extent.depth_mm / 2
    return Polygon([(-w, -d), (w, -d), (w, d), (-w, d)])


def by_the_manual(space: Space, manual: dict[str, float]) -> Space:
    """Return a working space as the maker's manual asks for it, where that is more."""
    # plan files of before spaces had keys ask by name
    asked = manual.get(space.key, manual.get(space.name, 0.0))
    if asked <= space.least_mm:
        return space
    wider = {"least_mm": asked, "recommended_mm": max(asked, space.recommended_mm)}
    its_source = {"source": MANUAL_SOURCE, "status": "read", "least": None, "recommended": None}
    return Space.model_validate({**space.model_dump(), **wider, **its_source})


def _spaces(
    kit: KitType, extent: Extent, angle_deg: float, manual: dict[str, float]
) -> tuple[SpaceShape, ...]:
    with overridden(dict(kit.values)):
        asked = [by_the_manual(space, manual) for space in kit.spaces]
    return tuple(_space(space, kit, extent, angle_deg) for space in asked)


def _space(space: Space, kit: KitType, extent: Extent, angle_deg: float) -> SpaceShape:
    low, high = space.heights or (None, None)
    heights = space.z if low is None or high is None else (place(low, extent), place(high, extent))
    if space.side in ("ring", "area"):
        polygon = _footprint(kit, extent)
        if space.side == "ring":
            grown = polygon.buffer(space.recommended_mm, quad_segs=CHORDS_A_QUARTER)
            polygon = Polygon(grown.exterior)
        polygon = turned(polygon, angle_deg)
        nought = (0.0, 0.0)
        return SpaceShape(space, polygon, _core(polygon), None, 0.0, nought, nought, heights)
    ox, oy = _OUTWARD[space.side]
    half = extent.depth_mm / 2 if ox == 0 else extent.width_mm / 2
    default = ("l", "r") if ox == 0 else ("b", "f")
    a, b = sorted(place(anchor, extent) for anchor in space.across or default)
    far = half + space.recommended_mm
    if ox == 0:
        corners = [(a, oy * half), (b, oy * half), (b, oy * far), (a, oy * far)]
    else:
        corners = [(ox * half, a), (ox * half, b), (ox * far, b), (ox * far, a)]
    polygon = turned(Polygon(corners), angle_deg)
    # looking out along (ox, oy) the right hand lies along (-oy, ox)
    ends = sorted((a * (ox - oy), b * (ox - oy)))
    aside = (ends[0] + HALF_MM, ends[1] - HALF_MM)
    outward = turn(ox, oy, angle_deg)
    own = _across(turned(_footprint(kit, extent), angle_deg), outward)
    return SpaceShape(space, polygon, _core(polygon), outward, half, aside, own, heights)


def _across(outline: Polygon, outward: tuple[float, float]) -> tuple[float, float]:
    """Return from and to how far an outline lies across a way outwards, in mm."""
    reaches = shapely.get_coordinates(outline) @ np.array([-outward[1], outward[0]])
    return float(reaches.min()), float(reaches.max())


def _core(polygon: Polygon) -> Polygon:
    return polygon.buffer(-HALF_MM, join_style="mitre")
