"""Paint and strip against printed figures: rates, films, loss, drying, copper, voltage."""

import pytest

from app.formulas import low_voltage, paint
from app.published.register import published


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


def test_the_same_in_feet_and_gallons() -> None:
    # coatings notes: 65 % at 5 mil is 208.5 ft2/gal; 100 % at 10 mil is 160 (floor epoxy)
    assert paint.theoretical_rate_ft2_gal(65, 5) == pytest.approx(208.5, abs=0.1)
    assert paint.theoretical_rate_ft2_gal(100, 10) == pytest.approx(160.4, abs=0.05)


def test_the_wet_film() -> None:
    # paint tech note 5.3: 125 um dry of 71 % is 176 um wet
    assert paint.wet_um(125, 71) == pytest.approx(176, abs=0.1)


def test_what_is_lost() -> None:
    # maker's note: 6.0 m2/L less 30 % is 4.2
    assert paint.practical_rate_m2_l(6.0, 0.30) == pytest.approx(4.2)


@pytest.mark.parametrize(
    ("ft2_gal", "m2_l"),
    [(400, 9.82), (350, 8.59), (160, 3.93)],  # 1 ft2/gal = 0.024542 m2/L
)
def test_square_feet_to_the_gallon(ft2_gal: float, m2_l: float) -> None:
    assert paint.rate_of_ft2_gal(ft2_gal) == pytest.approx(m2_l, abs=0.005)


@pytest.mark.parametrize(
    ("key", "m2_l"),
    [
        # US Army TM 43-0139, table 3-2, oil paint: 150 to 300 and 450 on concrete and brick,
        # 250 to 500 on plaster, 600 on new wood
        ("concrete-prime-least", 3.7),
        ("concrete-prime-most", 7.4),
        ("concrete-third-most", 11.0),
        ("plaster-prime-least", 6.1),
        ("plaster-third-most", 12.3),
        ("wood-most", 14.7),
    ],
)
def test_the_armys_coverage_table(key: str, m2_l: float) -> None:
    rate = paint.rate_of_ft2_gal(published(f"paint.army.{key}-ft2-gal"))
    assert rate == pytest.approx(m2_l, abs=0.05)


def test_drying_doubles_for_each_ten_degrees() -> None:
    # trade text: 4 h at 20 C are 8 h at 10 C and 2 h at 30 C
    assert [4 * paint.slower(at) for at in (20, 10, 30)] == [4, 8, 2]


def test_two_parts_by_volume() -> None:
    assert paint.shares(7.5, (4, 1)) == (6.0, 1.5)  # 7.5 L at 4 to 1


@pytest.mark.parametrize(
    ("size", "ohm_km"),
    [
        # IEC 60228, class 5, plain copper at 20 C
        ("0-5", 39.0),
        ("0-75", 26.0),
        ("1-0", 19.5),
        ("1-5", 13.3),
        ("2-5", 7.98),
        ("4-0", 4.95),
        ("6-0", 3.30),
    ],
)
def test_resistance_of_copper(size: str, ohm_km: float) -> None:
    assert published(f"strip.cable.{size}-ohm-km") == ohm_km


@pytest.mark.parametrize(
    ("gauge", "mm2"),
    [(18, 0.823), (12, 3.31), (14, 2.08), (24, 0.205)],  # ASTM B258
)
def test_the_american_wire_gauge(gauge: int, mm2: float) -> None:
    assert low_voltage.gauge_area_mm2(gauge) == pytest.approx(mm2, rel=0.005)


def test_voltage_lost_in_cable() -> None:
    # 3 m of 1.5 mm2, 6 A: 2 x 3 x 0.0133 x 6 = 0.479 V; of 0.75 mm2: 0.936 V
    assert low_voltage.cable_drop_v(3, 13.3, 6) == pytest.approx(0.479, abs=0.0005)
    assert low_voltage.cable_drop_v(3, 26.0, 6) == pytest.approx(0.936, abs=0.0005)


def test_voltage_lost_along_strip() -> None:
    # 5 m of 0.06 ohm/m at 1.2 A/m: end load 1.80 V, spread evenly 0.90, 100 taps 0.909,
    # fed from both ends 0.225 (ladder sum; Kersting, chapter 3)
    assert low_voltage.end_load_drop_v(5, 0.06, 6) == pytest.approx(1.80)
    assert low_voltage.strip_drop_v(5, 0.06, 1.2) == pytest.approx(0.90)
    assert low_voltage.taps_drop_v(5, 0.06, 1.2, 100) == pytest.approx(0.909)
    assert low_voltage.both_ends_drop_v(5, 0.06, 1.2) == pytest.approx(0.225)


def test_taps_are_the_sum_of_their_ladder() -> None:
    n, length, loop, amps = 7, 3.5, 0.06, 4.2
    drop, current = 0.0, amps
    for _ in range(n):
        drop += length / n * loop * current
        current -= amps / n
    assert low_voltage.taps_drop_v(length, loop, amps / length, n) == pytest.approx(drop)


def test_a_supply_runs_at_four_fifths() -> None:
    # 8.2 m x 14.4 W = 118.08 W; 125 % of it is 147.6 W (NEC 210.20(A) by analogy)
    assert low_voltage.rating_w(8.2 * 14.4) == pytest.approx(147.6)


@pytest.mark.parametrize(
    ("run", "segment", "cut"), [(1870, 50, 1850), (2740, 100, 2700), (150, 50, 150), (40, 50, 0)]
)
def test_strip_is_cut_between_its_segments(run: float, segment: float, cut: float) -> None:
    assert low_voltage.cut_length_mm(run, segment) == cut


def test_one_end_feeds_five_metres_at_12_and_ten_at_24() -> None:
    # hobby and trade pages: about 5 m at 12 V, 10 m at 24 V, strip of 14.4 W/m
    assert low_voltage.longest_fed_m(12, 0.06, 1.2) == pytest.approx(5, abs=0.5)
    assert low_voltage.longest_fed_m(24, 0.06, 0.6) == pytest.approx(10, abs=0.5)


@pytest.mark.parametrize("rate", [0, -1])
def test_a_rate_of_nothing_is_refused(rate: float) -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        paint.litres(10, 2, rate)
