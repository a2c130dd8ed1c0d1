"""A floor laid piece by piece: what is printed makes the floor, what lies stays where it lies."""

from __future__ import annotations

import pytest
import shapely

from app.changes.commands import Command, apply, inverse
from app.errors import CommandError
from app.model.base import json_of
from app.model.flooring import FloorLaying
from app.model.plan import Plan
from app.model.turning import turned_plan
from app.scene.build import Scene, build_scene
from app.takeoff.floor import Layout, floor_layout
from app.takeoff.floor_bare import left_bare, too_long
from app.takeoff.floor_begun import in_hand, sizes_of
from app.takeoff.floor_list import floors
from app.takeoff.floor_region import floor_to_cover, frame_of
from app.takeoff.lay_steps import lay_frame, lay_step
from app.takeoff.lay_words import cut_steps, place_words, source_words
from app.usecases.laying import edit_laying, tick_laying
from tests.builders import column, make_plan, make_room, place
from tests.takeoff.printed_floor import cut_as_told, lies_as_told

COLUMN = ((1700, 1500), (1900, 1500), (1900, 1700), (1700, 1700))
MAT = FloorLaying(id="f", length_mm=1000, width_mm=1000)
ROLL = FloorLaying(id="f", kind="roll", by_metre=True, length_mm=10_000, width_mm=800)
LONG = FloorLaying(id="f", length_mm=1200, width_mm=800, kerf_mm=3)
IN_LINE = {"start_wall": "back", "along": True, "joints": "straight"}


def planned(laying: FloorLaying, width: float = 3230, depth: float = 2230) -> Plan:
    plan = make_plan(room=make_room(width, depth, columns=(column(COLUMN),)))
    return Plan.model_validate({**json_of(plan), "fit_out": {"floors": [json_of(laying)]}})


def askew(laying: FloorLaying, width: float = 2710, depth: float = 1730) -> Plan:
    """The same without its column and with one corner 70 mm farther out: a wall runs askew."""
    data = json_of(planned(laying, width, depth))
    data["room"]["columns"] = []
    far = max(data["room"]["walls"], key=lambda wall: (wall["x_mm"], wall["y_mm"]))
    far["x_mm"] += 70
    return Plan.model_validate(data)


def plain(width: float, depth: float) -> Plan:
    """A room without a column, laid from its back wall with joints in one line both ways."""
    data = json_of(planned(MAT.model_copy(update=IN_LINE), width, depth))
    data["room"]["columns"] = []
    return Plan.model_validate(data)


def let_in(laying: FloorLaying) -> Plan:
    """The same without its column and with a platform that lies in the mats, flush."""
    data = json_of(planned(laying))
    data["room"]["columns"] = []
    platform = place("platform", 1700, 1200, width=1830, depth=1000, height=40)
    data["pieces"] = [json_of(platform)]
    data["fit_out"]["floors"][0]["flush"] = ["platform"]
    return Plan.model_validate(data)


def layout_of(plan: Plan) -> tuple[Scene, Layout]:
    scene = build_scene(plan)
    return scene, floor_layout(scene, plan.fit_out.floors[0], compare=False)


def done(plan: Plan, command: Command | None) -> Plan:
    assert command is not None
    return apply(plan, command)


def laid_to(plan: Plan, count: int) -> Plan:
    for number in range(1, count + 1):
        plan = done(plan, tick_laying(plan, "laid.f", {"piece": str(number)}))
    return plan


@pytest.mark.parametrize(
    "plan",
    [
        pytest.param(planned(MAT), id="column"),
        pytest.param(askew(LONG.model_copy(update=IN_LINE)), id="askew"),
        pytest.param(let_in(MAT), id="platform"),
        pytest.param(planned(ROLL, 4230), id="off-the-roll", marks=pytest.mark.long),
        pytest.param(planned(LONG, 5310, 4170), id="large", marks=pytest.mark.long),
        # what is sought is sought anew after each piece
        pytest.param(askew(LONG), id="askew-sought", marks=pytest.mark.long),
        pytest.param(askew(MAT), id="askew-mats", marks=pytest.mark.long),
    ],
)  # fmt: skip
def test_the_printed_distances_make_the_covered_floor(plan: Plan) -> None:
    """Each page is read, each piece cut by its sentences and put where they say; nothing else."""
    count = len(layout_of(plan)[1].mats)
    shapes = []
    for number in range(1, count + 1):
        scene, layout = layout_of(plan)
        laying = plan.fit_out.floors[0]
        mat = next(one for one in layout.mats if one.number == number)
        step = lay_step(scene, layout.laid, mat)
        told = cut_steps(step, "metric")
        size = sizes_of(layout.laid)[mat.sheet]
        piece = cut_as_told(source_words(step, laying.piece_name, "metric"), size, told)
        shapes.append(lies_as_told(piece, place_words(step, "the wall", "metric")))
        plan = done(plan, tick_laying(plan, "laid.f", {"piece": str(number)}))
    scene, layout = layout_of(plan)
    assert all(mat.down for mat in layout.mats)
    frame, _ = lay_frame(scene, layout.laid)
    covered = frame.into(floor_to_cover(scene, plan.fit_out.floors[0]))
    whole = shapely.union_all(shapes)
    # a tape is read to the millimetre: half of it along every edge is what may differ
    edges = sum(shape.length for shape in shapes) / 2
    assert whole.symmetric_difference(covered).area < edges
    assert sum(shape.area for shape in shapes) - whole.area < edges


def test_a_length_that_was_bought_is_long_enough_for_a_wall_9_mm_longer() -> None:
    plan = laid_to(planned(ROLL.model_copy(update={"start_wall": "back", "along": False})), 2)
    _, before = layout_of(plan)
    long = plan.room.wall_length_mm("right") + 9
    longer = edit_laying(plan, "wall-length", {"wall": "right", "length": f"{long} mm"})
    _, after = layout_of(done(plan, longer))
    # 2,214 mm are measured off as 2.3 m; 2,223 are too
    assert [sheet.long_mm for sheet in after.sheets] == [2300.0] * len(before.sheets)
    assert after.to_buy == before.to_buy


def test_what_is_cut_next_is_what_was_planned_at_the_beginning() -> None:
    plan = planned(MAT)
    _, before = layout_of(plan)
    for number in (1, 2, 3):
        plan = done(plan, tick_laying(plan, "laid.f", {"piece": str(number)}))
        _, now = layout_of(plan)
        assert [(m.sheet, m.rect) for m in now.mats] == [(m.sheet, m.rect) for m in before.mats]
    assert (now.to_buy, now.proven) == (before.to_buy, before.proven)
    # 3.230 x 2.230 m less 8 mm along all walls and round a column of 200
    floor = 3.214 * 2.214 - 0.216**2
    for layout in (before, now):
        assert layout.laid.area_m2 == pytest.approx(floor, abs=1e-3)
        assert layout.laid.waste_m2 == pytest.approx(layout.to_buy - floor, abs=1e-3)


def test_a_tick_is_a_small_command_and_taken_back_like_any_other() -> None:
    plan = laid_to(planned(MAT), 1)
    command = tick_laying(plan, "laid.f", {"piece": "2"})
    assert command is not None
    (change,) = command.changes
    assert change.path == ("fit_out", "floors", "f", "laid", "2")
    after = apply(plan, command)
    assert apply(after, inverse(command)) == plan
    assert done(after, tick_laying(after, "lifted.f", {"piece": "2"})) == plan
    assert tick_laying(after, "laid.f", {"piece": "2"}) is None


def test_the_first_tick_undone_leaves_the_plan_as_it_was() -> None:
    plan = planned(MAT)
    command = tick_laying(plan, "laid.f", {"piece": "1"})
    assert command is not None
    assert apply(apply(plan, command), inverse(command)) == plan


@pytest.mark.parametrize(("wall", "by"), [(0, 9.0), (1, 9.0), (1, -9.0)])
def test_a_wall_that_turns_out_longer_is_laid_with_what_is_left(wall: int, by: float) -> None:
    plan = planned(MAT)
    count = len(layout_of(plan)[1].mats)
    plan = laid_to(plan, count // 2)
    scene, before = layout_of(plan)
    hand = in_hand(plan.fit_out.floors[0], sizes_of(before.laid))
    side = plan.room.walls[wall].id
    long = plan.room.wall_length_mm(side) + by
    longer = done(plan, edit_laying(plan, "wall-length", {"wall": side, "length": f"{long} mm"}))
    scene, now = layout_of(longer)
    laying = longer.fit_out.floors[0]
    was = {mat.number: mat for mat in before.mats if mat.down}
    for mat in now.mats:
        if mat.down:
            # what lies, lies against the corner it was begun at
            assert mat.polygon.area == pytest.approx(was[mat.number].polygon.area, abs=50)
        elif mat.cut:
            opened = {one.sheet for one in now.mats if one.down}
            box = shapely.box(
                mat.rect.x_mm, mat.rect.y_mm, mat.rect.x_mm + mat.rect.width_mm,
                mat.rect.y_mm + mat.rect.height_mm,
            )  # fmt: skip
            parts = [shapely.box(*one.box) for one in hand if one.sheet == mat.sheet]
            assert mat.sheet not in opened or any(p.buffer(0.1).covers(box) for p in parts)
    covered = floor_to_cover(scene, laying)
    whole = shapely.union_all([mat.polygon for mat in now.mats])
    assert whole.difference(covered.buffer(10, join_style="mitre")).area < 1
    assert sum(mat.polygon.area for mat in now.mats) - whole.area < 50
    # nothing is left bare but 9 mm along that wall: nobody lays a strip of 9 mm
    bare = covered.difference(whole.buffer(0.1))
    assert bare.buffer(-4.6).is_empty
    assert min(min(mat.size_mm) for mat in now.mats) > 50
    told = [note for note in now.notes if note.startswith("More than the gap stays bare")]
    assert [" 9 mm along the " in note for note in told] == ([True] if bare.area > 500 else [])
    # and the next tick keeps the plan as it is then
    number = next(mat.number for mat in now.mats if not mat.down)
    ticked = done(longer, tick_laying(longer, "laid.f", {"piece": str(number)}))
    _, then = layout_of(ticked)
    assert [(m.sheet, m.rect) for m in then.mats] == [(m.sheet, m.rect) for m in now.mats]
    assert then.mats[-1].polygon.centroid.distance(now.mats[-1].polygon.centroid) < 0.1


@pytest.mark.parametrize("lies", [1, 5, 6])
def test_a_slit_of_9_mm_stays_bare_whatever_lies_by_then(lies: int) -> None:
    """By hand: 2 x 3 whole mats in 2016 x 3016; the right wall turns out to be 3025 long."""
    plan = laid_to(plain(2016, 3016), lies)
    longer = done(plan, edit_laying(plan, "wall-length", {"wall": "right", "length": "3025 mm"}))
    scene, now = layout_of(longer)
    assert (len(now.mats), now.to_buy) == (6, 6)
    assert left_bare(scene, now.laid) == {"front": pytest.approx(9)}
    (told,) = (note for note in now.notes if "stays bare" in note)
    assert "9 mm along the front wall" in told


def test_what_lies_and_is_too_long_now_is_to_be_trimmed() -> None:
    """By hand: 2 x 3 mats in 2016 x 3016, four lie; the room is 9 narrower, or 20 shorter."""
    plan = laid_to(plain(2016, 3016), 4)
    narrower = done(plan, edit_laying(plan, "wall-length", {"wall": "back", "length": "2007 mm"}))
    scene, now = layout_of(narrower)
    right = sorted(mat.number for mat in now.mats if mat.down and mat.polygon.bounds[2] > 1990)
    assert too_long(scene, now.laid) == {n: {"right": pytest.approx(9)} for n in right}
    assert len(right) == 2
    (told,) = (note for note in now.notes if "too far out" in note)
    assert told == (
        f"Pieces {right[0]} and {right[1]} lie too far out: trim them by 9 mm along the right wall."
    )
    # of the rest those at that wall are cut to size, and nothing more is said once all is trimmed
    assert sorted(m.size_mm for m in now.mats if not m.down) == [(991, 1000), (1000, 1000)]
    shorter = done(plan, edit_laying(plan, "wall-length", {"wall": "right", "length": "2996 mm"}))
    scene, now = layout_of(shorter)
    # that row does not lie yet
    assert too_long(scene, now.laid) == {}


def test_a_wall_60_mm_longer_is_covered_to_its_end() -> None:
    plan = laid_to(plain(2016, 3016), 1)
    longer = done(plan, edit_laying(plan, "wall-length", {"wall": "right", "length": "3076 mm"}))
    scene, now = layout_of(longer)
    assert left_bare(scene, now.laid) == {}
    assert min(min(mat.size_mm) for mat in now.mats) == pytest.approx(60)


def test_what_lies_stays_at_its_corner_when_the_wall_grows_there() -> None:
    """Begun at the right end: the corner goes out by 9 mm, and what lies goes with it."""
    laying = FloorLaying.model_validate(
        {**json_of(MAT), "start_wall": "back", "start_end": "right"}
    )
    plan = laid_to(planned(laying), 3)
    long = plan.room.wall_length_mm("back") + 9
    longer = done(plan, edit_laying(plan, "wall-length", {"wall": "back", "length": f"{long} mm"}))
    scene, now = layout_of(longer)
    wall = next(one for one in scene.room.walls if one.id == "back")
    right = max(wall.start[0], wall.end[0])
    first = next(mat for mat in now.mats if mat.number == 1)
    assert right - first.polygon.bounds[2] == pytest.approx(8, abs=0.1)
    assert frame_of(wall).inward == (0.0, 1.0)


def test_what_was_cut_from_an_offcut_is_taken_back_before_the_one_that_left_it() -> None:
    plan = planned(MAT)
    plan = laid_to(plan, len(layout_of(plan)[1].mats))
    pieces = {piece.id: piece for piece in plan.fit_out.floors[0].laid}
    later, first = next(
        (one, other)
        for one in pieces.values() for other in pieces.values()
        if one.blank is not None and one.blank in other.left
    )  # fmt: skip
    with pytest.raises(CommandError, match=f"Piece {later.id} was cut from what"):
        tick_laying(plan, "lifted.f", {"piece": first.id})


@pytest.mark.parametrize("name", ["undo", "wall-length", "anew.f", "laid", "add-floor"])
def test_who_only_ticks_does_nothing_else(name: str) -> None:
    with pytest.raises(CommandError):
        tick_laying(planned(MAT), name, {"piece": "1", "wall": "back", "length": "3 m"})


@pytest.mark.parametrize("piece", ["", "0", "-1", "99", "one", "1.5", "٣"])
def test_a_piece_that_there_is_not_is_refused(piece: str) -> None:
    with pytest.raises(CommandError):
        tick_laying(planned(MAT), "laid.f", {"piece": piece})


def test_another_size_of_mat_is_told_and_the_laying_may_begin_anew() -> None:
    plan = laid_to(planned(MAT), 2)
    data = json_of(plan)
    data["fit_out"]["floors"][0].update(length_mm=500, width_mm=500)
    other = Plan.model_validate(data)
    (problem,) = floors(build_scene(other)).problems
    assert "another size" in problem
    fresh = done(other, edit_laying(other, "anew.f", {}))
    assert fresh.fit_out.floors[0].laid == ()
    assert not floors(build_scene(fresh)).problems


def test_a_turned_plan_goes_on_as_it_was() -> None:
    plan = laid_to(planned(MAT), 3)
    _, before = layout_of(plan)
    _, now = layout_of(turned_plan(plan, 1))
    assert [(m.number, m.sheet, m.rect, m.down) for m in now.mats] == [
        (m.number, m.sheet, m.rect, m.down) for m in before.mats
    ]


def test_a_spoiled_piece_is_cut_anew_from_another_mat_and_what_it_left_stays() -> None:
    plan = laid_to(planned(MAT), 2)
    _, before = layout_of(plan)
    mat = next(m for m in before.mats if m.cut and not m.down and not m.notched)
    at = str(mat.number)
    after = done(plan, tick_laying(plan, "spoiled.f", {"piece": at}))
    scene, now = layout_of(after)
    laying = after.fit_out.floors[0]
    assert "1 piece spoiled" in now.sentence
    assert before.to_buy <= now.to_buy <= before.to_buy + 1
    assert len(now.mats) == len(before.mats)
    covered = floor_to_cover(scene, laying)
    assert shapely.union_all([m.polygon for m in now.mats]).symmetric_difference(covered).area < 100
    # what is spoiled is cut from nothing else: no planned cut reaches into where it lay
    (lost,) = laying.spoiled
    gone = shapely.box(*lost.rect)
    for one in now.mats:
        if one.sheet == lost.sheet and not one.down:
            assert shapely.box(*one.rect.bounds).intersection(gone).area < 1
    # every piece of the rest can still be cut, and the tick goes on as ever
    for one in now.mats:
        lay_step(scene, now.laid, one)
    assert done(after, tick_laying(after, "laid.f", {"piece": "3"})) != after
    command = tick_laying(plan, "spoiled.f", {"piece": at})
    assert command is not None
    assert apply(after, inverse(command)) == plan
    with pytest.raises(CommandError, match="lies already"):
        tick_laying(plan, "spoiled.f", {"piece": "1"})


def test_the_only_mat_of_a_floor_is_spoiled_and_another_one_is_bought() -> None:
    plan = make_plan(room=make_room(1016, 1016))
    plan = Plan.model_validate({**json_of(plan), "fit_out": {"floors": [json_of(MAT)]}})
    after = done(plan, tick_laying(plan, "spoiled.f", {"piece": "1"}))
    _, now = layout_of(after)
    assert (now.to_buy, [mat.sheet for mat in now.mats]) == (2, [2])


def test_where_a_piece_lies_is_told_from_the_wall_as_it_is_now() -> None:
    # begun at the left end of the back wall; that wall turns out 700 longer, too much for the
    # corner to be the same one: what lies stays, 700 farther from the end of the wall
    given = MAT.model_copy(update={"start_wall": "back", "start_end": "left", "along": True})
    plan = laid_to(planned(given), 1)

    def left_mm(of: Plan) -> float:
        scene, layout = layout_of(of)
        return lay_step(scene, layout.laid, layout.mats[0]).left_mm

    data = json_of(plan)
    for wall in data["room"]["walls"]:
        wall["x_mm"] -= 700 if wall["x_mm"] == 0 else 0
    assert left_mm(Plan.model_validate(data)) == pytest.approx(left_mm(plan) + 700)
