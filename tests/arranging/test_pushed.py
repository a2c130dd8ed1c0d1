"""A station pushed to a wall: it stands there, and what was in the way alone makes way."""

from random import Random

import numpy as np

from app.arranging.candidates import Drawer
from app.arranging.lack import Lacks
from app.arranging.merit import Merits
from app.arranging.problem import Problem, Task
from app.arranging.proposals import MAKE_WAY_AT_MOST, Proposals
from tests.builders import make_plan, make_room, place

# the shelf in the middle of 4 x 3 m; boxes along all of the back wall leave it the three others
SHELF = place("kettlebell-shelf", 2000, 1700, piece_id="shelf")
BOXES = [place("jump-box", 250 + 500 * i, 300, piece_id=f"box-{i}") for i in range(8)]


def proposals(seed: int) -> tuple[Problem, Proposals]:
    problem = Problem(Task(make_plan(SHELF, *BOXES, room=make_room(4000, 3000, 2600))))
    drawer, lacks = Drawer(problem), Lacks(problem)
    merits = Merits(problem, drawer, lacks)
    return problem, Proposals(problem, drawer, merits, Random(seed), np.random.default_rng(seed))


def test_what_is_pushed_stands_at_a_wall_and_the_core_admits_all_of_it() -> None:
    pushed_out = set()
    for seed in range(12):
        problem, one = proposals(seed)
        before = problem.present
        pushed = one.to_a_wall(before, "shelf")
        assert pushed is not None
        layout, out = pushed
        assert not one.drawer.adrift("shelf", layout)
        assert len(out) <= MAKE_WAY_AT_MOST
        assert set(layout.at) == set(before.at) - set(out)
        # the rest stands where it stood, and nothing is in the shelf's way there
        assert all(layout.at[root] == before.at[root] for root in layout.at if root != "shelf")
        at = layout.at["shelf"]
        points = np.array([(at.x_mm, at.y_mm)])
        assert problem.core.admits("shelf", at.turn_deg, points, layout.without("shelf"))[0]
        pushed_out |= set(out)
    # three walls are free: most often nobody has to make way
    assert len(pushed_out) < len(BOXES)
