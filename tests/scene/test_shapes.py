"""Outlines of kit: worked by hand from the size of a piece and the quarter it is turned by.

As drawn x runs to the right and y down; at angle 0 the user stands below, before the front.
"""

import math
from typing import Any

import numpy as np
import pytest
import shapely
from shapely import Point, Polygon

from app.checks.run import run
from app.library.kit import KitType, Space, kit_types
from app.model.kit import ManualSpace, Piece
from app.model.situations import OUT
from app.scene.build import build_scene
from app.scene.shapes import Shape, by_the_manual, circle, shape_of, turn, turned
from tests.builders import make_plan, make_room, place

Bounds = tuple[float, float, float, float]


def test_a_circle_is_held_and_no_wider_along_the_axes() -> None:
    around = circle((100.0, -50.0), 225.0)
    # the box of a circle of radius 225 about (100, -50)
    assert around.bounds == pytest.approx((-125.0, -275.0, 325.0, 175.0), abs=1e-9)
    assert around.buffer(1e-6).covers(Point(100.0, -50.0).buffer(225.0, quad_segs=64))
    # n sides about a circle hold n r2 tan(180/n): 32 of them 0.3 % more than the circle
    assert around.area == pytest.approx(1.0032 * math.pi * 225**2, rel=1e-4)


@pytest.mark.parametrize("angle", [0, 90, 180, 270])
def test_a_round_stack_that_touches_a_wall_is_not_inside_it(angle: float) -> None:
    # a stack of 450 across, its middle 225 from the right wall of a room 5000 wide
    stack = place("rubber-plates", 4775, 2500, angle, piece_id="stack")
    snags = run(build_scene(make_plan(stack, room=make_room(5000, 5000, 2400))))
    assert [s.code for s in snags if s.severity == "stop"] == []


def test_clockwise_as_drawn() -> None:
    # from the right by a quarter down, by another to the left; 30 degrees: cos 0.866, sin 0.5
    assert turn(1, 0, 90) == pytest.approx((0, 1))
    assert turn(0, 1, 90) == pytest.approx((-1, 0))
    assert turn(100, 0, 30) == pytest.approx((86.6025, 50), abs=1e-4)
    triangle = turned(Polygon([(0, 0), (100, 0), (0, 50)]), 30)
    assert triangle.equals_exact(Polygon([(0, 0), (86.6025, 50), (-25, 43.3013)]), 1e-4)


def shape(piece: Piece, kit: KitType | None = None) -> Shape:
    return shape_of(piece, piece.pose.angle_deg, kit or kit_types()[piece.type])


def space(side: str, **fields: Any) -> Space:
    given = {"key": "k", "name": "n", "kind": "body", "side": side, "recommended_mm": 500}
    return Space.model_validate({**given, **fields})


def bench_with(*spaces: Space) -> KitType:
    """A flat bench with other spaces, told apart from the row by a value of its own."""
    row = kit_types()["flat-bench"]
    return row.model_copy(update={"spaces": spaces, "values": (("space.to-mm", 1900.0),)})


# A bench of 600 x 1200, a strip over one half of an edge, 500 deep. Looking out of the front the
# right hand is on the left as drawn, looking out of the right side it is below.
@pytest.mark.parametrize(
    ("side", "across", "bounds", "outward", "edge_mm", "aside_mm"),
    [
        ("front", ("l", "c"), (-300, 600, 0, 1100), (0, 1), 600, (0, 300)),
        ("front", ("c", "r"), (0, 600, 300, 1100), (0, 1), 600, (-300, 0)),
        ("back", ("c", "l"), (-300, -1100, 0, -600), (0, -1), 600, (-300, 0)),
        ("back", ("c-50", "r"), (-50, -1100, 300, -600), (0, -1), 600, (-50, 300)),
        ("right", ("b", "m"), (300, -600, 800, 0), (1, 0), 300, (-600, 0)),
        ("right", ("m", "f-100"), (300, 0, 800, 500), (1, 0), 300, (0, 500)),
        ("left", ("b", "m"), (-800, -600, -300, 0), (-1, 0), 300, (0, 600)),
        ("left", ("m", "f"), (-800, 0, -300, 600), (-1, 0), 300, (-600, 0)),
        # the whole edge unless the row says otherwise
        ("front", None, (-300, 600, 300, 1100), (0, 1), 600, (-300, 300)),
        ("left", None, (-800, -600, -300, 600), (-1, 0), 300, (-600, 600)),
    ],
)
def test_a_strip_lies_before_its_edge(
    side: str,
    across: tuple[str, str] | None,
    bounds: Bounds,
    outward: tuple[float, float],
    edge_mm: float,
    aside_mm: tuple[float, float],
) -> None:
    bench = bench_with(space(side, across=across))
    (strip,) = shape(place("flat-bench", depth=1200), bench).spaces
    assert strip.polygon.bounds == pytest.approx(bounds)
    assert strip.outward == pytest.approx(outward)
    assert strip.edge_mm == edge_mm
    # cores are drawn in by half a millimetre, so that touching is no overlap
    x0, y0, x1, y1 = bounds
    assert strip.core.bounds == pytest.approx((x0 + 0.5, y0 + 0.5, x1 - 0.5, y1 - 0.5))
    assert strip.aside_mm == pytest.approx((aside_mm[0] + 0.5, aside_mm[1] - 0.5))
    # a quarter on: what lay below lies to the left, what lay to the right below
    (on,) = shape(place("flat-bench", depth=1200, angle=90), bench).spaces
    assert on.polygon.bounds == pytest.approx((-y1, x0, -y0, x1))
    assert on.outward == pytest.approx((-outward[1], outward[0]))
    assert (on.edge_mm, on.aside_mm) == (strip.edge_mm, strip.aside_mm)


def test_room_all_round_and_over_the_piece_itself() -> None:
    bench = bench_with(space("ring"), space("area", recommended_mm=0))
    ring, own = shape(place("flat-bench", depth=1200), bench).spaces
    assert ring.polygon.bounds == pytest.approx((-800, -1100, 800, 1100))
    # its corners are rounded: 600 x 1200, four strips of 500 and a circle of radius 500
    round_it = 600 * 1200 + 2 * (600 + 1200) * 500 + math.pi * 500**2
    assert ring.polygon.area == pytest.approx(round_it, rel=0.002)
    assert own.polygon.bounds == pytest.approx((-300, -600, 300, 600))
    assert own.core.bounds == pytest.approx((-299.5, -599.5, 299.5, 599.5))
    for one in (ring, own):
        assert (one.outward, one.edge_mm, one.aside_mm) == (None, 0, (0, 0))
    turned_ring, _ = shape(place("flat-bench", depth=1200, angle=90), bench).spaces
    assert turned_ring.polygon.bounds == pytest.approx((-1100, -800, 1100, 800))


def test_heights_are_those_of_the_row_or_go_with_the_piece() -> None:
    row, own = space("front", z=(0, 0)), space("front", heights=("t-100", "t+300"))
    first, second = shape(place("flat-bench", height=430), bench_with(row, own)).spaces
    # from what is stepped over to above the head (common practice, no source)
    assert first.heights_mm == (50, 2000)
    assert second.heights_mm == (330, 730)


def test_a_manual_asks_for_more_and_never_for_less() -> None:
    asked = space("front", least_mm=400)
    assert by_the_manual(asked, {}) is asked
    assert by_the_manual(asked, {"k": 400.0}) is asked
    assert by_the_manual(asked, {"other": 900.0}) is asked
    little = by_the_manual(asked, {"k": 450.0})
    assert (little.least_mm, little.recommended_mm, little.status) == (450, 500, "read")
    # the name tells it in plans of before spaces had keys; the key goes before it
    assert by_the_manual(asked, {"n": 600.0}).recommended_mm == 600
    assert by_the_manual(asked, {"n": 700.0, "k": 650.0}).least_mm == 650
    piece = place("flat-bench", depth=1200).model_copy(
        update={"manual_mm": (ManualSpace(space="foot-end", least_mm=1500),)}
    )
    foot_end = next(one for one in shape(piece).spaces if one.space.key == "foot-end")
    assert foot_end.polygon.bounds == pytest.approx((-300, 600, 300, 2100))


def bounds(found: Shape, part: str) -> list[Bounds]:
    return [p.bounds for p, name in zip(found.polygons, found.parts, strict=True) if name == part]


def heights(found: Shape, part: str) -> set[tuple[float, float]]:
    rows = zip(found.low_mm, found.high_mm, found.parts, strict=True)
    return {(float(low), float(high)) for low, high, name in rows if name == part}


def test_solids_follow_the_size_of_the_piece() -> None:
    # feet over the whole width, 100 to 160 off either end, 60 high; the pad lies on 380
    small = shape(place("flat-bench", width=500, depth=1200, height=430))
    assert bounds(small, "foot") == [(-250, -500, 250, -440), (-250, 440, 250, 500)]
    assert (heights(small, "foot"), heights(small, "pad")) == ({(0, 60)}, {(380, 430)})
    assert small.footprint.bounds == (-250, -600, 250, 600)
    # those of the row are 600 x 1220 x 440
    row = shape(place("flat-bench"))
    assert row.footprint.bounds == (-300, -610, 300, 610)
    assert heights(row, "pad") == {(380, 440)}
    assert shapely.bounds(row.cores[0]) == pytest.approx((-299.5, -509.5, 299.5, -450.5))


def test_plates_on_a_bar_are_as_large_as_the_largest_used() -> None:
    # a bar of 2200 with plates from 330 to 405 off each end, 450 unless the plan says otherwise
    asked = shape(place("bar-20", plate=350))
    wide = (-770, -175, -695, 175), (695, -175, 770, 175)
    assert bounds(asked, "plate") == list(wide)
    # rectangles of 75 x 350, with all four corners
    plates = [
        p.area for p, part in zip(asked.polygons, asked.parts, strict=True) if part == "plate"
    ]
    assert plates == pytest.approx([75 * 350] * 2)
    assert heights(asked, "plate") == {(-175, 175)}
    assert (heights(asked, "shaft"), heights(asked, "sleeve")) == ({(-14, 14)}, {(-25, 25)})
    assert bounds(asked, "shaft") == [(-685, -14, 685, 14)]
    assert heights(shape(place("bar-20")), "plate") == {(-225, 225)}
    assert [b[3] for b in bounds(shape(place("bar-20")), "plate")] == [225, 225]
    # plates on what is no bar change nothing
    assert bounds(shape(place("flat-bench", plate=350)), "pad") == [(-150, -610, 150, 610)]


@pytest.mark.parametrize("kit", ["plate-tree", "iron-plates", "flat-bench"])
def test_plates_by_the_bar_change_no_other_kit(kit: str) -> None:
    plain, asked = shape(place(kit)), shape(place(kit, plate=350))
    assert plain.low_mm.tolist() == asked.low_mm.tolist()
    assert plain.high_mm.tolist() == asked.high_mm.tolist()


def test_what_is_round_has_a_round_footprint() -> None:
    bag = shape(place("hung-bag"))
    # 350 across: pi x 175 squared, not 350 x 350
    assert bag.footprint.area == pytest.approx(math.pi * 175**2, rel=0.004)
    # a disc that the asked size leaves room about is no outline of the whole: 400 x 400
    wider = shape(place("hung-bag", width=400, depth=400))
    assert wider.footprint.area == pytest.approx(160_000)
    # as wide one way alone as the disc: the disc is its outline still
    one_way = shape(place("hung-bag", width=400))
    assert one_way.footprint.area == pytest.approx(math.pi * 175**2, rel=0.004)


def test_what_is_folded_or_out_of_the_room_needs_no_room_to_use_it() -> None:
    def state(key: str | None, kit: str = "running-machine") -> Shape:
        return shape(place(kit).model_copy(update={"state": key}))

    assert state(None).spaces
    assert state("folded").spaces == ()
    assert len(state("folded").polygons) > 0
    # a lid that is up is used
    assert state("lid-up", "chest-freezer").spaces
    assert heights(state("lid-up", "chest-freezer"), "lid") != set()
    # what is out of the room is not in use, also where its row knows no other states
    for kit in ("running-machine", "flat-bench", "chest-freezer"):
        out = place(kit).model_copy(update={"state": OUT})
        (placed,) = build_scene(make_plan(out)).order
        assert not placed.in_use
        assert build_scene(make_plan(place(kit))).order[0].in_use
    gone = state(OUT)
    assert (gone.spaces, len(gone.polygons), len(gone.cores)) == ((), 0, 0)


def test_pieces_that_are_alike_share_one_shape_and_others_do_not() -> None:
    alike = shape(place("flat-bench", 1000, 1000, 15)), shape(place("flat-bench", 4000, 900, 15))
    assert alike[0] is alike[1]
    assert shape(place("flat-bench", 1000, 1000, 16)) is not alike[0]
    other = shape(place("flat-bench", 1000, 1000, 15), bench_with(space("front")))
    assert other is not alike[0]
    assert np.array_equal(other.low_mm, alike[0].low_mm)
