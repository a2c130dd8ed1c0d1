"""A walk round the room: what it makes of the tape, of a plan's openings and of heights."""

import math
import re

import pytest

from app.errors import PlanError
from app.forms.walk_form import fields_of, read_walk
from app.forms.walk_report import report
from app.model.height_words import shown_height
from app.model.plan import Plan
from app.model.room_missing import known
from app.model.room_overhead import ceiling_form
from app.model.versions import dump, load
from app.model.walk_heights import place
from app.model.walk_room import first_plan, outlined, walk_of
from app.model.walk_solve import askew, comes_back, solve
from app.units import format_short
from tests.browser.rooms import workshop
from tests.builders import make_plan, make_room

# an L of 6 x 5 m with a corner of 2.5 x 2 m cut out, taped exactly
ELL = ("6.00", "3 m", "250cm", "2000", "3,50", "5.00")
TURNS = ("in", "in", "out", "in", "in", "in")


BENT = ((0, 0), (5000, 300), (5200, 4000), (2500, 4100), (2400, 6000), (-100, 5900))


def typed(lengths: tuple[str, ...], turns: tuple[str, ...], **more: str) -> dict[str, str]:
    fields = dict(more)
    for n, (length, turn) in enumerate(zip(lengths, turns, strict=True), 1):
        fields |= {f"length{n}": length, f"turn{n}": turn}
    return fields


def new_plan(fields: dict[str, str]) -> Plan:
    return first_plan(read_walk(fields, "metric").walk, "Mine", "metric").plan


def faults(fields: dict[str, str]) -> dict[str, str]:
    with pytest.raises(PlanError) as caught:
        read_and_solve(fields)
    return {fault.field: fault.sentence for fault in caught.value.faults}


def read_and_solve(fields: dict[str, str]) -> None:
    found = read_walk(fields, "metric")
    try:
        solve(found.walk)
    except PlanError as error:
        raise PlanError(*found.beside(error.faults)) from None


def test_an_l_as_taped_comes_out_as_it_is() -> None:
    # from the back left corner: 6 right, 3 down, 2.5 left, 2 down, 3.5 left, 5 up
    room = new_plan(typed(ELL, TURNS)).room
    expected = [(0, 0), (6000, 0), (6000, 3000), (3500, 3000), (3500, 5000), (0, 5000)]
    for corner, at in zip(room.corners, expected, strict=True):
        assert corner == pytest.approx(at, abs=0.02)
    assert room.clockwise


def test_the_walls_at_the_right_hand_give_the_mirror_image() -> None:
    room = new_plan(typed(ELL, TURNS, hand="right")).room
    assert not room.clockwise
    assert math.dist(room.corners[1], room.corners[5]) == pytest.approx(
        math.hypot(6000, 5000), 1e-5
    )


def test_what_was_typed_is_kept_with_the_plan() -> None:
    fields = typed(ELL, TURNS, from1="1", to1="5", diagonal1="6.10", at1="b", along1="1,2",
                   away1="", height1="2m31")  # fmt: skip
    plan = new_plan(fields)
    kept = fields_of(walk_of(plan))
    for name, text in fields.items():
        assert kept[name] == (text.upper() if name == "at1" else text)


def test_a_diagonal_turns_the_corner() -> None:
    # 4 x 3 m with one diagonal of 5.10 instead of 5.00: the turn at corner 2 becomes
    # 180 - acos((16 + 9 - 26.01) / 24) = 87.59 degrees (law of cosines)
    fields = typed(("4 m", "3 m", "4 m", "3 m"), ("in",) * 4, from1="1", to1="3", diagonal1="5.10")
    found = solve(read_walk(fields, "metric").walk)
    a, b, c = found.corners[:3]
    legs = math.dist(a, b), math.dist(b, c), math.dist(a, c)
    assert legs == pytest.approx((4000, 3000, 5100), abs=0.5)
    told = report(found, "metric")
    assert told.corners[1].fitted == "92.4°"
    assert told.next_tape == "The lengths fix every corner: no more need be measured."


def test_with_one_length_to_spare_all_that_may_be_wrong_are_said() -> None:
    fields = typed(("4 m", "3 m", "4 m", "3 m"), ("in",) * 4, from1="1", to1="3", diagonal1="5.00",
                   from2="2", to2="4", diagonal2="5.08")  # fmt: skip
    told = report(solve(read_walk(fields, "metric").walk), "metric")
    assert told.again == (
        "One of these does not agree with the others: wall A, wall B, wall C, wall D, the diagonal "
        "from corner 1 to 3 and the diagonal from corner 2 to 4; measure them again."
    )
    assert [line.tone for line in (*told.walls, *told.diagonals)] == ["care"] * 6


def test_the_one_that_stands_out_is_said_alone() -> None:
    # a room of five walls with all its diagonals, that from 1 to 4 read 120 mm too long
    corners = ((0, 0), (5000, 0), (5000, 3000), (3000, 4500), (0, 4500))
    across = {
        ends: math.dist(corners[ends[0] - 1], corners[ends[1] - 1])
        for ends in ((1, 3), (1, 4), (2, 4), (2, 5), (3, 5))
    }
    across[1, 4] += 120
    fields = typed(("5 m", "3 m", "2.50", "3 m", "4.50"), ("in", "in", "straight", "in", "in"))
    for n, ((one, other), long) in enumerate(across.items(), 1):
        fields |= {f"from{n}": str(one), f"to{n}": str(other), f"diagonal{n}": f"{long:.0f} mm"}
    told = report(solve(read_walk(fields, "metric").walk), "metric")
    assert re.fullmatch(
        "The diagonal from corner 1 to 4 disagrees with all the rest by 1[12][0-9] mm: "
        "measure it again.",
        told.again,
    )


def test_the_raw_walk_tells_how_it_closes() -> None:
    # 4 + 3 + 4.04 + 3 m are 14.04 m (arithmetic)
    fields = typed(("4 m", "3 m", "4.04", "3 m"), ("in",) * 4)
    told = report(solve(read_walk(fields, "metric").walk), "metric")
    assert told.closing.startswith(
        "If every corner were as you said, the last wall would miss the start by 40 mm "
        "after 14.04 m of walls."
    )
    assert "wall A or C" in told.closing
    assert told.next_tape.startswith(
        "Nothing measured fixes corner 1 yet: measure from corner 4 to corner 2"
    )


GARAGE = ("5.40", "3.10", "5.40", "3.10")
TRUE_ACROSS = "6.227"
"""The diagonal of a rectangle of 5.40 by 3.10 m (Pythagoras)."""


@pytest.mark.parametrize(
    ("lengths", "across", "words"),
    [
        (("5.90", *GARAGE[1:]), TRUE_ACROSS, "wall A is 5.40 m, not 5.90 m"),
        (("5.40", "3.60", *GARAGE[2:]), TRUE_ACROSS, "wall B is 3.10 m, not 3.60 m"),
        (GARAGE, "6.500", "the diagonal from corner 1 to 3 is 6.227 m, not 6.50 m"),
    ],
)
def test_a_length_that_turns_square_corners_is_named(
    lengths: tuple[str, ...], across: str, words: str
) -> None:
    told = report(solve(read_walk(typed(lengths, ("in",) * 4, diagonal1=across), "metric").walk),
                  "metric")  # fmt: skip
    assert told.gapes
    assert told.closing.endswith(
        f"out of square. If its corners are square, {words}: measure it again."
    )
    assert told.next_tape == (
        "The lengths fix every corner, but next to nothing checks them: measure from corner 2 to "
        "corner 4 as well."
    )
    assert [line.tone for line in (*told.walls, *told.diagonals)].count("care") == 1


def test_a_room_that_is_a_little_out_of_square_is_said_to_be_so_and_no_more_is_asked() -> None:
    # 4 x 3 m with a diagonal of 5.10: 2.4 degrees, less than a word means (survey.turn-word-deg)
    fields = typed(("4 m", "3 m", "4 m", "3 m"), ("in",) * 4, diagonal1="5.10")
    told = report(solve(read_walk(fields, "metric").walk), "metric")
    assert not told.gapes
    assert "comes out 2.4° out of square" in told.closing
    assert told.closing.endswith("the diagonal from corner 1 to 3 is 5.00 m, not 5.10 m.")
    assert {line.tone for line in (*told.walls, *told.diagonals)} == {"open"}


@pytest.mark.parametrize(("across", "far"), [("5.12", False), ("5.13", True)])
def test_a_corner_is_far_off_past_what_a_word_means(across: str, far: bool) -> None:
    # law of cosines for 4 x 3 m: 5.12 makes 2.90 degrees, 5.13 3.15; a word means it to 3
    fields = typed(("4 m", "3 m", "4 m", "3 m"), ("in",) * 4, diagonal1=across)
    off = askew(solve(read_walk(fields, "metric").walk))
    assert off is not None
    assert off.far is far


def test_what_the_tape_makes_of_square_corners_is_not_said() -> None:
    for across in ("6.227", "6.240", "6.215"):
        fields = typed(GARAGE, ("in",) * 4, diagonal1=across)
        assert askew(solve(read_walk(fields, "metric").walk)) is None
    assert askew(solve(read_walk(typed(GARAGE, ("in",) * 4), "metric").walk)) is None


def test_where_no_one_length_explains_it_none_is_named() -> None:
    fields = typed(("5.45", "3.08", "5.40", "3.15"), ("in",) * 4, diagonal1="6.15")
    told = report(solve(read_walk(fields, "metric").walk), "metric")
    assert told.closing.endswith("out of square. If it is square, some of them are wrong.")
    assert told.doubted == frozenset()


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("54", "“54” has two readings: write 54 mm or 54 cm"),
        ("9", "“9” has two readings: write 9 mm or 9 m"),
    ],
)
def test_a_wall_of_a_few_bare_figures_is_asked_about_where_it_is_typed(
    text: str, sentence: str
) -> None:
    assert faults(typed((text, *GARAGE[1:]), ("in",) * 4)) == {"length1": sentence}
    # with its unit, and from 100 mm on, it is what it says
    for said in ("54 mm", "100"):
        assert read_walk(typed((said,), ("in",)), "metric").walk.steps[0].typed == said


def test_two_walls_are_no_room() -> None:
    assert faults(typed(("4 m", "3 m"), ("in", "in"))) == {
        "": "a room has at least three walls; this walk has 2"
    }


def test_a_wall_longer_than_all_others() -> None:
    found = faults(typed(("9 m", "2 m", "3 m", "2.5"), ("in",) * 4))
    assert found == {
        "length1": "wall A of 9.00 m cannot be: wall B, wall C and wall D are only 7.50 m "
        "together, 1.50 m less"
    }


def test_a_diagonal_longer_than_two_walls() -> None:
    fields = typed(("3 m", "4 m", "3 m", "4 m"), ("in",) * 4, from1="1", to1="3", diagonal1="7.3")
    assert faults(fields)["diagonal1"].startswith(
        "the diagonal from corner 1 to 3 of 7.30 m cannot be: "
    )
    assert faults(fields)["diagonal1"].endswith("only 7.00 m together, 300 mm less")


def test_turns_that_do_not_come_round() -> None:
    found = faults(typed(("3 m", "4 m", "3 m", "4 m"), ("in", "in", "out", "out")))
    assert found[""].startswith("2 turns in and 2 turns out do not come round")


def test_walls_that_cross() -> None:
    # a U whose inner walls are longer than the room is deep: 3 m down into 2 m
    lengths = ("1 m", "3 m", "1 m", "3 m", "1 m", "2 m", "3 m", "2 m")
    turns = ("in", "out", "out", "in", "in", "in", "in", "in")
    found = faults(typed(lengths, turns))
    assert any("runs into wall" in told and "past it" in told for told in found.values())


def test_a_missing_length_between_others_is_named() -> None:
    assert faults(typed(("3 m", "", "3 m", "4 m"), ("in",) * 4)) == {
        "length2": "the length of wall B is missing"
    }


def test_a_pasted_text_is_no_length() -> None:
    found = faults(typed(("3 m", "see the drawing", "3 m"), ("in",) * 3))
    assert found["length2"].startswith("“see the drawing” cannot be read as a length")


def test_a_corner_that_is_not_there() -> None:
    fields = typed(("3 m", "4 m", "3 m", "4 m"), ("in",) * 4, from1="1", to1="9", diagonal1="5 m")
    assert faults(fields) == {"to1": "type the number of a corner, 1 to 4"}


def test_between_four_corners_the_ends_of_both_diagonals_go_without_saying() -> None:
    four = typed(("3 m", "4 m", "3 m", "4 m"), ("in",) * 4, diagonal1="5 m", diagonal2="5 m")
    both = read_walk(four, "metric").walk.diagonals
    assert [(each.start, each.end) for each in both] == [(1, 3), (2, 4)]
    # half of it said, a third row, or more corners: then it is asked
    assert set(faults(four | {"to2": "4"})) == {"from2"}
    assert set(faults(four | {"diagonal3": "5 m"})) == {"from3", "to3"}
    assert set(faults(typed(ELL, TURNS, diagonal1="5 m"))) == {"from1", "to1"}


def test_one_height_needs_no_wall_nor_do_two_between_four_walls_that_face_each_other() -> None:
    four = typed(("3 m", "4 m", "3 m", "4 m"), ("in",) * 4, height1="2.31")
    (one,) = read_walk(four, "metric").walk.heights
    assert (one.wall, one.height_mm) == (1, 2310)
    # the last wall has the door in it, and wall B faces it; of what is said the other faces that
    for said, walls in (({}, [4, 2]), ({"at1": "A"}, [1, 3]), ({"at2": "C"}, [1, 3])):
        both = read_walk(four | said | {"height2": "2.46"}, "metric").walk.heights
        assert [(each.wall, each.height_mm) for each in both] == [
            (walls[0], 2310), (walls[1], 2460),
        ]  # fmt: skip
    # a third says its own, and between more walls each does
    assert set(faults(four | {"height2": "2.46", "height3": "2.5"})) == {"at3"}
    assert set(faults(typed(ELL, TURNS, height1="2.31", height2="2.46"))) == {"at1", "at2"}


def test_a_walk_comes_back_when_its_end_is_near_the_start() -> None:
    whole = read_walk(typed(ELL, TURNS), "metric").walk
    assert comes_back(whole)
    assert not comes_back(read_walk(typed(ELL[:5], TURNS[:5]), "metric").walk)


@pytest.mark.parametrize("key", ["workshop", "bent"])
def test_a_room_read_off_and_walked_again_is_the_same(key: str) -> None:
    plan = workshop() if key == "workshop" else make_plan(room=make_room(corners=BENT))
    again = outlined(plan, walk_of(plan)).plan.room
    for corner, was in zip(again.corners, plan.room.corners, strict=True):
        assert corner == pytest.approx(was, abs=0.1)
    assert [wall.id for wall in again.walls] == [wall.id for wall in plan.room.walls]
    assert again.openings == plan.room.openings


@pytest.mark.parametrize("key", ["workshop", "bent"])
def test_in_feet_a_walk_is_written_as_a_tape_reads_and_keeps_what_it_stood_for(key: str) -> None:
    plan = workshop() if key == "workshop" else make_plan(room=make_room(corners=BENT))
    plan = plan.model_copy(update={"units": "feet"})
    before = walk_of(plan)
    fields = fields_of(before)
    # feet, inches and parts of an inch by halving: nothing that no tape shows
    assert not [text for text in fields.values() if re.search(r"[.]\d", text)]
    again = read_walk(fields, "feet", before).walk
    assert [step.length_mm for step in again.steps] == [step.length_mm for step in before.steps]
    assert [one.length_mm for one in again.diagonals] == [one.length_mm for one in before.diagonals]
    # what is typed anew is what is typed: 10 ft are 3048 mm
    other = read_walk(fields | {"length2": "10'"}, "feet", before).walk
    assert other.steps[1].length_mm == pytest.approx(3048)
    assert other.steps[0].length_mm == before.steps[0].length_mm


def test_openings_stay_where_they_fit_and_are_named_where_not() -> None:
    # the door of the workshop is 838 mm wide and begins 2.90 m along the right wall of 4 m
    plan = workshop()
    fields = fields_of(walk_of(plan)) | {"length2": "3.70", "length4": "3.70"}
    found = outlined(plan, read_walk(fields, "metric").walk)
    assert found.plan.room.openings[0].offset_mm == pytest.approx(2862, abs=0.1)
    assert found.moved == (
        "the door begins 2.862 m along wall B, not 2.90 m, to end with the wall",
    )
    fields |= {"length2": "0.80", "length4": "0.80"}
    found = outlined(plan, read_walk(fields, "metric").walk)
    assert found.plan.room.openings == ()
    assert found.lost == ("the door: 838 mm wide, wall B is now 800 mm long",)


def heights(*rows: tuple[str, str, str, str]) -> dict[str, str]:
    fields: dict[str, str] = {}
    for n, (at, along, away, height) in enumerate(rows, 1):
        fields |= {f"at{n}": at, f"along{n}": along, f"away{n}": away, f"height{n}": height}
    return fields


BOX = typed(("4 m", "6 m", "4 m", "6 m"), ("in",) * 4)


def ceiling(*rows: tuple[str, str, str, str]) -> tuple[Plan, str]:
    walk = read_walk({**BOX, **heights(*rows)}, "metric").walk
    found = first_plan(walk, "Mine", "metric")
    assert found.overhead is not None
    return found.plan, found.overhead.sentence


def test_heights_alike_make_a_flat_ceiling_at_the_lowest() -> None:
    plan, says = ceiling(("A", "", "", "2.40"), ("C", "", "", "2.392"), ("C", "4 m", "", "2.40"),
                         ("A", "4 m", "", "2.40"))  # fmt: skip
    assert [(p.height_mm, p.rise_x, p.rise_y) for p in plan.room.ceiling.planes] == [(2392, 0, 0)]
    assert says == "flat, at the lowest of 4 heights: 2.392 m"


def over(plan: Plan, walk_fields: dict[str, str]) -> list[float]:
    """How high the ceiling of the model is over each place where a height was typed, in mm."""
    walk = read_walk(walk_fields, "metric").walk
    found = first_plan(walk, "Mine", "metric").plan.room
    places = [place(found, h.wall, h.along_mm, h.out_mm) for h in walk.heights]
    return [plan.room.ceiling.planes[0].height_at(*at) for at in places]


# a garage out of square: no two walls parallel, its diagonals 6.90 and 7.10 (by tape)
SLANT = typed(("5.32", "5.18", "5.20", "5.10"), ("in",) * 4, from1="1", to1="3", diagonal1="7.30",
              from2="2", to2="4", diagonal2="7.42")  # fmt: skip


@pytest.mark.parametrize(
    "rows",
    [
        (("A", "1.10", "", "2.31"), ("C", "0.40", "", "2.463")),
        (("C", "0", "", "2.20"), ("A", "5.32", "", "2.207")),
        (("D", "2 m", "", "2.60"), ("B", "2 m", "", "2.41")),
        (("A", "0", "", "2.20"), ("A", "5 m", "1 m", "2.44"), ("C", "1 m", "0.5", "2.37")),
    ],
)
def test_what_is_typed_of_a_slope_is_true_to_the_millimetre(
    rows: tuple[tuple[str, str, str, str], ...],
) -> None:
    fields = SLANT | heights(*rows)
    found = first_plan(read_walk(fields, "metric").walk, "Mine", "metric")
    typed_mm = [float(row[3]) * 1000 for row in rows]
    assert over(found.plan, fields) == pytest.approx(typed_mm, abs=0.5)
    assert load(dump(found.plan)) == found.plan
    if len(rows) == 2:
        # from wall to wall: level along the lower one
        low = min(rows, key=lambda row: row[3])[0]
        (x0, y0), (x1, y1) = found.plan.room.wall_ends(found.plan.room.walls["ABCD".index(low)].id)
        (plane,) = found.plan.room.ceiling.planes
        assert plane.height_at(x0, y0) == pytest.approx(plane.height_at(x1, y1), abs=0.1)


def test_heights_that_leave_the_fall_open_are_asked_for_and_the_lowest_is_taken() -> None:
    rows = ("A", "0.2", "", "2.60"), ("B", "5.8", "", "2.30")
    plan, says = ceiling(*rows)
    assert [p.height_mm for p in plan.room.ceiling.planes] == [2300]
    assert says.startswith("these heights do not tell whether it rises from wall C or from wall B")
    fields = {**BOX, **heights(*rows)}
    for wall, rise in (("3", (0, -300 / 5.8)), ("2", (-300 / 3.8, 0))):
        answered = fields | {"rises": wall}
        walk = read_walk(answered, "metric").walk
        assert fields_of(walk)["rises"] == wall
        done = first_plan(walk, "Mine", "metric").plan
        (plane,) = done.room.ceiling.planes
        assert (plane.rise_x, plane.rise_y) == pytest.approx(rise, abs=0.01)
        assert over(done, answered) == pytest.approx([2600, 2300], abs=0.5)
    # another wall than those two is no answer
    assert ceiling_of(fields | {"rises": "1"}) == ceiling_of(fields)


def ceiling_of(fields: dict[str, str]) -> float:
    (plane,) = first_plan(read_walk(fields, "metric").walk, "M", "metric").plan.room.ceiling.planes
    return plane.height_mm


def test_a_height_taped_twice_with_two_values_is_said_and_the_lower_is_taken() -> None:
    plan, says = ceiling(("A", "1 m", "", "2.60"), ("A", "1 m", "", "2.40"))
    assert [p.height_mm for p in plan.room.ceiling.planes] == [2400]
    assert says.startswith("two heights at one place, 2.40 m and 2.60 m: the lower is taken")


def test_heights_of_a_slope_make_one_plane() -> None:
    # 2.20 at the back, 2.80 six metres on: 100 mm a metre (arithmetic)
    plan, says = ceiling(
        ("A", "0", "", "2.20"), ("A", "4 m", "", "2.20"), ("C", "0", "", "2.80"),
        ("C", "4 m", "", "2.80"),
    )  # fmt: skip
    (plane,) = plan.room.ceiling.planes
    assert plane.height_at(2000, 3000) == pytest.approx(2500, abs=0.1)
    assert plane.rise_y == pytest.approx(100, abs=0.05)
    assert says == "one slope, 100 mm in each metre; the heights lie within 0 mm of it"


# an L whose long walls are not parallel, its heights taped at the ends of walls A and E
ASKEW = typed(("5.42", "3m56", "2,34", "2500", "3.07", "6.02"), TURNS, from1="1", to1="5",
              diagonal1="6.80")  # fmt: skip
ASKEW_HEIGHTS = (("A", "0", "0", "2.70"), ("A", "5.42", "0", "2.70"), ("E", "0", "0", "2.25"),
                 ("E", "3.07", "0", "2.25"))  # fmt: skip


@pytest.mark.parametrize(("ends", "long"), [(("1", "3"), "6.52"), (("1", "4"), "4.739")])
def test_heights_come_back_as_they_were_typed(ends: tuple[str, str], long: str) -> None:
    fields = ASKEW | {"from2": ends[0], "to2": ends[1], "diagonal2": long}
    walk = read_walk(fields | heights(*ASKEW_HEIGHTS), "metric").walk
    found = first_plan(walk, "Mine", "metric")
    assert found.overhead is not None
    assert max(abs(each) for each in found.overhead.misfits_mm) < 10
    room = found.plan.room
    form = ceiling_form(room)
    shown = [shown_height(room, each, "metric") for each in (form.height_mm, form.far_mm)]
    assert shown == ["2.25", "2.70"]
    (lowest,) = (told.sentence for told in known(found.plan) if told.of == "ceiling")
    assert lowest == "2.25 m"
    over = [room.ceiling.planes[0].height_at(x, y) for x, y in room.corners]
    assert [format_short(each, "metric") for each in (min(over), max(over))] == ["2250", "2700"]


def test_heights_farther_apart_than_tapes_keep_the_best_slope() -> None:
    # 2.70 and 2.72 at the two ends of wall C: no slope square to a wall goes through both
    plan, says = ceiling(
        ("A", "0", "", "2.20"), ("A", "4 m", "", "2.20"), ("C", "0", "", "2.70"),
        ("C", "4 m", "", "2.73"),
    )  # fmt: skip
    (plane,) = plan.room.ceiling.planes
    assert plane.height_at(2000, 3000) == pytest.approx(2457.5, abs=0.1)
    assert says.endswith("the heights lie within 8 mm of it")


def test_heights_of_a_ridge_make_two_planes() -> None:
    # 2 m at both long walls, 3 m in the middle: at 1 m from the wall 2.5 (arithmetic)
    plan, says = ceiling(
        ("B", "0", "", "2.00"), ("B", "5 m", "2 m", "3.00"), ("D", "1 m", "", "2.00"),
        ("B", "2 m", "1 m", "2.50"),
    )  # fmt: skip
    assert len(plan.room.ceiling.planes) == 2
    lowest = min(plane.height_at(1000, 3000) for plane in plan.room.ceiling.planes)
    assert lowest == pytest.approx(2500, abs=0.5)
    assert says.startswith("two slopes that meet 2.00 m from wall B, 3.00 m high there")


def test_heights_that_fit_nothing_are_said_and_the_lowest_is_taken() -> None:
    plan, says = ceiling(
        ("A", "0", "", "2.20"), ("A", "4 m", "", "2.60"), ("C", "0", "", "2.25"),
        ("C", "4 m", "", "2.70"), ("A", "2 m", "3 m", "2.10"),
    )  # fmt: skip
    assert [p.height_mm for p in plan.room.ceiling.planes] == [2100]
    assert says.startswith("no flat ceiling, single slope or ridge fits: the heights lie up to ")


def test_an_end_that_misses_the_start_by_metres_is_told_loudly() -> None:
    # 5, 4, 2 and 4 m with square corners end 3 m short of the start
    found = solve(read_walk(typed(("5 m", "4 m", "2 m", "4 m"), ("in",) * 4), "metric").walk)
    told = report(found, "metric")
    assert told.gapes
    assert "miss the start by 3.00 m" in told.closing
    assert "An error on wall A or C would explain it" in told.closing
    right = solve(read_walk(typed(("5 m", "4 m", "5 m", "4 m"), ("in",) * 4), "metric").walk)
    assert not report(right, "metric").gapes
