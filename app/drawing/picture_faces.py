"""Flat faces in the room: what a picture is made of, each with the edges that are drawn of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.drawing.picture_view import View

Floats = NDArray[np.float64]

SMOOTH_DEG = 30.0
"""Two sides that meet at less than this are one round side: circles have chords at 15 degrees."""


@dataclass(frozen=True, slots=True, eq=False)
class Face:
    """One flat face as the eye sees it. All lengths in mm.

    `flat` is its outline on the paper. How near a point (u, v) of it is to the eye is
    `plane` = (a, b, c): a + b u + c v. `edges` are strokes (n, 2, 2) on the paper that are drawn
    where they can be seen. `owner` names the thing it belongs to, `ink` how it looks.
    """

    flat: BaseGeometry
    plane: tuple[float, float, float]
    edges: Floats
    owner: str
    ink: str


def prism(
    base: BaseGeometry, low_mm: float, high_mm: float, owner: str, ink: str, view: View
) -> Iterator[Face]:
    """Yield the faces of an upright prism that the eye can see: its top, the sides towards it."""
    for polygon in polygons_of(base):
        top = shapely.force_3d(polygon, high_mm)
        yield _level(top, owner, ink, view)
        if high_mm > low_mm:
            rings = [polygon.exterior, *polygon.interiors]
            for ring, outside in zip(rings, (True, *(False for _ in rings[1:])), strict=True):
                yield from _sides(
                    shapely.get_coordinates(ring), outside, low_mm, high_mm, owner, ink, view
                )


def level(polygon: BaseGeometry, height_mm: float, owner: str, ink: str, view: View) -> Face:
    """Return a level face, such as the floor."""
    return _level(shapely.force_3d(polygon, height_mm), owner, ink, view)


def upright(
    shape: BaseGeometry,
    at: tuple[float, float],
    depth_mm: float,
    owner: str,
    ink: str,
    view: View,
    edged: bool = True,
) -> Face:
    """Return a cut-out that stands upright and faces the eye, such as a person.

    `shape` is in its own plane: x from left to right as seen, y the height in mm. `at` is the place
    in the room over which its x is nought; it stands `depth_mm` nearer to the eye than that.
    """
    cos, sin = view.across

    def stand(xy: Floats) -> Floats:
        room = np.column_stack([at[0] + cos * xy[:, 0], at[1] + sin * xy[:, 0], xy[:, 1]])
        return view.flat(room)

    flat = shapely.transform(shape, stand)
    # u grows along it, v falls with the height: the plane is level along u
    origin = np.array([[at[0], at[1], 0.0], [at[0], at[1], 1.0]])
    depth, v = view.depth(origin), view.flat(origin)[:, 1]
    slope = (depth[1] - depth[0]) / (v[1] - v[0])
    plane = (float(depth[0] - slope * v[0] + depth_mm), 0.0, float(slope))
    edges = strokes_of(flat) if edged else np.empty((0, 2, 2))
    return Face(flat, plane, edges, owner, ink)


def polygons_of(shape: BaseGeometry) -> Iterator[Polygon]:
    """Yield the polygons of an area; what has none is left out."""
    for part in shapely.get_parts(shape):
        if isinstance(part, Polygon) and not part.is_empty:
            yield part


def strokes_of(flat: BaseGeometry) -> Floats:
    """Return the outlines of an area as strokes, (n, 2, 2)."""
    rows = []
    for polygon in polygons_of(flat):
        for ring in (polygon.exterior, *polygon.interiors):
            rows += [[a, b] for a, b in pairwise(ring.coords)]
    return np.array(rows, dtype=np.float64).reshape(-1, 2, 2)


def _level(top: BaseGeometry, owner: str, ink: str, view: View) -> Face:
    height = float(shapely.get_coordinates(top, include_z=True)[0, 2])

    def lay(xy: Floats) -> Floats:
        return view.flat(np.column_stack([xy[:, 0], xy[:, 1], np.full(len(xy), height)]))

    flat = shapely.transform(shapely.force_2d(top), lay)
    xy = shapely.get_coordinates(top)
    three = np.column_stack([xy, np.full(len(xy), height)])
    return Face(flat, plane_of(three, view), strokes_of(flat), owner, ink)


def _sides(
    ring: Floats, outside: bool, low: float, high: float, owner: str, ink: str, view: View
) -> Iterator[Face]:
    """Yield the sides towards the eye; a stroke between two of them where they make a corner."""
    if shapely.is_ccw(shapely.linearrings(ring)) != outside:
        ring = ring[::-1]
    along = np.diff(ring, axis=0)
    long = np.hypot(along[:, 0], along[:, 1])
    keep = long > 0
    starts, along, long = ring[:-1][keep], along[keep], long[keep]
    # anticlockwise in numbers: what is outside lies to the right of the way
    normals = np.column_stack([along[:, 1], -along[:, 0]]) / long[:, None]
    eye = view.eye()
    seen = normals @ eye[:2] > 1e-9
    count = len(starts)
    for i in np.flatnonzero(seen):
        a, b = starts[i], starts[i] + along[i]
        corners = np.array([[*a, low], [*b, low], [*b, high], [*a, high]])
        flat = view.flat(corners)
        edges = [[flat[0], flat[1]], [flat[3], flat[2]]]
        before, after = (i - 1) % count, (i + 1) % count
        if not seen[before] or _corner(normals[before], normals[i]):
            edges.append([flat[0], flat[3]])
        if not seen[after] or _corner(normals[i], normals[after]):
            edges.append([flat[1], flat[2]])
        shade = "right" if normals[i] @ np.array(view.across) > 0 else "left"
        yield Face(Polygon(flat), plane_of(corners, view), np.array(edges), owner, f"{ink}-{shade}")


def _corner(one: Floats, other: Floats) -> bool:
    return bool(one @ other < np.cos(np.radians(SMOOTH_DEG)))


def plane_of(corners: Floats, view: View) -> tuple[float, float, float]:
    """Return how near the plane through some points is, over the paper: a + b u + c v."""
    flat, depth = view.flat(corners), view.depth(corners)
    table = np.column_stack([np.ones(len(flat)), flat])
    # three points that span the plane are picked by least squares over all of them
    a, b, c = np.linalg.lstsq(table, depth, rcond=None)[0]
    return float(a), float(b), float(c)
