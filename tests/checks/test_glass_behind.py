"""Glass behind a belt: 2000 is the least to it where one runs (common practice, no source).

The running machine is 1850 deep: with its middle at y its belt ends at y + 925. Its deck is 180
high, the default covering 0: a head of 1750 stands at 1930.
"""

from typing import Any

import numpy as np
import pytest

from app.checks.glass_behind import glass_behind
from app.model.plan import Plan
from app.model.room import Opening
from app.placing.core import Core
from app.scene.build import build_scene
from tests.builders import found, make_person, make_plan, make_room, place, turned_plan

RUNNER = make_person(want=("run",))


def window(sill: float = 400, **more: Any) -> Opening:
    return Opening.model_validate(
        {
            "id": "w",
            "wall": "front",
            "kind": "window",
            "offset_mm": 1200,
            "width_mm": 1600,
            "height_mm": 500,
            "sill_mm": sill,
            **more,
        }
    )


def plan(away: float, opening: Opening | None = None, **more: Any) -> Plan:
    """A machine with its belt so far from the front wall, which has the opening."""
    room = make_room(4000, 6000, openings=(opening or window(),))
    runner = place("running-machine", 2000, 6000 - away - 925)
    return make_plan(
        runner, *more.get("pieces", ()), room=room, people=more.get("people", (RUNNER,))
    )


@pytest.mark.parametrize("angle", [0, 31])
@pytest.mark.parametrize(("away", "measured"), [(2000, None), (1998, 1998), (1500, 1500), (0, 0)])
def test_a_window_straight_behind(away: float, measured: int | None, angle: float) -> None:
    snags = found(turned_plan(plan(away), angle, (300, -200)), "glass-behind")
    assert [(snag.severity, snag.measured, snag.required) for snag in snags] == (
        [] if measured is None else [("stop", measured, 2000)]
    )


def test_it_is_said_once_and_names_the_glass() -> None:
    snags = [s for s in found(plan(1500), "") if s.space == "behind-the-belt"]
    assert [snag.sentence for snag in snags] == [
        "1500 mm to the window behind the belt. To glass 2000 is the minimum."
    ]


def test_a_wall_without_glass_is_a_wall() -> None:
    shut = window(kind="hinged", sill_mm=0, width_mm=900, height_mm=2000)
    assert found(plan(1500, shut), "glass-behind") == []
    (snag,) = found(plan(1500, shut), "room-behind")
    assert snag.severity == "care"


def test_a_door_with_glass() -> None:
    glazed = window(kind="sectional", sill_mm=0, height_mm=2000, glass=True)
    (snag,) = found(plan(1500, glazed), "glass-behind")
    assert "garage door with glass" in snag.sentence


@pytest.mark.parametrize(("sill", "count"), [(1928, 1), (1930, 0), (2000, 0)])
def test_glass_above_the_head_of_who_stands_on_the_deck(sill: float, count: int) -> None:
    assert len(found(plan(1500, window(sill)), "glass-behind")) == count


def test_a_taller_runner_and_a_higher_deck_count() -> None:
    tall = make_person(1900, person_id="two", want=("run",))
    assert len(found(plan(1500, window(1940), people=(RUNNER, tall)), "glass-behind")) == 1
    sits_out = make_person(1900, person_id="two", no=("run",))
    assert found(plan(1500, window(1940), people=(RUNNER, sits_out)), "glass-behind") == []


NOBODY = make_person(no=("run", "walk"))


@pytest.mark.parametrize("angle", [0, 31])
@pytest.mark.parametrize(("away", "says"), [(2000, []), (1998, ["stop"]), (900, ["stop"])])
def test_a_belt_that_nobody_wants_stands_there_for_anybody(
    away: float, says: list[str], angle: float
) -> None:
    """EN 957-6 and ASTM F2115 ask 2000 of the machine, whoever steps on to it."""
    for who in (NOBODY, make_person(no=("run",))):
        turned = turned_plan(plan(away, people=(who,)), angle, (300, -200))
        assert [s.severity for s in found(turned, "glass-behind")] == says
        scene = build_scene(turned)
        belt = scene.placed["running-machine"]
        core = Core.of(scene)
        free = core.admits(belt.root, belt.pose.angle_deg, np.array([belt.at]), core.layout())
        assert free.tolist() == [not says]


@pytest.mark.parametrize(("away", "says"), [(2000, []), (1998, ["care"]), (998, ["stop"])])
def test_to_a_bare_wall_behind_it_the_same_is_said_whoever_wants_it(
    away: float, says: list[str]
) -> None:
    # 1000 at the least by the older ASTM F2115, 2000 by EN 957-6
    bare = window(kind="hinged", sill_mm=0, width_mm=900, height_mm=2000)
    for who in (NOBODY, RUNNER):
        behind = found(plan(away, bare, people=(who,)), "room-behind")
        assert [s.severity for s in behind] == says


@pytest.mark.parametrize(("sill", "count"), [(2078, 1), (2080, 0)])
def test_of_those_who_all_say_no_the_tallest_may_step_on(sill: float, count: int) -> None:
    # 1900 on a deck of 180
    tall = make_person(1900, person_id="two", no=("run", "walk"))
    for people in ((NOBODY, tall), (tall, NOBODY)):
        assert len(found(plan(1500, window(sill), people=people), "glass-behind")) == count


@pytest.mark.parametrize("angle", [0, 31])
@pytest.mark.parametrize(("away", "count"), [(2000, 0), (1998, 1), (1500, 1)])
def test_who_walks_on_a_running_machine_falls_off_it_too(
    away: float, count: int, angle: float
) -> None:
    walker = make_person(want=("walk",), no=("run",))
    turned = turned_plan(plan(away, people=(walker,)), angle, (300, -200))
    assert [s.severity for s in found(turned, "glass-behind")] == ["stop"] * count
    scene = build_scene(turned)
    belt = scene.placed["running-machine"]
    core = Core.of(scene)
    free = core.admits(belt.root, belt.pose.angle_deg, np.array([belt.at]), core.layout())
    assert free.tolist() == [not count]


@pytest.mark.parametrize(("x", "count"), [(1299, 0), (1297, 0), (1300 - 500 + 503, 1)])
def test_only_what_is_straight_behind_over_the_width(x: float, count: int) -> None:
    # a window of 400 from 1800 to 2200; the floor behind the belt is 1000 wide, 500 either side
    narrow = window(offset_mm=4000 - 2200, width_mm=400)
    room = make_room(4000, 6000, openings=(narrow,))
    machine = place("running-machine", x, 6000 - 1500 - 925)
    snags = found(make_plan(machine, room=room, people=(RUNNER,)), "glass-behind")
    assert [snag.severity for snag in snags] == (["stop"] if count else ["care"])


@pytest.mark.parametrize("angle", [0, 31, 211])
@pytest.mark.parametrize("side", [-1, 1])
@pytest.mark.parametrize(("beside", "told"), [(5, ["care"]), (298, ["care"]), (302, [])])
def test_nobody_is_thrown_straight(beside: float, told: list[str], side: int, angle: float) -> None:
    """300 beside the floor behind the belt: common practice, no source."""
    # glass from 1800 to 2200, floor of 1000 behind the belt
    room = make_room(4000, 6000, openings=(window(offset_mm=1800, width_mm=400),))
    machine = place("running-machine", 2000 + side * (200 + 500 + beside), 6000 - 1500 - 925)
    plan = turned_plan(make_plan(machine, room=room, people=(RUNNER,)), angle, (50, 60))
    snags = found(plan, "glass-behind")
    assert [snag.severity for snag in snags] == told
    for snag in snags:
        assert (snag.measured, snag.required) == (1500, 2000)
        assert f"1500 mm to the window behind the belt, {beside} mm beside" in snag.sentence


@pytest.mark.parametrize("angle", [0, 31])
@pytest.mark.parametrize(("sill_mm", "told"), [(1499, ["care"]), (1500, [])])
def test_who_lands_beside_meets_no_glass_above_the_shoulders(
    sill_mm: float, told: list[str], angle: float
) -> None:
    """As of the glass beside a door, 1500: common practice, no source."""
    pane = window(offset_mm=1800, width_mm=400, sill_mm=sill_mm, height_mm=300)
    machine = place("running-machine", 2000 + 200 + 500 + 100, 6000 - 1500 - 925)
    room = make_room(4000, 6000, openings=(pane,))
    plan = turned_plan(make_plan(machine, room=room, people=(RUNNER,)), angle)
    assert [snag.severity for snag in found(plan, "glass-behind")] == told


def test_a_mirror_behind_the_belt() -> None:
    mirror = place("mirror", 2000, 5985, 180)
    wall = make_room(4000, 6000)
    machine = place("running-machine", 2000, 6000 - 30 - 1700 - 925)
    both = make_plan(machine, mirror, room=wall, people=(RUNNER,))
    (snag,) = found(both, "glass-behind")
    assert snag.severity == "stop"
    assert snag.pieces == ("running-machine", "mirror")
    assert snag.measured == pytest.approx(1700, abs=2)


def test_what_stands_before_all_of_the_glass_takes_the_fall() -> None:
    # both 2000 high: over the head; the narrow one leaves glass on either side
    wide = place("shelving", 2000, 5600, width=2000, height=2000)
    assert found(plan(1700, pieces=(wide,)), "glass-behind") == []
    thin = place("shelving", 2000, 5600, width=600, height=2000)
    (snag,) = found(plan(1700, pieces=(thin,)), "glass-behind")
    assert snag.measured == 1700


def test_an_empty_room_says_nothing() -> None:
    assert found(make_plan(room=make_room(openings=(window(),))), "glass-behind") == []


def test_of_two_windows_each_is_looked_at() -> None:
    # from 1200 to 1800 and from 2200 to 2800 along a wall that is looked at from its right end
    halves = {"width_mm": 600}
    high = window(2000, id="a", offset_mm=1200, **halves)
    low = window(400, id="b", offset_mm=2200, **halves)
    machine = place("running-machine", 2000, 6000 - 1500 - 925)
    for first, second in ((high, low), (low, high)):
        room = make_room(4000, 6000, openings=(first, second))
        both = make_plan(machine, room=room, people=(RUNNER,))
        assert len(found(both, "glass-behind")) == 1
    # what stands before the one leaves the other
    halves_low = (window(400, id="a", offset_mm=1200, **halves), low)
    for x in (1500, 2500):
        shelf = place("shelving", x, 5700, width=700, depth=400, height=2000)
        room = make_room(4000, 6000, openings=halves_low)
        half = make_plan(machine, shelf, room=room, people=(RUNNER,))
        (snag,) = found(half, "glass-behind")
        assert snag.where is not None
        assert (snag.where[0] < 2000) is (x == 2500)


@pytest.mark.parametrize(("height", "count"), [(1927, 1), (1930, 0)])
def test_what_is_lower_than_a_head_takes_no_fall(height: float, count: int) -> None:
    wide = place("shelving", 2000, 5600, width=2000, depth=400, height=height)
    assert len(found(plan(1700, pieces=(wide,)), "glass-behind")) == count


def test_the_nearest_glass_is_named_and_of_a_folded_machine_once_it_is_wanted() -> None:
    # a mirror 30 thick, its middle 515 before the window
    mirror = place("mirror", 2000, 5485, 180)
    (snag,) = found(plan(1700, pieces=(mirror,)), "glass-behind")
    assert snag.pieces == ("running-machine", "mirror")
    assert snag.measured == pytest.approx(1700 - 515 - 15, abs=2)
    folded = plan(1500)
    (piece,) = folded.pieces
    away = folded.model_copy(update={"pieces": (piece.model_copy(update={"state": "folded"}),)})
    (opened,) = found(away, "glass-behind")
    assert opened.measured == 1500
    assert opened.sentence.endswith("(Running machine in use.)")
    nobody = away.model_copy(update={"people": ()})
    assert found(nobody, "glass-behind") == []


@pytest.mark.parametrize("angle", [0, 31, 211])
@pytest.mark.parametrize(("x", "count"), [(1297, 0), (1303, 1), (2697, 1), (2703, 0), (2000, 1)])
def test_the_width_behind_the_belt_turns_with_it(x: float, count: int, angle: float) -> None:
    # glass from 1800 to 2200, floor of 1000 behind the belt
    room = make_room(4000, 6000, openings=(window(offset_mm=1800, width_mm=400),))
    machine = place("running-machine", x, 6000 - 1500 - 925)
    narrow = turned_plan(make_plan(machine, room=room, people=(RUNNER,)), angle, (50, 60))
    severities = [snag.severity for snag in glass_behind(build_scene(narrow))]
    assert severities == (["stop"] if count else ["care"])


def test_each_machine_is_looked_at_whatever_stands_before_it_in_the_plan() -> None:
    room = make_room(8000, 6000, openings=(window(offset_mm=500, width_mm=7000),))
    y = 6000 - 1500 - 925
    first, second = (place("running-machine", x, y, piece_id=name) for x, name in
                     ((2000, "b"), (5000, "c")))  # fmt: skip
    folded = place("running-machine", 6500, y, piece_id="a").model_copy(update={"state": "folded"})
    bike = place("bike", 500, 500, piece_id="a-bike")
    plan = make_plan(folded, bike, first, second, room=room, people=(RUNNER,))
    assert [snag.pieces for snag in glass_behind(build_scene(plan))] == [("b",), ("c",)]


@pytest.mark.parametrize("names", [("a", "b"), ("b", "a"), ("x", "y"), ("y", "x")])
def test_what_covers_a_pane_is_seen_whatever_else_stands_there(names: tuple[str, str]) -> None:
    # a low shelf before the tall one, either first in the plan and before or after the machine
    low = place("shelving", 2000, 5000, piece_id=names[0], width=2000, depth=300, height=600)
    tall = place("shelving", 2000, 5600, piece_id=names[1], width=2000, depth=300, height=2000)
    assert list(glass_behind(build_scene(plan(1900, pieces=(low, tall))))) == []
    assert len(list(glass_behind(build_scene(plan(1900, pieces=(low,)))))) == 1


def test_glass_of_another_arm_of_the_room_is_behind_a_wall() -> None:
    corners = (
        *((0, 0), (6000, 0), (6000, 2500), (2000, 2500)),
        *((2000, 3000), (6000, 3000), (6000, 6000), (0, 6000)),
    )
    machine = place("running-machine", 4000, 2450 - 925)
    for wall, count in (("w3", 1), ("w5", 0)):
        room = make_room(corners=corners, openings=(window(wall=wall),))
        snags = list(glass_behind(build_scene(make_plan(machine, room=room, people=(RUNNER,)))))
        assert len(snags) == count
        assert [snag.measured for snag in snags] == [50] * count


@pytest.mark.parametrize("angle", [0, 31])
@pytest.mark.parametrize(("away", "says"), [(300, 1), (998, 1), (1000, 0), (1998, 0)])
def test_behind_a_belt_to_walk_on_alone_glass_is_a_care_under_what_is_wanted(
    away: float, says: int, angle: float
) -> None:
    """1000 behind a pad 1400 long, to glass as to a wall (common practice, no source)."""
    room = make_room(4000, 6000, openings=(window(),))
    pad = place("walking-pad", 2000, 6000 - away - 700)
    for who in (RUNNER, NOBODY, make_person(want=("walk",))):
        turned = turned_plan(make_plan(pad, room=room, people=(who,)), angle, (300, -200))
        snags = [s for s in found(turned, "") if s.space == "behind-the-belt"]
        # said once, and it names the glass, not the wall
        assert [(s.severity, s.measured, s.required) for s in snags] == [
            ("care", away, 1000)
        ] * says
        assert all("to the window behind the belt. Allow 1000" in s.sentence for s in snags)
        belt = build_scene(turned)
        at = belt.placed["walking-pad"]
        for wanted, free in ((False, True), (True, not says)):
            core = Core.of(belt, wanted=wanted)
            angle_deg, there = at.pose.angle_deg, np.array([at.at])
            assert core.admits(at.root, angle_deg, there, core.layout()).tolist() == [free]


@pytest.mark.parametrize("x", [1490, 1499, 1502, 1510])
def test_beside_the_window_the_wall_behind_a_pad_is_as_grave(x: float) -> None:
    # a window from 1800 to 2200 and a pad 600 wide: its lane ends 300 off its middle
    narrow = window(offset_mm=4000 - 2200, width_mm=400)
    room = make_room(4000, 6000, openings=(narrow,))
    for away, says in ((900, ["care"]), (1000, [])):
        pad = place("walking-pad", x, 6000 - away - 700)
        plan = make_plan(pad, room=room, people=(make_person(want=("walk",)),))
        snags = [s for s in found(plan, "") if s.space == "behind-the-belt"]
        assert [s.severity for s in snags] == says


def test_who_walks_counts_on_a_belt_to_walk_on_alone() -> None:
    # 1900 who walks on a pad of 130, 1750 who runs: glass from 1930 is above the runner's head
    walks = make_person(1900, person_id="two", want=("walk",), no=("run",))
    runs = make_person(1750, want=("run",), no=("walk",))
    pad = place("walking-pad", 2000, 6000 - 200 - 700)
    for people, sill, count in (
        ((walks, runs), 2028, 1), ((walks, runs), 2030, 0), ((runs,), 1878, 1), ((runs,), 1880, 0)
    ):  # fmt: skip
        room = make_room(4000, 6000, openings=(window(sill),))
        plan = make_plan(pad, room=room, people=people)
        assert len(list(glass_behind(build_scene(plan)))) == count
