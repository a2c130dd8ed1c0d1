"""The people of a section: each at the top of a movement, from the side or from the front."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from app.drawing.body import silhouette
from app.drawing.lettering import text_boxes, width_of
from app.drawing.medium import Medium, region
from app.drawing.primitives import Circle, Group, Item, Line, Point, Polygon, Polyline, Text
from app.drawing.section import given_of
from app.drawing.section_bay import lowest_place
from app.drawing.section_frame import Disc, Oval, Slab, Thing
from app.drawing.section_pose import stance
from app.drawing.sheets.cutting_plane import (
    Cut,
    floor_z,
)
from app.drawing.sheets.front import front_view
from app.drawing.sheets.tightest import Stand
from app.drawing.sheets.upright import level_line, upright
from app.scene.build import Scene
from app.scene.tolerance import TOLERANCE_MM
from app.units import format_short

_NEAR_MM = 800.0
"""People this near to the cut are drawn on it."""
_NEAR_CUT_MM = 50.0
"""A height so near to the cut is told as if it were on it."""
UP_TO_CEILING = ("beam", "bulkhead")
"""Low things that reach up to the ceiling; pipes, ducts and lights hang under it."""
BESIDE_EM = 2.9
"""What the dimensions of a person take beside the body, in sizes of the lettering."""
_PARALLEL = 0.98
_GROUND_EM = 0.12
"""What the white under lettering reaches past it: less than it keeps off its dimension line."""
_AIR_EM = 0.1
"""What a letter on a body keeps off its outline."""
_CHEST = (0.3, 0.36, 0.42, 0.5, 0.6, 0.7, 0.8)
"""Where on a body its letter is tried, from its top down: the chest of who stands first."""
_MUCH = 1.25
"""How much wider a body must be lower down for its letter to stand there."""
_LABEL_EM = 1.5
"""What words need between two levels, in sizes of the lettering."""


def standing(every: Sequence[Stand], cut: Cut) -> list[Stand]:
    """Return who trains near a cut, the tightest first."""
    return [one for one in every if abs(cut.flat(np.array([one.bay.at]))[0][1]) <= _NEAR_MM]


def drawn_person(
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
        before = things
    else:
        grips = bay.movement.held == "bar"
        body = front_view(pose.joints, grips)
        area = _placed(body, s, base)
        parts = [region(area, "person")]
        before = [*_bar(one, pose.joints.hands[0][1])] if grips else []
    solids = [translate(_solid(thing), s, -base) for thing in before]
    letter = _letter(scene.plan.called(bay.person.id), area, solids, medium)
    held = Group(tuple(before), move=(s, -base))
    group = Group((*parts, held, *letter), "person-group")
    x0, _, x1, _ = area.bounds
    true = lowest_place(bay)
    off, behind = cut.flat(np.array([true]))[0].tolist()
    # where it is as low over the body itself the height is drawn beside that
    here = shapely.LineString([cut.place(x0), cut.place(x1)]).buffer(_seen_mm(scene))
    over, _ = bay.overhead.clear(np.array([here], dtype=object))
    same = abs(float(over[0]) - bay.clear_mm) <= 2 * TOLERANCE_MM
    where = None if same or true == bay.at else (off, behind)
    return group, _heights(scene, one, (x0, x1), (base, lid), medium, true, where), area


def _seen_mm(scene: Scene) -> float:
    """Return how near to the cut a height is told as if it were on it: the nearest joist is."""
    joists = scene.room.room.ceiling.showing
    return joists.spacing_mm if joists is not None else _NEAR_CUT_MM


def _letter(
    called: str, body: BaseGeometry, before: Sequence[BaseGeometry], medium: Medium
) -> tuple[Item, ...]:
    """Letter on a body who it is, where it is widest and nothing is held before it."""
    em = medium.em_mm
    wide = width_of(called, em, bold=True)
    free = body.buffer(-em * _AIR_EM).difference(shapely.union_all([*before]).buffer(em * _AIR_EM))
    x0, y0, x1, y1 = body.bounds
    best: tuple[float, Point] | None = None
    for share in _CHEST:
        y = y0 + (y1 - y0) * share
        across = shapely.LineString([(x0, y), (x1, y)]).intersection(free)
        for part in shapely.get_parts(across):
            if part.is_empty:
                # a body too small for any letter
                continue
            x = part.centroid.x
            box = shapely.box(x - wide / 2, y - em * 0.4, x + wide / 2, y + em * 0.4)
            if (best is None or part.length > best[0] * _MUCH) and free.covers(box):
                best = part.length, (x, y)
    if best is None:
        return ()
    x, y = best[1]
    return (Text((x, y + em * 0.36), called, "person-letter"),)


def _solid(item: Item) -> BaseGeometry:
    """Return the area of something that is held."""
    match item:
        case Circle():
            return shapely.Point(item.centre).buffer(item.radius)
        case Polygon() | Polyline():
            return shapely.Polygon(item.points)
    raise TypeError(item)


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
    scene: Scene,
    one: Stand,
    ends: tuple[float, float],
    levels: tuple[float, float],
    medium: Medium,
    true: Point,
    where: Point | None,
) -> Group:
    """Draw what is clear on the left and what is taken on the right, the difference marked.

    `levels` are the floor there and the upper edge of the ceiling as it is drawn, `true` is where
    in the room it is as low as that. Where that is beside the body, `where` is it along the cut and
    behind it: the height stands there, and what is missing too.
    """
    base, lid = levels
    bay, em, units = one.bay, medium.em_mm, scene.plan.units
    tone = "stop" if bay.hits else "care" if bay.short else "ok"
    takes = bay.demand.least_mm if bay.hits else bay.demand.need_mm
    low, high = sorted((bay.clear_mm, takes))
    left, right = ends[0] - em * 1.6, ends[1] + em * 1.6
    behind = ""
    if where is not None:
        off, deep = where
        half = (ends[1] - ends[0]) / 2
        if not ends[0] <= off <= ends[1]:
            # what is missing is missing there, not over the body
            left = off
            ends = (off, off + half) if off < ends[0] else (off - half, off)
        if abs(deep) > _seen_mm(scene):
            behind = f", {format_short(abs(deep), units)} {'behind' if deep > 0 else 'before'} it"
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
    if tone == "ok" and high - low > em * _LABEL_EM:
        # what is spare, from the one level to the other: its words break the line
        middle = (ends[0] + ends[1]) / 2
        items += level_line(middle - em * 1.5, right + em * 0.5, base + takes)
        items += _span(middle, base + low, base + high, em)
    clear = f"{format_short(bay.clear_mm, units)} clear{behind}"
    word = "least" if bay.hits else "need"
    need = f"{format_short(takes, units)} {word}"
    # in a hall on small paper figures are longer than a room is high: then the list has them alone
    if max(width_of(clear, em), width_of(need, em)) + em <= bay.clear_mm:
        items += _on_ground(upright(left, base, base + bay.clear_mm, clear, em), em)
        items += _on_ground(upright(right, base, base + takes, need, em, after=True), em)
    gap = format_short(high - low, units)
    words = {"stop": f"{gap} missing", "care": f"{gap} short", "ok": f"{gap} spare"}[tone]
    foot = _label_foot(base + low, base + high, lid, tone == "ok", em)
    if any(one.name == bay.cause and one.kind in UP_TO_CEILING for one in bay.overhead.items):
        # else it would stand in the beam
        foot = max(foot, lid + em * 0.4) if high - low <= em * _LABEL_EM or tone != "ok" else foot
    label = Text(((ends[0] + ends[1]) / 2, -foot), words, f"dimt dimt-{tone}")
    items += _on_ground([label], em)
    data = (
        ("movement", bay.movement.key),
        ("person", bay.person.id),
        ("clear", f"{bay.clear_mm:.2f}"),
        ("x", f"{true[0]:.2f}"),
        ("y", f"{true[1]:.2f}"),
    )
    return Group(tuple(items), "heights", data)


def _span(x: float, low: float, high: float, em: float) -> list[Item]:
    """Draw an upright dimension line with its ticks."""
    slant = em * 0.3
    ticks = [Line((x - slant, -z + slant), (x + slant, -z - slant), "tick") for z in (low, high)]
    return [Line((x, -low), (x, -high), "dim"), *ticks]


def _on_ground(items: Sequence[Item], em: float) -> list[Item]:
    """Put white under lettering, so that no line of the kit behind runs between its letters."""
    grounds: list[Item] = []
    for item in items:
        for box in text_boxes(item, em):
            x0, y0, x1, y1 = box.buffer(em * _GROUND_EM, join_style="mitre").bounds
            ring = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
            grounds.append(Polygon(ring, "figure-ground"))
    return [*grounds, *items]


def _label_foot(low: float, high: float, lid: float, free: bool, em: float) -> float:
    """Return the height on which the words for a difference stand, clear of the ceiling.

    They stand in what is spare where they find room there, else over it; what would come into the
    ceiling as it is drawn stands over that.
    """
    if free and high - low > em * _LABEL_EM:
        return (low + high) / 2 - em * 0.36
    over = high + em * 0.4
    return lid + em * 0.4 if high < lid < over + em * 2.0 or low < lid <= high else over


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
