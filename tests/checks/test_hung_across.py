"""What hangs on a wall hangs on wall, by hand: a window from 2000 to 2900, its sill at 1000."""

from typing import Any

import pytest

from app.checks.snag import Snag
from app.model.kit import Piece
from app.model.room import Opening
from tests.builders import found, make_plan, make_room, place, severities, turned_plan


def opening(**fields: Any) -> Opening:
    given = {"id": "w", "wall": "back", "kind": "window", "offset_mm": 2000, "width_mm": 900}
    return Opening.model_validate({**given, "height_mm": 600, "sill_mm": 1000, **fields})


def told(piece: Piece, **fields: Any) -> list[Snag]:
    return found(make_plan(piece, room=make_room(openings=[opening(**fields)])), "hung-across")


def mirror(x: float, **fields: Any) -> Piece:
    """A mirror of 1200 on the back wall, from 500 to 2000 high."""
    return place("mirror", x, 15, **fields)


@pytest.mark.parametrize(
    ("x", "taken"),
    [
        # its right edge is 600 on: 100 before the window, 101, 102 and all 900 of it
        (1400, None),
        (1401, None),
        (1402, 2),
        (1500, 100),
        (2450, 900),
        # and its left edge leaves it
        (3400, 100),
        (3498, 2),
        (3500, None),
    ],
)
def test_along_the_wall(x: float, taken: float | None) -> None:
    snags = told(mirror(x))
    assert [snag.measured for snag in snags] == ([] if taken is None else [-taken])
    for snag in snags:
        assert (snag.code, snag.severity, snag.required) == ("hung-across-w", "care", 0)
        assert f"{taken:g} mm of it would hang across the" in snag.sentence


@pytest.mark.parametrize(
    ("fields", "across"),
    [
        # a window that ends below 500, one that begins above 2000, and both by 2 mm
        ({"sill_mm": 100, "height_mm": 400}, False),
        ({"sill_mm": 100, "height_mm": 402}, True),
        ({"sill_mm": 2000, "height_mm": 400}, False),
        ({"sill_mm": 1998, "height_mm": 400}, True),
        # another wall's window, a door, a gap
        ({"wall": "front"}, False),
        ({"kind": "hinged", "sill_mm": 0, "height_mm": 2000}, True),
        ({"kind": "gap", "sill_mm": 0, "height_mm": 400}, False),
    ],
)
def test_up_the_wall(fields: dict[str, Any], across: bool) -> None:
    assert bool(told(mirror(2450), **fields)) is across


@pytest.mark.parametrize(
    ("wall", "x", "y", "angle"),
    # from the starting corner of each wall 2450 is the middle of the window
    [("back", 2450, 15, 0), ("right", 4985, 2450, 90), ("front", 2550, 4985, 180),
     ("left", 15, 2550, 270)],
)  # fmt: skip
def test_on_every_wall(wall: str, x: float, y: float, angle: float) -> None:
    (snag,) = told(place("mirror", x, y, angle), wall=wall)
    assert snag.measured == -900
    assert snag.where == (x, y)
    assert told(place("mirror", x, y, angle), wall=wall, offset_mm=100, width_mm=500) == []


def test_what_hangs_there_already_or_reaches_no_wall_is_left() -> None:
    assert told(mirror(2450, stays=True)) == []
    # 30 off the wall it still hangs, 31 off nothing holds it
    assert told(place("mirror", 2450, 45)) != []
    assert told(place("mirror", 2450, 46)) == []
    # what stands on the floor hangs nowhere
    assert told(place("flat-bench", 2450, 610)) == []


def test_the_widest_part_counts() -> None:
    # pegs: a board of 780 from 700 to 1400 up, and plates that reach 450 to either side from 780 to
    # 1230; a window that begins at 2860 meets the plates alone
    pegs = place("plate-pegs", 2450, 140)
    assert [snag.measured for snag in told(pegs)] == [-780]
    assert [snag.measured for snag in told(pegs, offset_mm=2860)] == [-40]
    assert told(pegs, offset_mm=2860, sill_mm=1240) == []


def test_what_stands_on_the_floor_does_not_hang() -> None:
    (snag,) = told(place("shelving", 2450, 225))
    assert "mm of it would stand across the" in snag.sentence


@pytest.mark.parametrize(
    ("x", "severity"),
    [(1450, None), (1452, "care"), (1600, "care"), (1602, "stop"), (2450, "stop")],
)
@pytest.mark.parametrize("turn", [0.0, 23.0])
def test_what_somebody_hangs_on_is_fixed_at_both_ends(
    x: float, severity: str | None, turn: float
) -> None:
    # 1100 wide: its right edge is 550 on; fixed within 150 of its ends: common practice, no source
    bar = place("pull-up-bar-wall", x, 300, piece_id="bar")
    high = opening(sill_mm=1000, height_mm=1400)
    plan = turned_plan(make_plan(bar, room=make_room(openings=[high])), turn)
    assert severities(plan, "hung-across") == ([severity] if severity else [])
    # where there is no wall for it nothing is said of the wall it hangs on
    assert bool(found(plan, "fixing")) == (severity != "stop")


@pytest.mark.parametrize(("y", "said"), [(45, []), (47, ["care"]), (1500, ["care"])])
@pytest.mark.parametrize("turn", [0.0, 23.0])
def test_a_pane_that_hangs_on_no_wall(y: float, said: list[str], turn: float) -> None:
    # 30 deep, its back may be 30 off: common practice, no source
    pane = make_plan(place("mirror", 2500, y), room=make_room())
    assert severities(turned_plan(pane, turn), "off-the-wall") == said
    stays = make_plan(place("mirror", 2500, y, stays=True), room=make_room())
    assert severities(stays, "off-the-wall") == []


def test_what_stands_and_what_shuts_off_need_no_wall_to_hold_it() -> None:
    assert severities(make_plan(place("shelving", 2500, 2500)), "off-the-wall") == []
    assert severities(make_plan(place("gas-tap", 2500, 2500)), "off-the-wall") == []
