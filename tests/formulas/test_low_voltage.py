"""Strip and cable against printed figures: copper, voltage, supplies."""

import pytest

from app.formulas import low_voltage
from app.published.register import published

FLEX = [
    # BS 7671 Tables 4F3A and 4F3B as a wholesaler repeats them: mm2, A, mV/A/m (both conductors)
    ("0-5", 3, 93),
    ("0-75", 6, 62),
    ("1-0", 10, 46),
    ("1-25", 13, 37),
    ("1-5", 16, 32),
    ("2-5", 25, 19),
    ("4-0", 32, 12),
]


@pytest.mark.parametrize(("size", "amps", "mv"), FLEX)
def test_what_flexible_cable_carries_and_loses(size: str, amps: float, mv: float) -> None:
    assert low_voltage.cable_amps(size, 20) == amps
    ohm_km = published(f"strip.cable.{size}-ohm-km")
    # 1 m, 1 A
    assert low_voltage.cable_drop_v(1, ohm_km, 1) == pytest.approx(mv / 1000)


@pytest.mark.parametrize(
    ("air", "share"), [(30, 1), (30.01, 0.91), (35, 0.91), (35.01, 0.82), (40, 0.82), (40.01, 0)]
)
def test_cable_in_warm_air_carries_less(air: float, share: float) -> None:
    # Table 4F3A: 35 C x 0.91, 40 C x 0.82; warmer is not in it
    assert low_voltage.cable_amps("1.5", air) == pytest.approx(16 * share)


@pytest.mark.parametrize(
    ("size", "longest_m"),
    # 0.36 V / (5.9 A x drop): 0.984, 1.907 and 3.211 m
    [("0.75", 0.984), ("1.5", 1.906), ("2.5", 3.211)],
)
def test_so_far_goes_the_current_of_five_metres_of_strip(size: str, longest_m: float) -> None:
    just = low_voltage.cable_for(longest_m, 5.9, 12, 20)
    assert just is not None
    assert just[0] == size
    past = low_voltage.cable_for(longest_m + 0.002, 5.9, 12, 20)
    assert past is not None
    assert float(past[0]) > float(size)


def test_a_cable_too_thin_for_the_current_is_not_taken_however_short() -> None:
    # 0.1 m of 0.5 mm2 loses 0.055 V of the 0.36 allowed at 5.9 A, yet it carries 3 A
    sizes = [(low_voltage.cable_for(0.1, amps, 12, 20) or ("",))[0] for amps in (3.0, 3.01, 5.9)]
    assert sizes == ["0.5", "0.75", "0.75"]
    # at 35 C 0.5 mm2 carries 2.73 A
    assert [(low_voltage.cable_for(0.1, amps, 12, 35) or ("",))[0] for amps in (2.73, 2.74)] == [
        "0.5", "0.75",
    ]  # fmt: skip
    # 32 A is the most
    assert low_voltage.cable_for(0.01, 32.1, 12, 20) is None
    assert low_voltage.cable_for(0.01, 1, 12, 41) is None


def test_voltage_lost_in_cable() -> None:
    # 3 m of 1.5 mm2, 6 A: 2 x 3 x 0.0133 x 6 = 0.479 V; of 0.75 mm2: 0.936 V
    assert low_voltage.cable_drop_v(3, 13.3, 6) == pytest.approx(0.479, abs=0.0005)
    assert low_voltage.cable_drop_v(3, 26.0, 6) == pytest.approx(0.936, abs=0.0005)


def test_voltage_lost_along_strip() -> None:
    # 5 m of 0.06 ohm/m at 1.2 A/m: end load 1.80 V, spread evenly 0.90 (Kersting, chapter 3)
    assert low_voltage.end_load_drop_v(5, 0.06, 6) == pytest.approx(1.80)
    assert low_voltage.strip_drop_v(5, 0.06, 1.2) == pytest.approx(0.90)


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


def test_the_thinnest_cable_that_does() -> None:
    # 12 V allow 3 % = 0.36 V (trade practice). 3 m, 6 A: 1.5 mm2 loses 3 x 6 x 0.032 = 0.576 V,
    # 2.5 mm2 3 x 6 x 0.019 = 0.342 V
    cable = low_voltage.cable_for(3, 6, 12, 20)
    assert cable is not None
    assert cable[0] == "2.5"
    assert cable[1] == pytest.approx(0.342)
    # the thinnest: 0.5 m at 1 A: 0.5 x 0.093 = 0.0465 V
    thinnest = low_voltage.cable_for(0.5, 1, 24, 20)
    assert thinnest is not None
    assert thinnest[0] == "0.5"
    assert thinnest[1] == pytest.approx(0.0465)
    # even 6 mm2 loses 2 x 50 x 0.00382 x 6 = 2.29 V on 50 m
    assert low_voltage.cable_for(50, 6, 12, 20) is None


def test_the_longest_run_of_strip() -> None:
    # 8 % of 12 V are 0.96 V: sqrt(2 x 0.96 / (0.06 x 1.2)) = 5.164 m, which loses just that
    longest = low_voltage.longest_fed_m(12, 0.06, 1.2)
    assert longest == pytest.approx(5.164, abs=0.001)
    assert low_voltage.strip_drop_v(longest, 0.06, 1.2) == pytest.approx(0.96)


@pytest.mark.parametrize("segment", [0, -50])
def test_a_segment_without_a_length_is_refused(segment: float) -> None:
    with pytest.raises(ValueError, match="segment has a length"):
        low_voltage.cut_length_mm(1870, segment)


def test_a_hair_of_rounding_costs_no_segment() -> None:
    # 3 x 33.1 is 99.30000000000001 as a computer reckons, 99.3 / 33.1 a hair under 3
    assert low_voltage.cut_length_mm(99.3, 33.1) == pytest.approx(99.3)
    assert low_voltage.cut_length_mm(0.3, 0.1) == pytest.approx(0.3)


def test_a_fuse_lies_between_what_is_drawn_and_what_is_carried() -> None:
    # sizes of blade fuses: ISO 8820-3, from memory
    assert low_voltage.fuse_for(2.4, 3) == 3
    assert low_voltage.fuse_for(2.4, 2.73) is None
    assert low_voltage.fuse_for(3, 3) == 3
    assert low_voltage.fuse_for(5.88, 6) is None
    assert low_voltage.fuse_for(5.88, 10) == 10
    assert low_voltage.fuse_for(7.6, 9.9) is None
    # the cable carries 2.73 A in the warm; a thicker one is taken where a fuse is needed
    bare = low_voltage.cable_for(1, 2.4, 12, 35)
    assert bare is not None
    assert bare[0] == "0.5"
    fused = low_voltage.cable_for(1, 2.4, 12, 35, fused=True)
    assert fused is not None
    assert fused[0] == "0.75"


@pytest.mark.parametrize(
    ("gauge", "mm2"),
    # areas by ASTM B258 as wire tables print them (NEC chapter 9 table 8), from memory
    [(20, 0.518), (18, 0.823), (16, 1.31), (14, 2.08), (12, 3.31), (10, 5.26), (8, 8.37)],
)
def test_areas_of_the_american_wire_gauge(gauge: int, mm2: float) -> None:
    assert low_voltage.gauge_mm2(gauge) == pytest.approx(mm2, rel=2.5e-3)
    # the same by the rule of thumb: three sizes up is twice the area
    assert low_voltage.gauge_mm2(gauge - 3) / mm2 == pytest.approx(2, rel=0.01)
    assert low_voltage.gauge_mm2(gauge) == pytest.approx(
        0.012668 * 92 ** ((36 - gauge) / 19.5), rel=1e-4
    )


def test_no_cable_is_told_by_a_thinner_gauge_nor_by_a_thicker_one_than_is_sold() -> None:
    told = {size: low_voltage.gauge_for(size) for size in low_voltage.CABLES}
    assert told == {
        "0-5": 20, "0-75": 18, "1-0": 16, "1-25": 16, "1-5": 14, "2-5": 12, "4-0": 10, "6-0": 8,
    }  # fmt: skip
    for size, gauge in told.items():
        assert gauge is not None
        least = float(size.replace("-", "."))
        assert low_voltage.gauge_mm2(gauge) >= least
        thinner = [low_voltage.gauge_mm2(one) for one in low_voltage.GAUGES if one > gauge]
        assert max(thinner, default=0) < least
    assert low_voltage.gauge_for("8.4") is None
    assert low_voltage.gauge_for("0.5") == 20
