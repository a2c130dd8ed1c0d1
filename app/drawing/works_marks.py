"""What stands in the chart of the works: its sizes, the marks of a row, and the key to them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Set
from dataclasses import dataclass

from app.drawing.lettering import width_of
from app.drawing.primitives import Group, Item, Line, Polygon, Text


@dataclass(frozen=True, slots=True)
class Measure:
    """Sizes of a chart: its width, height of a row, size of the lettering, its heading's height."""

    width: float
    row: float
    letter: float

    @property
    def head(self) -> float:
        """The height above the first row: flags, months, days."""
        return 3.4 * self.row


def box(x: float, y: float, wide: float, high: float, ink: str) -> Polygon:
    """Return an upright box from its top left corner."""
    return Polygon(((x, y), (x + wide, y), (x + wide, y + high), (x, y + high)), ink)


def shield(x: float, top: float, high: float, ink: str) -> Polygon:
    """Return the shield of a licensed trade, hanging from its middle."""
    half = high * 0.42
    return Polygon(
        (
            (x - half, top), (x + half, top), (x + half, top + high * 0.6),
            (x, top + high), (x - half, top + high * 0.6),
        ),
        ink,
    )  # fmt: skip


def diamond(x: float, top: float, high: float, ink: str) -> Polygon:
    """Return the mark of a day that counts and takes no work."""
    half, middle = high * 0.45, top + high / 2
    return Polygon(
        ((x, middle - half), (x + half, middle), (x, middle + half), (x - half, middle)), ink
    )


LEGEND = (
    ("works-done", "done"),
    ("works-decides", "decides the date"),
    ("works-waits", "can wait so long"),
    ("works-dry", "dries or lies"),
    ("works-trade", "licensed trade"),
    ("works-parcel", "delivery"),
    ("works-band", "days with work are wide, others narrow"),
)

LEGEND_LINE = 1.2
"""From one line of the key to the next, in rows of the chart."""


def legend_mm(measure: Measure, room: float) -> float:
    """Return how high the key of the chart is, in as many lines as it takes."""
    *_, (_, _, _, last) = _places(measure, room)
    return (last + 1) * measure.row * LEGEND_LINE


ALWAYS = frozenset({"works-band"})
"""What the key tells of every chart: the marks of the others only where they are drawn."""


def inks_of(items: Iterable[Item]) -> frozenset[str]:
    """Return the inks of some items and of what they hold."""
    inks: set[str] = set()
    for item in items:
        inks |= inks_of(item.children) if isinstance(item, Group) else {item.ink}
    return frozenset(inks)


def legend(
    x: float, bottom: float, measure: Measure, room: float, drawn: Set[str] | None = None
) -> tuple[Item, ...]:
    """Draw the key of the chart, its last line over `bottom`: of all marks, or of those `drawn`."""
    items: list[Item] = []
    high = measure.row * 0.68
    top = bottom - legend_mm(measure, room)
    for ink, words, along, line in _places(measure, room, drawn):
        at, y = x + along, top + line * measure.row * LEGEND_LINE
        if ink == "works-trade":
            items.append(shield(at + measure.letter * 0.8, y, high, ink))
        else:
            items.append(box(at, y, measure.letter * (1.0 if "parcel" in ink else 1.6), high, ink))
        if ink == "works-waits":
            middle = y + high / 2
            end = at + measure.letter * 2.6
            items.append(Line((at + measure.letter * 1.6, middle), (end, middle), "works-tail"))
        start = at + measure.letter * (2.9 if ink == "works-waits" else 2.0)
        items.append(Text((start, y + measure.row * 0.58), words, "label", "start"))
    return tuple(items)


def _places(
    measure: Measure, room: float, drawn: Set[str] | None = None
) -> Iterator[tuple[str, str, float, int]]:
    """Yield each entry of the key: its ink, its words, how far along it begins, in which line."""
    at, line = 0.0, 0
    for ink, words in LEGEND:
        if drawn is not None and ink not in drawn | ALWAYS:
            continue
        wide = width_of(words, measure.letter) + 3.4 * measure.letter
        if at > 0 and at + wide > room:
            at, line = 0.0, line + 1
        yield ink, words, at, line
        at += wide + (measure.letter if ink == "works-waits" else 0)
