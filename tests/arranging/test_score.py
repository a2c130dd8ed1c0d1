"""The score: layouts made by hand beat what beginners draw; each mark of a poor layout costs."""

import pytest

from app.arranging.open_floor import open_floor
from app.arranging.score import PREFERENCES, Score, score
from app.arranging.shares import nearness
from app.checks.run import run
from app.library.kit import kit_types
from app.model.plan import Override, Plan
from app.model.room import Opening
from app.scene.build import build_scene
from tests.arranging.hand_made import (
    CELLAR,
    SINGLE,
    Poses,
    low_cellar,
    placed_at,
    sample,
)
from tests.builders import make_person, make_plan, make_room, place, turned_plan


def scored(plan: Plan) -> Score:
    scene = build_scene(plan)
    return score(scene, run(scene))


def stops(plan: Plan) -> int:
    return sum(snag.severity == "stop" for snag in run(build_scene(plan)))


def test_sixteen_preferences_worst_loss_first_make_a_hundred() -> None:
    weights = [one.weight for one in PREFERENCES]
    assert len(weights) == 16
    assert weights == sorted(weights, reverse=True)
    assert sum(weights) == 100


@pytest.mark.parametrize(
    ("plan", "by_hand"),
    [(sample("single-garage"), SINGLE), (low_cellar(), CELLAR)],
    ids=["single-garage", "cellar"],
)
def test_layouts_made_by_hand_beat_the_rooms_as_drawn(plan: Plan, by_hand: Poses) -> None:
    drawn, made = scored(plan), scored(placed_at(plan, by_hand))
    assert made.total > drawn.total + 3
    assert stops(placed_at(plan, by_hand)) == 0
    assert all(0 <= part <= 1 for part in made.parts.values())


ACROSS: Poses = SINGLE | {
    "rack-1": (1350, 875, 0),
    "bar-1": (1350, 742, 0),
    "bench-1": (1350, 1052, 0),
    "dumbbells-1": (300, 2125, 270),
    "heater-1": (400, 100, 0),
}
WITH_RACK = make_plan(
    place("mid-rack", 2000, 1800, piece_id="rack"),
    place("bar-20", 2000, 2313, carried_by="rack"),
    place("flat-bench", 2000, 1900, carried_by="rack"),
    place("plate-tree", 400, 3300, 270),
    place("adjustable-dumbbells", 4000, 3400, 90, piece_id="dumbbells"),
    room=make_room(6000, 5000, 2700),
    people=(make_person(1750),),
)
POOR: dict[str, tuple[Plan, Poses, Poses, str]] = {
    "a rack across a narrow room": (sample("single-garage"), SINGLE, ACROSS, "bar"),
    "a machine in the middle": (
        sample("single-garage"),
        SINGLE,
        SINGLE | {"rower-1": (1350, 3675, 180), "mat-1": (2100, 3720, 0)},
        "backs",
    ),
    "dumbbells behind the rack": (
        WITH_RACK,
        {"dumbbells": (4000, 3400, 90)},
        {"dumbbells": (2000, 300, 0)},
        "near",
    ),
    "plates far from the bar": (
        WITH_RACK,
        {"plate-tree": (400, 3300, 270)},
        {"plate-tree": (5600, 4600, 180)},
        "near",
    ),
    "a belt first thing inside the door": (
        low_cellar(),
        CELLAR,
        CELLAR | {"runner-1": (2500, 3000, 180), "mat-1": (925, 1500, 0)},
        "way-in",
    ),
    "a gap of 200 all along a wall": (
        sample("single-garage"),
        SINGLE,
        SINGLE | {"rower-1": (550, 3675, 180), "heater-1": (1150, 300, 0)},
        "gaps",
    ),
}


@pytest.mark.parametrize("mark", POOR)
def test_each_mark_of_a_poor_layout_scores_worse(mark: str) -> None:
    plan, good, poor, preference = POOR[mark]
    better, worse = scored(placed_at(plan, good)), scored(placed_at(plan, poor))
    assert worse.parts[preference] < better.parts[preference]
    assert worse.total < better.total


def rack_standing(y: float) -> Poses:
    return {"rack": (2000, y, 0), "bar-20": (2000, y + 513, 0), "flat-bench": (2000, y + 100, 0)}


def test_a_rack_in_the_middle_costs_more_than_what_is_low_there() -> None:
    at_walls = rack_standing(775) | {"dumbbells": (5700, 3400, 90)}
    whole = scored(placed_at(WITH_RACK, at_walls)).parts["backs"]
    rack = scored(placed_at(WITH_RACK, at_walls | rack_standing(2000))).parts["backs"]
    low = scored(placed_at(WITH_RACK, at_walls | {"dumbbells": (4000, 3400, 90)})).parts["backs"]
    assert whole == 1.0
    assert rack < low < whole


def shelves(*poses: tuple[float, float, float], kind: str = "dumbbell-rack-2") -> float:
    """The backs of racks of 300 kg at poses in a room of 6 x 5 m, and of nothing else."""
    pieces = [place(kind, *pose, piece_id=f"p{i}") for i, pose in enumerate(poses)]
    return scored(make_plan(*pieces, room=make_room(6000, 5000, 2700))).parts["backs"]


def test_what_floats_is_no_wall_for_another() -> None:
    # racks of 1500 x 550: back to back in the middle each has the other behind it, which counts
    # half: by piece and by floor, both squared
    assert shelves((3000, 2200, 180), (3000, 2750, 0)) == pytest.approx(0.25)
    # one looks at the other's back: neither has anything behind it
    assert shelves((3000, 2200, 180), (3000, 1650, 180)) == 0.0
    # the side of a bike is at the back of a rack in the middle: that is a back for neither
    bike = place("bike", 3000, 2000, 90)
    rack = place("dumbbell-rack-2", 3000, 2000 - 280 - 275, 180)
    assert scored(make_plan(bike, rack, room=make_room(6000, 5000, 2700))).parts["backs"] == 0.0
    # less than half of the one lies behind the other
    assert shelves((3000, 2200, 180), (3800, 2750, 0)) == 0.0


@pytest.mark.parametrize(
    ("kind", "floors", "left"),
    # as large as the step at the wall: a box of 25 kg takes a fifth; a dumbbell rack of 300 kg,
    # which counts twice, half; a rack 2030 high three quarters
    [("jump-box", 1 / 2, 0.8), ("dumbbell-rack-2", 1 / 3, 1 / 2), ("mid-rack", 1 / 3, 1 / 4)],
)
def test_what_is_heavy_or_tall_in_the_middle_costs_more_than_what_is_light(
    kind: str, floors: float, left: float
) -> None:
    plan = make_plan(
        place("step", 750, 275, width=1500, depth=550, piece_id="at-wall"),
        place(kind, 3000, 2500, width=1500, depth=550, piece_id="adrift"),
        room=make_room(6000, 5000, 2700),
    )
    by_piece = 1 / 2
    assert scored(plan).parts["backs"] == pytest.approx((floors**2 + by_piece**2) / 2 * left)


@pytest.mark.parametrize(
    ("kind", "turn", "share"),
    # 1120 and 1850 long, so 100 off the wall y = 0 either way round: who rides with the wall behind
    # looks into the room; a belt throws one against it
    [("bike", 0, 1.0), ("bike", 180, 1.0), ("running-machine", 180, 0.0)],
)
def test_a_machine_may_have_its_tail_at_a_wall_where_it_asks_for_nothing(
    kind: str, turn: float, share: float
) -> None:
    piece = place(kind, 3000, 100 + kit_types()[kind].depth_mm / 2, turn)
    plan = make_plan(piece, room=make_room(6000, 5000, 2700))
    assert scored(plan).parts["backs"] == share


def test_a_machine_parts_no_room_by_whose_edge_it_ends() -> None:
    def with_a_bike(y: float) -> float:
        box = place("step", 750, 280, width=1120, depth=560, piece_id="at-wall")
        plan = make_plan(box, place("bike", 3000, y), room=make_room(6000, 5000, 2700))
        return scored(plan).parts["backs"]

    # as large as a step at the wall: a quarter either way, and half of that in the midst; its tail
    # is 590 or 610 off the wall y = 5000, and 600 lets somebody pass
    assert with_a_bike(5000 - 590 - 560) == pytest.approx(1 / 4)
    assert with_a_bike(5000 - 610 - 560) == pytest.approx(1 / 8)


def test_a_bag_by_a_garage_door_has_half_a_wall() -> None:
    door = Opening(
        id="garage", wall="front", kind="sectional", offset_mm=500, width_mm=5000, height_mm=2100
    )
    bag = [place("standing-bag", 3000, 5000 - off - 280) for off in (790, 810)]
    near, far = (
        scored(make_plan(one, room=make_room(6000, 5000, openings=(door,)))).parts["backs"]
        for one in bag
    )
    assert (near, far) == (0.25, 0.0)


def test_nothing_should_stand_below_a_boiler() -> None:
    # its lowest edge is over the dumbbells: neither is in the other's way but for whoever serves it
    boiler = place("boiler", 1000, 175, piece_id="boiler", stays=True)
    below, beside = (
        scored(
            make_plan(
                boiler,
                place("adjustable-dumbbells", x, 260, piece_id="dumbbells"),
                room=make_room(4000, 3000, 2500),
            )
        )
        for x in (1000, 2500)
    )
    assert below.parts["no-care"] <= beside.parts["no-care"] / 2


def test_nothing_should_stand_below_the_bar_of_a_rack() -> None:
    # the bar is 2200 long over a rack of 1220: a bike below one sleeve is no clash, but in its way
    below, beside = (
        scored(
            make_plan(
                place("mid-rack", 2500, 775, piece_id="rack"),
                place("bar-20", 2500, 1288, carried_by="rack"),
                place("bike", x, 760),
                room=make_room(6000, 5000, 2700),
            )
        )
        for x in (3450, 4600)
    )
    assert below.parts["no-care"] <= beside.parts["no-care"] * 0.6


@pytest.mark.parametrize(
    ("kind", "gap", "at_wall"),
    [
        # squat stands ask for 600 behind them, a fan for 300: what stands so stands at the wall
        ("squat-stands", 600, 1.0),
        # less and less at it up to 150 more, where a broom goes; all of it is squared
        ("squat-stands", 675, 0.25),
        ("squat-stands", 750, 0.0),
        ("fan", 300, 1.0),
        # a jump box is landed from on one side of three: it asks for none of them
        ("jump-box", 200, 1.0),
        ("jump-box", 275, 0.25),
        ("jump-box", 350, 0.0),
        ("half-rack", 200, 1.0),
        ("half-rack", 275, 0.25),
        ("half-rack", 350, 0.0),
        # a standing bag leans 600 each way; with 200 more nobody walks along behind it
        ("standing-bag", 800, 1.0),
        ("standing-bag", 900, 0.0),
    ],
)
def test_what_asks_for_room_behind_stands_at_a_wall_so_far_off(
    kind: str, gap: float, at_wall: float
) -> None:
    depth = kit_types()[kind].depth_mm
    plan = make_plan(place(kind, 3000, gap + depth / 2), room=make_room(6000, 5000, 2700))
    assert scored(plan).parts["backs"] == pytest.approx(at_wall, abs=0.01)


def test_nobody_lies_where_a_door_swings() -> None:
    door = Opening(
        id="door",
        wall="front",
        kind="hinged",
        offset_mm=500,
        width_mm=800,
        height_mm=2000,
        swing="in",
        way_out=True,
    )
    below, beside = (
        scored(make_plan(place("mat-space", x, 3800), room=make_room(5000, 5000, openings=(door,))))
        for x in (3900, 1000)
    )
    assert (below.parts["door-seen"], beside.parts["door-seen"]) == (0.0, 1.0)
    # one that opens outwards: whoever comes in sets foot on the first 600 of the floor
    outwards = door.model_copy(update={"swing": "out"})
    first, behind = (
        scored(
            make_plan(
                place("mat-space", 3900, 5000 - off - 1150),
                room=make_room(5000, 5000, openings=(outwards,)),
            )
        )
        for off in (590, 610)
    )
    assert (first.parts["door-seen"], behind.parts["door-seen"]) == (0.0, 1.0)


def test_a_mat_in_a_swing_is_not_outweighed_by_others_that_see_the_door() -> None:
    door = Opening(
        id="door", wall="front", kind="hinged", offset_mm=500, width_mm=800, height_mm=2000,
        way_out=True,
    )  # fmt: skip
    more = [place("bike", 400, 700 + 1300 * number, piece_id=f"bike-{number}") for number in (0, 1)]
    plans = (
        make_plan(*more, place("mat-space", x, 3800), room=make_room(5000, 5000, openings=(door,)))
        for x in (3900, 2000)
    )
    below, beside = (scored(plan).parts["door-seen"] for plan in plans)
    assert below == 0.0
    assert beside > 0.5


def test_the_open_floor_is_the_largest_free_rectangle() -> None:
    # a chest of 1200 x 700 in the corner of 4000 x 3000 leaves 2800 x 3000 or 4000 x 2300
    chest = place("chest-freezer", 600, 350, width=1200, depth=700)
    floor = open_floor(build_scene(make_plan(chest, room=make_room(4000, 3000))))
    assert floor is not None
    assert (floor.long_mm, floor.short_mm) == pytest.approx((4000, 2300))
    assert floor.polygon.bounds == pytest.approx((0, 700, 4000, 3000))


def test_a_mat_takes_no_open_floor_and_a_turned_room_has_as_much() -> None:
    plan = make_plan(place("mat-space", 2000, 1500), room=make_room(4000, 3000))
    for turned in (plan, turned_plan(plan, 30)):
        floor = open_floor(build_scene(turned))
        assert floor is not None
        assert (floor.long_mm, floor.short_mm) == pytest.approx((4000, 3000), abs=0.1)


@pytest.mark.parametrize(
    # full up to 1500, a tenth at 4000, half of that twice as far
    ("away", "share"),
    [(0, 1), (1500, 1), (2750, 0.55), (4000, 0.1), (8000, 0.05)],
)
def test_what_is_used_together_is_near_and_farther_is_always_worse(
    away: float, share: float
) -> None:
    assert nearness(away, 1500, 4000) == pytest.approx(share)


@pytest.mark.parametrize(("y", "share"), [(2000, 1.0), (1200, 0.5), (500, 0.0)])
def test_a_mat_counts_by_how_much_of_it_lies_on_the_open_floor(y: float, share: float) -> None:
    # a bench of stone across the room, 3000 x 200, leaves 1000 of floor behind it and 2800 before
    wall = place("other-thing", 1500, 1100, width=3000, depth=200, height=900, piece_id="stone")
    mat = place("mat-space", 1500, y, width=2000, depth=1000)
    plan = make_plan(wall, mat, room=make_room(3000, 4000))
    # three quarters are the mean; the longest walk is another quarter, and there is none
    assert scored(plan).parts["near"] == pytest.approx(0.75 * share + 0.25)


def test_a_household_may_weigh_otherwise() -> None:
    plan = placed_at(sample("single-garage"), SINGLE)
    key = "layout.calm.weight"
    other = plan.model_copy(update={"overrides": (Override(id=key, value=100, reason="calm"),)})
    assert scored(other).total < scored(plan).total
    assert scored(other).parts == scored(plan).parts
