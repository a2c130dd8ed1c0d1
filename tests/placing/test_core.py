"""What the core gives out: places that are free, nearest ones, corners, backs on walls."""

import math

import numpy as np
import pytest
import shapely

from app.changes.commands import apply, moves
from app.checks.run import run
from app.model.finishing import MirrorArea
from app.model.fit_out import FitOut
from app.model.kit import Piece
from app.model.plan import Override, Plan, Situation
from app.model.room import Opening
from app.placing.core import Core
from app.placing.layout import Layout
from app.placing.standing import plan_places
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place
from tests.placing.by_place import decided_by_place
from tests.placing.rooms import ROOMS, laid_out

TOUCH_MM = 0.1


def box(
    x: float, y: float, piece_id: str, width: float = 1000, depth: float = 500, stays: bool = False
) -> Piece:
    return place(
        "other-thing",
        x,
        y,
        piece_id=piece_id,
        width=width,
        depth=depth,
        height=1500,
        stays=stays,
    )


def core_of(plan: Plan) -> Core:
    return Core.of(build_scene(plan))


def nearest_free(
    core: Core, root: str, turn_deg: float, point: tuple[float, float], layout: Layout
) -> tuple[float, float] | None:
    """Return the nearest place of a region that is given out, None where it is empty."""
    region = core.free_region(root, turn_deg, layout)
    if region.is_empty:
        return None
    line = shapely.shortest_line(region, shapely.Point(point))
    x, y = plan_places(shapely.get_coordinates(line)[0])[0].tolist()
    return x, y


def test_the_nearest_free_place_touches_what_was_in_the_way() -> None:
    """Two boxes of 1000 x 500, 200 aside of one another: out at the long side, by 500."""
    core = core_of(make_plan(box(2500, 2500, "one"), box(2700, 2600, "other")))
    layout = core.layout(core.free)
    there = nearest_free(core, "other", 0, (2700, 2600), layout)
    assert there == pytest.approx((2700, 3000), abs=TOUCH_MM)
    assert core.admits("other", 0, np.array(there), layout).all()
    assert not core.admits("other", 0, np.array((2700, 2600)), layout).any()
    assert core.reasons("other", 0, (2700, 2600), layout) == ("one",)


@pytest.mark.parametrize(("room_width", "fits"), [(1000, True), (997, False)])
def test_what_fits_to_the_millimetre_has_a_place(room_width: float, fits: bool) -> None:
    core = core_of(make_plan(box(500, 250, "one"), room=make_room(room_width, 2000)))
    place_in = nearest_free(core, "one", 0, (500, 250), core.layout())
    assert (place_in is not None) == fits
    assert core.alone("one", 0).is_empty != fits
    assert nearest_free(core, "one", 90, (500, 500), core.layout()) is not None


@pytest.mark.parametrize("name", ["double garage", "loft", "slanted"])
def test_what_is_given_out_is_admitted_by_core_and_judge(name: str) -> None:
    rng = np.random.default_rng(3)
    core = Core.of(laid_out(ROOMS[name](), rng))
    layout = core.layout(core.free)
    for root in core.free[:4]:
        turn = float(rng.choice(core.turns(root)))
        at = layout.at[root]
        given = [nearest_free(core, root, turn, (at.x_mm, at.y_mm), layout)]
        given += core.free_points(root, turn, layout)[:3].tolist()
        for point in given:
            if point is None:
                continue
            assert core.admits(root, turn, np.array(point), layout).all()
            put = layout.put(root, turn, (point[0], point[1]))
            snags = run(core.scene.moved(put.poses()), full=False)
            assert not [snag for snag in snags if decided_by_place(snag)]


def test_a_bar_and_a_bench_go_with_their_rack() -> None:
    core = core_of(
        make_plan(
            place("half-rack", 2000, 2000, 90),
            place("bar-20", 2100, 2000, 90, carried_by="half-rack"),
            place("flat-bench", 1800, 2000, 90, carried_by="half-rack"),
        )
    )
    assert core.free == ("half-rack",)
    poses = core.layout().put("half-rack", 0, (3000, 3000)).poses()
    assert (poses["bar-20"].x_mm, poses["bar-20"].y_mm) == (3000, 2900)
    assert (poses["flat-bench"].x_mm, poses["flat-bench"].y_mm) == (3000, 3200)
    assert {pose.angle_deg for pose in poses.values()} == {0}


def test_what_stays_is_in_the_way_and_is_not_free() -> None:
    core = core_of(make_plan(box(2500, 2500, "one", stays=True), box(1000, 1000, "other")))
    assert (core.free, core.fixed) == (("other",), ("one",))
    assert core.reasons("other", 0, (2500, 2500), core.layout()) == ("one",)


def test_a_layout_is_not_changed_by_what_is_put_into_it() -> None:
    core = core_of(make_plan(box(2500, 2500, "one"), box(1000, 1000, "other")))
    empty = core.layout()
    full = empty.put("one", 0, (2500, 2500))
    assert (set(empty.at), set(full.at), set(full.without("one").at)) == (set(), {"one"}, set())
    there = np.array((2500, 2500))
    assert core.admits("other", 0, there, empty).all()
    assert not core.admits("other", 0, there, full).any()


def test_before_a_main_switch_one_side_at_a_time_may_be_taken() -> None:
    """Before a unit 450 wide 760 must be clear (NEC 110.26): 310 beside it on either side."""
    plan = make_plan(
        place("consumer-unit", 2250, 60, stays=True), box(0, 0, "one"), box(0, 0, "other")
    )
    core = core_of(plan)
    left, right = (2250 - 225 - 500, 700.0), (2250 + 225 + 500, 700.0)
    alone = core.layout()
    assert core.admits("other", 0, np.array([left, right]), alone).all()
    beside = alone.put("one", 0, left)
    assert not core.admits("other", 0, np.array(right), beside).any()
    assert core.admits("other", 0, np.array((right[0] + 311, right[1])), beside).all()
    nearest = nearest_free(core, "other", 0, right, beside)
    assert nearest is not None
    assert math.dist(nearest, right) < 400


def test_one_place_for_a_movement_is_enough() -> None:
    """Under a beam nobody presses; with a second rack in the open the first may stand there."""
    person = make_person(1880, want=("standing-press",))
    plan = make_plan(
        place("half-rack", 1000, 2000, piece_id="one"),
        place("bar-20", 1000, 1900, piece_id="bar-one", carried_by="one"),
        place("half-rack", 4000, 6000, piece_id="two"),
        place("bar-20", 4000, 5900, piece_id="bar-two", carried_by="two"),
        room=make_room(8000, 8000, 2200),
        people=(person,),
    )
    low = core_of(plan)
    assert not low.admits("one", 0, np.array((2000, 2000)), low.layout()).any()
    assert not low.headroom("one", 0, np.array((2000, 2000)))[person.id, "standing-press"].any()


def test_a_mirror_on_a_wall_is_glass_behind_a_belt() -> None:
    """Where the judge says stop for a mirror nearer than 2000 (common practice), so does the core.

    What was learnt of the same room without it says nothing of it.
    """
    runner = place("running-machine", 2500, 1125, piece_id="belt")
    plan = make_plan(runner, room=make_room(5000, 6000), people=[make_person(1750, want=["run"])])
    area = MirrorArea(id="m", wall="front", offset_mm=1500, width_mm=2000, bottom_mm=508)
    with_glass = plan.model_copy(update={"fit_out": FitOut(mirrors=(area,))})
    bare = build_scene(plan)
    end = 1125 + bare.order[0].extent.depth_mm / 2
    near, far = (np.array((2500, 1125 + 6000 - 2000 - end + more)) for more in (10, -60))
    without = Core.of(bare)
    assert without.admits("belt", 0, np.array([near, far]), without.layout()).all()
    core = Core.of(build_scene(with_glass))
    admitted = core.admits("belt", 0, np.array([near, far]), core.layout())
    assert admitted.tolist() == [False, True]


def test_a_room_is_learnt_once_for_all_plans_in_it() -> None:
    room = make_room(4000, 5000)
    plan = make_plan(place("bike", 2000, 2500), room=room, people=[make_person(1750)])
    ground = Core.of(build_scene(plan)).views[0].ground
    copy = make_plan(place("mid-rack", 1000, 1000), room=make_room(4000, 5000))
    assert Core.of(build_scene(copy)).views[0].ground is ground
    # for cares more is forbidden, and where the house sets a value all is found anew
    assert Core.of(build_scene(copy), wanted=True).views[0].ground is not ground
    other = Override(id="door.leave-angle-deg", value=70, reason="a wide door")
    own = plan.model_copy(update={"overrides": (other,)})
    assert Core.of(build_scene(own)).views[0].ground is not ground
    larger = make_plan(place("bike", 2000, 2500), room=make_room(4000, 5010))
    assert Core.of(build_scene(larger)).views[0].ground is not ground


def test_each_situation_counts() -> None:
    """Under the open leaf nothing tall may stand; a plan with a situation for it says so."""
    door = Opening(
        id="garage", wall="back", kind="sectional", offset_mm=500, width_mm=2400, height_mm=2000
    )
    plan = make_plan(
        place("shelving", 2000, 4000, height=2100),
        room=make_room(4000, 5000, 2600, openings=(door,)),
    )
    both = plan.model_copy(
        update={"situations": (Situation(id="shut"), Situation(id="open", door_open=True))}
    )
    for one in (plan, both):
        core = core_of(one)
        under = core.admits("shelving", 0, np.array([(1700, 1200), (1700, 3500)]), core.layout())
        assert under.tolist() == [False, True]


def test_the_command_of_a_layout_moves_what_moved() -> None:
    plan = ROOMS["single garage"]()
    core = core_of(plan)
    layout = core.layout(core.free)
    root = core.free[0]
    at = layout.at[root]
    moved = layout.put(root, at.turn_deg, (at.x_mm + 10, at.y_mm))
    after = apply(plan, moves(plan, moved.poses([root])))
    changed = {p.id for p, q in zip(plan.pieces, after.pieces, strict=True) if p != q}
    assert changed == {placed.piece.id for placed in core.stations[root]}


def test_no_height_is_enough_where_one_would_train_beyond_the_walls() -> None:
    """A rack that faces the wall at 5000: where one presses is 1,325 before its middle."""
    person = make_person(1750, want=("standing-press",))
    bar = place("bar-20", 2500, 2513, carried_by="full-rack")
    rack = place("full-rack", 2500, 2000)
    plan = make_plan(rack, bar, room=make_room(height=2700), people=[person])
    core = core_of(plan)
    points = np.array([(2500, 2000), (2500, 3650), (2500, 3700)])
    enough = core.headroom("full-rack", 0, points)["one", "standing-press"]
    assert enough.tolist() == [True, True, False]
