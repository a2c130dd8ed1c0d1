"""A box of 500 by 600 by 750 is stepped on at 500 until somebody types how high it stands."""

import pytest

from app.checks.snag import Snag
from tests.builders import judge, make_person, make_plan, make_room, place, turned_plan


def said(
    height: float, angle: float = 0, wanted: bool = True, typed: float | None = None
) -> list[Snag]:
    box = place("jump-box", 2500, 2500, height=typed)
    person = make_person(1700, want=["step-up"] if wanted else (), no=["box-jump"])
    plan = make_plan(box, room=make_room(height=height), people=[person])
    return [snag for snag in judge(turned_plan(plan, angle)) if snag.code == "side-up"]


@pytest.mark.parametrize("angle", [0, 37])
@pytest.mark.parametrize(
    ("height", "tail"),
    # 1700 + 25 of shoe + 100 of margin: 2325 on 500, 2425 on 600, 2575 on 750
    [
        (2575, ""),
        (2574, " Too high: 750 for 1.70 m."),
        (2425, " Too high: 750 for 1.70 m."),
        (2424, " Too high: 600 and 750 for 1.70 m."),
    ],
)
def test_it_is_said_which_side_it_lies_on_and_which_are_too_high(
    height: float, tail: str, angle: float
) -> None:
    (note,) = said(height, angle)
    assert (note.severity, note.background) == ("note", True)
    assert note.sentence == (
        "For step-ups it is judged laid on its side, 500 high and 750 x 600 mm on the floor; on "
        f"the plan it stands 750 high.{tail}"
    )


def test_nothing_is_said_of_a_height_that_is_typed_nor_where_nobody_steps_on_it() -> None:
    assert said(2600, typed=750) == []
    assert said(2600, typed=500) == []
    assert said(2600, wanted=False) == []
