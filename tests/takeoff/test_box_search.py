"""A place for each piece in one box: sets whose box is known to be filled, each with its limit."""

from itertools import combinations

import pytest

from app.takeoff.box_search import BoxAnswer, place_all

# Duijvestijn, Simple perfect squared square of lowest order, J. Combin. Theory B 25, 1978
# (sequence A014530): 21 different squares fill a square of 112.
SQUARED = (50, 35, 27, 8, 19, 15, 17, 11, 6, 24, 29, 25, 9, 2, 7, 18, 16, 42, 4, 37, 33)

# Hopper and Turton, EJOR 128, 2001, category C1: both fill 20 x 20 without a rest.
FILLED_1 = (
    *((2, 12), (7, 12), (8, 6), (3, 6), (3, 5), (5, 5), (3, 12), (3, 7)),
    *((5, 7), (2, 6), (3, 2), (4, 2), (3, 4), (4, 4), (9, 2), (11, 2)),
)
FILLED_2 = (
    *((4, 1), (4, 5), (9, 4), (3, 5), (3, 9), (1, 4), (5, 3), (4, 1), (5, 5)),
    *((7, 2), (9, 3), (3, 13), (2, 8), (15, 4), (5, 4), (10, 6), (7, 2)),
)

# Korf, Optimal rectangle packing, 2003 (sequence A081287): smallest boxes of the squares 1 to n.
LEAST_BOXES = {
    2: (2, 3),
    3: (3, 5),
    4: (5, 7),
    5: (5, 12),
    6: (9, 11),
    7: (11, 14),
    8: (14, 15),
    9: (15, 20),
    10: (15, 27),
    11: (19, 27),
    13: (22, 38),
    14: (23, 45),
    15: (23, 55),
}


def lies_well(answer: BoxAnswer, pieces: list[tuple[int, int]], width: int, height: int) -> None:
    assert answer.places is not None
    assert [p.number for p in answer.places] == list(range(len(pieces)))
    for place in answer.places:
        assert sorted((place.width, place.height)) == sorted(pieces[place.number])
        assert 0 <= place.x <= width - place.width
        assert 0 <= place.y <= height - place.height
    for a, b in combinations(answer.places, 2):
        assert (
            a.x + a.width <= b.x
            or b.x + b.width <= a.x
            or a.y + a.height <= b.y
            or b.y + b.height <= a.y
        )


@pytest.mark.parametrize(
    ("pieces", "side", "turns", "limit"),
    [
        ([(s, s) for s in SQUARED], 112, False, 600_000),
        (list(FILLED_1), 20, True, 1_500_000),
        (list(FILLED_2), 20, False, 300_000),
    ],
)
def test_sets_that_fill_their_square(
    pieces: list[tuple[int, int]], side: int, turns: bool, limit: int
) -> None:
    assert sum(w * h for w, h in pieces) == side * side
    lies_well(place_all(pieces, side, side, turns, limit), pieces, side, side)


@pytest.mark.parametrize("n", LEAST_BOXES)
def test_consecutive_squares_in_their_least_box(n: int) -> None:
    pieces = [(i, i) for i in range(1, n + 1)]
    lies_well(place_all(pieces, *LEAST_BOXES[n], limit=150_000), pieces, *LEAST_BOXES[n])


@pytest.mark.parametrize("n", [2, 3, 4, 5, 6])
def test_no_smaller_box_holds_them(n: int) -> None:
    pieces = [(i, i) for i in range(1, n + 1)]
    least = LEAST_BOXES[n][0] * LEAST_BOXES[n][1]
    squares = sum(i * i for i in range(1, n + 1))
    for width in range(n, least // n + 1):
        for height in range(max(width, -(-squares // width)), (least - 1) // width + 1):
            answer = place_all(pieces, width, height)
            assert (answer.places, answer.certain) == (None, True), (width, height)


def test_what_was_not_settled_is_not_called_impossible() -> None:
    pieces = [(i, i) for i in range(1, 19)]
    # Korf: 31 x 69 holds the squares 1 to 18; a hundred steps do not find it
    answer = place_all(pieces, 31, 69, limit=100)
    assert (answer.places, answer.certain) == (None, False)


def test_millimetres_are_as_good_as_units() -> None:
    pieces = [(500, 300), (500, 300), (200, 600), (200, 600)]
    # by hand: 500 + 200 + 200 wide, 300 + 300 high
    lies_well(place_all(pieces, 900, 600, turns=False), pieces, 900, 600)
    assert place_all(pieces, 900, 599).certain


def test_sizes_are_positive() -> None:
    with pytest.raises(ValueError, match="larger than nothing"):
        place_all([(0, 3)], 5, 5)
