"""The room as a picture: an axonometric view with hidden lines hidden, people at their movements.

Walls are cut low, what hangs overhead is a ghost. The picture is made of the scene's own prisms,
so what stands in the way of something on it stands there in the room.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import groupby

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from app.checks.behind import wall_behind
from app.drawing.medium import rings_of_each
from app.drawing.picture_faces import Face, prisms_of
from app.drawing.picture_glass import near_glass, on_near_wall
from app.drawing.picture_names import Names, names_of
from app.drawing.picture_order import Compared, Part, compared
from app.drawing.picture_overhead import overhead_lines
from app.drawing.picture_person import figure_faces
from app.drawing.picture_room import Figure, figures_of, kit_solids, person_owner
from app.drawing.picture_shell import FAR_WALL_MM, FLOOR_INK, ROOM, room_faces
from app.drawing.picture_view import View
from app.drawing.picture_weights import held_faces
from app.drawing.primitives import Group, Item, Polyline, Region, Strokes
from app.drawing.too_high import too_high
from app.drawing.wall_strips import lit_runs
from app.scene.build import Scene

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
            reach = self.reach(letter_mm)
            names = Group(self.names.lettered(reach, letter_mm), "picture-names")
            self.by_letter[letter_mm] = (*self.groups, self.ghosts, names), reach
        return self.by_letter[letter_mm]

    def reach(self, letter_mm: float) -> Bounds:
        """Return how far it reaches with its names, without lettering it.

        They keep to the corners that a picture has empty, so it need not be smaller for them; only
        a name wider than all that is drawn sticks out.
        """
        x0, y0, x1, y1 = self.bounds
        across = max(0.0, (self.names.widest(letter_mm) - (x1 - x0)) / 2)
        return x0 - across, y0, x1 + across, y1

    @cached_property
    def groups(self) -> tuple[Group, ...]:
        """What is drawn, each run of one thing as a group; a thing may come in several."""
        runs = [(name, [*run]) for name, run in groupby(self.order.ordered, key=_owner)]
        every = drawn_runs([run for _, run in runs])
        return tuple(
            Group(drawn, "picture-thing", (("owner", name),))
            for (name, _), drawn in zip(runs, every, strict=True)
        )

    @cached_property
    def names(self) -> Names:
        """What is lettered: pieces in their order, people, ways in."""
        return names_of(self.scene, self.view, self.figures, self.order.ordered)


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
    standing = [
        p
        for p in scene.order
        if not any(one.uses_instead(p) for one in figures) and not on_near_wall(scene, p, view)
    ]
    over = too_high(scene)
    several = [
        kit_solids(scene, placed, view, figures, over.get(placed.piece.id)) for placed in standing
    ]
    made = prisms_of([solids for _, solids in several], view)
    for placed, (others, _), prisms in zip(standing, several, made, strict=True):
        held = held_faces(placed, view, over.get(placed.piece.id))
        faces[placed.piece.id] = (*others, *prisms, *held)
    for figure in figures:
        faces[person_owner(figure)] = tuple(figure_faces(scene, figure, view))
    return faces


def picture_of(scene: Scene, view: View, figures: tuple[Figure, ...], order: Compared) -> Picture:
    """Return the picture of a scene whose faces are compared already."""
    ghosts = tuple(_ghosts(scene, view))
    flats = [part.face.flat for part in order.parts]
    reach = _bounds([*flats, *(LineString(one.points) for one in ghosts)])
    return Picture(scene, view, order, Group(ghosts, "picture-ghosts"), reach, figures)


def drawn_parts(parts: Iterable[Part]) -> tuple[Item, ...]:
    """Return what is drawn of one thing at a go: the sides of a solid, then their strokes."""
    (drawn,) = drawn_runs([[*parts]])
    return drawn


def drawn_runs(runs: Sequence[Sequence[Part]]) -> list[tuple[Item, ...]]:
    """Return what is drawn of each run of parts, as `drawn_parts` does, taken apart at one go."""
    every = [part for run in runs for part in run]
    rings = iter(rings_of_each([part.area for part in every]))
    strokes = np.concatenate([np.empty((0, 2, 2)), *(part.edges for part in every)])
    a, b, c, d = strokes.reshape(-1, 4).T.tolist()
    lines = list(zip(zip(a, b, strict=True), zip(c, d, strict=True), strict=True))
    several: list[tuple[Item, ...]] = []
    done = 0
    for run in runs:
        items: list[Item] = []
        for _, some in groupby(run, key=_at_a_go):
            by_ink: dict[str, list[tuple[tuple[float, float], ...]]] = {}
            begun = done
            for part in some:
                by_ink.setdefault(part.face.ink, []).extend(next(rings))
                done += len(part.edges)
            items += [Region(tuple(of_it), ink) for ink, of_it in by_ink.items()]
            if done > begun:
                quiet = "picture-net" if FLOOR_INK in by_ink else "picture-line"
                items.append(Strokes(tuple(lines[begun:done]), quiet))
        several.append(tuple(items))
    return several


def _owner(part: Part) -> str:
    return part.face.owner


def _at_a_go(part: Part) -> object:
    """Return what parts have in common that are drawn at a go: the floor, the sides of a solid."""
    return FLOOR_INK if part.face.ink == FLOOR_INK else part.face.body or part


def _ghosts(scene: Scene, view: View) -> Iterator[Polyline]:
    """Yield what hangs overhead, dashed: ceiling, joists and beams, garage doors that are open.

    From kit that hangs higher than the walls are drawn its corners are let down to the floor: else
    nobody sees over which place it hangs.
    """
    yield from overhead_lines(scene, view)
    yield from _openings_over(scene, view)
    for mirror in near_glass(scene, view):
        flat = [*mirror.flat.tolist(), mirror.flat[0].tolist()]
        yield Polyline(tuple((u, v) for u, v in flat), "picture-ghost")
    for one in lit_runs(scene):
        flat = view.flat(np.array(one.corners)).tolist()
        yield Polyline(tuple((u, v) for u, v in flat), "picture-ghost")
    for placed in scene.order:
        shape = placed.shape
        if not len(shape.parts) or placed.kit.bar is not None:
            continue
        low = float(shape.low_mm.min()) + placed.lift_mm + placed.rest_mm[0]
        if low >= FAR_WALL_MM:
            corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(placed.footprint))
            # the farthest is behind the thing itself
            nearest = sorted(corners[:4].tolist(), key=lambda xy: view.eye()[:2] @ xy)[1:]
            if on_near_wall(scene, placed, view):
                wall, _ = wall_behind(scene, placed)
                off = sorted(corners[:4].tolist(), key=lambda xy: wall.off_mm((xy[0], xy[1])))
                nearest = off[:2]  # its back alone is drawn
            for x, y in nearest:
                (u0, v0), (u1, v1) = view.flat(np.array([(x, y, low), (x, y, 0.0)])).tolist()
                yield Polyline(((u0, v0), (u1, v1)), "picture-ghost")


def _openings_over(scene: Scene, view: View) -> Iterator[Polyline]:
    """Yield what of windows and doors lies over the walls as they are cut, on the far walls."""
    eye = view.eye()
    for shape in scene.room.openings:
        top = shape.opening.sill_mm + shape.opening.height_mm
        # one on a near wall would lie over the room
        if shape.inward[0] * eye[0] + shape.inward[1] * eye[1] < 0 or top <= FAR_WALL_MM:
            continue
        low = max(shape.opening.sill_mm, FAR_WALL_MM)
        ends = (shape.left, shape.right)
        posts = [(ends[0], low), (ends[1], low), (ends[1], top), (ends[0], top)]
        line = [*posts, posts[0]]
        if shape.opening.kind == "window":
            # its bar, drawn at one go with its frame
            (x0, y0), (x1, y1) = ends
            line += [(((x0 + x1) / 2, (y0 + y1) / 2), z) for z in (low, top)]
        flat = view.flat(np.array([(x, y, z) for (x, y), z in line]))
        yield Polyline(tuple((float(u), float(v)) for u, v in flat), "picture-ghost")


def _bounds(shapes: Sequence[BaseGeometry]) -> Bounds:
    x0, y0, x1, y1 = shapely.total_bounds(np.array(shapes, dtype=object)).tolist()
    return x0, y0, x1, y1
