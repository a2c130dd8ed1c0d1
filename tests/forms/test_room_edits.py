"""Edits of the room: typed fields in, one command out, and sentences for what cannot be."""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.changes.commands import apply, inverse
from app.errors import CommandError, PlanError
from app.forms.fit_edits import TABLES as FIT_TABLES
from app.forms.room_edits import edit
from app.forms.room_edits_inside import FLOOR
from app.model.height_words import shown_height, slope_words
from app.model.plan import Plan
from app.model.room import Covering, Joists, Opening, Plane, Room, Socket
from app.model.room_missing import known, missing
from app.model.room_overhead import Place, ceiling_form, floor_fall, place_of, rectangle
from app.model.room_walls import letter_at
from app.model.walk import HeightAt, Walk, WalkStep
from app.units import parse_length_mm, written, written_on_tape
from tests.builders import column, low_thing, make_plan, make_room

# an L: 6 m along the back, 5 m deep on the left, the front right quarter cut out
L_SHAPE = ((0, 0), (6000, 0), (6000, 3000), (2000, 3000), (2000, 5000), (0, 5000))


def door(**changes: Any) -> Opening:
    fields = {
        "id": "door",
        "wall": "front",
        "kind": "hinged",
        "offset_mm": 1000,
        "width_mm": 900,
        "height_mm": 2000,
    }
    return Opening.model_validate({**fields, **changes})


def plan(room: Room | None = None, **changes: Any) -> Plan:
    return Plan(name="Room", room=room or make_room(5000, 4000, openings=(door(),)), **changes)


def after(before: Plan, name: str, **fields: str) -> Plan:
    """The plan after an edit; also shows that undo leads back exactly."""
    command = edit(before, name, fields)
    assert command is not None
    done = apply(before, command)
    assert apply(done, inverse(command)) == before
    return done


def faults(before: Plan, name: str, **fields: str) -> dict[str, str]:
    with pytest.raises(PlanError) as caught:
        edit(before, name, fields)
    return {fault.field: fault.sentence for fault in caught.value.faults}


def corners(done: Plan) -> tuple[tuple[float, float], ...]:
    return done.room.corners


@pytest.mark.parametrize("text", ["5.5", "5,50", "5500", "550 cm", "5m50", "18' 0 17/32\""])
def test_a_wall_takes_any_written_length(text: str) -> None:
    done = after(plan(), "wall-length", wall="back", length=text)
    # 18 ft 17/32 in is 5499.9 mm: within a tenth
    expected = ((0, 0), (5500, 0), (5500, 4000), (0, 4000))
    for corner, where in zip(corners(done), expected, strict=True):
        assert math.dist(corner, where) < 0.2


def test_walls_before_it_give_way_where_none_after_it_can() -> None:
    done = after(plan(), "wall-length", wall="front", length="4.5 m")
    assert corners(done) == ((0, 0), (4500, 0), (4500, 4000), (0, 4000))
    done = after(plan(), "wall-length", wall="left", length="3 m")
    assert corners(done) == ((0, 0), (5000, 0), (5000, 3000), (0, 3000))


def test_an_l_shape_keeps_its_right_angles() -> None:
    room = make_room(corners=L_SHAPE)
    done = after(plan(room), "wall-length", wall="w1", length="6.4 m")
    assert corners(done) == (
        (0, 0), (6400, 0), (6400, 3000), (2400, 3000), (2400, 5000), (0, 5000),
    )  # fmt: skip


@given(
    st.sampled_from([f"w{i}" for i in range(1, 7)]),
    st.integers(min_value=2100, max_value=2900),
)
def test_a_wall_becomes_as_long_as_typed_and_keeps_its_direction(wall: str, length: int) -> None:
    before = plan(make_room(corners=L_SHAPE))
    done = after(before, "wall-length", wall=wall, length=f"{length} mm")
    assert done.room.wall_length_mm(wall) == pytest.approx(length, abs=0.02)
    assert done.room.walls[0].x_mm == before.room.walls[0].x_mm


def test_a_length_shown_and_sent_back_changes_nothing() -> None:
    before = plan(make_room(corners=((0, 0), (5000.3, 0), (5000, 4000), (0, 4000))))
    assert edit(before, "wall-length", {"wall": "back", "length": "5.00 m"}) is None


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "the length is missing"),
        ("long", "“long” cannot be read as a length"),
        ("1.234 mm x", "cannot be read"),
        ("90 m", "is read as 90.00 m; it must be 50 mm to 60.00 m"),
    ],
)
def test_what_is_no_length_is_said_beside_the_field(text: str, words: str) -> None:
    assert words in faults(plan(), "wall-length", wall="back", length=text)["length"]


def test_a_small_bare_number_is_only_read_as_more_where_it_can_be_nothing_else() -> None:
    # a sill of 4 may be 4 mm, a door of 2 can only be metres
    fields = {"wall": "back", "kind": "window", "width": "1 m"}
    done = after(plan(), "add-opening", height="2", sill="4", **fields)
    assert (done.room.openings[1].height_mm, done.room.openings[1].sill_mm) == (2000, 4)
    told = faults(plan(), "wall-length", wall="back", length="5")
    assert told["length"] == "the length is read as 5 mm; it must be 50 mm to 60.00 m"


def test_a_wall_too_short_for_its_door_says_which_and_where() -> None:
    told = faults(plan(), "wall-length", wall="front", length="1.5 m")
    assert told == {
        "length": "the door would end 1.90 m along wall C, which is 1.50 m long: "
        "it can begin at most at 600 mm"
    }


def test_a_door_moved_off_the_end_of_its_wall_says_where_it_can_be() -> None:
    fields = {"wall": "front", "kind": "hinged", "width": "900", "height": "2 m"}
    told = faults(plan(), "opening", opening="door", offset="4.6 m", **fields)
    assert told == {
        "offset": "the door would end 5.50 m along wall C, which is 5.00 m long: "
        "it can begin at most at 4.10 m"
    }


def test_openings_may_not_overlap_nor_reach_through_the_ceiling() -> None:
    fields = {"wall": "front", "kind": "window", "width": "1 m", "height": "1 m"}
    told = faults(plan(), "add-opening", offset="1.5 m", sill="0", **fields)
    assert told["offset"] == (
        "the door and the window would overlap on wall C: 1.00 m to 1.90 m and "
        "1.50 m to 2.50 m along it"
    )
    above = after(plan(), "add-opening", offset="1.5 m", sill="2 m", **{**fields, "height": "0.5"})
    assert len(above.room.openings) == 2
    told = faults(plan(), "add-opening", offset="3 m", sill="2 m", **fields)
    assert told["sill"] == (
        "the window would reach 3.00 m above the floor; the ceiling is 2.60 m there"
    )


def test_an_opening_is_added_changed_and_removed() -> None:
    done = after(
        plan(),
        "add-opening",
        wall="right",
        kind="side-sliding",
        offset="0.5",
        width="2.4",
        height="2.1",
        slides_to="right",
        way_out="yes",
    )
    added = done.room.openings[1]
    assert (added.id, added.kind, added.offset_mm, added.slides_to, added.way_out) == (
        "opening-1", "side-sliding", 500, "right", True,
    )  # fmt: skip
    done = after(
        done, "opening", opening="opening-1", wall="right", kind="gap", width="900", height="2 m"
    )
    assert (done.room.openings[1].kind, done.room.openings[1].way_out) == ("gap", False)
    done = after(done, "remove-opening", opening="opening-1")
    assert [opening.id for opening in done.room.openings] == ["door"]


@pytest.mark.parametrize(
    ("kind", "ticks", "way_out"),
    [
        ("window", {"way_out": "yes"}, False),
        ("window", {"climb_out": "yes"}, True),
        ("hinged", {"way_out": "yes"}, True),
        ("hinged", {"climb_out": "yes"}, False),
    ],
)
def test_a_window_is_a_way_out_only_where_somebody_says_so(
    kind: str, ticks: dict[str, str], way_out: bool
) -> None:
    fields = {"wall": "right", "offset": "0.5", "width": "600", "height": "900", "sill": "1"}
    done = after(plan(), "add-opening", kind=kind, **fields, **ticks)
    assert done.room.openings[1].way_out is way_out


def test_glass_in_a_door_is_said_by_its_tick_and_stays_with_its_form() -> None:
    fields = {"opening": "door", "wall": "front", "kind": "hinged", "offset": "1 m"}
    fields |= {"width": "900", "height": "2 m"}
    done = after(plan(), "opening", glass="yes", **fields)
    assert done.room.openings[0].glass
    same = after(done, "opening", glass="yes", **{**fields, "width": "800"})
    assert same.room.openings[0].glass
    assert not after(done, "opening", **fields).room.openings[0].glass


def test_crossing_walls_are_named_by_their_letters() -> None:
    told = faults(plan(), "corner", corner="back", x="1 m", y="4.5 m")
    assert told == {"x": "wall A would cross or touch wall C"}


def test_a_corner_goes_left_of_the_origin() -> None:
    done = after(plan(), "corner", corner="back", x="-20 cm", y="−100 mm")
    assert corners(done)[0] == (-200, -100)


def test_a_split_takes_what_is_fixed_to_each_part_along() -> None:
    room = make_room(
        5000,
        4000,
        openings=(door(), door(id="far", offset_mm=3000)),
    )
    sockets = (Socket(id="s", wall="front", offset_mm=2800),)
    before = plan(Room(**{**room.model_dump(), "sockets": sockets}))
    done = after(before, "split", wall="front", at="2.5 m")
    assert [wall.id for wall in done.room.walls] == ["back", "right", "front", "front-1", "left"]
    assert [(o.wall, o.offset_mm) for o in done.room.openings] == [
        ("front", 1000), ("front-1", 500),
    ]  # fmt: skip
    assert (done.room.sockets[0].wall, done.room.sockets[0].offset_mm) == ("front-1", 300)
    # and taking the corner away again leads back to the same room
    joined = after(done, "remove-corner", corner="front-1")
    assert joined.room == before.room
    assert faults(before, "split", wall="front", at="1.2 m") == {
        "at": "the door is there: 1.00 m to 1.90 m"
    }
    assert "wall C is 5.00 m long" in faults(before, "split", wall="front", at="5 m")["at"]


@pytest.mark.parametrize(
    ("into", "fields", "expected"),
    [
        # a chimney breast in the middle of the back wall
        ("in", ("2 m", "1 m", "400"), ((2000, 0), (2000, 400), (3000, 400), (3000, 0))),
        # an alcove there
        ("out", ("2 m", "1 m", "400"), ((2000, 0), (2000, -400), (3000, -400), (3000, 0))),
    ],
)
def test_a_recess_inserts_four_corners(
    into: str, fields: tuple[str, str, str], expected: tuple[tuple[float, float], ...]
) -> None:
    at, width, depth = fields
    done = after(
        plan(),
        "recess",
        wall="back",
        recess_at=at,
        recess_width=width,
        recess_depth=depth,
        into=into,
    )
    assert corners(done) == ((0, 0), *expected, (5000, 0), (5000, 4000), (0, 4000))


def test_a_recess_in_a_corner_joins_the_next_wall() -> None:
    fields = {"recess_width": "1 m", "recess_depth": "300"}
    done = after(plan(), "recess", wall="back", recess_at="0", into="in", **fields)
    assert corners(done) == (
        (0, 300), (1000, 300), (1000, 0), (5000, 0), (5000, 4000), (0, 4000),
    )  # fmt: skip
    before = plan(make_room(5000, 4000, openings=(door(wall="right"),)))
    done = after(before, "recess", wall="back", recess_at="4 m", into="in", **fields)
    assert corners(done) == (
        (0, 0), (4000, 0), (4000, 300), (5000, 300), (5000, 4000), (0, 4000),
    )  # fmt: skip
    # the door stays in its place: 300 mm nearer to where its wall now starts
    assert (done.room.openings[0].wall, done.room.openings[0].offset_mm) == ("right", 700)


def test_a_recess_may_hold_a_door_but_not_cut_one() -> None:
    fields = {"wall": "front", "recess_depth": "300", "into": "out"}
    done = after(plan(), "recess", recess_at="0.8", recess_width="1.5 m", **fields)
    opening = done.room.openings[0]
    assert (done.room.wall_length_mm(opening.wall), opening.offset_mm) == (1500, 200)
    told = faults(plan(), "recess", recess_at="1.2 m", recess_width="2 m", **fields)
    assert told["recess_at"] == "its edge would cut the door, which runs 1.00 m to 1.90 m"
    told = faults(plan(), "recess", recess_at="4 m", recess_width="2 m", **fields)
    assert told["recess_width"] == "it would end 6.00 m along wall C, which is 5.00 m long"


def test_a_wall_is_made_of_something() -> None:
    done = after(
        plan(),
        "wall",
        wall="right",
        thickness="215",
        construction="aerated-block",
        finish="plaster",
        lining="45 mm",
        colour="white",
        shared="yes",
    )
    wall = done.room.walls[1]
    assert (wall.thickness_mm, wall.construction, wall.lining_mm) == (215, "aerated-block", 45)
    assert (wall.shared, wall.outside, wall.tanked) == (True, False, False)
    done = after(plan(), "all-walls", construction="concrete", finish="painted")
    assert {(w.construction, w.finish, w.thickness_mm) for w in done.room.walls} == {
        ("concrete", "painted", 140)
    }


def test_a_ceiling_slopes_between_two_walls() -> None:
    done = after(
        plan(),
        "ceiling",
        construction="slab",
        shape="sloping",
        wall="back",
        height="2 m",
        far="2.8 m",
    )
    plane = done.room.ceiling.planes[0]
    # 800 mm over the 4 m from wall A to wall C
    assert (plane.rise_x, plane.rise_y) == (0, 200)
    assert (plane.height_at(0, 0), plane.height_at(2500, 4000)) == (2000, 2800)
    form = ceiling_form(done.room)
    assert (form.shape, form.wall, form.height_mm, form.far_mm) == ("sloping", "back", 2000, 2800)


def test_a_ridged_ceiling_is_lowest_at_its_sides_and_follows_the_walls() -> None:
    fields = {"height": "2.1 m", "far": "2.3 m", "ridge": "3 m", "ridge_at": "1.5 m"}
    done = after(plan(), "ceiling", shape="ridged", wall="back", **fields)
    one, other = done.room.ceiling.planes
    assert (one.height_at(0, 0), one.height_at(0, 1500)) == (2100, 3000)
    assert (other.height_at(0, 1500), other.height_at(0, 4000)) == (3000, 2300)
    form = ceiling_form(done.room)
    assert (form.shape, form.ridge_mm, form.ridge_at_mm) == ("ridged", 3000, 1500)
    wider = after(done, "wall-length", wall="back", length="7 m")
    assert max(x for x, _ in wider.room.ceiling.planes[0].outline) == 7000
    assert ceiling_form(wider.room).shape == "ridged"
    told = faults(plan(), "ceiling", shape="ridged", wall="back", **{**fields, "ridge_at": "4 m"})
    assert told["ridge_at"].startswith("the room reaches 4.00 m from wall A")
    told = faults(plan(), "ceiling", shape="ridged", wall="back", **{**fields, "ridge": "2.2 m"})
    assert "lies above both sides" in told["ridge"]


def test_a_ceiling_under_the_floor_says_at_which_corner() -> None:
    before = after(plan(), "ceiling", shape="flat", height="220 mm")
    told = faults(before, "floor", construction="timber", fall_wall="back", fall="-1")
    assert told["fall"] == "the fall must be a number from 0 to 300"
    # told from the short inner wall the slope goes on down behind it, over the rest of the L
    room = plan(make_room(corners=L_SHAPE))
    told = faults(room, "ceiling", shape="sloping", wall="w4", height="1 m", far="2.8 m")
    assert told["height"] == (
        "the ceiling would be -2.60 m high at corner 2, not above the floor there"
    )


def test_joists_come_and_go() -> None:
    fields = {"direction": "90", "spacing": "450", "joist_width": "47", "joist_depth": "195"}
    done = after(plan(), "joists", first="0.3", **fields)
    assert done.room.ceiling.joists == Joists(
        direction_deg=90, spacing_mm=450, width_mm=47, depth_mm=195, first_mm=300
    )
    assert after(done, "no-joists").room.ceiling.joists is None


def test_a_floor_falls_from_its_highest_place() -> None:
    done = after(
        plan(),
        "floor",
        construction="ground-slab",
        material="rubber",
        covering="20",
        fall_wall="front",
        fall="15",
    )
    plane = done.room.floor.planes[0]
    # 15 mm a metre over 4 m: 60 mm lower at the front
    assert (plane.height_at(0, 0), plane.height_at(0, 4000)) == (0, -60)
    assert floor_fall(done.room) == ("front", 15)
    told = faults(plan(), "floor", material="rubber", covering="", fall_wall="front")
    assert "how thick" in told["covering"]


def test_what_hangs_is_told_from_a_wall() -> None:
    fields = {"wall": "right", "along": "0", "long": "4 m", "away": "1.2 m", "wide": "200"}
    done = after(plan(), "add-low", kind="beam", bottom="2.1 m", **fields)
    beam = done.room.low_things[0]
    assert (beam.id, beam.bottom_mm) == ("low-1", 2100)
    assert set(beam.outline) == {(3800, 0), (3800, 4000), (3600, 4000), (3600, 0)}
    assert place_of(done.room, beam.outline) == Place("right", 0, 4000, 1200, 200)
    moved = {**fields, "away": "5.5 m"}
    told = faults(plan(), "add-low", kind="beam", bottom="2.1 m", **moved)
    assert told["away"] == "the room reaches 5.00 m from wall B: this would lie outside"
    done = after(done, "remove-low", low="low-1")
    assert done.room.low_things == ()


def test_a_shape_that_is_no_rectangle_is_left_as_drawn() -> None:
    wedge = low_thing(((0, 0), (2000, 0), (0, 2000)), 1900)
    pier = column(((100, 100), (400, 150), (300, 500)))
    before = plan(make_room(5000, 4000, low_things=(wedge,), columns=(pier,)))
    done = after(before, "low", low="beam", wall="as-drawn", kind="duct", bottom="1.8 m")
    assert (done.room.low_things[0].outline, done.room.low_things[0].kind) == (
        wedge.outline, "duct",
    )  # fmt: skip
    done = after(before, "column", column="column", wall="as-drawn", label="Pier")
    assert (done.room.columns[0].outline, done.room.columns[0].label) == (pier.outline, "Pier")


@given(
    st.floats(0, 3000), st.floats(50, 2000), st.floats(0, 3000), st.floats(50, 900),
    st.sampled_from([f"w{i}" for i in range(1, 7)]),
)  # fmt: skip
def test_a_rectangle_told_from_a_wall_is_told_back_as_the_same(
    along: float, length: float, away: float, width: float, wall: str
) -> None:
    room = make_room(corners=L_SHAPE)
    outline = rectangle(room, Place(wall, along, length, away, width))
    told = place_of(room, outline)
    assert told is not None
    again = rectangle(room, told)
    for corner in outline:
        assert min(math.dist(corner, other) for other in again) < 0.2


def test_sockets_and_circuits() -> None:
    done = after(plan(), "electricity", volts="230", feed="own-board", amps="40", protected="yes")
    electricity = done.room.electricity
    assert (electricity.feed, electricity.amps, electricity.residual_current_protection) == (
        "own-board", 40, "yes",
    )  # fmt: skip
    done = after(done, "add-circuit", circuit_amps="16", circuit_label="back wall")
    done = after(done, "add-socket", wall="back", offset="80 cm", height="1.1", circuit="circuit-1")
    assert done.room.sockets[0].circuit == "circuit-1"
    freed = after(done, "remove-circuit", circuit="circuit-1")
    assert (freed.room.sockets[0].circuit, freed.room.electricity.circuits) == (None, ())
    told = faults(done, "socket", socket="socket-1", wall="back", offset="5.2 m", height="300")
    assert told["offset"] == "a socket would be 5.20 m along wall A, which is 5.00 m long"
    assert "0 to" not in faults(plan(), "add-circuit", circuit_amps="lots")["circuit_amps"]


def test_the_way_in_keeps_its_order() -> None:
    done = after(plan(), "add-passage", kind="door", width="762", height="1.98", label="Front")
    done = after(done, "add-passage", kind="corner", width="90 cm", beyond="85 cm")
    assert [(p.kind, p.width_mm, p.beyond_mm) for p in done.way_in] == [
        ("door", 762, None), ("corner", 900, 850),
    ]  # fmt: skip
    done = after(done, "passage-earlier", passage="passage-2")
    assert [p.kind for p in done.way_in] == ["corner", "door"]
    done = after(done, "passage.passage-1", kind="hatch", width="700")
    assert done.way_in[1].kind == "hatch"
    assert after(done, "remove-passage", passage="passage-1").way_in[0].kind == "corner"
    assert "beyond" in faults(plan(), "add-passage", kind="corner", width="900")


def test_situations_name_how_pieces_stand() -> None:
    fields = {"label": "Car in", "door_open": "yes"}
    done = after(plan(), "add-situation", **fields)
    situation = done.situations[0]
    assert (situation.label, situation.door_open, situation.trains) == ("Car in", True, False)
    done = after(done, f"situation.{situation.id}", label="All away", trains="yes")
    assert (done.situations[0].label, done.situations[0].door_open) == ("All away", False)
    assert "give it a name" in faults(plan(), "add-situation", label=" ")["label"]
    assert after(done, "remove-situation", situation=situation.id).situations == ()


def test_air_building_and_tape() -> None:
    climate = {
        "outside_c": "-5", "wanted_c": "14,5", "unheated_c": "4", "humidity": "70",
        "air_changes": "1", "minutes": "45", "fuel": "yes",
    }  # fmt: skip
    done = after(plan(), "climate", **climate)
    assert (done.room.climate.wanted_c, done.room.climate.fuel_burned_here) == (14.5, "yes")
    # what is not said stays unknown, it never becomes a yes
    assert done.room.climate.car_kept_here == "unknown"
    done = after(plan(), "fabric", old="yes", below="room")
    assert (done.room.fabric.below, done.room.fabric.floor_dry) == ("room", "unknown")
    done = after(plan(), "tape", tape="5 mm")
    assert done.room.tape_error_mm == 5
    assert after(done, "tape", tape="").room.tape_error_mm is None


@pytest.mark.parametrize("name", ["", "nothing", "wall", "corner", "remove-opening", "low"])
def test_what_is_not_there_is_refused(name: str) -> None:
    with pytest.raises(CommandError, match=r"no longer|cannot be changed that way"):
        edit(plan(), name, {"wall": "gone"})


def test_what_is_missing_shrinks_as_it_is_said() -> None:
    before = plan()
    told = {line.what for line in missing(before, 0)}
    assert {"Ceiling", "Walls", "Floor", "Electricity", "Way in", "Tape", "Building"} <= told
    done = after(before, "all-walls", construction="concrete", finish="bare")
    assert "Walls" not in {line.what for line in missing(done, 0)}
    done = after(done, "wall", wall="left", construction="unknown", thickness="140", finish="bare")
    line = next(line for line in missing(done, 0) if line.what == "Wall D")
    assert (line.of, line.sentence) == ("wall:left", "not said what it is made of")


def test_the_lowest_height_names_what_hangs_lowest() -> None:
    lines = {line.what: line.sentence for line in known(plan())}
    assert lines["Floor"] == "20.0 m², 4 walls"
    assert lines["Lowest height"] == "2.60 m"
    beam = low_thing(((0, 0), (200, 0), (200, 4000), (0, 4000)), 2100)
    lines = {line.what: line.sentence for line in known(plan(make_room(low_things=(beam,))))}
    assert lines["Lowest height"] == "2.10 m under the beam"


def test_letters_go_on_after_z() -> None:
    assert [letter_at(i) for i in (0, 25, 26, 27, 52)] == ["A", "Z", "AA", "AB", "BA"]


@given(st.floats(0, 50_000).map(lambda mm: round(mm, 2)), st.booleans())
def test_a_length_in_a_field_reads_back_as_the_same(length: float, feet: bool) -> None:
    units: Any = "feet" if feet else "metric"
    assert parse_length_mm(written(length, units), units) == pytest.approx(length, abs=0.011)


@given(st.floats(-50_000, 50_000))
def test_a_tape_in_feet_is_true_to_the_millimetre_and_has_no_decimals(length: float) -> None:
    text = written_on_tape(length, "feet")
    assert "." not in text
    assert abs(parse_length_mm(text.removeprefix("-"), "feet") - abs(length)) < 0.5


def test_a_thickness_in_feet_is_in_parts_of_an_inch_and_stays_what_it_is() -> None:
    covering = Covering(material="rubber", thickness_mm=20)
    floor = make_room().floor.model_copy(update={"covering": covering})
    before = plan(make_room().model_copy(update={"floor": floor}), units="feet")
    assert FLOOR.texts(before, floor)["covering"] == '25/32"'
    assert FLOOR.as_they_stand(before, floor)["covering", '25/32"'] == 20
    # of an empty form too: 3 mm is what a saw takes
    strip = FIT_TABLES["strip"]
    assert strip.as_they_stand(before, None)["kerf", strip.texts(before, None)["kerf"]] == 3


def test_heights_of_a_fitted_ceiling_are_shown_as_people_write_and_stay_what_they_are() -> None:
    # 7'3" is 2209.8 mm and 9'1" 2768.6 mm; the slope that fits both says 2209.6 and 2769
    heights = (
        HeightAt(wall=1, height_mm=2209.8, typed="7'3\""),
        HeightAt(wall=3, height_mm=2768.6, typed="9'1\""),
    )
    steps = tuple(WalkStep(length_mm=length) for length in (5000, 4000, 5000, 4000))
    room = make_room(5000, 4000).model_copy(update={"walk": Walk(steps=steps, heights=heights)})
    assert shown_height(room, 2209.6, "feet") == "7'3\""
    assert shown_height(room, 2769.0, "feet") == "9'1\""
    assert shown_height(room, 2000.0, "feet") == "6' 6 3/4\""
    assert shown_height(make_room(5000, 4000), 2209.6, "metric") == "2.21 m"
    tilt = Plane(id="ceiling", height_mm=2209.6, at=(0, 0), rise_y=139.85)
    ceiling = room.ceiling.model_copy(update={"planes": (tilt,)})
    before = plan(room.model_copy(update={"ceiling": ceiling}), units="feet")
    form = ceiling_form(before.room)
    fields = {
        "construction": "unknown",
        "shape": "sloping",
        "wall": form.wall,
        "height": shown_height(before.room, form.height_mm, "feet"),
        "far": shown_height(before.room, form.far_mm, "feet"),
    }
    assert fields["height"] == "7'3\""
    assert edit(before, "ceiling", fields) is None
    done = after(before, "ceiling", **{**fields, "height": "7' 4\""})
    assert ceiling_form(done.room).height_mm == pytest.approx(2235.2)


def test_slopes_are_told_in_the_units_of_the_plan() -> None:
    assert slope_words(96, "metric") == "96 mm in each metre"
    # 96 mm in a metre are 29.26 mm in a foot of 304.8 mm: 1.152 in, nearest 1/16 is 1 1/8
    assert slope_words(96, "feet") == '1 1/8" in each foot'


def test_a_column_is_told_from_a_wall_that_it_can_be_typed_from() -> None:
    room = make_room(5000, 4000)
    plan = make_plan(room=room)
    alcove = {"wall": room.walls[2].id, "recess_at": "1 m", "recess_width": "1 m",
              "recess_depth": "0.3 m", "into": "out"}  # fmt: skip
    command = edit(plan, "recess", alcove)
    assert command is not None
    shape = apply(plan, command).room
    # beside the line of a side wall of the alcove, 3.5 m before that wall begins
    outline = ((3600.0, 500.0), (3900.0, 500.0), (3900.0, 800.0), (3600.0, 800.0))
    place = place_of(shape, outline)
    assert place is not None
    assert place.along_mm >= 0
    assert place.away_mm >= 0
