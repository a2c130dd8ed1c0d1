"""Two changes made side by side: merged, agreed, or a clash with both versions in words."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.changes.commands import Command, adds, apply, edits, moves
from app.changes.conflict_words import both_in_words
from app.changes.merging import ClashError, rebased
from app.errors import ConflictError
from app.forms.money_edits import edit_money
from app.forms.room_edits import edit
from app.model.kit import Piece, Pose
from app.model.plan import Plan
from tests.builders import make_person, make_plan, make_room, place
from tests.commands import removes

NAMES = {"a": "Rack", "b": "Bike", "c": "Box"}
PLAN = make_plan(
    place("mid-rack", 1000, 1000, piece_id="a"),
    place("bike", 3000, 1000, piece_id="b"),
    place("jump-box", 3000, 3000, piece_id="c"),
    room=make_room(5000, 4000),
    people=(make_person(1800, person_id="ada"),),
)


def at(x: float, y: float, angle: float = 0) -> Pose:
    return Pose(x_mm=x, y_mm=y, angle_deg=angle)


def wall(plan: Plan, wall_id: str, **typed: str) -> Command:
    """What the form of a wall sends: all its fields, some of them changed."""
    found = next(w for w in plan.room.walls if w.id == wall_id)
    fields = {
        "wall": wall_id,
        "thickness": f"{found.thickness_mm} mm",
        "construction": found.construction,
        "finish": found.finish,
        "lining": f"{found.lining_mm} mm",
        "colour": found.colour,
        **typed,
    }
    command = edit(plan, "wall", fields)
    assert command is not None
    return command


def length(plan: Plan, wall_id: str, text: str) -> Command:
    command = edit(plan, "wall-length", {"wall": wall_id, "length": text})
    assert command is not None
    return command


def merged(theirs: Command, mine: Command) -> Plan:
    now = apply(PLAN, theirs)
    command = rebased(PLAN, now, mine)
    return now if command is None else apply(now, command)


def clash(theirs: Command, mine: Command) -> tuple[ClashError, Plan]:
    now = apply(PLAN, theirs)
    with pytest.raises(ClashError) as caught:
        rebased(PLAN, now, mine)
    return caught.value, now


def test_moves_of_two_pieces_are_both_kept() -> None:
    plan = merged(moves(PLAN, {"a": at(1200, 1100)}), moves(PLAN, {"b": at(3500, 1500)}))
    assert (plan.piece("a").pose, plan.piece("b").pose) == (at(1200, 1100), at(3500, 1500))


def test_moves_of_one_piece_clash_and_either_can_be_had() -> None:
    error, now = clash(moves(PLAN, {"a": at(1240, 1000)}), moves(PLAN, {"a": at(1000, 1300)}))
    theirs, mine = both_in_words(error, NAMES)
    assert theirs == ("Rack moved 240 mm right",)
    assert mine == ("Rack moved 300 mm to the front",)
    assert error.insisting is not None
    assert apply(now, error.insisting).piece("a").pose == at(1000, 1300)


def test_half_of_two_positions_is_never_made() -> None:
    error, now = clash(moves(PLAN, {"a": at(1500, 1000)}), moves(PLAN, {"a": at(1000, 1500)}))
    assert [c.path for c in error.clashes] == [("pieces", "a", "pose")]
    assert now.piece("a").pose == at(1500, 1000)


def test_a_move_and_a_field_of_one_piece_are_both_kept() -> None:
    plan = merged(moves(PLAN, {"a": at(1500, 1000)}), edits(PLAN, "a", label="Old rack"))
    assert (plan.piece("a").pose.x_mm, plan.piece("a").label) == (1500, "Old rack")


def test_removing_two_pieces_merges() -> None:
    plan = merged(removes(PLAN, ["a"]), removes(PLAN, ["b"]))
    assert [piece.id for piece in plan.pieces] == ["c"]


def test_removing_one_piece_twice_is_agreed() -> None:
    now = apply(PLAN, removes(PLAN, ["a"]))
    assert rebased(PLAN, now, removes(PLAN, ["a"])) is None


def test_a_command_that_was_carried_out_already_is_done() -> None:
    command = moves(PLAN, {"a": at(1200, 1100)})
    assert rebased(PLAN, apply(PLAN, command), command) is None


def test_a_piece_that_was_moved_is_not_removed_unasked() -> None:
    error, now = clash(moves(PLAN, {"a": at(1300, 1000)}), removes(PLAN, ["a"]))
    assert both_in_words(error, NAMES) == (("Rack moved 300 mm right",), ("Rack removed",))
    assert error.insisting is not None
    assert "a" not in {p.id for p in apply(now, error.insisting).pieces}


def test_a_piece_that_was_removed_can_be_put_back_where_it_was_meant() -> None:
    error, now = clash(removes(PLAN, ["a"]), moves(PLAN, {"a": at(1300, 1000)}))
    assert both_in_words(error, NAMES) == (("Rack removed",), ("Rack moved 300 mm right",))
    assert error.insisting is not None
    assert apply(now, error.insisting).piece("a").pose == at(1300, 1000)


def test_two_additions_under_one_id_are_both_kept() -> None:
    one, other = (
        place("flat-bench", 500, 500, piece_id="n"),
        place("bike", 4000, 3000, piece_id="n"),
    )
    plan = merged(adds([one]), adds([other]))
    assert [(p.id, p.type) for p in plan.pieces[3:]] == [("n", "flat-bench"), ("n-1", "bike")]


def test_what_is_put_on_a_removed_piece_stands_for_itself() -> None:
    rider = Piece.model_validate({**place("flat-bench", 1000, 1000).model_dump(), "id": "n"})
    carried = Piece.model_validate({**rider.model_dump(), "carried_by": "a"})
    plan = merged(removes(PLAN, ["a"]), adds([carried]))
    assert plan.piece("n").carried_by is None


def test_edits_of_two_walls_are_both_kept() -> None:
    theirs, mine = wall(PLAN, "back", thickness="200 mm"), wall(PLAN, "left", colour="green")
    plan = merged(theirs, mine)
    by_id = {w.id: w for w in plan.room.walls}
    assert (by_id["back"].thickness_mm, by_id["left"].colour) == (200, "green")


def test_two_fields_of_one_wall_are_both_kept() -> None:
    theirs, mine = wall(PLAN, "back", thickness="200 mm"), wall(PLAN, "back", colour="green")
    back = merged(theirs, mine).room.walls[0]
    assert (back.thickness_mm, back.colour) == (200, "green")


def test_one_field_of_one_wall_clashes() -> None:
    theirs, mine = wall(PLAN, "back", thickness="200 mm"), wall(PLAN, "back", thickness="240 mm")
    error, now = clash(theirs, mine)
    assert both_in_words(error, NAMES) == (
        ("Wall A: thickness 200 mm",),
        ("Wall A: thickness 240 mm",),
    )
    assert error.insisting is not None
    assert apply(now, error.insisting).room.walls[0].thickness_mm == 240


def test_the_corners_of_a_room_are_one_place() -> None:
    error, now = clash(length(PLAN, "back", "5.60 m"), length(PLAN, "left", "4.20 m"))
    theirs, mine = both_in_words(error, NAMES)
    assert theirs == ("Wall A: 5.60 m long", "Wall C: 5.60 m long")
    assert mine == ("Wall B: 4.20 m long", "Wall D: 4.20 m long")
    assert error.insisting is not None
    assert apply(now, error.insisting).room.wall_length_mm("back") == 5000


def priced(name: str, **fields: str) -> Command:
    command = edit_money(PLAN, name, fields)
    assert command is not None
    return command


def test_the_first_word_on_one_line_may_come_from_two_sides() -> None:
    plan = merged(priced("entry.piece.a", whole="80"), priced("entry.piece.a", second_hand="yes"))
    (entry,) = plan.money.entries
    assert (entry.minor, entry.second_hand) == (8000, True)
    plan = merged(priced("price.tape", price="9"), priced("price.tape", price="9", delivery="5"))
    (price,) = plan.money.prices
    assert (price.minor, price.delivery_minor) == (900, 500)


def test_two_first_prices_of_one_line_clash_in_the_price_alone() -> None:
    error, _ = clash(priced("price.tape", price="9", pack="2"), priced("price.tape", price="8"))
    assert [c.path for c in error.clashes] == [("money", "prices", "tape", "minor")]
    assert [(c.base, c.now, c.mine) for c in error.clashes] == [(None, 900, 800)]


def test_a_command_that_never_fitted_is_a_plain_conflict() -> None:
    elsewhere = apply(PLAN, moves(PLAN, {"a": at(9, 9)}))
    with pytest.raises(ConflictError) as caught:
        rebased(PLAN, PLAN, moves(elsewhere, {"a": at(8, 8)}))
    assert not isinstance(caught.value, ClashError)


PLACES = st.builds(at, st.integers(0, 5000), st.integers(0, 4000), st.sampled_from([0, 90]))
POSES: st.SearchStrategy[Any] = st.dictionaries(st.sampled_from("abc"), PLACES, min_size=1)


@given(POSES, POSES)
def test_side_by_side_is_one_after_the_other_or_a_clash(
    theirs: dict[str, Pose], mine: dict[str, Pose]
) -> None:
    first, second = moves(PLAN, theirs), moves(PLAN, mine)
    now = apply(PLAN, first)
    start = {piece.id: piece.pose for piece in PLAN.pieces}
    moved = [{i: p for i, p in poses.items() if p != start[i]} for poses in (theirs, mine)]
    both = {i for i in moved[0].keys() & moved[1].keys() if moved[0][i] != moved[1][i]}
    if both:
        with pytest.raises(ClashError) as caught:
            rebased(PLAN, now, second)
        assert {c.path[1] for c in caught.value.clashes} == both
        return
    command = rebased(PLAN, now, second)
    after = now if command is None else apply(now, command)
    assert {p.id: p.pose for p in after.pieces} == {**start, **moved[0], **moved[1]}
