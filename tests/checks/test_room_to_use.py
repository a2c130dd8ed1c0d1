"""Working spaces. Distances are common practice, no source, unless a test says otherwise."""

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.checks.room_to_use import room_to_use
from app.library.kit import Space, kit_types
from app.model.kit import Piece
from app.model.people import Person
from app.model.plan import Plan
from app.scene.build import build_scene
from app.scene.shapes import by_the_manual
from app.usecases.verdict import verdict_of
from tests.builders import (
    column,
    found,
    judge,
    make_person,
    make_plan,
    make_room,
    place,
    rectangle,
    turned_plan,
)

TURNS = st.integers(0, 359_999).map(lambda thousandths: thousandths / 1000)
BEHIND = "room-behind-the-belt"
SPACED = sorted(
    key
    for key, kit in kit_types().items()
    if any(space.side != "area" for space in kit.spaces) and kit.group != "Of the house"
)


def behind(gap: float) -> Plan:
    """A running machine with a box `gap` mm behind its belt."""
    room = make_room(6000, 8000)
    machine = place("running-machine", 3000, 1500)
    return make_plan(machine, place("jump-box", 3000, 1500 + 925 + gap + 300, 180), room=room)


@given(turn=TURNS)
def test_two_metres_behind_the_belt_pass_at_any_angle(turn: float) -> None:
    # BS EN 957-6:2010, as repeated by a trade body: 2 m behind a running machine
    assert found(turned_plan(behind(2000), turn), BEHIND) == []


@given(turn=TURNS)
def test_two_millimetres_less_are_a_care(turn: float) -> None:
    (snag,) = found(turned_plan(behind(1998), turn), BEHIND)
    assert (snag.severity, snag.required) == ("care", 2000)
    assert snag.measured == pytest.approx(1998, abs=1)


@given(turn=TURNS)
def test_one_metre_behind_the_belt_is_the_least(turn: float) -> None:
    # ASTM F2115-05, as quoted in an insurer's article: 39 in behind
    (snag,) = found(turned_plan(behind(1000), turn), BEHIND)
    assert snag.severity == "care"
    (snag,) = found(turned_plan(behind(998), turn), BEHIND)
    assert (snag.severity, snag.required, snag.need) == ("stop", 1000, 2000)


def test_the_sentence_names_distance_and_thing() -> None:
    (snag,) = found(behind(1570), BEHIND)
    assert snag.sentence == "1570 mm to the jump box. Allow 2000."
    (snag,) = found(behind(930), BEHIND)
    assert snag.sentence == "930 mm to the jump box. Allow 2000; 1000 is the minimum."


@pytest.mark.parametrize(
    ("gap", "expected"),
    [(500, []), (498, ["care"]), (120, ["care"]), (0, ["care"])],
)
def test_beside_the_belt_is_never_more_than_a_care(gap: float, expected: list[str]) -> None:
    # ASTM F2115-12, as quoted in an insurer's article: 0.5 m on each side
    chest = place("other-thing", 1000, 1500, width=600, depth=600)
    plan = make_plan(place("running-machine", 1725 + gap, 1500), chest, room=make_room(6000, 8000))
    beside = found(plan, "room-beside-the-belt-left")
    assert [snag.severity for snag in beside] == expected


@pytest.mark.parametrize(
    ("gap", "expected"),
    [(498, []), (300, []), (298, ["care"]), (120, ["care"])],
)
@given(turn=TURNS)
def test_one_side_of_a_belt_may_be_nearer_to_a_bare_wall(
    gap: float, expected: list[str], turn: float
) -> None:
    # 300 to a bare wall on one side: common practice, no source
    plan = make_plan(place("running-machine", 425 + gap, 1500), room=make_room(6000, 8000))
    beside = found(turned_plan(plan, turn), "room-beside-the-belt-left")
    assert [snag.severity for snag in beside] == expected


@pytest.mark.parametrize(
    ("gap", "expected"),
    [(300, []), (298, ["care"]), (150, ["care"]), (148, ["stop"]), (20, ["stop"])],
)
def test_beyond_the_end_of_a_bar(gap: float, expected: list[str]) -> None:
    # 150 for the thickest plate and the fingers, 300 for easy loading: common practice, no source
    x = 1100 + gap
    plan = make_plan(
        place("mid-rack", x, 2500),
        place("bar-20", x, 2500 + 625 + 37, carried_by="mid-rack"),
    )
    assert [s.severity for s in found(plan, "room-beyond-the-left-end")] == expected


def test_a_wall_and_a_column_in_a_space_count_too() -> None:
    machine = place("running-machine", 2500, 5000 - 925 - 900)
    (snag,) = found(make_plan(machine), BEHIND)
    assert (snag.severity, snag.measured) == ("stop", 900)
    assert "front wall" in snag.sentence
    room = make_room(columns=[column(rectangle(2400, 3300, 2600, 3500))])
    (snag,) = found(make_plan(place("running-machine", 2500, 1200), room=room), BEHIND)
    assert snag.measured == 3300 - 1200 - 925


def test_what_lies_low_or_hangs_high_is_not_in_the_way() -> None:
    mat = make_plan(place("running-machine", 2500, 1000), place("mat-space", 2500, 3200))
    assert found(mat, BEHIND) == []
    panel = make_plan(place("running-machine", 2500, 1000), place("radiant-panel", 2500, 3200))
    assert found(panel, BEHIND) == []


def test_pieces_of_one_station_are_no_intruders() -> None:
    bench = place("flat-bench", 2500, 3900, carried_by="mid-rack")
    plan = make_plan(place("mid-rack", 2500, 2500), bench)
    assert found(plan, "room-in-front") == []
    alone = make_plan(place("mid-rack", 2500, 2500), place("flat-bench", 2500, 3900))
    assert [s.severity for s in found(alone, "room-in-front")] == ["care"]


@pytest.mark.parametrize("angle", [0, 30])
def test_what_is_on_the_floor_of_a_piece_is_said_once(angle: float) -> None:
    # common practice, no source: between a rack on a wall and that wall nothing is kept
    rack = place("folding-wall-rack", 3000, 3000)
    for kit in ("jump-box", "plate-tree"):
        plan = turned_plan(
            make_plan(rack, place(kit, 3000, 3000), room=make_room(6000, 6000)), angle
        )
        rows = [s for s in judge(plan) if set(s.pieces) == {"folding-wall-rack", kit}]
        (snag,) = [s for s in rows if s.code == "room-between-the-wall-and-the-posts"]
        assert (snag.severity, snag.measured) == ("care", None)
        # what is in it is right up against it as well: that is said once
        assert not [s for s in rows if s.measured == 0], rows


@given(
    pair=st.sampled_from([(a, b) for a in SPACED for b in SPACED]),
    by=st.tuples(st.integers(-1500, 1500), st.integers(-1500, 1500)),
    turn=st.sampled_from([0, 90, 180, 270]),
)
def test_what_is_short_of_room_is_always_told(
    pair: tuple[str, str], by: tuple[int, int], turn: int
) -> None:
    one = place(pair[0], 4000, 4000, piece_id="one")
    other = place(pair[1], 4000 + by[0], 4000 + by[1], turn, piece_id="other")
    plan = make_plan(one, other, room=make_room(8000, 8000))
    rows = [s for s in room_to_use(build_scene(plan)) if len(s.pieces) == 2]
    if rows:
        # two rows that each would leave out the other are not both left out
        assert [s for s in judge(plan) if set(s.pieces) == {"one", "other"}]


def test_nothing_may_stand_on_the_floor_a_mat_needs() -> None:
    plan = make_plan(place("mat-space"), place("jump-box", 2900, 2500))
    (snag,) = found(plan, "room-on-the-mat")
    # it has no least depth: a working space that is not free is no stop
    assert (snag.severity, snag.measured, snag.unit) == ("care", None, None)
    plan = make_plan(place("mat-space"), place("jump-box", 3250, 2500))
    assert found(plan, "room-on-the-mat") == []


@given(turn=TURNS)
def test_round_a_standing_bag_the_free_ring_is_measured(turn: float) -> None:
    # base of 560 across; 600 round it for the lean: common practice, no source

    def beside(gap: float) -> Plan:
        bag = place("standing-bag", 2000, 2000)
        return turned_plan(make_plan(bag, place("plate-tree", 2000 - 280 - gap - 300, 2000)), turn)

    # the foot of the tree is a bar along its whole width, so 600 to its side
    assert found(beside(602), "room-round-it") == []
    (snag,) = found(beside(400), "room-round-it")
    assert (snag.severity, snag.all_round) == ("care", True)
    (strip,) = found(behind(1500), BEHIND)
    assert not strip.all_round
    assert snag.measured == pytest.approx(snag.measured or 0)
    assert 398 <= (snag.measured or 0) <= 470


def test_the_boxer_wants_a_metre_and_a_half() -> None:
    bag = place("standing-bag", 2500, 1000)

    def boxer(gap: float) -> list[str]:
        box = place("jump-box", 2500, 1280 + gap + 300, 180)
        return [s.severity for s in found(make_plan(bag, box), "room-for-the-boxer")]

    assert boxer(1500) == []
    assert boxer(1498) == ["care"]
    # no sheet gives a least for a boxer, so it is never a stop
    assert boxer(898) == boxer(620) == boxer(0) == ["care"]


def test_a_bike_is_mounted_from_either_side() -> None:
    def sides(left: float, right: float) -> list[str]:
        boxes = (
            place("jump-box", 2500 - 280 - left - 250, 2500, piece_id="one"),
            place("jump-box", 2500 + 280 + right + 250, 2500, piece_id="two"),
        )
        plan = make_plan(place("bike", 2500, 2500), *boxes)
        return [s.code for s in judge(plan) if s.pieces[:1] == ("bike",) and "get-on" in s.code]

    assert sides(600, 100) == sides(100, 600) == []
    assert sides(300, 100) == ["room-to-get-on-left"]
    assert sides(100, 300) == ["room-to-get-on-left"]


def test_what_was_settled_before_spaces_had_keys_is_still_settled() -> None:
    # the id stands in plan files of before, made of the words for the space
    plan = behind(1500)
    (snag,) = found(plan, BEHIND)
    old = {
        "id": "room-behind-the-belt|running-machine+jump-box|||",
        "reason": "the box goes out first",
        "on": "2024-03-14",
        "measured": snag.measured,
        "required": snag.required,
    }
    opened = Plan.model_validate({**plan.model_dump(mode="json"), "settled": [old]})
    (told,) = [s for s in verdict_of(opened, judge(opened), {})["snags"] if s["code"] == BEHIND]
    assert told["settled"] == {"reason": "the box goes out first", "on": "2024-03-14"}


def test_spaces_are_told_apart_by_keys_that_words_do_not_change() -> None:
    kit = kit_types()["running-machine"]
    (space,) = [space for space in kit.spaces if f"room-{space.key}" == BEHIND]
    assert [len({s.key for s in k.spaces}) for k in kit_types().values()] == [
        len(k.spaces) for k in kit_types().values()
    ]
    renamed = Space.model_validate({**space.model_dump(), "name": "at the back end of the belt"})
    # a manual that asks for more does so by key, and in plan files of before by the old words
    for asked in (space.key, "at the back end of the belt"):
        assert by_the_manual(renamed, {asked: 2500}).least_mm == 2500
    assert by_the_manual(renamed, {"elsewhere": 2500}) == renamed


def test_the_sources_of_a_space_are_the_rows_of_its_figures() -> None:
    (snag,) = found(behind(1500), BEHIND)
    assert snag.source_keys == ("running.behind.least-mm", "running.behind.recommended-mm")
    assert [source.status for source in snag.sources] == ["quoted", "quoted"]


def test_the_makers_manual_is_the_source_of_what_it_asks() -> None:
    asked = behind(1500)
    manual = [{"space": "behind-the-belt", "least_mm": 2400}]
    pieces = [
        one.model_dump() | ({"manual_mm": manual} if one.type == "running-machine" else {})
        for one in asked.pieces
    ]
    plan = Plan.model_validate({**asked.model_dump(), "pieces": pieces})
    (snag,) = found(plan, BEHIND)
    assert snag.sources[0].title.startswith("the maker's manual")


# a cable's lane is 1200 wide; of its middle 760 must be left, what is easy to pass carrying:
# common practice, no source; and of its side 100 are in nobody's way
@pytest.mark.parametrize(
    ("into", "measured", "required"),
    [(102, 1098, 1100), (220, 980, 1100), (222, 400, 1500)],
)
@pytest.mark.parametrize("side", [-1, 1])
@pytest.mark.parametrize("turn", [0.0, 23.0])
def test_a_lane_is_judged_by_the_width_that_is_left(
    into: float, measured: float, required: float, side: int, turn: float
) -> None:
    chest = place(
        "other-thing", 2500 + side * (900 - into), 1500, width=600, depth=600, height=1200
    )
    plan = turned_plan(make_plan(place("cable-column", 2500, 400), chest), turn)
    (snag,) = found(plan, "room-at-full-stretch")
    assert (snag.severity, snag.required) == ("care", required)
    assert snag.measured == pytest.approx(measured, abs=1)
    if required == 1100:
        # what is asked for is the limit: what takes no more than that says nothing
        assert "of its width is left beside the other thing. Allow 1100." in snag.sentence


@pytest.mark.parametrize("into", [0, 5, 100])
def test_what_takes_a_hands_width_of_a_lane_says_nothing(into: float) -> None:
    chest = place("other-thing", 2500 + 900 - into, 1500, width=600, depth=600, height=1200)
    plan = make_plan(place("cable-column", 2500, 400), chest)
    assert found(plan, "room-at-full-stretch") == []


def test_of_alike_things_in_a_space_the_first_is_named_however_all_is_turned() -> None:
    boxes = [place("jump-box", 2500 + x, 2500, piece_id=f"b{x}") for x in (0, 700)]
    plan = make_plan(place("mat-space", 2500, 2500, piece_id="mat"), *boxes, room=make_room())
    for angle in (0, 0.166, 33.3, 71.9, 120.007):
        (named,) = {
            snag.pieces[1]
            for snag in judge(turned_plan(plan, angle, (0, 0)))
            if snag.code == "room-on-the-mat"
        }
        assert named == "b0", angle


def test_between_two_cars_that_it_crosses_no_room_is_spoken_of_whatever_they_are_called() -> None:
    at = {"p0": (2000, 0), "p1": (2000, 45.89), "p2": (2110.27, 0.036)}
    for names in permutations(at):
        plan = make_plan(
            *(
                place("car", x, 2500, angle, piece_id=name)
                for name, (x, angle) in zip(names, at.values(), strict=True)
            ),
            room=make_room(9000, 9000),
        )
        snags = judge(plan)
        assert sum(snag.code == "clash" for snag in snags) == 3
        assert not [snag.code for snag in snags if snag.code.startswith("room-driver")]


def test_a_space_is_judged_unless_everybody_says_no_to_its_movement() -> None:
    # somebody who jumps onto a box wants room before it
    box = place("jump-box", 2500, 2500)
    near = place("other-thing", 2500, 3000, width=600, depth=300, height=900)

    def judged_with(*people: Person) -> list[str]:
        plan = make_plan(box, near, people=people)
        return [snag.code for snag in found(plan, "room-to-jump-from")]

    no, wants = make_person(no=["box-jump"]), make_person(person_id="two", want=["box-jump"])
    also_no = make_person(person_id="two", no=["box-jump"])
    assert judged_with() == judged_with(no, wants) == ["room-to-jump-from"]
    assert judged_with(no, also_no) == judged_with(no) == []


def test_of_two_things_that_leave_nothing_free_the_larger_is_named() -> None:
    # both stand on the floor of a mat; 600 x 600 and 300 x 300
    mat = place("mat-space", 2500, 2500)
    large = place("other-thing", 2300, 2500, width=600, depth=600, height=900, piece_id="a")
    small = place("other-thing", 2900, 2700, width=300, depth=300, height=900, piece_id="b")
    for pieces in ((mat, large, small), (mat, small, large)):
        rows = [s for s in judge(make_plan(*pieces)) if s.space and "mat-space" in s.pieces]
        assert [row.pieces for row in rows] == [("mat-space", "a")]


@pytest.mark.parametrize(
    ("stays", "other", "rows"),
    [
        ((True, True), "bike-stored", 0),
        ((True, False), "bike-stored", 1),
        ((False, False), "bike-stored", 1),
        ((True, True), "jump-box", 1),
    ],
)
def test_bicycles_that_stay_are_stored_one_in_front_of_the_other(
    stays: tuple[bool, bool], other: str, rows: int
) -> None:
    plan = make_plan(
        place("bike-stored", 2500, 310, piece_id="behind", stays=stays[0]),
        place(other, 2500, 1210, piece_id="before", stays=stays[1]),
    )
    behind = [snag for snag in found(plan, "room-to-lift") if snag.pieces[0] == "behind"]
    assert [snag.code for snag in behind] == ["room-to-lift-it-off"] * rows


def test_a_least_that_is_set_above_what_is_recommended_is_told_once() -> None:
    own = [{"id": "running.behind.least-mm", "value": 4000, "reason": "ours"}]
    box = place("other-thing", 2500, 5000 + 925 + 1500 + 300, width=600, depth=600, height=1800)
    plan = make_plan(place("running-machine", 2500, 5000), box, room=make_room(6000, 12000))
    (snag,) = found(Plan.model_validate({**plan.model_dump(), "overrides": own}), BEHIND)
    assert snag.sentence == "1500 mm to the other thing. Allow 4000, no less."


@pytest.mark.parametrize(("asked", "expected"), [(None, []), (350, ["care"]), (600, ["care"])])
def test_what_the_manual_asks_beside_a_belt_it_asks_before_a_bare_wall_too(
    asked: float | None, expected: list[str]
) -> None:
    # 400 to a bare wall on one side, where 300 will do if the maker asks for nothing himself
    machine = place("running-machine", 425 + 400, 1500).model_dump()
    if asked is not None:
        machine["manual_mm"] = [{"space": "beside-the-belt-left", "least_mm": asked}]
    plan = make_plan(Piece.model_validate(machine), room=make_room(6000, 8000))
    beside = found(plan, "room-beside-the-belt-left")
    assert [snag.severity for snag in beside] == expected


@pytest.mark.parametrize("x", [700, 740, 748, 751, 752, 1500])
@pytest.mark.parametrize("turn", [0.0, 23.0])
def test_a_wall_at_the_side_hides_none_behind(x: float, turn: float) -> None:
    # rings swing 1250 ahead and back in a strip of 1500: a left wall nearer than 750 stands in it,
    # and the back wall is no farther off for that
    plan = turned_plan(make_plan(place("rings", x, 800), room=make_room()), turn)
    (back,) = found(plan, "room-swing-back")
    assert (back.severity, back.measured, back.against) == ("care", 680, "the back wall")
    assert bool(found(plan, "room-beside-left")) == (x < 770)


@pytest.mark.parametrize("angle", [0, 31])
@pytest.mark.parametrize(
    ("no", "away", "said"),
    [
        # practice: running, stop under 1000 behind and care under 2000; walking, care under 1000
        ("run", 1000, []),
        ("run", 998, [("care", 998, 1000)]),
        ("run", 100, [("care", 100, 1000)]),
        ("walk", 2000, []),
        ("walk", 1998, [("care", 1998, 2000)]),
        ("walk", 998, [("stop", 998, 1000)]),
        # a machine that nobody says yes to is judged as it is made
        ("run walk", 998, [("stop", 998, 1000)]),
    ],
)
@pytest.mark.parametrize("kind", ["running-machine", "curved-runner"])
def test_who_only_walks_needs_the_room_of_who_walks(
    kind: str, no: str, away: float, said: list[tuple[str, int, int]], angle: float
) -> None:
    half = kit_types()[kind].depth_mm / 2
    there = make_plan(
        place(kind, 2500, 6000 - away - half),
        room=make_room(5000, 6000),
        people=(make_person(no=no.split()),),
    )
    snags = found(turned_plan(there, angle), "room-behind-the-belt")
    assert [(s.severity, s.measured, s.required) for s in snags] == said


def test_one_who_runs_is_enough_and_a_household_may_ask_for_more_to_walk() -> None:
    machine = place("running-machine", 2500, 6000 - 998 - 925)
    walks, runs = make_person(no=["run"]), make_person(person_id="two")
    plan = make_plan(machine, room=make_room(5000, 6000), people=(walks, runs))
    assert [s.severity for s in found(plan, "room-behind-the-belt")] == ["stop"]
    more = Plan.model_validate(
        make_plan(machine, room=make_room(5000, 6000), people=(walks,)).model_dump()
        | {"overrides": [{"id": "walking.behind.recommended-mm", "value": 1500, "reason": "more"}]}
    )
    assert [s.required for s in found(more, "room-behind-the-belt")] == [1500]
