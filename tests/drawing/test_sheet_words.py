"""Rows of the key keep to their column, however slim it is and however long sizes are in feet."""

import pytest

from app.drawing.ink import size_of
from app.drawing.lettering import width_of
from app.drawing.primitives import Group, Item, Text
from app.drawing.sheet_words import KeyRow, key_block

ROW = KeyRow(12, "Adjustable dumbbells", "2' 11 7/16\" × 1' 5 11/16\"", "4' 11 1/16\"")


def texts(items: tuple[Item, ...]) -> list[Text]:
    return [
        text
        for item in items
        for text in (texts(item.children) if isinstance(item, Group) else [item])
        if isinstance(text, Text)
    ]


@pytest.mark.parametrize("width", [44.0, 47.0, 55.0, 64.0, 90.0, 120.0])
def test_a_row_of_the_key_keeps_to_its_column(width: float) -> None:
    _, entry = key_block([ROW]).entries
    words = texts(entry.at(10.0, 20.0, width))
    assert " ".join(text.words for text in words) in (
        f"12 {ROW.name} {ROW.size}, {ROW.height}",
        f"12 {ROW.name} {ROW.size} {ROW.height}",
    )
    for text in words:
        wide = width_of(text.words, size_of(text.ink))
        left = text.at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[text.anchor]
        assert left >= 10.0 - 0.2
        assert left + wide <= 10.0 + width + 1e-6
    assert max(text.at[1] for text in words) <= 20.0 + entry.high_mm(width)
