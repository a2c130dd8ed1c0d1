"""Kit and people as faces for the picture."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.checks.spot import Spot
from app.checks.spots import OPEN, SHUT, best_spot, spots
from app.drawing.incline import Incline, incline_of, is_raised
from app.drawing.picture_faces import (
    Face,
    Solids,
    between_rings,
    level,
    prisms_of,
)
from app.drawing.picture_inks import OVER, part_ink, piece_ink
from app.drawing.picture_view import View
from app.drawing.section_bay import Bay, spot_bay
from app.drawing.turned_box import solids_of, used_height_mm
from app.drawing.used_instead import uses_instead
from app.model.people import Person
from app.scene.build import Placed, Scene

MATS_MM = 1.0
"""How far a mat drawn flat lies above the floor that would else hide it."""
ROUND = 24
"""Corners of a plate as it is drawn."""
FLAT_SHARE, LIKE_SHARE = 0.6, 0.1
"""How thick a wheel is at most to its diameter, and how unlike both of its diameters may be."""
WHEEL_RINGS = (0.85, 0.24)
"""The rim and the hub of a wheel, shares of it."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One person at the top of a movement: the bay they are drawn from, and what is too high.

    `name` is what drawings call them.
    """

    bay: Bay
    too_high_mm: float
    name: str

    def uses_instead(self, placed: Placed) -> bool:
        """Whether a piece is in these hands, or is pulled out of the way of what is done here."""
        return uses_instead(self.bay, placed)


def kit_faces(
    scene: Scene,
    placed: Placed,
    view: View,
    figures: Sequence[Figure] = (),
    over: Mapping[int, float] | None = None,
) -> Iterator[Face]:
    """Yield the faces of one piece, every solid as the prism or the disc that it is."""
    others, solids = kit_solids(scene, placed, view, figures, over)
    (made,) = prisms_of([solids], view)
    yield from (*others, *made)


def kit_solids(
    scene: Scene,
    placed: Placed,
    view: View,
    figures: Sequence[Figure] = (),
    over: Mapping[int, float] | None = None,
) -> tuple[list[Face], Solids]:
    """Return the faces of what of a piece is no upright prism, and its prisms.

    A box that stands on another side while somebody of `figures` uses it is drawn turned to it.
    `over` is how high the room is over its solids that are higher.
    """
    bays = [figure.bay for figure in figures]
    used, incline = used_height_mm(placed, bays), incline_of(placed, bays)
    owner = placed.piece.id
    ink = piece_ink(placed)
    low, high = placed.rest_mm
    others: list[Face] = []
    if not len(placed.polygons()):
        others.append(level(placed.footprint, placed.lift_mm + MATS_MM, owner, "picture-mat", view))
    shape = placed.shape
    solids: list[tuple[BaseGeometry, tuple[float, float], str]] = []
    for number, ((polygon, z0, z1), part) in enumerate(
        zip(solids_of(placed, used), shape.parts, strict=True)
    ):
        bottom, top = z0 + placed.lift_mm + low, z1 + placed.lift_mm + high
        if placed.kit.bar is not None:
            # a bar lies at one of its rests: it is drawn at the upper one
            bottom = z0 + placed.lift_mm + high
        look = part_ink(part, ink)
        if part == "plate" or is_wheel(part, polygon, top - bottom):
            inner = () if part == "plate" else WHEEL_RINGS
            others += _disc(polygon, (bottom + top) / 2, owner, look, view, inner)
        elif incline is not None and is_raised(part):
            others += _raised(polygon, (bottom, top), incline, owner, look, view)
        elif over and bottom < (limit := over.get(number, np.inf)) < top:
            solids += [(polygon, (bottom, limit), look), (polygon, (limit, top), OVER)]
        else:
            over_all = over is not None and bottom >= over.get(number, np.inf)
            solids.append((polygon, (bottom, top), OVER if over_all else look))
    bases, heights, looks = zip(*solids, strict=True) if solids else ((), (), ())
    return others, Solids(owner, bases, heights, looks)


def is_wheel(part: str, base: BaseGeometry, high_mm: float) -> bool:
    """Return whether a part is a wheel that stands upright, as high as its outline is long.

    Its axle runs the short way of the outline. What is as wide as long lies flat, like a pulley.
    """
    if part != "wheel":
        return False
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(base))[:3]
    short, long = sorted(np.hypot(*np.diff(corners, axis=0).T).tolist())
    return bool(short < FLAT_SHARE * long and abs(high_mm - long) < LIKE_SHARE * long)


def _disc(
    base: BaseGeometry,
    middle_mm: float,
    owner: str,
    ink: str,
    view: View,
    inner: Sequence[float],
) -> Iterator[Face]:
    """Yield a round plate that stands upright: as wide and thick as its outline from above."""
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(base))[:4]
    one, other = corners[1] - corners[0], corners[3] - corners[0]
    across, through = (one, other) if np.hypot(*one) >= np.hypot(*other) else (other, one)
    radius = float(np.hypot(*across)) / 2
    along = across / np.hypot(*across)
    turns = np.linspace(0, 2 * np.pi, ROUND, endpoint=False)
    middle = corners.mean(axis=0)
    ring = middle + np.outer(np.cos(turns) * radius, along)
    heights = middle_mm + np.sin(turns) * radius
    ends = [np.column_stack([ring + by, heights]) for by in (-through / 2, through / 2)]
    yield from between_rings(ends[0], ends[1], owner, ink, view, inner)


def _raised(
    base: BaseGeometry,
    ends: tuple[float, float],
    incline: Incline,
    owner: str,
    ink: str,
    view: View,
) -> Iterator[Face]:
    """Yield a deck or its rail at the grade of the machine: its two sides, and what joins them."""
    xy = shapely.get_coordinates(shapely.minimum_rotated_rectangle(base))[:4]
    ahead = np.array(incline.along)
    aside = xy @ np.array([-ahead[1], ahead[0]])
    rings = []
    for side in (aside < aside.mean(), aside >= aside.mean()):
        two = xy[side]
        near, far = two[np.argsort(two @ ahead)]
        corners = np.array([near, far, far, near])
        low, high = ends
        up = incline.raised_mm(corners) + np.array([low, low, high, high])
        rings.append(np.column_stack([corners, up]))
    yield from between_rings(rings[0], rings[1], owner, ink, view)


def figures_of(scene: Scene) -> tuple[Figure, ...]:
    """Return each person once, at the movement they want that has the least to spare here.

    Where they are doing it stands in the way of nobody else: no station is taken twice.
    """
    taken: set[str] = set()
    figures = []
    for person in scene.plan.people:
        best: tuple[float, Spot] | None = None
        for movement, places in spots(scene).items():
            if person.wish_for(movement) != "want":
                continue
            for root in dict.fromkeys(spot.placed.root for spot in places):
                if root in taken:
                    continue
                spare, spot = _best(scene, person, [s for s in places if s.placed.root == root])
                if best is None or spare < best[0]:
                    best = spare, spot
        if best is None:
            continue
        spare, spot = best
        taken.add(spot.placed.root)
        bay = spot_bay(scene, person, spot, _situation(scene))
        figures.append(Figure(bay, max(0.0, -spare), scene.plan.called(person.id)))
    return tuple(figures)


def followed(figure: Figure, scene: Scene) -> Figure:
    """Return a person at the same movement on the same piece where that stands in a scene.

    Where the movement has no place there any more, they stay as they were.
    """
    bay = figure.bay
    places = [
        spot
        for spot in spots(scene).get(bay.movement.key, ())
        if bay.placed is not None and spot.placed.piece.id == bay.placed.piece.id
    ]
    if not places:
        return figure
    spare, spot = _best(scene, bay.person, places)
    there = spot_bay(scene, bay.person, spot, _situation(scene))
    return Figure(there, max(0.0, -spare), figure.name)


def _best(scene: Scene, person: Person, places: Sequence[Spot]) -> tuple[float, Spot]:
    """Return the place of one station that has the most to spare for a person, and how much."""
    verdict, spot = best_spot(scene, person, tuple(places), _situation(scene))
    return verdict.spare_least_mm, spot


def person_owner(figure: Figure) -> str:
    """Return what the faces of a person belong to."""
    return f"person-{figure.bay.person.id}"


def _situation(scene: Scene) -> str:
    return OPEN if scene.door_open else SHUT
