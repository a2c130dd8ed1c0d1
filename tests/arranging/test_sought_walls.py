"""Each search sends the largest to a wall of its own: what differs is sought."""

from random import Random

import pytest

from app.arranging.neighbourhoods import few_moved
from app.arranging.problem import Problem, Task
from app.arranging.search import Search
from app.model.plan import Plan
from app.model.room import Opening
from tests.arranging.test_search import SEED
from tests.builders import make_plan, make_room, place

GARAGE_DOOR = Opening(
    id="garage", wall="front", kind="sectional", offset_mm=200, width_mm=4600, height_mm=2100
)


def garage() -> Plan:
    """A rack and a fan in 5 x 4 m; all of the wall y = 4000 but its ends is a garage door."""
    room = make_room(5000, 4000, 2600, openings=[GARAGE_DOOR])
    return make_plan(
        place("mid-rack", 2500, 1800, piece_id="rack"), place("fan", 400, 3000), room=room
    )


def wall_behind(search: Search) -> str:
    """The wall nearest to the middle of the rack's back, by hand: 5000 wide, 4000 deep."""
    assert search.state is not None
    at = search.state.layout.at["rack"]
    deep = search.problem.scene.placed["rack"].extent.depth_mm / 2
    # turned by 90 a front looks to -x: its back is at +x
    dx, dy = {0: (0, -deep), 90: (deep, 0), 180: (0, deep), 270: (-deep, 0)}[round(at.turn_deg)]
    x, y = at.x_mm + dx, at.y_mm + dy
    away = {"left": x, "right": 5000 - x, "back": y, "front": 4000 - y}
    return min(away, key=lambda wall: away[wall])


def test_each_search_has_another_wall_and_none_stands_at_a_garage_door() -> None:
    walls = set()
    for number in (1, 2, 3):
        search = Search(Problem(Task(garage())), SEED, number)
        # the second keeps to few moves at first, the third begins with what stands there
        search.few = search.from_present = False
        search.step()
        walls.add(wall_behind(search))
    assert walls == {"back", "left", "right"}


def test_a_search_that_begins_anew_goes_to_the_next_wall_and_the_first_to_any() -> None:
    search = Search(Problem(Task(garage())), SEED, 1)
    every = search.proposals.walls()
    assert len(every) == 3
    sought = []
    for anew in range(4):
        search.proposals.seek(1, anew)
        sought.append(search.proposals.wall)
    assert sought == [*every, every[0]]
    search.proposals.seek(0, 2)
    assert search.proposals.wall is None


@pytest.mark.parametrize("limit", [1, 2, 3])
def test_no_more_than_a_limit_stand_elsewhere_than_at_present(limit: int) -> None:
    boxes = [place("jump-box", 400 + 700 * i, 400, piece_id=f"box-{i}") for i in range(5)]
    plan = make_plan(*boxes, room=make_room(4000, 3000, 2600))
    search = Search(Problem(Task(plan)), SEED, 0)
    present, free = search.problem.present, search.problem.free
    elsewhere = present
    for root in free[:3]:
        at = present.at[root]
        elsewhere = elsewhere.put(root, at.turn_deg, (at.x_mm + 100, at.y_mm))
    few = few_moved(Random(1), present, elsewhere, [free[3]], limit)
    moved = {root for root in free if few.at.get(root) != present.at[root]}
    assert free[3] not in few.at
    assert free[3] in moved
    assert len(moved) == limit
