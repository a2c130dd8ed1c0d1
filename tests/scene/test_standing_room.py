"""The highest square of floor to stand a thing up, by hand and turned round; squares of 600."""

import pytest

from app.model.room import Joists, LowThing, Plane, Room
from app.scene.build import build_scene
from app.scene.standing_room import highest_over_square_mm
from tests.builders import Corner, low_thing, make_plan, make_room, rectangle, turned_plan


def highest(room: Room, angle: float = 0) -> float:
    plan = turned_plan(make_plan(room=room), angle, (300, -700))
    return highest_over_square_mm(build_scene(plan).room, 600)


def beams(*between: tuple[float, float]) -> list[LowThing]:
    """Beams at 2200 from back to front, each from one x to another."""
    return [low_thing(rectangle(low, 0, high, 5000), 2200, f"b{low:g}") for low, high in between]


ANGLES = pytest.mark.parametrize("angle", [0, 30, 45, 90, 215])


@ANGLES
@pytest.mark.parametrize(
    ("between", "height"),
    [
        ([], 2600),
        # a gap of 602, of 600, of 597 anywhere between, at a wall, at both
        ([(0, 1111), (1713, 5000)], 2600),
        ([(0, 1111), (1711, 5000)], 2600),
        ([(0, 1111), (1708, 5000)], 2200),
        ([(600, 5000)], 2600),
        ([(597, 5000)], 2200),
        ([(597, 4403)], 2200),
        ([(597, 4400)], 2600),
    ],
)
def test_a_gap_between_beams_takes_a_square_or_not(
    between: list[tuple[float, float]], height: float, angle: float
) -> None:
    assert highest(make_room(5000, 5000, low_things=beams(*between)), angle) == height


@ANGLES
def test_a_gap_that_is_wide_one_way_only_is_none(angle: float) -> None:
    across = low_thing(rectangle(0, 590, 5000, 5000), 2300, "across")
    room = make_room(low_things=[*beams((700, 5000)), across])
    # 700 x 590 in the corner under 2600: the rest hangs at 2200 or 2300
    assert highest(room, angle) == 2300
    wide = low_thing(rectangle(0, 601, 5000, 5000), 2300, "across")
    assert highest(make_room(low_things=[*beams((700, 5000)), wide]), angle) == 2600


@ANGLES
def test_under_a_slope_it_is_the_lower_edge_of_the_highest_square(angle: float) -> None:
    # 120 a metre over 5 m: 2000 + 4.4 x 120; a ridge at 2600 in the middle: 300 either side of it
    slope = Plane(id="roof", height_mm=2000, rise_x=120)
    assert highest(make_room(planes=[slope]), angle) == pytest.approx(2528, abs=0.3)
    ridge = (
        Plane(id="up", height_mm=2100, rise_x=200, outline=rectangle(0, 0, 2500, 5000)),
        Plane(id="down", height_mm=3100, rise_x=-200, outline=rectangle(2500, 0, 5000, 5000)),
    )
    assert highest(make_room(planes=ridge), angle) == pytest.approx(2540, abs=0.3)
    # a beam along the ridge leaves what lies beside it
    beam = low_thing(rectangle(2450, 0, 2550, 5000), 2300, "ridge")
    room = make_room(planes=ridge, low_things=[beam])
    assert highest(room, angle) == pytest.approx(2600 - (50 + 600) / 5, abs=0.3)
    # one that slopes both ways: highest in a corner
    both = Plane(id="roof", height_mm=2000, rise_x=60, rise_y=80)
    assert highest(make_room(planes=[both]), angle) == pytest.approx(2000 + 4.4 * 140, abs=0.3)


def test_joists_nearer_than_a_square_are_the_height() -> None:
    def under(spacing: float) -> float:
        joists = Joists(
            direction_deg=0, spacing_mm=spacing, width_mm=45, depth_mm=150, first_mm=100
        )
        return highest(make_room(5000, 5000, 2600, joists=joists))

    assert under(400) == 2450
    assert under(645) == 2600
    assert under(640) == 2450


@pytest.mark.parametrize(
    ("corners", "height"),
    [
        # an L whose leg of 500 is under 3000, the rest under 2400; then a leg of 700
        ([(0, 0), (3000, 0), (3000, 2000), (500, 2000), (500, 4000), (0, 4000)], 2400),
        ([(0, 0), (3000, 0), (3000, 2000), (700, 2000), (700, 4000), (0, 4000)], 3000),
        # no square of 600 at all: the whole floor counts
        ([(0, 0), (500, 0), (500, 4000), (0, 4000)], 2400),
    ],
)
def test_the_square_lies_in_the_room(corners: list[Corner], height: float) -> None:
    planes = (
        Plane(id="low", height_mm=2400, outline=rectangle(0, 0, 3000, 2000)),
        Plane(id="high", height_mm=3000, outline=rectangle(0, 2000, 3000, 4000)),
    )
    assert highest(make_room(corners=corners, planes=planes)) == height
