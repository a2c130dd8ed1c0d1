"""The least set that mends a budget, against trying every set there is."""

from __future__ import annotations

from itertools import chain, combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from app.costs.leaving_out import Spare, Wanted, least_set

KEYS = "abcdefg"


@st.composite
def cases(draw: st.DrawFn) -> tuple[list[Spare], list[Wanted], int]:
    keys = KEYS[: draw(st.integers(1, len(KEYS)))]
    spares = [
        Spare(key, key, draw(st.integers(1, 9)), draw(st.integers(0, 3)),
              draw(st.sampled_from([(), (keys[0],)])) if key != keys[0] else ())
        for key in keys
    ]  # fmt: skip
    some = st.frozensets(st.sampled_from(keys), min_size=1, max_size=3)
    ways = st.lists(some, min_size=1, max_size=2)
    wanted = [
        Wanted(f"use {n}", draw(st.integers(1, 4)), tuple(draw(ways)))
        for n in range(draw(st.integers(0, 3)))
    ]  # fmt: skip
    return spares, wanted, draw(st.integers(1, 40))


def rank(some: tuple[Spare, ...], wanted: list[Wanted]) -> tuple[int, int, int]:
    gone = {spare.key for spare in some}
    lost = sum(use.worth for use in wanted if all(way & gone for way in use.ways))
    return len(some), lost + sum(s.worth for s in some), sum(s.minor for s in some)


@settings(max_examples=60)
@given(cases())
def test_no_set_is_smaller_and_none_as_small_is_worth_less(
    case: tuple[list[Spare], list[Wanted], int],
) -> None:
    spares, wanted, over = case
    every = chain.from_iterable(combinations(spares, n) for n in range(1, len(spares) + 1))
    enough = [
        some
        for some in every
        if sum(s.minor for s in some) >= over
        and all({s.key for s in some}.issuperset(one.takes) for one in some)
    ]
    found = least_set(spares, over, wanted)
    assert (found is None) == (not enough)
    if found is not None:
        assert found.least
        assert rank(found.spares, wanted) == min(rank(some, wanted) for some in enough)


def test_what_is_wanted_weighs_and_what_rests_on_it_goes_with_it() -> None:
    rack, bar, rower = (
        Spare("rack", "the rack", 500, 0, ("bar",)),
        Spare("bar", "the bar", 200),
        Spare("rower", "the rower", 650, 1),
    )
    squat = Wanted("squat", 4, (frozenset({"rack", "bar"}),))
    one = least_set([rack, bar, rower], 600, [squat])
    assert one is not None
    assert [spare.key for spare in one.spares] == ["rower"]
    both = least_set([rack, bar], 600, [squat])
    assert both is not None
    assert ({spare.key for spare in both.spares}, both.lost) == ({"rack", "bar"}, ("squat",))


def test_too_many_sets_are_not_all_weighed_and_that_is_said() -> None:
    spares = [Spare(f"thing-{n}", f"thing {n}", 100 + n, n % 5) for n in range(40)]
    found = least_set(spares, 2000)
    assert found is not None
    assert not found.least
    assert found.minor >= 2000
