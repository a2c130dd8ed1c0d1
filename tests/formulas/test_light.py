"""The lumen method against worked examples."""

import math

import pytest

from app.formulas import light


def test_lamps_of_a_hall() -> None:
    # lumen method, example 1 of a lighting course: 60 x 24 m, 200 lx, 18000 lm, 0.40, 0.75
    needed = light.lamps_needed(200, 60 * 24, 18000, 0.40, 0.75)
    assert math.isclose(needed, 53.33, abs_tol=0.01)
    assert math.ceil(needed) == 54


@pytest.mark.parametrize(("used", "needed"), [(0.40, 4.22), (0.50, 3.375), (0.30, 5.625)])
def test_lamps_of_a_garage(used: float, needed: float) -> None:
    # 6 x 3 m, 300 lx, 4000 lm, maintenance 0.80, by hand from N = E A / (F UF MF)
    assert math.isclose(light.lamps_needed(300, 18, 4000, used, 0.80), needed, abs_tol=0.005)


def test_room_index() -> None:
    # K = L W / (h (L + W)): 18 / (2.4 x 9)
    assert math.isclose(light.room_index(6, 3, 2.4), 0.8333, abs_tol=1e-4)


def test_six_battens_in_the_double_garage() -> None:
    # common practice: six of 5000 lm give about 390 lx at 0.45 and 0.8
    assert math.isclose(light.gives_lux(6, 5.32 * 5.18, 5000, 0.45, 0.8), 392, abs_tol=1)


def test_colours() -> None:
    # a lamp maker's table: white 0.8, light grey 0.4, black 0.1
    assert light.reflectance("White") == 0.8
    assert light.reflectance("light grey") == 0.4
    assert light.reflectance("Black") == 0.1
    assert light.reflectance("pistachio") is None
    assert math.isclose(light.mean_reflectance([(10, 0.8), (10, 0.1)]), 0.45)


def test_dark_walls_cost_light() -> None:
    # between light grey and white: 0.4 + 0.1 x 0.05 / 0.4
    assert math.isclose(light.used_share(0.45), 0.4125)
    assert light.used_share(0.0) == 0.3
    assert light.used_share(1.0) == 0.5


def test_room_index_of_no_room() -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        light.room_index(6, 0, 2.4)


def test_room_index_of_a_long_room() -> None:
    # K = L W / (h (L + W)): 12 x 4 / (2 x 16) = 1.5 (CIBSE, by hand)
    assert math.isclose(light.room_index(12, 4, 2), 1.5)


@pytest.mark.parametrize(
    ("length", "width", "mounted"), [(0, 3, 2), (6, -3, 2), (6, 3, 0), (-6, -3, 2)]
)
def test_a_length_of_nothing_is_refused(length: float, width: float, mounted: float) -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        light.room_index(length, width, mounted)


@pytest.mark.parametrize(
    ("walls", "used"),
    # the three figures of the register (0.3, 0.4, 0.5 at 0.1, 0.4, 0.8) and half-way between
    [(0.1, 0.3), (0.25, 0.35), (0.4, 0.4), (0.6, 0.45), (0.8, 0.5), (0.05, 0.3), (0.95, 0.5)],
)
def test_the_share_of_light_lies_in_a_line_between_the_figures(walls: float, used: float) -> None:
    assert math.isclose(light.used_share(walls), used)


def test_mean_reflectance_by_area() -> None:
    # (30 x 0.8 + 10 x 0.4) / 40 = 0.7, by hand
    assert math.isclose(light.mean_reflectance([(30, 0.8), (10, 0.4)]), 0.7)
    with pytest.raises(ValueError, match="have an area"):
        light.mean_reflectance([])
