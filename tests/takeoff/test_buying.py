"""The cheapest whole packs: printed examples, and every choice tried on small cases."""

from collections.abc import Iterator, Sequence
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.takeoff.buying import cheapest, cheapest_lengths
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
        # for the same money the one large tin, though two small ones leave less over
        (7.2, [(2.5, 22), (5, 36), (10, 58)], 58, {10: 1}),
        (10, [(5, 30), (10, 60)], 60, {10: 1}),
        # the same where an integer programme decides: 1000 of the large leave over what it holds
        (999.9991, [(0.001, 1), (0.5, 300), (1, 600)], 600 * 999 + 600, {1: 1000}),
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
    priced = any(price for _, price in packs)

    def told(counts: Sequence[float]) -> tuple[float, ...]:
        money = sum(n * price for n, (_, price) in zip(counts, packs, strict=True))
        volume = sum(n * size for n, (size, _) in zip(counts, packs, strict=True))
        return (money, sum(counts), volume) if priced else (money, volume, sum(counts))

    best = min(
        told(counts)
        for counts in product(range(need + 1), repeat=len(packs))
        if sum(n * size for n, (size, _) in zip(counts, packs, strict=True)) >= need
    )
    bought = {pack.size: pack.count for pack in cheapest(need, offers(*packs))}
    assert told([bought.get(size, 0) for size, _ in packs]) == best


RINGS = ((10, 12), (25, 27), (50, 50))


@pytest.mark.parametrize(
    ("lengths", "sizes"),
    [
        # two rings of 10 would hold 15 m by their sum alone
        ([15], {25: 1}),
        ([10], {10: 1}),
        ([10.001], {25: 1}),
        # 6 + 4 and 9: two rings of 10 for 24, one of 25 for 27
        ([6, 9, 4], {10: 2}),
        # 15 + 9 share one of 25 for 27; 12 + 27 for a ring each
        ([15, 9], {25: 1}),
        ([15, 9, 9, 9], {50: 1}),
        ([], {}),
        # longer than any ring: whole metres off the drum, the rest from rings
        ([60.2, 6], {1: 61, 10: 1}),
        ([60.2, 50.5], {1: 112}),
    ],
)
def test_lengths_are_never_joined(lengths: list[float], sizes: dict[float, int]) -> None:
    (drum,) = offers((1, 2))
    bought = cheapest_lengths(lengths, offers(*RINGS), drum)
    assert {pack.size: pack.count for pack in bought} == sizes


def test_a_length_that_comes_off_no_ring_is_refused() -> None:
    with pytest.raises(ValueError, match="no ring is as long"):
        cheapest_lengths([50.1], offers(*RINGS))
    with pytest.raises(ValueError, match="nothing to buy it in"):
        cheapest_lengths([1], [])
    with pytest.raises(ValueError, match="holds something"):
        cheapest_lengths([1], offers((0, 5)))


def parted(lengths: list[int]) -> Iterator[list[list[int]]]:
    """Every way to part lengths among rings, each once."""
    if not lengths:
        yield []
        return
    first, rest = lengths[0], lengths[1:]
    for parts in parted(rest):
        yield [[first], *parts]
        for i, part in enumerate(parts):
            yield [*parts[:i], [first, *part], *parts[i + 1 :]]


@given(st.lists(st.integers(1, 50), min_size=1, max_size=5))
def test_no_way_to_share_rings_is_cheaper(lengths: list[int]) -> None:
    best = min(
        sum(min(price for size, price in RINGS if size >= sum(part)) for part in parts)
        for parts in parted(lengths)
        if all(sum(part) <= 50 for part in parts)
    )
    assert money(cheapest_lengths(lengths, offers(*RINGS))) == best


def test_of_many_lengths_each_still_has_its_place() -> None:
    bought = cheapest_lengths([7.0] * 12, offers(*RINGS))
    # 7 a ring of 50 and 3 one of 25: nine and then three at a time
    assert money(bought) == 50 + 24 + 27
