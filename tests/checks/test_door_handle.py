"""A hand at the handle of the only way out, at both bounds. Common practice, no source."""

import pytest

from app.model.room import Opening, OpeningKind
from tests.builders import found, make_plan, make_room, place, turned_plan

GARAGE = Opening(
    id="garage", wall="front", kind="canopy", offset_mm=1500, width_mm=2000, height_mm=2000,
    way_out=True,
)  # fmt: skip


def told(
    off_mm: float, aside_mm: float = 0, height: float = 1800, kind: OpeningKind = "canopy",
    *, angle: float = 0, side_door: bool = False,
) -> int:  # fmt: skip
    """How many things are told of that stand so far from the door and from its middle."""
    garage = Opening(
        id="garage", wall="front", kind=kind, offset_mm=1500, width_mm=2000, height_mm=2000,
        way_out=True,
    )  # fmt: skip
    side = Opening(
        id="side", wall="left", kind="hinged", offset_mm=500, width_mm=800, height_mm=2000,
        way_out=True,
    )  # fmt: skip
    box = place("other-thing", 2500 + aside_mm, 5000 - off_mm - 150, width=600, depth=300,
                height=height)  # fmt: skip
    room = make_room(5000, 5000, openings=(garage, side) if side_door else (garage,))
    said = found(turned_plan(make_plan(box, room=room), angle), "handle-of-garage")
    assert all(snag.severity == "care" for snag in said)
    return len(said)


@pytest.mark.parametrize("angle", [0.0, 37.0])
@pytest.mark.parametrize(("off_mm", "count"), [(75, 1), (448, 1), (451, 0)])
def test_what_stands_before_the_middle_of_the_only_way_out(
    off_mm: float, count: int, angle: float
) -> None:
    """450 is the least that a person needs."""
    assert told(off_mm, angle=angle) == count


@pytest.mark.parametrize(("aside_mm", "count"), [(523, 1), (526, 0)])
def test_what_leaves_the_middle_free_is_in_no_hands_way(aside_mm: float, count: int) -> None:
    """Half of 600 of the thing and half of 450."""
    assert told(75, aside_mm) == count


def test_what_is_leant_over_or_where_another_door_leads_out_is_none() -> None:
    assert told(75, height=1001) == 1
    assert told(75, height=1000) == 0
    assert told(75, side_door=True) == 0
    assert told(75, kind="side-sliding") == 0


@pytest.mark.parametrize("angle", [0.0, 37.0])
@pytest.mark.parametrize(("off_mm", "count"), [(448, 1), (451, 0)])
def test_shelves_count_up_to_their_posts(off_mm: float, count: int, angle: float) -> None:
    """The boards of shelves 450 deep lie 10 behind the posts, which stand beside the hand."""
    shelf = place("shelving", 2500, 5000 - off_mm - 225, 180)
    plan = turned_plan(make_plan(shelf, room=make_room(5000, 5000, openings=(GARAGE,))), angle)
    assert len(found(plan, "handle-of-garage")) == count


def test_between_two_stands_a_hand_gets_through() -> None:
    """What is no full thing counts by its posts: those of stands leave the middle free."""
    stands = place("squat-stands", 2500, 4600)
    plan = make_plan(stands, room=make_room(5000, 5000, openings=(GARAGE,)))
    assert found(plan, "handle-of-garage") == []
