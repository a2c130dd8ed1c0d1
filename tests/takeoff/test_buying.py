"""The cheapest whole packs: printed examples, and every choice tried on small cases."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.takeoff.buying import cheapest
from app.takeoff.line import Bought, Offer


def offers(*packs: tuple[float, int | None]) -> list[Offer]:
    return [
        Offer(f"p{i}", f"{size:g}", size, price, False) for i, (size, price) in enumerate(packs)
    ]


def money(bought: tuple[Bought, ...]) -> int:
    return sum(round(pack.count) * (pack.price_minor or 0) for pack in bought)


@pytest.mark.parametrize(
    ("need", "packs", "price", "sizes"),
    [
        # integer purchases worked by hand; exact volume costs 36, best unit price 40, fives 45
        (12, [(1, 4), (5, 15), (8, 20)], 35, {5: 1, 8: 1}),
        (7.1, [(1, 9), (2.5, 18), (5, 30)], 48, {2.5: 1, 5: 1}),
        (11, [(2.5, 18), (5, 30)], 78, {2.5: 1, 5: 2}),
        # a hair more than a tin takes another tin
        (5.001, [(5, 30)], 60, {5: 2}),
        (5, [(5, 30)], 30, {5: 1}),
    ],
)
def test_known_purchases(
    need: float, packs: list[tuple[float, int]], price: int, sizes: dict[float, int]
) -> None:
    bought = cheapest(need, offers(*packs))
    assert money(bought) == price
    assert {pack.size: pack.count for pack in bought} == sizes


def test_without_prices_the_least_is_left_over() -> None:
    bought = cheapest(6, offers((5, None), (2.5, None), (10, None)))
    assert {pack.size: pack.count for pack in bought} == {5: 1, 2.5: 1}


def test_a_need_of_nothing_buys_nothing() -> None:
    assert cheapest(0, offers((5, 1))) == ()


def test_nothing_to_buy_it_in_is_refused() -> None:
    with pytest.raises(ValueError, match="nothing to buy it in"):
        cheapest(1, [])


def test_a_large_need_of_sizes_with_a_common_step_is_counted() -> None:
    # steps of 4.999: 90 of the large hold 899.82 of 900 L, so one of the small besides
    bought = cheapest(900, offers((4.999, 30), (9.998, 55)))
    assert sum(pack.size * pack.count for pack in bought) >= 900
    assert money(bought) == 90 * 55 + 30


@given(
    st.lists(
        st.tuples(st.integers(1, 9), st.integers(0, 40)),
        min_size=1,
        max_size=3,
        unique_by=lambda p: p[0],
    ),
    st.integers(1, 20),
)
def test_no_choice_is_cheaper(packs: list[tuple[int, int]], need: int) -> None:
    best = min(
        sum(n * price for n, (_, price) in zip(counts, packs, strict=True))
        for counts in product(range(need + 1), repeat=len(packs))
        if sum(n * size for n, (size, _) in zip(counts, packs, strict=True)) >= need
    )
    bought = cheapest(need, offers(*packs))
    assert money(bought) == best
    assert sum(pack.size * pack.count for pack in bought) >= need


@pytest.mark.parametrize(
    ("need", "packs", "sizes"),
    [
        # 5,000 and 9,999 have no common step: 900,000 of them are too many to count
        # 90 large ones hold 899.91: one small one more is 4980; 89 and three 4985, 91 5005
        (900, [(5, 30), (9.999, 55)], {9.999: 90, 5: 1}),
        # 180 small ones are as dear as they need to be: 5400, with a large one 5430
        (900, [(5, 30), (9.999, 60)], {5: 180}),
        # 142 packs at one price, whichever: of 6.001 as few as hold it, 140
        (850, [(5, 30), (6.001, 30)], {6.001: 140, 5: 2}),
        # without prices the least is left over
        (900, [(5, None), (9.999, None)], {5: 180}),
        # half of the packs without a price are left out
        (900, [(5, None), (9.999, 60)], {9.999: 91}),
    ],
)
def test_beyond_counting_a_programme_says_what_is_cheapest(
    need: float, packs: list[tuple[float, int | None]], sizes: dict[float, int]
) -> None:
    bought = cheapest(need, offers(*packs))
    assert {pack.size: pack.count for pack in bought} == sizes


def test_the_least_that_is_counted_takes_a_pack() -> None:
    # sizes count to a thousandth of the unit
    (pack,) = cheapest(0.001, offers((5, 1)))
    assert pack.count == 1
    assert cheapest(0.0000001, offers((5, 1))) == ()
    assert [pack.count for pack in cheapest(0.002, offers((0.001, 1)))] == [2]
    with pytest.raises(ValueError, match="a pack holds something"):
        cheapest(1, offers((5, 1), (0.0004, 1)))
