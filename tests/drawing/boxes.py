"""Where the words of a page stand on paper: their boxes, from its primitives."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely
from shapely import Polygon, STRtree

from app.drawing.ink import LOOK
from app.drawing.lettering import width_of
from app.drawing.primitives import Group, Item, Text
from app.drawing.sheet import Page
from app.drawing.svg import style_of
from tests.drawing.reading import STILL, Matrix, times

# the font's capitals are 0.714 of its size, its descenders 0.21 (Open Sans, hhea and OS/2 tables)
CAPITAL, DESCENT = 0.714, 0.1
NEAR_MM = 0.25


@dataclass(frozen=True)
class Lettered:
    """Words on paper: their box, and how high their capitals are in mm."""

    words: str
    box: Polygon
    capital_mm: float
    ink: str
    upright: bool


def lettered(page: Page) -> list[Lettered]:
    return list(_walk(page.items, STILL))


def _walk(items: Sequence[Item], at: Matrix) -> Iterator[Lettered]:
    for item in items:
        if isinstance(item, Group):
            yield from _walk(item.children, times(at, matrix_of(item)))
        elif isinstance(item, Text) and item.words.strip():
            style = style_of(LOOK, item.ink)
            assert style is not None, item.ink
            assert style.size_mm is not None, item.ink
            size = style.size_mm
            wide = width_of(item.words, size, bold=bool(style.bold))
            back = {"start": 0.0, "middle": wide / 2, "end": wide}[item.anchor]
            turn = math.degrees(math.atan2(at[1], at[0])) + item.turn_deg
            x = at[0] * item.at[0] + at[2] * item.at[1] + at[4]
            y = at[1] * item.at[0] + at[3] * item.at[1] + at[5]
            flat = shapely.box(x - back, y - size * CAPITAL, x - back + wide, y + size * DESCENT)
            turned = shapely.affinity.rotate(flat, turn, origin=(x, y))
            upright = -91 < turn < 90
            yield Lettered(item.words, turned, size * CAPITAL, item.ink, upright)


def matrix_of(group: Group) -> Matrix:
    x, y = group.move or (0.0, 0.0)
    c, s = math.cos(math.radians(group.turn_deg)), math.sin(math.radians(group.turn_deg))
    k = group.scale
    return (c * k, s * k, -s * k, c * k, x, y)


def overlaps(words: Sequence[Lettered]) -> list[tuple[str, str]]:
    """The pairs of words that stand in one another by more than a hair."""
    shrunk = [one.box.buffer(-NEAR_MM) for one in words]
    tree = STRtree(shrunk)
    found = []
    for i, j in zip(*tree.query(shrunk, predicate="intersects"), strict=True):
        if i < j and shrunk[i].intersection(shrunk[j]).area > 0:
            found.append((words[i].words, words[j].words))
    return found


def outside(page: Page, words: Sequence[Lettered]) -> list[str]:
    """The words that stand beyond the frame, but for the zones."""
    frame = shapely.box(20, 10, page.width_mm - 10, page.height_mm - 10).buffer(0.05)
    return [one.words for one in words if one.ink != "zone" and not frame.covers(one.box)]
