"""The title block: a long value has both lines of its field before it is cut short."""

from dataclasses import replace

import pytest

from app.drawing.frame import TitleBlock, TitleWords, title_block
from app.drawing.ink import SMALL_MM
from app.drawing.lettering import width_of
from app.drawing.paper import block_of, frame_of
from app.drawing.primitives import Text

FRAME = frame_of(420, 297)
WORDS = TitleWords("", "Plan", "drawing", "1:25", "the household", "P-02", "", "")
ROOM_MM = 71.0
"""The field of the plan's name is 74 wide; 1.8 before a value are free, and 1.2 after it."""


def values(words: TitleWords) -> list[Text]:
    """What stands as values in the block."""
    return [
        one
        for one in title_block(words, FRAME, "1 of 1").children
        if isinstance(one, Text) and one.ink.startswith("value")
    ]


def named(name: str) -> list[Text]:
    """The lines of the name of a plan: values between the left edge of the block and its title."""
    box = block_of(FRAME)
    rest = {one.words for one in values(WORDS)}
    return [one for one in values(replace(WORDS, plan=name))
            if one.words and one.words not in rest and box.x < one.at[0] < box.x + 74]  # fmt: skip


def longest(room: float) -> str:
    """As many letters as a line of so many mm holds."""
    count = 1
    while width_of("n" * (count + 1), SMALL_MM) <= room:
        count += 1
    return "n" * count


def test_a_name_that_fills_its_line_is_on_one_and_a_letter_more_begins_beside_the_label() -> None:
    full = longest(ROOM_MM)
    (one,) = named(full)
    assert one.words == full
    head, tail = "The garage", full[:-5]
    first, second = named(f"{head} {tail}")
    assert (first.words, second.words) == (head, tail)
    # beside the name of its field, on the line of that
    label = next(t for t in title_block(WORDS, FRAME, "1 of 1").children
                 if isinstance(t, Text) and t.words == "Plan" and t.ink == "label")  # fmt: skip
    assert first.at[1] == label.at[1] < second.at[1]
    assert first.at[0] > label.at[0] + width_of("Plan", SMALL_MM)


@pytest.mark.parametrize("name", ["A garage in words " * 11, "n" * 200, "One two " + "n" * 190])
def test_no_line_of_a_name_of_200_letters_leaves_its_field(name: str) -> None:
    right = block_of(FRAME).x + 74
    first, second = named(name)
    assert second.words.endswith("…")
    for one in (first, second):
        assert one.at[0] + width_of(one.words, SMALL_MM) < right
    assert first.words
    assert "".join(name.split()).startswith((first.words + second.words[:-1]).replace(" ", ""))


def test_words_of_two_sheets_are_called_by_both_where_two_lines_hold_them() -> None:
    sheets = ("Headroom: clear heights and where what fits", "Light and power: what hangs on which")
    blocks = [TitleBlock(replace(WORDS, name=name), FRAME) for name in sheets]
    assert blocks[0].of_several(blocks[1:]).words.name == ", ".join(sheets)
    many = [TitleBlock(replace(WORDS, name=f"{i} {sheets[0]}"), FRAME) for i in range(4)]
    assert many[0].of_several(many[1:]).words.name == "Words of 4 sheets"
