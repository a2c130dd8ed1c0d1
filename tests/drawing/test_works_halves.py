"""The chart in two halves: names on one side, bars on the other, nothing lost between them."""

import re

from app.drawing.primitives import Group, Item, Text
from app.drawing.works_chart import NAMES, Chart, works_chart
from app.drawing.works_halves import halves
from app.drawing.works_marks import Measure
from tests.works.plans import of_sample

MEASURE = Measure(1000, 17, 12.5)


def letters(items: tuple[Item, ...]) -> list[Text]:
    found = []
    for item in items:
        if isinstance(item, Group):
            found += letters(item.children)
        elif isinstance(item, Text):
            found.append(item)
    return found


def words_of(svg: str) -> list[str]:
    return re.findall(r"<text[^>]*>([^<]*)</text>", svg)


def test_names_stand_on_one_side_and_days_on_the_other() -> None:
    answer = of_sample("upstairs-room")
    (chart,) = works_chart(answer, MEASURE, float("inf"))
    assert isinstance(chart, Chart)
    names, bars = halves(chart, MEASURE, "Bars & days")
    edge = 1000 * NAMES
    texts = letters(chart.items)
    assert words_of(names) == [one.words for one in texts if one.at[0] < edge]
    assert words_of(bars) == [one.words for one in texts if one.at[0] >= edge]
    # side by side they are as wide as the whole, at one height, so rows meet
    boxes = [re.search(r'viewBox="([^"]*)"', svg) for svg in (names, bars)]
    numbers = [[float(n) for n in box[1].split()] for box in boxes if box]
    assert numbers[0][2] + numbers[1][2] == 1000
    assert numbers[0][3] == numbers[1][3] == round(chart.height, 6)
    assert 'aria-label="Bars &amp; days"' in bars
    assert 'aria-hidden="true"' in names
