"""Rules of drawing practice, each with where it is from and how sure that is.

Status as in the register: read, quoted, practice or memory. None of the standards lies before us:
what is quoted is so from drawing-office handbooks, what is from memory says so.
"""

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from app.drawing.frame import NUMBERS, TitleWords, page_and_frame, title_block
from app.drawing.ink import LOOK
from app.drawing.paper import ALL_SCALES, PAPERS, SCALES, block_of, frame_of
from app.drawing.primitives import Group, Item, Line, Text
from tests.drawing.sheets.judged import sample, sheet


@dataclass(frozen=True)
class Rule:
    """One rule: its standard and clause, how sure that is, what it says, and how it is held to."""

    standard: str
    status: str
    says: str
    holds: Callable[[], bool]


def strokes(items: tuple[Item, ...]) -> list[Item]:
    flat: list[Item] = []
    for item in items:
        flat += strokes(item.children) if isinstance(item, Group) else [item]
    return flat


A3_LYING = (420.0, 297.0)
BLOCK = TitleWords("Room", "Plan", "drawing", "1:25", "us", "R-02", "3", "2027-05-06")


def margins() -> bool:
    frame = frame_of(*A3_LYING)
    return (frame.x, frame.y, 420 - frame.right, 297 - frame.bottom) == (20, 10, 10, 10)


def centred() -> bool:
    marks = [
        item
        for item in strokes(page_and_frame(*A3_LYING))
        if isinstance(item, Line) and item.ink == "centring"
    ]
    at = {(round(m.start[0], 1), round(m.start[1], 1)) for m in marks}
    return len(marks) == 4 and {x for x, _ in at} >= {210.0} and {y for _, y in at} >= {148.5}


def zones() -> bool:
    """On all four sides, but on A4 at the top and on the right alone."""
    right, low = A3_LYING[0] - 10, A3_LYING[1] - 10
    told: dict[str, list[str]] = {}
    for item in strokes(page_and_frame(*A3_LYING)):
        if isinstance(item, Text) and item.ink == "zone":
            (x, y) = item.at
            side = "left" if x < 20 else "right" if x > right else "top" if y < 10 else "foot"
            assert side != "foot" or y > low
            told.setdefault(side, []).append(item.words)
    (a4,) = [
        [i for i in strokes(page_and_frame(210, 297)) if isinstance(i, Text) and i.ink == "zone"]
    ]
    alike = told["top"] == told["foot"] == list("12345678")
    return (
        alike
        and told["left"] == told["right"] == list("ABCDEF")
        and all(i.at[1] < 10 or i.at[0] > 200 for i in a4)
    )


def fields() -> bool:
    words = {
        item.words
        for item in strokes((title_block(BLOCK, frame_of(*A3_LYING), "1 of 8"),))
        if isinstance(item, Text)
    }
    return {
        "Legal owner", "Identification", "Date of issue", "Sheet", "Title", "Approved by",
        "Created by", "Document type",
    } <= words  # fmt: skip


def reads_right() -> bool:
    every = strokes(sheet(sample("double-garage"), "plan").pages[0].items)
    figures = [item for item in every if isinstance(item, Text) and item.ink == "dimt"]
    return bool(figures) and all(-90.5 <= item.turn_deg < 80.5 for item in figures)


def cut_is_twice() -> bool:
    cut, thin = LOOK["wall"].width_mm, LOOK["thing"].width_mm
    return cut is not None and thin is not None and cut >= 2 * thin


def overhead_is_broken() -> bool:
    three = [LOOK[ink].dash for ink in ("joist", "low", "overhead")]
    return all(three) and len(set(three)) == 3


SERIES = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7)
RULES = (
    Rule("ISO 216, A series", "quoted", "A4 210 x 297, A3 297 x 420",
         lambda: (PAPERS["A4"].short_mm, PAPERS["A3"].long_mm) == (210, 420)),
    Rule("ASME Y14.1, sizes A and B", "quoted", "8.5 x 11 in and 11 x 17 in",
         lambda: (PAPERS["Letter"].short_mm, PAPERS["Tabloid"].long_mm) == (215.9, 431.8)),
    Rule("ISO 5455, table 1", "quoted", "reductions 1:10, 1:20, 1:50, 1:100, 1:200, 1:500",
         lambda: {10, 20, 50, 100, 200, 500} <= set(SCALES["metric"])),
    Rule("drawing-office practice", "practice", "1:25 where 1:20 is too large",
         lambda: 25 in SCALES["metric"]),
    Rule("US architects' scales", "practice", "3/4, 1/2, 3/8, 1/4, 1/8 in to the foot",
         lambda: {12 / 0.75, 12 / 0.5, 12 / 0.375, 12 / 0.25, 12 / 0.125} <= set(ALL_SCALES)),
    Rule("ISO 5457, borders", "quoted", "20 at the binding edge, 10 at the others", margins),
    Rule("ISO 5457, frame", "quoted", "frame and centring marks 0.7 wide",
         lambda: LOOK["frame"].width_mm == LOOK["centring"].width_mm == 0.7),
    Rule("ISO 5457, centring marks", "quoted", "four, in the middle of the sides", centred),
    Rule("ISO 5457, grid", "memory", "zones of 50 on all sides, without I and O", zones),
    Rule("ISO 7200, width", "quoted", "the title block is 180 wide, in the lower right corner",
         lambda: block_of(frame_of(*A3_LYING)).width == 180
         and block_of(frame_of(*A3_LYING)).right == frame_of(*A3_LYING).right),
    Rule("ISO 7200, fields", "quoted", "the eight fields that must be there", fields),
    Rule("ISO 128-2, widths", "quoted", "0.13 0.18 0.25 0.35 0.5 0.7",
         lambda: {s.width_mm for s in LOOK.values() if s.width_mm is not None} <= set(SERIES)),
    Rule("ISO 128-2, proportion", "quoted", "what is cut is twice as wide as what is seen",
         cut_is_twice),
    Rule("ISO 128, hidden and before", "memory", "joists, beams and doors overhead told apart",
         overhead_is_broken),
    Rule("ISO 3098-1, heights", "quoted", "capitals 2.5, 3.5, 5 or 7 mm",
         lambda: all(
             min(abs(s.size_mm * 1462 / 2048 - h) for h in (2.5, 3.5, 5, 7)) < 1e-6
             for s in LOOK.values() if s.size_mm is not None)),
    Rule("ISO 129-1, reading", "quoted", "figures read from the foot or the right-hand side",
         reads_right),
)  # fmt: skip


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: f"{rule.standard}: {rule.says}")
def test_the_rule_holds(rule: Rule) -> None:
    assert rule.status in ("read", "quoted", "practice", "memory")
    assert rule.holds()


def test_each_sheet_of_the_set_has_a_number_of_its_own() -> None:
    assert len(set(NUMBERS.values())) == len(NUMBERS)
