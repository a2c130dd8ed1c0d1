"""The rough figure of what places lack, beside what the judge says of the same places."""

import numpy as np
import pytest

from app.arranging.lack import Lacks
from app.arranging.measures import lacking
from app.arranging.problem import Problem, Task
from app.checks.run import run
from app.model.kit import Piece
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place


def room_with(*pieces: Piece) -> Plan:
    return make_plan(*pieces, room=make_room(4000, 3000, 2500))


def thing(key: str, x: float, y: float, width: float, depth: float) -> Piece:
    return place("other-thing", x, y, piece_id=key, width=width, depth=depth, height=900)


BOX = place("jump-box", 2000, 300, piece_id="box")
"""With its back at a wall: one lands to either side or behind it, and one of these is enough."""


@pytest.mark.parametrize(
    "plan",
    [
        room_with(BOX),
        room_with(BOX, thing("chest", 1400, 300, 600, 600)),
        room_with(BOX, thing("chest", 1400, 300, 600, 600), thing("other", 2700, 300, 600, 600)),
        room_with(place("bike", 300, 600, piece_id="bike")),
        room_with(place("bike", 300, 600, piece_id="bike"), thing("chest", 1000, 600, 600, 600)),
    ],
    ids=["behind", "and on one side", "all", "bike at a wall", "bike between"],
)
def test_of_sides_of_which_one_is_enough_the_one_with_most_room_counts(plan: Plan) -> None:
    problem = Problem(Task(plan))
    layout = problem.present
    judged = lacking(run(build_scene(plan)))
    assert Lacks(problem).whole(layout) == pytest.approx(judged, abs=0.02)


def test_taking_the_last_free_side_is_what_counts() -> None:
    # the chest goes beside the box: first on its one free side, then where nothing is lost
    plan = room_with(BOX, thing("other", 2700, 300, 600, 600), thing("chest", 3000, 2500, 600, 600))
    problem = Problem(Task(plan))
    layout = problem.present.without("chest")
    lacks = Lacks(problem)
    beside, away = lacks.lacking("chest", 0.0, np.array([(1400.0, 300.0), (600.0, 2600.0)]), layout)
    assert away == pytest.approx(0.0)
    assert beside > 0.5
