"""The people of a section: each at the top of a movement, from the side or from the front."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from app.drawing.body import silhouette
from app.drawing.lettering import width_of
from app.drawing.lowest import meets_at
from app.drawing.medium import Medium, region
from app.drawing.picture_person import PLATE_MM
from app.drawing.placing import Crowd
from app.drawing.primitives import Circle, Group, Item, Point, Polygon, Polyline, Text
from app.drawing.section import given_of
from app.drawing.section_frame import Disc, Oval, Slab, Stance, Thing
from app.drawing.section_pose import stance
from app.drawing.sheets.cutting_plane import (
    Cut,
    floor_z,
)
from app.drawing.sheets.front import front_view
from app.drawing.sheets.section_heights import heights, shown_of, taken_on
from app.drawing.sheets.tightest import Stand
from app.scene.build import Scene
from app.scene.swept import Held, held_anywhere

_NEAR_MM = 800.0
"""People this near to the cut are drawn on it."""
BESIDE_EM = 2.9
"""What the dimensions of a person take beside the body, in sizes of the lettering."""
_PARALLEL = 0.98
_AIR_EM = 0.1
"""What a letter on a body keeps off its outline."""
_CHEST = (0.3, 0.36, 0.42, 0.5, 0.6, 0.7, 0.8)
"""Where on a body its letter is tried, from its top down: the chest of who stands first."""
_MUCH = 1.25
"""How much wider a body must be lower down for its letter to stand there."""


def standing(every: Sequence[Stand], cut: Cut) -> list[Stand]:
    """Return who trains near a cut, the tightest first."""
    return [one for one in every if abs(cut.flat(np.array([one.bay.at]))[0][1]) <= _NEAR_MM]


@dataclass(frozen=True, slots=True)
class Body:
    """A person on a section, y down: its parts and its whole area, and what is held before it.

    What is held is drawn about `at`, the place on the floor that they stand on.
    """

    parts: tuple[Item, ...]
    area: BaseGeometry
    before: tuple[Item, ...]
    at: Point


def body_of(scene: Scene, cut: Cut, one: Stand) -> Body:
    """Return somebody at the top of a movement, seen from the side or from the front."""
    bay = one.bay
    s = float(cut.flat(np.array([bay.at]))[0][0])
    base = floor_z(scene.room.room, bay.at)
    pose = stance(bay.movement.key, given_of(scene, bay))
    way = bay.facing[0] * cut.along[0] + bay.facing[1] * cut.along[1]
    if abs(way) > _PARALLEL:
        flip = 1.0 if way > 0 else -1.0
        person = silhouette(pose.joints)
        things = tuple(_turned(_thing(thing), flip) for thing in (*pose.behind, *pose.held))
        parts = (
            region(_placed(_mirrored(person.far, flip), s, base), "person-far"),
            region(_placed(_mirrored(person.near, flip), s, base), "person"),
        )
        area = _placed(_mirrored(shapely.union_all([person.near, person.far]), flip), s, base)
        return Body(parts, area, things, (s, -base))
    grip = _grip_mm(pose)
    held = None if grip is None else bay.held or held_anywhere(scene, bay.movement.key)
    area = _placed(front_view(pose.joints, grip is not None), s, base)
    body, at = region(area, "person"), (s, -base)
    bar = () if held is None or grip is None else _bar(held, grip)
    towards = bay.facing[0] * cut.looking[0] + bay.facing[1] * cut.looking[1]
    if bay.movement.shouldered and towards < 0:
        # it lies behind the neck of whoever faces the eye
        return Body((Group(bar, move=at), body), area, (), at)
    return Body((body,), area, bar, at)


def _grip_mm(pose: Stance) -> float | None:
    """Return how high a bar is held, over the floor that one stands on; None where none is held.

    As it is drawn from the side: the end of a bar has a sleeve, a dumbbell has none.
    """
    sleeves = (one for one in pose.held if isinstance(one, Disc) and one.ink == "sleeve")
    return next((one.at[1] for one in sleeves), None)


def drawn_person(
    scene: Scene, cut: Cut, one: Stand, body: Body, medium: Medium, lid: float, crowd: Crowd
) -> tuple[Item, Item]:
    """Draw a person at the top of a movement, and the heights that decide beside them.

    Their figures keep off what `crowd` knows, where they can, and off the person.
    """
    s, down = body.at
    solids = [translate(_solid(thing), s, down) for thing in body.before]
    letter = _letter(scene.plan.called(one.bay.person.id), body.area, solids, medium)
    held = Group(body.before, move=body.at)
    pale = _where_it_meets(scene, cut, one, body)
    group = Group((*pale, *body.parts, held, *letter), "person-group")
    x0, _, x1, _ = body.area.bounds
    for area in (body.area, *solids):
        crowd.take(area)
    return group, heights(scene, cut, one.bay, (x0, x1), (-down, lid), medium, crowd)


def _where_it_meets(scene: Scene, cut: Cut, one: Stand, body: Body) -> tuple[Item, ...]:
    """Draw somebody a second time, pale, where their head meets what is lower there.

    Nothing where it meets them in the middle of the movement, or off the cut.
    """
    met = meets_at(one.bay)
    if met is None or shown_of(one.bay, cut).away_mm is not None:
        return ()
    aside = float(cut.flat(np.array([met]))[0][0]) - body.at[0]
    area = translate(body.area, aside, 0.0)
    over = taken_on(scene, cut, one.bay, -body.at[1], one.bay.demand.least_mm)
    red = area.intersection(shapely.transform(over, lambda xy: xy * (1, -1)))
    parts: list[Item] = [region(area, "person-pale")]
    if red.area > 0:
        parts.append(region(red, "person-over"))
    return tuple(parts)


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


def _bar(held: Held, grip_mm: float) -> tuple[Item, ...]:
    """Draw the bar that is held, seen from the front, with its plates."""
    half, r = held.length_mm / 2, held.plate_mm / 2
    thin = held.shaft_diameter_mm / 2
    items: list[Item] = [_box(-half, half, grip_mm - thin, grip_mm + thin, "dark")]
    for side in (-1, 1):
        a, b = sorted(side * (held.collar_mm + by) for by in PLATE_MM)
        items.append(_box(a, b, grip_mm - r, grip_mm + r, "dark"))
    return tuple(items)


def _box(x0: float, x1: float, z0: float, z1: float, ink: str) -> Polygon:
    return Polygon(((x0, -z0), (x1, -z0), (x1, -z1), (x0, -z1)), ink)


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
