"""The room as a picture: an axonometric view with hidden lines hidden, people at their movements.

Walls are cut low, what hangs overhead is a ghost. The picture is made of the scene's own prisms,
so what stands in the way of something on it stands there in the room.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from app.drawing.lettering import width_of
from app.drawing.picture_faces import polygons_of
from app.drawing.picture_hidden import Seen, seen
from app.drawing.picture_room import Figure, figure_faces, figures_of, kit_faces, room_faces
from app.drawing.picture_view import View
from app.drawing.placing import Crowd, Spot
from app.drawing.primitives import Group, Item, Line, Polyline, Region, Strokes, Text
from app.scene.build import Scene
from app.units import format_length

AROUND = 12
"""Directions in which a name is tried round its thing."""
STEPS = (0.6, 1.4, 2.4)
"""How far out a name is tried, in heights of its lettering beyond the thing."""
LEADER_COST = 0.5
"""What each step out costs against lines that are hidden: a name near its thing is read first."""

INSIDE_MM = 20.0
"""How far inside its thing a leader ends."""
_WAYS = tuple(
    (float(np.cos(turn)), float(np.sin(turn)))
    for turn in np.linspace(0, 2 * np.pi, AROUND, endpoint=False)
)

Bounds = tuple[float, float, float, float]


@dataclass(frozen=True)
class Picture:
    """A picture in mm of the room as they come on the paper, y down, and how far it reaches.

    `groups` are what can be seen of each thing, by what it belongs to. `figures` are the people.
    It is the same at every scale; only its names are lettered for one.
    """

    scene: Scene
    view: View
    groups: tuple[Group, ...]
    ghosts: Group
    bounds: Bounds
    figures: tuple[Figure, ...]
    shown: tuple[Seen, ...]
    by_letter: dict[float, tuple[tuple[Item, ...], Bounds]] = field(default_factory=dict)

    def lettered(self, letter_mm: float) -> tuple[tuple[Item, ...], Bounds]:
        """Return all of it in the order in which it is drawn, and how far it reaches with names.

        `letter_mm` is the size of the lettering in mm of the room; it is lettered once for each.
        """
        if letter_mm not in self.by_letter:
            names, reach = _names(self, letter_mm)
            items = (*self.groups, self.ghosts, Group(names, "picture-names"))
            self.by_letter[letter_mm] = items, _bounds([shapely.box(*self.bounds), *reach])
        return self.by_letter[letter_mm]

    @cached_property
    def named(self) -> tuple[_Named, ...]:
        """What is lettered: pieces in their order, then people, each with where it is seen."""
        areas: dict[str, list[BaseGeometry]] = {}
        for one in self.shown:
            areas.setdefault(one.face.owner, []).append(one.area)
        words = {placed.piece.id: (placed.name, "picture-name") for placed in self.scene.order}
        for figure in self.figures:
            owner = f"person-{figure.bay.person.id}"
            words[owner] = (figure.name, "picture-name")
            if figure.too_high_mm:
                too_high = format_length(round(figure.too_high_mm), self.scene.plan.units)
                words[owner] = (f"{figure.name}: {too_high} too high", "picture-loud")
        named = []
        for owner, (name, ink) in words.items():
            if owner in areas:
                area = shapely.union_all(areas[owner])
                inner = area.buffer(-INSIDE_MM)
                target = area if inner.is_empty else inner
                named.append(_Named(name, ink, area.bounds, target))
        return tuple(named)

    @cached_property
    def strokes(self) -> Crowd:
        """The strokes that names should not hide."""
        return Crowd([one.strokes for one in self.shown if one.face.owner != "floor"])


@dataclass(frozen=True, slots=True)
class _Named:
    """A name, and the thing it tells: its bounds, and the area in which a leader may end."""

    words: str
    ink: str
    bounds: Bounds
    target: BaseGeometry


def picture(scene: Scene, view: View) -> Picture:
    """Draw a scene from a corner."""
    figures = figures_of(scene)
    faces = [*room_faces(scene, view)]
    for placed in scene.order:
        if not any(figure.uses_instead(placed) for figure in figures):
            faces += kit_faces(scene, placed, view, figures)
    for figure in figures:
        faces += figure_faces(scene, figure, view)
    shown = tuple(seen(faces))
    ghosts = tuple(_ghosts(scene, view))
    return Picture(
        scene,
        view,
        tuple(_groups(shown)),
        Group(ghosts, "picture-ghosts"),
        _bounds([*(face.flat for face in faces), *(LineString(one.points) for one in ghosts)]),
        figures,
        shown,
    )


def _groups(shown: Sequence[Seen]) -> Iterator[Group]:
    """Yield what can be seen of each thing as one group: its areas, then its strokes over them."""
    by_owner: dict[str, list[Seen]] = {}
    for one in shown:
        by_owner.setdefault(one.face.owner, []).append(one)
    for owner, some in by_owner.items():
        items: list[Item] = []
        for ink in dict.fromkeys(one.face.ink for one in some):
            # sides of one look that meet are one area: else the paper would shine through the seam
            area = shapely.union_all([one.area for one in some if one.face.ink == ink])
            rings = [
                tuple((float(x), float(y)) for x, y in ring.coords[:-1])
                for polygon in polygons_of(area)
                for ring in (polygon.exterior, *polygon.interiors)
            ]
            items.append(Region(tuple(rings), ink))
        lines = tuple(pair for one in some for pair in _pairs(one.strokes))
        if lines:
            quiet = "picture-net" if owner == "floor" else "picture-line"
            items.append(Strokes(lines, quiet))
        yield Group(tuple(items), "picture-thing", (("owner", owner),))


def _pairs(strokes: BaseGeometry) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    for part in shapely.get_parts(strokes):
        if part.geom_type != "LineString":
            continue
        xy = shapely.get_coordinates(part)
        for a, b in zip(xy[:-1].tolist(), xy[1:].tolist(), strict=True):
            yield (a[0], a[1]), (b[0], b[1])


def _ghosts(scene: Scene, view: View) -> Iterator[Polyline]:
    """Yield what hangs overhead, dashed: ceiling, joists and beams, garage doors that are open."""
    for above in scene.overhead.items:
        for polygon in polygons_of(above.polygon):
            xy = shapely.get_coordinates(polygon.exterior)
            a, b, c = above.coefficients
            flat = view.flat(np.column_stack([xy, a + b * xy[:, 0] + c * xy[:, 1]]))
            points = tuple((float(u), float(v)) for u, v in flat)
            yield Polyline(points, "picture-joist" if above.kind == "joist" else "picture-ghost")


def _names(drawn: Picture, letter_mm: float) -> tuple[tuple[Item, ...], list[BaseGeometry]]:
    """Letter what stands there, each name as near to its thing as it hides nothing."""
    crowd = drawn.strokes.copy()
    items: list[Item] = []
    reach: list[BaseGeometry] = []
    for one in drawn.named:
        wide, high = width_of(one.words, letter_mm, bold=True), letter_mm * 1.25
        x0, y0, x1, y1 = one.bounds
        middle, half = ((x0 + x1) / 2, (y0 + y1) / 2), ((x1 - x0) / 2, (y1 - y0) / 2)
        spots = [
            Spot(
                (
                    middle[0] + cos * (half[0] + wide / 2 + step * letter_mm),
                    middle[1] + sin * (half[1] + high / 2 + step * letter_mm),
                ),
                step * LEADER_COST,
            )
            for step in STEPS
            for cos, sin in _WAYS
        ]
        at = crowd.place(wide, high, spots, anywhere=True)
        tip = _tip(one.target, at)
        items.append(Line(_side(at, wide, high, tip), tip, "picture-leader"))
        items.append(Text((at[0], at[1] + letter_mm * 0.35), one.words, one.ink))
        reach.append(
            shapely.box(at[0] - wide / 2, at[1] - high / 2, at[0] + wide / 2, at[1] + high / 2)
        )
    return tuple(items), reach


def _tip(target: BaseGeometry, at: tuple[float, float]) -> tuple[float, float]:
    """Return where a leader ends: on the thing, towards its name, a little inside."""
    point = shapely.get_point(shapely.shortest_line(target, shapely.Point(at)), 0)
    return float(point.x), float(point.y)


def _side(
    at: tuple[float, float], wide: float, high: float, tip: tuple[float, float]
) -> tuple[float, float]:
    """Return the point of a name's box that is nearest to the tip of its leader."""
    return (
        float(np.clip(tip[0], at[0] - wide / 2, at[0] + wide / 2)),
        float(np.clip(tip[1], at[1] - high / 2, at[1] + high / 2)),
    )


def _bounds(shapes: Sequence[BaseGeometry]) -> Bounds:
    x0, y0, x1, y1 = shapely.total_bounds(np.array(shapes, dtype=object)).tolist()
    return x0, y0, x1, y1
