"""Parts of a ceiling and steps of a floor: told from a wall, corner by corner, and refused."""

import pytest

from app.model.plan import Plan
from app.model.room import Ceiling, Plane, Room
from app.model.room_missing import missing
from app.model.room_overhead import ceiling_form
from app.model.room_parts import part_form, part_numbers, parts_of
from app.scene.part_cover import bare_share
from tests.builders import make_room
from tests.forms.test_room_edits import after, faults


def plan(room: Room | None = None) -> Plan:
    """A room of 5 x 4 m, 2.40 m high; the back wall runs along y = 0."""
    return Plan(name="Room", room=room or make_room(5000, 4000, 2400))


LOW = {"wall": "back", "lies": "rectangle", "long": "5 m", "wide": "1 m", "height": "2 m"}


def with_low() -> Plan:
    return after(plan(), "add-over", **LOW)


def test_a_low_part_is_added_beside_the_shape() -> None:
    done = with_low()
    (part,) = parts_of(done.room, "ceiling")
    assert part.outline == ((0, 0), (5000, 0), (5000, 1000), (0, 1000))
    assert part.height_mm == 2000
    # the ceiling itself is still told as flat
    assert (ceiling_form(done.room).shape, ceiling_form(done.room).height_mm) == ("flat", 2400)
    form = part_form(done.room, part)
    assert (form.wall, form.lies, form.tilt, form.near_mm) == ("back", "rectangle", "level", 2000)


def test_another_shape_keeps_the_parts_beside_it() -> None:
    fields = {"shape": "sloping", "wall": "back", "height": "2.2 m", "far": "2.6 m"}
    done = after(with_low(), "ceiling", **fields)
    assert [part.id for part in parts_of(done.room, "ceiling")] == ["part-1"]
    ridged = {**fields, "shape": "ridged", "ridge": "3 m", "ridge_at": "2 m"}
    done = after(done, "ceiling", **ridged)
    assert ceiling_form(done.room).shape == "ridged"
    assert [part.id for part in parts_of(done.room, "ceiling")] == ["part-1"]
    # the ridge follows the walls and the part stays
    wider = after(done, "wall-length", wall="right", length="5 m")
    assert [part.id for part in parts_of(wider.room, "ceiling")] == ["part-1"]


def test_a_part_that_slopes_is_told_by_both_its_sides() -> None:
    done = after(with_low(), "over", part="part-1", **{**LOW, "tilt": "slope", "far": "2.3 m"})
    (part,) = parts_of(done.room, "ceiling")
    # up 300 mm over 1 m, square to the back wall
    assert (part.rise_x, part.rise_y) == (0, 300)
    assert part.height_at(2000, 500) == pytest.approx(2150)
    form = part_form(done.room, part)
    assert (form.tilt, form.near_mm, form.far_mm) == ("slope", 2000, 2300)


def test_corners_are_moved_added_and_taken_away_one_by_one() -> None:
    done = after(with_low(), "over-corner", part="part-1", corner="2", x="5 m", y="1,50")
    done = after(done, "over-corner-more", part="part-1", corner="2")
    (part,) = parts_of(done.room, "ceiling")
    # half way from (5000, 1500) to (0, 1000)
    assert part.outline == ((0, 0), (5000, 0), (5000, 1500), (2500, 1250), (0, 1000))
    assert part_form(done.room, part).lies == "drawn"
    done = after(done, "over-corner-less", part="part-1", corner="3")
    (part,) = parts_of(done.room, "ceiling")
    assert part.outline == ((0, 0), (5000, 0), (5000, 1500), (0, 1000))
    crossed = faults(with_low(), "over-corner", part="part-1", corner="2", x="2.5 m", y="-0.5 m")
    assert "would cross or touch" in crossed["x"]
    away = faults(with_low(), "over-corner", part="part-1", corner="2", x="a word", y="1 m")
    assert "cannot be read as a length" in away["x"]


def test_what_would_not_count_or_lies_outside_is_refused_where_it_was_typed() -> None:
    higher = faults(plan(), "add-over", **{**LOW, "height": "2.6 m"})
    assert "of two the lower counts" in higher["height"]
    outside = faults(plan(), "add-over", **{**LOW, "away": "4 m"})
    assert outside["away"].startswith("the room reaches 4.00 m from wall A")
    past = faults(plan(), "add-over", **{**LOW, "along": "7 m"})
    assert past["away"] == "this would lie outside the room altogether"
    missing = faults(plan(), "add-over", wall="back", lies="rectangle")
    assert set(missing) == {"long", "wide", "height"}


def test_a_ceiling_in_parts_can_be_higher_and_says_where_nothing_is_told() -> None:
    done = after(plan(), "ceiling-parts")
    assert ceiling_form(done.room).shape == "patches"
    assert bare_share(done.room) == 0
    (whole,) = parts_of(done.room, "ceiling")
    # the part ends at 3 m of 4 m: a quarter of the floor has no ceiling over it
    short = {"part": whole.id, "wall": "back", "lies": "rectangle", "long": "5 m", "wide": "3 m"}
    done = after(done, "over", **short, height="2.4 m")
    assert bare_share(done.room) == 0.25
    done = after(
        done, "add-over", wall="front", lies="rectangle", long="5 m", wide="1 m", height="3 m"
    )
    assert bare_share(done.room) == 0
    assert [part.height_mm for part in parts_of(done.room, "ceiling")] == [2400, 3000]


def test_the_last_part_of_a_ceiling_stays() -> None:
    one = Plane(id="c", height_mm=2400, outline=((0, 0), (5000, 0), (5000, 4000), (0, 4000)))
    room = make_room(5000, 4000)
    only = plan(Room(walls=room.walls, ceiling=Ceiling(planes=(one,))))
    assert "choose a shape" in faults(only, "remove-over", part="c")[""]


def test_a_step_lies_on_the_floor_and_the_fall_stays() -> None:
    fields = {"wall": "left", "lies": "rectangle", "long": "4 m", "wide": "600", "height": "150 mm"}
    done = after(plan(), "add-step", **fields)
    (step,) = parts_of(done.room, "floor")
    assert step.height_mm == 150
    done = after(done, "floor", fall_wall="front", fall="10")
    assert [part.id for part in parts_of(done.room, "floor")] == ["part-1"]
    low = faults(plan(), "add-step", **{**fields, "height": "-100 mm"})
    assert "of two the higher counts" in low["height"]
    assert after(done, "remove-step", part="part-1").room.floor.planes[0].rise_y == -10


def test_a_part_that_comes_or_goes_leaves_the_numbers_of_the_others() -> None:
    named = Plane(id="bulkhead", height_mm=2100, outline=((4000, 0), (5000, 0), (5000, 4000)))
    room = make_room(5000, 4000, 2400)
    ceiling = room.ceiling.model_copy(update={"planes": (named, *room.ceiling.planes)})
    before = plan(room.model_copy(update={"ceiling": ceiling}))
    assert part_numbers(before.room, "ceiling") == {"bulkhead": 1}
    two = after(before, "add-over", **LOW)
    assert part_numbers(two.room, "ceiling") == {"bulkhead": 1, "part-2": 2}
    three = after(two, "add-over", **{**LOW, "height": "1.9 m"})
    assert part_numbers(three.room, "ceiling") == {"bulkhead": 1, "part-2": 2, "part-3": 3}
    less = after(three, "remove-over", part="part-2")
    assert part_numbers(less.room, "ceiling") == {"bulkhead": 1, "part-3": 3}
    again = after(less, "add-over", **LOW)
    assert part_numbers(again.room, "ceiling") == {"bulkhead": 1, "part-3": 3, "part-4": 4}
    # a ceiling told in parts gets a number that is left
    whole = after(again, "ceiling-parts")
    assert part_numbers(whole.room, "ceiling")["part-3"] == 3
    assert len(set(part_numbers(whole.room, "ceiling").values())) == 4


def test_floor_without_a_ceiling_is_missing() -> None:
    parts = after(plan(), "ceiling-parts")
    said = [
        line.sentence for line in missing(parts, bare_share(parts.room)) if line.what == "Ceiling"
    ]
    assert not [sentence for sentence in said if "percent" in sentence]
    # the front half of the part goes: half of 5 x 4 m has nothing over it
    half = parts
    for corner in ("2", "3"):
        x = "5 m" if corner == "2" else "0"
        half = after(half, "over-corner", part="ceiling", corner=corner, x=x, y="2 m")
    said = [
        line.sentence for line in missing(half, bare_share(half.room)) if line.what == "Ceiling"
    ]
    assert said[0] == (
        "no height given over about 50 percent of the floor; the highest given is assumed"
    )
