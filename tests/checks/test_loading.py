"""A place to stand at each sleeve of a racked bar, and room between the ends of two bars.

450 x 450 at each sleeve is common practice, no source; 914 between two bars is the NSCA's 36 in.
"""

import pytest

from app.model.kit import Piece
from tests.builders import found, make_plan, make_room, place, turned_plan
from tests.layouts import good_layout


def station(x: float = 2500, y: float = 2500, name: str = "rack") -> tuple[Piece, ...]:
    """A rack 1220 x 1250 and a bar 2200 long, its line 513 before the rack's middle."""
    return (
        place("mid-rack", x, y, piece_id=name),
        place("bar-20", x, y + 513, piece_id=f"{name}-bar", carried_by=name),
    )


def test_a_free_rack_and_an_empty_room_say_nothing() -> None:
    assert found(make_plan(*station()), "room-to-load") == []
    assert found(make_plan(), "room-to-load") == []
    assert found(good_layout(), "room-to-load") == []


def boxed(gap: float, x: float = 2500, width: float = 1400) -> list[Piece]:
    """Shelves before and behind the left sleeve, so far from the plates of the bar."""
    line, left = 3013, x - 1100
    return [
        place("shelving", left, line + 225 + gap + 200, piece_id="a", width=width, depth=400),
        place("shelving", left, line - 225 - gap - 200, piece_id="b", width=width, depth=400),
    ]


@pytest.mark.parametrize(("gap", "count"), [(450, 0), (449, 0), (435, 1), (300, 1)])
def test_shelves_before_and_behind_a_sleeve(gap: float, count: int) -> None:
    plan = make_plan(*station(), *boxed(gap), room=make_room(6000, 6000))
    snags = found(plan, "room-to-load")
    assert [snag.severity for snag in snags] == ["care"] * count
    for snag in snags:
        assert snag.pieces == ("rack-bar",)
        assert "at the left one the shelving is before, the shelving behind" in snag.sentence
        assert "right" not in snag.sentence
        assert "450 x 450" in snag.sentence


# The bar of 2200 ends at x = 1400; its sleeves are 415. Squares of 450 lie from 1175 to 1625 (over
# the end), 1365 to 1815 (in at the sleeve) and 1382.5 to 1832.5 (over its middle).
@pytest.mark.parametrize(
    ("left", "right", "count"),
    [
        (1625, 2500, 0),  # the square over the end is free
        (1605, 2500, 1),
        (0, 1383, 0),  # the one over the middle, but for half a millimetre
        (0, 1395, 1),
    ],
)
def test_what_stands_beside_a_square_leaves_it_free(left: float, right: float, count: int) -> None:
    beside = place("shelving", (left + right) / 2, 3438, width=right - left, depth=400)
    plan = make_plan(*station(), boxed(100)[1], beside, room=make_room(6000, 6000))
    assert len(found(plan, "room-to-load")) == count


@pytest.mark.parametrize("covering", [0, 20])
def test_what_is_stepped_over_is_no_matter(covering: float) -> None:
    # mats 40 high before and behind both sleeves: 50 above what lies on the floor are stepped over
    mats = [
        place("mat-space", x, y, piece_id=f"m{x}{y}", width=1400, depth=400, height=40)
        for x in (1400, 3600)
        for y in (3013 + 225 + 300, 3013 - 225 - 300)
    ]
    plan = make_plan(*station(), *mats, room=make_room(6000, 6000, covering=covering))
    assert found(plan, "room-to-load") == []


def test_one_of_the_two_is_enough() -> None:
    plan = make_plan(*station(), boxed(100)[0], room=make_room(6000, 6000))
    assert found(plan, "room-to-load") == []


@pytest.mark.parametrize("angle", [37, 90, 211])
def test_turning_everything_changes_nothing(angle: float) -> None:
    plan = make_plan(*station(), *boxed(300), room=make_room(6000, 6000))
    turned = turned_plan(plan, angle, (700, -300))
    assert [s.key for s in found(turned, "room-to-load")] == [
        s.key for s in found(plan, "room-to-load")
    ]


@pytest.mark.parametrize(
    ("gap", "measured"), [(914, None), (913, None), (900, 900), (301, 301), (290, None)]
)
def test_ends_of_two_bars(gap: float, measured: int | None) -> None:
    # nearer than 300 the room beyond each end says it
    plan = make_plan(
        *station(1500), *station(1500 + 2200 + gap, name="other"), room=make_room(8000, 5000)
    )
    snags = found(plan, "bar-ends-apart")
    assert [(s.severity, s.measured) for s in snags] == (
        [] if measured is None else [("note", measured)]
    )


def test_of_a_sleeve_inside_the_wall_only_that_is_said() -> None:
    plan = make_plan(*station(1000), *boxed(100, 1000, 1800), room=make_room(6000, 6000))
    codes = {snag.code for snag in found(plan, "") if "rack-bar" in snag.pieces}
    assert "outside" in codes
    assert "room-to-load" not in codes
