"""Lanes by hand: what flanks the floor before a bag, and how much of its width is left.

The bag stands at (3000, 3000) and is 560 across; the floor before it is 1500 wide and deep (rows of
the library), from y = 3280 on. Looking out of it the right hand lies at lower x.
"""

import numpy as np
import pytest

from app.checks.lanes import Lane, beside_it, in_lanes, reach_across
from app.model.kit import Piece
from app.scene.build import Scene, build_scene
from tests.builders import found, make_plan, make_room, place, turned_plan

BAG = place("standing-bag", 3000, 3000, piece_id="a")
ROOM = make_room(8000, 8000)


def box(x: float, y: float = 4000, name: str = "box") -> Piece:
    """A box of 600 x 600, told by its left side and its middle."""
    return place("other-thing", x + 300, y, piece_id=name)


def scene_of(*pieces: Piece, angle: float = 0) -> Scene:
    return build_scene(turned_plan(make_plan(*pieces, room=ROOM), angle, (100, -50)))


def lanes(scene: Scene, space: int = 0) -> tuple[list[bool], list[Lane]]:
    """What all boxes of a scene do in one space of its first piece."""
    hit = np.flatnonzero(scene.solids.owner[: scene.piece_solids] > 0)
    of = np.full(len(hit), space)
    flanks, narrowed = in_lanes(scene, of, hit, reach_across(scene, of, hit))
    return flanks.tolist(), narrowed


@pytest.mark.parametrize("angle", [0, 37, 90])
def test_how_far_a_thing_lies_across_a_strip(angle: float) -> None:
    scene = scene_of(BAG, box(3200), box(2100, 4000, "far"), angle=angle)
    hit = np.flatnonzero(scene.solids.owner[: scene.piece_solids] > 0)
    reaches = reach_across(scene, np.zeros(2, dtype=np.intp), hit)
    # from 200 to 800 on the one side, from 300 to 900 on the other
    assert reaches[:, :2] == pytest.approx(np.array([[-800, -200], [300, 900]]), abs=0.02)
    if angle == 0:
        # corners of cores, half a millimetre inside
        assert reaches[0, [2, 4]] == pytest.approx([3899.5, 3300.5])
        assert set(reaches[0, [3, 5]]) <= {3650.5, 4249.5}
    # room all round is no strip
    ring = reach_across(scene, np.ones(2, dtype=np.intp), hit)
    assert not ring.any()
    none = np.zeros(0, dtype=np.intp)
    assert reach_across(scene, none, none).shape == (0, 6)


def test_of_a_thing_askew_its_farthest_corners_count() -> None:
    # a box of 600 turned by 45 degrees about a point 600 to the left: 424 either side of it
    scene = scene_of(BAG, place("other-thing", 3600, 4000, 45, piece_id="box"))
    (hit,) = np.flatnonzero(scene.solids.owner[: scene.piece_solids] > 0)
    (reach,) = reach_across(scene, np.array([0]), np.array([hit]))
    assert reach[:2] == pytest.approx([-1024, -176], abs=0.5)
    assert reach[2:] == pytest.approx([4124, 3950, 3276, 3950], abs=1)


@pytest.mark.parametrize("angle", [0, 37])
@pytest.mark.parametrize(
    ("lefts", "left_mm", "worst"),
    [
        # a box 400 off the middle of 1500: 750 + 400 are left; 760 about it must be (practice)
        ([3400], 1150, 1),
        ([3380], 1130, 1),
        ([3378], None, 0),
        ([2000], 1150, 1),
        ([2020], 1130, 1),
        ([2022], None, 0),
        # one on either side, and two on one: what takes the most is named
        ([3500, 2000], 900, 2),
        ([3400, 1900], 900, 1),
        ([3500, 3400], 1150, 2),
        ([3400, 3500], 1150, 1),
        ([2000, 1900], 1150, 1),
    ],
)
def test_how_much_of_a_lane_is_left(
    lefts: list[float], left_mm: float | None, worst: int, angle: float
) -> None:
    scene = scene_of(BAG, *(box(x, 4000, f"box-{i}") for i, x in enumerate(lefts)), angle=angle)
    flanks, narrowed = lanes(scene)
    assert flanks == [left_mm is not None] * len(lefts)
    if left_mm is None:
        assert narrowed == []
        return
    (lane,) = narrowed
    assert (lane.space, lane.solid) == (0, worst)
    # of 1500 a hand's width at the side may be lacking: practice
    assert (lane.left_mm, lane.asked_mm) == pytest.approx((left_mm, 1400), abs=0.01)
    if angle == 0:
        # at the side of that thing that is in the lane, of the cores: the scene is moved by 100
        side = lefts[worst - 1] + (0.5 if lefts[worst - 1] > 3000 else 599.5)
        assert lane.at[0] == pytest.approx(side + 100)
        assert lane.at[1] in (3650.5, 4249.5)


def test_what_only_touches_a_lane_takes_nothing_of_it() -> None:
    assert lanes(scene_of(BAG, box(3760))) == ([False], [])
    # nor does a hand's width at its side, 100: practice
    for left in (3749.6, 3749, 3649.6):
        assert lanes(scene_of(BAG, box(left))) == ([True], [])
    for left in (3649.4, 3649):
        flanks, (lane,) = lanes(scene_of(BAG, box(left)))
        assert flanks == [True]
        assert lane.left_mm == pytest.approx(left - 2250)


def test_the_first_piece_of_a_plan_narrows_a_lane_like_any_other() -> None:
    scene = scene_of(BAG, box(3400, 4000, "0"))
    assert [placed.piece.id for placed in scene.order] == ["0", "a"]
    of, hit = np.array([0]), np.array([0])
    flanks, (lane,) = in_lanes(scene, of, hit, reach_across(scene, of, hit))
    assert flanks.tolist() == [True]
    assert lane.solid == 0
    assert lane.left_mm == pytest.approx(1150)


@pytest.mark.parametrize(("left", "flanks"), [(3425, True), (3424, True), (3422, False)])
def test_who_falls_off_a_belt_falls_behind_the_machine(left: float, flanks: bool) -> None:
    # a machine of 850 in a lane of 1000 (EN 957-6): its own width must be free
    scene = scene_of(place("running-machine", 3000, 3000, piece_id="a"), box(left, 4500))
    found, narrowed = lanes(scene)
    assert found == [flanks]
    assert [lane.left_mm for lane in narrowed] == pytest.approx([left - 2500] * flanks)
    assert [lane.asked_mm for lane in narrowed] == pytest.approx([1000] * flanks)


@pytest.mark.parametrize(
    ("kit", "space"),
    # places to bend before a rack, beside a machine and to get on; all round a bag
    [("dumbbell-rack-2", 0), ("running-machine", 1), ("jump-box", 3), ("standing-bag", 1)],
)
def test_what_is_no_lane(kit: str, space: int) -> None:
    assert lanes(scene_of(place(kit, 3000, 3000, piece_id="a"), box(3400)), space) == ([False], [])


def test_of_several_lanes_each_is_told() -> None:
    other = place("standing-bag", 6000, 3000, piece_id="b")
    scene = scene_of(BAG, other, box(3400, 4000, "c"), box(6400, 4000, "d"))
    (first, second) = (i for i, s in enumerate(scene.spaces.shapes) if s.space.side == "front")
    solids = np.flatnonzero(scene.solids.owner[: scene.piece_solids] > 1)
    of = np.array([second, first])
    hit = solids[::-1]
    flanks, narrowed = in_lanes(scene, of, hit, reach_across(scene, of, hit))
    assert flanks.tolist() == [True, True]
    assert [(lane.space, lane.solid) for lane in narrowed] == [(first, 2), (second, 3)]


@pytest.mark.parametrize(
    ("first", "last", "beside"),
    [
        # the bag reaches 280 to either side of its middle; a millimetre is touching
        (279, 400, True),
        (278.9, 400, False),
        (-400, -279, True),
        (-400, -278.9, False),
        (-400, 400, False),
        (-100, 100, False),
    ],
)
@pytest.mark.parametrize("angle", [0, 90])
def test_beside_the_piece_or_before_it(
    first: float, last: float, beside: bool, angle: float
) -> None:
    scene = scene_of(BAG, angle=angle)
    strip_and_ring = np.array([0, 1]), np.full(2, first), np.full(2, last)
    assert beside_it(scene, *strip_and_ring).tolist() == [beside, False]


@pytest.mark.parametrize("angle", [0, 37])
def test_beside_a_piece_that_is_turned(angle: float) -> None:
    # a box of 500 x 600: 250 to either side
    scene = scene_of(place("jump-box", 3000, 3000, piece_id="a"), angle=angle)
    first, last = np.array([[249.1, 400], [248.9, 400], [-400, -249.1], [-400, -248.9]]).T
    assert beside_it(scene, np.zeros(4, dtype=int), first, last).tolist() == [True, False] * 2


@pytest.mark.parametrize("angle", [0, 37])
def test_what_flanks_a_lane_does_so_beside_something_in_its_midst_too(angle: float) -> None:
    # 5 and 10 into the sides of 1500, the other thing right before the bag: whichever comes first
    places = {3745: 4000, 2700: 4500, 1660: 4000}
    for xs in ((3745, 2700, 1660), (2700, 3745, 1660), (1660, 3745, 2700)):
        boxes = [box(x, places[x], f"box-{i}") for i, x in enumerate(xs)]
        flanks, narrowed = lanes(scene_of(BAG, *boxes, angle=angle))
        assert flanks == [x != 2700 for x in xs]
        assert narrowed == []
    for x, left_mm in ((3640, 1390), (3380, 1130), (3378, None)):
        scene = scene_of(BAG, box(2700, 4500, "box-0"), box(x, 4000, "box-1"), angle=angle)
        flanks, narrowed = lanes(scene)
        assert flanks == [False, left_mm is not None]
        assert [lane.left_mm for lane in narrowed] == [pytest.approx(left_mm, abs=0.1)] * flanks[1]


@pytest.mark.parametrize("angle", [0, 37])
def test_what_has_a_leg_on_either_side_stands_before_a_lane(angle: float) -> None:
    # shelves of 900 with uprights at both ends: in the midst of 1500, and pushed half out of it
    for x, flanks in ((3000, False), (3000 + 750, False), (3000 + 380 + 450, True)):
        shelves = place("shelving", x, 4000, piece_id="shelves")
        made, narrowed = lanes(scene_of(BAG, shelves, angle=angle))
        assert any(made) == flanks
        assert bool(narrowed) == flanks


@pytest.mark.parametrize("angle", [0.0, 37.0])
@pytest.mark.parametrize(("into_mm", "said"), [(35, 0), (100, 0), (102, 1), (325, 1)])
def test_a_sliver_at_a_corner_of_the_foot_of_a_bench_is_no_gap(
    into_mm: float, said: int, angle: float
) -> None:
    """Of the 650 of its foot end a hand's width (100, practice) at one side is nobody's room."""
    bench = place("adjustable-bench", 3000, 3000, piece_id="bench")
    thing = box(3000 + 325 - into_mm, 3000 + 675 + 280 + 300)
    plan = turned_plan(make_plan(bench, thing, room=ROOM), angle)
    assert len(found(plan, "room-foot-end")) == said


@pytest.mark.parametrize("angle", [0.0, 37.0])
@pytest.mark.parametrize(
    ("kit", "code", "into_mm", "said"),
    [
        ("heater", "room-in-front-nothing-that-burns", 99, 1),
        ("heater", "room-in-front-nothing-that-burns", -1, 0),
        ("chest-freezer", "room-to-lift-the-lid-and-reach-in", 99, 0),
        ("chest-freezer", "room-to-lift-the-lid-and-reach-in", 102, 1),
    ],
)
def test_before_what_is_hot_no_sliver_is_passed_over(
    kit: str, code: str, into_mm: float, said: int, angle: float
) -> None:
    """A hand's width is spared by who stands there (practice); rubber before a heater burns."""
    thing = place(kit, 3000, 3000, piece_id="a")
    size = build_scene(make_plan(thing, room=ROOM)).placed["a"].extent
    chest = box(3000 + size.width_mm / 2 - into_mm, 3000 + size.depth_mm / 2 + 280 + 300)
    plan = turned_plan(make_plan(thing, chest, room=ROOM), angle)
    assert len(found(plan, code)) == said
