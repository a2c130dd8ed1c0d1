"""The chart of the works in two halves that stand side by side: names, and bars.

On a phone the names stay where they are while the bars are moved under the thumb.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from app.drawing.primitives import Group, Item, Line, Polygon, Polyline, Text
from app.drawing.svg import fragment
from app.drawing.works_chart import NAMES, Chart
from app.drawing.works_marks import Measure


def halves(chart: Chart, measure: Measure, label: str) -> tuple[str, str]:
    """Return the names and the bars of a chart, each an `<svg>`; `label` says the bars in words."""
    edge = measure.width * NAMES
    boxes = ((0.0, edge), (edge, measure.width - edge))
    # where paper is too low for their width both shrink towards the line between them
    words = (
        {"aria-hidden": "true", "preserveAspectRatio": "xMaxYMin"},
        {"role": "img", "aria-label": label, "preserveAspectRatio": "xMinYMin"},
    )
    drawn = []
    for (x, wide), more in zip(boxes, words, strict=True):
        mine = tuple(_within(chart.items, x, x + wide))
        box = {"viewBox": f"{x:g} 0 {wide:g} {chart.height:g}", "class": "works-chart", **more}
        drawn.append(fragment(mine, box))
    return drawn[0], drawn[1]


def _within(items: Iterable[Item], left: float, right: float) -> Iterator[Item]:
    """Yield what lies between two uprights, wholly or in part."""
    for item in items:
        if isinstance(item, Group):
            inside = tuple(_within(item.children, left, right))
            if inside:
                yield Group(inside, item.ink, item.data)
            continue
        xs = [x for x, _ in _points(item)]
        if min(xs) < right and max(xs) >= left:
            yield item


def _points(item: Item) -> tuple[tuple[float, float], ...]:
    """Return where a thing of the chart stands; lettering by the point it is written from."""
    if isinstance(item, Line):
        return item.start, item.end
    if isinstance(item, Polygon | Polyline):
        return item.points
    if isinstance(item, Text):
        return (item.at,)
    raise TypeError(f"a chart of the works holds no {type(item).__name__}")
