"""One section as a figure: floor, walls, kit, people, what hangs overhead, and heights."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely
from shapely import LineString
from shapely import Polygon as Area
from shapely.geometry.base import BaseGeometry

from app.drawing.figures_placed import Figure
from app.drawing.lettering import text_boxes
from app.drawing.medium import Medium
from app.drawing.placing import Crowd
from app.drawing.primitives import Circle, Group, Item, Line, Point, Polygon, Text, lines_of
from app.drawing.sheets.cut_face import cut_face
from app.drawing.sheets.cutting_plane import (
    Box,
    Cut,
    Seen,
    ceiling_over,
    floor_line,
    hung,
    walls_cut,
)
from app.drawing.sheets.section_beyond import (
    door_heights,
    open_doors,
    openings_behind,
    strips_behind,
)
from app.drawing.sheets.section_chains import (
    HIGHEST_EM,
    SLAB_MM,
    end_heights,
    highest,
    highest_height,
    length_chains,
)
from app.drawing.sheets.section_glass import glass_areas, glass_seen
from app.drawing.sheets.section_lid import (
    LID_MM,
    joists_behind,
    lid_of,
    low_things_cut,
    overhead_cut,
    roof_over,
)
from app.drawing.sheets.section_names import area_names, column_names
from app.drawing.sheets.section_numbers import piece_numbers
from app.drawing.sheets.section_people import BESIDE_EM, body_of, drawn_person, standing
from app.drawing.sheets.section_room import (
    UP_TO_CEILING,
    Beyond,
    CutColumn,
    columns_beyond,
    columns_cut,
    cut_faces,
    inside,
    room_beyond,
)
from app.drawing.sheets.stuck import stuck_marks
from app.drawing.sheets.tightest import Stand
from app.scene.build import Scene
from app.scene.overhead import Above

_MOST_PEOPLE = 3
_EDGE_ON_MM = 100.0
"""A mirror seen no wider than this is seen on its edge: a line on its wall, without a name."""
_ROUND_WITHIN = 0.02
"""A plate seen end on is as wide as it is high, but for the turn of its bar."""


def section_figure(
    scene: Scene,
    cut: Cut,
    every: Sequence[Stand],
    seen: Sequence[Seen],
    numbers: dict[str, int],
    medium: Medium,
) -> Figure:
    """Draw a section, y down, the datum of the floor at 0; `seen` are the pieces behind the cut."""
    shell = shell_of(scene, cut)
    inner, walls, runs = shell.inner, shell.walls, shell.runs
    left, right, outer, lid = inner[0][0], inner[-1][1], shell.outer, shell.lid
    floor, columns = shell.floor, shell.columns
    ceilings = [run for item, run in runs if item.kind == "ceiling"]
    opened = inside(inner, floor, ceilings, lid)
    # from the farthest on, so that what is nearer hides it
    beyond = [
        *room_beyond(scene, cut, opened),
        *openings_behind(scene, cut, inner),
        *glass_seen(scene, cut, inner),
        *strips_behind(scene, cut, inner),
        *(Beyond(one.near_mm, _piece(one)) for one in seen if not one.cut),
    ]
    items: list[Item] = [one.item for one in sorted(beyond, key=lambda one: -one.away_mm)]
    items += [*_ground(scene, floor, outer, medium), *lid_of(runs, lid, medium)]
    for a, b, holes in walls:
        items += _wall(a, b, holes, roof_over(runs, a, b, lid), medium)
    cut_columns = list(cut_faces(columns, opened))
    for one, face in cut_columns:
        data = (("column", one.column.id),)
        items.append(Group(tuple(cut_face(face, medium)), "column-cut", data))
    shown = _shown(standing(every, cut), cut, medium, scene, lid, _crowd(shell, seen))
    items += [_piece(one) for one in seen if one.cut]
    items += [*joists_behind(scene, cut, runs), *overhead_cut(scene, runs, medium)]
    items += open_doors(scene, cut, inner)
    items += [person.body for person in shown]
    dims: list[Item] = [person.heights for person in shown]
    taken: list[BaseGeometry] = []
    for person in shown:
        taken += [person.area, *text_boxes(person.heights, medium.em_mm)]
    bounds = section_bounds(shell, medium)
    roof = [LineString([(x, -z) for x, z in run]) for _, run in runs]
    ends = end_heights(scene, cut, inner, outer, medium)
    if shell.highest is not None:
        ends += highest_height(scene, cut, shell.highest, outer, medium)
    full = [*taken, *_lines([*dims, *ends]), *_boxes(ends, medium)]
    full += [shapely.box(a, -roof_over(runs, a, b, lid), b, SLAB_MM) for a, b, _ in walls]
    dims += stuck_marks(scene, seen, full, roof, lid, bounds, medium)
    taken += _boxes(dims, medium)
    lines = _lines(dims)
    told: list[Item] = list(door_heights(scene, cut, inner, [*taken, *lines], medium))
    # no number stands in what is cut
    for item, run in runs:
        if item.kind in ("ceiling", *UP_TO_CEILING):
            low = min(z for _, z in run)
            taken.append(shapely.box(run[0][0], -lid - LID_MM, run[-1][0], -low))
    taken += _boxes(told, medium)
    behind = list(columns_beyond(scene, cut, opened))
    told += column_names(cut_columns, behind, opened, [*taken, *lines], medium)
    taken += _boxes(told, medium)
    hidden = [(one.away_mm, one.area) for one in behind]
    solid = [
        *(shapely.transform(face, lambda xy: xy * (1, -1)) for _, face in cut_columns),
        *_cut_boxes(shell),
    ]
    rings = piece_numbers(seen, numbers, [*taken, *solid], lines, hidden, opened, medium)
    glass = [
        ("Mirror", area)
        for _, area in glass_areas(scene, cut, inner)
        if area.bounds[2] - area.bounds[0] > _EDGE_ON_MM
    ]
    named = [*glass, *low_things_cut(runs)]
    around = [*taken, *lines, *_balloons(rings), *(shapely.box(*_bounds_of(one)) for one in seen)]
    told += area_names(named, opened, around, medium)
    items += [*told, *dims]
    items.append(Group(rings, "layer-numbers"))
    items += length_chains(inner, columns, medium)[0]
    items += ends
    title = (((left + right) / 2, bounds[3] - medium.em_mm * 0.5), f"Section {cut.named}")
    items.append(Text(*title, "head"))
    return Figure(tuple(items), bounds)


@dataclass(frozen=True, slots=True)
class _Person:
    """Somebody as they are drawn: their body, the heights beside it, the body's outline."""

    body: Item
    heights: Item
    area: BaseGeometry


def _shown(
    every: Sequence[Stand], cut: Cut, medium: Medium, scene: Scene, lid: float, crowd: Crowd
) -> list[_Person]:
    """Draw whoever finds room, the tightest first: each where no other is, dimensions included."""
    shown: list[_Person] = []
    spans: list[tuple[float, float]] = []
    beside = medium.em_mm * BESIDE_EM
    for one in every:
        body = body_of(scene, cut, one)
        span = (body.area.bounds[0] - beside, body.area.bounds[2] + beside)
        if any(span[0] < b and span[1] > a for a, b in spans):
            continue
        spans.append(span)
        # letter and heights take longest: only of whoever is shown
        person, marks = drawn_person(scene, cut, one, body, medium, lid, crowd)
        shown.append(_Person(person, marks, body.area))
        if len(shown) == _MOST_PEOPLE:
            break
    return shown


@dataclass(frozen=True, slots=True)
class Shell:
    """The room as it is cut, whatever the lettering: mm along the cut and above the datum."""

    inner: Sequence[tuple[float, float]]
    walls: Sequence[tuple[float, float, list[tuple[float, float]]]]
    runs: Sequence[tuple[Above, list[Point]]]
    floor: Sequence[Point]
    columns: Sequence[CutColumn]
    highest: Point | None
    """Where the ceiling is highest, and how high, where neither end tells of that."""

    @property
    def outer(self) -> tuple[float, float]:
        """From where to where it is drawn, the walls included."""
        left, right = self.inner[0][0], self.inner[-1][1]
        return (
            min([left, *(a for a, _, _ in self.walls)]),
            max([right, *(b for _, b, _ in self.walls)]),
        )

    @property
    def lid(self) -> float:
        """How high it is drawn: somewhat over the highest ceiling."""
        return ceiling_over(self.runs) + LID_MM


def shell_of(scene: Scene, cut: Cut) -> Shell:
    """Cut the room."""
    inner = cut.spans(scene.room.free)
    runs = list(hung(scene, cut, scene.room.training))
    return Shell(
        inner,
        list(walls_cut(scene, cut)),
        runs,
        floor_line(scene, cut, inner[0][0], inner[-1][1]),
        columns_cut(scene, cut),
        highest(scene, cut, inner, runs),
    )


def section_bounds(shell: Shell, medium: Medium) -> tuple[float, float, float, float]:
    """Return all that a section reaches to, its dimensions and title included."""
    (x0, x1), em = shell.outer, medium.em_mm
    low = min(z for _, z in shell.floor)
    _, line = length_chains(shell.inner, shell.columns, medium)
    left = em * HIGHEST_EM if shell.highest is not None else 0.0
    beside, foot = em * 3.4, max(line - em * 0.6, SLAB_MM - low + em * 3.9)
    return x0 - beside - left, -shell.lid - em * 1.2, x1 + beside, foot


def _ground(
    scene: Scene, floor: Sequence[Point], outer: tuple[float, float], medium: Medium
) -> list[Item]:
    """Draw the floor as it is cut, and the covering on it."""
    top = [(outer[0], floor[0][1]), *floor, (outer[1], floor[-1][1])]
    low = min(z for _, z in floor) - SLAB_MM
    face = Area([*top, (outer[1], low), (outer[0], low)]).buffer(0)
    items = cut_face(face, medium)
    thick = scene.plan.room.floor.covering.thickness_mm
    if thick:
        on = [*floor, *((s, z + thick) for s, z in reversed(floor))]
        items.append(Polygon(tuple((s, -z) for s, z in on), "covering"))
    return items


def _wall(
    left: float, right: float, holes: Sequence[tuple[float, float]], roof: float, medium: Medium
) -> list[Item]:
    whole: BaseGeometry = shapely.box(left, -SLAB_MM, right, roof)
    items: list[Item] = []
    for low, high in holes:
        whole = whole.difference(shapely.box(left - 1, low, right + 1, high))
        middle = (left + right) / 2
        items.append(Line((middle, -low), (middle, -high), "leaf"))
        items.append(Line((left, -low), (left, -high), "thin"))
        items.append(Line((right, -low), (right, -high), "thin"))
    return [*cut_face(whole, medium), *items]


def _piece(seen: Seen) -> Group:
    loaded = seen.placed.kit.bar is not None
    shapes = tuple(_box(box, loaded) for box in seen.boxes)
    return Group(shapes, "piece", (("piece", seen.placed.piece.id),))


def _box(box: Box, loaded: bool) -> Item:
    """Draw a prism; plates of a bar that one sees end on are round."""
    wide, high = box.right - box.left, box.high - box.low
    if loaded and math.isclose(wide, high, rel_tol=_ROUND_WITHIN):
        middle = ((box.left + box.right) / 2, -(box.low + box.high) / 2)
        return Circle(middle, wide / 2, box.ink)
    low, high = -box.low, -box.high
    a, b = box.raised
    ring = (
        (box.left, low - a),
        (box.right, low - b),
        (box.right, high - b),
        (box.left, high - a),
    )
    return Polygon(ring, box.ink)


def _cut_boxes(shell: Shell) -> Iterator[BaseGeometry]:
    """Yield floor and walls as they are cut, y down: no number stands in them."""
    low = min(z for _, z in shell.floor)
    yield shapely.box(shell.outer[0], -low, shell.outer[1], SLAB_MM - low)
    for a, b, _ in shell.walls:
        yield shapely.box(a, -roof_over(shell.runs, a, b, shell.lid), b, SLAB_MM)


def _crowd(shell: Shell, seen: Sequence[Seen]) -> Crowd:
    """Return the edges of the kit, and walls and floor as they are cut, which nothing may hide."""
    boxes = [box for one in seen for box in one.boxes]
    crowd = Crowd([shapely.box(b.left, -b.high, b.right, -b.low).boundary for b in boxes])
    for area in _cut_boxes(shell):
        crowd.take(area)
    return crowd


def _balloons(rings: Sequence[Item]) -> Iterator[BaseGeometry]:
    """Yield the room that the numbers of the pieces take."""
    for one in rings:
        if isinstance(one, Circle):
            yield shapely.Point(one.centre).buffer(one.radius)


def _bounds_of(seen: Seen) -> tuple[float, float, float, float]:
    """Return the box of a piece, y down."""
    boxes = seen.boxes
    x0, x1 = min(b.left for b in boxes), max(b.right for b in boxes)
    return x0, -max(b.high for b in boxes), x1, -min(b.low for b in boxes)


def _boxes(items: Sequence[Item], medium: Medium) -> list[BaseGeometry]:
    """Return what the lettering of some items takes."""
    return [box for item in items for box in text_boxes(item, medium.em_mm)]


def _lines(items: Sequence[Item]) -> list[BaseGeometry]:
    """Return the lines of groups that are neither moved nor turned."""
    return [shapely.LineString([one.start, one.end]) for one in lines_of(items)]
