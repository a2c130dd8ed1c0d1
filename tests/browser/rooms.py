"""Small plans for the browser: one station, a few things beside it, two people."""

from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Opening
from tests.builders import make_person, make_plan, make_room, place

HIGH = 2800
"""A ceiling that stops nobody, in mm: where it is no matter, no way out is sought meanwhile. That
takes the program half a second of work after each change."""
MARKUP = '<img src=x onerror="document.title=1">'
DOOR = Opening(
    id="door",
    wall="right",
    kind="hinged",
    offset_mm=2900,
    width_mm=838,
    height_mm=1981,
    hinge="right",
)

RACK = place("mid-rack", 1500, 1100, piece_id="rack")
BAR = place("bar-20", 1500, 1762, piece_id="bar", carried_by="rack")
BENCH = place("adjustable-bench", 1500, 1175, 180, piece_id="bench", carried_by="rack")
BOX = place("jump-box", 3300, 3400, 180, piece_id="box")
TREE = place("plate-tree", 4200, 600, piece_id="tree")


def workshop(*more: Piece, name: str = "Workshop", label: str = "", ceiling: float = 2300) -> Plan:
    """A room of 5.00 x 4.00 m, 2.30 m high, with a rack, its bar and bench, a box, a tree.

    The taller person wants a standing press, which this ceiling does not allow.
    """
    tall = make_person(1880, person_id="a", want=("standing-press", "squat", "bench-press"))
    small = make_person(1640, person_id="b", want=("squat",))
    return make_plan(
        RACK,
        BAR,
        BENCH,
        Piece.model_validate({**BOX.model_dump(), "label": label}),
        TREE,
        *more,
        room=make_room(5000, 4000, ceiling, openings=(DOOR,)),
        people=(tall, small),
        name=name,
    )
