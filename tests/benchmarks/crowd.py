"""A hall of training kit: as much floor for each piece, whatever their number."""

import math

from app.model.plan import Plan
from app.model.room import Opening
from tests.builders import make_person, make_plan, make_room, place

KIT = (
    "mid-rack",
    "bike",
    "plate-tree",
    "running-machine",
    "dumbbell-rack-2",
    "standing-bag",
    "flat-bench",
    "mat-space",
    "jump-box",
    "rower",
)
# so near one another that about two things are wrong with each
APART_MM = 1300
DOOR = Opening(id="door", wall="front", kind="hinged", offset_mm=300, width_mm=900, height_mm=2000)


def crowd(count: int) -> Plan:
    """Give a plan of `count` pieces in rows, each turned another way, always the same."""
    across = math.ceil(math.sqrt(count))
    pieces = (
        place(
            KIT[i % len(KIT)],
            (i % across + 0.5) * APART_MM,
            (i // across + 0.5) * APART_MM,
            37 * i % 360,
            piece_id=f"p{i:04}",
        )
        for i in range(count)
    )
    side = across * APART_MM
    people = (make_person(1880, person_id="a", want=("squat",)), make_person(1640, person_id="b"))
    return make_plan(*pieces, room=make_room(side, side, openings=[DOOR]), people=people)
