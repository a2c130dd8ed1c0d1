"""Light by the lumen method, by hand: 18 m2, 300 lx, battens of 3600 lm and 30 W, grey walls.

Walls of 0.40 let 0.40 of the light arrive, white ones of 0.80 half of it; 0.80 is left of it over
the years, 0.60 in a dusty room (common practice).
"""

import re
from typing import Any

import pytest

from app.model.finishing import LightChoice
from app.model.room import Joists, Room
from app.scene.build import Scene
from app.takeoff.light_places import FITTINGS_PLACED_AT_MOST
from app.takeoff.lights import guards, layouts, lights, wall_reflectance
from app.takeoff.line import Gathered
from tests.builders import make_room, place
from tests.takeoff.making import scene_of


def plastered(width: float = 6000, depth: float = 3000, **colours: str) -> Room:
    data = make_room(width, depth, 2600).model_dump()
    for wall in data["walls"]:
        wall |= {"finish": "plaster", "colour": colours.get(wall["id"], "")}
    return Room.model_validate(data)


def lit(*pieces: Any, room: Room | None = None, **choice: Any) -> Gathered:
    light = {"fitting": "batten-1200", **choice}
    return lights(scene_of(*pieces, room=room or plastered(), light=light))


def worked(gathered: Gathered) -> dict[str, float]:
    return {step.label: round(step.value, 3) for step in gathered.lines[0].working}


def test_the_working() -> None:
    # 300 x 18 / (3600 x 0.4 x 0.8) = 4.69: 5 give 320 lx and draw 150 W; 2.6 m less a plane of
    # 0.85: 18 / (1.75 x 9)
    found = lit()
    assert worked(found) == {
        "floor": 18,
        "light wanted": 300,
        "mean reflectance of the walls": 0.4,
        "room index": 1.143,
        "share of the light that arrives": 0.4,
        "maintenance factor": 0.8,
        "one fitting": 3600,
        "gives": 320,
        "draws": 150,
    }
    (line,) = found.lines
    assert (line.net, line.waste, line.unit, line.bought[0].count) == (5, 0, "pc", 5)
    assert (line.where, line.assumed) == ("under the ceiling", False)
    # the register says so where nobody has asked for more
    sources = {step.label: step.key for step in line.working}
    assert sources["light wanted"] == "light.wanted-lux"
    asked = lit(wanted_lux=500).lines[0]
    assert {step.label: step.key for step in asked.working}["light wanted"] == ""
    # 500 x 18 / 1152 = 7.8; in dust 300 x 18 / 864 = 6.25
    assert (asked.net, lit(dirty=True).lines[0].net) == (8, 7)
    # one at the least
    assert lit(wanted_lux=1).lines[0].net == 1


def test_what_the_other_way_is() -> None:
    (other, *_) = lit(other="batten-600").says
    one, two = layouts(scene_of(room=plastered()), LightChoice(fitting="batten-1200",
        other="batten-600"), Gathered())  # fmt: skip
    assert other == (
        f"Light, the other way: {two.count} × {two.fitting.name} give {two.lux:.0f} lux with "
        f"{two.count * two.fitting.watts:.0f} W, against 5 × {one.fitting.name} with 320 lux and "
        "150 W."
    )
    # the same twice is no other way
    assert not [said for said in lit(other="batten-1200").says if "other way" in said]
    named = lit(other="candle")
    assert named.problems == ["light: there is no fitting 'candle'"]
    assert len(named.lines) == 1
    assert lit(fitting="candle", other="candle").lines == []


def reflected(room: Room, **fit_out: Any) -> float:
    return wall_reflectance(scene_of(room=room, **fit_out))


def test_walls_count_by_their_area() -> None:
    # two of 6 m white (0.8), two of 3 m grey (0.4): (2 x 0.8 + 0.4) / 3
    assert reflected(plastered(back="White", front="White")) == pytest.approx(2 / 3)
    assert reflected(plastered(left="Black", right="Black")) == pytest.approx((2 * 0.4 + 0.1) / 3)
    # a colour that no table knows counts as light grey
    assert reflected(plastered(back="Elephant", front="Elephant")) == pytest.approx(0.4)


def test_what_is_painted_hides_what_is_there() -> None:
    job = {"id": "w", "surface": "walls", "colour": "White"}
    assert reflected(plastered(back="Black"), paint=[job]) == pytest.approx(0.8)
    some = {**job, "walls": ["left", "right"]}
    assert reflected(plastered(), paint=[some]) == pytest.approx((2 * 0.4 + 0.8) / 3)
    ceiling = {**job, "surface": "ceiling"}
    assert reflected(plastered(), paint=[ceiling]) == pytest.approx(0.4)


@pytest.mark.parametrize(
    ("construction", "share"), [("solid-brick", 0.2), ("concrete", 0.3), ("hollow-block", 0.3)]
)
def test_bare_walls_that_nobody_paints(construction: str, share: float) -> None:
    data = make_room(6000, 3000).model_dump()
    for wall in data["walls"]:
        wall["construction"] = construction
    bare = Room.model_validate(data)
    assert reflected(bare) == pytest.approx(share)
    # where paint is assumed it is light grey
    assert reflected(bare, nothing_assumed=False) == pytest.approx(0.4)


def middles(gathered: Gathered) -> list[tuple[float, float]]:
    spots = re.findall(r"L\d+ (\d+) and (\d+)", gathered.lines[0].notes[0])
    return [(float(along), float(off)) for along, off in spots]


@pytest.mark.parametrize("size", [(6000, 3000), (3000, 6000)])
def test_the_middles_are_told_from_the_corner_of_the_longest_wall(
    size: tuple[float, float],
) -> None:
    room = plastered(*size)
    found = lit(room=room)
    scene: Scene = scene_of(room=room)
    (layout, *_) = layouts(scene, LightChoice(fitting="batten-1200"), Gathered())
    # the back wall runs along x from the left one; in the deep room the right one along y
    wide = size[0] > size[1]
    told = [(x, y) if wide else (y, 3000 - x) for x, y in layout.places.at]
    assert middles(found) == [(round(along), round(off)) for along, off in told]
    names = ("the back wall", "the left wall") if wide else ("the right wall", "the back wall")
    assert f"from the corner of {names[0]} and {names[1]}" in found.lines[0].notes[0]
    first, *_, last = layout.places.at
    assert first != last
    assert ", along the first and off it, in mm: L1 " in found.lines[0].notes[0]
    assert f"; L{len(layout.places.at)} " in found.lines[0].notes[0]


def test_between_joists() -> None:
    joists = Joists(direction_deg=0, spacing_mm=400, width_mm=45, depth_mm=150, first_mm=200)
    data = plastered().model_dump()
    data["ceiling"]["joists"] = joists.model_dump()
    assert lit(room=Room.model_validate(data)).lines[0].where == "between the joists"


def test_where_something_flies_each_has_a_guard() -> None:
    def guarded(*pieces: Any, **fit_out: Any) -> int:
        given = {"room": plastered(), "light": {"fitting": "batten-1200"}, **fit_out}
        return guards(scene_of(*pieces, **given))

    for key in ("hung-bag", "rings", "skipping-space", "swing-space", "landmine"):
        assert guarded(place(key, 3000, 1500)) == 5, key
    assert guarded(place("flat-bench", 3000, 1500)) == 0
    assert guarded(place("hung-bag", 3000, 1500), light=None) == 0
    assert guarded(place("hung-bag", 3000, 1500), light={"fitting": "candle", "other": "candle"}
        ) == 0  # fmt: skip
    assert "a wire guard on each" in lit(place("hung-bag", 3000, 1500)).lines[0].notes[1]
    assert "a wire guard on each" not in lit(place("flat-bench", 3000, 1500)).lines[0].notes[1]


def test_so_many_are_counted_and_not_placed() -> None:
    many = lit(room=plastered(12_000, 9000), wanted_lux=2000)
    # 2000 x 108 / 1152 = 187.5
    assert many.lines[0].net == 188 > FITTINGS_PLACED_AT_MOST
    assert many.lines[0].notes[0] == "Places are not worked out for so many."
    assert any(said.startswith("Only 0 of 188 fittings find a place") for said in many.says)


def test_no_light_where_nothing_is_assumed() -> None:
    assert lights(scene_of(room=plastered())).lines == []
    assumed = lights(scene_of(room=plastered(), nothing_assumed=False))
    assert assumed.lines[0].assumed


@pytest.mark.parametrize("one", ["fitting", "other"])
def test_an_unknown_fitting_is_named_and_the_other_is_worked_out(one: str) -> None:
    gathered = Gathered()
    choice = LightChoice(**{"fitting": "batten-1200", "other": "batten-1500", one: "none-such"})  # type: ignore[arg-type]
    (layout,) = layouts(scene_of(room=plastered()), choice, gathered)
    assert layout.fitting.key == {"fitting": "batten-1500", "other": "batten-1200"}[one]
    assert gathered.problems == ["light: there is no fitting 'none-such'"]


def test_a_wall_of_less_than_a_square_metre_counts_as_well() -> None:
    # 18 m of wall, 0.3 of it white: 0.4 + 0.3 / 18 x 0.4
    corners = ((0, 0), (6000, 0), (6000, 3000), (300, 3000), (300, 2700), (0, 2700))
    white = {"id": "w", "surface": "walls", "walls": ["w4"], "colour": "White"}
    scene = scene_of(room=make_room(corners=corners), paint=[white])
    assert wall_reflectance(scene) == pytest.approx(0.4 + 0.3 / 18 * 0.4)
