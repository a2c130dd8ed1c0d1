"""Headroom demands against worked examples and the facts of the trade."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.formulas.headroom import (
    HangForm,
    demand,
    grade_rise_mm,
    hang_demand,
    hang_forms,
    movement_keys,
)
from app.library.movements import movements
from app.published.register import row

MOVEMENTS = st.sampled_from(movement_keys())
STATURES = st.floats(1000, 2300)
COVERINGS = st.floats(0, 60)
PLATE = 225  # IWF: discs of 450
MATS = 20
ADULT = 1750


# Worked examples; the arithmetic is that of the sources named.


def test_standing_press_of_1800() -> None:
    # Winter 2009, chained 2167.2, covering 12, disc 225: least 2404.2.
    # ANSUR 1988, computed, 2164.4 + 64, shoe 25, margin 100: need 2590.4
    found = demand("standing-press", 1800, floor_mm=12, held_mm=PLATE)
    assert found.least_mm == pytest.approx(2404.2)
    assert found.need_mm == pytest.approx(2590.4)


def test_standing_press_measured_at_the_proportion() -> None:
    # 12 + 25 + 2167.2 + 225 + 100 = 2529.2
    found = demand("standing-press", 1800, 2167.2, floor_mm=12, held_mm=PLATE)
    assert found.need_mm == pytest.approx(2529.2)


def test_running_on_a_deck_of_200() -> None:
    # 1800 + shoe 25 + deck 200 + rise 100 + margin 100 = 2225; 15 % at 1.0 m adds 148.3
    flat = demand("run", 1800, deck_mm=200)
    assert flat.need_mm == pytest.approx(2225)
    steep = demand("run", 1800, deck_mm=200, rise_mm=grade_rise_mm(0.15))
    assert steep.need_mm == pytest.approx(2373.3, abs=0.1)


@pytest.mark.parametrize(
    ("grade", "lever", "rise"),
    [(0.15, 1000, 148), (0.15, 1400, 208), (0.12, 1000, 119), (0.12, 1400, 167)],
)
def test_rise_by_a_grade(grade: float, lever: float, rise: float) -> None:
    # derived: s sin(atan g)
    assert grade_rise_mm(grade, lever) == pytest.approx(rise, abs=1)


def test_straight_pull_up_of_1800() -> None:
    # bar 2255.4 + 50 = 2305.4; ceiling 2305.4 + 234 + 50 + 100 = 2689.4
    bar = hang_demand("straight", 1800).need_mm
    assert bar == pytest.approx(2305.4)
    assert demand("pull-up", 1800, bar_height_mm=bar).need_mm == pytest.approx(2689.4)
    assert demand("pull-up", 1800, form="straight").need_mm == pytest.approx(2689.4)


@pytest.mark.parametrize(("bar", "tallest"), [(2286, 1824), (2438, 1946)])
def test_army_bars_suit_these_statures(bar: float, tallest: float) -> None:
    # TC 3-22.20 (2010) appendix B: bars at 7.5 and 8 ft; derived statures without clearance
    assert hang_demand("straight", tallest).least_mm == pytest.approx(bar, abs=1)
    assert "straight" in hang_forms(bar, tallest - 2)
    assert "straight" not in hang_forms(bar, tallest + 2)


def test_bar_at_2286_is_19_short_for_a_straight_hang_of_1800_but_bent_hangs() -> None:
    assert hang_demand("straight", 1800).need_mm - 2286 == pytest.approx(19.4)
    assert hang_demand("bent", 1800).need_mm <= 2286


def test_skipping_of_1800() -> None:
    # 1.25 H + shoe 25 + margin 100 = 2375
    assert demand("skip", 1800).need_mm == pytest.approx(2375)


# Facts of the trade: common practice, no source.


def test_clear_2200_is_too_low_for_a_standing_press() -> None:
    found = demand("standing-press", ADULT, floor_mm=MATS, held_mm=PLATE)
    assert found.least_mm == pytest.approx(2352)
    assert found.least_mm > 2200


def test_clear_2400_and_2500_are_over_the_least() -> None:
    found = demand("standing-press", ADULT, floor_mm=MATS, held_mm=PLATE)
    assert found.least_mm <= 2400
    assert found.need_mm > 2500


def test_clear_2500_is_enough_with_a_measured_reach_of_2100() -> None:
    found = demand("standing-press", ADULT, 2100, floor_mm=MATS, held_mm=PLATE)
    assert found.need_mm == pytest.approx(2470)


def test_rack_of_1830_leaves_room_for_tucked_pull_ups_under_2200() -> None:
    bar = MATS + 1830 - 35
    assert demand("pull-up", ADULT, bar_height_mm=bar).need_mm == pytest.approx(2192.5)
    assert hang_forms(bar, ADULT, floor_mm=MATS) == ("bent", "tucked")


@pytest.mark.parametrize("rack", [2100, 2140])
def test_pull_ups_on_a_rack_of_2100_or_more_hit_at_2200_though_the_rack_fits(rack: float) -> None:
    bar = MATS + rack - 35
    assert demand("pull-up", ADULT, bar_height_mm=bar).least_mm > 2200
    assert MATS + rack <= 2200


@pytest.mark.parametrize(("stature", "highest", "short"), [(1880, 1996, 69), (1640, 2027, 38)])
def test_pull_up_bar_under_2290(stature: float, highest: float, short: float) -> None:
    assert demand("pull-up", stature, bar_height_mm=highest).least_mm == pytest.approx(2290, abs=1)
    need = demand("pull-up", stature, bar_height_mm=1965).need_mm
    assert need - 2290 == pytest.approx(short, abs=1)


@pytest.mark.parametrize(("deck", "grade", "spare"), [(180, 0, 5), (200, 0, -15), (180, 0.10, -95)])
def test_1880_running_under_2290(deck: float, grade: float, spare: float) -> None:
    found = demand("run", 1880, deck_mm=deck, rise_mm=grade_rise_mm(grade))
    assert 2290 - found.need_mm == pytest.approx(spare, abs=1)


def test_1880_sitting_stops_86_short_of_rails_at_1755() -> None:
    assert demand("seated-press", 1880, held_mm=0).least_mm - 1755 == pytest.approx(86, abs=1)


def test_1880_kneeling_keeps_160_beyond_the_margin_under_2290() -> None:
    assert 2290 - demand("kneeling-press", 1880, held_mm=PLATE).need_mm == pytest.approx(160, abs=1)


@pytest.mark.parametrize(("stature", "least"), [(1880, 2188), (1640, 1980)])
def test_angled_press(stature: float, least: float) -> None:
    found = demand("landmine-press", stature, held_mm=PLATE)
    assert found.least_mm == pytest.approx(least, abs=1)


def test_1640_standing_fits_under_2290_with_plates_of_280() -> None:
    assert demand("standing-press", 1640, held_mm=140).need_mm <= 2290
    assert demand("standing-press", 1640, held_mm=PLATE).need_mm > 2290


def test_1880_cannot_lock_out_bare_fists_under_2290() -> None:
    assert demand("standing-press", 1880, held_mm=45).least_mm > 2290


def test_head_of_1880_under_a_crossmember_at_1925_keeps_20_shod() -> None:
    # care: 25 of air are asked for above the shoe
    found = demand("squat", 1880)
    assert found.least_mm == 1880
    assert found.need_mm == 1880 + 25 + 25


# Laws.


@given(MOVEMENTS, STATURES, COVERINGS)
def test_need_is_never_under_least(movement: str, stature: float, floor: float) -> None:
    found = demand(movement, stature, floor_mm=floor)
    assert found.need_mm >= found.least_mm > floor


@given(MOVEMENTS, STATURES, st.floats(0.1, 300), st.sampled_from([35, 140, PLATE]))
def test_a_taller_person_never_asks_for_less(
    movement: str, stature: float, taller: float, held: float
) -> None:
    low = demand(movement, stature, held_mm=held)
    high = demand(movement, stature + taller, held_mm=held)
    assert high.least_mm >= low.least_mm - 1e-6
    assert high.need_mm >= low.need_mm - 1e-6


@given(STATURES, STATURES, st.floats(1200, 2900))
def test_with_a_measured_reach_the_stature_no_longer_counts_in_a_standing_press(
    one: float, other: float, reach: float
) -> None:
    found = demand("standing-press", one, reach, held_mm=PLATE)
    assert found.least_mm == demand("standing-press", other, reach, held_mm=PLATE).least_mm
    assert found.need_mm - found.least_mm == pytest.approx(125)


@given(MOVEMENTS, STATURES, st.floats(-150, 150), st.floats(0, 100))
def test_a_longer_measured_reach_never_asks_for_less(
    movement: str, stature: float, surplus: float, longer: float
) -> None:
    reach = 1.204 * stature + surplus
    near, far = demand(movement, stature, reach), demand(movement, stature, reach + longer)
    assert far.least_mm >= near.least_mm - 1e-6
    assert far.need_mm >= near.need_mm - 1e-6


@given(MOVEMENTS, STATURES, COVERINGS)
def test_a_covering_lifts_what_stands_on_the_floor_by_its_thickness(
    movement: str, stature: float, floor: float
) -> None:
    bare, covered = demand(movement, stature), demand(movement, stature, floor_mm=floor)
    assert covered.least_mm - bare.least_mm == pytest.approx(floor)


@given(STATURES, st.sampled_from(["straight", "bent", "tucked"]))
def test_tucking_more_needs_a_lower_bar(stature: float, form: HangForm) -> None:
    straight = hang_demand("straight", stature).least_mm
    assert hang_demand(form, stature).least_mm <= straight


# Shape.


def test_every_working_names_rows_of_the_register() -> None:
    for movement in movement_keys():
        found = demand(movement, ADULT, floor_mm=MATS)
        assert found.source_keys, movement
        for key in found.source_keys:
            assert row(key).key == key


def test_library_and_formulas_know_the_same_movements() -> None:
    assert set(movements()) == set(movement_keys())


def test_substitutes_are_of_the_same_pattern() -> None:
    rows = movements()
    for found in rows.values():
        assert found.key not in found.substitutes
        assert {rows[other].pattern for other in found.substitutes} <= {found.pattern}


def test_unknown_movement_and_impossible_lengths_are_refused() -> None:
    with pytest.raises(KeyError, match="no headroom is known for the movement 'fly'"):
        demand("fly", ADULT)
    with pytest.raises(ValueError, match="covering"):
        demand("run", ADULT, floor_mm=-1)
    for movement in movement_keys():
        with pytest.raises(ValueError, match="positive number"):
            demand(movement, float("nan"))


# Every movement by hand at 1800 on a covering of 20: the ratios are those of Winter 2009 and ANSUR
# where the register says so, else common practice (`body.*`, `press.*`, `jump.*` ...).


@pytest.mark.parametrize(
    ("movement", "least", "need"),
    [
        # 20 + 2167.2 + 225; 20 + 25 + 2228.4 + 225 + 100
        ("standing-press", 2412.2, 2598.4),
        ("dumbbell-press", 2262.2, 2448.4),
        ("kettlebell-overhead", 2222.2, 2408.4),
        # 20 + 440 + 0.745 H + 225; 20 + 440 + 0.775 H + 225 + 100
        ("seated-press", 2026, 2180),
        # 20 + 0.93 H + 225; 20 + 0.96 H + 225 + 100
        ("kneeling-press", 1919, 2073),
        # 20 + 440 + 150 + 0.39 H + 225, and 100
        ("bench-press", 1537, 1637),
        # bars at the elbow (0.818 - 0.186) H + 20, crown 0.55 H above; and 100
        ("dip", 2147.6, 2247.6),
        # tucked 0.80 H + 20 + 50 is the bar; chin to crown 0.13 H, 50 over it; and 100
        ("pull-up", 1794, 1894),
        # H + 20; shoe 25, margin 25
        ("squat", 1820, 1870),
        ("lunge", 1820, 1870),
        ("deadlift", 1820, 1870),
        ("barbell-row", 1820, 1870),
        ("cable-pull", 1820, 1870),
        # 20 + a seat of 470 + 0.526 H, margin 100
        ("machine-row", 1436.8, 1536.8),
        ("kettlebell-swing", 1820, 1870),
        ("bag", 1820, 1870),
        # H + 20 + 100; shoe 25, margin 100
        ("run", 1920, 2045),
        ("walk", 1820, 1945),
        ("cross-trainer", 1820, 1945),
        ("stair-machine", 1820, 1945),
        ("step-up", 1820, 1945),
        # 20 + a saddle of 800 + 0.526 H; standing on the pedals H + 200, shoe 25, margin 100
        ("bike", 1766.8, 2145),
        # a flight of 350; heels 150 more
        ("box-jump", 2170, 2445),
        # a jump of 100; the rope at 1.25 H
        ("skip", 1920, 2395),
        # 1.268 H; 1.3508 H - 139.8 + 68
        ("stretch", 2302.4, 2504.64),
        ("handstand", 2279, 2404),
        ("floor-work", 966.8, 1066.8),
    ],
)
def test_every_movement_by_hand(movement: str, least: float, need: float) -> None:
    found = demand(movement, 1800, floor_mm=20)
    assert found.least_mm == pytest.approx(least)
    assert found.need_mm == pytest.approx(need)


def test_the_angled_press_by_hand() -> None:
    # hands at 1.13 x 1800 = 2034; pivot 170, lever 2040: sine 0.91373; plates of 225 square to
    # the bar add 225 x sqrt(1 - 0.83489) = 91.43
    found = demand("landmine-press", 1800)
    assert found.least_mm == pytest.approx(2125.43, abs=0.01)
    # shoe 25, margin 100
    assert found.need_mm == pytest.approx(2250.43, abs=0.01)
    # of 2200 mm the hands would be at 2486: past the steepest, 170 + hypot(2040, 225) = 2222.37
    # over the pivot bounds the plates
    assert demand("landmine-press", 2200).least_mm == pytest.approx(2222.37, abs=0.01)
    # measured 32.8 above the typical 2167.2 the hands are at 2066.8: sine 0.929804, 225 x 0.368052
    assert demand("landmine-press", 1800, 2200).least_mm == pytest.approx(2149.61, abs=0.01)
    # 10 below level of the pivot there is no sine: a child of 120 mm is none, only arithmetic
    assert demand("landmine-press", 120).least_mm == pytest.approx(1.13 * 120 + 225)


def test_a_seat_and_a_bench_as_high_as_told() -> None:
    # 40 more than the usual 440
    assert demand("seated-press", 1800, deck_mm=480).least_mm == pytest.approx(
        demand("seated-press", 1800).least_mm + 40
    )
    assert demand("bench-press", 1800, deck_mm=480).least_mm == pytest.approx(
        demand("bench-press", 1800).least_mm + 40
    )


@pytest.mark.parametrize(
    ("saddle", "need"),
    # one stands on the pedals of a saddle of 700: 1800 + 200, shoe 25; else 0.526 H over it
    [(699, 699 + 946.8 + 100), (700, 2125), (1079, 2125.8)],
)
def test_who_rides_low_does_not_stand_on_the_pedals(saddle: float, need: float) -> None:
    assert demand("bike", 1800, deck_mm=saddle).need_mm == pytest.approx(need)


def test_a_box_higher_than_the_flight_counts() -> None:
    # a flight of 350: a box of 300 changes nothing, one of 600 lifts by 250 more
    assert demand("box-jump", 1800, deck_mm=300).least_mm == 2150
    assert demand("box-jump", 1800, deck_mm=600).least_mm == 2400


def test_a_very_tall_person_skips_higher_than_the_rope() -> None:
    # the head 100 up in the jump against 1.25 H: below 400 mm of stature the head is higher
    assert demand("skip", 300).need_mm == pytest.approx(400 + 125)
    assert demand("skip", 500).need_mm == pytest.approx(625 + 125)


@pytest.mark.parametrize(
    ("movement", "arms"),
    [
        ("seated-press", True),
        ("kneeling-press", True),
        ("bench-press", True),
        ("handstand", True),
        ("stretch", True),
        ("pull-up", True),
        ("standing-press", True),
        ("dumbbell-press", True),
        ("kettlebell-overhead", True),
        ("squat", False),
        ("dip", False),
        ("floor-work", False),
        ("skip", False),
    ],
)
def test_long_arms_lift_what_the_arms_lift(movement: str, arms: bool) -> None:
    # measured 2200 at 1750: 2200 - 1.204 x 1750 = 93 over the typical reach
    plain = demand(movement, 1750)
    long = demand(movement, 1750, 2200)
    assert long.least_mm - plain.least_mm == pytest.approx(93 if arms else 0)
    if movement not in ("stretch", "standing-press", "dumbbell-press", "kettlebell-overhead"):
        assert long.need_mm - plain.need_mm == pytest.approx(93 if arms else 0)


def test_fingertips_measured() -> None:
    # 1.268 x 1750 + 93 + shoe 25 + margin 100; the tall end is for those who did not measure
    assert demand("stretch", 1750, 2200).need_mm == pytest.approx(2437)


def test_hangs_by_hand() -> None:
    # 20 + 1.253 H, 0.97 H, 0.80 H; a measured reach of 2200 at 1750 adds 93; need is 50 more
    for form, ratio in (("straight", 1.253), ("bent", 0.97), ("tucked", 0.80)):
        found = hang_demand(form, 1750, 2200, 20)  # type: ignore[arg-type]
        assert found.least_mm == pytest.approx(20 + ratio * 1750 + 93)
        assert found.need_mm == pytest.approx(20 + ratio * 1750 + 143)
    assert hang_forms(1400 + 19, ADULT, floor_mm=20) == ()
    assert hang_forms(1400 + 20, ADULT, floor_mm=20) == ("tucked",)
    assert hang_forms(1420, ADULT, 2108, 20) == ()
    assert hang_forms(1400, ADULT) == ("tucked",)
    assert hang_forms(2300, ADULT, floor_mm=20) == ("straight", "bent", "tucked")


def test_a_grade_without_a_lever_takes_a_metre() -> None:
    # 1000 sin(atan 0.15) = 148.34; none at no grade
    assert grade_rise_mm(0.15) == pytest.approx(148.34, abs=0.01)
    assert grade_rise_mm(0) == 0


def test_the_working_names_only_what_is_published() -> None:
    usual = demand("standing-press", 1800, floor_mm=20)
    assert [(term.label, term.mm, term.key) for term in usual.least] == [
        ("floor covering", 20, None),
        ("reach, typical", pytest.approx(2167.2), "body.grip-reach.typical-ratio"),
        ("held above the grip", 225, "plate.large-diameter-mm"),
    ]
    told = demand("standing-press", 1800, 2150, floor_mm=20, held_mm=140, deck_mm=50, rise_mm=30)
    assert [(term.label, term.mm, term.key) for term in told.need] == [
        ("floor covering", 20, None),
        ("shoe", 25, "body.shoe-mm"),
        ("deck or box", 50, None),
        ("reach, measured", 2150, None),
        ("rise of the feet", 30, None),
        ("held above the grip", 140, None),
        ("margin", 100, "headroom.margin-mm"),
    ]
    assert told.source_keys == ("body.shoe-mm", "headroom.margin-mm")


@pytest.mark.parametrize("wrong", [-1, float("nan"), float("inf")])
@pytest.mark.parametrize("which", ["floor_mm", "held_mm", "deck_mm", "rise_mm", "bar_height_mm"])
def test_each_length_is_looked_at(which: str, wrong: float) -> None:
    with pytest.raises(ValueError, match="must be 0 mm or more"):
        demand("pull-up", ADULT, **{which: wrong})  # type: ignore[arg-type]
