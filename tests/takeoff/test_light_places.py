"""Where fittings hang, by hand: an even pattern on a grid of 150, off what is low."""

import math
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from shapely import Point, box, unary_union

from app.file_commands.plan_file import read
from app.formulas.headroom import demand
from app.library.finishes import finishes
from app.model.base import json_of
from app.model.kit import Piece
from app.model.people import Person, Wish, WishWord
from app.model.plan import Plan
from app.model.room import Joists, Opening
from app.scene.build import Scene, build_scene
from app.takeoff.light_hindrances import keep_out, too_low_over
from app.takeoff.light_places import Places, _rows, outlines, places
from app.takeoff.lights import moved_aside
from tests.builders import column, low_thing, make_plan, make_room, place, rectangle

FITTING = finishes().fittings["batten-1200"]
HALF_STEPS = math.hypot(75, 75)
"""How far the nearest place of a grid of 150 may lie from any point."""


def scene(*pieces: Piece, size: tuple[float, float] = (6000, 4000), **room: Any) -> Scene:
    return build_scene(make_plan(*pieces, room=make_room(*size, **room)))


def near(found: Places, ideal: list[tuple[float, float]]) -> None:
    assert len(found.at) == len(ideal)
    for spot in ideal:
        assert min(math.dist(spot, at) for at in found.at) <= HALF_STEPS + 1


@pytest.mark.parametrize(
    ("count", "ideal"),
    [
        (1, [(3000, 2000)]),
        # two rows of three; of five three and two
        (6, [(x, y) for y in (1000, 3000) for x in (1000, 3000, 5000)]),
        (5, [(1000, 1000), (3000, 1000), (5000, 1000), (1500, 3000), (4500, 3000)]),
    ],
)
def test_an_even_pattern_over_the_room(count: int, ideal: list[tuple[float, float]]) -> None:
    found = places(scene(), FITTING, count)
    near(found, ideal)
    assert (found.angle_deg, found.over) == (0, 0)
    # in a room that is deeper than wide the pattern and the fittings are turned with it
    turned = places(scene(size=(4000, 6000)), FITTING, count)
    assert turned.angle_deg == pytest.approx(90)
    near(turned, [(4000 - y, x) for x, y in ideal])


def test_between_joists_in_the_middle_of_their_gap() -> None:
    # joists every 500 from 250 on along the room: the gaps lie about 500, 1000, 1500 ...
    joists = Joists(direction_deg=0, spacing_mm=500, width_mm=50, depth_mm=150, first_mm=250)
    found = places(scene(joists=joists), FITTING, 6)
    assert {y for _, y in found.at} == {1000, 3000}
    # joists across turn them
    across = joists.model_copy(update={"direction_deg": 90})
    assert places(scene(joists=across), FITTING, 6).angle_deg == 90
    # gaps narrower than the fitting are no places: it hangs below the joists
    narrow = joists.model_copy(update={"spacing_mm": 50 + FITTING.width_mm - 1})
    assert len({y % 150 for _, y in places(scene(joists=narrow), FITTING, 6).at}) == 1


def test_nothing_hangs_in_columns_beams_or_under_a_door_that_rises_as_high() -> None:
    nib, beam = (
        column(rectangle(2800, 0, 3200, 2400)),
        low_thing(rectangle(0, 900, 6000, 1100), 2200),
    )
    found = places(scene(columns=[nib], low_things=[beam]), FITTING, 6)
    for x, y in found.at:
        half = FITTING.length_mm / 2, FITTING.width_mm / 2
        body = box(x - half[0], y - half[1], x + half[0], y + half[1])
        assert not body.intersects(box(2800, 0, 3200, 2400))
        assert not body.intersects(box(0, 900, 6000, 1100))
    # a leaf that opens to 2120 is in the way under a ceiling of 2100, and not under 2600
    door = Opening(
        id="d", wall="front", kind="sectional", offset_mm=1000, width_mm=4000, height_mm=2000
    )
    low = places(scene(openings=[door], size=(6000, 5000)), FITTING, 12)
    assert len(low.at) == 12
    tight = build_scene(make_plan(room=make_room(6000, 5000, 2100, openings=[door])))
    hung = [shape for s in tight.room.openings for shape in (*s.always, *s.when_open)]
    high = [one.polygon for one in hung if one.top_mm > 2100 - FITTING.depth_mm]
    spots = [Point(at) for at in places(tight, FITTING, 12).at]
    assert high
    assert not any(polygon.contains(at) for polygon in high for at in spots)


def test_what_does_not_fit_hangs_nowhere() -> None:
    assert places(scene(size=(1000, 1000)), FITTING, 3).at == ()
    # a room for one row of two: a third has no place
    assert 1 <= len(places(scene(size=(2800, 600)), FITTING, 9).at) < 9


def test_kept_free_are_heads_on_benches_and_room_under_hands() -> None:
    # the head end of a bench of 1220 is at its back; 400 about it (common practice, no source)
    free = keep_out(scene(place("flat-bench", 3000, 2000)), FITTING)
    assert free.covers(Point(3000, 1390 - 395))
    assert not free.covers(Point(3000, 1390 - 405))
    turned = keep_out(scene(place("flat-bench", 3000, 2000, 90)), FITTING)
    assert turned.covers(Point(3610 + 395, 2000))
    assert not turned.covers(Point(3610 + 405, 2000))
    assert keep_out(scene(place("plate-tree", 3000, 2000)), FITTING).is_empty
    # a rope or bag counts also where the fitting hangs between deep joists, a press does not
    deep = Joists(direction_deg=0, spacing_mm=500, width_mm=50, depth_mm=200, first_mm=250)
    rack, bag = place("half-rack", 3000, 2000), place("hung-bag", 3000, 2000)
    assert not keep_out(scene(rack), FITTING).is_empty
    wide, small = (keep_out(one, FITTING) for one in (scene(rack), scene(rack, joists=deep)))
    assert small.area < wide.area
    assert keep_out(scene(bag), FITTING).area == keep_out(scene(bag, joists=deep), FITTING).area


def test_what_is_folded_away_keeps_no_light_off_and_hides_nothing_that_does() -> None:
    bench = place("flat-bench", 3500, 1500)
    folded = place("running-machine", 1500, 2500).model_copy(update={"state": "folded"})
    alone = keep_out(scene(bench), FITTING)
    assert alone.area > 0
    for pieces in ((bench, folded), (folded, bench)):
        assert keep_out(scene(*pieces), FITTING).equals(alone)


@pytest.mark.parametrize("angle", [0, 90])
def test_every_fitting_keeps_off_the_walls(angle: float) -> None:
    # a fitting is hung 150 or more off a wall (common practice, no source)
    size = (3000, 1500) if angle == 0 else (1500, 3000)
    found = places(scene(size=size), FITTING, 60)
    assert found.angle_deg % 180 == pytest.approx(angle)
    half = FITTING.length_mm / 2, FITTING.width_mm / 2
    a, b = half if angle == 0 else half[::-1]
    bodies = [box(x - a, y - b, x + a, y + b) for x, y in found.at]
    left, top, right, bottom = unary_union(bodies).bounds
    nearest = min(left, top, size[0] - right, size[1] - bottom)
    # and on the grid of 150 some come as near as they may
    assert nearest + 0.001 >= 150
    assert nearest < 300
    assert sum(body.area for body in bodies) == pytest.approx(unary_union(bodies).area)


@pytest.mark.parametrize(("first", "rows"), [(150, [400, 900]), (400, [150, 650]), (0, [250, 750])])
def test_rows_lie_in_the_gaps_between_joists_wherever_the_first_one_is(
    first: float, rows: list[float]
) -> None:
    # joists every 500 in a room that is 1000 across: middles of their gaps within it alone
    joists = Joists(direction_deg=0, spacing_mm=500, width_mm=50, depth_mm=150, first_mm=first)
    between = scene(size=(6000, 1000), joists=joists)
    assert list(_rows(between, FITTING, 0, 1000, 150)) == rows
    # as wide as its gap a fitting hangs in it still, by a millimetre wider it hangs below
    gap = joists.spacing_mm - joists.width_mm
    wide = FITTING.model_copy(update={"width_mm": gap})
    assert list(_rows(between, wide, 0, 1000, 150)) == rows
    below = [150, 300, 450, 600, 750, 900]
    assert (
        list(_rows(between, FITTING.model_copy(update={"width_mm": gap + 1}), 0, 1000, 150))
        == below
    )
    assert list(_rows(scene(size=(6000, 1000)), FITTING, 0, 1000, 150)) == below
    assert list(_rows(scene(size=(6000, 900)), FITTING, 0, 900, 150)) == below[:-1]


def test_a_pattern_in_the_way_of_something_moves_as_a_whole() -> None:
    # a duct under the first row of three: all six hang elsewhere, still in two rows
    low = low_thing(rectangle(800, 800, 5200, 1300), 2000)
    found = places(scene(low_things=[low]), FITTING, 6)
    assert found.even
    assert len({round(y) for _, y in found.at}) == 2
    assert len({round(x) for x, _ in found.at}) == 3
    assert not any(800 < y < 1300 for _, y in found.at)


def test_what_hangs_over_an_open_garage_door_is_told_by_number() -> None:
    # the leaf comes two metres in, lower than any fitting hangs
    door = Opening(
        id="garage", wall="front", kind="sectional", offset_mm=1000, width_mm=4000, height_mm=2000
    )
    found = places(scene(size=(6000, 6000), openings=[door], height=2800), FITTING, 4)
    leaf = build_scene(
        make_plan(room=make_room(6000, 6000, openings=[door], height=2800))
    ).room.openings[0]
    over = unary_union([hanging.polygon for hanging in leaf.when_open])
    under = [
        number
        for number, (x, y) in enumerate(found.at, 1)
        if over.intersects(box(x - 600, y - 75, x + 600, y + 75))
        or over.intersects(box(x - 75, y - 600, x + 75, y + 600))
    ]
    assert set(found.shaded) <= set(under)
    assert found.even


@pytest.mark.parametrize(("count", "width"), [(5, 1200), (5, 2800), (8, 2000), (9, 1200)])
def test_what_a_beam_moves_aside_does_not_crowd(count: int, width: float) -> None:
    # of 24 m2 each has its share: half the side of that share lies between two of them
    beam = low_thing(rectangle(3000 - width / 2, 0, 3000 + width / 2, 4000), 2200)
    found = places(scene(low_things=[beam]), FITTING, count).at
    assert len(found) == count
    nearest = min(math.dist(one, other) for one, other in combinations(found, 2))
    assert nearest >= math.sqrt(24e6 / count) / 2


def pressing(wish: str, stature_mm: float = 1720) -> Scene:
    """A rack with its bar under a ceiling that rises from 2050 on the left to 2750 on the right."""
    plan = json_of(read(Path("sample_rooms/single-garage.json")))
    (who,) = plan["people"]
    wishes = [*who["wishes"], {"movement": "standing-press", "wish": wish}]
    person = {**who, "stature_mm": stature_mm, "wishes": wishes}
    return build_scene(Plan.model_validate({**plan, "people": [person]}))


def test_over_a_press_a_fitting_hangs_where_it_leaves_the_need() -> None:
    """Survey regression of the reach and 2 deviations, as the judge has it: 1.2755 x 1720 - 131.5 +
    64 = 2126, a shoe, 225 of the plate and the margin over the covering; with the depth of the
    fitting that is under the slope from so far on as it rises, 700 over 2700.
    """
    batten = finishes().fittings["batten-1500"]
    room = pressing("want")
    # to the right of the head on the bench, over which nothing hangs either
    plates = box(1555, 700, 2700, 1500)
    edge = keep_out(room, batten).intersection(plates).bounds[2]
    covering = room.plan.room.floor.covering.thickness_mm
    need = demand("standing-press", 1720, None, covering, 225).need_mm
    assert need > 2126 + 225 + covering
    assert edge == pytest.approx((need + batten.depth_mm - 2050) / 700 * 2700, abs=1)
    # whoever is taller needs more of it, and who has declined it nothing
    taller = keep_out(pressing("want", 1800), batten).intersection(plates)
    assert taller.bounds[2] == pytest.approx(edge + 1.2755 * 80 / 700 * 2700, abs=30)
    assert keep_out(pressing("no"), batten).intersection(plates).area < 1
    # so the rack, which reaches to 1850, is lit
    found = places(room, batten, 3)
    assert min(y for _, y in found.at) < 1850
    assert not found.over


def running(angle: float, *more: Piece, height: float = 2200, wish: WishWord = "want") -> Scene:
    """A running machine in the back left corner of a room of 6000 x 4000 with somebody of 1750."""
    who = Person(id="a", stature_mm=1750, wishes=(Wish(movement="run", wish=wish),))
    machine = place("running-machine", 1500, 1100, angle, grade=0)
    room = make_room(6000, 4000, height=height)
    return build_scene(make_plan(machine, *more, room=room, people=(who,)))


@pytest.mark.parametrize("angle", [0, 30, 90])
def test_no_fitting_hangs_where_a_head_needs_the_room(angle: float) -> None:
    """A head rises over 700 x 1200 of the belt and 150 round it; the ceiling of 2200 less a fitting
    of 80 is lower than the need there, so all fittings hang beside that, and no count is less.
    """
    low = running(angle)
    (below, *_) = too_low_over(low, FITTING)
    assert below.movement == "run"
    assert below.need_mm > 2200 - FITTING.depth_mm
    found = places(low, FITTING, 6)
    bodies = outlines(FITTING, np.array(found.at), found.angle_deg)
    assert len(found.at) == 6
    assert not found.over
    assert not any(below.area.intersects(body) for body in bodies)


def test_a_fitting_that_leaves_the_need_keeps_out_of_nothing() -> None:
    need = next(too_low_over(running(0), FITTING)).need_mm
    enough = need + FITTING.depth_mm
    assert not [*too_low_over(running(0, height=enough), FITTING)]
    assert [*too_low_over(running(0, height=enough - 1), FITTING)]
    # whoever has declined it needs nothing, and what is folded away is not run on
    assert not [*too_low_over(running(0, wish="no"), FITTING)]
    (machine,) = (one.piece for one in running(0).order)
    away = machine.model_copy(update={"state": "folded"})
    folded = build_scene(make_plan(away, room=make_room(6000, 4000, height=2200)))
    assert not [*too_low_over(folded, FITTING)]


def test_rows_that_are_moved_as_one_say_so() -> None:
    """Rows moved 301 mm and more from the middle are told with the wall that they go towards."""
    room = scene(size=(6000, 4000))

    def moved(dx: float, dy: float = 0.0) -> tuple[float, str] | None:
        at = tuple((x + dx, y + dy) for x, y in ((1500.0, 1000.0), (4500.0, 1000.0),
                                                 (1500.0, 3000.0), (4500.0, 3000.0)))  # fmt: skip
        return moved_aside(room, Places(at, 0.0, 0, even=True))

    assert moved(0.0) is None
    assert moved(300.0) is None
    right, left = moved(301.0), moved(-450.0)
    assert right is not None
    assert left is not None
    assert (round(right[0]), round(left[0])) == (301, 450)
    ends = {wall.id: wall for wall in room.room.walls}
    assert ends[right[1]].inward == pytest.approx((-1, 0))
    assert ends[left[1]].inward == pytest.approx((1, 0))
    # of both ways the further
    down = moved(301.0, 600.0)
    assert down is not None
    assert ends[down[1]].inward == pytest.approx((0, -1))
    assert moved_aside(room, Places(((900.0, 900.0),), 0.0, 0, even=False)) is None
