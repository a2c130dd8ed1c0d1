"""What hangs low over a deck or a floor of its own, on both sides of the limit.

H, a deck of 180 and a rise of 100 while running; sitting height 0.52 H: Drillis and Contini 1966.
"""

import numpy as np
import pytest

from app.checks.headroom import headroom
from app.checks.room_to_use import room_to_use
from app.checks.routes import walking
from app.model.plan import Plan
from app.model.room import Opening
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place, turned_plan
from tests.placing.agreement import Agreement, compare

UNDER_MM = 432
"""How far below its top a ceiling bar reaches: the row of the kit."""
DOOR = Opening.model_validate(
    {"id": "door", "wall": "left", "kind": "hinged", "offset_mm": 100, "width_mm": 838,
     "height_mm": 1981, "swing": "out", "way_out": True}
)  # fmt: skip


def runner(under_mm: float, bar_x_mm: float = 2500) -> Plan:
    """A runner of 1800, and a bar under the joists so high over the belt."""
    return make_plan(
        place("running-machine", 2500, 1500, piece_id="runner", grade=0, deck=180),
        place("pull-up-bar-ceiling", bar_x_mm, 1500, piece_id="bar", height=under_mm + UNDER_MM),
        room=make_room(5000, 5000, height=2700, openings=(DOOR,)),
        people=(make_person(1800, want=("run",), no=("pull-up",)),),
    )


@pytest.mark.parametrize("turn", [0, 24])
@pytest.mark.parametrize(("over", "expected"), [(-3.0, ["stop"]), (3.0, ["care"]), (200.0, [])])
def test_a_head_over_a_belt_meets_what_hangs_there(
    turn: float, over: float, expected: list[str]
) -> None:
    plan = turned_plan(runner(1800 + 180 + 100 + over), turn)
    assert [s.severity for s in headroom(build_scene(plan)) if s.movement == "run"] == expected


def test_as_low_a_bar_beside_the_belt_is_in_nobodys_head() -> None:
    assert not [s for s in headroom(build_scene(runner(1700, 3900))) if s.movement == "run"]


def test_there_is_a_way_to_what_hangs_over_kit_by_walking_round_that() -> None:
    assert not [s for s in walking(build_scene(runner(1700))) if s.code == "no-way"]


@pytest.mark.parametrize(("kit", "hits"), [("rings", False), ("hung-bag", True)])
def test_over_a_mat_what_hangs_counts_by_who_sits_up(kit: str, hits: bool) -> None:
    plan = make_plan(
        place("mat-space", 2500, 2500, piece_id="mat"),
        place(kit, 2500, 2500, piece_id="it"),
        room=make_room(5000, 5000, height=2700),
        people=(make_person(1800, want=("floor-work",)),),
    )
    scene = build_scene(plan)
    assert not [s for s in room_to_use(scene) if s.space == "on-the-mat"]
    found = [s.severity for s in headroom(scene) if s.movement == "floor-work"]
    assert found == (["stop"] if hits else [])


def test_the_core_of_searches_stands_no_belt_under_a_bar() -> None:
    agreement = Agreement()
    compare(build_scene(runner(1700, 4300)), 80, np.random.default_rng(4), agreement)
    assert not agreement.admitted
