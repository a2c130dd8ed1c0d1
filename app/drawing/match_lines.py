"""A drawing over several papers: its parts, the lines on which they meet, and a key on each.

Where a scale that somebody asks for is too large for one paper the drawing is cut into parts, side
by side and one under the other. On each cut stands a match line with its letter: laid on the same
line of the next paper it makes one drawing (ISO 128 leaves how to the drawing; this is common
practice, no source).
"""

from __future__ import annotations

import math
import string
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from app.drawing.clipped import clipped, word_boxes
from app.drawing.figures_placed import AIR_MM, Bounds, Figure, FigureAt
from app.drawing.ink import LETTER_MM, SMALL_MM
from app.drawing.lettering import width_of
from app.drawing.medium import Medium
from app.drawing.paper import ALL_SCALES, SCALES, Paper, alone, scale_words
from app.drawing.primitives import Item, Line, Polygon, Text
from app.units import Units

MOST_PARTS = 4
"""Over more papers than this nobody lays a room together: it is drawn smaller instead."""
_BEYOND_MM = 7.0
"""What each part keeps free beyond its match line: the words along it, the halves of others."""
_KEY_MM, _OVER_KEY_MM = 12.0, 6.0
"""How high the key is on paper, and the air over it."""
_KEY_WIDE_MM = 60.0
_AWAY_MM = 2.0
"""How far beyond a match line its words stand."""
_ROUND_WORDS_MM = 0.8
_HAIR_MM = 1000.0
_TRIES = (0.5, 0.46, 0.54, 0.42, 0.58)
"""Where between the least and the most that it may take a part is cut, the middle first."""


@dataclass(frozen=True, slots=True)
class Parts:
    """The parts of a drawing, each as a figure, at which scale, and a sentence on how divided."""

    figures: tuple[FigureAt, ...]
    scale: int
    note: str


def parted(
    quick: Sequence[FigureAt],
    figures: Sequence[FigureAt],
    paper: Paper,
    scale: int | None,
    units: Units,
) -> Parts | None:
    """Return the parts of one drawing that is too large for a paper at a scale that is asked for.

    Where it takes more than a few papers at that scale it is tried at the next ones. None where it
    then fits on one, where several figures are drawn, and where no scale will do. `quick` are
    figures of the same bounds that are drawn faster.
    """
    if scale is None or scale not in ALL_SCALES or len(figures) != 1:
        return None
    for at in (scale, *(smaller for smaller in SCALES[units] if smaller > scale)):
        size = quick[0](Medium(LETTER_MM * at, units, True, bounds_only=True), at).size(at)
        rooms = [
            (box.width, box.height)
            for box in (
                alone(paper.long_mm, paper.short_mm).figure,
                alone(paper.short_mm, paper.long_mm).figure,
            )
        ]
        if any(size[0] <= wide and size[1] <= high for wide, high in rooms):
            return None
        made = _parted_at(size, rooms, figures[0], at, units)
        if made:
            takes = f"it takes {len(made)} sheets of {paper.key}, which join on match lines"
            note = f"at {scale_words(at)} {takes}"
            if at != scale:
                fails = f"at {scale_words(scale)} the room does not fit on {paper.key}"
                note = f"{fails}, nor on {MOST_PARTS} sheets of it; {note}"
            return Parts(tuple(_always(one) for one in made), at, note)
    return None


def _parted_at(
    size: tuple[float, float],
    rooms: Sequence[tuple[float, float]],
    figure: FigureAt,
    scale: int,
    units: Units,
) -> list[Figure]:
    """Return the parts at one scale, as few as there can be; none where they are too many."""
    counts = [_counts(size, room) for room in rooms]
    if min(across * down for across, down in counts) > MOST_PARTS:
        return []
    drawn = figure(Medium(LETTER_MM * scale, units, True), scale)
    for (across, down), room in sorted(
        zip(counts, rooms, strict=True), key=lambda one: math.prod(one[0])
    ):
        if across * down > MOST_PARTS:
            continue
        made = _cut(drawn, (across, down), scale)
        if all(w <= room[0] and h <= room[1] for w, h in (one.size(scale) for one in made)):
            return made
    return []


def _always(figure: Figure) -> Callable[[Medium, int], Figure]:
    return lambda medium, scale: figure


def _counts(size: tuple[float, float], room: tuple[float, float]) -> tuple[int, int]:
    """Return into how many parts a drawing is cut across and down, at the least."""
    wide, high = room[0] - AIR_MM, room[1] - AIR_MM - _KEY_MM - _OVER_KEY_MM
    return _count(size[0], wide), _count(size[1], high)


def _count(long: float, room: float) -> int:
    if long <= room:
        return 1
    # the first and the last part go beyond one match line, those between them beyond two
    return max(2, math.ceil((long - 2 * _BEYOND_MM) / (room - 2 * _BEYOND_MM)))


def _cut(drawn: Figure, counts: tuple[int, int], scale: int) -> list[Figure]:
    x0, y0, x1, y1 = drawn.bounds
    boxes = list(word_boxes(drawn.items, scale))
    xs = _places(x0, x1, counts[0], [(b.bounds[0], b.bounds[2]) for b in boxes])
    ys = _places(y0, y1, counts[1], [(b.bounds[1], b.bounds[3]) for b in boxes])
    areas = [(left, top, right, foot) for top, foot in pairwise(ys) for left, right in pairwise(xs)]
    return [_part(drawn, areas, number, scale) for number in range(len(areas))]


def _places(
    start: float, end: float, count: int, words: Sequence[tuple[float, float]]
) -> list[float]:
    """Return where it is cut, near equal parts: where the line runs through the fewest words."""
    places = [start]
    step = (end - start) / count
    for number in range(1, count):
        tries = [start + step * (number - 0.5 + share) for share in _TRIES]
        places.append(min(tries, key=lambda at: sum(1 for low, high in words if low < at < high)))
    return [*places, end]


def _part(drawn: Figure, areas: Sequence[Bounds], number: int, scale: int) -> Figure:
    """Return what of a drawing lies in one of its areas, with its match lines and the key."""
    whole = drawn.bounds
    # at the outside what reaches over the bounds by a hair belongs to it too
    x0, y0, x1, y1 = (
        side + (way * _HAIR_MM if side == edge else 0.0)
        for side, way, edge in zip(areas[number], (-1, -1, 1, 1), whole, strict=True)
    )
    area = shapely.box(x0, y0, x1, y1)
    items: list[Item] = list(clipped(drawn.items, area, scale))
    own = list(word_boxes(items, scale))
    ends = [areas[number], *(box.bounds for box in own)]
    for other, (letter, line, side) in _joins(areas, number):
        items += _match_line(line, side, f"Match line {letter}: part {other + 1}", own, scale)
        ends.append(line.buffer(_BEYOND_MM * scale, cap_style="flat").bounds)
    reach = [*(min(e[i] for e in ends) for i in (0, 1)), *(max(e[i] for e in ends) for i in (2, 3))]
    items += _key(whole, areas, number, (reach[0], reach[3] + _OVER_KEY_MM * scale), scale)
    reach[3] += (_OVER_KEY_MM + _KEY_MM) * scale
    return Figure(tuple(items), (reach[0], reach[1], reach[2], reach[3]))


def _joins(
    areas: Sequence[Bounds], number: int
) -> Iterator[tuple[int, tuple[str, LineString, int]]]:
    """Yield the parts that a part meets: the letter of the line, the line, and at which side."""
    pairs = [(i, j) for j in range(len(areas)) for i in range(j) if _meet(areas[i], areas[j])]
    for letter, (one, other) in zip(string.ascii_uppercase, pairs, strict=False):
        if number not in (one, other):
            continue
        a, b = areas[one], areas[other]
        if a[2] == b[0]:
            line, side = LineString([(a[2], a[1]), (a[2], a[3])]), 2 if number == one else 0
        else:
            line, side = LineString([(a[0], a[3]), (a[2], a[3])]), 3 if number == one else 1
        yield (other if number == one else one), (letter, line, side)


def _meet(one: Bounds, other: Bounds) -> bool:
    beside = one[2] == other[0] and one[1] == other[1]
    return beside or (one[3] == other[1] and one[0] == other[0])


def _match_line(
    line: LineString, side: int, words: str, own: Sequence[BaseGeometry], scale: int
) -> Iterator[Item]:
    """Yield the line, with gaps where words stand on it, and its words along it beyond it."""
    standing = shapely.union_all([box.buffer(_ROUND_WORDS_MM * scale) for box in own])
    for part in shapely.get_parts(line.difference(standing)):
        (x0, y0), (x1, y1) = part.coords[0], part.coords[-1]
        yield Line((x0, y0), (x1, y1), "part-line")
    em = SMALL_MM * scale
    away = _AWAY_MM * scale * (1 if side > 1 else -1)
    half, upright = width_of(words, em, bold=True) / 2, side in (0, 2)
    for share in (0.5, 0.35, 0.65, 0.2, 0.8):
        at = line.interpolate(share, normalized=True)
        x, y = (at.x + away, at.y) if upright else (at.x, at.y + away)
        # letters stand over their base line, to the left of it where they are read upwards
        if upright:
            x += em * 0.75 if side > 1 else 0.0
            box = shapely.box(x - em * 0.8, y - half, x + em * 0.25, y + half)
        else:
            y += em * 0.75 if side > 1 else 0.0
            box = shapely.box(x - half, y - em * 0.8, x + half, y + em * 0.25)
        if not standing.intersects(box):
            yield Text((x, y), words, "small-bold", turn_deg=-90.0 if upright else 0.0)
            return


def _key(
    whole: Bounds, areas: Sequence[Bounds], number: int, at: tuple[float, float], scale: int
) -> Iterator[Item]:
    """Yield a small plan of the parts with their numbers, this one shaded, and its name beside."""
    x0, y0, x1, y1 = whole
    small = scale * min(_KEY_MM / (y1 - y0), _KEY_WIDE_MM / (x1 - x0))
    for i, (left, top, right, foot) in enumerate(areas):
        a, b = at[0] + (left - x0) * small, at[0] + (right - x0) * small
        c, d = at[1] + (top - y0) * small, at[1] + (foot - y0) * small
        yield Polygon(((a, c), (b, c), (b, d), (a, d)), "part-here" if i == number else "part")
        yield Text(((a + b) / 2, (c + d) / 2 + SMALL_MM * scale * 0.26), str(i + 1), "small-bold")
    name = at[0] + (x1 - x0) * small + 3 * scale
    words = f"Part {number + 1} of {len(areas)}: lay the match lines on one another."
    yield Text((name, at[1] + SMALL_MM * scale), words, "small-bold", "start")
