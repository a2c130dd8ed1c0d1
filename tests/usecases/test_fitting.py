"""An answer found piece by piece: it grows, stays, and goes on where somebody asks again."""

from collections.abc import Iterator
from itertools import pairwise

import pytest

from app.arranging.whatfits import fits, fits_in_turn
from app.budget import Budget
from app.errors import EndingError
from app.model.base import json_of
from app.model.plan import Override, Plan
from app.published.register import published
from app.usecases.fitting import Found
from tests.builders import make_plan, make_room, place


def nothing() -> None:
    """Let a search go on."""


def test_each_part_holds_those_before_it_and_the_last_is_the_whole_answer() -> None:
    plan = make_plan(place("bike", 600, 800), room=make_room(2400, 2200, 2150))
    parts = list(fits_in_turn(plan, budget=Budget(4)))
    whole = fits(plan, budget=Budget(4))
    assert parts[-1] == whole
    assert len(whole.kit) == 4
    assert not whole.to_come
    assert not parts[0].kit
    assert parts[0].mat == whole.mat
    for one, after in pairwise(parts):
        assert after.kit[: len(one.kit)] == one.kit
        assert after.to_come <= one.to_come


def overriding(plan: Plan) -> Plan:
    other = Override(id="layout.backs.most-mm", value=321.0, reason="measured")
    return Plan.model_validate({**json_of(plan), "overrides": [json_of(other)]})


def test_between_two_parts_the_figures_of_the_plan_count_for_nobody_else() -> None:
    usual = published("layout.backs.most-mm")
    assert usual != 321.0
    parts = fits_in_turn(overriding(make_plan(room=make_room(2000, 1400))), budget=Budget(1))
    for _ in parts:
        assert published("layout.backs.most-mm") == usual


def test_who_leaves_ends_it_and_who_comes_back_goes_on_from_there() -> None:
    begun = []

    def parts() -> Iterator[int]:
        begun.append(1)
        yield from range(1, 4)

    found = Found(parts)
    found.seek(nothing, 0.0)
    assert (found.so_far, found.whole) == (1, False)

    def left() -> None:
        raise EndingError("nobody waits any more")

    with pytest.raises(EndingError):
        found.seek(left)
    assert (found.so_far, found.whole) == (1, False)
    found.seek(nothing)
    assert (found.so_far, found.whole) == (3, True)
    found.seek(left)
    assert len(begun) == 1


def test_what_failed_is_never_taken_for_the_whole_answer() -> None:
    tries = []

    def parts() -> Iterator[int]:
        tries.append(1)
        yield 1
        if len(tries) == 1:
            raise ValueError("no luck")
        yield 2

    found = Found(parts)
    with pytest.raises(ValueError, match="no luck"):
        found.seek(nothing)
    assert (found.so_far, found.whole) == (1, False)
    found.seek(nothing)
    assert (found.so_far, found.whole) == (2, True)
