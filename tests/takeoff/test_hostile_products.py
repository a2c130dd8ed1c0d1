"""What nobody sells or builds, for every product: a sentence that names it, and the rest counted.

The limits of sense are common practice, no source: paint is no thicker than a poured floor, a
profile no shorter than a hand, a mirror no narrower than what is worth hanging.
"""

import math
from typing import Any

import pytest

from app.takeoff.line import TakeOff
from app.takeoff.quantities import as_json
from tests.builders import make_room
from tests.takeoff.making import counted

REST = {"id": "paint-1", "surface": "walls"}
"""Stands beside each of them and is counted whatever they are."""
FLOOR: dict[str, Any] = {"id": "f", "length_mm": 1000, "width_mm": 1000}
STRIP: dict[str, Any] = {"id": "s", "wall": "back", "points": [[100, 2000], [3000, 2000]]}
MIRROR: dict[str, Any] = {"id": "m", "wall": "back", "offset_mm": 500, "width_mm": 1200}
PICTURE: dict[str, Any] = {"id": "p", "wall": "back", "middle_mm": 2500}

NOT_COUNTED: list[tuple[str, dict[str, Any], str]] = [
    ("floors", {**FLOOR, "length_mm": 0}, "the floor (rubber mat): a mat without length or width"),
    ("floors", {**FLOOR, "width_mm": -5}, "the floor (rubber mat): a mat without length or width"),
    ("floors", {**FLOOR, "length_mm": 2, "width_mm": 2}, "at most 4,000 are laid out one by one"),
    ("floors", {**FLOOR, "thickness_mm": 0}, "the floor (rubber mat): a mat without thickness"),
    ("floors", {**FLOOR, "mass_kg": -20}, "the floor (rubber mat): the mass of a mat is less"),
    ("floors", {**FLOOR, "density_kg_m3": -1}, "the floor (rubber mat): the density of a mat is"),
    ("floors", {**FLOOR, "kerf_mm": -1}, "the floor (rubber mat): the width of the cut is less"),
    ("floors", {**FLOOR, "gap_mm": -8}, "the floor (rubber mat): the gap along the walls is less"),
    ("floors", {**FLOOR, "gap_mm": 3000}, "the floor (rubber mat): there is no floor left"),
    ("floors", {**FLOOR, "door_stop_mm": 5}, ""),
    ("floors", {**FLOOR, "pack": 0}, "the floor (rubber mat): a pack of 0 holds nothing"),
    ("floors", {**FLOOR, "start_wall": "nowhere"}, "the wall it starts from is not in the room"),
    ("floors", {**FLOOR, "kind": "roll", "width_mm": 140}, "a roll narrower than the narrowest"),
    (
        "floors",
        {**FLOOR, "zone": [[0, 0], [1000, 1000], [1000, 0], [0, 1000]]},
        "the outline of its zone crosses itself",
    ),
    ("floors", {**FLOOR, "zone": [[0, 0], [1000, 1000]]}, "has fewer than three corners"),
    ("paint", {"id": "q", "surface": "ceiling", "film_um": 1e6}, "a film of 1,000,000 um is none"),
    ("paint", {"id": "q", "surface": "ceiling", "film_um": -1}, "a film of -1 um is none"),
    ("paint", {"id": "q", "surface": "ceiling", "rate_m2_l": 0.01}, "rate of 0.01 m2/L covers"),
    ("paint", {"id": "q", "surface": "ceiling", "rate_m2_l": -1e6}, "rate of -1,000,000 m2/L"),
    ("paint", {"id": "q", "surface": "ceiling", "coating": "gold"}, "there is no coating 'gold'"),
    ("strips", {**STRIP, "strip": "neon"}, "the light strip on the back wall: there is no strip"),
    ("strips", {**STRIP, "points": [[0, 0], [0, 0]]}, "its legs are shorter than one segment"),
    ("strips", {**STRIP, "wall": "nowhere"}, "its wall is not in the room"),
    ("mirrors", {**MIRROR, "sheet": "tin"}, "the mirror on the back wall: there is no sheet 'tin'"),
    ("mirrors", {**MIRROR, "width_mm": 199}, "narrower than the 200 mm of a sheet worth hanging"),
    ("mirrors", {**MIRROR, "height_mm": 0.01}, "narrower than the 200 mm of a sheet worth hanging"),
    ("mirrors", {**MIRROR, "offset_mm": 90_000}, "it reaches beyond the wall"),
    ("projections", {**PICTURE, "throw_ratio": 1e6}, "the projection on the back wall: a picture"),
    ("projections", {**PICTURE, "distance_mm": 0.01}, "0 mm wide and 0 mm high shows nothing"),
    (
        "projections",
        {**PICTURE, "lumens": -1},
        "the projection on the back wall: it gives no light",
    ),
]


def with_one(part: str, thing: dict[str, Any]) -> TakeOff:
    """The list of a room with this and the paint beside it, with figures that can be added up."""
    fit_out = {"paint": [REST]}
    fit_out[part] = [*fit_out.get(part, []), thing]
    found = counted(room=make_room(5000, 4000), **fit_out)
    for line in as_json(found, "EUR")["lines"]:
        for name in ("net", "waste", "to_buy", "left_over", "mass_kg"):
            assert math.isfinite(line[name]), (line["key"], name)
            assert line[name] >= 0, (line["key"], name)
    assert found.line("paint.emulsion").net > 0
    return found


@pytest.mark.parametrize(("part", "thing", "sentence"), NOT_COUNTED)
def test_it_is_named_and_the_rest_counted(part: str, thing: dict[str, Any], sentence: str) -> None:
    alone = counted(room=make_room(5000, 4000), paint=[REST])
    found = with_one(part, thing)
    if not sentence:
        # a stop before a garage door where there is none is no fault
        assert found.problems == ()
        return
    assert [one for one in found.problems if sentence in one]
    # nothing is bought for what is not there: no plug, no drill, no knife
    assert [line.key for line in found.lines] == [line.key for line in alone.lines]


@pytest.mark.parametrize("stock_mm", [0.01, 7, 99])
def test_a_profile_that_nobody_sells_takes_no_clips(stock_mm: float) -> None:
    found = with_one("strips", {**STRIP, "stock_mm": stock_mm})
    sentence = f"a profile of {stock_mm:g} mm cannot be cut; give the length in which it is sold"
    assert [one for one in found.problems if sentence in one]
    keys = {line.key for line in found.lines}
    assert not {key for key in keys if key.startswith(("fixings.", "strip.clips", "strip.profile"))}
    assert "strip.strip-12v-60" in keys


@pytest.mark.parametrize(
    ("thing", "sentence"),
    [
        ({"thickness_mm": 101}, "A mat 101 mm thick is thicker than any that is sold"),
        ({"length_mm": 90_000, "width_mm": 90_000}, "is larger than the floor: check its size"),
        ({"gap_mm": 200}, "A gap of 200 mm all round is wide"),
        ({"mass_kg": 99_999}, "above the 25 kg of the guideline for one person"),
    ],
)
def test_what_can_be_laid_is_counted_and_said(thing: dict[str, Any], sentence: str) -> None:
    found = with_one("floors", {**FLOOR, **thing})
    assert found.line("floor.f").to_buy >= 1
    assert [one for one in found.says if sentence in one]


def test_a_picture_larger_than_its_wall_and_a_lens_under_the_floor() -> None:
    high = with_one("projections", {**PICTURE, "aspect": 0.1})
    # 3 m at 1.5 is 2 m wide, and 20 m high at a shape of 0.1; the wall is 2.60 m high
    assert [one for one in high.says if "the wall is 2.60 m high at the most" in one]
    under = with_one("projections", {**PICTURE, "lens_mm": -50})
    assert [one for one in under.says if "its lens lies outside the room" in one]
    plain = with_one("projections", {**PICTURE, "lens_mm": 2500})
    assert not [one for one in plain.says if "lens" in one or "at the most" in one]


@pytest.mark.parametrize(
    ("wide_mm", "need", "bought"),
    [
        # ledge screws every 300 and one more, 4 clips of the sheet; a tenth to spare, upwards
        (300, 2 + 4, {4: 2}),
        (1200, 5 + 6, {20: 1}),
    ],
)
def test_a_few_plugs_come_on_a_card_and_many_in_a_box(
    wide_mm: float, need: int, bought: dict[int, int]
) -> None:
    room = make_room(5000, 4000)
    walls = tuple(wall.model_copy(update={"construction": "solid-brick"}) for wall in room.walls)
    high_mm = 600 if wide_mm == 300 else 1500
    mirror = {**MIRROR, "width_mm": wide_mm, "height_mm": high_mm}
    found = counted(room=room.model_copy(update={"walls": walls}), mirrors=[mirror])
    plugs = found.line("fixings.plug-8")
    assert (plugs.net, plugs.waste) == (need, math.ceil(need / 10))
    assert {int(pack.size): pack.count for pack in plugs.bought} == bought
