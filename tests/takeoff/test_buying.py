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


def test_a_large_need_is_solved_as_a_programme() -> None:
    # 200,001 ml steps of 1 ml would be counted; sizes without a common step go to the solver:
    # 900 L from 4.999 L at 30 and 9.998 L at 55: 90 of the large hold 899.82, so 91 less one
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
