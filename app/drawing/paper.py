"""Paper: sizes, scales, how a sheet is divided, and which scale a room fits at.

Sizes: A4 and A3 after ISO 216; Letter and Tabloid are 8.5 x 11 in and 11 x 17 in (sizes A and B
of ASME Y14.1). Scales are whole numbers: 25 means 1:25. With plans in feet 1/2 in, 3/8 in and
1/4 in to the foot are 1:24, 1:32 and 1:48.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import TypeAlias

from app.errors import ElbowroomError
from app.units import Units

MARGIN_MM = 10.0
BINDING_MM = 20.0
"""Margins of ISO 5457: 20 at the left, where the set is bound, else 10."""

BLOCK_WIDE_MM = 180.0
"""The title block of ISO 7200 is 180 wide and stands in the corner at the lower right."""

BLOCK_MM = 27.0
"""Its height here: a row for the title, two for the other fields."""

STRIP_MM = 14.0
"""Height of the strip that holds the scale bar and the line of 100 mm."""

SIDE_BY_SIDE_MM = 175.0
OFF_RULE_MM = 3.0
"""What a figure keeps off the rule beside it, where words take all that it leaves."""
INSET_MM = 5.5
"""What a figure keeps off the frame where a centring mark runs in."""

WORDS_MM = 92.0
"""A column of words is at least so wide: some fifty letters."""

_GIVE_MM = 10.0
"""By so much all columns together may fall short of that where it makes one more of them."""

SLIM_MM, NARROW_MM, WIDE_MM = 56.0, 64.0, 90.0
"""Columns beside a figure: the slimmest that short rows still read in, where that saves a page; the
narrowest that rows of a table read well in; and those as wide as the title block under them."""

_LEAST_BAND_MM = 30.0
"""Words under figures have at least this height: five lines."""

BANDS = (0.2, 0.23, 0.26, 0.3, 0.36, 0.45, 0.55)
"""Shares of an upright sheet that words may take under the figures: the least that holds them."""

SCALES: dict[Units, tuple[int, ...]] = {
    "metric": (10, 20, 25, 50, 100, 200, 500),
    "feet": (16, 24, 32, 48, 96, 192, 480),
}
"""Scales that are proposed, the largest first (ISO 5455, and those of a scale in inches)."""

PICTURE_SCALES = (10, 15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 100, 125, 150, 200, 250, 300, 500)
"""Scales of a picture, which fills its paper: nobody lays a rule on it, and a bar tells its size
(ISO 5455 lets others than its own be taken where a drawing asks for them)."""

OFFERED: dict[Units, tuple[int, ...]] = {
    units: tuple(scale for scale in scales if scale <= 100) for units, scales in SCALES.items()
}
"""Those that a page offers; the others are for halls."""

ALL_SCALES = tuple(sorted({scale for scales in SCALES.values() for scale in scales}))

_INCH_WORDS = {
    16: "3/4 in", 24: "1/2 in", 32: "3/8 in", 48: "1/4 in", 96: "1/8 in", 192: "1/16 in",
}  # fmt: skip


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


@cache
def arrangements(paper: Paper) -> tuple[Arrangement, ...]:
    """Return every way a sheet can be divided, the preferred one first."""
    wide, high = paper.long_mm, paper.short_mm
    one = max(WORDS_MM, frame_of(wide, high).width * 0.29)
    return (
        _beside(wide, high, (one,)),
        _beside(wide, high, (NARROW_MM, NARROW_MM)),
        _beside(wide, high, (WIDE_MM, WIDE_MM)),
        *(_below(high, wide, share) for share in BANDS),
        alone(wide, high),
        alone(high, wide),
    )


def frame_of(width_mm: float, height_mm: float) -> Box:
    """Return the frame inside the margins of a sheet."""
    return Box(BINDING_MM, MARGIN_MM, width_mm - BINDING_MM - MARGIN_MM, height_mm - 2 * MARGIN_MM)


def block_of(frame: Box) -> Box:
    """Return the place of the title block in a frame."""
    return Box(
        frame.right - BLOCK_WIDE_MM, frame.bottom - BLOCK_MM, BLOCK_WIDE_MM, BLOCK_MM
    )  # fmt: skip


def _foot(frame: Box) -> tuple[Box, float]:
    """Return the strip at the foot of a sheet and the height above it that is free.

    It stands beside the title block, or over it where there is no room beside.
    """
    left = frame.width - BLOCK_WIDE_MM
    if left >= SIDE_BY_SIDE_MM:
        return Box(frame.x, frame.bottom - BLOCK_MM, left, BLOCK_MM), frame.height - BLOCK_MM
    free = frame.height - BLOCK_MM - STRIP_MM
    return Box(frame.x, frame.y + free, frame.width, STRIP_MM), free


def _beside(width: float, height: float, columns: tuple[float, ...]) -> Arrangement:
    """Give the right of a sheet to columns of words of these widths."""
    frame = frame_of(width, height)
    strip, free = _foot(frame)
    left = frame.width - sum(columns)
    figure = Box(frame.x + INSET_MM, frame.y, left - INSET_MM, free)
    right = tuple(
        Box(frame.x + left + sum(columns[:i]), frame.y, wide, free)
        for i, wide in enumerate(columns)
    )
    return Arrangement(width, height, frame, figure, strip, right, True)


def _below(width: float, height: float, share: float) -> Arrangement:
    """Give a share of the height to columns of words under the figures."""
    frame = frame_of(width, height)
    strip, free = _foot(frame)
    count = max(1, int((frame.width + _GIVE_MM) // WORDS_MM))
    each, band = frame.width / count, free * share
    top = frame.y + free - band
    figure = Box(
        frame.x + INSET_MM, frame.y + INSET_MM, frame.width - 2 * INSET_MM, free - band - INSET_MM
    )  # fmt: skip
    columns = tuple(Box(frame.x + i * each, top, each, band) for i in range(count))
    return Arrangement(width, height, frame, figure, strip, columns, False)


def under(width: float, height: float, high_mm: float) -> Arrangement | None:
    """Return a sheet with figures so high, and words in all that is left under them."""
    _, free = _foot(frame_of(width, height))
    share = (free - INSET_MM - high_mm) / free
    return _below(width, height, share) if free * share > _LEAST_BAND_MM else None


def rest_beside(width: float, height: float, wide_mm: float) -> Iterator[Arrangement]:
    """Yield sheets with figures so wide, and words in all that is left beside them."""
    left = frame_of(width, height).width - INSET_MM - wide_mm - OFF_RULE_MM
    for count in sorted({int(left // least) for least in (WORDS_MM, NARROW_MM, SLIM_MM)} | {1}):
        if count and left / count >= SLIM_MM:
            yield _beside(width, height, (left / count,) * count)


def round_about(
    width: float, height: float, wide_mm: float, high_mm: float
) -> Iterator[Arrangement]:
    """Yield sheets with figures so large in their corner, and words beside and under them.

    Under them there are none where little is left there.
    """
    frame = frame_of(width, height)
    strip, free = _foot(frame)
    across, down = INSET_MM + wide_mm + OFF_RULE_MM, INSET_MM + high_mm
    left, band = frame.width - across, free - down
    if band < 0:
        return
    count = max(1, int((across + _GIVE_MM) // WORDS_MM)) if band > _LEAST_BAND_MM else 0
    under_it = tuple(
        Box(frame.x + i * across / count, frame.y + down, across / count, band)
        for i in range(count)
    )
    tall = high_mm if under_it else free - INSET_MM
    figure = Box(frame.x + INSET_MM, frame.y + INSET_MM, wide_mm, tall)
    for beside in sorted({int(left // least) for least in (WORDS_MM, NARROW_MM, SLIM_MM)}):
        if beside:
            each = left / beside
            columns = [Box(frame.x + across + i * each, frame.y, each, free) for i in range(beside)]
            yield Arrangement(width, height, frame, figure, strip, (*columns, *under_it), True)


def alone(width: float, height: float) -> Arrangement:
    """Return a sheet that is all the figure's: its words go on to a sheet of words."""
    frame = frame_of(width, height)
    strip, free = _foot(frame)
    figure = Box(
        frame.x + INSET_MM, frame.y + INSET_MM, frame.width - 2 * INSET_MM, free - INSET_MM
    )  # fmt: skip
    return Arrangement(width, height, frame, figure, strip, (), True)


def arrangements_for(size: Size, paper: Paper, scale: int) -> tuple[Arrangement, ...]:
    """Return the ways to divide the sheet in which the figure fits at this scale."""
    wide, high = size(scale)
    return tuple(
        arrangement
        for arrangement in arrangements(paper)
        if wide <= arrangement.figure.width and high <= arrangement.figure.height
    )


def largest_scale(
    size: Size,
    paper: Paper,
    units: Units = "metric",
    least: Size | None = None,
    scales: Sequence[int] = (),
) -> int:
    """Return the largest scale at which a figure fits. Raises SheetError when none does.

    `least` tells quickly how much it takes at the least: scales at which that does not fit are
    passed over. `scales` are the ones to choose from, where they are not those of drawings.
    """
    for scale in scales or SCALES[units]:
        if least is not None and not arrangements_for(least, paper, scale):
            continue
        if arrangements_for(size, paper, scale):
            return scale
    last = SCALES[units][-1]
    ways = [p.key for p in PAPERS.values() if p != paper and arrangements_for(size, p, last)]
    way = f"take {' or '.join(ways)}" if ways else "no paper known here would do"
    raise SheetError(f"the room does not fit on {paper.key} even at {scale_words(last)}: {way}")


def scale_at(
    size: Size,
    paper: Paper,
    scale: int | None,
    units: Units = "metric",
    least: Size | None = None,
    scales: Sequence[int] = (),
) -> tuple[int, str]:
    """Return the scale to draw at, and a sentence where that is not the one asked for.

    Without a scale it is the largest that fits; one that is too large gives way to the next that
    fits. `least` and `scales` are as for `largest_scale`. Raises SheetError for a scale that is
    none, and where no scale fits.
    """
    if scale is None:
        return largest_scale(size, paper, units, least, scales), ""
    if scale not in ALL_SCALES:
        known = ", ".join(f"1:{known}" for known in ALL_SCALES)
        raise SheetError(f"there is no scale 1:{scale}; there are {known}")
    if arrangements_for(size, paper, scale):
        return scale, ""
    several = scales or SCALES[units]
    fitting = [s for s in several if s > scale and arrangements_for(size, paper, s)]
    if not fitting:
        return largest_scale(size, paper, units, scales=several), ""
    instead = scale_words(fitting[0])
    larger = [p.key for p in PAPERS.values() if p != paper and arrangements_for(size, p, scale)]
    way = f"; at {scale_words(scale)} take {' or '.join(larger)}" if larger else ""
    return fitting[0], (
        f"at {scale_words(scale)} the room does not fit on {paper.key}: "
        f"drawn at {instead}{way}"
    )  # fmt: skip


def scale_words(scale: int) -> str:
    """Say a scale as a person would: "1:25", or "1/2 in to the foot (1:24)"."""
    inch = _INCH_WORDS.get(scale)
    return f"{inch} to the foot (1:{scale})" if inch else f"1:{scale}"
