"""What hangs from a ceiling or a wall, over every kind of movement, on both sides of the limit.

The least heights are those of the practice sheet for 1800 on a bare floor (common practice, no
source): 1.204 H to a grip (ANSUR 1988), plates of 450, dumbbells of 75 and kettlebells of 35 over
it, a bench of 440 and 150 of chest, 0.39 H of arms; a head is H high, 0.526 H sitting (ANSUR).
"""

import numpy as np
import pytest

from app.checks.room_to_use import room_to_use
from app.checks.snag import Snag
from app.checks.spots import spots
from app.library.movements import movements
from app.model.kit import Piece
from app.model.plan import Plan
from app.placing.core import Core
from app.scene.build import build_scene
from tests.builders import found, make_person, make_plan, make_room, place, turned_plan

H = 1800
REACH = 1.204 * H
ROOM = make_room(6000, 6000, 2800)
STANDS = [
    place("squat-stands", 3000, 1500, piece_id="it"),
    place("bar-20", 3000, 1574, piece_id="bar", carried_by="it", plate=450),
]
HALF = [
    place("half-rack", 3000, 1500, piece_id="it", bolted=True),
    place("bar-20", 3000, 1500 - 675 + 542, piece_id="bar", carried_by="it", plate=450),
]
BENCH = [
    place("upright-bench", 3000, 1800, piece_id="it"),
    place("bar-20", 3000, 1800 - 825 + 470, piece_id="bar", carried_by="it", plate=450),
]
PLATFORM = [
    place("platform", 3000, 2000, piece_id="it"),
    place("bar-20", 3000, 2000, piece_id="bar", carried_by="it", on_floor=True, plate=450),
]


def alone(kit: str, grade: float | None = None) -> list[Piece]:
    return [place(kit, 3000, 2000, piece_id="it", grade=grade)]


DONE = {
    "squat": (STANDS, H),
    "standing-press": (STANDS, REACH + 225),
    "bench-press": (BENCH, 440 + 150 + 0.39 * H + 225),
    "dumbbell-press": (alone("dumbbell-rack-2"), REACH + 75),
    "kettlebell-overhead": (alone("kettlebell-shelf"), REACH + 35),
    "cable-pull": (alone("cable-column"), H),
    "bag": (alone("standing-bag"), H),
    "deadlift": (PLATFORM, H + 40),
    "run": (alone("running-machine", grade=0), H + 180 + 100),
    "walk": (alone("walking-pad"), H + 130),
    "step-up": (alone("jump-box"), H + 500),
    "skip": (alone("skipping-space"), H + 100),
    "floor-work": (alone("mat-space"), 0.526 * H),
    "kettlebell-swing": (alone("swing-space"), H),
}


ON_A_FLOOR = {"skip", "floor-work", "kettlebell-swing"}


def doing(movement: str, *over: Piece) -> Plan:
    pieces, _ = DONE[movement]
    never = sorted({*movements()} - {movement})
    who = make_person(H, want=(movement,), no=never)
    return make_plan(*pieces, *over, room=ROOM, people=(who,))


def at_place(movement: str) -> tuple[float, float]:
    return spots(build_scene(doing(movement)))[movement][0].at


def too_low(plan: Plan) -> list[Snag]:
    return [snag for snag in found(plan, "headroom") if snag.severity == "stop"]


def admitted(plan: Plan) -> bool:
    """Whether the core of searches lets the station stand where it does."""
    core = Core.of(build_scene(plan))
    it = core.scene.placed["it"]
    return bool(core.admits("it", it.pose.angle_deg, np.array([it.at]), core.layout(core.free))[0])


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize("movement", sorted(DONE))
def test_whatever_rises_meets_what_hangs_from_the_ceiling(movement: str, turn: float) -> None:
    # a panel 30 thick, as a projector or a lamp: nothing reaches down from it
    least = DONE[movement][1]
    for over, hits in ((-2.0, True), (2.0, False)):
        panel = place(
            "radiant-panel", *at_place(movement), piece_id="over", height=least + over + 30
        )
        plan = turned_plan(doing(movement, panel), turn)
        assert [(s.severity, s.pieces) for s in too_low(plan)] == [("stop", ("it", "over"))] * hits
        for snag in too_low(plan):
            assert "radiant panel" in snag.sentence
            assert snag.required == round(least)
        # what is floor to move on keeps all that hangs off it: it errs on that side
        assert admitted(plan) is (not hits and movement not in ON_A_FLOOR)


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize("kit", ["hung-bag", "pull-up-bar-ceiling", "rings", "radiant-panel"])
@pytest.mark.parametrize("movement", ["dumbbell-press", "squat", "kettlebell-overhead"])
def test_what_is_lower_than_a_head_is_met_by_everything_upright(
    movement: str, kit: str, turn: float
) -> None:
    low = {"pull-up-bar-ceiling": 2132, "rings": 2149, "radiant-panel": 1729, "hung-bag": 2000}
    it = place(kit, *at_place(movement), piece_id="over", height=low[kit])
    (snag,) = too_low(turned_plan(doing(movement, it), turn))
    assert snag.pieces == ("it", "over")


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize(("apart", "hits"), [(848, True), (852, False)])
def test_two_dumbbells_need_their_floor_free_of_what_hangs(
    apart: float, hits: bool, turn: float
) -> None:
    # 1400 for two dumbbells, 150 that one wanders to each side; a bag is 175 round
    x, y = at_place("dumbbell-press")
    plan = turned_plan(doing("dumbbell-press", place("hung-bag", x + apart + 175, y)), turn)
    assert bool(too_low(plan)) is hits
    assert admitted(plan) is not hits


SHOULDER_MM = 0.818 * 1450
"""The shoulder of the shortest grown-up (Drillis and Contini 1966; 1450 common practice)."""


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize(("over", "hits"), [(2.0, True), (-2.0, False)])
def test_a_shelf_on_a_wall_is_over_hands_where_one_comes_under_it(
    over: float, hits: bool, turn: float
) -> None:
    """Lower than a shoulder it is beside whoever stands there, and its space tells of that."""
    # 750 high and 350 deep, as a boiler is, on the wall behind whoever turns his back to it
    shelf = place("boiler", 3000, 175, piece_id="over", height=SHOULDER_MM + over + 750)
    rack = place("dumbbell-rack-2", 3000, 350 + 1005 + 275, 180, piece_id="it")
    who = make_person(H, want=("dumbbell-press",))
    plan = turned_plan(make_plan(rack, shelf, room=ROOM, people=(who,)), turn)
    assert [s.pieces for s in too_low(plan)] == [("it", "over")] * hits
    assert admitted(plan) is not hits
    beside = [s for s in room_to_use(build_scene(plan)) if s.pieces == ("it", "over")]
    assert [s.severity for s in beside] == []


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize(("over", "hits"), [(-2.0, True), (2.0, False)])
def test_hands_pass_under_a_shelf_that_hangs_high_enough(
    over: float, hits: bool, turn: float
) -> None:
    top = REACH + 75 + over + 750
    shelf = place("boiler", 3000, 175, piece_id="over", height=top)
    rack = place("dumbbell-rack-2", 3000, 350 + 1005 + 275, 180, piece_id="it")
    who = make_person(H, want=("dumbbell-press",))
    plan = turned_plan(
        make_plan(rack, shelf, room=make_room(6000, 6000, 3300), people=(who,)), turn
    )
    assert bool(too_low(plan)) is hits
    assert admitted(plan) is not hits
