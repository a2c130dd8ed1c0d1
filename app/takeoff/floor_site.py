"""What one start has to be laid on: the floor in its frame, sizes of a piece, doorways, columns."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.errors import Fault, PlanError
from app.model.base import json_of
from app.model.flooring import FloorLaying
from app.published.register import published
from app.scene.build import Scene
from app.scene.tolerance import TOLERANCE_MM
from app.takeoff.calling import floor_called
from app.takeoff.effort import PIECES_LAID_AT_MOST, STEPS_PER_MM
from app.takeoff.floor_lines import Grid
from app.takeoff.floor_region import (
    Frame,
    Start,
    door_stop_of,
    floor_to_cover,
    frame_of,
    gap_of,
)

Bounds = tuple[float, float, float, float]

DECIDE = (
    *("flooring.gap-mm", "flooring.gap-least-mm", "flooring.gap-most-mm"),
    *("flooring.least-strip-mm", "flooring.left-bare-mm"),
    *("flooring.door-stop-mm", "flooring.ramp-run-least", "flooring.roll-step-mm"),
    "flooring.saw-kerf-mm",
)
"""Numbers of the register on which a floor hangs."""

_OF_NO_MOMENT = frozenset(
    ("id", "label", "material", "thickness_mm", "density_kg_m3", "mass_kg", "lasts_years")
) | {"price_minor", "pack"}
"""Fields of a laying on which no joint hangs: what it is called, made of and sold for."""


@dataclass(frozen=True, slots=True, eq=False)
class Site:
    """A floor to cover in the frame of a start; `covered` is the same on the plan.

    `middles` are the middles of columns, along the wall and into the room: joints led there need
    no slit.
    """

    frame: Frame
    covered: BaseGeometry
    region: BaseGeometry
    grid: Grid
    middles: tuple[tuple[float, ...], tuple[float, ...]]


def site_of(scene: Scene, laying: FloorLaying, start: Start) -> Site:
    """Return what a start has to be laid on. Raises PlanError for what cannot be laid."""
    wall = next(wall for wall in scene.room.walls if wall.id == start.wall)
    return site_in(scene, laying, start, frame_of(wall))


def site_in(scene: Scene, laying: FloorLaying, start: Start, frame: Frame) -> Site:
    """Return the same in a frame that is given. Raises PlanError for what cannot be laid."""
    check(laying)
    less = min(0.0, *start.wider_mm)
    covered = floor_to_cover(scene, _with_gap(laying, gap_of(laying) + less) if less else laying)
    # On a fine grid: a wall turned into the frame is straight again, and joints meet it exactly.
    region = shapely.set_precision(frame.into(covered), 1 / STEPS_PER_MM)
    if any(start.wider_mm):
        along, into = (more - less for more in start.wider_mm)
        region = shapely.set_precision(_drawn_in(region, (along, into)), 1 / STEPS_PER_MM)
        covered = frame.back(region)
    # told from the same corner round, whichever wall of the room was written first
    region = shapely.normalize(region)
    holes = [
        Polygon(ring).centroid
        for part in shapely.get_parts(region)
        if part.geom_type == "Polygon"
        for ring in part.interiors
    ]
    middles = tuple(sorted(p.x for p in holes)), tuple(sorted(p.y for p in holes))
    grid = _grid(laying, start, region, _doorways(scene, laying, frame))
    return Site(frame, covered, region, grid, middles)


def _drawn_in(region: BaseGeometry, by: tuple[float, float]) -> BaseGeometry:
    """Return a region drawn in by one length along the wall and by another into the room."""
    # In units of what it is drawn in by the edges both ways move by one.
    along, into = (max(mm, _HARDLY_MM) for mm in by)
    scaled = shapely.transform(region, lambda xy: xy / (along, into))
    inside = scaled.buffer(-1, join_style="mitre")
    drawn: BaseGeometry = shapely.transform(inside, lambda xy: xy * (along, into))
    return drawn


_HARDLY_MM = 1e-5
"""What an edge moves by that stays where it is: a thousandth of the grid it is put back onto."""


def wider_gaps(laying: FloorLaying, site: Site) -> tuple[tuple[float, float], ...]:
    """Return by how much wider than the least the gaps may be for whole or half pieces to fit, as
    `Start.wider_mm` has it; nothing more among them.

    Loose mats may lie between the most of the register and the gap that was asked for, or the
    least of the register where nobody asked; anything else by what is no gap to a tape.
    """
    if laying.zone or laying.flush:
        return ((0.0, 0.0),)
    up, down, gap = TOLERANCE_MM, 0.0, gap_of(laying)
    if laying.kind == "mat":
        up = max(up, published("flooring.gap-most-mm") - gap)
        if laying.gap_mm is None:
            down = max(down, gap - published("flooring.gap-least-mm"))
    u0, v0, u1, v1 = site.region.bounds
    ways: list[tuple[float, ...]] = []
    for size, step in ((u1 - u0, site.grid.length), (v1 - v0, site.grid.depth)):
        # to the grid of the region, so that what is left is whole
        half = step / 2
        over = round(size % half, 2)
        more = over / 2 if over / 2 <= up else (over - half) / 2
        if abs(more) < _HARDLY_MM or not -down <= more <= up or size < half:
            ways.append((0.0,))
        else:
            # less than a tape can tell is no other gap: the piece is as it comes, the rest is gap
            ways.append((more,) if 0 < more <= TOLERANCE_MM else (0.0, more))
    return tuple((along, into) for along in ways[0] for into in ways[1])


def _with_gap(laying: FloorLaying, gap_mm: float) -> FloorLaying:
    return FloorLaying.model_validate({**json_of(laying), "gap_mm": gap_mm})


def ground_of(scene: Scene, laying: FloorLaying) -> tuple[object, ...]:
    """Return all that a floor laid from a given start hangs on, to keep it by.

    A new price, a socket, or a rack that is moved along changes nothing in it. Raises PlanError
    naming the floor where there is nothing to cover.
    """
    return (
        tuple(value for name, value in laying if name not in _OF_NO_MOMENT),
        lost_mm(laying),
        floor_to_cover(scene, laying).wkb,
        # the thickness bears on it where nobody typed how far it ends off a garage door
        door_stop_of(laying) if any(s.opening.is_garage_door for s in scene.room.openings) else 0,
        tuple((wall.id, wall.start, wall.end, wall.inward) for wall in scene.room.walls),
        tuple(
            (shape.opening.kind, shape.opening.wall, shape.left, shape.right)
            for shape in scene.room.openings
        ),
        *(published(name) for name in DECIDE),
    )


KERF_MOST_MM = 10.0
"""A saw blade takes 2 to 4 mm, a knife nothing: what is more is a slip; common practice."""


def check(laying: FloorLaying) -> None:
    """Raise PlanError naming the floor where its sizes make no sense."""
    where = floor_called(laying)
    if not (laying.length_mm >= 1 and laying.width_mm >= 1):
        sentence = f"a {laying.kind} without length or width cannot be laid: say its size"
        raise PlanError(Fault(where, sentence))
    if laying.kerf_mm < 0:
        raise PlanError(Fault(where, "the width of the cut is less than nothing: give 0 or more"))
    if laying.kerf_mm > KERF_MOST_MM:
        sentence = 'the cut is wider than any knife or saw makes it: give 10 mm (3/8") or less'
        raise PlanError(Fault(where, sentence))
    if laying.thickness_mm <= 0:
        raise PlanError(Fault(where, f"a {laying.kind} without thickness: say how thick it is"))
    for weight, what in ((laying.mass_kg, "mass"), (laying.density_kg_m3, "density")):
        if weight is not None and weight < 0:
            sentence = f"the {what} of a {laying.kind} is less than nothing: give what it weighs"
            raise PlanError(Fault(where, sentence))
    if laying.least_strip_mm is not None and laying.least_strip_mm < 0:
        raise PlanError(Fault(where, "the least strip must be 0 or more"))
    for shift, what in ((laying.first_mm, "piece"), (laying.first_row_mm, "row")):
        if shift is not None and shift < 0:
            raise PlanError(Fault(where, f"the first {what} is less than nothing: give its size"))
    if laying.kind == "roll" and laying.width_mm < least_strip(laying):
        raise PlanError(
            Fault(
                where,
                "a roll narrower than the narrowest strip: say a wider roll or a narrower strip",
            )
        )


def lost_mm(laying: FloorLaying) -> float:
    """Return what a cut turns to dust in mm: as typed, else what a saw takes; a knife nothing."""
    return laying.kerf_mm or (published("flooring.saw-kerf-mm") if is_sawn(laying) else 0.0)


def is_sawn(laying: FloorLaying) -> bool:
    """Return whether a covering is cut with a saw; all but boards of timber with a knife."""
    return laying.material == "timber"


def least_strip(laying: FloorLaying) -> float:
    """Return the narrowest strip in mm: typed, else the register's."""
    typed = laying.least_strip_mm
    return published("flooring.least-strip-mm") if typed is None else typed


def piece_lies(laying: FloorLaying, along: bool) -> tuple[float, float]:
    """Return the size of a piece along the rows and across them."""
    long, short = laying.length_mm, laying.width_mm
    if laying.kind != "roll":
        long, short = max(long, short), min(long, short)
    return (long, short) if along else (short, long)


def _grid(
    laying: FloorLaying, start: Start, region: BaseGeometry, doors: tuple[Bounds, ...]
) -> Grid:
    """Return the sizes of a piece as it lies. Raises PlanError for far too many pieces."""
    length, depth = piece_lies(laying, start.along)
    u0, v0, u1, v1 = region.bounds
    count = (u1 - u0) * (v1 - v0) / (length * depth)
    most = PIECES_LAID_AT_MOST
    if count > most:
        raise PlanError(
            Fault(
                floor_called(laying),
                f"{count:,.0f} pieces of this size; at most {most:,.0f} are laid out one by one",
            )
        )
    # A piece that is narrow itself is halved at the most.
    half = min(length, depth) / 2
    at_doors = min(published("flooring.least-strip-mm"), half)
    return Grid(length, depth, min(least_strip(laying), half), doors, at_doors)


def _doorways(scene: Scene, laying: FloorLaying, frame: Frame) -> tuple[Bounds, ...]:
    """Return where pieces lie at a door, as bounds in the frame."""
    strips = []
    for shape in scene.room.openings:
        if shape.opening.kind == "window":
            continue
        far = gap_of(laying)
        if shape.opening.is_garage_door:
            far = max(far, door_stop_of(laying))
        ends = np.array([shape.left, shape.right])
        inner = ends + np.array(shape.inward) * (far + 2 * TOLERANCE_MM)
        way = frame.into(shapely.MultiPoint(np.vstack((ends, inner))))
        strips.append(way.bounds)
    return tuple(strips)
