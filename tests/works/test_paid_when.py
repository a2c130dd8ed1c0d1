"""The works as the purse pays for them: what comes later, when training begins, order by order."""

from collections.abc import Iterator
from datetime import date

import pytest

from app.drawing.primitives import Group, Item, Text
from app.drawing.sheet import Sheet
from app.drawing.sheets.cover import known_figures
from app.drawing.works_sheet import works_sheet
from app.model.base import json_of
from app.model.plan import Plan
from app.model.works import day_words
from app.works.goal import FIRST_TRAINING, IN_TIME, goal_name
from app.works.months import month_words
from app.works.paid_when import PaidWhen, paid_when
from app.works.phases import PART
from app.works.room_ready import RoomReady
from tests.works.test_room_ready import bought, with_purse

PLENTY, SLOW = (1_000_000, 0), (60_000, 20_000)


def paid(put_by: int, a_month: int) -> tuple[PaidWhen, RoomReady]:
    ready, months = with_purse(put_by, a_month)
    return paid_when(ready, months), ready


def test_money_that_is_there_in_time_leaves_the_dates_as_they_are() -> None:
    answer, ready = paid(*PLENTY)
    assert not answer.is_late
    assert list(answer.sentences()) == [
        "Your money is there when the works ask for it: the dates here hold."
    ]
    assert not any(answer.of_order(order) for order in ready.works.orders)


def test_what_the_purse_reaches_later_is_named_with_its_month() -> None:
    answer, ready = paid(*SLOW)
    months = with_purse(*SLOW)[1]
    when, wanted = bought(months), ready.wanted_from()
    late = {key: month for key, month in when.items() if month > wanted.get(key, month)}
    assert f"{PART}floor" in late
    assert "piece.rower-1" in late
    assert {one.key: one.month for one in answer.later} == late
    text = " ".join(answer.sentences())
    # beside what else is bought in that month
    when_floor = f"in {month_words(late[f'{PART}floor'])}"
    assert any("floor covering" in one and when_floor in one for one in text.split("; "))
    assert answer.ready == months.first_training
    assert answer.ready > answer.in_time == ready.first_training


def test_the_first_training_is_when_something_wanted_can_be_done() -> None:
    answer, _ = paid(*SLOW)
    months = with_purse(*SLOW)[1]
    first = next(month for month in months.months if month.new)
    assert answer.trains
    if isinstance(answer.trains_from, date):
        # bought before the room is ready: trained on the day it is
        assert answer.trains_from == months.first_training
    else:
        assert answer.trains_from == first.month
    assert answer.goal.startswith("First training with your money: ")


def test_each_order_says_when_the_purse_reaches_it() -> None:
    answer, ready = paid(*SLOW)
    when = bought(with_purse(*SLOW)[1])
    (mats,) = [one for one in ready.works.orders if any(k.startswith("floor.") for k in one.lines)]
    assert month_words(when[f"{PART}floor"]) in answer.of_order(mats)
    visits = [one for one in ready.works.orders if one.is_visit]
    assert visits
    assert not any(answer.of_order(one) for one in visits)


@pytest.mark.long
def test_what_the_purse_never_reaches_is_said_and_not_given_a_month() -> None:
    answer, ready = paid(60_000, 3_000)
    never = {one.key for one in answer.later if one.month is None}
    assert "piece.rower-1" in never
    text = " ".join(answer.sentences())
    assert "Not reached in the months looked at: " in text
    (rower,) = [one for one in ready.works.orders if "piece.rower-1" in one.lines]
    assert answer.of_order(rower) == ("Your money does not reach it in the months looked at.")


def test_cover_and_works_sheet_tell_the_day_of_the_money_beside_that_of_the_works() -> None:
    answer, ready = paid(*SLOW)
    scene, in_time = ready.works.scene, day_words(ready.first_training)
    known = dict(known_figures(scene.plan, None, ready.works, answer))
    assert known == {FIRST_TRAINING: answer.goal_when, IN_TIME: in_time}
    told = words_of(works_sheet(ready.works, paid=answer))
    assert f"{IN_TIME.capitalize()}: {in_time}" in told
    assert f"{answer.goal}." in told
    (mats,) = [one for one in ready.works.orders if any(k.startswith("floor.") for k in one.lines)]
    assert f"{mats.name}" in told
    assert answer.of_order(mats) in told
    plenty, there = paid(*PLENTY)
    assert dict(known_figures(there.works.scene.plan, None, there.works, plenty)) == {
        FIRST_TRAINING: day_words(there.first_training)
    }
    assert f"First training: {day_words(there.first_training)}" in words_of(
        works_sheet(there.works, paid=plenty)
    )


def test_where_nobody_tells_what_the_purse_does_no_day_is_promised() -> None:
    _, ready = paid(*SLOW)
    plan = ready.works.scene.plan
    without = Plan.model_validate({**json_of(plan), "phasing": {}})
    assert (goal_name(without), goal_name(plan)) == (FIRST_TRAINING, IN_TIME)
    assert list(dict(known_figures(plan, None, ready.works))) == [IN_TIME]
    assert IN_TIME.capitalize() in words_of(works_sheet(ready.works))


def words_of(sheet: Sheet) -> str:
    """All that is lettered, line on line in the order it is drawn, in one text."""
    return " ".join(words for page in sheet.pages for words in lettered(page.items))


def lettered(items: tuple[Item, ...]) -> Iterator[str]:
    for item in items:
        if isinstance(item, Group):
            yield from lettered(item.children)
        elif isinstance(item, Text):
            yield item.words
