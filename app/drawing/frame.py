"""What stands on every sheet: frame, centring marks, zones, title block, scale bar, true length.

Frame and margins after ISO 5457 (binding margin 20, others 10, frame of 0.7, centring marks 0.7
that run 10 into the sheet, zones of 50 mm counted from them); title block after ISO 7200.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from app.drawing.face import printed
from app.drawing.ink import SMALL_MM, size_of
from app.drawing.lettering import shorten, width_of, wrap
from app.drawing.paper import (
    BINDING_MM,
    BLOCK_MM,
    MARGIN_MM,
    Box,
    block_of,
    frame_of,
)
from app.drawing.primitives import Group, Item, Line, Polygon, Text
from app.drawing.sheet import TitleFields
from app.drawing.sheet_words import HOUSEHOLD, hundred_mm, scale_bar
from app.model.plan import Plan
from app.units import Units

PAD_MM, PAST_MARK_MM = 5.5, 6.0
"""What is free between an edge and words; at the sides of a frame a centring mark runs in 5."""
UNDER_FIGURE_MM = 2.0
"""What is free under columns that stand under a figure: no edge runs there, the strip is airy."""
_NAME_MM = 73.0
"""How wide the name of a sheet may be in its field."""
WORDS_ALONE_MM = 80.0
"""A column on a sheet of words is at least so wide, with the pad round its words."""
GUTTER_MM = 6.0
"""What is free between two columns of words."""
_TITLE = "Title"
"""What its field is called."""
_ZONE_MM = 50.0
_TICK_MM, _ZONE_OFF_MM = 4.0, 4.5
"""How long the ticks between zones are, and how far off the frame their letters stand."""
_SMALLEST_MM = 300.0
"""Papers no longer than this are A4 and its like, where zones stand on two sides (ISO 5457)."""
_CENTRING_MM = 5.0
"""How far the centring marks run into the drawing from the frame."""
_LABEL_FOOT_MM, _OFF_LABEL_MM = 3.3, 1.8
"""Where the names of fields stand under their upper edge, and what is free beside them where a long
value begins there."""
_OVER_RULE_MM = 1.4
"""What a value stands over the rule under it: its tails keep clear of the rule."""
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Zones from top to bottom, without I and O (ISO 5457)."""

NUMBERS = {
    "cover": 1, "plan": 2, "picture": 3, "setting-out": 4, "section": 5, "walls": 6,
    "headroom": 7, "power": 8, "floor": 9, "quantities": 10, "costs": 11, "works": 12,
    "months": 13, "templates": 14, "kit": 15,
}  # fmt: skip
"""The number in the identification of each sheet: one that comes later takes the next."""


@dataclass(frozen=True, slots=True)
class TitleWords:
    """What stands in the title block."""

    plan: str
    name: str
    document: str
    scale: str
    owner: str
    ident: str
    revision: str
    date: str


def title_words(
    plan: Plan, key: str, name: str, document: str, scale: str, fields: TitleFields
) -> TitleWords:
    """Return the words of a title block: `key` is the sheet's own, `name` what it shows."""
    owner = fields.drawn_for or plan.drawn_for or HOUSEHOLD
    # signs that the font has not would be spelled out
    firsts = [word[0] for word in plan.name.split() if printed(word[0]) == word[0]]
    initials = "".join(first for first in firsts if first.isalnum()).upper()[:4]
    ident = f"{initials or 'P'}-{NUMBERS.get(key, 0):02d}"
    return TitleWords(
        plan.name, name, document, scale, owner, ident, fields.revision, fields.date
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """The title block of a sheet, still without its number; it stands in the corner of a frame."""

    words: TitleWords
    frame: Box

    def __call__(self, number: str, goes_on: str = "") -> Group:
        """Letter it for a number such as "1 of 2"; `goes_on` is the sheet that has more words."""
        words = self.words
        if goes_on:
            words = replace(words, document=f"{words.document}; more: sheet {goes_on}")
        return title_block(words, self.frame, number)

    def of_several(self, others: Sequence[TitleBlock]) -> TitleBlock:
        """Return that of a page which this sheet shares with others."""
        every = [one.words for one in (self, *others)]
        names = list(dict.fromkeys(one.name for one in every))
        name = ", ".join(names)
        if width_of(_two_lines(_TITLE, name, _NAME_MM)[1], SMALL_MM) > _NAME_MM:
            name = f"Words of {len(names)} sheets"
        # what follows has the letters of the plan once: the field holds some ten signs
        first, *rest = dict.fromkeys(one.ident for one in every)
        ident = ", ".join((first, *(one.rpartition("-")[2] for one in rest)))
        return replace(self, words=replace(self.words, name=name, ident=ident, document="words"))


def page_and_frame(width_mm: float, height_mm: float) -> tuple[Item, ...]:
    """Draw the paper, the frame on it, its centring marks and zones."""
    frame = frame_of(width_mm, height_mm)
    page = ((0.0, 0.0), (width_mm, 0.0), (width_mm, height_mm), (0.0, height_mm))
    ring = (
        (frame.x, frame.y), (frame.right, frame.y),
        (frame.right, frame.bottom), (frame.x, frame.bottom),
    )  # fmt: skip
    return (
        Polygon(page, "page"),
        Polygon(ring, "frame"),
        Group((*_centring(width_mm, height_mm, frame), *_zones(width_mm, height_mm, frame)), ""),
    )


def _centring(width: float, height: float, frame: Box) -> list[Item]:
    """Mark the middle of each side of the paper, for copies and for folding."""
    x, y = width / 2, height / 2
    # not into the title block
    foot = frame.bottom - (_CENTRING_MM if x < block_of(frame).x else 0.0)
    return [
        Line((x, MARGIN_MM / 2), (x, frame.y + _CENTRING_MM), "centring"),
        Line((x, height - MARGIN_MM / 2), (x, foot), "centring"),
        Line((BINDING_MM - MARGIN_MM / 2, y), (frame.x + _CENTRING_MM, y), "centring"),
        Line((width - MARGIN_MM / 2, y), (frame.right - _CENTRING_MM, y), "centring"),
    ]


def _zones(width: float, height: float, frame: Box) -> list[Item]:
    """Number the zones along top and foot, letter them down both sides; from top to bottom.

    The smallest papers have them at the top and on the right alone.
    """
    items: list[Item] = []
    half = SMALL_MM * 0.36
    both = max(width, height) > _SMALLEST_MM
    for across, middle, low, high, sides in (
        (True, width / 2, frame.x, frame.right, ((frame.y, -1), (frame.bottom, 1))),
        (False, height / 2, frame.y, frame.bottom, ((frame.right, 1), (frame.x, -1))),
    ):
        before = int((middle - low) // _ZONE_MM)
        edges = [middle + (i - before) * _ZONE_MM for i in range(2 * before + 1)]
        edges = [edge for edge in edges if low + 1 < edge < high - 1]
        for side, out in sides if both else sides[:1]:
            off = side + out * _TICK_MM
            for edge in edges:
                if abs(edge - middle) > 1:
                    ends = ((edge, side), (edge, off)) if across else ((side, edge), (off, edge))
                    items.append(Line(*ends, "hair"))
            for i, (start, end) in enumerate(pairwise((low, *edges, high))):
                at, beside = (start + end) / 2, side + out * _ZONE_OFF_MM
                place = (at, beside + half) if across else (beside, at + half)
                if end - start > SMALL_MM * 2:
                    items.append(Text(place, str(i + 1) if across else _LETTERS[i], "zone"))
    return items


def title_block(words: TitleWords, frame: Box, number: str) -> Group:
    """Letter the title block of a sheet with a number into the corner of the frame."""
    box = block_of(frame)
    x, y, right = box.x, box.y, box.right
    rows = (y, y + 10.2, y + 18.6, box.bottom)
    items: list[Item] = [Line((x, y), (right, y), "edge"), Line((x, y), (x, box.bottom), "edge")]
    items += [Line((x, at), (right, at), "rule") for at in rows[1:3]]
    cells = (
        (
            (0, 74, "Plan", words.plan, "value"), (74, 76, _TITLE, words.name, "title"),
            (150, 30, "Sheet", number, "value-strong"),
        ),
        (
            (0, 62, "Legal owner", words.owner, "value"),
            (62, 50, "Document type", words.document, "value"),
            (112, 68, "Scale", words.scale, "value"),
        ),
        (
            (0, 38, "Created by", "Elbowroom", "value"),
            (38, 36, "Approved by", "", "value"),
            (74, 38, "Identification", words.ident, "value"),
            (112, 36, "Date of issue", words.date or "–", "value"),
            (148, 32, "Revision", words.revision or "–", "value"),
        ),
    )  # fmt: skip
    for row, (top, below) in zip(cells, pairwise(rows), strict=True):
        for at, wide, name, value, ink in row:
            if at:
                items.append(Line((x + at, top), (x + at, below), "rule"))
            items += _field(x + at + 1.8, top, wide - 3.0, below - top, name, value, ink)
    return Group(tuple(items), "title-block")


def _field(
    x: float, top: float, room: float, high: float, name: str, value: str, ink: str
) -> list[Item]:
    """Letter one field: its name, under it its value; a long one smaller, and from beside it on."""
    items: list[Item] = [Text((x, top + _LABEL_FOOT_MM), name, "label", "start")]
    bold = ink != "value"
    foot = top + high - _OVER_RULE_MM
    if width_of(value, size_of(ink), bold=bold) <= room:
        return [*items, Text((x, foot), value, ink, "start")]
    first, second = _two_lines(name, value, room)
    if first:
        at = x + _beside_label_mm(name), top + _LABEL_FOOT_MM
        items.append(Text(at, first, "value", "start"))
    return [*items, Text((x, foot), shorten(second, SMALL_MM, room), "value", "start")]


def _two_lines(name: str, value: str, room: float) -> tuple[str, str]:
    """Return what of a value stands beside the name of its field, and all the rest."""
    words = " ".join(value.split())
    if width_of(words, SMALL_MM) <= room:
        return "", words
    first = wrap(words, SMALL_MM, room - _beside_label_mm(name))[0]
    return first, words[len(first) :].strip()


def _beside_label_mm(name: str) -> float:
    """Return how far from the name of a field what stands beside it begins."""
    return width_of(name, size_of("label")) + _OFF_LABEL_MM


def strip_items(strip: Box, scale: int, paper: str, units: Units) -> tuple[Item, ...]:
    """Draw the scale bar and the line of 100 mm into the strip at the foot."""
    top = strip.y + strip.height / 2 - 2
    left = strip.right - 108
    bar = scale_bar(strip.x + 6, top, left - strip.x - 14, scale, units)
    return (Group(bar, "scale-bar"), Group(hundred_mm(left, top, paper, units), "true-length"))


def word_columns(
    width_mm: float, height_mm: float, least_mm: float = WORDS_ALONE_MM
) -> tuple[Box, ...]:
    """Divide a sheet of words into columns of a least width; give the room for words in each."""
    frame = frame_of(width_mm, height_mm)
    count = max(1, int(frame.width // least_mm))
    each, high = frame.width / count, frame.height - BLOCK_MM
    return padded([Box(frame.x + i * each, frame.y, each, high) for i in range(count)])


def body_of(width_mm: float, height_mm: float) -> Box:
    """Return what of a sheet is free over the title block, inside a pad."""
    frame = frame_of(width_mm, height_mm)
    return padded([Box(frame.x, frame.y, frame.width, frame.height - BLOCK_MM)])[0]


def padded(columns: Sequence[Box]) -> tuple[Box, ...]:
    """Return the room for words inside columns that stand side by side, from left to right.

    Columns under a figure follow those beside it, and are a row of their own.
    """
    low = next((i for i, c in enumerate(columns) if c.y > columns[0].y), len(columns))
    if low < len(columns):
        return (*padded(columns[:low]), *padded(columns[low:]))
    boxes = []
    for i, c in enumerate(columns):
        first = PAST_MARK_MM if c.x < BINDING_MM + 1 else PAD_MM
        left = GUTTER_MM / 2 if i else first
        right = GUTTER_MM / 2 if i + 1 < len(columns) else PAST_MARK_MM
        foot = PAD_MM if c.y < MARGIN_MM + 1 else UNDER_FIGURE_MM
        high = c.height - PAD_MM - foot
        boxes.append(Box(c.x + left, c.y + PAD_MM, c.width - left - right, high))
    return tuple(boxes)


def rules_between(boxes: Sequence[Box]) -> tuple[Item, ...]:
    """Draw the rules between columns that stand side by side."""
    return tuple(Line((b.x, b.y), (b.x, b.bottom), "rule") for _, b in pairwise(boxes))
