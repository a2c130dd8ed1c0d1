"""Paint against printed figures: rates, films, loss, drying."""

import pytest
from pint import UnitRegistry

from app.formulas import paint


@pytest.mark.parametrize(
    ("solids", "dry_um", "rate"),
    [
        (71, 125, 5.68),  # paint tech note 5.3: 71 % at 125 um
        (65, 125, 5.2),  # coatings notes: 65 % at 125 um
        (60, 100, 6.0),  # maker's note: 60 % at 100 um
    ],
)
def test_the_theoretical_rate(solids: float, dry_um: float, rate: float) -> None:
    assert paint.theoretical_rate_m2_l(solids, dry_um) == pytest.approx(rate, abs=0.005)


def test_the_wet_film() -> None:
    # paint tech note 5.3: 125 um dry of 71 % is 176 um wet
    assert paint.wet_um(125, 71) == pytest.approx(176, abs=0.1)


def test_what_is_lost() -> None:
    # maker's note: 6.0 m2/L less 30 % is 4.2
    assert paint.practical_rate_m2_l(6.0, 0.30) == pytest.approx(4.2)


def test_drying_doubles_for_each_ten_degrees() -> None:
    # trade text: 4 h at 20 C are 8 h at 10 C and 2 h at 30 C
    assert [4 * paint.slower(at) for at in (20, 10, 30)] == [4, 8, 2]


def test_two_parts_by_volume() -> None:
    assert paint.shares(7.5, (4, 1)) == (6.0, 1.5)  # 7.5 L at 4 to 1


@pytest.mark.parametrize("rate", [0, -1])
def test_a_rate_of_nothing_is_refused(rate: float) -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        paint.litres(10, 2, rate)


def test_litres_of_a_job() -> None:
    # a room of 33.338 m2 net, two coats at 12 m2/L: 5.556 L (by hand)
    assert paint.litres(33.338, 2, 12) == pytest.approx(5.556, abs=0.0005)


@pytest.mark.parametrize(("solids", "film"), [(0, 100), (-5, 100), (60, 0), (60, -1)])
def test_no_solids_and_no_film_have_no_rate(solids: float, film: float) -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        paint.theoretical_rate_m2_l(solids, film)


def test_without_solids_there_is_no_wet_film() -> None:
    with pytest.raises(ValueError, match="has solids"):
        paint.wet_um(125, 0)


@pytest.mark.parametrize("loss", [-0.1, 1, 1.2])
def test_a_loss_of_all_or_less_than_nothing_is_refused(loss: float) -> None:
    with pytest.raises(ValueError, match="loss lies"):
        paint.practical_rate_m2_l(6, loss)
    assert paint.practical_rate_m2_l(6, 0) == 6


def test_drying_between_whole_tens() -> None:
    # 2 to the power 1/2 at 15 C
    assert paint.slower(15) == pytest.approx(1.41421, abs=1e-5)


def test_unequal_parts() -> None:
    # 3 parts and 2 parts of 10 L
    assert paint.shares(10, (3, 2)) == pytest.approx((6, 4))


def test_fresh_air_for_solvent() -> None:
    # 2000 g over 8 h are 250 g/h; at 525 mg/m3 that takes 476.2 m3/h (by hand)
    assert paint.fresh_air_m3_h(2000, 8) == pytest.approx(476.2, abs=0.05)
    with pytest.raises(ValueError, match="takes time"):
        paint.fresh_air_m3_h(2000, 0)


def test_rates_in_the_units_of_both_worlds() -> None:
    unit: UnitRegistry[float] = UnitRegistry()
    # one litre of a paint that is all solids lies 1 um thick on 1000 m2
    spread = (unit("1 liter") / unit("100 um")).to("m^2").magnitude
    assert paint.theoretical_rate_m2_l(100, 100) == pytest.approx(spread)
