"""Ramps by hand: at which edges they lie, how long and wide, and what floor they take."""

from typing import Any

import pytest
import shapely
from shapely import Polygon

from app.model.room import Opening
from app.scene.build import Scene, build_scene
from app.takeoff.quantities import take_off
from app.takeoff.ramps import (
    IN_THE_ROOM,
    ramp_areas,
    ramp_widths_mm,
    ramps_by_height,
    ramps_in_words,
)
from tests.builders import make_room, rectangle, turned_plan
from tests.takeoff.making import scene_of


def opening(kind: str, wall: str, width: float, **fields: Any) -> Opening:
    given = {"id": f"{kind}-{wall}", "wall": wall, "kind": kind, "offset_mm": 1000}
    return Opening.model_validate({**given, "width_mm": width, "height_mm": 2000, **fields})


def ramps_by_place(scene: Scene) -> dict[str, float]:
    """The metres at each place, of whatever height."""
    places: dict[str, float] = {}
    for some in ramps_by_height(scene).values():
        for place, metres in some.items():
            places[place] = places.get(place, 0.0) + metres
    return places


DOOR = opening("hinged", "back", 900, label="Door")
GARAGE = opening("tracks", "front", 2400)
WINDOW = opening("window", "left", 1200, sill_mm=900, height_mm=600)


def floored(*openings: Opening, **laid: Any) -> Scene:
    given = {"id": "f", "thickness_mm": 20, "door_stop_mm": 120, **laid}
    return scene_of(room=make_room(4000, 3000, openings=openings), floors=[given])


def test_a_ramp_lies_at_each_way_and_is_as_long_as_its_edge() -> None:
    assert ramps_by_place(floored(WINDOW)) == {}
    # the mats end 120 off the garage door over the whole wall; one walks over them in its opening
    places = ramps_by_place(floored(DOOR, GARAGE, WINDOW))
    assert places == {"Door": pytest.approx(0.9, abs=5e-3), "garage door": pytest.approx(2.4)}
    assert ramps_by_place(floored(zone=rectangle(0, 0, 4000, 2000))) == {
        IN_THE_ROOM: pytest.approx(3.984)
    }
    line = take_off(floored(DOOR, GARAGE)).line("small.edge-ramp-1m")
    assert line.net == pytest.approx(3.3, abs=5e-3)
    assert line.where == "Door, garage door"


@pytest.mark.parametrize("jamb_mm", [0, 5, 11, 12, 30, 600])
@pytest.mark.parametrize("turn_deg", [0.0, 27.0])
def test_beside_a_garage_door_there_is_no_ramp_however_near_its_wall_ends(
    jamb_mm: float, turn_deg: float
) -> None:
    wide = 4000 - 600 - jamb_mm
    door = opening("tracks", "front", wide, offset_mm=jamb_mm)
    plan = turned_plan(floored(door).plan, turn_deg)
    ((_, area),) = ramp_areas(build_scene(plan))
    # as long as the opening; what is left of its wall and is no wider than a slit stays a ramp, as
    # far as the mats go, 8 off the side wall
    slit = max(jamb_mm - 8, 0) if jamb_mm < 50 else min(jamb_mm, 8) - 8
    assert area.area == pytest.approx(100 * (wide + slit), abs=100 * 9)


def test_a_ramp_takes_five_to_eight_times_its_height_beside_the_mats() -> None:
    ((ramp, area),) = ramp_areas(floored(GARAGE))
    assert ramp_widths_mm(ramp.high_mm) == (100, 160)
    assert ramp.where == "garage door"
    # 3000 deep: mats end at 2880, the ramp goes on for 100
    assert isinstance(area, Polygon)
    assert area.bounds == pytest.approx((600, 2880, 3000, 2980), abs=0.1)
    ((thick, _),) = ramp_areas(floored(GARAGE, thickness_mm=35, door_stop_mm=200))
    assert ramp_widths_mm(thick.high_mm) == (175, 280)


def test_they_are_told_by_the_door_they_lie_at() -> None:
    assert ramps_in_words(floored(WINDOW), "metric") == ""
    assert ramps_in_words(floored(DOOR, GARAGE), "metric") == (
        "Edge ramps, grey on the plan, 100 to 160 mm wide, where somebody walks or drives over "
        "the edge: 0.90 m at the door, 2.40 m at the garage door. At the garage door 120 mm at "
        "the most: there the door shuts. At the door 8 mm of floor are left before its line: the "
        "ramp lies in the reveal where leaf and threshold let it, else end the covering 92 mm "
        "sooner there."
    )
    # any width finds room before the door; where none does, the floor's own note says so
    for stop in (160, 99):
        assert "at the most" not in ramps_in_words(floored(GARAGE, door_stop_mm=stop), "metric")
    assert ramps_in_words(floored(GARAGE, door_stop_mm=100), "metric").count("at the most") == 1
    # also that of a thin mat: 5 to 8 times a millimetre
    thin = ramps_in_words(floored(DOOR, thickness_mm=1), "metric")
    # so low no ramp is made
    assert "Threshold strips, grey on the plan, for an edge of 1 mm, where" in thin
    assert "wide" not in thin
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


def zones(back_mm: float, front_mm: float, *openings: Opening, **front: Any) -> Scene:
    """Two coverings on 4 m x 3 m that meet 1500 from the back wall."""
    floors = [
        {"id": "a", "thickness_mm": back_mm, "zone": rectangle(0, 0, 4000, 1500)},
        {"id": "b", "thickness_mm": front_mm, "zone": rectangle(0, 1500, 4000, 3000), **front},
    ]
    return scene_of(room=make_room(4000, 3000, openings=openings), floors=floors)


BACK = opening("hinged", "back", 900, label="Door one")
FRONT = opening("hinged", "front", 900, label="Door two")


@pytest.mark.parametrize(("back", "front"), [(40, 3), (3, 40)])
def test_each_edge_is_as_high_as_the_covering_that_ends_there(back: float, front: float) -> None:
    # 8 off either wall the step of 37 goes across the room, and a door lies at each end of it
    scene = zones(back, front, BACK, FRONT)
    assert {high: list(places) for high, places in ramps_by_height(scene).items()} == {
        40: ["Door one" if back == 40 else "Door two"],
        37: ["where two floors meet"],
        3: ["Door two" if back == 40 else "Door one"],
    }
    assert ramps_by_height(scene)[37]["where two floors meet"] == pytest.approx(3.984, abs=2e-3)
    lines = {one.item: one for one in take_off(scene).lines if "edge-ramp" in one.key}
    assert [*lines] == ["Edge ramp, 40 mm", "Edge ramp, 37 mm", "Threshold strip for 3 mm"]
    assert lines["Edge ramp, 37 mm"].where == "where two floors meet"
    # five to eight times 37
    assert "185 to 296 mm wide" in lines["Edge ramp, 37 mm"].notes[0]
    assert len({one.key for one in lines.values()}) == 3
    said = ramps_in_words(scene, "metric")
    assert "185 to 296 mm wide, for an edge of 37 mm, where" in said
    assert "3.98 m where two floors meet" in said


@pytest.mark.parametrize(("back", "front", "step"), [(20, 17, False), (20, 16.9, True)])
def test_a_step_that_a_foot_does_not_find_has_no_ramp(
    back: float, front: float, step: bool
) -> None:
    # 3 mm (common practice, no source)
    assert ("where two floors meet" in ramps_by_place(zones(back, front))) is step


def test_the_ramp_of_a_step_lies_on_the_lower_covering() -> None:
    for scene, bounds in (
        (zones(30, 10), (8, 1500, 3992, 1600)),
        (zones(10, 30), (8, 1400, 3992, 1500)),
    ):
        ((_, area),) = ramp_areas(scene)
        assert area.bounds == pytest.approx(bounds, abs=2)


def test_floors_side_by_side_at_one_door_part_its_ramp() -> None:
    # the garage door's opening from 600 to 3000: 1400 of 20 mm and 1000 of 30 mm
    floors = [
        {"id": "a", "thickness_mm": 20, "door_stop_mm": 120, "zone": rectangle(0, 0, 2000, 3000)},
        {
            "id": "b",
            "thickness_mm": 30,
            "door_stop_mm": 120,
            "zone": rectangle(2000, 0, 4000, 3000),
        },
    ]
    scene = scene_of(room=make_room(4000, 3000, openings=[GARAGE]), floors=floors)
    heights = ramps_by_height(scene)
    assert heights[20]["garage door"] == pytest.approx(1.4, abs=5e-3)
    assert heights[30]["garage door"] == pytest.approx(1.0, abs=5e-3)
    # the two end 120 short of the door and meet from there to the back wall
    assert heights[10]["where two floors meet"] == pytest.approx(2.872, abs=5e-3)


def test_a_ramp_at_a_door_into_the_house_lies_in_its_reveal() -> None:
    scene = floored(DOOR)
    ((ramp, area),) = ramp_areas(scene)
    (hole,) = [one.hole for one in scene.room.openings]
    assert ramp.where == "Door"
    assert area.intersection(hole).area > 0.5 * area.area
    # five times as wide as it is high, and as long as the door is wide
    assert area.area == pytest.approx(100 * 900, rel=0.05)


def test_ramps_round_a_zone_in_the_room_are_mitred_at_its_corners() -> None:
    # by hand: 1000 x 1000 in the middle; four ramps of 100 whose outer edges are 1200 long
    scene = floored(zone=rectangle(1000, 1000, 2000, 2000))
    assert ramps_by_place(scene) == {IN_THE_ROOM: pytest.approx(4.8, abs=5e-3)}
    areas = [area for _, area in ramp_areas(scene)]
    # each a trapezium of 1000 and 1200; together a frame of 1200 without a hole at a corner
    assert [area.area for area in areas] == pytest.approx([110_000] * 4, rel=5e-3)
    frame = Polygon(rectangle(900, 900, 2100, 2100)).difference(
        Polygon(rectangle(1000, 1000, 2000, 2000))
    )
    assert shapely.union_all(areas).symmetric_difference(frame).area < 2000
    # at an inner corner nothing is added: they meet there
    ell = ((8, 8), (2000, 8), (2000, 1000), (1000, 1000), (1000, 2000), (8, 2000))
    assert sum(len(ramp.corners) for ramp, _ in ramp_areas(floored(zone=ell))) == 4
