"""What fits: nothing in a cupboard, all of a small thing in a bare room, and for whom."""

import json
from pathlib import Path

import pytest
import shapely

from app.arrange.joining import ways_in
from app.arranging.new_places import NEW
from app.arranging.whatfits import Fits, fits, for_racks
from app.budget import Budget
from app.changes.commands import adds, apply
from app.cli import main
from app.library.kit import kit_types
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.versions import dump, load
from app.scene.build import build_scene
from tests.builders import judge, make_person, make_plan, make_room, place
from tests.test_samples import sample


@pytest.fixture(scope="module")
def small() -> Plan:
    """A room of 2.4 x 2.2 m, 2.15 high, for one who squats."""
    return make_plan(room=make_room(2400, 2200, 2150), people=(make_person(1800, want=("squat",)),))


@pytest.fixture(scope="module")
def answer(small: Plan) -> Fits:
    """What fits into that room."""
    return fits(small)


def test_what_is_said_to_fit_brings_no_stop(small: Plan, answer: Fits) -> None:
    by_key = {one.kit.key: one for one in answer.kit}
    assert by_key["adjustable-dumbbells"].use == "full"
    # a belt of 1850 with 1000 behind it is longer than the room
    assert by_key["running-machine"].use == "none"
    # a bar of 2200 with 150 at each end is wider than the room of 2400
    assert answer.longest_bar is None or answer.longest_bar.width_mm <= 2400 - 2 * 150
    assert answer.tallest_rack_mm == pytest.approx(2150)
    assert answer.mat is not None
    assert answer.mat.words == "2.4 × 2.2"
    for one in answer.kit:
        if one.use == "none" or one.kit.group not in ("Benches", "Machines"):
            continue
        assert one.pose is not None
        with_it = apply(small, adds([Piece(id=NEW, type=one.kit.key, pose=one.pose)]))
        stops = [s.code for s in judge(with_it) if s.severity == "stop" and s.hangs_on_place]
        assert not stops, one.kit.key


@pytest.mark.long
def test_what_is_said_to_fit_in_full_costs_nothing_else_anything() -> None:
    # single garage: whatever goes in beside it takes room from the bar, the rack or the rower
    plan = sample("single-garage")
    before = [s for s in judge(plan) if s.severity != "note" and s.hangs_on_place]
    every = fits(plan, budget=Budget(30)).kit
    assert {one.use for one in every} >= {"full", "tight", "none"}
    for one in every:
        if one.pose is None:
            continue
        with_it = apply(plan, adds([Piece(id=NEW, type=one.kit.key, pose=one.pose)]))
        after = [s for s in judge(with_it) if s.severity != "note" and s.hangs_on_place]
        known = {(s.key, s.severity, s.measured) for s in before}
        others = [s for s in after if s.pieces[:1] != (NEW,)]
        new = [s.sentence for s in others if (s.key, s.severity, s.measured) not in known]
        assert not (one.use == "full" and new), (one.kit.key, new)
        assert bool(new) >= bool(one.then), (one.kit.key, one.then)


def test_where_a_thing_has_no_place_at_all_it_says_so(small: Plan, answer: Fits) -> None:
    by_key = {one.kit.key: one for one in answer.kit}
    assert by_key["running-machine"].why == "nowhere, even in the empty room"
    # 2150 high, 2400 wide: short racks stand there, a bar of 2200 has 100 at each end
    assert by_key["short-rack"].why == "it has a place, its bar has none"
    assert not by_key["adjustable-dumbbells"].why


def test_of_places_as_good_the_one_at_a_wall_is_named() -> None:
    plan = make_plan(room=make_room(5000, 5000, 2600), people=(make_person(1800),))
    scene = build_scene(plan)
    by_key = {one.kit.key: one for one in fits(plan).kit}
    for key in ("kettlebell-shelf", "dumbbell-rack-2", "plate-tree"):
        one = by_key[key]
        assert one.pose is not None
        piece = Piece(id=NEW, type=key, pose=one.pose)
        outline = build_scene(apply(plan, adds([piece]))).placed[NEW].footprint
        assert outline.distance(scene.room.free.boundary) < 300, key


@pytest.mark.long
def test_the_command_line_tells_it(
    small: Plan, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "plan.json"
    file.write_text(dump(small), encoding="utf-8")
    assert main(["fits", str(file), "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["tallest_rack"] == 2150
    assert answer["open_floor"] == [2400, 2200]
    assert {one["fits"] for one in answer["kit"]} >= {"full", "tight", "none"}


def test_over_a_place_stands_only_what_reaches_it(small: Plan, answer: Fits) -> None:
    # 300 from two walls: what is deep and wide stands over it, at least half of its size away
    corner = 300.0, 300.0
    there = [one for one in fits(small, corner, Budget(20)).kit if one.pose is not None]
    fitting = {one.kit.key for one in answer.kit if one.pose is not None}
    assert there
    assert {one.kit.key for one in there} <= fitting
    for one in there:
        assert one.pose is not None
        piece = Piece(id=NEW, type=one.kit.key, pose=one.pose)
        outline = build_scene(apply(small, adds([piece]))).placed[NEW].footprint
        assert outline.distance(shapely.Point(corner)) < 1, one.kit.key


def test_a_wish_list_on_the_command_line(
    small: Plan, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file, out = tmp_path / "plan.json", tmp_path / "set.json"
    file.write_text(dump(small), encoding="utf-8")
    asked = ["fits", str(file), "--want", "adjustable-dumbbells=3", "--want", "running-machine"]
    assert main([*asked, "--sum", "1000", "--json", "-o", str(out)]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["set"] == ["adjustable-dumbbells"]
    assert [one["type"] for one in answer["left_out"]] == ["running-machine"]
    assert [piece.type for piece in load(out.read_bytes()).pieces] == ["adjustable-dumbbells"]


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (["--want", "unicorn"], "There is no kit type “unicorn”"),
        (["--want", "bike=much"], "after = goes what it is worth"),
        (["--want", "bike", "--sum", "much"], "the sum"),
        (["--at", "here"], "“here” is no place"),
    ],
)
def test_what_cannot_be_asked_of_it_is_one_sentence(
    small: Plan,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    asked: list[str],
    words: str,
) -> None:
    file = tmp_path / "plan.json"
    file.write_text(dump(small), encoding="utf-8")
    assert main(["fits", str(file), *asked]) == 2
    assert words in capsys.readouterr().err


def test_a_rack_that_stands_takes_what_its_posts_and_the_walls_leave_room_for() -> None:
    # a bar of 2200 beside a wall: its end would be in it; 900 to the left is enough
    for x, fitting in ((2000.0, True), (900.0, False)):
        rack = place("half-rack", x, 825, piece_id="rack")
        plan = make_plan(rack, room=make_room(4000, 3500, 2600))
        (one,) = for_racks(build_scene(plan))
        assert ("bar-20" in {kit.key for kit in one.bars}) == fitting
        assert "flat-bench" in {kit.key for kit in one.benches}
    # wider than the posts leave between them
    bench = kit_types()["flat-bench"]
    scene = build_scene(plan)
    kit = bench.model_copy(update={"width_mm": 1300})
    assert ways_in(scene.placed["rack"], kit) == ()
