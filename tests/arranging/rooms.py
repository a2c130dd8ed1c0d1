"""Ten rooms of many shapes with kit in a heap, and a layout made by hand in each.

Sizes and layouts are our own invention: common practice, no source.
"""

from collections.abc import Callable
from typing import Literal

from app.model.people import Person
from app.model.plan import Plan
from app.model.room import Opening, Room
from tests.arranging.hand_made import Poses
from tests.builders import (
    column,
    make_person,
    make_plan,
    make_room,
    place,
    rectangle,
    turned_plan,
    turned_point,
    two_slopes,
)

HOUSEHOLD = (
    make_person(1820, person_id="tall", want=("squat", "bench-press")),
    make_person(1660, person_id="short", want=("bike", "floor-work")),
)


def _door(
    wall: str, offset: float, width: float = 800, swing: Literal["in", "out"] = "out"
) -> Opening:
    return Opening(
        id="door",
        wall=wall,
        kind="hinged",
        offset_mm=offset,
        width_mm=width,
        height_mm=2000,
        swing=swing,
        way_out=True,
    )


ASKEW_DEG = 30
CARRIED = {
    # how far before the middle of a rack its bar rests and its bench stands, and the bench's turn
    "half-rack": {"bar-20": (-133, 0), "short-bar": (-133, 0), "flat-bench": (177, 0)},
    "mid-rack": {"bar-20": (513, 0), "flat-bench": (100, 0)},
    "squat-stands": {"short-bar": (74, 0)},
}


def rack_at(kind: str, x: float, y: float, angle: float) -> Poses:
    """Where a rack stands, and what it carries with it."""
    poses: Poses = {kind: (x, y, angle)}
    for carried, (before, turned) in CARRIED[kind].items():
        dx, dy = turned_point((0, before), angle)
        poses[carried] = (x + dx, y + dy, angle + turned)
    return poses


def _heap(
    room: Room, at: tuple[float, float], *kinds: str, people: tuple[Person, ...] = HOUSEHOLD
) -> Plan:
    """Everything in one place; what a rack carries where it belongs in it."""
    rack = next((kind for kind in kinds if kind in CARRIED), None)
    poses = rack_at(rack, *at, 0) if rack else {}
    return make_plan(
        *(
            place(kind, *poses[kind], carried_by=None if kind == rack else rack)
            if kind in poses
            else place(kind, *at)
            for kind in kinds
        ),
        room=room,
        people=people,
    )


def narrow() -> Plan:
    """A single garage of 2.4 m."""
    room = make_room(2400, 5200, 2450, covering=20, openings=(_door("front", 750, 900),))
    kit = ("half-rack", "short-bar", "flat-bench", "adjustable-dumbbells", "plate-tree", "rower")
    return _heap(room, (1200, 2000), *kit, "mat-space")


def a_loft() -> Plan:
    """A loft of 4.4 x 5.2 m, 1.3 m high at both sides and 3.3 m under the ridge."""
    room = make_room(
        4400, 5200, planes=two_slopes(4400, 5200, 1300, 900), openings=(_door("front", 1800),)
    )
    kit = ("squat-stands", "short-bar", "flat-bench", "adjustable-dumbbells", "rower", "bike")
    return _heap(room, (2200, 2500), *kit, "mat-space")


def round_a_stair() -> Plan:
    """A cellar of 6 x 5 m with a stair in the middle."""
    room = make_room(
        6000,
        5000,
        2300,
        covering=10,
        openings=(_door("front", 2600),),
        columns=(column(rectangle(2300, 1500, 3300, 3600), "stair"),),
    )
    kit = ("running-machine", "bike", "adjustable-bench", "dumbbell-rack-2", "mirror")
    return _heap(room, (1200, 2500), *kit, "mat-space", "kettlebell-shelf")


def an_l() -> Plan:
    """An L of 6 x 5.5 m."""
    corners = ((0, 0), (6000, 0), (6000, 3000), (3200, 3000), (3200, 5500), (0, 5500))
    room = make_room(height=2500, corners=corners, covering=15, openings=(_door("w5", 1200),))
    kit = ("half-rack", "bar-20", "flat-bench", "plate-tree", "rower", "bike", "jump-box")
    return _heap(room, (2000, 2000), *kit, "mat-space")


def slanted() -> Plan:
    """Five walls, two of them at angles."""
    corners = ((0, 0), (5200, 0), (6400, 1900), (6400, 4600), (0, 4600))
    room = make_room(height=2600, corners=corners, covering=20, openings=(_door("w4", 4800),))
    kit = ("half-rack", "bar-20", "flat-bench", "plate-tree", "running-machine", "mirror")
    return _heap(room, (2500, 2500), *kit, "kettlebell-shelf", "mat-space")


def spare_room() -> Plan:
    """A spare room of 3 x 2.6 m whose door opens into it."""
    room = make_room(3000, 2600, 2400, openings=(_door("front", 150, 760, "in"),))
    kit = ("bike", "adjustable-bench", "adjustable-dumbbells", "mat-space")
    return _heap(room, (1500, 1300), *kit)


def long_one() -> Plan:
    """A room of 2.3 x 6.5 m with its door at an end."""
    room = make_room(2300, 6500, 2400, covering=10, openings=(_door("front", 700),))
    return _heap(
        room, (1150, 3000), "running-machine", "rower", "adjustable-dumbbells", "mat-space"
    )


def hall() -> Plan:
    """A barn of 8 x 6 m with twelve things in it."""
    room = make_room(8000, 6000, 2800, covering=20, openings=(_door("front", 3500, 1000),))
    kit = ("mid-rack", "bar-20", "flat-bench", "plate-tree", "dumbbell-rack-2", "adjustable-bench")
    more = ("running-machine", "bike", "rower", "double-cable", "standing-bag", "jump-box")
    return _heap(room, (4000, 3000), *kit, *more, "mat-space")


def askew() -> Plan:
    """A room of 4.8 x 4.2 m drawn at 30 degrees."""
    room = make_room(4800, 4200, 2450, covering=20, openings=(_door("front", 3600),))
    kit = ("mid-rack", "bar-20", "flat-bench", "plate-tree", "bike", "mat-space")
    return turned_plan(_heap(room, (2000, 2000), *kit), ASKEW_DEG)


def chimney() -> Plan:
    """A room of 4.2 x 3.8 m with a chimney breast and neighbours behind the left wall."""
    plain = make_room(
        4200,
        3800,
        2400,
        openings=(_door("right", 2700, 760),),
        columns=(column(rectangle(1500, 0, 2700, 350), "chimney"),),
    )
    walls = tuple(w.model_copy(update={"shared": w.id == "left"}) for w in plain.walls)
    room = plain.model_copy(update={"walls": walls})
    kit = ("running-machine", "adjustable-bench", "adjustable-dumbbells", "mat-space")
    return _heap(room, (2100, 1900), *kit)


ROOMS: dict[str, Callable[[], Plan]] = {
    "narrow": narrow,
    "two slopes": a_loft,
    "round a stair": round_a_stair,
    "an L": an_l,
    "slanted": slanted,
    "spare room": spare_room,
    "long": long_one,
    "hall": hall,
    "askew": askew,
    "chimney": chimney,
}


def _askew(poses: Poses) -> Poses:
    turned: Poses = {}
    for key, (x, y, angle) in poses.items():
        tx, ty = turned_point((x, y), ASKEW_DEG)
        turned[key] = (tx, ty, angle + ASKEW_DEG)
    return turned


BY_HAND: dict[str, Poses] = {
    "narrow": rack_at("half-rack", 1200, 825, 0)
    | {
        "adjustable-dumbbells": (2150, 2000, 90),
        "plate-tree": (300, 3050, 270),
        "rower": (2100, 3850, 180),
        "mat-space": (1200, 3950, 0),
    },
    "two slopes": rack_at("squat-stands", 2200, 1200, 0)
    | {
        "flat-bench": (3780, 850, 0),
        "adjustable-dumbbells": (4150, 2300, 90),
        "rower": (300, 1225, 0),
        "bike": (3380, 3500, 0),
        "mat-space": (1500, 3900, 0),
    },
    "round a stair": {
        "running-machine": (925, 1125, 0),
        "bike": (2150, 710, 0),
        "adjustable-bench": (4100, 2400, 0),
        "dumbbell-rack-2": (5725, 2500, 90),
        "mirror": (4400, 15, 0),
        "kettlebell-shelf": (5550, 200, 0),
        "mat-space": (4700, 4300, 90),
    },
    "an L": rack_at("half-rack", 5175, 1500, 90)
    | {
        "plate-tree": (3900, 300, 0),
        "rower": (300, 1275, 0),
        "bike": (1650, 710, 0),
        "jump-box": (2800, 300, 0),
        "mat-space": (600, 4200, 0),
    },
    "slanted": rack_at("half-rack", 1500, 825, 0)
    | {
        "plate-tree": (3250, 300, 0),
        "running-machine": (5275, 3250, 90),
        "mirror": (15, 1600, 270),
        "kettlebell-shelf": (200, 3000, 270),
        "mat-space": (4150, 1600, 90),
    },
    "spare room": {
        "bike": (2650, 710, 0),
        "adjustable-bench": (1440, 685, 0),
        "adjustable-dumbbells": (1500, 2350, 180),
        "mat-space": (500, 1300, 0),
    },
    "long": {
        "running-machine": (925, 1125, 0),
        "rower": (300, 5275, 180),
        "adjustable-dumbbells": (2050, 2900, 90),
        "mat-space": (1750, 5100, 0),
    },
    "hall": rack_at("mid-rack", 1700, 775, 0)
    | {
        "plate-tree": (3450, 300, 0),
        "dumbbell-rack-2": (275, 3500, 270),
        "adjustable-bench": (1900, 3500, 0),
        "double-cable": (5000, 500, 0),
        "running-machine": (6875, 4900, 90),
        "bike": (7290, 1000, 90),
        "rower": (7700, 2700, 0),
        "standing-bag": (1000, 5100, 270),
        "jump-box": (3050, 5700, 180),
        "mat-space": (4300, 3400, 90),
    },
    "askew": _askew(
        rack_at("mid-rack", 1900, 775, 0)
        | {"plate-tree": (3600, 300, 0), "bike": (4090, 2000, 90), "mat-space": (2700, 3500, 90)}
    ),
    "chimney": {
        "running-machine": (3075, 1300, 90),
        "adjustable-bench": (1175, 3025, 90),
        "adjustable-dumbbells": (250, 2200, 270),
        "mat-space": (3010, 2800, 90),
    },
}
"""In each room a layout that somebody with an eye for it drew."""
