"""The room as a picture: an axonometric view with hidden lines hidden, people at their movements.

Walls are cut low, what hangs overhead is a ghost. The picture is made of the scene's own prisms,
so what stands in the way of something on it stands there in the room.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import groupby

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from app.drawing.lettering import width_of, wrap
from app.drawing.medium import rings_of
from app.drawing.picture_faces import Face, polygons_of, prisms_of
from app.drawing.picture_order import Compared, Part, compared
from app.drawing.picture_room import (
    FLOOR,
    ROOM,
    Figure,
    figure_faces,
    figures_of,
    kit_solids,
    person_owner,
    room_faces,
)
from app.drawing.picture_sight import InSight, in_sight
from app.drawing.picture_view import View
from app.drawing.picture_weights import weight_faces
from app.drawing.placing import Crowd
from app.drawing.primitives import Group, Item, Line, Polyline, Region, Strokes, Text
from app.scene.build import Scene
from app.units import format_length

AROUND = 12
"""Directions in which a name is tried round its thing."""
STEPS = (0.6, 1.4, 2.4)
"""How far out a name is tried, in heights of its lettering beyond the thing."""
LEADER_COST = 0.5
"""What each step out costs against lines that are hidden: a name near its thing is read first."""

NAME_EM = 24.0
"""How wide a line of a name may be, in sizes of its lettering: a longer name goes on under it."""
MOST_NAMED = 60
"""With more pieces than this only one of each name is lettered, and says how many there are."""

LONG_COST, OVER_COST = 0.12, 2.5
"""What a leader costs for each height of lettering it is long, and for each other thing it runs
over: rather a line is hidden than a name taken for that of its neighbour."""

LOUD = "picture-loud"
UPON_COST = 1.0
"""What it costs for each other thing that a name lies upon."""

_WAYS = tuple(
    (float(np.cos(turn)), float(np.sin(turn)))
    for turn in np.linspace(0, 2 * np.pi, AROUND, endpoint=False)
)

Bounds = tuple[float, float, float, float]
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Picture:
    """A picture in mm of the room as they come on the paper, y down, and how far it reaches.

    `order` is all that is drawn, from the farthest on. `figures` are the people. It is the same at
    every scale; only its names are lettered for one.
    """

    scene: Scene
    view: View
    order: Compared
    ghosts: Group
    bounds: Bounds
    figures: tuple[Figure, ...]
    by_letter: dict[float, tuple[tuple[Item, ...], Bounds]] = field(default_factory=dict)

    def lettered(self, letter_mm: float) -> tuple[tuple[Item, ...], Bounds]:
        """Return all of it in the order in which it is drawn, and how far it reaches with names.

        `letter_mm` is the size of the lettering in mm of the room; it is lettered once for each.
        """
        if letter_mm not in self.by_letter:
            names = Group(_names(self, letter_mm), "picture-names")
            self.by_letter[letter_mm] = (*self.groups, self.ghosts, names), self.reach(letter_mm)
        return self.by_letter[letter_mm]

    def reach(self, letter_mm: float) -> Bounds:
        """Return how far it reaches with its names, without lettering it.

        They keep to the corners that a picture has empty, so it need not be smaller for them; only
        a name wider than all that is drawn sticks out.
        """
        x0, y0, x1, y1 = self.bounds
        widest = max((width_of(one.words, letter_mm, bold=True) for one in self.named), default=0.0)
        widest = min(widest, NAME_EM * letter_mm)
        across = max(0.0, (widest - (x1 - x0)) / 2)
        return x0 - across, y0, x1 + across, y1

    @cached_property
    def groups(self) -> tuple[Group, ...]:
        """What is drawn, each run of one thing as a group; a thing may come in several."""
        return tuple(
            Group(tuple(drawn_parts(run)), "picture-thing", (("owner", owner),))
            for owner, run in groupby(self.order.ordered, key=lambda part: part.face.owner)
        )

    @cached_property
    def named(self) -> tuple[_Named, ...]:
        """What is lettered: pieces in their order, then people, each with where it is seen."""
        seen = self._in_sight.by_owner
        several = Counter(placed.name for placed in self.scene.order)
        words: dict[str, tuple[str, str]] = {}
        for placed in self.scene.order:
            if len(self.scene.order) <= MOST_NAMED:
                words[placed.piece.id] = placed.name, "picture-name"
            elif several[placed.name] and placed.piece.id in seen:
                count = several.pop(placed.name)
                label = f"{placed.name}, {count} of them" if count > 1 else placed.name
                words[placed.piece.id] = label, "picture-name"
        for figure in self.figures:
            owner = person_owner(figure)
            words[owner] = (figure.name, "picture-name")
            if figure.too_high_mm:
                too_high = format_length(round(figure.too_high_mm), self.scene.plan.units)
                words[owner] = (f"{figure.name}: {too_high} too high", LOUD)
        return tuple(
            _Named(name, ink, *seen[owner]) for owner, (name, ink) in words.items() if owner in seen
        )

    @cached_property
    def strokes(self) -> Crowd:
        """The strokes that names should not hide."""
        return Crowd([self._in_sight.strokes])

    @cached_property
    def sight_tree(self) -> shapely.STRtree:
        """What is seen of each named thing, by its number among them, as far as points tell."""
        return shapely.STRtree([one.target.convex_hull for one in self.named])

    @cached_property
    def _in_sight(self) -> InSight:
        return in_sight(self.order.ordered)


@dataclass(frozen=True, slots=True)
class _Named:
    """A name, and the thing it tells: its bounds, and the places at which a leader may end."""

    words: str
    ink: str
    bounds: Bounds
    target: BaseGeometry


def picture(scene: Scene, view: View) -> Picture:
    """Draw a scene from a corner."""
    figures = figures_of(scene)
    faces = [face for some in faces_by_thing(scene, view, figures).values() for face in some]
    return picture_of(scene, view, figures, compared(faces))


def faces_by_thing(
    scene: Scene, view: View, figures: Sequence[Figure]
) -> dict[str, tuple[Face, ...]]:
    """Return the faces of the room, of each piece and of each person, by what they belong to."""
    faces = {ROOM: tuple(room_faces(scene, view))}
    standing = [p for p in scene.order if not any(one.uses_instead(p) for one in figures)]
    several = [kit_solids(scene, placed, view, figures) for placed in standing]
    made = prisms_of([solids for _, solids in several], view)
    for placed, (others, _), prisms in zip(standing, several, made, strict=True):
        faces[placed.piece.id] = (*others, *prisms, *weight_faces(placed, view))
    for figure in figures:
        faces[person_owner(figure)] = tuple(figure_faces(scene, figure, view))
    return faces


def picture_of(scene: Scene, view: View, figures: tuple[Figure, ...], order: Compared) -> Picture:
    """Return the picture of a scene whose faces are compared already."""
    ghosts = tuple(_ghosts(scene, view))
    flats = [part.face.flat for part in order.parts]
    reach = _bounds([*flats, *(LineString(one.points) for one in ghosts)])
    return Picture(scene, view, order, Group(ghosts, "picture-ghosts"), reach, figures)


def drawn_parts(parts: Iterable[Part]) -> Iterator[Item]:
    """Yield what is drawn of one thing at a go: the sides of a solid, then their strokes."""
    for _, some in groupby(parts, key=lambda part: part.face.body or part):
        together = list(some)
        by_ink: dict[str, list[tuple[tuple[float, float], ...]]] = {}
        for part in together:
            by_ink.setdefault(part.face.ink, []).extend(rings_of(part.area))
        for ink, rings in by_ink.items():
            yield Region(tuple(rings), ink)
        edges = np.concatenate([part.edges for part in together]).tolist()
        if edges:
            quiet = "picture-net" if together[0].face.owner == FLOOR else "picture-line"
            yield Strokes(tuple(((a[0], a[1]), (b[0], b[1])) for a, b in edges), quiet)


def _ghosts(scene: Scene, view: View) -> Iterator[Polyline]:
    """Yield what hangs overhead, dashed: ceiling, joists and beams, garage doors that are open."""
    for above in scene.overhead.items:
        for polygon in polygons_of(above.polygon):
            xy = shapely.get_coordinates(polygon.exterior)
            a, b, c = above.coefficients
            flat = view.flat(np.column_stack([xy, a + b * xy[:, 0] + c * xy[:, 1]]))
            points = tuple((float(u), float(v)) for u, v in flat)
            yield Polyline(points, "picture-joist" if above.kind == "joist" else "picture-ghost")


def _names(drawn: Picture, letter_mm: float) -> tuple[Item, ...]:
    """Letter what stands there, each name as near to its thing as it hides nothing."""
    crowd = drawn.strokes.copy()
    items: list[Item] = []
    left, top, right, foot = drawn.reach(letter_mm)
    # what does not fit has the first choice of a place: it is what one looks for
    for one in sorted(drawn.named, key=lambda one: one.ink != LOUD):
        lines = wrap(one.words, letter_mm, letter_mm * NAME_EM, bold=True)
        wide = max(width_of(line, letter_mm, bold=True) for line in lines)
        step = letter_mm * 1.25
        high = step * len(lines)
        x0, y0, x1, y1 = one.bounds
        middle, half = ((x0 + x1) / 2, (y0 + y1) / 2), ((x1 - x0) / 2, (y1 - y0) / 2)
        places = np.array(
            [
                (
                    middle[0] + cos * (half[0] + wide / 2 + out * letter_mm),
                    middle[1] + sin * (half[1] + high / 2 + out * letter_mm),
                )
                for out in STEPS
                for cos, sin in _WAYS
            ]
        )
        low = np.array((left + wide / 2, top + high / 2))
        places = np.clip(places, low, (right - wide / 2, foot - high / 2))
        steps = np.repeat(np.array(STEPS) * LEADER_COST, len(_WAYS))
        cost = steps + _astray(drawn, one, places, letter_mm)
        cost += _upon(drawn, one, places, (wide, high))
        chosen = crowd.choose(wide, high, places, cost, anywhere=True)
        at = (float(places[chosen, 0]), float(places[chosen, 1]))
        tip = _tip(one.target, at)
        items.append(Line(_side(at, wide, high, tip), tip, "picture-leader"))
        first = at[1] + letter_mm * 0.35 - step * (len(lines) - 1) / 2
        items += [Text((at[0], first + i * step), line, one.ink) for i, line in enumerate(lines)]
    return tuple(items)


def _astray(drawn: Picture, one: _Named, places: Floats, letter_mm: float) -> Floats:
    """Return what it costs, shape (n,), that leaders from places are long or run over other things.

    A name that has to be followed over something else is taken for that one's.
    """
    leaders = shapely.shortest_line(one.target, shapely.points(places))
    long = shapely.length(leaders) / letter_mm * LONG_COST
    at, over = drawn.sight_tree.query(leaders, predicate="intersects")
    others = np.array([other is not one for other in drawn.named])
    met = np.bincount(at[others[over]], minlength=len(places))
    costs: Floats = long + OVER_COST * met
    return costs


def _upon(drawn: Picture, one: _Named, places: Floats, size: tuple[float, float]) -> Floats:
    """Return what it costs, shape (n,), that a name of a size lies upon other things than its own.

    A name upon a thing is read as that one's, most of all where the thing is a plain surface.
    """
    half = np.array(size, dtype=np.float64) / 2
    boxes = shapely.box(*(places - half).T, *(places + half).T)
    at, over = drawn.sight_tree.query(boxes, predicate="intersects")
    others = np.array([other is not one for other in drawn.named])
    met = np.bincount(at[others[over]], minlength=len(places))
    costs: Floats = UPON_COST * met.astype(np.float64)
    return costs


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
