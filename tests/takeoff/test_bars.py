"""A first plan of bars and what is trimmed off it, by hand: pieces of 7 and 4 from 11 and 15."""

from app.takeoff.bars import Column, Task, cost_of, first_fit, least_by_length, singles, trimmed

TASK = Task((7, 4), (2, 3), (11, 15), (11, 15))


def test_no_plan_costs_less_than_its_length() -> None:
    # 14 + 12 = 26 long; where the short bar costs 12 the long one is cheaper by length
    assert least_by_length(TASK) == 26
    assert least_by_length(Task((7, 4), (2, 3), (11, 15), (12, 15))) == 26
    assert least_by_length(Task((7, 4), (2, 3), (11, 15), (12, 17))) == 29
    # 26 x 12 / 11 = 28.4 by bars of 11 alone, upwards
    assert least_by_length(Task((7, 4), (2, 3), (11,), (12,))) == 29
    assert least_by_length(Task((7, 4), (0, 0), (11,), (12,))) == 1


def test_each_length_alone_as_often_as_it_fits() -> None:
    assert singles(TASK) == [(0, (1, 0)), (0, (0, 2)), (1, (2, 0)), (1, (0, 3))]
    # what is longer than a bar does not come from it
    assert singles(Task((12, 11), (1, 1), (11, 15), (11, 15))) == [
        (0, (0, 1)),
        *((1, (1, 0)), (1, (0, 1))),
    ]


def test_first_fit_takes_the_cheapest_stock() -> None:
    # from 11: 7 + 4 twice and 4: three bars, 33; from 15: 7 + 7 and 4 + 4 + 4: two, 30
    assert first_fit(TASK) == {(1, (2, 0)): 1, (1, (0, 3)): 1}
    dear = Task((7, 4), (2, 3), (11, 15), (11, 20))
    assert first_fit(dear) == {(0, (1, 1)): 2, (0, (0, 1)): 1}
    assert cost_of(dear, first_fit(dear)) == 33
    # the same bar over and over is one column: 5 x (7 + 4), then 20 of 4
    many = Task((7, 4), (5, 25), (11,), (1,))
    assert first_fit(many) == {(0, (1, 1)): 5, (0, (0, 2)): 10}
    # a bar that the longest piece does not come from makes no plan
    assert first_fit(Task((12, 4), (1, 1), (11, 15), (1, 15))) == {(1, (1, 0)): 1, (1, (0, 1)): 1}


def test_what_is_cut_too_much_is_left_out() -> None:
    task = Task((7, 4), (1, 5), (15,), (15,))
    # two bars of 3 give one too many, one of 7 + 7 one too many
    used: dict[Column, int] = {(0, (0, 3)): 2, (0, (2, 0)): 1}
    assert trimmed(task, used) == {(0, (0, 3)): 1, (0, (0, 2)): 1, (0, (1, 0)): 1}
    # a whole bar too many goes, many alike at once
    assert trimmed(Task((7, 4), (0, 6), (15,), (15,)), {(0, (0, 3)): 4}) == {(0, (0, 3)): 2}
    assert trimmed(Task((7, 4), (1, 0), (15,), (15,)), {(0, (1, 1)): 3}) == {(0, (1, 0)): 1}
    # nothing too much, nothing left out
    assert trimmed(task, {(0, (1, 2)): 1, (0, (0, 3)): 1}) == {(0, (1, 2)): 1, (0, (0, 3)): 1}
