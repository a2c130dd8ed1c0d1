"""One piece of a floor as one lays it: what it is cut from, by which tape distances, where it goes.

Everything is told as it lies with one's face to the start wall: left, right, top (towards that
wall) and bottom. A stock piece that is turned for a cut is told as it lies then.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

import shapely
import shapely.affinity
from shapely import Polygon

from app.scene.build import Scene
from app.scene.tolerance import TOLERANCE_MM
from app.takeoff.cutting_2d import Bounds
from app.takeoff.floor_begun import blank_of, cuts_of, sizes_of
from app.takeoff.floor_going import frame_now
from app.takeoff.floor_layout import Laid, Mat
from app.takeoff.floor_region import Frame, frame_of
from app.takeoff.floor_shapes import HAIR_MM, slits_of

Side = Literal["left", "right", "top", "bottom"]
Spot = tuple[float, float]
"""A point of the blank: mm from its left edge, mm from its top edge."""
_SIDES: tuple[Side, ...] = ("left", "top", "right", "bottom")
"""In the order of bounds."""
_OPPOSITE: dict[Side, Side] = {"left": "right", "right": "left", "top": "bottom", "bottom": "top"}


@dataclass(frozen=True, slots=True)
class Straight:
    """A cut from edge to edge of what is left of the blank, by two tape distances from one edge.

    `measured` is the edge that the tape is hooked to, `first_mm` the distance at the top or left
    end of the cut, `second_mm` at the other one; `factory` tells that the edge is as it came.
    `keep` is the side of the cut that the piece lies on. `ends` are the ends of the cut, `box` is
    what it is cut from, both in the blank.
    """

    measured: Side
    first_mm: float
    second_mm: float
    factory: bool
    keep: Side
    ends: tuple[Spot, Spot]
    box: Bounds


@dataclass(frozen=True, slots=True)
class Notch:
    """A cut that turns: its corners in order, each by its distances from the piece's own edges.

    A `hole` is cut out whole, its `slit` opens the piece from its edge to it.
    """

    spots: tuple[Spot, ...]
    hole: bool = False
    slit: tuple[Spot, Spot] | None = None


@dataclass(frozen=True, slots=True, eq=False)
class LayStep:
    """One piece in its turn. Sizes and places in mm, as it lies.

    `blank_mm` is the size of what it is cut from, `offcut_of` the number of the piece that was cut
    from the same stock piece before it, None for a new stock piece. `piece` is its outline in the
    blank, `left` and `deep` how far it lies from the left end of the start wall and from that wall.
    """

    mat: Mat
    blank_mm: tuple[float, float]
    offcut_of: int | None
    straight: tuple[Straight, ...]
    notches: tuple[Notch, ...]
    piece: Polygon
    left_mm: float
    deep_mm: float


def lay_frame(scene: Scene, laid: Laid) -> tuple[Frame, float]:
    """Return the frame in which a floor is laid and the place of the start wall's left end."""
    begun = laid.laying.begun
    wall = next(one for one in scene.room.walls if one.id == laid.start.wall)
    frame = frame_of(wall) if begun is None or not laid.laying.laid else frame_now(scene, begun)[0]
    left = frame.into(shapely.Point(*frame_of(wall).origin))
    return frame, float(shapely.get_x(left))


def lay_step(scene: Scene, laid: Laid, mat: Mat) -> LayStep:
    """Return how one piece is cut and where it lies. Raises ValueError where it cannot be cut."""
    frame, left_u = lay_frame(scene, laid)
    part = frame.into(mat.polygon)
    u0, v0, _, _ = part.bounds
    blank = blank_of(laid, mat)
    if mat.down and laid.laying.laid:
        laid_piece = next(p for p in laid.laying.laid if p.id == str(mat.number))
        blank = laid_piece.blank or blank
    turn = _Turn(blank, mat.rect.quarters)
    box = turn.box(mat.rect.bounds)
    whole = turn.box((0.0, 0.0, *sizes_of(laid)[mat.sheet]))
    straight = [
        _straight(turn.box(cut.blank), turn.box(cut.kept), whole)
        for cut in (() if mat.down else cuts_of(laid, mat))
    ]
    piece = shapely.affinity.translate(part, box[0] - u0, box[1] - v0)
    notches: list[Notch] = []
    for spots in _chains(list(piece.exterior.coords), box):
        taper = _taper(spots, box, whole)
        if taper is None:
            notches.append(Notch(tuple((x - box[0], y - box[1]) for x, y in spots)))
        else:
            straight = _with_taper(straight, taper)
    slits = slits_of(piece)
    for ring, slit in zip(piece.interiors, slits, strict=True):
        corners = tuple((x - box[0], y - box[1]) for x, y in ring.coords)
        (ax, ay), (bx, by) = slit.coords
        ends = ((ax - box[0], ay - box[1]), (bx - box[0], by - box[1]))
        notches.append(Notch(corners, True, ends))
    before = [one.number for one in laid.mats if one.sheet == mat.sheet and one.down]
    before = [number for number in before if number != mat.number]
    return LayStep(
        mat, turn.size, max(before, default=None), tuple(straight), tuple(notches), piece,
        u0 - left_u, v0,
    )  # fmt: skip


def shape_of(mat: Mat, size_mm: tuple[float, float]) -> tuple[list[Straight], list[Notch]]:
    """Return what is to be cut of a piece beside its rectangle, as it lies in its stock piece.

    Straight cuts askew are measured from an edge of the stock piece, which is as it came; corners
    of what is cut out from the left and the top of the piece.
    """
    whole: Bounds = (0.0, 0.0, *size_mm)
    box = mat.rect.bounds
    tapers: list[Straight] = []
    notches: list[Notch] = []
    for spots in _chains(list(mat.outline.exterior.coords), box):
        taper = _taper(spots, box, whole)
        if taper is None:
            notches.append(Notch(tuple((x - box[0], y - box[1]) for x, y in spots)))
            continue
        at = whole[_SIDES.index(taper.measured)]
        axis = 0 if taper.measured in ("left", "right") else 1
        first, second = (abs(spot[axis] - at) for spot in taper.ends)
        tapers.append(replace(taper, first_mm=first, second_mm=second, factory=True))
    for ring in mat.outline.interiors:
        notches.append(Notch(tuple((x - box[0], y - box[1]) for x, y in ring.coords), True))
    return tapers, notches


class _Turn:
    """A blank as it lies when the piece in it lies as it is laid: turned back by its quarters."""

    def __init__(self, blank: Bounds, quarters: int) -> None:
        self._blank, self._quarters = blank, quarters
        x0, y0, x1, y1 = blank
        wide, high = x1 - x0, y1 - y0
        self.size = (high, wide) if quarters % 2 else (wide, high)

    def box(self, box: Bounds) -> Bounds:
        """Return a rectangle of the stock piece in the blank."""
        x0, y0 = self._blank[:2]
        left, top, right, bottom = box
        a, b = self._point(left - x0, top - y0), self._point(right - x0, bottom - y0)
        return (min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))

    def _point(self, x: float, y: float) -> Spot:
        x0, y0, x1, y1 = self._blank
        wide, high = x1 - x0, y1 - y0
        for _ in range(self._quarters):
            x, y = y, wide - x
            wide, high = high, wide
        return x, y


def _straight(now: Bounds, part: Bounds, whole: Bounds) -> Straight:
    fine = TOLERANCE_MM / 2
    cut = max(range(len(_SIDES)), key=lambda i: abs(now[i] - part[i]))
    keep = _OPPOSITE[_SIDES[cut]]
    at = part[cut]
    low, high = cut % 2, cut % 2 + 2
    own, far = (low, high) if cut == high else (high, low)
    # From the edge of the part that is kept if it came so, else from the other one if that did.
    measured = own
    if abs(now[own] - whole[own]) > fine and abs(now[far] - whole[far]) < fine:
        measured = far
    distance = abs(at - now[measured])
    x0, y0, x1, y1 = now
    ends = ((at, y0), (at, y1)) if low == 0 else ((x0, at), (x1, at))
    factory = abs(now[measured] - whole[measured]) < fine
    return Straight(_SIDES[measured], distance, distance, factory, keep, ends, now)


def _chains(coords: Sequence[tuple[float, ...]], box: Bounds) -> list[list[Spot]]:
    """Return the runs of an outline that do not lie on its rectangle."""
    fine = TOLERANCE_MM / 2

    def on_side(a: Spot, b: Spot) -> bool:
        return any(
            abs(a[i % 2] - box[i]) < fine and abs(b[i % 2] - box[i]) < fine for i in range(len(box))
        )

    points = [(float(x), float(y)) for x, y, *_ in coords][:-1]
    steps = list(pairwise([*points, points[0]]))
    # Begin where the outline lies on the rectangle, so that no run is parted.
    first = next((i for i, step in enumerate(steps) if on_side(*step)), 0)
    runs: list[list[Spot]] = []
    for a, b in steps[first:] + steps[:first]:
        if on_side(a, b):
            continue
        if runs and math.dist(runs[-1][-1], a) < fine:
            runs[-1].append(b)
        else:
            runs.append([a, b])
    return [_plain(run) for run in runs]


def _plain(run: list[Spot]) -> list[Spot]:
    """Return a run without the points that lie on a straight line between their neighbours."""
    line = shapely.LineString(run).simplify(HAIR_MM)
    return [(float(x), float(y)) for x, y in line.coords]


def _taper(spots: Sequence[Spot], box: Bounds, whole: Bounds) -> Straight | None:
    """Return a run as one straight cut from side to side of its rectangle; None where it is not."""
    if len(spots) != 2:
        return None
    fine = TOLERANCE_MM / 2
    for axis in (0, 1):
        low, high = axis, axis + 2
        over = 1 - axis
        ends = sorted(spots, key=lambda spot: spot[over])
        if abs(ends[0][over] - box[over]) > fine or abs(ends[1][over] - box[over + 2]) > fine:
            continue
        first, second = ends[0][axis], ends[1][axis]
        near: Side = "left" if axis == 0 else "top"
        # On the side that the cut touches at one end only the piece was cut off.
        beyond_high = max(first, second) > box[high] - fine
        keep = near if beyond_high else _OPPOSITE[near]
        own = low if beyond_high else high
        measured = keep
        return Straight(
            measured, abs(first - box[own]), abs(second - box[own]),
            abs(box[own] - whole[own]) < fine, keep, (ends[0], ends[1]), box,
        )  # fmt: skip
    return None


def _with_taper(cuts: list[Straight], taper: Straight) -> list[Straight]:
    """Return the cuts with a taper among them; it takes the place of a last cut along it."""
    if cuts and cuts[-1].keep == taper.keep and _across(cuts[-1]) == _across(taper):
        last = cuts[-1]
        if last.measured == last.keep:
            return [*cuts[:-1], replace(taper, factory=last.factory, box=last.box)]
        at = last.box[_SIDES.index(last.measured)]
        axis = 0 if taper.measured in ("left", "right") else 1
        far = [abs(spot[axis] - at) for spot in taper.ends]
        return [
            *cuts[:-1],
            replace(
                taper, measured=last.measured, first_mm=far[0], second_mm=far[1],
                factory=last.factory, box=last.box,
            ),
        ]  # fmt: skip
    return [*cuts, taper]


def _across(cut: Straight) -> bool:
    return cut.measured in ("left", "right")
