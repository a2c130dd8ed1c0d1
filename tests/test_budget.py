"""The work of a search: steps that are never exceeded, a deadline, an end from outside."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.budget import Budget
from app.errors import EndingError


@given(most=st.integers(0, 50), asked=st.lists(st.integers(0, 20)))
def test_no_more_is_done_than_it_may(most: int, asked: list[int]) -> None:
    budget = Budget(most)
    allowed = [steps for steps in asked if budget.allows(steps)]
    assert budget.spent == sum(allowed) <= most
    # what was refused first is refused for good, the cheap with the dear
    assert allowed == asked[: len(allowed)]
    assert budget.over == (len(allowed) < len(asked))
    assert budget.left == (0 if budget.over else most - budget.spent)


def test_when_the_time_is_up_nothing_more_is_done() -> None:
    assert Budget(10, seconds=3600).allows(10)
    late = Budget(10, seconds=0)
    assert (late.over, late.left, late.allows()) == (True, 0, False)
    assert late.spent == 0


def test_who_looks_ends_it_before_the_work_and_the_work_is_not_counted() -> None:
    asked: list[None] = []

    def look() -> None:
        asked.append(None)
        if len(asked) > 2:
            raise EndingError("Nobody waits for this any more.")

    budget = Budget(100, look)
    assert budget.allows(10)
    assert budget.allows(10)
    with pytest.raises(EndingError):
        budget.allows(10)
    assert budget.spent == 20


def test_what_was_left_out_is_told_once_each_in_order() -> None:
    budget = Budget(0)
    for what in ("the back wall", "a turn", "the back wall"):
        budget.leave_out(what)
    assert budget.left_out == ("the back wall", "a turn")
