"""Ceilings from taped heights, worked by hand."""

import pytest

from app.formulas.survey_heights import folded, tilted


def test_a_plane_through_heights() -> None:
    # 200 mm over 2 m of y: 100 mm a metre (arithmetic)
    found = tilted([(0, 0, 2300), (4000, 0, 2300), (0, 2000, 2500), (4000, 2000, 2500)])
    assert (found.rise_x, found.rise_y) == pytest.approx((0, 100), abs=1e-6)
    assert found.misfits_mm == pytest.approx((0, 0, 0, 0), abs=1e-6)


def test_two_heights_slope_straight_between() -> None:
    # 100 mm over 5 m along (3, 4): 20 mm a metre, so 12 and 16 (arithmetic)
    found = tilted([(0, 0, 2000), (3000, 4000, 2100)])
    assert (found.rise_x, found.rise_y) == pytest.approx((12, 16), abs=1e-6)


def test_a_ridge_is_found_between_the_heights() -> None:
    # up 0.5 from 2000, down 0.25 to 2250 at 6 m: 2000 + 0.5 t = 2250 + 0.25 (6000 - t) at
    # t = 2333.3, height 3166.7 (arithmetic)
    found = folded([(0, 2000), (1000, 2500), (4000, 2750), (6000, 2250)])
    assert found is not None
    assert found.fold_at_mm == pytest.approx(2333.33, abs=0.01)
    assert found.fold_mm == pytest.approx(3166.67, abs=0.01)
    assert found.height_at(6000) == pytest.approx(2250, abs=0.01)


def test_two_distances_leave_a_ridge_open() -> None:
    assert folded([(0, 2000), (3000, 2600), (3000, 2605)]) is None


def test_a_plane_is_given_over_the_middle_of_its_heights() -> None:
    # a slope of 100 mm a metre along x and -50 along y (by hand); the middle of the four points
    found = tilted([(0, 0, 2400), (4000, 0, 2800), (4000, 2000, 2700), (0, 2000, 2300)])
    assert found.at == (2000, 1000)
    assert found.height_mm == pytest.approx(2550)
    assert (found.rise_x, found.rise_y) == pytest.approx((100, -50))


def test_what_no_plane_meets_is_shared() -> None:
    # opposite corners 10 up and 10 down off a level of 2400 (by hand: the best plane is level)
    found = tilted([(0, 0, 2410), (1000, 0, 2390), (1000, 1000, 2410), (0, 1000, 2390)])
    assert (found.rise_x, found.rise_y) == pytest.approx((0, 0), abs=1e-9)
    assert found.misfits_mm == pytest.approx((10, -10, 10, -10))


def test_one_height_is_a_level_and_none_is_refused() -> None:
    found = tilted([(1500, 700, 2345)])
    assert (found.height_mm, found.rise_x, found.rise_y) == (2345, 0, 0)
    with pytest.raises(ValueError, match="no heights"):
        tilted([])


def test_a_ridge_at_a_height_that_was_taken() -> None:
    # 2000, 3000, 2000 at 0, 2 and 4 m: 0.5 up, 0.5 down (by hand)
    found = folded([(0, 2000), (2000, 3000), (4000, 2000)])
    assert found is not None
    assert (found.height_mm, found.fold_at_mm, found.fold_mm) == pytest.approx((2000, 2000, 3000))
    assert found.beyond == pytest.approx(-0.5)
    assert [found.height_at(at) for at in (0, 1000, 2000, 3000)] == pytest.approx(
        [2000, 2500, 3000, 2500]
    )
    assert found.misfits_mm == pytest.approx((0, 0, 0), abs=1e-6)


def test_a_valley_between_the_heights() -> None:
    # 3000 down by 0.5, from 2250 at 4 m up by 0.25: they meet where 3000 - 0.5 t =
    # 1250 + 0.25 t, t = 2333.3 (by hand)
    found = folded([(0, 3000), (1000, 2500), (4000, 2250), (6000, 2750)])
    assert found is not None
    assert found.fold_at_mm == pytest.approx(2333.33, abs=0.01)
    assert found.fold_mm == pytest.approx(1833.33, abs=0.01)
    assert found.beyond == pytest.approx(0.25)


def test_heights_in_one_line_have_no_kink() -> None:
    # 100 mm a metre throughout: wherever it is folded, both slopes are the same (by hand)
    found = folded([(0, 2000), (1000, 2100), (2000, 2200), (3000, 2300), (4000, 2400)])
    assert found is not None
    assert found.beyond == pytest.approx(0.1)
    assert found.height_at(2500) == pytest.approx(2250)
    assert found.misfits_mm == pytest.approx([0] * 5, abs=1e-6)


def test_the_fold_that_fits_best_is_chosen() -> None:
    # level at 2400 up to 3 m, then down by 0.4; heights at every metre: the fold lies at 3 m
    heights = [(0, 2400), (1000, 2400), (2000, 2400), (3000, 2400), (4000, 2000), (5000, 1600)]
    found = folded([(float(a), float(h)) for a, h in heights])
    assert found is not None
    assert found.fold_at_mm == pytest.approx(3000)
    assert found.height_at(4500) == pytest.approx(1800)


def test_heights_may_come_in_any_order_and_twice_at_a_place() -> None:
    # 2010 and 1990 at 0 are 2000 on the whole
    found = folded([(4000, 2000), (0, 2010), (2000, 3000), (0, 1990)])
    assert found is not None
    assert found.height_mm == pytest.approx(2000)
    assert found.misfits_mm == pytest.approx((0, 10, 0, -10), abs=1e-6)
