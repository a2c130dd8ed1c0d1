"""When to paint a floor of 5 x 4 m, 2.4 m high, what it dries in and what is in the air, by hand.

Floor paint of the finishes' row: to be coated over after 16 h at 20 °C, dry to touch in 6 h, full
cure 7 days, 380 g of solvent a litre; each ten degrees colder doubles all that.
"""

import pytest

from app.takeoff.line import TakeOff
from tests.builders import make_room, rectangle
from tests.takeoff.making import counted

ROOM = make_room(5000, 4000, 2400)
FLOOR = {"id": "floor", "surface": "floor", "coating": "floor-paint"}


def painted(celsius: float, percent: float = 60) -> TakeOff:
    return counted(room=ROOM, paint=[FLOOR], painted_at_c=celsius, painted_at_percent=percent)


def beginning(found: TakeOff, words: str) -> list[str]:
    return [said for said in found.says if said.startswith(words)]


@pytest.mark.parametrize(
    ("celsius", "recoat", "touch", "cure"),
    [
        # two coats: 16 + 6 h; at 7 °C 2 to the power 1.3, 2.46 times as long: 54 h, over two days
        (7, 39, "3 days", 17),
        (10, 32, "44 hours", 14),
        (20, 16, "22 hours", 7),
        (40, 4, "6 hours", 2),
    ],
)
def test_days_of_drying(celsius: float, recoat: int, touch: str, cure: int) -> None:
    assert beginning(painted(celsius), "The floor at") == [
        f"The floor at {celsius} °C: recoat {recoat} h after floor paint, one part; dry to touch "
        f"{touch} after the first coat; full cure {cure} days."
    ]


def test_a_floor_in_two_parts_dries_twice() -> None:
    # 16 + 6 h for each half: what stands on one is carried over onto the other
    halves = counted(
        room=ROOM, paint=[{**FLOOR, "in_parts": 2}], painted_at_c=20, painted_at_percent=60
    )
    (said,) = beginning(halves, "The floor at 20 °C")
    assert "44 hours after the first coat" in said


@pytest.mark.parametrize(("celsius", "cold", "hot"), [(6, 1, 0), (7, 0, 0), (32, 0, 0), (33, 0, 1)])
def test_neither_in_the_cold_nor_in_the_heat(celsius: float, cold: int, hot: int) -> None:
    # 7 to 32 °C, the window of the register
    found = painted(celsius)
    assert len(beginning(found, f"At {celsius} °C")) == cold + hot
    assert sum("too cold to paint" in said for said in found.says) == cold
    assert sum("too hot to paint" in said for said in found.says) == hot


@pytest.mark.parametrize(
    ("percent", "dew", "least", "dry"),
    [
        # dew point of 20 °C: 60 % 12.0, 90 % 18.3 °C (published tables); 3 K above it are wanted
        (60, "12.0", "15.0", "as warm as the air it is dry enough"),
        (90, "18.3", "21.3", "as warm as the air it is 1.3 °C short: heat or dry the room first"),
    ],
)
def test_the_surface_keeps_off_the_dew_point(
    percent: float, dew: str, least: str, dry: str
) -> None:
    (said,) = beginning(painted(20, percent), "Air at 20 °C")
    assert f"settles on what is colder than {dew} °C. The surface must have {least} °C" in said
    assert dry in said


@pytest.mark.parametrize(("celsius", "air", "volumes"), [(20, 397, 8), (10, 199, 4)])
def test_fresh_air_for_solvent(celsius: float, air: int, volumes: int) -> None:
    # 20 m2 twice at 9 x 0.75 m2/L is 5.926 L, a tenth more in the roller 6.584: 3.292 L a coat
    # of 380 g give off 1251 g, in 6 h at 525 mg/m3 that is 397 m3/h; the room holds 48 m3
    (said,) = beginning(painted(celsius), "Floor paint, one part")
    assert "each coat gives off 1251 g of solvent" in said
    assert f"about {air} m3 of fresh air an hour, {volumes} room volumes" in said


def test_water_based_paint_asks_for_no_fresh_air() -> None:
    found = counted(room=ROOM, paint=[{"id": "walls", "surface": "walls"}], painted_at_c=20)
    assert not [said for said in found.says if "gives off" in said]
    # what cures is the floor
    (said,) = beginning(found, "The walls at 20 °C")
    assert said.endswith("dry to touch 5 hours after the first coat.")


@pytest.mark.parametrize(("mats", "square_metres"), [((0, 0, 3000, 2000), 6), ((0, 0, 0.2, 2), 0)])
def test_paint_under_some_mats(mats: tuple[float, float, float, float], square_metres: int) -> None:
    # of 6.6 L for 20 m2 the 6 m2 under the mats take 2.0
    laid = {"id": "mats", "zone": rectangle(*mats)}
    found = counted(room=ROOM, paint=[FLOOR], floors=[laid], painted_at_c=20)
    said = beginning(found, "You are painting")
    assert len(said) == bool(square_metres)
    for each in said:
        assert each.startswith(f"You are painting {square_metres} m² that mats will cover.")
        # 22 h and 7 days of cure
        assert "2 L and 8 days at 20 °C saved" in each


def test_an_outline_that_crosses_itself_is_the_area_within_it() -> None:
    # a bow tie: two triangles of 2 x 2 / 2 m2 and, with the last corner far out, their cut-off tips
    tie = [[1000, 1000], [3000, 3000], [3000, 1000], [1000, 3000]]
    far = [[1000, 1000], [1500, 1000], [100_000, 1500], [1000, 1500], [1500, 2000]]
    mats = {"id": "mats", "zone": tie}
    for outline, area in ((tie, 2.0), (far, None)):
        found = counted(room=ROOM, paint=[{**FLOOR, "outline": outline}], floors=[mats])
        assert found.lines
        if area is not None:
            assert any("2 m² that mats will cover" in said for said in found.says), found.says


def test_too_cold_to_paint_is_too_cold_to_dry() -> None:
    # MIL-HDBK-1110 7.4.1: 7 °C (45 F) at the least; drying is told for that, and for no less
    said = painted(6).says
    assert [s for s in said if "too cold to paint" in s]
    assert not [s for s in said if "at 6 °C:" in s]
    assert beginning(painted(6), "The floor at") == beginning(painted(7), "The floor at")


WATER = {"surface": "walls", "coating": "emulsion"}
COVERED = [{"id": "mats", "zone": rectangle(0, 0, 2000, 4000)}]


@pytest.mark.parametrize("first", ["a", "z"])
def test_water_based_paint_beside_it_hides_no_solvent(first: str) -> None:
    # what is chosen stands in the order of its ids
    jobs = [FLOOR, {**WATER, "id": first}]
    found = counted(room=ROOM, paint=jobs, painted_at_c=20, painted_at_percent=60)
    assert len([said for said in found.says if "of solvent" in said]) == 1


@pytest.mark.parametrize("first", ["a", "z"])
def test_a_floor_painted_under_mats_is_said_whatever_else_is_painted(first: str) -> None:
    # 2000 x 4000 of it lie under mats
    bare = {**FLOOR, "id": f"{first}2", "outline": rectangle(3000, 0, 5000, 4000)}
    under = {**FLOOR, "outline": rectangle(0, 0, 2500, 4000)}
    jobs = [under, {**WATER, "id": first}, bare]
    found = counted(room=ROOM, paint=jobs, floors=COVERED, painted_at_c=20, painted_at_percent=60)
    (said,) = beginning(found, "You are painting")
    assert "You are painting 8 m² that mats will cover" in said


@pytest.mark.parametrize("parts", [(1, 3), (3, 1), (1, 2), (2, 1)])
def test_of_two_paints_on_a_floor_the_one_in_more_parts_is_told(parts: tuple[int, int]) -> None:
    jobs = [{**FLOOR, "id": f"floor-{i}", "in_parts": n} for i, n in enumerate(parts)]
    said = beginning(counted(room=ROOM, paint=jobs, painted_at_c=20), "The floor at 20")
    assert all(f"in {max(parts)} parts: recoat " in each for each in said)
    assert len(said) == 1
