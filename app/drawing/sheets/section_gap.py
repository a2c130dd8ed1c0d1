"""A long section without the stretch in which there is nothing: an interrupted view.

Drawn whole, a hall of forty metres is a strip in which nobody reads a height. Where a section has
a long stretch without kit, people, openings or a change overhead, that is left out between two
break lines, as ISO 128 has it for long things (from memory); its width is told as it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from app.drawing.clipped import clipped
from app.drawing.figures_placed import Bounds, Figure
from app.drawing.ink import LETTER_MM
from app.drawing.medium import Medium
from app.drawing.primitives import Group, Item, Polyline, Text
from app.drawing.sheets.cutting_plane import Cut, Seen, hung
from app.drawing.sheets.section_people import standing
from app.drawing.sheets.tightest import Stand
from app.scene.build import Scene
from app.units import Units, format_short

LONG_MM = 6000.0
"""A stretch without anything is left out from this length on: a shorter one shows how far apart
things stand."""
LONG_ROOM_MM = 14000.0
"""A section up to this long fits on A3 at 1:50 as it is, and heights are read in it."""
_BESIDE_MM = 1200.0
"""What is kept of it on either side, for figures beside what stands there."""
_BODY_MM = 1200.0
"""How far somebody at a movement reaches to either side."""
_APART_EM = 1.2
"""How far apart the two break lines stand, in sizes of the lettering."""
_TOOTH_EM = 0.45


@dataclass(frozen=True, slots=True)
class Gap:
    """The stretch of a section that is left out, from where to where along the cut, in mm."""

    start: float
    end: float

    def less_mm(self, medium: Medium) -> float:
        """Return by how much a section is shorter without it."""
        return self.end - self.start - medium.em_mm * _APART_EM


def gaps_of(
    scene: Scene, cut: Cut, every: Sequence[Stand], seen: Sequence[Seen]
) -> tuple[Gap, ...]:
    """Return the long stretches of a section in which there is nothing, from left to right."""
    spans = sorted(_taken(scene, cut, every, seen))
    gaps = []
    reach = spans[0][1]
    if max(right for _, right in spans) - reach < LONG_ROOM_MM:
        return ()
    for left, right in spans[1:]:
        if left - reach > LONG_MM:
            gaps.append(Gap(reach + _BESIDE_MM, left - _BESIDE_MM))
        reach = max(reach, right)
    return tuple(gaps)


def _taken(
    scene: Scene, cut: Cut, every: Sequence[Stand], seen: Sequence[Seen]
) -> Iterator[tuple[float, float]]:
    """Yield where along a cut there is something to be seen, its two ends first."""
    for left, right in cut.spans(scene.room.free):
        yield left, left
        yield right, right
    # before the cut they are not drawn, and still are where the room is not empty
    for polygon in (polygon for _, polygon in (*scene.room.columns, *scene.room.low)):
        along = cut.flat(shapely.get_coordinates(polygon))[:, 0]
        left, right = float(along.min()), float(along.max())
        if right - left > LONG_MM:
            # what runs on and on is there in what is kept, and where it ends is to be seen
            yield from ((s, s) for s in (left, right))
        else:
            yield left, right
    for one in seen:
        yield min(box.left for box in one.boxes), max(box.right for box in one.boxes)
    for stand in standing(every, cut):
        s = float(cut.flat(np.array([stand.bay.at]))[0][0])
        yield s - _BODY_MM, s + _BODY_MM
    for opening in scene.room.openings:
        sides = cut.flat(np.array([opening.left, opening.right]))[:, 0]
        yield float(sides.min()), float(sides.max())
    for item, run in hung(scene, cut, scene.room.training):
        ends = [run[0][0], run[-1][0]]
        if getattr(item, "kind", "") == "ceiling":
            # a ceiling is there all along; where it changes is to be seen
            yield from ((s, s) for s in ends)
        elif getattr(item, "kind", "") != "joist":
            yield min(ends), max(ends)


def without(gaps: Sequence[Gap], drawn: Figure, medium: Medium) -> Figure:
    """Return a section without its gaps, two break lines in the place of each."""
    if not gaps:
        return drawn
    x0, y0, x1, y1 = drawn.bounds
    em, far = medium.em_mm, x1 - x0
    starts = [x0 - far, *(gap.end for gap in gaps)]
    ends = [*(gap.start for gap in gaps), x1 + far]
    items: list[Item] = []
    less = 0.0
    for i, (start, end) in enumerate(zip(starts, ends, strict=True)):
        less += gaps[i - 1].less_mm(medium) if i else 0.0
        area = shapely.box(start, y0 - far, end, y1 + far)
        kept = clipped(drawn.items, area, em / LETTER_MM)
        items.append(Group(kept, move=(-less, 0.0)))
        breaks = [start] * (i > 0) + [end] * (i < len(gaps))
        items += [Polyline(tuple(_zigzag(s - less, y0 + em, y1 - em, em)), "thin") for s in breaks]
    # what stood in a gap, as the width of the room does, stands in the middle of what is left
    middle = (x0 + x1 - less) / 2
    for item in drawn.items:
        if isinstance(item, Text) and any(gap.start < item.at[0] < gap.end for gap in gaps):
            items.append(Text((middle, item.at[1]), item.words, item.ink, item.anchor))
    return Figure(tuple(items), shorter(gaps, drawn.bounds, medium))


def shorter(gaps: Sequence[Gap], bounds: Bounds, medium: Medium) -> Bounds:
    """Return how far a section reaches without its gaps."""
    x0, y0, x1, y1 = bounds
    return x0, y0, x1 - sum(gap.less_mm(medium) for gap in gaps), y1


def gap_words(gaps: Sequence[Gap], named: str, units: Units) -> str:
    """Say what of a section is left out."""
    each = " and ".join(format_short(gap.end - gap.start, units) for gap in gaps)
    return f"{named}: where nothing stands, {each} are left out between break lines."


def _zigzag(x: float, top: float, foot: float, em: float) -> Iterator[tuple[float, float]]:
    """Yield a break line from top to foot: straight, with a tooth in its middle."""
    tooth, middle = em * _TOOTH_EM, (top + foot) / 2
    for aside, y in ((0, top), (0, middle - tooth), (tooth, middle - tooth / 2),
                     (-tooth, middle + tooth / 2), (0, middle + tooth), (0, foot)):  # fmt: skip
        yield x + aside, y
