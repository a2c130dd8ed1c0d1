"""Options weighed against a plan whose numbers are known, and the plan as of now."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from app.changes.commands import apply, edits
from app.errors import CommandError, PlanError
from app.model.phases import as_of_now
from app.model.plan import PieceState, Situation
from app.usecases import options
from app.usecases.plans import Elbowroom
from tests.builders import make_person, make_plan, make_room, place


@pytest.fixture
def house(tmp_path: Path) -> Iterator[Elbowroom]:
    house = Elbowroom(tmp_path / "plans")
    yield house
    house.close()


TREE = place("plate-tree", 500, 500, piece_id="tree")
BENCH = place("flat-bench", 2000, 2000, piece_id="bench")
RACK = place("mid-rack", 1500, 1100, piece_id="rack")
BAR = place("bar-20", 1500, 1762, piece_id="bar", carried_by="rack")
PLAN = make_plan(TREE, BENCH, room=make_room(4000, 3000), people=(make_person(),), name="Garage")


def test_an_option_is_measured(house: Elbowroom) -> None:
    plan_id = house.create(PLAN).plan_id
    (one,) = options.side_by_side(house, plan_id)
    # A tree of 600 x 600 mm and a bench of 600 x 1220 mm stand on 4 x 3 m; the tree is 200 mm off
    # both walls, and the floor behind it is too narrow: 0.8 x 0.8 m are gone; so are the bench and
    # 390 mm between its end and the wall, less what one may stand into.
    assert one.free_m2 == pytest.approx(12 - 0.64 - 0.732 - 0.6 * 0.39, abs=0.05)
    assert one.floor_m2 == 12
    assert one.narrowest.width_mm is None  # there is no door
    assert one.narrowest.wording.worded("metric") == "no way to judge"
    assert one.price == options.KitPrice(6000 + 11000, 0, 0)  # guide prices of the library
    assert one.at_once == 1
    assert one.pieces == 2
    assert sum(one.counts.values()) == sum(house.verdict(plan_id)["counts"].values())


def test_a_copy_is_a_plan_of_its_own_and_named_by_its_letter(house: Elbowroom) -> None:
    first = house.create(PLAN).plan_id
    second = options.copy_as_option(house, first, "").plan_id
    third = options.copy_as_option(house, second, "  Bench  out ").plan_id
    names = [option.name for option in options.options_of(house, first)]
    assert names == ["Garage", "Garage, option B", "Bench out"]
    house.do(second, edits(house.open(second).plan, "tree", price_minor=100))
    assert house.open(first).plan.piece("tree").price_minor is None
    assert options.copy_as_option(house, second, "").plan.name == "Garage, option D"
    with pytest.raises(PlanError):
        options.copy_as_option(house, third, "x" * 201)
    options.choose(house, third)
    (family,) = options.shelved(house)
    assert family.entry.id == third
    assert [option.letter for option, _ in family.options] == ["A", "B", "C", "D"]


def test_plans_without_options_are_entries_of_their_own(house: Elbowroom) -> None:
    one, other = house.create(PLAN).plan_id, house.create(PLAN).plan_id
    assert [(f.entry.id, f.options) for f in options.shelved(house)] == [(other, ()), (one, ())]
    with pytest.raises(CommandError, match="nothing to choose"):
        options.choose(house, one)


def test_now_leaves_out_what_is_for_later_and_what_spoke_of_it() -> None:
    later = RACK.model_copy(update={"later": True})
    situation = Situation(
        id="s",
        states=(PieceState(id="rack", state="out"), PieceState(id="tree", state="out")),
    )
    whole = make_plan(TREE, later, BAR).model_copy(update={"situations": (situation,)})
    now = as_of_now(whole)
    assert [piece.id for piece in now.pieces] == ["bar", "tree"]
    assert now.piece("bar").carried_by is None
    assert [entry.id for entry in now.situations[0].states] == ["tree"]
    assert as_of_now(now) is now


def test_now_is_judged_and_priced_without_touching_the_plan(house: Elbowroom) -> None:
    inside = place("jump-box", 2000, 2000, piece_id="box")
    plan = make_plan(BENCH, inside, room=make_room(4000, 3000), people=(make_person(),))
    plan = apply(plan, edits(plan, "box", later=True))
    plan_id = house.create(plan).plan_id
    codes = {snag["code"] for snag in house.verdict(plan_id)["snags"]}
    found = options.now_of(house, plan_id)
    assert "clash" in codes
    assert "clash" not in {snag["code"] for snag in found.verdict["snags"]}
    assert found.left_out == ("Jump box",)
    assert found.price == options.KitPrice(11000, 8000, 0)
    assert house.open(plan_id).revision == 0
    assert 'data-piece="box"' not in found.drawing
