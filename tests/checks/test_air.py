"""Air, cold and damp: one note, and a stop for what is burned."""

import math
from typing import Any

import pytest

from app.checks.air import air_and_damp, loss_w_k, volume_m3
from app.checks.snag import Snag
from app.model.plan import Plan
from app.model.room import Plane, Room
from app.model.surroundings import Climate
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place, rectangle

MILD: dict[str, Any] = {"unheated_c": 18, "humidity_percent": 40, "air_changes_per_hour": 2}


def room(**climate: Any) -> Room:
    data = make_room().model_dump() | {"climate": Climate(**climate).model_dump()}
    return Room.model_validate(data)


def judged(plan: Plan) -> dict[str, Snag]:
    return {snag.code: snag for snag in air_and_damp(build_scene(plan))}


def test_a_mild_aired_room_says_nothing() -> None:
    plan = make_plan(place("mid-rack"), room=room(**MILD), people=[make_person()])
    assert judged(plan) == {}


def test_nobody_or_nothing_there() -> None:
    assert judged(make_plan(place("mid-rack"), room=room())) == {}
    assert judged(make_plan(room=room(), people=[make_person()])) == {}


def test_a_burned_fuel_is_a_stop() -> None:
    found = judged(make_plan(room=room(fuel_burned_here="yes")))
    assert found["fuel-burned-here"].severity == "stop"
    boiler = make_plan(place("boiler"), room=room())
    assert set(judged(boiler)) == {"ask-fuel"}
    assert judged(make_plan(place("boiler"), room=room(fuel_burned_here="no"))) == {}


def test_stale_air_and_wet_iron_are_one_note() -> None:
    people = [make_person(), make_person(person_id="two")]
    found = judged(make_plan(place("mid-rack"), place("mirror"), room=room(), people=people))
    assert {code: snag.severity for code, snag in found.items()} == {"air": "note"}
    # 65 m3, 0.5 changes: Q 9.03 L/s; 420 + 1e6 x 0.038 / 9.03 x (1 - exp(-0.5)) = 2076
    assert found["air"].measured == 2076
    assert (found["air"].required, found["air"].unit) == (1920, "ppm")
    assert "After 60 minutes with 2 people the air holds about 2080 ppm" in found["air"].sentence
    # 5.43 + 600 / 32.5 x (1 - exp(-0.5)) = 12.7 g/m3 at 15 C: a dew point of about 14.9
    assert "iron and mirror at 5 °C get wet" in found["air"].sentence
    assert "below 15 °C (the dew point)" in found["air"].sentence


def test_one_person_in_a_tight_room() -> None:
    # 0.1 changes: Q 1.806 L/s; 420 + 1e6 x 0.019 / 1.806 x (1 - exp(-0.2)) = 2327 after two hours
    tight = room(air_changes_per_hour=0.1, session_minutes=120)
    plan = make_plan(place("mid-rack"), room=tight, people=[make_person()])
    note = judged(plan)["air"]
    assert note.measured == pytest.approx(2327, abs=2)
    assert "After 120 minutes with one person the air holds about 2330 ppm" in note.sentence


def test_a_dryer_dries() -> None:
    pieces = (place("mid-rack"), place("dehumidifier", 4000, 4000))
    assert judged(make_plan(*pieces, room=room(), people=[make_person()])) == {}


@pytest.mark.parametrize(("wanted", "said"), [(10, False), (14, True)])
def test_what_a_heater_lifts(wanted: float, said: bool) -> None:
    climate = MILD | {"outside_c": 0, "wanted_c": wanted, "air_changes_per_hour": 0.5}
    plan = make_plan(place("heater"), room=room(**climate), people=[make_person()])
    # 52 m2 at 2.1, 25 at 2.3, 25 at 0.8 and 65 x 0.5 x 0.33: 197.4 W/K; 2000 W lift it 10.1
    scene = build_scene(plan)
    assert math.isclose(loss_w_k(scene), 197.4, abs_tol=0.1)
    found = judged(plan)
    assert bool(found) is said
    if said:
        assert (
            "2.0 kW warm this room to about 10 °C above outdoors; 14 °C are needed"
            in found["air"].sentence
        )


def test_an_engine() -> None:
    plan = make_plan(
        place("mid-rack"), room=room(car_kept_here="yes", **MILD), people=[make_person()]
    )
    assert judged(plan)["air"].sentence == ("Never run an engine in here, even with the door open.")


def test_volume_under_a_slope() -> None:
    # 5 x 5 m, 2 m high at one side and 3 m at the other: 62.5 m3
    slope = make_room(planes=[Plane(id="ceiling", height_mm=2000, rise_x=200)])
    assert math.isclose(volume_m3(build_scene(make_plan(room=slope))), 62.5)
    # half of it at 2 m, half at 3 m
    half = Plane(id="low", height_mm=2000, outline=((0, 0), (2500, 0), (2500, 5000), (0, 5000)))
    two = make_room(planes=[half, Plane(id="high", height_mm=3000)])
    assert math.isclose(volume_m3(build_scene(make_plan(room=two))), 62.5)


def test_a_volume_under_planes_that_do_not_cover_it() -> None:
    # 4 x 3 m: 2000 high over one half; what nothing is told of is as high as the highest told
    half = rectangle(0, 0, 2000, 3000)
    low, same = (Plane(id=name, height_mm=2000, outline=half) for name in "ab")
    other = Plane(id="c", height_mm=2500, outline=rectangle(2000, 0, 4000, 3000))

    def volume(*planes: Plane) -> float:
        return volume_m3(build_scene(make_plan(room=make_room(4000, 3000, planes=planes))))

    assert volume(low) == pytest.approx(24)
    # of two over one floor the first counts, and those after it count too
    assert volume(low, same, other) == pytest.approx(12 + 15)
    assert volume(other) == pytest.approx(30)


def test_a_ceiling_plane_beyond_the_room_takes_nothing_from_the_others() -> None:
    # 5 x 5 m: half under 2 m, half under 3 m, and a plane that lies beside the room
    planes = (
        Plane(id="a", height_mm=9000, outline=rectangle(8000, 0, 9000, 5000)),
        Plane(id="b", height_mm=2000, outline=rectangle(0, 0, 2500, 5000)),
        Plane(id="c", height_mm=3000, outline=rectangle(2500, 0, 5000, 5000)),
    )
    there = build_scene(make_plan(room=make_room(planes=planes)))
    assert volume_m3(there) == pytest.approx(12.5 * 2 + 12.5 * 3, rel=1e-4)


def test_an_inner_wall_loses_nothing_and_the_others_do() -> None:
    def lost(*inside: str) -> float:
        data = make_plan().model_dump(mode="json")
        for wall in data["room"]["walls"]:
            wall["outside"] = wall["id"] not in inside
        return loss_w_k(build_scene(Plan.model_validate(data)))

    # four walls alike: each one inside saves as much as the next
    one = lost() - lost("back")
    assert one > 0
    assert lost() - lost("back", "right") == pytest.approx(2 * one)
    assert lost() - lost("left") == pytest.approx(one)
