"""Floors laid from a given start, piece by piece, by hand; and as lines of the list."""

from dataclasses import replace
from typing import Any

import pytest
import shapely
import shapely.affinity
from shapely import Polygon, box

from app.model.flooring import FloorLaying
from app.model.money import Money, Price
from app.scene.build import Scene, build_scene
from app.takeoff.cutting_2d import CutRect
from app.takeoff.floor_layout import Laid, joint_edges, lay_floor, mat_of, rectangle_of
from app.takeoff.floor_lines import Cell, Grid
from app.takeoff.floor_list import compare, floors
from app.takeoff.floor_region import Frame, Start, start_of
from app.takeoff.floor_trade import knife_mm, longest_cut_mm
from app.takeoff.guillotine import NO_EDGE, Edge
from tests.builders import column, make_plan, make_room
from tests.takeoff.making import scene_of


def mat(**fields: Any) -> FloorLaying:
    given = {"id": "f", "joints": "straight", "start_wall": "back", "start_end": "left"}
    return FloorLaying.model_validate({**given, **fields})


def laid(width: float, depth: float, **fields: Any) -> Laid:
    scene: Scene = build_scene(make_plan(room=make_room(width, depth)))
    laying = mat(**fields)
    return lay_floor(scene, laying, start_of(scene, laying))


def test_a_last_row_of_halves() -> None:
    # 3000 x 2500: six whole mats, three of 1000 x 500 of which two come out of one
    floor = laid(3016, 2516)
    assert (floor.to_buy, floor.lower_bound, floor.proven, floor.gap) == (8, 8, True, 0)
    assert (floor.cut_mats, floor.narrow_mats) == (3, 0)
    assert floor.area_m2 == pytest.approx(7.5)
    assert floor.waste_m2 == pytest.approx(0.5)
    # both halves are turned so that the maker's edge lies at the joint, the knife's at the wall
    assert floor.knife_joints == 0
    assert laid(3016, 2516, turns=False).knife_joints == 1
    assert [m.number for m in floor.mats] == list(range(1, 10))
    assert [m.row for m in floor.mats] == [0, 0, 0, 1, 1, 1, 2, 2, 2]
    halves = [sheet for sheet in floor.sheets if sheet.knife]
    assert sorted(len(sheet.cuts) for sheet in halves) == [1, 2]
    # stock pieces are numbered as they are opened, whole ones among them
    assert [sheet.number for sheet in floor.sheets] == list(range(1, 9))
    for sheet in floor.sheets:
        assert {m.number for m in floor.mats if m.sheet == sheet.number} == {
            cut.number for cut in sheet.cuts
        }


def test_factory_edges_at_every_joint() -> None:
    # turned round, both halves show the maker's edge; a tile that locks is not turned
    edged = laid(3016, 2516, factory_edges=True)
    assert (edged.to_buy, edged.knife_joints) == (8, 0)
    tiles = laid(3016, 2516, kind="tile")
    assert (tiles.to_buy, tiles.knife_joints, tiles.proven) == (9, 0, True)
    still = laid(3016, 2516, factory_edges=True, turns=False)
    assert still.to_buy == 9


def test_narrow_strips_are_counted() -> None:
    # 2140 deep: joints moved by 10 so that 990, 1000 and 150 are left; begun whole 140 are narrow
    moved = laid(3016, 2156)
    assert sorted({round(m.size_mm[1]) for m in moved.mats}) == [150, 990, 1000]
    assert moved.narrow_mats == 0
    scene = build_scene(make_plan(room=make_room(3016, 2156)))
    begun = lay_floor(scene, mat(), Start("back", False, True, "straight", 8, (8, 8, 8)))
    assert sorted({round(m.size_mm[1]) for m in begun.mats}) == [140, 1000]
    assert begun.narrow_mats == 3


def test_a_notch_is_cut_with_the_knife_too() -> None:
    # a pier of 200 x 108 at the back wall and 8 round it: 216 wide, 108 into the second mat
    pier = column(((1500, 0), (1700, 0), (1700, 108), (1500, 108)))
    scene = build_scene(make_plan(room=make_room(2016, 1016, columns=[pier])))
    floor = lay_floor(scene, mat(), Start("back", False, True, "straight", 8, (8,)))
    assert [m.notched for m in floor.mats] == [False, True]
    assert knife_mm(floor) == pytest.approx(108 + 216 + 108)
    # a room that is less wide: the second is cut along its side besides
    narrow = build_scene(make_plan(room=make_room(1866, 1016, columns=[pier])))
    cut = lay_floor(narrow, mat(), Start("back", False, True, "straight", 8, (8,)))
    assert knife_mm(cut) == pytest.approx(108 + 216 + 108 + 1000)


def test_each_piece_lies_on_the_floor_and_on_its_sheet() -> None:
    floor = laid(3016, 2516)
    last = floor.mats[-1]
    assert last.polygon.bounds == pytest.approx((2008, 2008, 3008, 2508))
    assert sorted(last.size_mm) == pytest.approx([500, 1000])
    first = floor.mats[0]
    assert first.polygon.bounds == pytest.approx((8, 8, 1008, 1008))
    assert first.outline.bounds == pytest.approx((0, 0, 1000, 1000))
    for one in floor.mats:
        x0, y0, x1, y1 = one.outline.bounds
        assert (x1 - x0) * (y1 - y0) == pytest.approx(one.polygon.area)
        assert min(x0, y0) >= 0
        assert max(x1, y1) <= 1000


def test_products_beside_each_other() -> None:
    # 3000 x 2000: 6 mats for 20.00 each, which last 8 years; 24 of 500 x 500 for 6.00
    scene = build_scene(make_plan(room=make_room(3016, 2016)))
    large = mat(price_minor=2000, lasts_years=8)
    small = mat(id="g", length_mm=500, width_mm=500, price_minor=600, mass_kg=4)
    free = mat(id="h", lasts_years=8)
    one, other, third = compare(scene, [large, small, free])
    assert (one.to_buy, one.price_minor, one.proven) == (6, 12_000, True)
    assert one.per_m2_minor == pytest.approx(2000)
    assert one.per_m2_year_minor == pytest.approx(250)
    assert (other.to_buy, other.price_minor, other.per_m2_year_minor) == (24, 14_400, None)
    assert other.per_m2_minor == pytest.approx(2400)
    # 20 kg a mat; 4 kg for a quarter of a square metre
    assert [row.kg_per_m2 for row in (one, other)] == pytest.approx([20, 16])
    assert (third.price_minor, third.per_m2_minor, third.per_m2_year_minor) == (None, None, None)
    assert one.waste_m2 == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("length_mm", "width_mm", "name"),
    [
        # 1000 mm = 39.370 in = 3 ft 3 3/8 in to the sixteenth
        (1000, 1000, "mat 1000 mm (3' 3 3/8\") × 1000 mm (3' 3 3/8\")"),
        (1828.8, 1219.2, "mat 6' 0\" × 4' 0\""),
        (3048, 508, "mat 10' 0\" × 1' 8\""),
    ],
)
def test_in_feet_what_is_made_in_mm_keeps_them(
    length_mm: float, width_mm: float, name: str
) -> None:
    floor = [mat(length_mm=length_mm, width_mm=width_mm).model_dump()]
    plan = scene_of(room=make_room(3016, 2516), floors=floor).plan
    found = floors(build_scene(plan.model_copy(update={"units": "feet"}))).lines[0]
    assert found.bought[0].name == name


def line(**fields: Any) -> Any:
    scene = scene_of(room=make_room(3016, 2516), floors=[mat(**fields).model_dump()])
    return floors(scene)


def test_a_floor_as_a_line_of_the_list() -> None:
    found = line(price_minor=2000, pack=3).lines[0]
    # eight mats in packs of three: three packs for 60.00
    (pack,) = found.bought
    assert (pack.count, pack.size, pack.price_minor) == (3, 3, 6000)
    assert pack.name == "pack of 3, mat 1000 × 1000 mm"
    assert (found.item, found.where) == ("Rubber mat, 20 mm", "the whole floor")
    assert [(step.label, round(step.value, 3)) for step in found.working] == [
        ("floor inside the gap, round what stays", 7.5),
        ("mats laid whole", 6),
        ("mats to cut from", 2),
        ("fewest possible for this layout", 8),
        ("weight of one mat", 20),
    ]
    single = line(price_minor=2000).lines[0]
    assert (single.bought[0].name, single.bought[0].price_minor) == ("mat 1000 × 1000 mm", 2000)
    roll = line(kind="roll", length_mm=5000, width_mm=1000).lines[0]
    assert roll.bought[0].name == "roll of 5.00 m, 1000 mm wide"
    zone = line(zone=((0, 0), (1500, 0), (1500, 1500), (0, 1500))).lines[0]
    assert zone.where == "a zone"
    assert line(pack=0).problems[0].endswith("a pack of 0 holds nothing; say how many")
    assert line(length_mm=0).lines == []


@pytest.mark.parametrize(
    ("price", "minor", "named"),
    [
        (Price(id="floor.f", minor=900), 900, False),
        (Price(id="floor.f", minor=900, currency="EUR"), 900, False),
        (Price(id="floor.f", minor=900, currency="USD"), 2000, True),
        (Price(id="floor.g", minor=900), 2000, False),
    ],
)
def test_the_households_own_price(price: Price, minor: int, named: bool) -> None:
    money = Money(prices=(price,))
    laying = mat(price_minor=2000).model_dump()
    found = floors(scene_of(room=make_room(3016, 2516), money=money, floors=[laying]))
    assert found.lines[0].bought[0].price_minor == minor
    assert any("its price is in USD" in problem for problem in found.problems) is named


def cell_of(u0: float, v0: float, u1: float, v1: float) -> Cell:
    part = shapely.box(u0, v0, u1, v1)
    return Cell(part, 0, part.bounds, part.bounds)


@pytest.mark.parametrize(
    ("beyond", "edges"),
    [
        # floor that goes on by 3 mm, along so much of the edge at which it does; 2 x 2 are a sliver
        ((100, 0, 103, 50), Edge.RIGHT),
        ((-3, 0, 0, 50), Edge.LEFT),
        ((0, -3, 50, 0), Edge.TOP),
        ((0, 50, 50, 53), Edge.BOTTOM),
        ((100, 0, 103, 1.9), NO_EDGE),
        ((100, 0, 103, 2.1), Edge.RIGHT),
        ((0, 50, 1.9, 53), NO_EDGE),
        ((100, 0, 100.03, 50), NO_EDGE),
    ],
)
def test_at_which_edges_the_floor_goes_on(
    beyond: tuple[float, float, float, float], edges: Edge
) -> None:
    own = shapely.box(0, 0, 100, 50)
    region = own.union(shapely.box(*beyond))
    assert joint_edges([cell_of(0, 0, 100, 50)], region) == [edges]
    assert joint_edges([], region) == []


@pytest.mark.parametrize(
    ("x", "y", "wide", "high", "edges"),
    [
        # in a stock piece of 1000 x 800; half a millimetre at its far sides is as it came
        (0, 0, 400, 300, Edge.LEFT | Edge.TOP),
        (0.4, 0.4, 400, 300, NO_EDGE),
        (600, 500, 400, 300, Edge.RIGHT | Edge.BOTTOM),
        (600, 500, 399.6, 299.6, Edge.RIGHT | Edge.BOTTOM),
        (600, 500, 399.4, 299.4, NO_EDGE),
    ],
)
def test_which_edges_of_a_piece_are_as_the_maker_made_them(
    x: float, y: float, wide: float, high: float, edges: Edge
) -> None:
    def knife_joints(joints: Edge) -> int:
        rect, frame = CutRect(1, x, y, wide, high, 0), Frame((0.0, 0.0), (0.0, 1.0))
        cell, grid = cell_of(0, 0, wide, high), Grid(1000, 800, 0)
        return mat_of(cell, 1, 1, rect, grid, joints, frame).knife_joints

    every = (Edge.LEFT, Edge.TOP, Edge.RIGHT, Edge.BOTTOM)
    assert [knife_joints(edge) for edge in every] == [int(edge not in edges) for edge in every]
    assert knife_joints(NO_EDGE) == 0


@pytest.mark.parametrize(
    ("quarters", "knife"),
    # left, top, right and bottom of a piece that lies in the left top corner of its stock piece:
    # turned by a quarter clockwise what is at its left lies on top there
    [(0, [0, 0, 1, 1]), (1, [0, 1, 1, 0]), (2, [1, 1, 0, 0]), (3, [1, 0, 0, 1])],
)
def test_turned_in_its_stock_piece_it_has_other_edges(quarters: int, knife: list[int]) -> None:
    wide, high = (400, 300) if quarters % 2 == 0 else (300, 400)
    rect, frame = CutRect(1, 0, 0, wide, high, quarters), Frame((0.0, 0.0), (0.0, 1.0))
    cell, grid = cell_of(0, 0, 400, 300), Grid(1000, 800, 0)
    every = (Edge.LEFT, Edge.TOP, Edge.RIGHT, Edge.BOTTOM)
    made = [mat_of(cell, 1, 1, rect, grid, edge, frame).knife_joints for edge in every]
    assert made == knife


@pytest.mark.parametrize("quarters", [0, 1, 2, 3])
def test_a_piece_is_drawn_in_its_stock_piece_as_it_is_turned(quarters: int) -> None:
    corners = [(100, 200), (500, 200), (500, 300), (200, 300), (200, 500), (100, 500)]
    ell = Polygon(corners, [[(110, 210), (150, 210), (150, 230)]])
    wide, high = (400, 300) if quarters % 2 == 0 else (300, 400)
    rect = CutRect(1, 10, 20, wide, high, quarters)
    cell = Cell(ell, 0, ell.bounds, ell.bounds)
    frame = Frame((0.0, 0.0), (0.0, 1.0))
    drawn = mat_of(cell, 1, 1, rect, Grid(1000, 800, 0), NO_EDGE, frame).outline
    # by the geometry library: y runs down, so that a positive turn is clockwise as drawn
    turned = shapely.affinity.rotate(ell, 90 * quarters, origin=(0, 0))
    x0, y0, *_ = turned.bounds
    there = shapely.affinity.translate(turned, 10 - x0, 20 - y0)
    assert drawn.symmetric_difference(there).area == pytest.approx(0, abs=1e-3)
    assert drawn.bounds == pytest.approx((10, 20, 10 + wide, 20 + high))


@pytest.mark.parametrize("at", [(0, 0), (1000, 0), (0, 1000), (3000, 2000)])
@pytest.mark.parametrize(("wide", "notched"), [(0, False), (15, False), (21, True), (30, True)])
def test_a_band_a_millimetre_wide_along_two_sides_is_no_notch(
    at: tuple[float, float], wide: float, notched: bool
) -> None:
    # of a whole piece of 1000 x 1000 a corner of so much by 100 is missing; two sides are 2000
    u, v = at
    part = shapely.box(u, v, u + 1000, v + 1000).difference(shapely.box(u, v, u + wide, v + 100))
    assert isinstance(part, Polygon)
    cell = Cell(part, 0, part.bounds, part.bounds)
    rect, frame = CutRect(1, 0, 0, 1000, 1000, 0), Frame((0.0, 0.0), (0.0, 1.0))
    made = mat_of(cell, 1, 1, rect, Grid(1000, 1000, 0), NO_EDGE, frame)
    assert (made.notched, made.cut) == (notched, notched)


def test_what_is_marked_is_told_to_half_a_millimetre_and_no_larger_than_it_comes() -> None:
    grid = Grid(1000, 800, 0)
    for at in (0, 700):
        assert rectangle_of(cell_of(at, 0, at + 499.7, 300.2), grid) == (499.5, 300)
        assert rectangle_of(cell_of(0, at, 1000.4, at + 800.3), grid) == (1000, 800)


@pytest.mark.parametrize(
    ("less", "knife"),
    # less than half a millimetre is not cut; one along both sides is cut twice
    [((0, 0), 0), ((0.4, 0), 0), ((0, 0.4), 0), ((0.6, 0), 1000), ((0, 1), 1000), ((1, 1), 1998)],
)
def test_what_is_a_millimetre_smaller_is_cut(less: tuple[float, float], knife: float) -> None:
    scene = build_scene(make_plan(room=make_room(2016, 1016)))
    floor = lay_floor(scene, mat(), Start("back", False, True, "straight", 8, (8,)))
    first = floor.mats[0]
    outline = box(0, 0, 1000 - less[0], 1000 - less[1])
    rect = replace(first.rect, width_mm=1000 - less[0], height_mm=1000 - less[1])
    cut = replace(first, outline=outline, polygon=outline, rect=rect, cut=True)
    assert knife_mm(replace(floor, mats=(cut,))) == pytest.approx(knife, abs=0.7)
    longest = longest_cut_mm(replace(floor, mats=(cut,)))
    assert longest == pytest.approx(min(knife, 1000), abs=1.1)
