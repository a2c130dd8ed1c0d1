"""Where plates are put on: beyond the ends of a bar, not over what stands below its sleeves."""

import pytest

from app.arranging.bar_ends import bar_ends, beyond_mm, stands_below
from app.arranging.layout import Layout
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place, turned_plan

FULL = 450
"""Free length beyond a bar end that is enough, in mm."""


def beside(x: float, wide: float, deep: float, turned: float) -> Layout:
    """A rack with a bar of 2200 to x = 4100 in a wide room, and a low chest from x on."""
    plan = make_plan(
        place("mid-rack", 3000, 2500, piece_id="rack"),
        place("bar-20", 3000, 3013, carried_by="rack", piece_id="bar"),
        place("other-thing", x + wide / 2, 3013, width=wide, depth=deep, height=300),
        room=make_room(8000, 6000, 2700),
    )
    return Layout(build_scene(turned_plan(plan, turned)), ())


@pytest.mark.parametrize("turned", [0, 30])
@pytest.mark.parametrize(
    # a chest 300 high, far below the plates: over it nobody puts them on, beside it one does
    ("x", "below"),
    [(4095, True), (4105, False)],
)
def test_an_end_over_a_low_thing_is_not_free(x: float, below: bool, turned: float) -> None:
    layout = beside(x, 400, 400, turned)
    bar = layout.scene.placed["bar"]
    assert stands_below(layout, bar, 1) is below
    assert not stands_below(layout, bar, -1)
    assert beyond_mm(layout, bar, 1, FULL) == pytest.approx(0 if below else FULL)
    assert beyond_mm(layout, bar, -1, FULL) == pytest.approx(FULL)
    assert bar_ends(layout) == (0.0 if below else 1.0)


@pytest.mark.parametrize("turned", [0, 30])
@pytest.mark.parametrize(
    # from beyond the end, before and behind it: where one stands is 225 to 675 off the bar
    ("deep", "free"),
    [(1400, 0.0), (400, FULL)],
)
def test_an_end_where_nobody_can_stand_is_not_free(deep: float, free: float, turned: float) -> None:
    layout = beside(4110, 600, deep, turned)
    bar = layout.scene.placed["bar"]
    assert not stands_below(layout, bar, 1)
    assert beyond_mm(layout, bar, 1, FULL) == pytest.approx(free)
