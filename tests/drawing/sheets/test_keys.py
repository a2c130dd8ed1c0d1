"""The key of a sheet tells every line and surface that its drawing shows, and none besides."""

import pytest

from app.drawing.sheet import Sheet
from app.model.plan import Plan
from tests.builders import make_plan, make_room, place
from tests.drawing.reading import parse, seen
from tests.drawing.sheets.judged import sample, sheet, subjects

# what nobody knows without a key; walls, doors, lengths and numbers are read by everybody
TOLD = frozenset(
    {"joist", "low", "overhead", "contour", "offset", "lit", "lamp", "cable", "space", "mirror",
     "socket-pin", "pale", "over"}
)  # fmt: skip
SHEETS = ("plan", "headroom", "power")
ROOMS = ("double-garage", "single-garage", "basement", "upstairs-room")


def inks(of: Sheet) -> tuple[set[str], set[str]]:
    """What the drawing shows, and what the key has samples of: both read from the pages."""
    drawn, keyed = set[str](), set[str]()
    for svg in of.inside:
        for one in seen(parse(svg)):
            in_words = "words" in " ".join(one.inside).split()
            for ink in one.ink.split():
                if ink in TOLD and one.tag != "text":
                    (keyed if in_words else drawn).add(ink)
    return drawn, keyed


@pytest.mark.parametrize("which", SHEETS)
@pytest.mark.parametrize("key", ROOMS)
def test_what_is_drawn_is_in_the_key_and_nothing_else(key: str, which: str) -> None:
    drawn, keyed = inks(sheet(sample(key), which))
    assert drawn
    assert drawn == keyed


@pytest.mark.parametrize("which", SHEETS)
def test_of_a_bare_room_the_key_tells_nothing_that_is_not_there(which: str) -> None:
    plan: Plan = make_plan(place("jump-box", 2500, 1500, 30), room=make_room(3600, 3100))
    drawn, keyed = inks(sheet(subjects(plan), which))
    assert drawn == keyed
