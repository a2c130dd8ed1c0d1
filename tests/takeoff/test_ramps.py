"""Ramps by hand: at which edges they lie, how long and wide, and what floor they take."""

from typing import Any

import pytest
from shapely import Polygon

from app.model.room import Opening
from app.scene.build import Scene
from app.takeoff.quantities import take_off
from app.takeoff.ramps import (
    IN_THE_ROOM,
    ramp_areas,
    ramp_widths_mm,
    ramps_by_place,
    ramps_in_words,
)
from tests.builders import make_room, rectangle
from tests.takeoff.making import scene_of


def opening(kind: str, wall: str, width: float, **fields: Any) -> Opening:
    given = {"id": f"{kind}-{wall}", "wall": wall, "kind": kind, "offset_mm": 1000}
    return Opening.model_validate({**given, "width_mm": width, "height_mm": 2000, **fields})


DOOR = opening("hinged", "back", 900, label="Door")
GARAGE = opening("tracks", "front", 2400)
WINDOW = opening("window", "left", 1200, sill_mm=900, height_mm=600)


def floored(*openings: Opening, **laid: Any) -> Scene:
    given = {"id": "f", "thickness_mm": 20, "door_stop_mm": 120, **laid}
    return scene_of(room=make_room(4000, 3000, openings=openings), floors=[given])


def test_a_ramp_lies_at_each_way_and_is_as_long_as_its_edge() -> None:
    assert ramps_by_place(floored(WINDOW)) == {}
    # the mats end 8 off the side walls and 120 off the garage door, over the whole wall
    places = ramps_by_place(floored(DOOR, GARAGE, WINDOW))
    assert places == {"Door": pytest.approx(0.9, abs=5e-3), "garage door": pytest.approx(3.984)}
    assert ramps_by_place(floored(zone=rectangle(0, 0, 4000, 2000))) == {
        IN_THE_ROOM: pytest.approx(3.984)
    }
    line = take_off(floored(DOOR, GARAGE)).line("small.edge-ramp-1m")
    assert line.net == pytest.approx(4.884, abs=5e-3)
    assert line.where == "Door, garage door"


def test_a_ramp_takes_five_to_eight_times_its_height_beside_the_mats() -> None:
    scene = floored(GARAGE)
    assert ramp_widths_mm(scene) == (100, 160)
    ((ramp, area),) = ramp_areas(scene)
    assert ramp.where == "garage door"
    # 3000 deep: mats end at 2880, the ramp goes on for 100
    assert isinstance(area, Polygon)
    assert area.bounds == pytest.approx((8, 2880, 3992, 2980), abs=0.1)
    thick = floored(GARAGE, thickness_mm=35)
    assert ramp_widths_mm(thick) == (175, 280)


def test_they_are_told_by_the_door_they_lie_at() -> None:
    assert ramps_in_words(floored(WINDOW), "metric") == ""
    assert ramps_in_words(floored(DOOR, GARAGE), "metric") == (
        "Edge ramps, grey on the plan, 100 to 160 mm wide, where somebody walks or drives over "
        "the edge: 0.90 m at the door, 3.98 m at the garage door. At the garage door 120 mm at "
        "the most: there the door shuts."
    )
    # any width finds room before the door; where none does, the floor's own note says so
    for stop in (160, 99):
        assert "at the most" not in ramps_in_words(floored(GARAGE, door_stop_mm=stop), "metric")
    assert ramps_in_words(floored(GARAGE, door_stop_mm=100), "metric").count("at the most") == 1
    # also that of a thin mat: 5 to 8 times a millimetre
    thin = ramps_in_words(floored(DOOR, thickness_mm=1), "metric")
    assert "5 to 8 mm wide" in thin
    half = floored(zone=rectangle(0, 0, 4000, 2000))
    assert ramps_in_words(half, "metric").endswith("the edge: 3.98 m where it ends in the room.")
    assert " mm" not in ramps_in_words(floored(DOOR), "feet")


def test_a_window_and_a_floor_that_cannot_be_laid_hide_no_ramp() -> None:
    plain = ramps_by_place(floored(DOOR, GARAGE))
    assert set(plain) == {"Door", "garage door"}
    assert ramps_by_place(floored(WINDOW, DOOR, GARAGE)) == plain
    crossed = {"id": "a", "zone": ((0, 0), (1000, 1000), (1000, 0), (0, 1000))}
    laid = {"id": "f", "thickness_mm": 20, "door_stop_mm": 120}
    room = make_room(4000, 3000, openings=[DOOR, GARAGE])
    for floors in ([crossed, laid], [laid, {**crossed, "id": "z"}]):
        assert ramps_by_place(scene_of(room=room, floors=floors)) == plain


def test_of_two_floors_the_one_that_comes_nearer_to_the_door_bounds_its_ramp() -> None:
    # 120 and 150 are left before the door's line; a ramp of 20 is 100 to 160 wide
    zones = rectangle(0, 0, 2000, 3000), rectangle(2000, 0, 4000, 3000)
    for stops in ((120, 150), (150, 120)):
        floors = [
            {"id": f"f{i}", "thickness_mm": 20, "door_stop_mm": stop, "zone": zone}
            for i, (stop, zone) in enumerate(zip(stops, zones, strict=True))
        ]
        scene = scene_of(room=make_room(4000, 3000, openings=[GARAGE]), floors=floors)
        said = ramps_in_words(scene, "metric")
        assert ("At the garage door 120 mm at the most" in said) is ("garage door" in said)
