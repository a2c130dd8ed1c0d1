"""A double garage laid out well, common practice, no source; and what beginners get wrong in it."""

from app.model.kit import Piece, Pose
from app.model.people import Person
from app.model.plan import Plan
from app.model.room import Joists, Opening, Room
from tests.builders import make_person, make_plan, make_room, place

DOOR = Opening(
    id="garage-door", wall="front", kind="tracks", offset_mm=525, width_mm=4270, height_mm=2130
)
SIDE_DOOR = Opening(
    id="side-door",
    wall="right",
    kind="hinged",
    offset_mm=3900,
    width_mm=838,
    height_mm=1981,
    hinge="right",
)
TALL_WANTS = (
    "bag",
    "bench-press",
    "bike",
    "floor-work",
    "kneeling-press",
    "landmine-press",
    "pull-up",
    "run",
    "seated-press",
    "squat",
)
SMALL_WANTS = (
    "bag",
    "bench-press",
    "bike",
    "cable-pull",
    "floor-work",
    "pull-up",
    "run",
    "squat",
    "standing-press",
    "step-up",
)
# said of neither: what this ceiling or this kit is not for
NOT_TALL = ("box-jump", "dumbbell-press", "handstand", "standing-press", "step-up", "stretch")
NOT_SMALL = ("box-jump", "dumbbell-press", "handstand")


def garage(clear: float = 2310) -> Room:
    """5320 from side to side, 5180 from the back to the door, joists at `clear`, 20 of rubber."""
    return make_room(
        5320,
        5180,
        clear + 150,
        covering=20,
        openings=(DOOR, SIDE_DOOR),
        joists=Joists(direction_deg=0, spacing_mm=400, width_mm=45, depth_mm=150, first_mm=200),
    )


def people() -> tuple[Person, ...]:
    """One of 1.88 m who has given up the standing press, one of 1.64 m who has not."""
    return (
        make_person(1880, person_id="a", want=TALL_WANTS, no=NOT_TALL),
        make_person(1640, person_id="b", want=SMALL_WANTS, no=NOT_SMALL),
    )


def kit() -> dict[str, Piece]:
    """The fourteen pieces by id."""
    pieces = (
        place("mid-rack", 1700, 845, piece_id="rack", height=2000, bolted=True),
        place("bar-20", 1700, 1358, piece_id="bar", carried_by="rack"),
        place("adjustable-bench", 1700, 975, 180, piece_id="bench", carried_by="rack"),
        place("plate-tree", 360, 360),
        place("jump-box", 2910, 360),
        place("mirror", 3550, 15, width=700),
        place("running-machine", 4395, 1125, deck=180, grade=0),
        place("wall-pulley", 5160, 2725, 90, width=550, depth=320),
        place("dumbbell-rack-2", 290, 3150, 270, piece_id="dumbbells", depth=540),
        place("landmine", 2800, 1400, carried_by="rack"),
        place("standing-bag", 2050, 4200, 180, piece_id="bag"),
        place("bike", 3540, 4210, height=1250),
        place("mat-space", 1925, 3410, 90, piece_id="mat", depth=2450),
        place("chest-freezer", 340, 4560, 270, piece_id="freezer", width=960, stays=True),
    )
    return {piece.id: piece for piece in pieces}


def good_layout(*changed: Piece, room: Room | None = None) -> Plan:
    """The layout, with pieces changed or added."""
    pieces = kit() | {piece.id: piece for piece in changed}
    return make_plan(*pieces.values(), room=room or garage(), people=people())


def rack_moved(dx: float, dy: float = 0) -> tuple[Piece, ...]:
    """The rack's whole station moved by so much."""
    return tuple(
        Piece.model_validate(
            piece.model_dump()
            | {
                "pose": Pose(
                    x_mm=piece.pose.x_mm + dx,
                    y_mm=piece.pose.y_mm + dy,
                    angle_deg=piece.pose.angle_deg,
                ).model_dump()
            }
        )
        for piece in kit().values()
        if piece.id == "rack" or piece.carried_by == "rack"
    )
