"""Openings of a figure: leaves, the arcs they turn through, open garage doors, windows."""

from __future__ import annotations

import math
from collections.abc import Iterator

from app.drawing.medium import Level, Medium, region
from app.drawing.primitives import Arc, Group, Item, Line, Point
from app.scene.doors import OpeningShape
from app.scene.room import RoomShape
from app.units import format_short


def doors(room: RoomShape) -> Group:
    """Draw every opening: shut leaves and windows in their holes, turning leaves open."""
    items: list[Item] = []
    for shape in room.openings:
        items += _opening(shape)
    return Group(tuple(items), "layer-doors")


def overhead(room: RoomShape) -> tuple[Item, ...]:
    """Draw what a garage door hangs into the room: its open leaf, tracks, box."""
    return tuple(
        region(hanging.polygon, "overhead")
        for shape in room.openings
        for hanging in (*shape.always, *shape.when_open)
    )


def door_levels(room: RoomShape, medium: Medium) -> tuple[Level, ...]:
    """Return the height under each open garage door and each box."""
    levels = []
    for shape in room.openings:
        hung = [
            *((hanging, "Garage door when open") for hanging in shape.when_open),
            *((hanging, "Roller box") for hanging in shape.always if "box" in hanging.name),
        ]
        for hanging, words in hung:
            height = format_short(hanging.bottom_mm, medium.units)
            inside = hanging.polygon.intersection(room.free)
            where = hanging.polygon if inside.is_empty else inside
            levels.append(Level(f"{words} {height}", where))
    return tuple(levels)


def _opening(shape: OpeningShape) -> Iterator[Item]:
    kind = shape.opening.kind
    deep = shape.wall.wall.thickness_mm + shape.wall.wall.lining_mm
    out = (-shape.inward[0], -shape.inward[1])

    def across(depth: float, ink: str) -> Line:
        return Line(_off(shape.left, out, depth), _off(shape.right, out, depth), ink)

    if kind == "gap":
        yield across(0, "over")
        yield across(deep, "over")
    elif kind == "window":
        yield across(0, "thin")
        yield across(deep, "thin")
        yield across(deep * 0.42, "thin")
        yield across(deep * 0.58, "thin")
    elif kind in ("hinged", "pair"):
        yield across(deep, "thin")
        yield from _turning(shape, deep)
    elif kind == "side-sliding":
        yield across(0, "thin")
        yield across(deep, "thin")
        for sweep in shape.sweeps:
            yield region(sweep.polygon, "overhead")
        yield across(deep * 0.4, "leaf")
    else:
        yield across(deep, "thin")
        yield across(deep * 0.4, "leaf")


def _turning(shape: OpeningShape, deep: float) -> Iterator[Item]:
    opening = shape.opening
    out = (-shape.inward[0], -shape.inward[1])
    moved = deep if opening.swing == "out" else 0.0
    middle = shape.middle
    for leaf in shape.leaves:
        hinge: Point = (leaf.coords[0][0], leaf.coords[0][1])
        tip: Point = (leaf.coords[-1][0], leaf.coords[-1][1])
        if opening.kind == "pair":
            shut = middle
        else:
            far_left = math.dist(hinge, shape.left) > math.dist(hinge, shape.right)
            shut = shape.left if far_left else shape.right
        hinge, tip, shut = (_off(p, out, moved) for p in (hinge, tip, shut))
        cross = (tip[0] - hinge[0]) * (shut[1] - hinge[1]) - (tip[1] - hinge[1]) * (
            shut[0] - hinge[0]
        )
        yield Arc(tip, shut, math.dist(hinge, tip), cross > 0, "swing")
        yield Line(hinge, tip, "leaf")


def _off(point: Point, direction: Point, distance_mm: float) -> Point:
    return point[0] + direction[0] * distance_mm, point[1] + direction[1] * distance_mm
