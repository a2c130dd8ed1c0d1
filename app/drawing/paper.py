"""Paper: sizes, scales, how a sheet is divided, and which scale a room fits at.

Sizes: A4 and A3 after ISO 216; Letter and Tabloid are 8.5 x 11 in and 11 x 17 in (sizes A and B
of ASME Y14.1). Scales are whole numbers: 25 means 1:25. With plans in feet 1/2 in and 1/4 in to
the foot are 1:24 and 1:48.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

from app.errors import ElbowroomError
from app.units import Units

MARGIN_MM = 10.0
STRIP_MM = 14.0
STACKED_STRIP_MM = 25.0
"""Height of the strip under the figure that holds the scale bar and the line of 100 mm; stacked
where it is too narrow for both side by side."""

SIDE_BY_SIDE_MM = 175.0

SCALES: dict[Units, tuple[int, ...]] = {"metric": (10, 20, 25, 50, 100), "feet": (24, 48, 96)}
"""Scales that are proposed, the largest first; the last of each only where no other fits."""

ALL_SCALES = tuple(sorted({scale for scales in SCALES.values() for scale in scales}))

_INCH_WORDS = {24: "1/2 in", 48: "1/4 in", 96: "1/8 in"}


class SheetError(ElbowroomError, ValueError):
    """A sheet cannot be drawn as it was asked for."""

    code = "bad-sheet"


@dataclass(frozen=True, slots=True)
class Paper:
    """A size of paper in mm, upright."""

    key: str
    short_mm: float
    long_mm: float


PAPERS = {
    paper.key: paper
    for paper in (
        Paper("A4", 210, 297),
        Paper("A3", 297, 420),
        Paper("Letter", 215.9, 279.4),
        Paper("Tabloid", 279.4, 431.8),
    )
}


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on paper: left, top, width and height in mm."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """The x of the right edge."""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """The y of the lower edge."""
        return self.y + self.height


@dataclass(frozen=True, slots=True)
class Around:
    """What stands round the walls, in mm of paper: dimension chains and their figures."""

    left: float = 20
    top: float = 20
    right: float = 12
    bottom: float = 12


AROUND = Around()


@dataclass(frozen=True, slots=True)
class Arrangement:
    """A sheet divided up: the frame, the place of the figure, the strip, the columns of words."""

    width_mm: float
    height_mm: float
    frame: Box
    figure: Box
    strip: Box
    columns: tuple[Box, ...]
    beside: bool


Size: TypeAlias = Callable[[int], tuple[float, float]]
"""Gives the width and height in mm of paper that a figure takes at a scale."""


def paper_of(key: str) -> Paper:
    """Return a paper by its name, whatever its case. Raises SheetError listing those there are."""
    for paper in PAPERS.values():
        if paper.key.lower() == key.strip().lower():
            return paper
    raise SheetError(f"there is no paper {key!r}; there are {', '.join(PAPERS)}")


def arrangements(paper: Paper) -> tuple[Arrangement, ...]:
    """Return every way a sheet can be divided, the preferred one first."""
    return (
        _beside(paper.long_mm, paper.short_mm),
        _below(paper.short_mm, paper.long_mm),
        _beside(paper.short_mm, paper.long_mm),
        _below(paper.long_mm, paper.short_mm),
    )


def _frame(width: float, height: float) -> Box:
    return Box(MARGIN_MM, MARGIN_MM, width - 2 * MARGIN_MM, height - 2 * MARGIN_MM)


def _beside(width: float, height: float) -> Arrangement:
    frame = _frame(width, height)
    column = max(78.0, frame.width * 0.3)
    left = frame.width - column
    strip_high = STRIP_MM if left >= SIDE_BY_SIDE_MM else STACKED_STRIP_MM
    strip = Box(frame.x, frame.bottom - strip_high, left, strip_high)
    figure = Box(frame.x, frame.y, left, frame.height - strip_high)
    right = (Box(frame.x + left, frame.y, column, frame.height),)
    return Arrangement(width, height, frame, figure, strip, right, True)


def _below(width: float, height: float) -> Arrangement:
    frame = _frame(width, height)
    band = 105.0
    count = max(2, int(frame.width // 95))
    each = frame.width / count
    top = frame.bottom - band
    strip = Box(frame.x, top - STRIP_MM, frame.width, STRIP_MM)
    figure = Box(frame.x, frame.y, frame.width, frame.height - band - STRIP_MM)
    columns = tuple(Box(frame.x + i * each, top, each, band) for i in range(count))
    return Arrangement(width, height, frame, figure, strip, columns, False)


def arrangements_for(size: Size, paper: Paper, scale: int) -> tuple[Arrangement, ...]:
    """Return the ways to divide the sheet in which the figure fits at this scale."""
    wide, high = size(scale)
    return tuple(
        arrangement
        for arrangement in arrangements(paper)
        if wide <= arrangement.figure.width and high <= arrangement.figure.height
    )


def size_of_room(width_mm: float, depth_mm: float) -> Size:
    """Return the paper a room takes, its dimension chains included.

    `width_mm` and `depth_mm` are those of all that is drawn of the room, outer walls included.
    """
    return lambda scale: (
        width_mm / scale + AROUND.left + AROUND.right,
        depth_mm / scale + AROUND.top + AROUND.bottom,
    )


def largest_scale(size: Size, paper: Paper, units: Units = "metric") -> int:
    """Return the largest scale at which a figure fits. Raises SheetError when none does."""
    for scale in SCALES[units]:
        if arrangements_for(size, paper, scale):
            return scale
    last = SCALES[units][-1]
    ways = [p.key for p in PAPERS.values() if p != paper and arrangements_for(size, p, last)]
    way = f"take {' or '.join(ways)}" if ways else "no paper known here would do"
    raise SheetError(f"the room does not fit on {paper.key} even at {scale_words(last)}: {way}")


def arrange_at(
    size: Size, paper: Paper, scale: int, units: Units = "metric"
) -> tuple[Arrangement, ...]:
    """Return the ways to divide the sheet for a figure at a given scale, at least one.

    Raises SheetError for a scale that is none, and for a figure too large for it, naming the
    scale and the papers that would do.
    """
    if scale not in ALL_SCALES:
        known = ", ".join(f"1:{known}" for known in ALL_SCALES)
        raise SheetError(f"there is no scale 1:{scale}; there are {known}")
    arrangements = arrangements_for(size, paper, scale)
    if arrangements:
        return arrangements
    ways = []
    fitting = [s for s in SCALES[units] if s > scale and arrangements_for(size, paper, s)]
    if fitting:
        ways.append(f"take {scale_words(fitting[0])}")
    larger = [p.key for p in PAPERS.values() if p != paper and arrangements_for(size, p, scale)]
    if larger:
        ways.append(f"take {' or '.join(larger)}")
    way = ", or ".join(ways) or "no paper known here would do"
    raise SheetError(f"at {scale_words(scale)} the room does not fit on {paper.key}: {way}")


def scale_words(scale: int) -> str:
    """Say a scale as a person would: "1:25", or "1/2 in to the foot (1:24)"."""
    inch = _INCH_WORDS.get(scale)
    return f"{inch} to the foot (1:{scale})" if inch else f"1:{scale}"
