"""Walks round a room: closure and least squares against published surveys, laws on made-up ones."""

import math
from itertools import combinations

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from app.formulas.survey import Distance, Observation, Turn, adjust, turn_deg
from app.formulas.survey_checks import closing, disagreement, impossible
from app.formulas.survey_heights import folded, tilted

Point = tuple[float, float]


def dms(degrees: float, minutes: float, seconds: float = 0) -> float:
    return degrees + minutes / 60 + seconds / 3600


def walls(lengths: list[float], error: float = 5) -> list[Observation]:
    count = len(lengths)
    return [Distance(i, (i + 1) % count, each, error) for i, each in enumerate(lengths)]


def words(turns: list[float]) -> list[Observation]:
    count = len(turns)
    return [Turn((i - 1) % count, i, (i + 1) % count, turn, 3) for i, turn in enumerate(turns)]


def taped(corners: list[Point], diagonals: list[tuple[int, int]]) -> list[Observation]:
    """Exact lengths of all walls and some diagonals, with the words of the nearest quarter turn."""
    count = len(corners)
    turns = [turn_deg(corners[i - 1], corners[i], corners[(i + 1) % count]) for i in range(count)]
    sides = [math.dist(corners[i], corners[(i + 1) % count]) for i in range(count)]
    return [
        *walls(sides),
        *words([90.0 * round(turn / 90) for turn in turns]),
        *(Distance(a, b, math.dist(corners[a], corners[b]), 10) for a, b in diagonals),
    ]


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


# Zaki, El Kady and Ahmed, A new treatment for the adjustment of trilateration networks, XVIIth
# ISPRS Congress 1992, part B3: the sides and diagonals of a braced quadrilateral in metres, in
# their order AB, AC, AD, BC, BD, CD. They adjust by the one condition that the four points lie
# in a plane.
BRACED = (1341.785, 2775.364, 2167.437, 1937.887, 2173.715, 1511.014)
PAIRS = ((0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3))


def flatness(sides: np.ndarray) -> float:
    """The condition of the paper: 144 times the square of the volume on the six sides is zero."""
    a, b, c, d, e, f = sides**2
    return float(
        a * f * (-a + b + c + d + e - f)
        + b * e * (a - b + c + d - e + f)
        + c * d * (a + b - c - d + e + f)
        - a * b * d
        - a * c * e
        - b * c * f
        - d * e * f
    )


def by_condition(sides: np.ndarray) -> np.ndarray:
    """Adjust six equally exact sides by that condition, improved until it holds."""
    scaled = sides / 1000
    best = scaled.copy()
    for _ in range(20):
        slope = np.array(
            [(flatness(best + step) - flatness(best - step)) / 2e-6 for step in np.eye(6) * 1e-6]
        )
        gap = flatness(best) + slope @ (scaled - best)
        best = scaled - slope * gap / (slope @ slope)
    return best * 1000


def test_a_braced_quadrilateral_is_adjusted_as_by_its_published_condition() -> None:
    expected = by_condition(np.array(BRACED))
    assert flatness(expected / 1000) == pytest.approx(0, abs=1e-9)
    seen = [Distance(a, b, side, 0.01) for (a, b), side in zip(PAIRS, BRACED, strict=True)]
    found = adjust(4, seen, [(0, 0), (1300, 0), (2100, 1700), (700, 2000)])
    fitted = [math.dist(found.corners[a], found.corners[b]) for a, b in PAIRS]
    assert fitted == pytest.approx(list(expected), abs=1e-4)
    assert found.free == 1
    # with one condition all standardised residuals are alike, and the shares come to it
    assert sum(found.redundancy) == pytest.approx(1, abs=1e-6)
    sizes = [
        abs(each) for each, share in zip(found.standardised, found.redundancy, strict=True) if share
    ]
    assert max(sizes) == pytest.approx(min(sizes), rel=1e-3)
    # the four points miss a plane by so much that one side alone would be 44 mm off: worked by
    # laying the triangles ABC and ABD side by side, CD comes to 1510.970
    assert found.off(5) == pytest.approx(-0.044, abs=0.001)


def test_a_rectangle_of_right_words_is_one() -> None:
    found = adjust(4, [*walls([5000, 4000, 5000, 4000]), *words([90] * 4)])
    assert [c for corner in found.corners for c in corner] == pytest.approx(
        [0, 0, 5000, 0, 5000, 4000, 0, 4000], abs=0.01
    )
    assert all(found.used)


def test_words_give_way_to_diagonals() -> None:
    # a triangle of 3, 4 and 5 has turns of 90, 180 - 36.87 and 180 - 53.13 degrees, whatever
    # the words say (Pythagoras)
    found = adjust(3, [*walls([3000, 4000, 5000]), *words([90, 90, 90])])
    assert [c for corner in found.corners for c in corner] == pytest.approx(
        [0, 0, 3000, 0, 3000, 4000], abs=0.01
    )
    assert found.used == (True, True, True, False, False, False)


def test_a_square_pushed_aside_keeps_its_corners_as_taped() -> None:
    # a rhomb of 4 m with one corner of 80 degrees: diagonals 8 sin 40 and 8 cos 40 m
    long, short = 8000 * math.cos(math.radians(40)), 8000 * math.sin(math.radians(40))
    seen = [
        *walls([4000] * 4),
        *words([90] * 4),
        Distance(0, 2, long, 10),
        Distance(1, 3, short, 10),
    ]
    found = adjust(4, seen)
    assert turn_deg(*found.corners[:3]) == pytest.approx(80, abs=0.001)
    assert found.residuals[:4] == pytest.approx((0, 0, 0, 0), abs=0.01)


def bent(draw: st.DrawFn, base: list[Point]) -> list[Point]:
    """An outline whose corners are moved by up to 300 mm each."""
    move = st.floats(-300, 300)
    return [(x + draw(move), y + draw(move)) for x, y in base]


SHAPES: list[list[Point]] = [
    [(0, 0), (5000, 0), (5000, 4000), (0, 4000)],
    [(0, 0), (6000, 0), (6000, 3000), (3500, 3000), (3500, 6000), (0, 6000)],
    [(0, 0), (2500, 0), (2500, 1200), (5500, 1200), (5500, 5000), (0, 5000)],
]


@st.composite
def outlines(draw: st.DrawFn) -> list[Point]:
    return bent(draw, draw(st.sampled_from(SHAPES)))


def braces(count: int) -> list[tuple[int, int]]:
    return [(a, b) for a, b in combinations(range(count), 2) if 1 < b - a < count - 1]


@settings(max_examples=60, deadline=None)
@given(outlines())
def test_exact_tapes_give_the_room_back(corners: list[Point]) -> None:
    found = adjust(len(corners), taped(corners, braces(len(corners))))
    for a, b in combinations(range(len(corners)), 2):
        fitted = math.dist(found.corners[a], found.corners[b])
        assert fitted == pytest.approx(math.dist(corners[a], corners[b]), abs=0.01)
    assert found.corners[0] == (0, 0)
    assert found.corners[1][1] == 0


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


# five corners as a room is walked, none quite square; in metres by hand
FIVE: list[Point] = [(0, 0), (5100, 40), (5060, 3000), (3000, 4300), (30, 4200)]
# what a tape in a hand is off by, in mm, drawn once
NOISE = (2, -3, 1, -2, 3, 0, 2, -1, 3, -2)


def off_by(
    corners: list[Point],
    spare: list[tuple[int, int]],
    which: int,
    by: float,
    error: float | None = None,
) -> tuple[list[Observation], int]:
    """Taped lengths with a little noise, one of them wrong; gives its number with them."""
    seen = taped(corners, spare)
    lengths = [i for i, each in enumerate(seen) if isinstance(each, Distance)]
    for n, i in enumerate(lengths):
        each = seen[i]
        assert isinstance(each, Distance)
        wrong = NOISE[n] + (by if n == which else 0)
        seen[i] = Distance(each.start, each.end, each.length_mm + wrong, error or each.error_mm)
    return seen, lengths[which]


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


SQUARE: list[Point] = [(0, 0), (4200, 30), (4180, 5400), (-20, 5380)]


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


def test_fewer_than_three_corners_are_refused() -> None:
    with pytest.raises(ValueError, match="three corners"):
        adjust(2, walls([3000, 3000]))


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
