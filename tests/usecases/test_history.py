"""Looking back, comparing and going back, over a real file of plans."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.changes.commands import Command, edits, moves
from app.errors import NotFoundError, StoreError
from app.forms.room_edits import edit
from app.model.kit import Pose
from app.model.plan import Plan
from app.model.versions import load
from app.store.backup import Copied
from app.usecases import history as histories
from app.usecases.plans import Elbowroom
from tests.commands import removes
from tests.web.building import plan_data, text

ONTO = Pose(x_mm=3600, y_mm=2000)


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Elbowroom]:
    house = Elbowroom(tmp_path / "plans")
    yield house
    house.close()


@pytest.fixture
def plan_id(house: Elbowroom) -> str:
    """Two benches; one is moved onto the other, taken away, and put back by undo."""
    state = house.create(load(text(plan_data())))
    state = house.do(state.plan_id, moves(state.plan, {"bench-1": ONTO}))
    state = house.do(state.plan_id, removes(state.plan, ["bench-1"]), "Bo")
    house.undo(state.plan_id)
    return state.plan_id


def test_the_history_tells_who_and_what(house: Elbowroom, plan_id: str) -> None:
    past = histories.history(house, plan_id)
    assert [(line.number, line.what, line.who) for line in past.lines] == [
        (3, "Undone: Flat bench removed", "you"),
        (2, "Flat bench removed", "Bo"),
        (1, "Flat bench moved 2.40 m right", "you"),
        (0, "The plan as it was made", "you"),
    ]
    assert past.below is None


def test_a_long_history_comes_in_pages(house: Elbowroom, plan_id: str) -> None:
    for x in range(60):
        state = house.open(plan_id)
        house.do(plan_id, edits(state.plan, "bench-2", price_minor=x))
    first = histories.history(house, plan_id)
    assert [line.number for line in first.lines] == list(range(63, 13, -1))
    assert first.below == 14
    second = histories.history(house, plan_id, first.below)
    assert [line.number for line in second.lines] == list(range(13, -1, -1))
    assert second.below is None


def test_two_revisions_are_compared_in_words_and_pictures(house: Elbowroom, plan_id: str) -> None:
    found = histories.compare(house, plan_id, 0, 1)
    assert found.phrases == ("Flat bench moved 2.40 m right",)
    assert found.gone == ()
    assert [snag.code for snag in found.come] == ["clash"]
    assert found.summary == "Flat bench moved 2.40 m right; 1 snag new"
    # The bench of 1200 x 2000 is framed where it stood and where it stands, 90 mm round it.
    (before,), (after,) = found.old.marks, found.new.marks
    assert [round(x) for x in middle(before)] == [1200, 2000]
    assert [round(x) for x in middle(after)] == [3600, 2000]
    assert found.old.drawing.startswith("<svg")
    assert found.old.view == found.new.view


def middle(points: str) -> tuple[float, float]:
    corners = [tuple(map(float, pair.split(","))) for pair in points.split()]
    return (
        sum(corner[0] for corner in corners) / len(corners),
        sum(corner[1] for corner in corners) / len(corners),
    )


def test_what_is_gone_is_named_the_other_way_round(house: Elbowroom, plan_id: str) -> None:
    forth, back = (histories.compare(house, plan_id, *pair) for pair in ((0, 1), (1, 0)))
    assert [snag.key for snag in forth.come] == [snag.key for snag in back.gone]
    assert back.phrases == ("Flat bench moved 2.40 m left",)


def test_a_revision_is_like_itself(house: Elbowroom, plan_id: str) -> None:
    found = histories.compare(house, plan_id, 1, 3)
    assert (found.phrases, found.gone, found.come) == ((), (), ())
    assert found.summary == "Nothing differs"


def test_going_back_is_a_new_revision_that_can_be_undone(house: Elbowroom, plan_id: str) -> None:
    first = histories.plan_at(house, plan_id, 0)
    histories.name_milestone(house, plan_id, 0, "As measured")
    state = histories.go_back(house, plan_id, 0)
    assert (state.revision, state.plan) == (4, first)
    line = histories.history(house, plan_id).lines[0]
    assert line.what == "Back to revision 0, “As measured”"
    assert house.undo(plan_id).plan.piece("bench-1").pose == ONTO


def test_a_log_of_before_back_was_a_verb_tells_the_same(house: Elbowroom, plan_id: str) -> None:
    # then it was an edit that only its words told apart
    plan = house.open(plan_id).plan
    old = Command(
        name="edit",
        says="back to revision 0, “As measured”",
        changes=removes(plan, ["bench-1"]).changes,
    )
    house.do(plan_id, old)
    assert histories.history(house, plan_id).lines[0].what == "Back to revision 0, “As measured”"


def test_words_alone_do_not_make_a_way_back(house: Elbowroom, plan_id: str) -> None:
    plan = house.open(plan_id).plan
    removal = removes(plan, ["bench-1"], says="back to revision 7 of the list")
    house.do(plan_id, removal)
    assert histories.history(house, plan_id).lines[0].what == "Flat bench removed"


def test_going_back_to_what_is_changes_nothing(house: Elbowroom, plan_id: str) -> None:
    assert histories.go_back(house, plan_id, 1).revision == 3


def test_what_is_not_there(house: Elbowroom, plan_id: str) -> None:
    for number in (4, -1, 10**40):
        with pytest.raises(NotFoundError):
            histories.go_back(house, plan_id, number)
        with pytest.raises(NotFoundError):
            histories.compare(house, plan_id, 0, number)


def test_a_folder_without_plans_has_no_backup(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="no plans"):
        histories.back_up_folder(tmp_path / "empty", tmp_path / "b")
    assert not (tmp_path / "empty").exists()


def test_a_folder_is_backed_up_while_it_is_open(
    house: Elbowroom, plan_id: str, tmp_path: Path
) -> None:
    assert histories.back_up_folder(tmp_path / "plans", tmp_path / "b") == Copied(1)
    assert histories.back_up_open(house, tmp_path / "c") == Copied(1)
    assert histories.restore_folder(tmp_path / "other", tmp_path / "b") == Copied(1)
    other = Elbowroom(tmp_path / "other")
    assert other.open(plan_id).plan == house.open(plan_id).plan
    other.close()


def test_what_is_long_past_is_thinned_at_the_start(house: Elbowroom, plan_id: str) -> None:
    assert histories.tidy(house) == 0


def sloped(plan: Plan, far: str) -> Command:
    """Set a ceiling that rises from 2.25 m at the first wall."""
    fields = {
        "construction": plan.room.ceiling.construction,
        "shape": "sloping",
        "wall": plan.room.walls[0].id,
        "height": "2.25",
        "far": far,
    }
    command = edit(plan, "ceiling", fields)
    assert command is not None
    return command


def test_a_ceiling_is_told_by_its_sides_and_an_undo_the_other_way_round(
    house: Elbowroom, plan_id: str
) -> None:
    house.do(plan_id, sloped(house.open(plan_id).plan, "2.703"))
    house.do(plan_id, sloped(house.open(plan_id).plan, "2.80"))
    house.undo(plan_id)
    house.redo(plan_id)
    house.undo(plan_id)
    told = [line.what for line in histories.history(house, plan_id).lines[:5]]
    assert told == [
        "Undone: Ceiling at the far side 2.80 m, now 2.703 m",
        "Done again: Ceiling at the far side 2.703 m, now 2.80 m",
        "Undone: Ceiling at the far side 2.80 m, now 2.703 m",
        "Ceiling at the far side 2.703 m, now 2.80 m",
        "Ceiling flat at 2.40 m, now sloping from 2.25 m at wall A to 2.703 m",
    ]
    found = histories.compare(house, plan_id, 4, 5)
    assert found.phrases == ("Ceiling at the far side 2.703 m, now 2.80 m",)


def test_heights_under_walls_that_have_moved_since_are_not_guessed(
    house: Elbowroom, plan_id: str
) -> None:
    house.do(plan_id, sloped(house.open(plan_id).plan, "2.70"))
    plan = house.open(plan_id).plan
    walls = [wall.id for wall in plan.room.walls]
    longer = edit(plan, "wall-length", {"wall": walls[1], "length": "5.20", "end": "end"})
    assert longer is not None
    house.do(plan_id, longer)
    told = [line.what for line in histories.history(house, plan_id).lines[:2]]
    assert "Ceiling changed" in told[1]
    assert "now" not in told[1]


def test_a_small_picture_shows_what_came_of_a_revision_on_top(
    house: Elbowroom, plan_id: str
) -> None:
    made, moved = (histories.outlines(house, plan_id, number) for number in (0, 1))
    assert not made.room_is_new
    assert [is_new for _, is_new in made.pieces] == [False, False]
    assert [is_new for _, is_new in moved.pieces] == [False, True]
    # it lies where it was moved to: its middle is that of its outline
    xs, ys = zip(*moved.pieces[-1][0], strict=True)
    assert ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2) == pytest.approx((3600, 2000))
    left, top, wide, high = moved.view
    assert left < min(xs) < max(xs) < left + wide
    assert top < min(ys) < max(ys) < top + high
    with pytest.raises(NotFoundError):
        histories.outlines(house, plan_id, 99)
