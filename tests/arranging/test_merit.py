"""What places promise at doors and windows: as the score counts it, common practice, no source."""

import numpy as np
import pytest

from app.arranging.candidates import Drawer
from app.arranging.lack import Lacks
from app.arranging.merit import Merits
from app.arranging.problem import Problem, Task
from app.model.kit import Piece
from app.model.room import Opening
from tests.builders import make_plan, make_room, place, turned_plan, turned_point

DOOR = Opening(
    id="door", wall="front", kind="hinged", offset_mm=700, width_mm=800, height_mm=2000,
    swing="out", way_out=True,
)  # fmt: skip
WINDOW = Opening(
    id="window", wall="back", kind="window", offset_mm=1000, width_mm=1000, height_mm=1000,
    sill_mm=900,
)  # fmt: skip


def promised(
    piece: Piece, turn: float, *places: tuple[float, float], turned: float = 0
) -> list[float]:
    """What places promise for the one thing in a room of 4 x 5 m."""
    room = make_room(4000, 5000, 2600, openings=(DOOR, WINDOW))
    problem = Problem(Task(turned_plan(make_plan(piece, room=room), turned)))
    merits = Merits(problem, Drawer(problem), Lacks(problem))
    layout = problem.present.without(piece.id)
    points = np.array([turned_point(at, turned) for at in places])
    return [float(one) for one in merits.of(piece.id, turn + turned, points, layout)]


@pytest.mark.parametrize("turned", [0, 30])
def test_a_mirror_promises_less_before_a_window(turned: float) -> None:
    # 1200 wide at the wall y = 0, the window from 1000 to 2000 along it
    mirror = place("mirror", 3000, 15, piece_id="mirror")
    across, clear = promised(mirror, 0, (2590, 15), (2610, 15), turned=turned)
    # all of one thing that is wanted, and its share of backs on walls
    assert clear - across == pytest.approx(7 + 12, abs=0.5)


@pytest.mark.parametrize("turned", [0, 30])
def test_what_stands_in_the_mouth_of_a_door_promises_less(turned: float) -> None:
    # the door is 800 wide, and so deep is its mouth: from 4200 to 5000
    step = place("step", 1000, 1000, piece_id="step")
    inside, before = promised(step, 0, (2900, 4010), (2900, 3990), turned=turned)
    # half of clear doors and half of the way in, 8 points each
    assert before - inside == pytest.approx(8, abs=0.5)
