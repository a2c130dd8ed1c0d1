"""Air, cold and damp: one note, and a stop for what is burned."""

import math
from typing import Any

import pytest

from app.checks.air import air_and_damp, loss_w_k, volume_m3
from app.checks.snag import Snag
from app.model.finishing import MirrorArea
from app.model.fit_out import FitOut
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Opening, Plane, Room
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


def test_a_mirror_of_the_fit_out_gets_as_wet_as_one_that_is_a_piece() -> None:
    area = MirrorArea(id="m", wall="back", offset_mm=500, width_mm=2000)
    plan = make_plan(place("mid-rack"), room=room(), people=[make_person()])
    glass = plan.model_copy(update={"fit_out": FitOut(mirrors=(area,))})
    assert "iron gets wet" in judged(plan)["air"].sentence.lower().replace(" at 5 °c", "")
    assert "iron and mirror at 5 °c get wet" in judged(glass)["air"].sentence.lower()


def test_under_a_heated_house_nothing_is_as_cold_as_in_a_garage() -> None:
    people = [make_person()]
    garage = make_plan(place("mid-rack"), room=room(), people=people)
    assert "wet" in judged(garage)["air"].sentence
    data = garage.model_dump(mode="json")
    data["room"]["fabric"]["below"] = "room"
    assert "air" not in judged(Plan.model_validate(data))
    cellar = make_plan(place("mid-rack"), place("boiler", 4000, 175), room=room(), people=people)
    assert "air" not in judged(cellar)


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


# By hand, of a room of 5 x 5 x 2.6 m of which nothing more is known (U-values of the register):
# walls 52 m2 x 2.1, ceiling 25 x 2.3, floor 25 x 0.8, air 65 m3 x 0.5 x 0.33.
BARE_W_K = 109.2 + 57.5 + 20 + 10.725


def lost_of(of: Room, **fabric: Any) -> float:
    data = of.model_dump(mode="json")
    data["fabric"] |= fabric
    return loss_w_k(build_scene(make_plan(room=Room.model_validate(data))))


def test_what_openings_lose_instead_of_their_wall() -> None:
    def opening(kind: str, offset: float, width: float, height: float, sill: float = 0) -> Opening:
        return Opening.model_validate(
            {"id": f"o{offset}", "wall": "back", "kind": kind, "offset_mm": offset,
             "width_mm": width, "height_mm": height, "sill_mm": sill}
        )  # fmt: skip

    window, door = opening("window", 100, 1000, 1200, 900), opening("hinged", 1200, 800, 2000)
    lifted, gap = opening("sectional", 2100, 2400, 2100), opening("gap", 4600, 300, 2000)
    of = make_room(openings=[window])
    # 1.2 m2 at 2.8 instead of 2.1
    assert lost_of(of) == pytest.approx(BARE_W_K + 1.2 * 0.7)
    of = make_room(openings=[window, door, lifted])
    # 1.6 m2 at 3.0 and 5.04 at 5.9
    assert lost_of(of) == pytest.approx(BARE_W_K + 1.2 * 0.7 + 1.6 * 0.9 + 5.04 * 3.8)
    assert lost_of(make_room(openings=[gap])) == pytest.approx(BARE_W_K)
    # a door as large as its wall leaves nothing of it
    all_of_it = opening("sectional", 0, 5000, 2600)
    assert lost_of(make_room(openings=[all_of_it])) == pytest.approx(BARE_W_K + 13 * 3.8)


def test_what_is_warm_above_or_below_takes_no_heat() -> None:
    assert lost_of(make_room()) == pytest.approx(BARE_W_K)
    assert lost_of(make_room(), under_the_house="yes") == pytest.approx(BARE_W_K - 57.5)
    assert lost_of(make_room(), under_the_house="no") == pytest.approx(BARE_W_K)
    assert lost_of(make_room(), below="room") == pytest.approx(BARE_W_K - 20)
    assert lost_of(make_room(), below="ground") == pytest.approx(BARE_W_K)


@pytest.mark.parametrize(("minutes", "dew"), [(30, 7), (60, 11)])
def test_without_air_all_the_water_stays(minutes: float, dew: int) -> None:
    # 80 % at 5 C are 5.43 g/m3; 300 g an hour in 65 m3 add 2.31 in half an hour, 4.62 in one.
    # 7.74 g at 15 C are 10.3 hPa and a dew point of 7.4, 10.05 g 13.4 hPa and 11.3 (Magnus, WMO)
    tight = room(air_changes_per_hour=0, session_minutes=minutes)
    note = judged(make_plan(place("mid-rack"), room=tight, people=[make_person()]))["air"]
    assert note.sentence.startswith("Iron at 5 °C gets wet after training")
    assert f"below {dew} °C (the dew point)" in note.sentence
    assert (note.measured, note.required, note.unit) == (None, None, None)
    assert note.source_keys == ("damp.training-g-h",)
    # 109.2 + 57.5 + 20 W/K: no air is changed
    assert [value for _, value in note.working] == [65.0, 187]


def test_the_working_is_told_to_a_tenth_of_a_cubic_metre() -> None:
    # 5 x 5 x 2.613 = 65.325 m3
    data = make_room(height=2613).model_dump() | {"climate": Climate().model_dump()}
    plan = make_plan(place("mirror"), room=Room.model_validate(data), people=[make_person()])
    note = judged(plan)["air"]
    assert note.working[0] == ("volume of the room, m3", 65.3)
    assert note.sentence.startswith("The mirror at 5 °C gets wet")


def test_heaters_warm_with_what_they_draw_here() -> None:
    climate = MILD | {"outside_c": 0, "wanted_c": 10, "air_changes_per_hour": 0.5}

    def said(*pieces: Piece) -> str:
        plan = make_plan(*pieces, room=room(**climate), people=[make_person()])
        return " ".join(snag.sentence for snag in judged(plan).values())

    def drawing(kit: str, watts: float, **fields: Any) -> Piece:
        piece = place(kit, piece_id=f"{kit}-{watts}").model_dump()
        return Piece.model_validate(piece | {"power_w": watts, **fields})

    # 197.4 W/K: 10 degrees take 1974 W
    assert said(drawing("heater", 1975)) == ""
    assert "2.0 kW warm this room to about 10 °C" in said(drawing("heater", 1973))
    assert said(drawing("heater", 1000), drawing("radiant-panel", 975)) == ""
    assert "1.0 kW" in said(drawing("heater", 1000), drawing("heater", 980, state="out"))
    # with no heater at all nobody is told of one
    assert said(drawing("heater", 1000, state="out")) == ""


def test_whatever_has_an_engine_is_warned_of() -> None:
    for kit in ("car", "motorbike"):
        plan = make_plan(place(kit), room=room(**MILD), people=[make_person()])
        assert "Never run an engine" in judged(plan)["air"].sentence


def test_a_floor_that_rises_takes_of_the_volume() -> None:
    # 100 mm up on each metre of 5: 250 in the mean; under 2600, 25 m2 x 2.35
    def volume(*planes: Plane) -> float:
        data = make_room(planes=planes).model_dump()
        data["floor"]["planes"] = [{"id": "floor", "height_mm": 0, "rise_x": 100}]
        return volume_m3(build_scene(make_plan(room=Room.model_validate(data))))

    assert volume(Plane(id="c", height_mm=2600)) == pytest.approx(58.75)
    # half under 2000, where the floor is 125 in the mean; the rest, of which nothing is told, as
    # high as the highest, over 375
    half = Plane(id="h", height_mm=2000, outline=rectangle(0, 0, 2500, 5000))
    assert volume(half) == pytest.approx(12.5 * 1.875 + 12.5 * 1.625)
    # a plane over all of it comes last, wherever it stands in the plan
    whole = Plane(id="w", height_mm=3000)
    assert volume(whole, half) == pytest.approx(12.5 * 1.875 + 12.5 * 2.625)
