"""Kit and people as faces for the picture."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.checks.spots import OPEN, SHUT, Spot, judge, spots
from app.drawing.body import silhouette
from app.drawing.incline import Incline, incline_of, is_raised
from app.drawing.picture_clip import halves
from app.drawing.picture_conflict import limit_over_mm, taken_faces
from app.drawing.picture_faces import (
    Face,
    Solids,
    level,
    plane_of,
    polygons_of,
    prisms_of,
    strokes_of,
    upright,
)
from app.drawing.picture_inks import OVER, PERSON, TOO_HIGH, part_ink, piece_ink
from app.drawing.picture_view import Floats, View
from app.drawing.section import given_of
from app.drawing.section_bay import Bay, spot_bay
from app.drawing.section_frame import Disc, Stance
from app.drawing.section_pose import stance
from app.drawing.sheets.front import front_view
from app.drawing.turned_box import solids_of, used_height_mm
from app.scene.build import Placed, Scene

MATS_MM = 1.0
"""How far a mat drawn flat lies above the floor that would else hide it."""
ROUND = 24
"""Corners of a plate as it is drawn."""
AHEAD_MM = 30.0
"""How far what a person holds lies before them, so that the hand is behind it."""
CHEST_SHARES = (0.3, 0.5, 0.15, 0.7, 0.9)
"""Where the letter of a person is tried, from the shoulder towards the hip: the chest first."""
SLIVER_MM2 = 100.0
UNDER_THE_BAR = frozenset({"squat", "deadlift", "barbell-row"})
"""Movements with a bar of which the head is what rises highest, not what is held."""
UPRIGHT_MM = 200.0
"""Whoever has the shoulders so much over the hips stands or sits."""
BROAD_SHARE = 0.4
"""What at least must be seen of a width that is drawn from the front."""
PLATE_MM = (15.0, 85.0)
"""Where the plates begin and end beyond the shaft of the bar."""


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
        bay = self.bay
        if bay.placed is None or placed.root != bay.placed.root or placed is bay.placed:
            return False
        needs = {need for use in bay.placed.kit.uses if use.movement == bay.movement.key
                 for need in use.needs}  # fmt: skip
        if placed.kit.bar is not None:
            return bay.movement.held == "bar" or bay.movement.key in UNDER_THE_BAR
        return placed.kit.group == "Benches" and "bench" not in needs


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
        if part == "plate":
            others += _disc(polygon, (bottom + top) / 2, owner, look, view)
        elif incline is not None and is_raised(part):
            others += _raised(polygon, (bottom, top), incline, owner, look, view)
        elif over and bottom < (limit := over.get(number, np.inf)) < top:
            solids += [(polygon, (bottom, limit), look), (polygon, (limit, top), OVER)]
        else:
            over_all = over is not None and bottom >= over.get(number, np.inf)
            solids.append((polygon, (bottom, top), OVER if over_all else look))
    bases, heights, looks = zip(*solids, strict=True) if solids else ((), (), ())
    return others, Solids(owner, bases, heights, looks)


def _disc(base: BaseGeometry, middle_mm: float, owner: str, ink: str, view: View) -> Iterator[Face]:
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
    yield from _between(ends[0], ends[1], owner, ink, view)


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
    yield from _between(rings[0], rings[1], owner, ink, view)


def _between(one: Floats, other: Floats, owner: str, ink: str, view: View) -> Iterator[Face]:
    """Yield the faces of a solid between two like, parallel rings that the eye can see."""
    centre = (one.mean(axis=0) + other.mean(axis=0)) / 2
    eye = view.eye()
    for ring in (one, other):
        if (ring.mean(axis=0) - centre) @ eye > 0:
            flat = shapely.Polygon(view.flat(ring))
            yield _flat_face(flat, ring, owner, f"{ink}-left", view, outlined=True)
    count = len(one)
    out = [one[i] + one[(i + 1) % count] - 2 * one.mean(axis=0) for i in range(count)]
    seen = [float(normal @ eye) > 0 for normal in out]
    for i in range(count):
        j = (i + 1) % count
        if seen[i]:
            quad = np.array([one[i], one[j], other[j], other[i]])
            flat = shapely.Polygon(view.flat(quad))
            face = _flat_face(flat, quad, owner, f"{ink}-right", view, outlined=False)
            edges = [[view.flat(quad)[0], view.flat(quad)[1]],
                     [view.flat(quad)[3], view.flat(quad)[2]]]  # fmt: skip
            if not seen[(i - 1) % count]:
                edges.append([view.flat(quad)[0], view.flat(quad)[3]])
            if not seen[j]:
                edges.append([view.flat(quad)[1], view.flat(quad)[2]])
            yield Face(face.flat, face.plane, np.array(edges), owner, face.ink)


def _flat_face(
    flat: BaseGeometry, corners: Floats, owner: str, ink: str, view: View, outlined: bool
) -> Face:
    edges = strokes_of(flat) if outlined else np.empty((0, 2, 2))
    return Face(flat, plane_of(corners, view), edges, owner, ink)


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
            for spot in places:
                if spot.placed.root in taken:
                    continue
                spare = judge(scene, person, spot, _situation(scene)).spare_least_mm
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
    for spot in spots(scene).get(bay.movement.key, ()):
        if bay.placed is not None and spot.placed.piece.id == bay.placed.piece.id:
            spare = judge(scene, bay.person, spot, _situation(scene)).spare_least_mm
            there = spot_bay(scene, bay.person, spot, _situation(scene))
            return Figure(there, max(0.0, -spare), figure.name)
    return figure


def person_owner(figure: Figure) -> str:
    """Return what the faces of a person belong to."""
    return f"person-{figure.bay.person.id}"


def _situation(scene: Scene) -> str:
    return OPEN if scene.door_open else SHUT


def figure_faces(scene: Scene, figure: Figure, view: View) -> Iterator[Face]:
    """Yield a person as a cut-out that faces the eye; what is above the ceiling apart."""
    bay, owner = figure.bay, person_owner(figure)
    pose = stance(bay.movement.key, given_of(scene, bay))
    limit = limit_over_mm(bay)
    yield from taken_faces(bay, owner, view)
    along = _bar_way(figure, pose, view)
    if along is not None:
        yield from _with_bar(figure, pose, along, view)
        return
    body = silhouette(pose.joints)
    for area, ink, ahead in (
        (body.far, "picture-person-far", 0.0),
        (body.near, PERSON, AHEAD_MM),
    ):
        yield from _cut_out(area, limit, bay.at, ahead, owner, ink, view)
    for thing in pose.held:
        if isinstance(thing, Disc):
            disc = shapely.Point(thing.at).buffer(thing.radius_mm)
            yield from _cut_out(disc, limit, bay.at, 2 * AHEAD_MM, owner, "picture-dark", view)


def chests_of(scene: Scene, figure: Figure, view: View) -> list[tuple[float, float]]:
    """Return where on the paper the trunk of a person is, its chest first, then what is near."""
    bay = figure.bay
    pose = stance(bay.movement.key, given_of(scene, bay))
    along = _bar_way(figure, pose, view)
    cos, sin = along or view.across
    shares = np.array(CHEST_SHARES)[:, None]
    trunk = np.array(pose.joints.shoulder) * (1 - shares) + np.array(pose.joints.hip) * shares
    # from the front all of it is in the middle of the body
    aside = trunk[:, 0] * (along is None)
    room = np.column_stack([bay.at[0] + cos * aside, bay.at[1] + sin * aside, trunk[:, 1]])
    return [(float(u), float(v)) for u, v in view.flat(room)]


def _bar_end(pose: Stance) -> tuple[float, float] | None:
    """Return where the bar that somebody holds is seen end-on: how far ahead, and how high."""
    ends = (one for one in pose.held if isinstance(one, Disc) and one.ink == "sleeve")
    return next((one.at for one in ends), None)


def _bar_way(figure: Figure, pose: Stance, view: View) -> tuple[float, float] | None:
    """Return which way the bar runs that somebody holds who stands, from left to right as seen.

    Whoever lies is drawn from the side, and so is whoever would be seen edge-on.
    """
    joints = pose.joints
    if _bar_end(pose) is None or joints.shoulder[1] < joints.hip[1] + UPRIGHT_MM:
        return None
    fx, fy = figure.bay.facing
    share = -fy * view.across[0] + fx * view.across[1]
    if abs(share) < BROAD_SHARE:
        return None
    return (-fy, fx) if share > 0 else (fy, -fx)


def _with_bar(
    figure: Figure, pose: Stance, along: tuple[float, float], view: View
) -> Iterator[Face]:
    """Yield a person from the front with the bar that they hold, which runs as it does there."""
    bay, owner, limit = figure.bay, person_owner(figure), limit_over_mm(figure.bay)
    body = front_view(pose.joints, grips=True)
    yield from _cut_out(body, limit, bay.at, 0.0, owner, PERSON, view, along)
    end = _bar_end(pose)
    held = bay.held
    assert end is not None, "only who holds a bar is drawn with one"
    assert held is not None, "two dumbbells have no end of a bar"
    ahead, grip = end
    at = (bay.at[0] + bay.facing[0] * ahead, bay.at[1] + bay.facing[1] * ahead)
    half, thin = held.shaft_mm / 2, held.shaft_diameter_mm / 2
    tip = half + held.sleeve_mm
    shaft = shapely.box(-tip, grip - thin, tip, grip + thin)
    yield from _cut_out(shaft, limit, at, AHEAD_MM, owner, "picture-dark", view, along)
    turns = np.linspace(0, 2 * np.pi, ROUND, endpoint=False)
    ring = np.column_stack([np.cos(turns), np.sin(turns)]) * held.plate_mm / 2
    for side in (-1, 1):
        far, near = (
            np.column_stack(
                [
                    at[0] + along[0] * s + bay.facing[0] * ring[:, 0],
                    at[1] + along[1] * s + bay.facing[1] * ring[:, 0],
                    grip + ring[:, 1],
                ]
            )
            for s in (side * (half + PLATE_MM[0]), side * (half + PLATE_MM[1]))
        )
        for face in _between(far, near, owner, "picture-dark", view):
            yield from _parted(face, limit, view)


def _parted(face: Face, limit_mm: float, view: View) -> Iterator[Face]:
    """Yield what of a face lies under a height and, in another ink, what lies over it."""
    flat, (a, b, c) = face.flat, face.plane
    u, v = shapely.get_coordinates(flat).T
    eye, axes = view.eye(), view.axes()
    # the height of a point of the face: what is right, down and near of it, each upright share
    heights = u * axes[0, 2] + v * axes[1, 2] + (a + b * u + c * v) * eye[2]
    if heights.max() <= limit_mm:
        yield face
        return
    if heights.min() >= limit_mm:
        yield Face(flat, face.plane, face.edges, face.owner, TOO_HIGH)
        return
    # height is linear over the face: it is cut by the line on which that is the limit
    gap = np.array([a * eye[2] - limit_mm, axes[0, 2] + b * eye[2], axes[1, 2] + c * eye[2]])
    for side, ink in zip(halves(flat, gap), (TOO_HIGH, face.ink), strict=True):
        if side is not None:
            yield Face(side, face.plane, strokes_of(side), face.owner, ink)


def _cut_out(
    area: BaseGeometry,
    limit_mm: float,
    at: tuple[float, float],
    ahead: float,
    owner: str,
    ink: str,
    view: View,
    along: tuple[float, float] | None = None,
) -> Iterator[Face]:
    x0, _, x1, z1 = area.bounds
    if z1 <= limit_mm:
        parts = [(area, ink)]
    else:
        over = shapely.box(x0 - 1, limit_mm, x1 + 1, z1 + 1)
        parts = [(area.difference(over), ink), (area.intersection(over), TOO_HIGH)]
    for part, look in parts:
        if part.area > SLIVER_MM2 and list(polygons_of(part)):
            yield upright(part, at, ahead, owner, look, view, along)
