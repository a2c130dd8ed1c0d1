"""What cares come to, and how wide the ways to all stations are: common practice, no source."""

from dataclasses import replace

import numpy as np
import pytest

from app.arranging.across import gets_to_all
from app.arranging.best_layouts import pairs_of
from app.arranging.layout import Layout
from app.arranging.measures import (
    burden_of,
    guessed_to_all,
    is_parted,
    pairs_at_once,
    way_in,
    with_backs,
)
from app.arranging.measures_around import screen_seen
from app.arranging.score import score
from app.checks.narrowest import narrowest
from app.checks.run import run
from app.checks.snag import Snag
from app.model.plan import Plan
from app.model.room import Opening
from app.scene.build import Scene, build_scene
from tests.builders import make_person, make_plan, make_room, place, turned_plan

DOOR = Opening(
    id="door", wall="front", kind="hinged", offset_mm=700, width_mm=800, height_mm=2000,
    swing="out", way_out=True,
)  # fmt: skip
WIDE = 2300


def behind_a_gap(gap: float, turned: float = 0) -> Scene:
    """A room of 2.3 x 5 m: the floor by the door is open, the bike at the back is behind a row."""
    row = place("step", (WIDE - gap) / 2, 1900, width=WIDE - gap, depth=400, piece_id="row")
    bike = place("bike", WIDE / 2, 530, 0, piece_id="bike")
    plan = make_plan(row, bike, room=make_room(WIDE, 5000, openings=(DOOR,)))
    return build_scene(turned_plan(plan, turned))


@pytest.mark.parametrize("turned", [0, 30])
@pytest.mark.parametrize(
    # a body is 600 wide, one that carries something 760: half of the way in is left at the one
    ("gap", "share"),
    [(598, 0.0), (602, 0.5), (680, 0.75), (758, 0.99), (762, 1.0)],
)
def test_a_way_to_a_station_that_is_narrower_than_a_body_leaves_nothing(
    gap: float, share: float, turned: float
) -> None:
    scene = behind_a_gap(gap, turned)
    assert narrowest(scene).width_mm == pytest.approx(gap, abs=1)
    assert Layout(scene, ()).main_way[0] > 900
    assert way_in(Layout(scene, ())) == pytest.approx(share, abs=0.01)


@pytest.mark.parametrize("turned", [0, 30])
@pytest.mark.parametrize(("gap", "reached"), [(590, 0.5), (610, 1.0)])
def test_the_rough_figure_knows_which_stations_a_body_gets_to(
    gap: float, reached: float, turned: float
) -> None:
    # of row and bike the one at the back is cut off
    layout = Layout(behind_a_gap(gap, turned), ())
    assert gets_to_all(layout) == reached
    assert guessed_to_all(layout) == (1.0 if reached == 1.0 else 0.25)


def parted(gap: float, doors: int, turned: float = 0) -> Layout:
    """The same room with a narrower door of its own at the back for the bike, or without."""
    back = Opening(
        id="yard", wall="back", kind="hinged", offset_mm=1500, width_mm=700, height_mm=2000,
        swing="out", way_out=True,
    )  # fmt: skip
    row = place("step", (WIDE - gap) / 2, 2900, width=WIDE - gap, depth=400, piece_id="row")
    bike = place("bike", 600, 1500, 0, piece_id="bike")
    room = make_room(WIDE, 5000, openings=(DOOR, back)[:doors])
    return Layout(build_scene(turned_plan(make_plan(row, bike, room=room), turned)), ())


@pytest.mark.parametrize("turned", [0, 30])
@pytest.mark.parametrize(
    ("gap", "doors", "apart", "share"),
    # a body is 600 wide; with one door the way itself is too narrow, which is told otherwise
    [(598, 2, True, 0.0), (602, 2, False, 1.0), (602, 1, False, 0.5)],
)
def test_what_lies_across_a_room_parts_it_however_many_doors_there_are(
    gap: float, doors: int, apart: bool, share: float, turned: float
) -> None:
    layout = parted(gap, doors, turned)
    assert is_parted(layout) is apart
    assert way_in(layout) == pytest.approx(share, abs=0.02)


@pytest.mark.parametrize("turned", [0, 30])
@pytest.mark.parametrize(
    # two chests a corner to a corner, as far apart along either wall: 430 is 608 from one to the
    # other, 405 is 573, and a body is 600 wide; rounding cuts off 20 at most
    ("aside", "reached"),
    [(405, 0.0), (430, 1.0)],
)
def test_a_body_goes_through_between_two_corners(
    aside: float, reached: float, turned: float
) -> None:
    wide = (3000 - aside) / 2
    far = place("other-thing", wide / 2, 1850, width=wide, depth=500, height=900, piece_id="far")
    y = 2100 + aside + 250
    near = place("other-thing", 3000 - wide / 2, y, width=wide, depth=500, height=900)
    bike = place("bike", 1500, 700, 0, piece_id="bike")
    plan = make_plan(far, near, bike, room=make_room(3000, 5000, openings=(DOOR,)))
    assert gets_to_all(Layout(build_scene(turned_plan(plan, turned)), ())) == reached


@pytest.mark.parametrize(
    ("bench", "free", "count"),
    # far apart, each could be used by somebody; they are one station, and the bike is another
    [("flat-bench", 2, 2), ("bike", 3, 3)],
)
def test_a_bench_and_its_dumbbells_are_no_pair_for_two(bench: str, free: int, count: int) -> None:
    pieces = (
        place(bench, 1000, 1500, piece_id="one"),
        place("adjustable-dumbbells", 6500, 300, piece_id="dumbbells"),
        place("bike", 6500, 5000, piece_id="two"),
    )
    two = (make_person(1750, person_id="a"), make_person(1750, person_id="b"))
    layout = Layout(build_scene(make_plan(*pieces, room=make_room(8000, 6000), people=two)), ())
    assert pairs_at_once(layout) == (free, count)
    alone = frozenset(("one", "dumbbells"))
    assert (alone in pairs_of(layout.scene)) is (bench == "bike")


def test_a_thing_with_cares_counts_for_having_any_and_for_what_they_lack() -> None:
    # a fifth, less below a twentieth of what is wanted: there nobody buys another thing for it
    shares = np.array([0.0, 0.025, 0.05, 0.5, 1.0])
    assert burden_of(shares, shares) == pytest.approx([0.0, 0.125, 0.25, 0.7, 1.2])
    # a belt that lacks a fifth to either side is one thing to mind
    assert burden_of(np.array([0.4]), np.array([0.2])) == pytest.approx([0.6])


def care(lacks_mm: float) -> Snag:
    """The care of a rack of which so much of 1000 is missing."""
    cares = [
        snag for snag in run(build_scene(shelf_at(1000 - lacks_mm))) if snag.severity == "care"
    ]
    (one,) = cares
    assert one.measured == pytest.approx(1000 - lacks_mm)
    return one


def shelf_at(free: float) -> Plan:
    """A dumbbell rack with so much before it that is free."""
    chest = place("other-thing", 1500, 550 + free + 300, width=1500, depth=600, height=900)
    return make_plan(place("dumbbell-rack-2", 1500, 275), chest, room=make_room(3000, 5000, 2500))


def test_many_things_with_a_slight_care_weigh_more_than_one_that_lacks_as_much() -> None:
    scene = build_scene(make_plan(room=make_room(3000, 5000)))
    slight = [replace(care(130), pieces=(f"rack-{number}",)) for number in range(4)]
    many, one = (score(scene, cares).parts["no-care"] for cares in (slight, [care(520)]))
    assert many == pytest.approx(1 / (1 + 4 * 0.13 + 4 * 0.2))
    assert one == pytest.approx(1 / (1 + 0.52 + 0.2))
    # all of the same thing
    same = score(scene, [care(130)] * 4).parts["no-care"]
    assert same == pytest.approx(1 / (1 + 4 * 0.13 + 0.2))


WINDOW = Opening(
    id="window", wall="back", kind="window", offset_mm=1000, width_mm=1000, height_mm=1000,
    sill_mm=900,
)  # fmt: skip


@pytest.mark.parametrize("turned", [0, 30])
@pytest.mark.parametrize(
    # a mirror of 1200 along y = 0, the window from 1000 to 2000 or from 2000 to 3000 of 4000
    ("off", "at_wall"),
    [(2, 0.0), (-2, 1.0)],
)
def test_a_mirror_across_a_window_is_at_no_wall(off: float, at_wall: float, turned: float) -> None:
    mirror = place("mirror", 3000 + 600 - off, 15, piece_id="mirror")
    window = WINDOW.model_copy(update={"offset_mm": 2000})
    plan = make_plan(mirror, room=make_room(4200, 3000, openings=(window,)))
    scene = build_scene(turned_plan(plan, turned))
    shares = with_backs(Layout(scene, ()))
    assert shares["mirror"] == at_wall


@pytest.mark.parametrize("turned", [0, 30])
@pytest.mark.parametrize(
    # a screen of 970 has a diagonal of 1113: 1.2 times that is 1336, 2.5 times 2782
    ("x", "y", "share"),
    [
        (2500, 30 + 1334, 0.5),
        (2500, 30 + 1337, 1.0),
        (2500, 30 + 2781, 1.0),
        (2500, 30 + 2784, 0.5),
        # 59 and 61 degrees aside, 2000 off
        (2500 + 1714, 30 + 1030, 1.0),
        (2500 + 1749, 30 + 970, 0.0),
    ],
)
def test_a_screen_is_seen_neither_edge_on_nor_from_too_near(
    x: float, y: float, share: float, turned: float
) -> None:
    screen = place("screen", 2500, 30, piece_id="screen")
    bike = place("bike", x, y, piece_id="bike")
    scene = build_scene(turned_plan(make_plan(screen, bike, room=make_room(6000, 5000)), turned))
    assert screen_seen(scene.placed["screen"], scene.placed["bike"].at) == share
