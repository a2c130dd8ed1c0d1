"""How wide a line of lettering is, and how to make words fit their place."""

from __future__ import annotations

import re
from functools import lru_cache

import shapely
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry

from app.drawing.face import face
from app.drawing.primitives import Group, Item, Text

LINES_AT_MOST = 8192
"""Wrapped paragraphs that are remembered: a sheet asks for each while it seeks its scale."""


def width_of(words: str, size: float, *, bold: bool = False) -> float:
    """Return the width of a line of lettering in the unit of its size (the font size)."""
    return face(bold).width(words) * size


def shorten(words: str, size: float, room: float, *, bold: bool = False) -> str:
    """Cut a line with an ellipsis so that it is at most `room` wide."""
    if width_of(words, size, bold=bold) <= room:
        return words
    head = words
    while head and width_of(head.rstrip() + "…", size, bold=bold) > room:
        head = head[:-1]
    return head.rstrip() + "…" if head.strip() else ""


_MORE = re.compile(r"(?P<names>.+?)(?: and (?P<more>\d+) more)?")


def shorten_list(words: str, size: float, room: float) -> str:
    """Name fewer things in words such as "Build: a, b, c and 2 more" until they fit in a room.

    What has no list, or finds no room with one name, is cut with an ellipsis.
    """
    head, colon, listed = words.partition(": ")
    match = _MORE.fullmatch(listed)
    if colon and match is not None and width_of(words, size) > room:
        names, more = match["names"].split(", "), int(match["more"] or 0)
        while len(names) > 1:
            names.pop()
            more += 1
            fewer = f"{head}: {', '.join(names)} and {more} more"
            if width_of(fewer, size) <= room:
                return fewer
    return shorten(words, size, room)


def least_of_list(words: str) -> str:
    """Return the shortest that `shorten_list` makes of words without cutting any."""
    head, colon, listed = words.partition(": ")
    match = _MORE.fullmatch(listed)
    if not colon or match is None:
        return words
    first, *others = match["names"].split(", ")
    more = len(others) + int(match["more"] or 0)
    return f"{head}: {first} and {more} more" if others else words


_MONTH = r"(?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)"
_BETWEEN_WORDS = re.compile(
    r" (?!(?<=\d )(?:(?:mm|m|m²|kg|lb|kW|kN|W|V|A|°C|L|h)\b|%|\d+/\d+\"))(?!(?<=\d' )\d)"
    rf"(?!(?<=\d ){_MONTH})"
)
"""What parts words: no space between a number and its unit, inside of 7' 10 1/2", or between a day
and its month."""


@lru_cache(LINES_AT_MOST)
def wrap(
    words: str, size: float, room: float, most: int | None = None, *, bold: bool = False
) -> tuple[str, ...]:
    """Break words into lines at most `room` wide; the last of `most` lines ends in an ellipsis.

    A word wider than the line is broken where it must be. A number stays with its unit, a day with
    its month, and the parts of a length in feet stay together.
    """
    lines: list[str] = []
    line = ""
    for word in _BETWEEN_WORDS.split(" ".join(words.split())):
        longer = f"{line} {word}" if line else word
        if width_of(longer, size, bold=bold) <= room:
            line = longer
            continue
        if line:
            lines.append(line)
        line = word
        while len(line) > 1 and width_of(line, size, bold=bold) > room:
            cut = len(line) - 1
            while cut > 1 and width_of(line[:cut], size, bold=bold) > room:
                cut -= 1
            lines.append(line[:cut])
            line = line[cut:]
    if line:
        lines.append(line)
    if most is not None and len(lines) > most:
        rest = " ".join(lines[most - 1 :])
        return (*lines[: most - 1], shorten(rest, size, room, bold=bold)) if most > 0 else ()
    return tuple(lines)


def text_boxes(item: Item, em: float) -> list[BaseGeometry]:
    """Return the boxes of the lettering of a group that is neither moved nor turned."""
    if isinstance(item, Group):
        return [box for child in item.children for box in text_boxes(child, em)]
    if not isinstance(item, Text):
        return []
    half = width_of(item.words, em, bold=True) / 2
    (x, y), high = item.at, em * 0.8
    left = x - {"start": 0.0, "middle": half, "end": 2 * half}[item.anchor]
    box: BaseGeometry = shapely.box(left, y - high, left + 2 * half, y)
    return [rotate(box, item.turn_deg, (x, y)) if item.turn_deg else box]
