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
    assert body.grip_reach_range_mm(1800) == pytest.approx((2036.4, 2292.4))


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


@pytest.mark.parametrize(("stature", "eye"), [(1755, 1640), (1626, 1517)])
def test_eye_height_meets_the_later_survey(stature: float, eye: float) -> None:
    # ANSUR 2012, derived: median eye height 1640 at 1755 (men), 1517 at 1626 (women)
    assert body.eye_height_mm(stature) == pytest.approx(eye, abs=6)


def test_segments_of_a_person() -> None:
    # Winter 2009 fig. 4.1 at H 1800: shoulder 0.818, knee 0.285, chin 0.870
    found = body.proportions(1800)
    assert found.shoulder_height_mm == pytest.approx(1472.4)
    assert found.knee_height_mm == pytest.approx(513)
    assert found.chin_height_mm == pytest.approx(1566)


@given(STATURES, st.floats(1, 800))
def test_a_measured_reach_replaces_both_estimates(stature: float, above: float) -> None:
    reach = stature + above
    assert body.grip_reach_typical_mm(stature, reach) == reach
    assert body.grip_reach_cautious_mm(stature, reach) == reach


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


def test_what_a_reach_has_over_the_typical_one() -> None:
    # a reach of 2100 at 1750 is 7 under 1.204 H
    assert body.reach_surplus_mm(1750) == 0
    assert body.reach_surplus_mm(1750, 2100) == pytest.approx(-7)


def test_the_tall_end_is_never_under_the_typical_body() -> None:
    # 1.2755 H - 67.5 is under 1.204 H below 944 mm; 1.3508 H - 71.8 under 1.268 H below 867
    assert body.grip_reach_cautious_mm(900) == body.grip_reach_typical_mm(900)
    assert body.grip_reach_cautious_mm(1000) > body.grip_reach_typical_mm(1000)
    assert body.fingertip_reach_cautious_mm(850) == body.fingertip_reach_typical_mm(850)
    assert body.fingertip_reach_cautious_mm(1800) == pytest.approx(2359.64)
