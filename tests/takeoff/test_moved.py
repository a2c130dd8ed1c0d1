"""Leads by where things stand, and what the list gains or loses while a hand moves them."""

from __future__ import annotations

import time
from typing import Any

import pytest

from app.model.kit import Pose
from app.model.room import Room
from app.scene.build import Scene
from app.takeoff.moved import FLOOR_AT_REST, lays_anew, moved, on_places
from app.takeoff.quantities import take_off
from tests.builders import make_room, place
from tests.takeoff.making import counted, scene_of
from tests.takeoff.test_hung import with_walls


def with_socket() -> Room:
    data = make_room(8000, 3000).model_dump()
    data["sockets"] = [{"id": "s", "wall": "back", "offset_mm": 200, "height_mm": 300}]
    return Room.model_validate(data)


def fan(x: float) -> Any:
    return place("fan", x, 1500)


@pytest.mark.parametrize(
    ("x", "lead"),
    [
        # a cord is about 2 m (register); a fan of about 400 stands that much nearer than its middle
        (700, None), (3000, "small.lead-3m"), (6500, "small.lead-5m"),
    ],
)  # fmt: skip
def test_a_small_thing_beyond_its_cord_takes_the_shortest_lead_that_reaches(
    x: float, lead: str | None
) -> None:
    keys = [line.key for line in counted(fan(x), room=with_socket()).lines]
    assert [key for key in keys if "lead" in key] == ([lead] if lead else [])


def test_no_machine_and_nothing_strong_runs_on_a_lead() -> None:
    found = counted(
        place("running-machine", 6500, 1500), place("heater", 7300, 400), room=with_socket()
    )
    assert not [line for line in found.lines if "lead" in line.key]


def words(scene: Scene, poses: dict[str, Pose]) -> list[str]:
    return [
        one.worded("EUR") for one in moved(on_places(scene), on_places(scene.moved(poses)))
    ]  # fmt: skip


def test_a_lead_comes_and_goes_with_the_hand() -> None:
    scene = scene_of(fan(700), room=with_socket())
    assert words(scene, {"fan": Pose(x_mm=3000, y_mm=1500)}) == ["+1 socket lead, 3.0 m, +€10.00"]
    away = scene_of(fan(3000), room=with_socket())
    assert words(away, {"fan": Pose(x_mm=700, y_mm=1500)}) == ["-1 socket lead, 3.0 m, -€10.00"]
    assert words(scene, {"fan": Pose(x_mm=900, y_mm=1500)}) == []


def test_a_thing_hung_on_another_wall_takes_other_plugs() -> None:
    data = with_walls(make_room(), construction="solid-brick").model_dump()
    data["walls"][1]["construction"] = "timber-studs"
    scene = scene_of(place("plate-pegs", 2500, 100), room=Room.model_validate(data))
    right = {"plate-pegs": Pose(x_mm=4900, y_mm=2500, angle_deg=90)}
    said = words(scene, right)
    # four and one to spare: two cards of four plugs, one bag of ten screws
    assert "-4 plug 8 × 50 with screw 5 × 60, -€4.00" in said
    assert "+4 wood screw 5 × 60, +€2.20" in said


def test_what_changes_in_the_hand_is_what_the_whole_list_changes() -> None:
    scene = scene_of(fan(700), place("plate-pegs", 2500, 100), room=with_socket())
    there = scene.moved({"fan": Pose(x_mm=6500, y_mm=1500)})
    before, after = ({line.key: line for line in take_off(s).lines} for s in (scene, there))
    whole = [one.worded("EUR") for one in moved(before, after)]
    assert words(scene, {"fan": Pose(x_mm=6500, y_mm=1500)}) == whole


def test_a_floor_laid_round_what_moves_is_counted_at_rest() -> None:
    stays = place("plate-tree", 3000, 1500).model_copy(update={"stays": True})
    floors = [{"id": "a"}]
    assert lays_anew(scene_of(stays, room=with_socket(), floors=floors), {"plate-tree"})
    assert not lays_anew(scene_of(stays, room=with_socket()), {"plate-tree"})
    assert not lays_anew(scene_of(fan(700), room=with_socket(), floors=floors), {"fan"})
    # what a floor is laid up to moves its edge
    platform = place("platform", 3000, 1500)
    flush = [{"id": "a", "flush": ["platform"]}]
    assert lays_anew(scene_of(platform, room=with_socket(), floors=flush), {"platform"})
    assert not lays_anew(scene_of(platform, room=with_socket(), floors=floors), {"platform"})
    assert FLOOR_AT_REST == "floor: counted at rest"


def test_it_is_told_while_the_hand_still_moves() -> None:
    # a drag is judged some 30 times a second; what it costs may take a small part of that
    pieces = [place("plate-pegs", 300 + 250 * i, 100, piece_id=f"p{i}") for i in range(25)]
    scene = scene_of(fan(700), *pieces, room=with_socket())
    on_places(scene)
    began = time.perf_counter()
    for x in range(20):
        on_places(scene.moved({"fan": Pose(x_mm=700 + 100 * x, y_mm=1500)}))
    assert (time.perf_counter() - began) / 20 < 0.05


def test_one_that_stays_among_others_is_enough_for_a_floor_to_be_laid_anew() -> None:
    stays = place("plate-tree", 3000, 1500).model_copy(update={"stays": True})
    both = scene_of(stays, fan(700), room=with_socket(), floors=[{"id": "a"}])
    assert lays_anew(both, {"plate-tree", "fan"})
    assert not lays_anew(both, {"fan", "nobody"})
    assert not lays_anew(both, set())
