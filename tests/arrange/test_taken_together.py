"""Ways out of one plan, taken one after the other. Common practice, no source: a fitter reads the
list once and then pushes everything to where it is to stand.
"""

import math

import pytest

from app.arrange.remedy import WaysOut
from app.arrange.ways_out import ways_out
from app.changes.commands import apply
from app.checks.run import run
from app.checks.snag import Snag
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place, turned_plan

BELT_MM, LONG_MM = 850, 1850
CHEST_MM = 600
SPACES = "behind-the-belt", "beside-the-belt-right"
LATER = "look here again"


def belt_and_bike(
    wide_mm: float, beside_mm: float, turn: float, chest: bool = False, left_mm: float = 0
) -> Plan:
    """A belt so far from the right wall, and a bike on the floor behind it, 300 farther left.

    With a chest there is one that stays 550 to the left of the belt, and with `left_mm` another so
    far to the left of the bike.
    """
    x = wide_mm - beside_mm - BELT_MM / 2
    pieces = [
        place("running-machine", x, 300 + LONG_MM / 2, piece_id="belt"),
        place("bike", x - 300, 300 + LONG_MM + 900 + 560, piece_id="bike"),
    ]
    there = [(x - BELT_MM / 2 - 550, 1500.0)] * chest + [(x - 580 - left_mm, 3610.0)] * bool(
        left_mm
    )
    pieces += [
        place(
            "other-thing", right - CHEST_MM / 2, y, piece_id=f"chest-{i}", label="Chest",
            width=CHEST_MM, depth=800, height=900, stays=True,
        )
        for i, (right, y) in enumerate(there)
    ]  # fmt: skip
    return turned_plan(make_plan(*pieces, room=make_room(wide_mm, 5000)), turn)


def offered(plan: Plan) -> tuple[list[Snag], WaysOut]:
    scene = build_scene(plan)
    snags = run(scene)
    return [one for one in snags if one.severity != "note"], ways_out(scene, snags)


def all_taken(plan: Plan, found: WaysOut) -> Plan:
    for remedy in found.remedies.values():
        for command in remedy.commands:
            plan = apply(plan, command)
    return plan


@pytest.mark.parametrize("turn", [0, 27])
@pytest.mark.parametrize(
    ("beside_mm", "stays_mm", "bike_mm"),
    # 480 clears the run-off as it is: the bike is 560 wide, the run-off 1000
    [(120, 900, 670), (120, 600, 480), (500, 900, 480)],
)
def test_what_stands_in_the_run_off_goes_on_as_far_as_the_belt(
    beside_mm: float, stays_mm: float, bike_mm: float, turn: float
) -> None:
    """The belt goes 190 to the left, as far as the chest beside it leaves it.

    Where the bike cannot go so much farther the later row says so.
    """
    plan = belt_and_bike(3200, beside_mm, turn, chest=True, left_mm=stays_mm)
    snags, found = offered(plan)
    assert snags[0].space == "behind-the-belt"
    assert found.remedies[snags[0].key].moved == {"bike"}
    taken = all_taken(plan, found)
    was, now = (one.piece("bike").pose for one in (plan, taken))
    assert math.hypot(now.x_mm - was.x_mm, now.y_mm - was.y_mm) == pytest.approx(bike_mm, abs=1)
    spoilt = beside_mm < 500 and stays_mm < 900
    assert any(LATER in one.sentence for one in found.remedies.values()) == spoilt
    assert any(one.severity == "stop" for one in offered(taken)[0]) == spoilt


@pytest.mark.parametrize("turn", [0, 27])
def test_what_clears_the_row_before_as_well_is_the_way_out_of_both(turn: float) -> None:
    """With nothing beside the belt that alone moves, out of the way of the bike as well."""
    plan = belt_and_bike(3000, 120, turn)
    snags, found = offered(plan)
    behind, beside = (next(s for s in snags if s.space == at) for at in SPACES)
    assert found.remedies[behind.key].moved == {"belt"}
    assert found.tried[beside.key] == f"What mends “{behind.who}” clears this too."
    assert not offered(all_taken(plan, found))[0]
