"""Walks round a room: closure and least squares against published surveys, laws on made-up ones."""

import math
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from numpy.typing import NDArray

from app.formulas.survey import Distance, Observation, Turn, adjust, turn_deg, walked
from tests.formulas.walks import FIVE, Point, braces, outlines, taped, walls, words

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


@settings(max_examples=60, deadline=None)
@given(outlines())
def test_exact_tapes_give_the_room_back(corners: list[Point]) -> None:
    found = adjust(len(corners), taped(corners, braces(len(corners))))
    for a, b in combinations(range(len(corners)), 2):
        fitted = math.dist(found.corners[a], found.corners[b])
        assert fitted == pytest.approx(math.dist(corners[a], corners[b]), abs=0.01)
    assert found.corners[0] == (0, 0)
    assert found.corners[1][1] == 0


def test_fewer_than_three_corners_are_refused() -> None:
    with pytest.raises(ValueError, match="three corners"):
        adjust(2, walls([3000, 3000]))


def test_rough_corners_of_a_walk_that_closes() -> None:
    # 5 x 4 m with four quarter turns, clockwise as drawn (by hand)
    rough = walked(4, [*walls([5000, 4000, 5000, 4000]), *words([90] * 4)])
    assert [c for corner in rough for c in corner] == pytest.approx(
        [0, 0, 5000, 0, 5000, 4000, 0, 4000], abs=1e-6
    )


def test_rough_corners_of_a_walk_the_other_way_round() -> None:
    rough = walked(4, [*walls([5000, 4000, 5000, 4000]), *words([-90] * 4)])
    assert [c for corner in rough for c in corner] == pytest.approx(
        [0, 0, 5000, 0, 5000, -4000, 0, -4000], abs=1e-6
    )


def test_what_turns_lack_goes_to_the_corners_that_turn() -> None:
    # a triangle of equal sides said to turn by 110 degrees three times: 10 lack at each corner;
    # a fourth corner in the middle of the second side does not turn and gets none
    rough = walked(4, [*walls([2000, 1000, 1000, 2000]), *words([110, 110, 0, 110])])
    height = 2000 * math.sin(math.radians(60))
    assert [c for corner in rough for c in corner] == pytest.approx(
        [0, 0, 2000, 0, 1500, height / 2, 1000, height], abs=1e-6
    )


@pytest.mark.parametrize("known", [(0,), (1,), (2,), (3,), (0, 1), (1, 3), (0, 1, 2)])
def test_what_some_turns_lack_goes_to_the_corners_of_which_nothing_is_known(
    known: tuple[int, ...],
) -> None:
    # of a rectangle of 5 x 4 m some quarter turns are known; the others must be quarters too
    seen = [*walls([5000, 4000, 5000, 4000]), *(words([90] * 4)[corner] for corner in known)]
    corners = [0, 0, 5000, 0, 5000, 4000, 0, 4000]
    assert [c for corner in walked(4, seen) for c in corner] == pytest.approx(corners, abs=1e-6)
    found = adjust(4, seen)
    assert [c for corner in found.corners for c in corner] == pytest.approx(corners, abs=0.01)
    # no length and no turn has to give way
    assert found.residuals == pytest.approx([0] * len(seen), abs=1e-6)


def test_without_words_the_turn_is_shared_by_all() -> None:
    # four sides of 1 m and nothing else: a square
    rough = walked(4, walls([1000] * 4))
    assert [c for corner in rough for c in corner] == pytest.approx(
        [0, 0, 1000, 0, 1000, 1000, 0, 1000], abs=1e-6
    )


def test_the_misclosure_is_shared_by_the_compass_rule() -> None:
    # 5.1, 4, 5 and 4 m with right angles end 100 mm off the start along x; by the lengths walked
    # (18.1 m) the corners move by 100 x 5.1 / 18.1 = 28.2, 50.3 and 77.9 mm (compass rule:
    # Ghilani and Wolf, Elementary Surveying)
    rough = walked(4, [*walls([5100, 4000, 5000, 4000]), *words([90] * 4)])
    by_hand = [0, 0, 5100 - 28.1768, 0, 5100 - 50.2762, 4000, 100 - 77.9006, 4000]
    assert [c for corner in rough for c in corner] == pytest.approx(by_hand, abs=0.0005)


def test_nothing_walked_is_one_point() -> None:
    assert walked(3, words([120] * 3)) == ((0, 0), (0, 0), (0, 0))


@pytest.mark.parametrize(
    ("before", "at", "after", "turn"),
    [
        # by hand, y down: to the right along x, then down is clockwise
        ((0, 0), (1, 0), (1, 1), 90),
        ((0, 0), (1, 0), (1, -1), -90),
        ((0, 0), (1, 0), (2, 0), 0),
        ((3, 5), (4, 6), (6, 6), -45),
        ((3, 5), (4, 6), (4, 8), 45),
        ((0, 0), (1, 0), (0, 1), 135),
    ],
)
def test_turns(before: Point, at: Point, after: Point, turn: float) -> None:
    assert turn_deg(before, at, after) == pytest.approx(turn)


# an outline of five taped corners and its diagonals, each length a little off (mm, by hand)
TAPED: list[Observation] = [
    *(
        Distance(a, b, math.dist(FIVE[a], FIVE[b]) + off, 5 + 2 * (a + b))
        for (a, b), off in zip(
            [(0, 1), (1, 2), (2, 3), (3, 4), (4, 0), *braces(5)],
            (2, -3, 1, -2, 3, 4, 2, -1, 3, -2),
            strict=True,
        )
    ),
    Turn(0, 1, 2, turn_deg(*FIVE[:3]) + 0.3, 0.5, word=False),
    Turn(4, 0, 1, turn_deg(FIVE[4], *FIVE[:2]) - 0.2, 0.4, word=False),
]


def by_differences() -> tuple[NDArray[np.float64], ...]:
    """The same by slopes from differences: corners, residuals, their cofactors, the corners'."""

    def computed(at: NDArray[np.float64]) -> NDArray[np.float64]:
        xy = [(float(x), float(y)) for x, y in at.reshape(-1, 2)]
        return np.array(
            [
                math.dist(xy[o.start], xy[o.end])
                if isinstance(o, Distance)
                else turn_deg(xy[o.before], xy[o.at], xy[o.after])
                for o in TAPED
            ]
        )

    observed = np.array([o.length_mm if isinstance(o, Distance) else o.turn_deg for o in TAPED])
    errors = np.array([o.error_mm if isinstance(o, Distance) else o.error_deg for o in TAPED])
    places = np.array(FIVE, dtype=float).ravel()
    places[3] = 0.0
    free = [2, *range(4, 10)]
    for _ in range(30):
        slopes = np.stack(
            [(computed(places + s) - computed(places - s)) / 2 for s in np.eye(10)[free]], 1
        )
        weighed = slopes / errors[:, None]
        misfit = (observed - computed(places)) / errors
        places[free] += np.linalg.lstsq(weighed, misfit, rcond=None)[0]
    inverse = np.linalg.inv(weighed.T @ weighed)
    cofactor = np.eye(len(TAPED)) - weighed @ inverse @ weighed.T
    spread = np.zeros(10)
    spread[free] = np.diag(inverse)
    return places, computed(places) - observed, cofactor, spread


def test_lengths_and_angles_as_by_another_way() -> None:
    # variation of coordinates with slopes by differences; redundancy numbers are the diagonal of
    # the residuals' cofactors, standardised residuals v / sqrt(q) (Ghilani and Wolf, Adjustment
    # Computations, chapters 16 and 21)
    corners, residuals, cofactor, spread = by_differences()
    errors = np.array([o.error_mm if isinstance(o, Distance) else o.error_deg for o in TAPED])
    share = np.diag(cofactor)
    fitted = adjust(5, TAPED)
    assert np.ravel(fitted.corners) == pytest.approx(corners, abs=0.01)
    assert fitted.residuals == pytest.approx(list(residuals), abs=0.01)
    assert fitted.redundancy == pytest.approx(list(share), abs=1e-4)
    assert fitted.standardised == pytest.approx(list(residuals / errors / np.sqrt(share)), abs=1e-3)
    alike = cofactor / np.sqrt(np.outer(share, share))
    assert fitted.alike == pytest.approx(alike, abs=1e-3)
    assert fitted.errors_mm == pytest.approx(
        list(np.sqrt(spread.reshape(-1, 2).sum(axis=1))), abs=0.01
    )
    # 10 lengths and 2 angles for 7 unknowns
    assert fitted.free == 5
    assert all(fitted.used)
    off = fitted.off(3)
    assert off is not None
    assert off == pytest.approx(residuals[3] / share[3], abs=0.01)


def test_from_a_bad_start_it_comes_to_the_same() -> None:
    fitted = adjust(5, TAPED)
    start = [(100, 200), (3000, 900), (6000, 2000), (2500, 6000), (-900, 3000)]
    assert np.ravel(adjust(5, TAPED, start).corners) == pytest.approx(
        np.ravel(fitted.corners), abs=0.05
    )


def test_an_angle_that_is_no_word_never_yields() -> None:
    # a triangle of 3, 4 and 5 m with a measured 80 degrees at its right angle (Pythagoras)
    seen = [*walls([3000, 4000, 5000]), Turn(0, 1, 2, 80, 1, word=False)]
    rough = [(0, 0), (3000, 0), (3000, 4000)]
    fitted = adjust(3, seen, rough)
    assert fitted.used == (True,) * 4
    # the measured turn pulls the corner off 90 degrees
    assert 80 < turn_deg(*fitted.corners) < 89.99
    assert adjust(3, [*seen[:3], Turn(0, 1, 2, 80, 1)], rough).used == (True, True, True, False)


def test_a_word_that_nothing_else_knows_is_used() -> None:
    # four walls leave the corners open: the words are needed; nothing checks the last of them
    fitted = adjust(4, [*walls([3000, 4000, 3000, 4000]), *words([90] * 4)])
    assert fitted.used == (True,) * 8
    assert fitted.free == 3


def test_a_rough_diagonal_does_not_put_a_word_aside() -> None:
    # with errors of 5 m the lengths know the corner far worse than the word does
    seen: list[Observation] = [
        *walls([3000, 4000, 3000, 4000], error=3000),
        *words([90] * 4),
        Distance(0, 2, 5000, 5000),
    ]
    assert adjust(4, seen).used == (True,) * 9


def test_what_nothing_checks_is_off_by_nothing_known() -> None:
    # a triangle of three lengths: as many as unknowns
    fitted = adjust(3, walls([3000, 4000, 5000]))
    assert fitted.free == 0
    assert [fitted.off(i) for i in range(3)] == [None] * 3
    assert fitted.standardised == (0, 0, 0)


def test_too_little_is_refused() -> None:
    with pytest.raises(ValueError, match="fewer observations"):
        adjust(4, walls([3000, 4000, 3000, 4000]))
    assert adjust(3, walls([3000, 4000, 5000])).free == 0


@pytest.mark.parametrize(("error_mm", "yields"), [(44, True), (45, False)])
def test_a_word_yields_to_lengths_that_know_its_corner_twice_as_well(
    error_mm: float, yields: bool
) -> None:
    # 3, 4 and 5 m: by the law of cosines the right angle is off by (c dc - a da - b db) / ab, with
    # lengths as good as each other by their error x sqrt 50 / 12 m: 1.486 degrees for 44 mm and
    # 1.519 for 45. Half of the 3 degrees of a word are 1.5
    seen = [*walls([3000, 4000, 5000], error=error_mm), Turn(0, 1, 2, 90, 3)]
    fitted = adjust(3, seen, [(0, 0), (3000, 0), (3000, 4000)])
    assert fitted.used == (True, True, True, not yields)


@pytest.mark.parametrize(("share", "checked"), [(0.019, False), (0.021, True), (0.029, True)])
def test_what_shows_two_hundredths_of_itself_is_checked(share: float, checked: bool) -> None:
    # a wall taped twice in a triangle of which nothing else is to spare: of two measures of one
    # length the redundancy of each is its own variance over that of both (Baarda)
    twice = Distance(0, 1, 3004, 10 * math.sqrt((1 - share) / share))
    fitted = adjust(3, [*walls([3000, 4000, 5000], error=10), twice])
    assert fitted.redundancy[0] == pytest.approx(share if checked else 0, rel=1e-3)
    # the other is off by what it says more than the first
    assert fitted.off(3) == pytest.approx(-4, abs=0.01)
    if checked:
        assert fitted.off(0) == pytest.approx(4, abs=0.01)
    else:
        assert fitted.off(0) is None
