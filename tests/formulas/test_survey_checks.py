"""What a walk says of itself: closure as published, what cannot be, what disagrees."""

import math
import random

import networkx as nx
import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from app.formulas.survey import Adjusted, Distance, Observation, adjust
from app.formulas.survey_checks import (
    TOO_FAR_ERRORS,
    as_turned,
    closing,
    disagreement,
    impossible,
)
from tests.formulas.walks import (
    FIVE,
    SHAPES,
    SQUARE,
    Point,
    braces,
    dms,
    off_by,
    outlines,
    taped,
    walls,
    words,
)


def test_five_legs_close_as_published() -> None:
    # Purdue University, ASM 215, traverse calculations: sums of latitudes -0.71 and of
    # departures +0.53 ft (each leg rounded to 0.01 there), 2466.05 ft walked, 1/2771
    found = closing(
        [
            (dms(26, 10), 285.10),
            (dms(104, 35), 610.45),
            (dms(195, 30), 720.48),
            (dms(358, 18), 203.00),
            (dms(306, 54), 647.02),
        ]
    )
    assert found.north == pytest.approx(-0.71, abs=0.01)
    assert found.east == pytest.approx(0.53, abs=0.01)
    assert found.linear == pytest.approx(0.89, abs=0.01)
    assert found.one_in == pytest.approx(2771, rel=0.01)


def test_four_legs_close_as_published() -> None:
    # J. Mahun, Open Access Surveying Library, Traverse Computations chapter I: lines S 68 05 35 W
    # 472.68, N 19 46 00 W 216.13, N 45 55 20 E 276.52, S 54 59 15 E 382.24 ft sum to latitude
    # +0.083 and departure +0.075 ft over 1347.57 ft
    found = closing(
        [
            (180 + dms(68, 5, 35), 472.68),
            (360 - dms(19, 46), 216.13),
            (dms(45, 55, 20), 276.52),
            (180 - dms(54, 59, 15), 382.24),
        ]
    )
    assert found.north == pytest.approx(0.083, abs=0.001)
    assert found.east == pytest.approx(0.075, abs=0.001)
    assert found.one_in == pytest.approx(1347.57 / math.hypot(0.083, 0.075), rel=0.01)


@settings(max_examples=40, deadline=None)
@given(outlines(), st.integers(0, 5), st.sampled_from([-1, 1]), st.floats(120, 400))
def test_an_error_on_one_wall_is_found(
    corners: list[Point], which: int, sign: int, by: float
) -> None:
    # with all diagonals of six corners six lengths are more than needed
    assume(len(corners) == 6)
    seen = taped(corners, braces(6))
    wall = seen[which]
    assert isinstance(wall, Distance)
    seen[which] = Distance(wall.start, wall.end, wall.length_mm + sign * by, wall.error_mm)
    found = adjust(6, seen)
    told = disagreement(found, seen)
    assert told is not None
    assert which in told.suspects


def test_with_one_length_to_spare_all_are_suspect() -> None:
    # one diagonal of a room of 3 x 4 m is 5 m (Pythagoras); the other was read 80 mm too long
    seen = [
        *walls([3000, 4000, 3000, 4000]),
        *words([90] * 4),
        Distance(0, 2, 5000, 10),
        Distance(1, 3, 5080, 10),
    ]
    told = disagreement(adjust(4, seen), seen)
    assert told is not None
    assert told.suspects == (0, 1, 2, 3, 8, 9)
    assert told.by_mm == pytest.approx(80, abs=1)


def by_normal_equations(corners: list[Point], seen: list[Observation]) -> NDArray[np.float64]:
    """Standardised residuals of the lengths alone, another way: slopes by differences."""
    lengths = [each for each in seen if isinstance(each, Distance)]
    fixed = np.array(corners, dtype=float).ravel()
    count = len(fixed)

    def computed(at: NDArray[np.float64]) -> NDArray[np.float64]:
        xy = at.reshape(-1, 2)
        return np.array([np.hypot(*(xy[d.end] - xy[d.start])) for d in lengths])

    observed = np.array([each.length_mm for each in lengths])
    weight = np.diag([1 / each.error_mm**2 for each in lengths])
    free = [2, *range(4, count)]
    for _ in range(20):
        slopes = np.array([(computed(fixed + h) - computed(fixed - h)) / 0.2
                           for h in np.eye(count)[free] * 0.1]).T  # fmt: skip
        normal = slopes.T @ weight @ slopes
        fixed[free] += np.linalg.solve(normal, slopes.T @ weight @ (observed - computed(fixed)))
    residuals = computed(fixed) - observed
    cofactor = np.linalg.inv(weight) - slopes @ np.linalg.inv(normal) @ slopes.T
    return np.asarray(residuals / np.sqrt(np.diag(cofactor)))


@pytest.mark.parametrize("by", [60, -60])
@pytest.mark.parametrize("which", range(6))
def test_with_one_to_spare_the_wrong_one_is_always_among_those_named(which: int, by: int) -> None:
    # four walls and two diagonals, by laser: six lengths for five unknowns
    seen, wrong = off_by(SQUARE, [(0, 2), (1, 3)], which, by, 2)
    told = disagreement(adjust(4, seen), seen)
    own = by_normal_equations(SQUARE, seen)
    # with redundancy 1 all standardised residuals are of one size (Baarda)
    assert np.abs(own) == pytest.approx([abs(own[0])] * 6, rel=0.01)
    assert told is not None
    assert wrong in told.suspects
    assert told.suspects == (0, 1, 2, 3, 8, 9)
    assert told.standardised == pytest.approx(abs(own[0]), rel=0.02)


@pytest.mark.parametrize("by", [150, -150])
@pytest.mark.parametrize("which", [0, 1, 2, 5, 6, 7])
def test_what_the_one_to_spare_does_not_check_is_not_suspect(which: int, by: int) -> None:
    # five walls and three diagonals: eight lengths for seven unknowns. Walls D and E make a
    # triangle with a diagonal that nothing else checks; wall A is seen, if only just
    seen, wrong = off_by(FIVE, [(0, 2), (0, 3), (1, 3)], which, by)
    told = disagreement(adjust(5, seen), seen)
    assert told is not None
    assert wrong in told.suspects
    assert told.suspects == (0, 1, 2, 10, 11, 12)
    assert told.by_mm <= 150 + 3 * 3


@pytest.mark.parametrize("by", [200, -200])
@pytest.mark.parametrize("which", range(10))
def test_with_three_to_spare_one_gross_error_is_singled_out(which: int, by: int) -> None:
    # five walls and all five diagonals: ten lengths for seven unknowns
    seen, wrong = off_by(FIVE, braces(5), which, by)
    told = disagreement(adjust(5, seen), seen)
    assert told is not None
    assert told.suspects == (wrong,)
    own = np.abs(by_normal_equations(FIVE, seen))
    assert int(own.argmax()) == which
    assert told.standardised == pytest.approx(own.max(), rel=0.03)


@pytest.mark.parametrize("by", [100, -100])
@pytest.mark.parametrize("which", range(10))
def test_an_error_half_as_large_is_among_those_named(which: int, by: int) -> None:
    seen, wrong = off_by(FIVE, braces(5), which, by)
    told = disagreement(adjust(5, seen), seen)
    assert told is not None
    assert wrong in told.suspects
    assert len(told.suspects) <= 5


def test_what_goes_together_is_not_blamed() -> None:
    seen = [*walls([3000, 4003, 3002, 3998]), *words([90] * 4), Distance(0, 2, 5004, 10)]
    assert disagreement(adjust(4, seen), seen) is None


@pytest.mark.parametrize("by", [300, -300])
@pytest.mark.parametrize("which", range(6))
def test_the_wall_that_keeps_an_l_from_being_square_is_singled_out(which: int, by: int) -> None:
    # an L of 6 x 6 m, square throughout, with three diagonals from corner 1; one wall is wrong
    seen = taped(SHAPES[1], [(0, 2), (0, 3), (0, 4)])
    wall = seen[which]
    assert isinstance(wall, Distance)
    assert as_turned(6, seen, 5) is None
    seen[which] = Distance(wall.start, wall.end, wall.length_mm + by, wall.error_mm)
    told = as_turned(6, seen, 5)
    assert told is not None
    ((index, length),) = told
    assert index == which
    assert length == pytest.approx(wall.length_mm, abs=1)


def test_a_room_truly_out_of_square_blames_no_length() -> None:
    # none of its corners is square (drawn by hand), and all that can be taped is exact
    assert as_turned(5, taped(FIVE, braces(5)), 5) == ()


def test_a_wall_longer_than_all_others_cannot_be() -> None:
    (worst, *_) = impossible(4, walls([9000, 2000, 3000, 2500]))
    assert (worst.index, worst.way, worst.allowed_mm, worst.by_mm) == (0, (3, 2, 1), 7500, 1500)


def test_a_diagonal_longer_than_two_walls_cannot_be() -> None:
    seen = [*walls([3000, 4000, 3000, 4000]), Distance(0, 2, 7300, 10)]
    (worst,) = impossible(4, seen)
    assert (worst.index, sorted(worst.way), worst.by_mm) in [
        (4, [0, 1], 300),
        (4, [2, 3], 300),
    ]


def test_a_little_over_is_the_tape() -> None:
    # along a straight wall in two parts: 10 mm over with errors of 5, 5 and 10 mm
    seen = [*walls([3000, 2000, 4000, 5000, 4000]), Distance(0, 2, 5010, 10)]
    assert impossible(5, seen) == ()


def residuals_of(standardised: list[float], alike: list[list[float]]) -> tuple[Adjusted, list]:  # type: ignore[type-arg]
    """What an adjustment says of lengths, by their standardised residuals and correlations."""
    count = len(standardised)
    found = Adjusted(
        corners=(),
        residuals=tuple(10 * each for each in standardised),
        redundancy=(0.5,) * count,
        standardised=tuple(standardised),
        used=(True,) * count,
        alike=np.array(alike),
        errors_mm=(),
        free=count,
    )
    return found, [Distance(i, i + 1, 1000, 5) for i in range(count)]


def test_what_one_error_explains() -> None:
    # by hand: with 10 on the first and correlations of 0.6 the others show 6 of it; less that,
    # 0.5 and -0.4 are left, under 3 x sqrt(1 - 0.36) = 2.4 (the limit is 3 standard errors, as in
    # Baarda's data snooping)
    found, seen = residuals_of([10, 6.5, 5.6], [[1, 0.6, 0.6], [0.6, 1, 0.36], [0.6, 0.36, 1]])
    told = disagreement(found, seen)
    assert told is not None
    assert told.suspects == (0,)
    # 100 mm over a share of one half
    assert told.by_mm == pytest.approx(200)
    assert told.standardised == 10


def test_a_little_under_and_over_what_is_left() -> None:
    # 6 + 2.4 is the limit exactly by hand: 2.3 above passes, 2.5 does not
    for left, suspects in ((2.3, (0,)), (-2.3, (0,)), (2.5, (0,)), (-2.5, (0,))):
        found, seen = residuals_of([10, 6 + left], [[1, 0.6], [0.6, 1]])
        told = disagreement(found, seen)
        assert told is not None
        assert told.suspects == suspects
    # at 2.5 no one error explains all: the worst is named, and what cannot be told from it
    found, seen = residuals_of([10, 8.5, 10], [[1, 0.6, 0.9999], [0.6, 1, 0.6], [0.9999, 0.6, 1]])
    told = disagreement(found, seen)
    assert told is not None
    assert told.suspects == (0, 2)


def test_nothing_over_three_standard_errors_is_no_disagreement() -> None:
    found, seen = residuals_of([3, -3], [[1, 0], [0, 1]])
    assert disagreement(found, seen) is None
    found, seen = residuals_of([0.5, -3.1], [[1, 0], [0, 1]])
    told = disagreement(found, seen)
    assert told is not None
    assert told.suspects == (1,)
    assert told.standardised == pytest.approx(3.1)


def test_two_errors_at_once_name_the_worst() -> None:
    # two lengths that have nothing in common, both far off: neither explains the other
    found, seen = residuals_of([5, -9, 0], [[1, 0, 0], [0, 1, 0], [0, 0, 1]])
    told = disagreement(found, seen)
    assert told is not None
    assert told.suspects == (1,)
    assert told.by_mm == pytest.approx(180)


def test_a_length_that_nothing_touches_is_never_blamed() -> None:
    # the last length has no residual at all
    found, seen = residuals_of([5, 5, 0], [[1, 1, 0], [1, 1, 0], [0, 0, 0]])
    told = disagreement(found, seen)
    assert told is not None
    assert told.suspects == (0, 1)


def test_a_walk_that_ends_where_it_began() -> None:
    # north 3, east 4, and back 5 along bearing 180 + atan2(4, 3)
    back = 180 + math.degrees(math.atan2(4, 3))
    found = closing([(0, 3), (90, 4), (back, 5)])
    assert found.linear == pytest.approx(0, abs=1e-12)
    assert math.isinf(closing([]).one_in)
    # 300 out along 90 and 298 back: 2 over 598 walked
    found = closing([(90, 300), (270, 298)])
    assert (found.north, found.east) == pytest.approx((0, 2))
    assert found.one_in == pytest.approx(299)


def test_the_shortest_of_several_ways_counts() -> None:
    # from 0 to 2 by 1: 5000, by 3: 4400; a diagonal of 5000 is 600 over the shorter way
    seen = [*walls([2000, 3000, 2200, 2200]), Distance(0, 2, 5000, 10)]
    by_index = {each.index: each for each in impossible(4, seen)}
    assert by_index[4].allowed_mm == 4400
    assert by_index[4].by_mm == 600
    assert sorted(by_index[4].way) == [2, 3]


def test_the_worst_comes_first() -> None:
    # two triangles apart: 1000 over in the first, 2000 over in the second
    seen = [
        *(Distance(a, b, length, 5) for a, b, length in ((0, 1, 3000), (1, 2, 1000), (0, 2, 1000))),
        *(Distance(a, b, length, 5) for a, b, length in ((3, 4, 4000), (4, 5, 1000), (3, 5, 1000))),
    ]
    assert [(each.index, each.by_mm) for each in impossible(6, seen)] == [(3, 2000), (0, 1000)]


def test_errors_of_all_lengths_explain_a_little() -> None:
    # three lengths with errors of 10: 3 x 10 x sqrt 3 = 51.96 mm may be over
    for over, count in ((51, 0), (53, 1)):
        seen = [Distance(0, 1, 2000 + over, 10), Distance(1, 2, 1000, 10), Distance(0, 2, 1000, 10)]
        assert len(impossible(3, seen)) == count


@pytest.mark.parametrize("sign", [1, -1])
def test_two_lengths_that_each_explain_the_other_are_both_suspect(sign: int) -> None:
    # by hand, the limit is 3 x sqrt(1 - 0.81) = 1.31. Set aside 10, and 9.5 - 9 leaves 0.5; set
    # aside 9.5, and 10 - 8.55 leaves 1.45. With 9.8 that is 0.8 and 1.18: either may be wrong
    alike = [[1, sign * 0.9], [sign * 0.9, 1]]
    for other, suspects in ((9.5, (0,)), (9.8, (0, 1))):
        found, seen = residuals_of([10, sign * other], alike)
        told = disagreement(found, seen)
        assert told is not None
        assert told.suspects == suspects


@pytest.mark.parametrize("seed", range(6))
def test_shortest_ways_over_other_lengths_are_those_of_another_program(seed: int) -> None:
    # six corners, ten lengths between them, each pair once; errors of a millimetre explain little
    chance = random.Random(seed)
    pairs = chance.sample([(a, b) for a in range(6) for b in range(a)], 10)
    seen = [Distance(a, b, float(chance.randrange(500, 5000)), 1.0) for a, b in pairs]
    found = {fault.index: fault for fault in impossible(6, seen)}
    for number, one in enumerate(seen):
        graph = nx.Graph()
        graph.add_nodes_from(range(6))
        for other in seen[:number] + seen[number + 1 :]:
            graph.add_edge(other.start, other.end, weight=other.length_mm)
        if not nx.has_path(graph, one.start, one.end):
            assert number not in found
            continue
        allowed = nx.shortest_path_length(graph, one.start, one.end, weight="weight")
        path = nx.shortest_path(graph, one.start, one.end, weight="weight")
        slack = TOO_FAR_ERRORS * math.sqrt(len(path))
        assert (number in found) is (one.length_mm > allowed + slack)
        if number in found:
            assert found[number].allowed_mm == allowed
            assert len(found[number].way) == len(path) - 1
    assert [f.by_mm for f in impossible(6, seen)] == sorted(f.by_mm for f in found.values())[::-1]
