"""The chart of the works: every bar where its dates say, all lettering within, on each paper."""

import calendar
import math
import re
from collections.abc import Iterator, Sequence
from datetime import date
from itertools import pairwise

import pytest

from app.drawing.lettering import width_of
from app.drawing.paper import PAPERS
from app.drawing.primitives import Group, Item, Line, Polygon, Text
from app.drawing.works_chart import Chart, works_chart
from app.drawing.works_marks import LEGEND, Measure, box, inks_of, legend
from app.drawing.works_rows import NEAR, parted, rows_of
from app.drawing.works_sheet import works_sheet
from tests.works.plans import of_sample

MEASURE = Measure(1000, 16, 12)
BARS = ("works-decides", "works-waits")
SHORT = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]


def walk(items: Sequence[Item]) -> Iterator[Item]:
    for item in items:
        yield item
        if isinstance(item, Group):
            yield from walk(item.children)


def groups(chart: Chart) -> dict[str, Group]:
    """The groups of the tasks, by the id of the task."""
    return {
        dict(item.data)["task"]: item
        for item in chart.items
        if isinstance(item, Group) and item.ink == "task"
    }


def bars(group: Group) -> list[tuple[float, float]]:
    return [
        (item.points[0][0], item.points[1][0])
        for item in group.children
        if isinstance(item, Polygon) and item.ink in BARS
    ]


@pytest.mark.parametrize("key", ["single-garage", "double-garage", "basement", "upstairs-room"])
def test_bars_stand_in_the_order_of_their_dates(key: str) -> None:
    answer = of_sample(key)
    (chart,) = works_chart(answer, MEASURE, float("inf"))
    shown = groups(chart)
    places = []
    for one in answer.programme.tasks:
        if one.task.kind == "first-training" or one.task.who != "own" or not one.task.hours:
            continue
        spans = bars(shown[one.task.id])
        assert len(spans) == len(one.stretches)
        places += [
            (stretch.starts, x0) for stretch, (x0, _) in zip(one.stretches, spans, strict=True)
        ]
    places.sort()
    assert all(x <= later + 1e-6 for (_, x), (_, later) in pairwise(places))


def test_ink_decides_and_an_outline_can_wait() -> None:
    answer = of_sample("double-garage")
    (chart,) = works_chart(answer, MEASURE, float("inf"))
    shown = groups(chart)
    for one in answer.programme.tasks:
        if one.task.kind == "first-training" or one.task.who != "own" or not one.task.hours:
            continue
        inks = {item.ink for item in shown[one.task.id].children if isinstance(item, Polygon)}
        assert ("works-decides" in inks) == one.critical
        words = [item.words for item in shown[one.task.id].children if isinstance(item, Text)]
        if one.days_it_can_wait:
            assert any(re.fullmatch(rf"{one.days_it_can_wait} days?", word) for word in words)


def test_names_of_months_do_not_run_into_each_other() -> None:
    # from 28 November three days of a month are shown before the next begins
    (chart,) = works_chart(of_sample("upstairs-room", date(2026, 11, 28)), MEASURE, float("inf"))
    months = [
        item
        for item in chart.items
        if isinstance(item, Text) and item.ink == "head" and item.at[1] < MEASURE.head
    ]
    assert len(months) >= 3
    for one, other in pairwise(months):
        assert one.at[0] + width_of(one.words, MEASURE.letter, bold=True) < other.at[0]


@pytest.mark.parametrize("paper", list(PAPERS))
def test_lettering_stays_on_the_chart(paper: str) -> None:
    answer = of_sample("double-garage")
    parts = works_chart(answer, MEASURE, 400)
    assert len(parts) > 1
    for part in parts:
        assert part.height <= 400 + MEASURE.row
        for item in part.items:
            children = item.children if isinstance(item, Group) else (item,)
            for text in children:
                if isinstance(text, Text):
                    wide = width_of(text.words, MEASURE.letter)
                    left = text.at[0] - (wide if text.anchor == "end" else 0)
                    assert left >= -1, text
                    assert left + wide <= MEASURE.width + 1, text
    sheet = works_sheet(answer, paper=paper)
    assert len(sheet.pages) >= 2
    first = sheet.pages[0].as_svg()
    assert "First training: " in first
    # no sums for those who may not see them
    bare = works_sheet(answer, paper=paper, money=False)
    assert "€" not in "".join(page.as_svg() for page in bare.pages)


@pytest.mark.parametrize("key", ["single-garage", "double-garage", "basement", "upstairs-room"])
@pytest.mark.parametrize("rows_a_page", [7, 12, 25])
def test_rows_are_spread_over_as_few_parts_as_hold_them(key: str, rows_a_page: int) -> None:
    most = MEASURE.head + (rows_a_page + 1) * MEASURE.row + 0.1
    charts = works_chart(of_sample(key), MEASURE, most)
    (whole,) = works_chart(of_sample(key), MEASURE, float("inf"))

    def rows(chart: Chart) -> int:
        return round((chart.height - MEASURE.head - MEASURE.row / 2) / MEASURE.row)

    counts = [rows(chart) for chart in charts]
    assert max(counts) <= rows_a_page
    # each part but the first may begin with a heading that is written anew
    assert len(charts) <= -(-rows(whole) // (rows_a_page - 1))
    assert min(counts) * 3 >= rows_a_page


@pytest.mark.parametrize("key", ["single-garage", "basement", "upstairs-room"])
def test_a_chart_that_upright_paper_holds_stands_on_one_sheet(key: str) -> None:
    answer = of_sample(key)
    sheet = works_sheet(answer)
    charts = [page for page in sheet.pages if "decides the date" in page.as_svg()]
    assert len(charts) == 1
    assert charts[0].height_mm > charts[0].width_mm
    # the stages and the orders stand on level paper as before
    assert all(page.width_mm > page.height_mm for page in sheet.pages[1:])
    assert [page.number for page in sheet.pages][:1] == [f"1 of {len(sheet.pages)}"]


@pytest.mark.parametrize("key", ["double-garage", "basement"])
def test_a_page_ends_where_a_group_does_if_that_is_near(key: str) -> None:
    answer = of_sample(key)
    whole = rows_of(answer)
    heads = [i for i, row in enumerate(whole) if row.dated is None]
    # as many as an A3 sheet holds; a few fewer or more end amid other groups
    ended = 0
    for most in range(24, 34):
        size = math.ceil(len(whole) / 2)
        first, *rest = parted(whole, size, most)
        every = [row for part in (first, *rest) for row in part]
        assert [row for row in every if row in whole] == whole
        assert all(len(part) <= most for part in (first, *rest))
        near = [i for i in heads if i <= most and abs(i - min(size, most)) <= size * NEAR]
        assert (len(first) in near) == bool(near)
        ended += rest[0][0] == whole[len(first)] and rest[0][0].dated is None
    assert ended > 5


@pytest.mark.parametrize("most", range(150, 700, 25))
def test_no_heading_stands_alone_at_the_foot_of_a_page(most: int) -> None:
    for chart in works_chart(of_sample("double-garage"), MEASURE, float(most)):
        heads = [t.at[1] for t in chart.items if isinstance(t, Text) and t.ink == "head"]
        tasks = [
            t.at[1]
            for group in groups(chart).values()
            for t in group.children
            if isinstance(t, Text)
        ]
        assert max(tasks) > max(heads)


@pytest.mark.parametrize("key", ["single-garage", "basement"])
def test_numbers_are_saturdays_of_the_month_that_they_stand_in(key: str) -> None:
    answer = of_sample(key)
    (chart,) = works_chart(answer, MEASURE, float("inf"))
    texts = [item for item in chart.items if isinstance(item, Text)]
    heads = sorted((t.at[0], t.words) for t in texts if t.ink == "head" and t.words[:3] in SHORT)
    days = sorted((t.at[0], int(t.words)) for t in texts if t.words.isdigit())
    # the calendar of the standard library says which days of a month are Saturdays
    made = answer.programme
    for x, number in days:
        name = [words for at, words in heads if at <= x + MEASURE.letter][-1][:3]
        month = SHORT.index(name) + 1
        year = made.today.year + (month < made.today.month)
        assert date(year, month, number).weekday() == calendar.SATURDAY
    # no line of a month runs through a number
    lines = [item.start[0] for item in chart.items if isinstance(item, Line) and item.start[0]]
    for x, number in days:
        wide = width_of(str(number), MEASURE.letter)
        assert not any(x + 1e-6 < line < x + wide for line in lines if line > MEASURE.width * 0.25)


def test_orders_tell_their_year_once_and_each_look_of_the_year_after_all_its_days() -> None:
    answer = of_sample("basement")
    words = " ".join(
        item.words
        for page in works_sheet(answer).pages
        for item in walk(page.items)
        if isinstance(item, Text)
    )
    by = {order.order_by.year for order in answer.orders}
    for year in by:
        assert len(re.findall(rf"by \w+ \d+ \w+ {year}:", words, re.IGNORECASE)) == 1
    for one in answer.year_after:
        assert f"{one.on.day} {one.on:%b}" in words.partition("The year after")[2]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("key", ["double-garage", "single-garage", "basement", "upstairs-room"])
def test_no_name_of_a_task_is_cut_on_any_paper(key: str, paper: str) -> None:
    answer = of_sample(key)
    drawn = [
        item.words
        for page in works_sheet(answer, paper=paper).pages
        for item in walk(page.items)
        if isinstance(item, Text)
    ]
    assert not [words for words in drawn if "…" in words]
    # fewer things may be named in a row, but the first of them is, and how many more there are
    for one in answer.programme.tasks:
        name = one.task.name
        if one.task.kind != "first-training" and ": " not in name:
            assert name in drawn


def test_the_key_of_a_chart_tells_of_the_marks_that_it_has() -> None:
    measure = Measure(180, 4.4, 2.5)

    def told(drawn: frozenset[str] | None) -> set[str]:
        return {one.words for one in legend(0, 0, measure, 180, drawn) if isinstance(one, Text)}

    every = {words for _, words in LEGEND}
    assert told(None) == every
    some = told(frozenset({"works-decides", "row"}))
    assert some == {"decides the date", "days with work are wide, others narrow"}
    # of what a group holds too
    inside = Group((Group((box(0, 0, 1, 1, "works-done"),), ""),), "")
    assert "done" in told(inks_of([inside]))
