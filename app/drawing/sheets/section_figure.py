"""One section as a figure: floor, walls, kit, people, what hangs overhead, and heights."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString
from shapely import Polygon as Area
from shapely.geometry.base import BaseGeometry

from app.drawing.figures_placed import Figure
from app.drawing.hatching import hatch
from app.drawing.lettering import text_boxes
from app.drawing.medium import Medium, region
from app.drawing.placing import Crowd, Spot
from app.drawing.primitives import Circle, Group, Item, Line, Point, Polygon, Text
from app.drawing.sheets.cutting_plane import (
    Box,
    Cut,
    Seen,
    ceiling_over,
    floor_line,
    floor_z,
    hung,
    walls_cut,
)
from app.drawing.sheets.section_beyond import (
    door_heights,
    open_doors,
    openings_behind,
    strips_behind,
)
from app.drawing.sheets.section_glass import glass_seen
from app.drawing.sheets.section_people import BESIDE_EM, UP_TO_CEILING, drawn_person, standing
from app.drawing.sheets.stuck import stuck_marks
from app.drawing.sheets.tightest import Stand
from app.drawing.sheets.upright import level_line, upright
from app.scene.build import Scene
from app.units import format_short

SLAB_MM, LID_MM = 150.0, 120.0
"""How thick floor and ceiling are drawn: what is in them is not known and not told."""
_AIR_EM = 0.3
"""What is free round figures that a number keeps off."""
_MOST_PEOPLE = 3
_ROUND_WITHIN = 0.02
"""A plate seen end on is as wide as it is high, but for the turn of its bar."""
_STRIP_MM = 300.0
"""What hangs low beside a wall is looked for over a strip so wide on both sides of the cut."""
_AT_WALL_MM = 0.5
"""So near to a wall, and to the cut, a ceiling is as high as at the wall, also a steep one."""
_HUNG_MM = 90.0
"""How high what hangs is drawn: of its height only the underside is known."""
_BESIDE_MM = 5.0
"""So far inside the room the floor at a wall is asked for."""


def section_figure(
    scene: Scene,
    cut: Cut,
    every: Sequence[Stand],
    seen: Sequence[Seen],
    numbers: dict[str, int],
    medium: Medium,
) -> Figure:
    """Draw a section, y down, the datum of the floor at 0; `seen` are the pieces behind the cut."""
    inner = cut.spans(scene.room.outline)
    left, right = inner[0][0], inner[-1][1]
    walls = list(walls_cut(scene, cut))
    outer = (min([left, *(a for a, _, _ in walls)]), max([right, *(b for _, b, _ in walls)]))
    overhead = scene.room.training
    runs = list(hung(scene, cut, overhead))
    lid = ceiling_over(runs) + LID_MM
    floor = floor_line(scene, cut, left, right)
    items: list[Item] = [*_ground(scene, floor, outer, medium), *_lid(runs, lid, medium)]
    for a, b, holes in walls:
        items += _wall(a, b, holes, _roof(runs, a, b, lid), medium)
    items += openings_behind(scene, cut, inner)
    items += glass_seen(scene, cut, inner)
    items += strips_behind(scene, cut, inner)
    shown = _shown(standing(every, cut), cut, medium, scene, lid)
    items += [_piece(one) for one in seen]
    items += [*_joists_behind(scene, cut, runs), *_overhead(scene, runs, medium)]
    items += open_doors(scene, cut, inner)
    items += [person.body for person in shown]
    dims: list[Item] = [person.heights for person in shown]
    taken: list[BaseGeometry] = []
    for person in shown:
        taken += [person.area, *text_boxes(person.heights, medium.em_mm)]
    bounds = section_bounds(scene, cut, medium)
    roof = [LineString([(x, -z) for x, z in run]) for _, run in runs]
    dims += stuck_marks(scene, seen, taken, roof, lid, bounds, medium)
    taken += [box for item in dims for box in text_boxes(item, medium.em_mm)]
    told = list(door_heights(scene, cut, inner, taken, medium))
    taken += [box for text in told for box in text_boxes(text, medium.em_mm)]
    items += [*told, *dims]
    # no number stands in what is cut
    for item, run in runs:
        if getattr(item, "kind", "") in ("ceiling", *UP_TO_CEILING):
            low = min(z for _, z in run)
            taken.append(shapely.box(run[0][0], -lid - LID_MM, run[-1][0], -low))
    rings = _rings(seen, numbers, taken, list(_lines(dims)), medium)
    items.append(Group(rings, "layer-numbers"))
    items += _chains(scene, cut, inner, outer, medium)
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
    every: Sequence[Stand], cut: Cut, medium: Medium, scene: Scene, lid: float
) -> list[_Person]:
    """Draw whoever finds room, the tightest first: each where no other is, dimensions included."""
    shown: list[_Person] = []
    spans: list[tuple[float, float]] = []
    for one in every:
        body, marks, area = drawn_person(scene, cut, one, medium, lid)
        beside = medium.em_mm * BESIDE_EM
        span = (area.bounds[0] - beside, area.bounds[2] + beside)
        if any(span[0] < b and span[1] > a for a, b in spans) or len(spans) == _MOST_PEOPLE:
            continue
        spans.append(span)
        shown.append(_Person(body, marks, area))
    return shown


def section_bounds(scene: Scene, cut: Cut, medium: Medium) -> tuple[float, float, float, float]:
    """Return all that a section reaches to, its dimensions and title included."""
    inner = cut.spans(scene.room.outline)
    left, right = inner[0][0], inner[-1][1]
    walls = list(walls_cut(scene, cut))
    x0, x1 = min([left, *(a for a, _, _ in walls)]), max([right, *(b for _, b, _ in walls)])
    lid = ceiling_over(list(hung(scene, cut, scene.room.training))) + LID_MM
    low = min(z for _, z in floor_line(scene, cut, left, right))
    em = medium.em_mm
    beside, foot = em * 3.4, max(SLAB_MM, SLAB_MM - low) + em * 3.9
    return x0 - beside, -lid - em * 1.2, x1 + beside, foot


def _ground(
    scene: Scene, floor: Sequence[Point], outer: tuple[float, float], medium: Medium
) -> list[Item]:
    """Draw the floor as it is cut, and the covering on it."""
    top = [(outer[0], floor[0][1]), *floor, (outer[1], floor[-1][1])]
    low = min(z for _, z in floor) - SLAB_MM
    face = Area([*top, (outer[1], low), (outer[0], low)]).buffer(0)
    items = _cut_face(face, medium)
    thick = scene.plan.room.floor.covering.thickness_mm
    if thick:
        on = [*floor, *((s, z + thick) for s, z in reversed(floor))]
        items.append(Polygon(tuple((s, -z) for s, z in on), "covering"))
    return items


def _cut_face(area: BaseGeometry, medium: Medium) -> list[Item]:
    shape = shapely.transform(area, lambda xy: xy * (1, -1))
    return [
        region(shape, "cut-face"),
        hatch(shape, medium.em_mm * 0.5, -45.0, "hatch-line"),
        region(shape, "cut"),
    ]


def _lid(runs: Sequence[tuple[object, list[Point]]], lid: float, medium: Medium) -> list[Item]:
    """Draw the ceiling as it is cut: of planes over one another only the lowest is there."""
    solids = [
        Area([*run, (run[-1][0], lid), (run[0][0], lid)]).buffer(0)
        for item, run in runs
        if getattr(item, "kind", "") == "ceiling"
    ]
    if not solids:
        return []
    whole = shapely.union_all(solids).buffer(0.5).buffer(-0.5)
    thick = LID_MM * 0.7
    face = whole.difference(shapely.affinity.translate(whole, 0, thick))
    return _cut_face(face, medium)


def _roof(
    runs: Sequence[tuple[object, list[Point]]], left: float, right: float, lid: float
) -> float:
    """Return how high a wall is drawn: up to the ceiling that it carries, and through it."""
    ceilings = [run for item, run in runs if getattr(item, "kind", "") == "ceiling"]
    sides = [z for s in (left, right) if (z := _ceiling_at(s, ceilings)) is not None]
    return max(sides) + LID_MM if sides else lid


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
    return [*_cut_face(whole, medium), *items]


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


def _overhead(
    scene: Scene,
    runs: Sequence[tuple[object, list[Point]]],
    medium: Medium,
) -> list[Item]:
    """Draw what hangs under the ceiling where it is cut: beams and bulkheads up to the ceiling."""
    items: list[Item] = []
    ceilings = [run for item, run in runs if getattr(item, "kind", "") == "ceiling"]
    joists = scene.room.room.ceiling.showing
    depth = joists.depth_mm if joists else 0.0
    wide = joists.width_mm if joists else 0.0
    for item, run in runs:
        kind = getattr(item, "kind", "")
        (s0, z0), (s1, z1) = run
        if kind == "joist":
            ink = "joist-side" if s1 - s0 > 4 * wide else "joist-end"
            ring = ((s0, -z0), (s1, -z1), (s1, -z1 - depth), (s0, -z0 - depth))
            items.append(Polygon(ring, ink))
        elif kind == "door":
            ring = ((s0, -z0), (s1, -z1), (s1, -z1 - 45), (s0, -z0 - 45))
            items.append(Polygon(ring, "thing"))
        elif kind in UP_TO_CEILING:
            top = _ceiling_at((s0 + s1) / 2, ceilings)
            high = max(z0, z1) + _HUNG_MM if top is None else max(z0, z1, top)
            items += _cut_face(shapely.box(s0, min(z0, z1), s1, high), medium)
        elif kind != "ceiling":
            ring = ((s0, -z0), (s1, -z1), (s1, -z1 - _HUNG_MM), (s0, -z0 - _HUNG_MM))
            items.append(Polygon(ring, "thing"))
    return items


def _joists_behind(
    scene: Scene, cut: Cut, runs: Sequence[tuple[object, list[Point]]]
) -> Iterator[Item]:
    """Yield the joist that one looks at behind a cut that runs between two of them."""
    joists = scene.room.room.ceiling.showing
    if joists is None or any(getattr(item, "kind", "") == "joist" for item, _ in runs):
        return
    behind = []
    for item in scene.room.training.items:
        if item.kind == "joist":
            flat = cut.flat(shapely.get_coordinates(item.polygon))
            under = float(item.heights(item.polygon).min())
            behind.append((float(flat[:, 1].min()), flat[:, 0].min(), flat[:, 0].max(), under))
    seen = [one for one in behind if one[0] > 0]
    if seen:
        _, s0, s1, z = min(seen)
        ring = ((s0, -z), (s1, -z), (s1, -z - joists.depth_mm), (s0, -z - joists.depth_mm))
        yield Polygon(ring, "seen")


def _ceiling_at(s: float, ceilings: Sequence[list[Point]]) -> float | None:
    """Return how high the ceiling is at a place of the cut, the lowest of planes over it."""
    heights = [
        float(np.interp(s, (s0, s1), (z0, z1)))
        for (s0, z0), (s1, z1) in ceilings
        if s0 - _AT_WALL_MM <= s <= s1 + _AT_WALL_MM
    ]
    return min(heights, default=None)


def _lines(items: Sequence[Item]) -> Iterator[BaseGeometry]:
    """Yield the lines of groups that are neither moved nor turned."""
    for item in items:
        if isinstance(item, Group):
            yield from _lines(item.children)
        elif isinstance(item, Line):
            yield shapely.LineString([item.start, item.end])


def _rings(
    seen: Sequence[Seen],
    numbers: dict[str, int],
    taken: Sequence[BaseGeometry],
    lines: Sequence[BaseGeometry],
    medium: Medium,
) -> tuple[Item, ...]:
    """Number the pieces, off people and figures and, where there is room, off dimension lines."""
    radius = medium.em_mm * 0.74
    crowd = Crowd(lines)
    for area in taken:
        crowd.take(shapely.box(*area.buffer(medium.em_mm * _AIR_EM).bounds))
    items: list[Item] = []
    for one in reversed(seen):
        x0, x1 = min(b.left for b in one.boxes), max(b.right for b in one.boxes)
        z0, z1 = min(b.low for b in one.boxes), max(b.high for b in one.boxes)
        spots = [
            Spot(
                (x0 + (x1 - x0) * across, -(z0 + (z1 - z0) * up)), abs(across - 0.5) + abs(up - 0.6)
            )
            for across in (0.5, 0.3, 0.7, 0.12, 0.88)
            for up in (0.6, 0.8, 0.35, 0.15, 0.93)
        ]
        tallest = max(one.boxes, key=lambda box: box.high)
        top = ((tallest.left + tallest.right) / 2, -z1 - radius * 1.2)
        spots.append(Spot(top, 1.1))
        spots += [Spot((x, -z1 + radius), 1.3) for x in (x0 - radius * 1.2, x1 + radius * 1.2)]
        x, y = crowd.place(radius * 2, radius * 2, spots)
        items.append(Circle((x, y), radius, "balloon"))
        number = str(numbers[one.placed.piece.id])
        items.append(Text((x, y + medium.em_mm * 0.36), number, "numeral"))
    return tuple(items)


def _clear_at_wall(scene: Scene, cut: Cut, s: float, inwards: float) -> float:
    """Return the clear height at an end of the cut: under what hangs low there, else the ceiling.

    A ceiling that slopes is told as high as it is at the wall, not where it is lowest beside it.
    """
    start = cut.place(s)

    def lowest(far_mm: float, aside_mm: float) -> tuple[float, str]:
        line = shapely.LineString([start, cut.place(s + inwards * far_mm)])
        beside = line.buffer(aside_mm, cap_style="flat").intersection(scene.room.free)
        heights, causes = scene.room.shut.clear(np.array([beside], dtype=object))
        item = int(causes[0])
        return float(heights[0]), scene.room.shut.items[item].kind if item >= 0 else ""

    clear, kind = lowest(_STRIP_MM * 2, _STRIP_MM)
    return lowest(_AT_WALL_MM, _AT_WALL_MM)[0] if kind == "ceiling" else clear


def _chains(
    scene: Scene,
    cut: Cut,
    inner: Sequence[tuple[float, float]],
    outer: tuple[float, float],
    medium: Medium,
) -> list[Item]:
    """Draw the width of the room under it, and the clear height beside both ends."""
    em, units = medium.em_mm, scene.plan.units
    items: list[Item] = []
    line = SLAB_MM + em * 2.2
    for left, right in inner:
        items.append(Line((left, line), (right, line), "dim"))
        for x in (left, right):
            items.append(Line((x, line - em * 0.9), (x, line + em * 0.45), "dim"))
            slant = em * 0.3
            items.append(Line((x - slant, line + slant), (x + slant, line - slant), "tick"))
        words = format_short(right - left, units)
        items.append(Text(((left + right) / 2, line - em * 0.35), words, "dimt"))
    for s, x, inwards in (
        (inner[0][0], outer[0] - em * 2.2, 1.0),
        (inner[-1][1], outer[1] + em * 2.2, -1.0),
    ):
        near = cut.place(s + inwards * _BESIDE_MM)
        clear = _clear_at_wall(scene, cut, s, inwards)
        if not np.isfinite(clear):
            continue
        base = floor_z(scene.room.room, near)
        items += level_line(min(x, s), max(x, s), base + clear)
        data = (("clear", f"{clear:.2f}"), ("x", f"{near[0]:.2f}"), ("y", f"{near[1]:.2f}"))
        words = format_short(clear, units)
        marks = upright(x, base, base + clear, words, em, after=inwards < 0)
        items.append(Group(tuple(marks), "height-of-room", data))
    return items
