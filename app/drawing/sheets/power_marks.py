"""Switch, fuse box and supply of light strip on the sheet of power, by the symbols of IEC 60617.

The symbols are drawn from memory of the standard (switch: a ring with a slanted lever and its foot;
distribution board: an oblong half filled; converter: a square with its diagonal).
"""

from __future__ import annotations

from collections.abc import Iterator

from app.drawing.figure_room import socket_at
from app.drawing.primitives import Circle, Group, Item, Line, Point, Polygon
from app.drawing.sheet_words import Sample
from app.model.fronts import DOORS, main_door
from app.model.room import Opening
from app.scene.build import Scene
from app.scene.walls import WallShape
from app.takeoff.supply_ways import runs_with_feeds

SWITCH_OFF_MM = 150.0
"""How far beside its door a switch is drawn: within reach of who opens it; common practice."""
_ASIDE_EM = 1.4
_OUT_EM = 0.6
"""How far from its socket a supply is drawn, along the wall and off it, in sizes of the lettering.
"""
_SAMPLE_EM_MM = 2.8
"""How large a symbol is in the key, as if lettering were so high."""
_FUSE_BOX = "consumer-unit"

SWITCH = "switch, about: beside the way out"
BOARD = "fuse box"
SUPPLY = "supply of light strip, beside its socket, where it is reached and cooled"


def power_marks(scene: Scene, em: float) -> list[Item]:
    """Return the symbols, each at its place in the room; `em` is the size of the lettering."""
    return [_group(kind, at, em) for kind, at in power_points(scene, em)]


def power_keys(scene: Scene) -> list[tuple[str, Sample]]:
    """Return the words and the sample of each symbol that is drawn."""
    words = {"switch": SWITCH, "board": BOARD, "supply": SUPPLY}
    kinds = dict.fromkeys(kind for kind, _ in power_points(scene, 0.0))
    return [(words[kind], _sample(kind)) for kind in kinds]


def power_points(scene: Scene, em: float) -> list[tuple[str, Point]]:
    """Return what is drawn with its place: a switch, fuse boxes, the supplies of light strip."""
    at = switch_at(scene)
    points = [] if at is None else [("switch", at)]
    points += [("board", placed.at) for placed in scene.order if placed.kit.key == _FUSE_BOX]
    return [*points, *(("supply", one) for one in _supplies(scene, em))]


def switch_at(scene: Scene) -> Point | None:
    """Return where a switch is beside the way out, on its side of the handle if there is wall."""
    doors = [o for o in scene.plan.room.openings if o.way_out and o.kind in DOORS]
    door = doors[0] if doors else main_door(scene.plan.room)
    if door is None:
        return None
    wall = next(wall for wall in scene.room.walls if wall.id == door.wall)
    sides = [door.offset_mm + door.width_mm + SWITCH_OFF_MM, door.offset_mm - SWITCH_OFF_MM]
    # hinges are told as seen from inside: there a wall runs from left to right where the room does
    if (door.hinge == "left") != scene.plan.room.clockwise:
        sides.reverse()
    for along in sides:
        if _is_wall(scene, door, wall, along):
            return socket_at(wall, along)
    return None


def _is_wall(scene: Scene, door: Opening, wall: WallShape, along: float) -> bool:
    long = scene.plan.room.wall_length_mm(wall.id)
    others = [o for o in scene.plan.room.openings if o.wall == wall.id and o.id != door.id]
    return 0 < along < long and not any(
        o.offset_mm <= along <= o.offset_mm + o.width_mm for o in others
    )


def _supplies(scene: Scene, em: float) -> Iterator[Point]:
    """Yield a place beside each socket that a run of strip is fed from, as the list tells it."""
    walls = {wall.id: wall for wall in scene.room.walls}
    told = set()
    for _, feed in runs_with_feeds(scene):
        if feed is None or feed.socket in told:
            continue
        told.add(feed.socket)
        wall = walls[feed.wall]
        aside = em * _ASIDE_EM
        if feed.offset_mm + 2 * aside > scene.plan.room.wall_length_mm(feed.wall):
            aside = -aside
        (x, y), (ix, iy) = socket_at(wall, feed.offset_mm + aside), wall.inward
        yield x + ix * em * _OUT_EM, y + iy * em * _OUT_EM


def _group(kind: str, at: Point, em: float) -> Group:
    return Group(tuple(_symbol(kind, at, em)), "", (("power", kind),))


def _symbol(kind: str, at: Point, em: float) -> Iterator[Item]:
    x, y = at
    if kind == "switch":
        r, reach, foot = em * 0.28, em * 1.1, em * 0.4
        tip = (x + reach * 0.6, y - reach * 0.8)
        yield Line((x + r * 0.6, y - r * 0.8), tip, "socket-pin")
        yield Line(tip, (tip[0] + foot * 0.8, tip[1] + foot * 0.6), "socket-pin")
        yield Circle((x, y), r, "socket")
        return
    wide, high = (em * 0.9, em * 0.45) if kind == "board" else (em * 0.5, em * 0.5)
    yield Polygon(
        ((x - wide, y - high), (x + wide, y - high), (x + wide, y + high), (x - wide, y + high)),
        "socket",
    )
    if kind == "board":
        yield Polygon(
            ((x - wide, y), (x + wide, y), (x + wide, y + high), (x - wide, y + high)), "dark"
        )
    else:
        yield Line((x - wide, y + high), (x + wide, y - high), "socket-pin")


def _sample(kind: str) -> Sample:
    return lambda x, y, wide: tuple(_symbol(kind, (x + wide / 2, y), _SAMPLE_EM_MM))
