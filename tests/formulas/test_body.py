"""Body measures against published figures; a measured reach beats every estimate."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.formulas import body

STATURES = st.floats(1000, 2300)


def test_chain_of_segments() -> None:
    # Winter 2009 fig. 4.1, chained: H 1800 gives 2167.2
    assert body.grip_reach_typical_mm(1800) == pytest.approx(2167.2)


def test_regression_with_two_standard_errors() -> None:
    # ANSUR 1988, computed: 1.2755 * 1800 - 131.5 = 2164.4, and 64 more
    assert body.grip_reach_cautious_mm(1800) == pytest.approx(2228.4)


@pytest.mark.parametrize(
    ("stature", "p50", "p95"),
    [(1600, 1909, 1972), (1700, 2038, 2095), (1800, 2167, 2222), (1900, 2281, 2310)],
)
def test_typical_meets_the_median_and_cautious_covers_95_percent(
    stature: float, p50: float, p95: float
) -> None:
    # ANSUR 1988, computed: grip reach of people within 10 mm of the stature
    assert body.grip_reach_typical_mm(stature) == pytest.approx(p50, abs=18)
    assert body.grip_reach_cautious_mm(stature) >= p95


@pytest.mark.parametrize(
    ("stature", "p50"), [(1755, 2228 * 1755 / 1756), (1626, 2058 * 1626 / 1628)]
)
def test_fingertip_reach_meets_the_survey(stature: float, p50: float) -> None:
    # ANSUR 1988 medians of fingertip reach, men 2228 and women 2058, put on the stature by
    # ratio; the source's mean ratios are 1.271 and 1.265
    assert body.fingertip_reach_typical_mm(stature) == pytest.approx(p50, rel=0.005)


def test_chin_to_crown_is_one_head_of_7_69() -> None:
    # Contini 1972: a man is 7.69 heads
    assert body.chin_to_crown_mm(1800) == pytest.approx(1800 / 7.69, abs=1)


@pytest.mark.parametrize(("stature", "eye"), [(1755, 1640), (1626, 1517)])
def test_eye_height_meets_the_later_survey(stature: float, eye: float) -> None:
    # ANSUR 2012, derived: median eye height 1640 at 1755 (men), 1517 at 1626 (women)
    assert body.eye_height_mm(stature) == pytest.approx(eye, abs=6)


@pytest.mark.parametrize(("stature", "sitting"), [(1755, 918), (1626, 857)])
def test_sitting_height_is_the_larger_survey_mean(stature: float, sitting: float) -> None:
    # ANSUR 2012 medians
    assert body.sitting_height_mm(stature) == pytest.approx(sitting, abs=6)


def test_sitting_reach_meets_the_survey() -> None:
    # ANSUR 1988: median fingertip reach, sitting, men 1435, less grip to tip 2228 - 2106
    assert body.sitting_grip_reach_typical_mm(1756) == pytest.approx(1435 - (2228 - 2106), abs=6)


def test_arm_span_meets_the_survey() -> None:
    # ANSUR 2012: men's median span 1812 at 1755
    assert body.arm_span_mm(1755) == pytest.approx(1812, abs=2)


def test_segments_of_a_person() -> None:
    # Winter 2009 fig. 4.1 at H 1800: shoulder 0.818, knee 0.285, chin 0.870
    found = body.proportions(1800)
    assert found.shoulder_height_mm == pytest.approx(1472.4)
    assert found.knee_height_mm == pytest.approx(513)
    assert found.chin_height_mm + body.chin_to_crown_mm(1800) == pytest.approx(1800)


def test_lying_length() -> None:
    # common practice, no source: 1.27 H, at 1880 it is 2388
    assert body.lying_length_mm(1880) == pytest.approx(2388, abs=1)
    assert body.lying_length_mm(1880, toes_pointed=True) == pytest.approx(2481.6)


@given(STATURES, st.floats(1, 800))
def test_a_measured_reach_replaces_both_estimates(stature: float, above: float) -> None:
    reach = stature + above
    assert body.grip_reach_typical_mm(stature, reach) == reach
    assert body.grip_reach_cautious_mm(stature, reach) == reach


@given(STATURES, st.floats(1, 400), st.floats(0.1, 400))
def test_a_longer_measured_reach_lengthens_every_reach_alike(
    stature: float, above: float, more: float
) -> None:
    for reach_of in (
        body.sitting_grip_reach_typical_mm,
        body.sitting_grip_reach_cautious_mm,
        body.kneeling_grip_reach_typical_mm,
        body.kneeling_grip_reach_cautious_mm,
        body.straight_hang_mm,
    ):
        longer = reach_of(stature, stature + above + more) - reach_of(stature, stature + above)
        assert longer == pytest.approx(more)


@pytest.mark.parametrize("length", [0, -1700, float("nan"), float("inf")])
def test_a_body_without_a_length_is_refused(length: float) -> None:
    with pytest.raises(ValueError, match="positive number of mm"):
        body.grip_reach_typical_mm(length)
    with pytest.raises(ValueError, match="positive number of mm"):
        body.grip_reach_typical_mm(1750, length)


@pytest.mark.parametrize(
    ("part", "ratio"),
    [
        # Drillis and Contini 1966, in Winter 2009, fig. 4.1
        ("ankle_height_mm", 0.039),
        ("knee_height_mm", 0.285),
        ("hip_height_mm", 0.530),
        ("shoulder_height_mm", 0.818),
        ("chin_height_mm", 0.870),
        ("eye_height_mm", 0.936),
        ("upper_arm_mm", 0.186),
        ("forearm_mm", 0.146),
        ("hand_mm", 0.108),
        ("foot_length_mm", 0.152),
        ("hip_breadth_mm", 0.191),
        # 0.259 is between the joints in that figure; over the deltoids by ANSUR 1988: 0.291
        ("shoulder_breadth_mm", 0.291),
    ],
)
def test_each_segment(part: str, ratio: float) -> None:
    assert getattr(body.proportions(2000), part) == pytest.approx(ratio * 2000)
    assert body.proportions(2000).stature_mm == 2000


def test_other_reaches_by_hand() -> None:
    # common practice: 0.745, 0.775, 0.93 and 0.96 H; a reach of 2100 at 1750 is 7 under typical
    assert body.reach_surplus_mm(1750) == 0
    assert body.reach_surplus_mm(1750, 2100) == pytest.approx(-7)
    assert body.sitting_grip_reach_typical_mm(1750, 2100) == pytest.approx(0.745 * 1750 - 7)
    assert body.sitting_grip_reach_cautious_mm(1750, 2100) == pytest.approx(0.775 * 1750 - 7)
    assert body.kneeling_grip_reach_typical_mm(1750, 2100) == pytest.approx(0.93 * 1750 - 7)
    assert body.kneeling_grip_reach_cautious_mm(1750, 2100) == pytest.approx(0.96 * 1750 - 7)
    # ANSUR 1988, computed: 1.253 H
    assert body.straight_hang_mm(1800) == pytest.approx(2255.4)
    assert body.straight_hang_mm(1750, 2100) == pytest.approx(1.253 * 1750 - 7)


def test_the_tall_end_is_never_under_the_typical_body() -> None:
    # 1.2755 H - 67.5 is under 1.204 H below 944 mm; 1.3508 H - 71.8 under 1.268 H below 867
    assert body.grip_reach_cautious_mm(900) == body.grip_reach_typical_mm(900)
    assert body.grip_reach_cautious_mm(1000) > body.grip_reach_typical_mm(1000)
    assert body.fingertip_reach_cautious_mm(850) == body.fingertip_reach_typical_mm(850)
    assert body.fingertip_reach_cautious_mm(1800) == pytest.approx(2359.64)
