"""Flat faces in the room: what a picture is made of, each with the edges that are drawn of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from operator import itemgetter

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.drawing.picture_clip import SPECK_MM2
from app.drawing.picture_view import View

Floats = NDArray[np.float64]

SMOOTH_DEG = 30.0
"""Two sides that meet at less than this are one round side: circles have chords at 15 degrees."""


@dataclass(frozen=True, slots=True, eq=False)
class Face:
    """One flat face as the eye sees it. All lengths in mm.

    `flat` is its outline on the paper. How near a point (u, v) of it is to the eye is
    `plane` = (a, b, c): a + b u + c v. `edges` are strokes (n, 2, 2) on the paper that are drawn
    where they can be seen. `owner` names the thing it belongs to, `ink` how it looks. Faces of one
    `body` overlap nowhere on the paper: they are the sides of one convex solid.
    """

    flat: BaseGeometry
    plane: tuple[float, float, float]
    edges: Floats
    owner: str
    ink: str
    body: object = None


def prism(
    base: BaseGeometry, low_mm: float, high_mm: float, owner: str, ink: str, view: View
) -> Iterator[Face]:
    """Yield the faces of an upright prism that the eye can see: its top, the sides towards it."""
    for polygon in polygons_of(base):
        hull = polygon.convex_hull
        body = object() if hull.area - polygon.area < SPECK_MM2 else None
        yield _level(polygon, high_mm, owner, ink, view, body)
        if high_mm > low_mm:
            rings = [polygon.exterior, *polygon.interiors]
            for ring, outside in zip(rings, (True, *(False for _ in rings[1:])), strict=True):
                yield from _sides(
                    shapely.get_coordinates(ring),
                    outside, (low_mm, high_mm), owner, ink, view, body,
                )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Solids:
    """The upright prisms of one thing: outlines from above, from what height up to which, inks."""

    owner: str
    bases: Sequence[BaseGeometry]
    heights: Sequence[tuple[float, float]]
    inks: Sequence[str]


def prisms(
    bases: Sequence[BaseGeometry],
    heights: Sequence[tuple[float, float]],
    owner: str,
    inks: Sequence[str],
    view: View,
) -> Iterator[Face]:
    """Yield the faces of many prisms of one thing, as `prism` does."""
    (made,) = prisms_of([Solids(owner, bases, heights, inks)], view)
    yield from made


def prisms_of(things: Sequence[Solids], view: View) -> list[list[Face]]:
    """Return the faces of the prisms of each thing, as `prism` yields them.

    Those over rings of as many corners are made at one go over all things; what has holes or comes
    in pieces comes last of its thing.
    """
    faces: list[list[Face]] = [[] for _ in things]
    bases = [base for thing in things for base in thing.bases]
    if not bases:
        return faces
    of = np.repeat(np.arange(len(things)), [len(thing.bases) for thing in things]).tolist()
    inks = [ink for thing in things for ink in thing.inks]
    flat = np.array([pair for thing in things for pair in thing.heights], dtype=np.float64)
    high = flat[:, 1] > flat[:, 0]
    singly = np.ones(len(bases), dtype=bool)
    for some, rings in _rings_alike(np.array([*bases], dtype=object), high):
        singly[some] = False
        numbers = some.tolist()
        owners = [things[of[i]].owner for i in numbers]
        made = _upright(rings, flat[some], owners, [inks[i] for i in numbers], view)
        # the sides of a solid follow its top, so that most are drawn at one go
        for box, face in sorted(made, key=itemgetter(0)):
            faces[of[numbers[box]]].append(face)
    for i in np.flatnonzero(singly).tolist():
        low, top = flat[i].tolist()
        faces[of[i]] += prism(bases[i], low, top, things[of[i]].owner, inks[i], view)
    return faces


def _rings_alike(
    bases: NDArray[np.object_], wanted: NDArray[np.bool_]
) -> Iterator[tuple[NDArray[np.intp], Floats]]:
    """Yield the outlines of those that are one ring, by their number of corners.

    Each time their numbers (n,) and their corners (n, m, 2), anticlockwise in numbers.
    """
    one_ring = wanted & (shapely.get_type_id(bases) == shapely.GeometryType.POLYGON)
    one_ring[one_ring] = shapely.get_num_interior_rings(bases[one_ring]) == 0
    counts = shapely.get_num_coordinates(bases)
    for count in sorted(set(counts[one_ring].tolist())):
        some = np.flatnonzero(one_ring & (counts == count))
        rings = shapely.get_coordinates(bases[some]).reshape(len(some), count, 2)[:, :-1]
        along = np.roll(rings, -1, axis=1) - rings
        # a corner that comes twice makes a side without a direction
        sound = (along != 0).any(axis=2).all(axis=1)
        some, rings, along = some[sound], rings[sound], along[sound]
        x, y = rings[..., 0] - rings[:, :1, 0], rings[..., 1] - rings[:, :1, 1]
        clockwise = (x * along[..., 1] - y * along[..., 0]).sum(axis=1) < 0
        rings[clockwise] = rings[clockwise, ::-1]
        yield some, rings


def _upright(
    bases: Floats, heights: Floats, owners: Sequence[str], inks: Sequence[str], view: View
) -> Iterator[tuple[int, Face]]:
    """Yield the tops, then the sides towards the eye, of prisms over rings of as many corners.

    Each comes with the number of its prism.
    """
    along = np.roll(bases, -1, axis=1) - bases
    ahead = np.roll(along, -1, axis=1)
    turns = along[..., 0] * ahead[..., 1] - along[..., 1] * ahead[..., 0]
    # what is no convex solid hides parts of itself: its sides are compared with one another
    bodies = [object() if least >= -SPECK_MM2 else None for least in turns.min(axis=1).tolist()]
    normals = np.stack([along[..., 1], -along[..., 0]], axis=2)
    normals /= np.hypot(along[..., 0], along[..., 1])[..., None]
    seen = normals @ view.eye()[:2] > 1e-9
    turned = (normals * np.roll(normals, -1, axis=1)).sum(axis=2)
    meets = turned < np.cos(np.radians(SMOOTH_DEG))
    # strokes: the foot and the head of a side, then its left and its right end
    drawn = np.ones((*seen.shape, 4), dtype=bool)
    drawn[..., 2] = ~np.roll(seen, 1, axis=1) | np.roll(meets, 1, axis=1)
    drawn[..., 3] = ~np.roll(seen, -1, axis=1) | meets
    low, high = (np.broadcast_to(heights[:, k, None, None], (*seen.shape, 1)) for k in (0, 1))
    ends = np.roll(bases, -1, axis=1)
    corners = np.stack(
        [np.concatenate(each, axis=2) for each in
         ((bases, low), (ends, low), (ends, high), (bases, high))], axis=2,
    )  # fmt: skip
    tops = view.flat(corners[:, :, 3])
    level_planes = view.plane(
        np.broadcast_to([0.0, 0.0, 1.0], (len(inks), 3)), corners[:, 0, 3]
    ).tolist()
    rims = np.stack([tops, np.roll(tops, -1, axis=1)], axis=2)
    for i, shape in enumerate(np.array(shapely.polygons(tops), dtype=object)):
        a, b, c = level_planes[i]
        yield i, Face(shape, (a, b, c), rims[i], owners[i], inks[i], bodies[i])
    of, side = np.nonzero(seen)
    flats = view.flat(corners[of, side])
    upright_normals = np.column_stack([normals[of, side], np.zeros(len(of))])
    planes = view.plane(upright_normals, corners[of, side, 0]).tolist()
    shades = np.where(normals[of, side] @ np.array(view.across) > 0, "right", "left").tolist()
    strokes = flats[:, [[0, 1], [3, 2], [0, 3], [1, 2]]]
    some = drawn[of, side]
    sides = np.array(shapely.polygons(flats), dtype=object)
    for k, (i, shape) in enumerate(zip(of.tolist(), sides, strict=True)):
        a, b, c = planes[k]
        ink = f"{inks[i]}-{shades[k]}"
        yield i, Face(shape, (a, b, c), strokes[k][some[k]], owners[i], ink, bodies[i])


def level(polygon: BaseGeometry, height_mm: float, owner: str, ink: str, view: View) -> Face:
    """Return a level face, such as the floor."""
    return _level(polygon, height_mm, owner, ink, view)


def upright(
    shape: BaseGeometry,
    at: tuple[float, float],
    depth_mm: float,
    owner: str,
    ink: str,
    view: View,
    along: tuple[float, float] | None = None,
) -> Face:
    """Return a cut-out that stands upright, such as a person: it faces the eye, or runs `along`.

    `shape` is in its own plane: x from left to right as seen, y the height in mm. `at` is the place
    in the room over which its x is nought; it stands `depth_mm` nearer to the eye than that.
    """
    cos, sin = view.across if along is None else along

    def stand(xy: Floats) -> Floats:
        room = np.column_stack([at[0] + cos * xy[:, 0], at[1] + sin * xy[:, 0], xy[:, 1]])
        return view.flat(room)

    flat = shapely.transform(shape, stand)
    a, b, c = view.plane(np.array([[-sin, cos, 0.0]]), np.array([[*at, 0.0]]))[0].tolist()
    return Face(flat, (a + depth_mm, b, c), strokes_of(flat), owner, ink)


def polygons_of(shape: BaseGeometry) -> Iterator[Polygon]:
    """Yield the polygons of an area; what has none is left out."""
    parts = (shape,) if isinstance(shape, Polygon) else shapely.get_parts(shape)
    for part in parts:
        if isinstance(part, Polygon) and not part.is_empty:
            yield part


def strokes_of(flat: BaseGeometry) -> Floats:
    """Return the outlines of an area as strokes, (n, 2, 2)."""
    rings = shapely.get_rings(np.array(list(polygons_of(flat)), dtype=object))
    xy, of = shapely.get_coordinates(rings, return_index=True)
    same = of[1:] == of[:-1]
    return np.stack([xy[:-1][same], xy[1:][same]], axis=1)


def _level(
    polygon: BaseGeometry, height: float, owner: str, ink: str, view: View, body: object = None
) -> Face:
    def lay(xy: Floats) -> Floats:
        return view.flat(np.column_stack([xy, np.full(len(xy), height)]))

    if isinstance(polygon, Polygon) and not polygon.interiors:
        # most of what there is, and made much faster than what has holes
        xy = lay(shapely.get_coordinates(polygon))
        flat: BaseGeometry = Polygon(xy)
        edges = np.stack([xy[:-1], xy[1:]], axis=1)
    else:
        flat = shapely.transform(polygon, lay)
        edges = strokes_of(flat)
    a, b, c = view.plane(np.array([[0.0, 0.0, 1.0]]), np.array([[0.0, 0.0, height]]))[0].tolist()
    return Face(flat, (a, b, c), edges, owner, ink, body)


def _sides(
    ring: Floats,
    outside: bool,
    heights: tuple[float, float],
    owner: str,
    ink: str,
    view: View,
    body: object,
) -> Iterator[Face]:
    """Yield the sides towards the eye; a stroke between two of them where they make a corner."""
    (low, high), (x, y) = heights, (ring - ring[0]).T
    anticlockwise = float((x[:-1] * y[1:] - x[1:] * y[:-1]).sum()) > 0
    if anticlockwise != outside:
        ring = ring[::-1]
    along = np.diff(ring, axis=0)
    long = np.hypot(along[:, 0], along[:, 1])
    keep = long > 0
    starts, along, long = ring[:-1][keep], along[keep], long[keep]
    # anticlockwise in numbers: what is outside lies to the right of the way
    normals = np.column_stack([along[:, 1], -along[:, 0]]) / long[:, None]
    seen = normals @ view.eye()[:2] > 1e-9
    some = np.flatnonzero(seen)
    if not len(some):
        return
    ends = starts + along
    corners = np.empty((len(some), 4, 3))
    for k, (at, z) in enumerate(((starts, low), (ends, low), (ends, high), (starts, high))):
        corners[:, k, :2], corners[:, k, 2] = at[some], z
    flats = view.flat(corners)
    planes = view.plane(
        np.column_stack([normals[some], np.zeros(len(some))]), corners[:, 0]
    ).tolist()
    shapes = np.array(shapely.polygons(flats), dtype=object)
    meets = (normals * np.roll(normals, -1, axis=0)).sum(axis=1) < np.cos(np.radians(SMOOTH_DEG))
    # strokes: the foot and the head of a side, then its left and its right end
    drawn = np.ones((len(some), 4), dtype=bool)
    drawn[:, 2] = (~np.roll(seen, 1) | np.roll(meets, 1))[some]
    drawn[:, 3] = (~np.roll(seen, -1) | meets)[some]
    strokes = flats[:, [[0, 1], [3, 2], [0, 3], [1, 2]]]
    right = normals[some] @ np.array(view.across) > 0
    for k, shade in enumerate(np.where(right, "right", "left").tolist()):
        a, b, c = planes[k]
        yield Face(shapes[k], (a, b, c), strokes[k][drawn[k]], owner, f"{ink}-{shade}", body)


def plane_of(corners: Floats, view: View) -> tuple[float, float, float]:
    """Return how near the plane through some corners (n, 3) of a ring is: a + b u + c v."""
    # the area of a ring on each of the three planes of the axes (Newell's normal)
    normal = np.cross(corners, np.roll(corners, -1, axis=0)).sum(axis=0)
    a, b, c = view.plane(normal[None], corners[:1])[0].tolist()
    return a, b, c


def between_rings(
    one: Floats, other: Floats, owner: str, ink: str, view: View, inner: Sequence[float] = ()
) -> Iterator[Face]:
    """Yield the faces of a solid between two like, parallel rings that the eye can see.

    On the ring towards the eye rings are drawn that are smaller by the shares of `inner`.
    """
    centre = (one.mean(axis=0) + other.mean(axis=0)) / 2
    eye = view.eye()
    for ring in (one, other):
        if (ring.mean(axis=0) - centre) @ eye > 0:
            flat = shapely.Polygon(view.flat(ring))
            outline = strokes_of(flat)
            middle = view.flat(ring.mean(axis=0))
            smaller = [middle + (outline - middle) * share for share in inner]
            edges = np.concatenate([outline, *smaller])
            yield Face(flat, plane_of(ring, view), edges, owner, f"{ink}-left")
    count = len(one)
    out = [one[i] + one[(i + 1) % count] - 2 * one.mean(axis=0) for i in range(count)]
    seen = [float(normal @ eye) > 0 for normal in out]
    for i in range(count):
        j = (i + 1) % count
        if seen[i]:
            quad = np.array([one[i], one[j], other[j], other[i]])
            at = view.flat(quad)
            sides = [[at[0], at[1]], [at[3], at[2]]]
            if not seen[(i - 1) % count]:
                sides.append([at[0], at[3]])
            if not seen[j]:
                sides.append([at[1], at[2]])
            plane = plane_of(quad, view)
            yield Face(shapely.Polygon(at), plane, np.array(sides), owner, f"{ink}-right")
