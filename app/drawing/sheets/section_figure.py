"""One section as a figure: floor, walls, kit, people, what hangs overhead, and heights."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely import Polygon as Area
from shapely.geometry.base import BaseGeometry

from app.drawing.body import silhouette
from app.drawing.composed import Figure
from app.drawing.hatching import hatch
from app.drawing.lettering import width_of
from app.drawing.medium import Medium, region
from app.drawing.placing import Crowd, Spot
from app.drawing.primitives import Circle, Group, Item, Line, Point, Polygon, Polyline, Text
from app.drawing.section import given_of
from app.drawing.section_frame import Disc, Oval, Slab, Thing
from app.drawing.section_pose import stance
from app.drawing.sheets.cutting_plane import (
    Cut,
    Seen,
    ceiling_over,
    floor_line,
    floor_z,
    hung,
    pieces_behind,
    walls_cut,
)
from app.drawing.sheets.front import front_view
from app.drawing.sheets.tightest import Stand
from app.drawing.sheets.upright import level_line, upright
from app.scene.build import Scene
from app.units import format_short

SLAB_MM, LID_MM = 150.0, 120.0
"""How thick floor and ceiling are drawn: what is in them is not known and not told."""
_NEAR_MM = 800.0
"""People this near to the cut are drawn on it."""
_APART_MM, _BODY_MM, _DIMS_EM = 1300.0, 700.0, 6.0
"""How far apart people are drawn: their bodies and the dimensions between them."""
_STRIP_MM = 300.0
"""Beside a wall the clear height is taken over a strip so wide on both sides of the cut."""

_PARALLEL = 0.98


def section_figure(
    scene: Scene, cut: Cut, every: Sequence[Stand], numbers: dict[str, int], medium: Medium
) -> Figure:
    """Draw a section, y down, the datum of the floor at 0."""
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
        items += _wall(a, b, holes, lid, medium)
    seen = pieces_behind(scene, cut)
    items += [_piece(one) for one in seen]
    items += _overhead(scene, runs, cut, left, right)
    people = _standing(every, cut, medium.em_mm)
    dims: list[Item] = []
    taken: list[BaseGeometry] = []
    for one in people:
        shown, marks, area = _person(scene, cut, one, medium, lid)
        items.append(shown)
        dims.append(marks)
        taken += [area, *_text_boxes(marks, medium.em_mm)]
    items += dims
    rings = _rings(seen, numbers, taken, medium)
    items.append(Group(rings, "layer-numbers"))
    chain, reach = _chains(scene, cut, inner, outer, medium)
    items += chain
    em = medium.em_mm
    foot = max(SLAB_MM, -min(z for _, z in floor) + SLAB_MM) + em * 4.6
    title = f"Section {cut.name}"
    items.append(Text(((left + right) / 2, foot + em * 1.2), title, "head"))
    x0, x1 = outer[0] - em * 4.4, outer[1] + em * 4.4
    return Figure(
        tuple(items), (min(x0, reach[0]), -lid - em * 1.2, max(x1, reach[1]), foot + em * 1.7)
    )


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


def _wall(
    left: float, right: float, holes: Sequence[tuple[float, float]], lid: float, medium: Medium
) -> list[Item]:
    whole: BaseGeometry = shapely.box(left, -SLAB_MM, right, lid)
    items: list[Item] = []
    for low, high in holes:
        whole = whole.difference(shapely.box(left - 1, low, right + 1, high))
        middle = (left + right) / 2
        items.append(Line((middle, -low), (middle, -high), "leaf"))
        items.append(Line((left, -low), (left, -high), "thin"))
        items.append(Line((right, -low), (right, -high), "thin"))
    return [*_cut_face(whole, medium), *items]


def _piece(seen: Seen) -> Group:
    boxes = tuple(
        Polygon(
            (
                (box.left, -box.low),
                (box.right, -box.low),
                (box.right, -box.high),
                (box.left, -box.high),
            ),
            box.ink,
        )
        for box in seen.boxes
    )
    return Group(boxes, "piece", (("piece", seen.placed.piece.id),))


def _overhead(
    scene: Scene,
    runs: Sequence[tuple[object, list[Point]]],
    cut: Cut,
    left: float,
    right: float,
) -> list[Item]:
    items: list[Item] = []
    joists = scene.room.room.ceiling.joists
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
        elif kind != "ceiling":
            ring = ((s0, -z0), (s1, -z1), (s1, -z1 - 90), (s0, -z0 - 90))
            items.append(Polygon(ring, "thing"))
    return items


def _standing(every: Sequence[Stand], cut: Cut, em: float) -> list[Stand]:
    """Return who is drawn on a cut: the tightest first, each where no other stands."""
    shown: list[tuple[float, Stand]] = []
    # dimensions stand on both sides of each
    apart = max(_APART_MM, _BODY_MM + _DIMS_EM * em)
    for one in every:
        s, t = cut.flat(np.array([one.bay.at]))[0]
        if abs(t) <= _NEAR_MM and all(abs(s - other) >= apart for other, _ in shown):
            shown.append((float(s), one))
    return [one for _, one in shown[:3]]


def _person(
    scene: Scene, cut: Cut, one: Stand, medium: Medium, lid: float
) -> tuple[Item, Item, BaseGeometry]:
    """Draw a person at the top of a movement, and the heights that decide beside them."""
    bay = one.bay
    s = float(cut.flat(np.array([bay.at]))[0][0])
    base = floor_z(scene.room.room, bay.at)
    pose = stance(bay.movement.key, given_of(scene, bay))
    way = bay.facing[0] * cut.along[0] + bay.facing[1] * cut.along[1]
    if abs(way) > _PARALLEL:
        flip = 1.0 if way > 0 else -1.0
        person = silhouette(pose.joints)
        things = [_turned(_thing(thing), flip) for thing in (*pose.behind, *pose.held)]
        parts = [
            region(_placed(_mirrored(person.far, flip), s, base), "person-far"),
            region(_placed(_mirrored(person.near, flip), s, base), "person"),
        ]
        area = _placed(_mirrored(shapely.union_all([person.near, person.far]), flip), s, base)
        held = [Group((thing,), move=(s, -base)) for thing in things]
    else:
        grips = bay.movement.held == "bar"
        body = front_view(pose.joints, grips)
        area = _placed(body, s, base)
        parts = [region(area, "person")]
        held = [Group(_bar(one, pose.joints.hands[0][1]), move=(s, -base))] if grips else []
    group = Group((*parts, *held), "person-group")
    x0, _, x1, _ = area.bounds
    return group, _heights(scene, one, (x0, x1), base, medium), area


def _bar(one: Stand, grip_mm: float) -> tuple[Item, ...]:
    """Draw the bar that is held, seen from the front, with its plates."""
    held = one.bay.held
    half, sleeve, r = held.shaft_mm / 2, held.sleeve_mm, held.plate_mm / 2
    thin = held.shaft_diameter_mm / 2
    items: list[Item] = [
        _box(-half - sleeve, half + sleeve, grip_mm - thin, grip_mm + thin, "dark")
    ]
    for side in (-1, 1):
        a, b = sorted((side * (half + 15), side * (half + 85)))
        items.append(_box(a, b, grip_mm - r, grip_mm + r, "dark"))
    return tuple(items)


def _box(x0: float, x1: float, z0: float, z1: float, ink: str) -> Polygon:
    return Polygon(((x0, -z0), (x1, -z0), (x1, -z1), (x0, -z1)), ink)


def _heights(
    scene: Scene, one: Stand, ends: tuple[float, float], base: float, medium: Medium
) -> Group:
    """Draw what is clear on the left and what is taken on the right, the difference marked."""
    bay, em, units = one.bay, medium.em_mm, scene.plan.units
    tone = "stop" if bay.hits else "care" if bay.short else "ok"
    takes = bay.demand.least_mm if bay.hits else bay.demand.need_mm
    low, high = sorted((bay.clear_mm, takes))
    left, right = ends[0] - em * 1.6, ends[1] + em * 1.6
    items: list[Item] = []
    if tone != "ok":
        ring = (
            (ends[0], -base - low),
            (ends[1], -base - low),
            (ends[1], -base - high),
            (ends[0], -base - high),
        )
        items.append(Polygon(ring, "missing-edge" if tone == "stop" else "short-edge"))
    items += level_line(left - em * 0.5, right + em * 0.5, base + bay.clear_mm)
    items += upright(
        left, base, base + bay.clear_mm, f"{format_short(bay.clear_mm, units)} clear", em
    )
    word = "least" if bay.hits else "need"
    items += upright(
        right, base, base + takes, f"{format_short(takes, units)} {word}", em, after=True
    )
    gap = format_short(high - low, units)
    words = {"stop": f"{gap} missing", "care": f"{gap} short", "ok": f"{gap} spare"}[tone]
    items.append(
        Text(((ends[0] + ends[1]) / 2, -base - high - em * 0.4), words, f"dimt dimt-{tone}")
    )
    data = (
        ("movement", bay.movement.key),
        ("person", bay.person.id),
        ("clear", f"{bay.clear_mm:.2f}"),
        ("x", f"{bay.at[0]:.2f}"),
        ("y", f"{bay.at[1]:.2f}"),
    )
    return Group(tuple(items), "heights", data)


def _text_boxes(item: Item, em: float) -> list[BaseGeometry]:
    """Return the boxes of the lettering of a group that is neither moved nor turned."""
    if isinstance(item, Group):
        return [box for child in item.children for box in _text_boxes(child, em)]
    if not isinstance(item, Text):
        return []
    half = width_of(item.words, em, bold=True) / 2
    (x, y), high = item.at, em * 0.8
    if item.turn_deg:
        return [shapely.box(x - high, y - half, x, y + half)]
    return [shapely.box(x - half, y - high, x + half, y)]


def _rings(
    seen: Sequence[Seen], numbers: dict[str, int], taken: Sequence[BaseGeometry], medium: Medium
) -> tuple[Item, ...]:
    radius = medium.em_mm * 0.74
    crowd = Crowd([])
    for area in taken:
        crowd.take(shapely.box(*area.bounds))
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
        over = -z1 - radius * 1.2
        spots += [Spot((x, over), 1.1) for x in (x0 + radius, (x0 + x1) / 2, x1 - radius)]
        spots += [Spot((x, -z1 + radius), 1.3) for x in (x0 - radius * 1.2, x1 + radius * 1.2)]
        x, y = crowd.place(radius * 2, radius * 2, spots)
        items.append(Circle((x, y), radius, "balloon"))
        number = str(numbers[one.placed.piece.id])
        items.append(Text((x, y + medium.em_mm * 0.36), number, "numeral"))
    return tuple(items)


def _chains(
    scene: Scene,
    cut: Cut,
    inner: Sequence[tuple[float, float]],
    outer: tuple[float, float],
    medium: Medium,
) -> tuple[list[Item], tuple[float, float]]:
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
    reach = [outer[0], outer[1]]
    for s, x, inwards in (
        (inner[0][0], outer[0] - em * 2.2, 1.0),
        (inner[-1][1], outer[1] + em * 2.2, -1.0),
    ):
        near = cut.place(s + inwards * 5)
        far = cut.place(s + inwards * (5 + _STRIP_MM * 2))
        beside = shapely.LineString([near, far]).buffer(_STRIP_MM, cap_style="flat")
        strip = beside.intersection(scene.room.free)
        heights, _ = scene.room.shut.clear(np.array([strip], dtype=object))
        clear = float(heights[0])
        if not np.isfinite(clear):
            continue
        base = floor_z(scene.room.room, near)
        items += level_line(min(x, s), max(x, s), base + clear)
        data = (("clear", f"{clear:.2f}"), ("x", f"{near[0]:.2f}"), ("y", f"{near[1]:.2f}"))
        words = format_short(clear, units)
        marks = upright(x, base, base + clear, words, em, after=inwards < 0)
        items.append(Group(tuple(marks), "height-of-room", data))
        reach = [min(reach[0], x - em * 1.6), max(reach[1], x + em * 1.6)]
    return items, (reach[0], reach[1])


def _thing(thing: Thing) -> Item:
    match thing:
        case Disc():
            return Circle((thing.at[0], -thing.at[1]), thing.radius_mm, _ink(thing.ink))
        case Slab():
            return Polygon(tuple((x, -z) for x, z in thing.corners), _ink(thing.ink))
        case Oval():
            ring = shapely.Point(0, 0).buffer(1, quad_segs=12).exterior
            x, z = thing.middle
            w, h = thing.half_width_mm, thing.half_height_mm
            points = tuple((x + w * a, -z - h * b) for a, b in ring.coords[:-1])
            return Polyline((*points, points[0]), "thin")


def _ink(ink: str) -> str:
    """Return how a thing of a stance looks on paper."""
    plain = {"plate": "dark", "sleeve": "thing", "bar-middle": "thing", "handle": "edge-ring"}
    return plain.get(ink, "thing" if "pad" not in ink else "pad")


def _turned(item: Item, flip: float) -> Item:
    if flip > 0:
        return item
    match item:
        case Circle():
            return Circle((-item.centre[0], item.centre[1]), item.radius, item.ink)
        case Polygon():
            return Polygon(tuple((-x, y) for x, y in item.points), item.ink)
        case Polyline():
            return Polyline(tuple((-x, y) for x, y in item.points), item.ink)
    return item


def _mirrored(area: BaseGeometry, flip: float) -> BaseGeometry:
    return shapely.transform(area, lambda xy: xy * (flip, 1))


def _placed(area: BaseGeometry, s: float, base: float) -> BaseGeometry:
    """Put an outline about its own middle on the section, y down."""
    return shapely.transform(area, lambda xy: (xy + np.array([s, base])) * (1, -1))
