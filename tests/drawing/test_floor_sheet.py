"""The floor sheet read back: pieces true to scale and numbered, every cut in the list."""

import dataclasses
import math
import re
from collections.abc import Iterable

import pytest
import shapely
from shapely import Polygon

from app.drawing.figure_room import wall_area
from app.drawing.floor_figure import (
    alike_sheets,
    cut_sheets_of,
    cut_words,
    floor_film,
    runs,
    whole_numbers,
)
from app.drawing.floor_sheet import floor_sheet
from app.drawing.ink import SMALL_MM
from app.drawing.lettering import width_of
from app.drawing.quantities_sheet import quantities_sheet
from app.drawing.wallward import side_towards
from app.model.flooring import FloorLaying
from app.scene.build import Scene, build_scene
from app.scene.naming import wall_called
from app.takeoff.floor import Layout, floor_layout
from app.takeoff.quantities import take_off
from tests.builders import column, make_plan, make_room, place, rectangle
from tests.drawing.reading import Seen, parse, seen
from tests.drawing.sheets.judged import sample

# 3.20 x 2.20 m inside a gap of 100 mm is 3.00 x 2.00 m: six whole mats of 1 m and no cut
WHOLE = FloorLaying(id="floor-1", joints="straight", gap_mm=100)
# inside the usual gap of 8 mm it is 3184 x 2184: the far row and the far end are cut
CUT = FloorLaying(id="floor-1", joints="straight")


def laid(laying: FloorLaying) -> tuple[Scene, Layout]:
    scene = build_scene(make_plan(room=make_room(3200, 2200)))
    return scene, floor_layout(scene, laying)


def read(laying: FloorLaying, paper: str = "A3") -> tuple[list[Seen], Layout]:
    scene, layout = laid(laying)
    sheet = floor_sheet(scene, layout, paper=paper, scale=20)
    assert sheet.note == ""
    return list(seen(parse(sheet.svg))), layout


def test_six_whole_mats_are_drawn_true_to_scale_and_numbered() -> None:
    things, layout = read(WHOLE)
    mats = [t for t in things if t.ink.startswith("lay lay-")]
    assert [t.ink for t in mats] == ["lay lay-whole"] * 6
    for mat in mats:
        # 1 m at 1:20 is 50 mm of paper
        assert shapely.box(0, 0, 50, 50).area == round(Polygon(mat.points).area, 3)
    numbers = [t.words for t in things if t.ink == "lay-number"]
    assert numbers == ["1", "2", "3", "4", "5", "6"]
    assert layout.to_buy == 6
    assert whole_numbers(layout) == "1 to 6"
    assert cut_sheets_of(layout) == ()


def test_every_cut_is_drawn_once_and_listed_with_its_size() -> None:
    things, layout = read(CUT)
    drawn = [t.words for t in things if t.ink == "stock-number"]
    # alike stock pieces are drawn once, each of their numbers is told in the list
    shown = [mat for group in alike_sheets(layout) for mat in group[0].cuts]
    assert len(drawn) == len(shown) <= sum(mat.cut for mat in layout.mats)
    listed = " ".join(t.words for t in things if t.ink == "small" and "cut-list" in t.inside)
    for group in alike_sheets(layout):
        for words in cut_words(group, layout.mats, "metric"):
            assert words in listed


def test_where_to_begin_is_marked_and_measured_from_two_corners() -> None:
    # a freezer in the corner, a column where no joint comes: one large mat is slit round it
    room = make_room(3016, 2016, columns=[column(rectangle(1000, 366, 1300, 666))])
    freezer = place("chest-freezer", 2500, 1600, width=950, depth=640, stays=True)
    scene = build_scene(make_plan(freezer, room=room))
    laying = FloorLaying(
        id="f", start_wall="back", start_end="left", joints="straight", along=True,
        length_mm=2000, width_mm=2000, first_mm=2000, first_row_mm=2000,
    )  # fmt: skip
    layout = floor_layout(scene, laying, compare=False)
    things = list(seen(parse(floor_sheet(scene, layout, paper="A3", scale=20).svg)))
    told = " ".join(t.words for t in things if "cut-list" in t.inside)
    # by hand: the first mat ends 8 + 2000 from the left corner, 3016 - 2008 from the right one
    assert (
        "Begin at S (C1 on the other sheets), from the back wall, left end. First joint along it: "
        "2008 mm from" in told
    )
    assert "its left corner, 1008 mm from its right one. Gap at the walls: 8 mm." in told
    assert [t.words for t in things if t.ink == "start-letter"] == ["S"]
    assert [t.words for t in things if t.ink == "stay-name"] == ["Chest freezer"]
    # drawn too, beside the lengths of the walls
    assert "2008" in [t.words for t in things if t.ink == "dimt"]
    # the mat's outline and the hole of the column, 316 square inside its gap, and the slit to it
    (mat,) = [mat for mat in layout.mats if mat.polygon.interiors]
    scale = sheet_scale(things, layout)
    notches = [Polygon(t.points) for t in things if t.ink == "stock-notch"]
    assert any(abs(n.area - (316 / scale) ** 2) < 0.01 * n.area for n in notches)
    slit = 366 - 8 - 8
    knives = [math.dist(*t.points) for t in things if t.ink == "knife" and "cut-list" in t.inside]
    assert any(abs(long - slit / scale) < 0.01 for long in knives)
    assert mat.sheet == 1


def test_cuts_of_one_size_out_of_one_stock_piece_are_told_once() -> None:
    _, layout = many_cuts()
    for group in alike_sheets(layout):
        words = cut_words(group, layout.mats, "metric")
        sizes = [each.partition(": ")[2] for each in words if ": " in each]
        assert len(sizes) == len(set(sizes))
        stock = {sheet.number for sheet in group}
        assert numbers_in(words) == {mat.number for mat in layout.mats if mat.sheet in stock}
    of = sample("single-garage")
    (laying,) = of.scene.plan.fit_out.floors
    strips = floor_layout(of.scene, laying)
    told = [w for g in alike_sheets(strips) for w in cut_words(g, strips.mats, "metric")]
    assert "1, 2: 1220 × 915" in told


def sheet_scale(things: list[Seen], layout: Layout) -> float:
    """The scale at which stock pieces are drawn."""
    stock = next(t for t in things if t.ink == "stock")
    x = [point[0] for point in stock.points]
    return layout.sheets[0].width_mm / (max(x) - min(x))


def test_pieces_cover_the_floor_once() -> None:
    things, layout = read(CUT)
    areas = [Polygon(t.points).area for t in things if t.ink.startswith("lay lay-")]
    # 3184 x 2184 mm at 1:20
    assert round(sum(areas)) == round(3184 * 2184 / 400)
    assert len(areas) == len(layout.mats)


def test_lettering_is_large_enough_and_inside_the_paper() -> None:
    scene, layout = laid(CUT)
    for paper in ("A4", "A3", "Letter"):
        sheet = floor_sheet(scene, layout, paper=paper)
        for thing in seen(parse(sheet.svg)):
            if thing.tag == "text":
                assert thing.size_mm >= SMALL_MM - 1e-4
            for x, y in thing.points:
                assert -0.01 <= x <= sheet.width_mm + 0.01
                assert -0.01 <= y <= sheet.height_mm + 0.01


def test_the_line_to_measure_is_100_mm() -> None:
    things, _ = read(WHOLE)
    (line,) = [t for t in things if t.element.get("data-measure") == "100"]
    assert line.points[1][0] - line.points[0][0] == 100


def test_where_drawings_would_be_too_small_the_cuts_are_told_in_words() -> None:
    scene = build_scene(make_plan(room=make_room(5320, 5180)))
    layout = floor_layout(scene, FloorLaying(id="floor-1"))
    sheet = floor_sheet(scene, layout, paper="A4")
    assert sheet.note == ""
    things = [t for svg in sheet.svgs for t in seen(parse(svg))]
    drawn = [t for t in things if t.ink == "stock"]
    words = [w for t in things if t.ink == "small" for w in t.words.split("; ")]
    assert numbers_in(words) >= {mat.number for mat in layout.mats if mat.cut}
    for thing in drawn:
        x = [point[0] for point in thing.points]
        # never smaller than 9 mm of paper
        assert max(x) - min(x) >= 9


def test_the_page_shows_the_ramps_of_the_sheet_and_names_clear_of_numbers() -> None:
    of = sample("double-garage")
    scene, (laying,) = of.scene, of.scene.plan.fit_out.floors
    layout = floor_layout(scene, laying)
    film = list(seen(parse(floor_film(scene, layout, "0 0 5320 5180"))))
    on_paper = [t for t in seen(parse(floor_sheet(scene, layout).svg)) if t.ink == "lay-ramp"]
    on_page = [t for t in film if t.element.get("class") == "lay-ramp"]
    assert len(on_page) == len(on_paper) > 0
    freezer = next(p for p in scene.order if p.kit.key == "chest-freezer").footprint
    em = 5320 / 44
    names = [t for t in film if t.element.get("class") == "stay-name"]
    assert "Chest freezer" in " ".join(t.words for t in names)
    lettered = [t for t in film if t.element.get("class") == "lay-number"]
    numbers = [shapely.Point(t.points[0]) for t in lettered]
    assert len(numbers) == len(layout.mats)
    for name in names:
        (at,) = name.points
        assert freezer.covers(shapely.Point(at))
        # no mat lies under it, and no number reaches to it
        assert min(number.distance(freezer) for number in numbers) > em / 4
    assert not any(mat.polygon.buffer(-1).intersects(freezer) for mat in layout.mats)


def test_runs_of_numbers() -> None:
    assert runs([1, 2, 3, 5, 8, 9]) == "1 to 3, 5, 8, 9"
    assert runs([]) == ""
    assert runs([7]) == "7"


def test_the_list_of_quantities_names_every_line() -> None:
    plan = make_plan(room=make_room(3200, 2200))
    found = take_off(build_scene(plan))
    things = [t for svg in quantities_sheet(plan, found).svgs for t in seen(parse(svg))]
    ticks = [t for t in things if t.ink == "key-ring"]
    assert len(ticks) == len(found.lines) > 5
    words = {t.words for t in things if t.tag == "text"}
    assert all(any(line.item[:12] in w for w in words) for line in found.lines)
    assert all(t.size_mm >= SMALL_MM - 1e-4 for t in things if t.tag == "text")


def many_cuts() -> tuple[Scene, Layout]:
    # no wall square to another: hardly a cut tile of 300 mm is like another one
    corners = ((0, 0), (4_300, 170), (4_100, 3_900), (110, 3_710))
    scene = build_scene(make_plan(room=make_room(corners=corners)))
    tiles = FloorLaying(
        id="floor-1", kind="tile", length_mm=300, width_mm=300, start_wall="back", first_mm=300,
        first_row_mm=300,
    )  # fmt: skip
    return scene, floor_layout(scene, tiles, compare=False)


def numbers_in(lines: Iterable[str]) -> set[int]:
    """The numbers of all pieces that the lines of a cut list are about."""
    found: set[int] = set()
    for line in lines:
        told = re.match(r"((?:\d+(?: to \d+)?(?:, )?)+): ", line)
        for run in told[1].split(", ") if told else ():
            first, _, last = run.partition(" to ")
            found |= set(range(int(first), int(last or first) + 1))
    return found


@pytest.mark.parametrize("paper", ["A4", "A3"])
@pytest.mark.long
def test_many_cuts_go_on_over_further_sheets_and_each_is_drawn_once(paper: str) -> None:
    scene, layout = many_cuts()
    sheet = floor_sheet(scene, layout, paper=paper)
    assert len(sheet.svgs) > 1
    assert sheet.note == ""
    drawn = [
        e.get("data-sheet") for svg in sheet.svgs for e in parse(svg).iter() if e.get("data-sheet")
    ]
    groups = alike_sheets(layout)
    cut = [runs([stock.number for stock in group]) for group in groups]
    assert len(cut) > 20
    assert drawn == cut
    every = sorted(stock.number for group in groups for stock in group)
    assert every == [stock.number for stock in cut_sheets_of(layout)]
    pages = [list(seen(parse(svg))) for svg in sheet.svgs]
    numbers = [t.words for things in pages for t in things if t.ink == "stock-number"]
    assert len(numbers) == sum(len(group[0].cuts) for group in groups)
    lines = [t.words for things in pages for t in things if "cut-list" in t.inside]
    told = " ".join(lines)
    for group in alike_sheets(layout):
        for words in cut_words(group, layout.mats, "metric"):
            assert words in told
    assert numbers_in(lines) == {mat.number for mat in layout.mats if mat.cut}
    for note in layout.notes:
        assert note in told
    for i, things in enumerate(pages):
        assert f"{i + 1} of {len(pages)}" in [t.words for t in things]
        for thing in things:
            # nothing outside margins of 10 mm but the paper itself
            if thing.ink in ("page", "centring", "zone", "hair"):
                continue
            for x, y in thing.points:
                assert 9.99 <= x <= sheet.width_mm - 9.99
                assert 9.99 <= y <= sheet.height_mm - 9.99
            if "cut-list" in thing.inside and thing.ink == "small":
                x = thing.points[0][0] + width_of(thing.words, thing.size_mm)
                assert x <= sheet.width_mm - 9.99
            if thing.ink == "stock":
                # 300 mm are drawn no smaller than 15 mm where sheets go on
                assert max(x for x, _ in thing.points) - min(x for x, _ in thing.points) >= 15


def test_words_and_notes_go_on_too() -> None:
    scene, layout = laid(CUT)
    notes = tuple(f"Note {n}: " + "mind the drain in the floor here, " * 9 + "." for n in range(60))
    notes += ("Long: " + "as the maker says " * 900 + "end.",)
    sheet = floor_sheet(scene, dataclasses.replace(layout, notes=notes), paper="A4")
    told = " ".join(
        t.words
        for svg in sheet.svgs
        for t in seen(parse(svg))
        if t.ink == "small" and "cut-list" in t.inside
    )
    for note in notes:
        assert " ".join(note.split()) in told


@pytest.mark.parametrize("paper", ["A3", "A4"])
@pytest.mark.parametrize("key", ["basement", "double-garage"])
def test_that_cut_pieces_are_drawn_elsewhere_stands_where_they_are_not(
    key: str, paper: str
) -> None:
    of = sample(key)
    layout = floor_layout(of.scene, of.scene.plan.fit_out.floors[0])
    sheet = floor_sheet(of.scene, layout, paper=paper)
    pages = [[*seen(parse(svg))] for svg in sheet.svgs]
    said = ["are drawn on another sheet" in " ".join(t.words for t in page) for page in pages]
    drawn = [any(t.ink == "stock" for t in page) for page in pages]
    # on the first sheet if the pieces are on none but others, and never where they are
    assert said == [not drawn[0], *(False for _ in pages[1:])]
    assert any(drawn)


def test_stock_too_large_to_draw_is_cut_in_words_and_none_is_lost() -> None:
    # a roll of 40 m and 300 mm: where it fits on A4 it is narrower than 9 mm
    scene = build_scene(make_plan(room=make_room(9_130, 7_270)))
    roll = FloorLaying(
        id="floor-1", kind="roll", length_mm=40_000, width_mm=300, start_wall="back", along=True,
        joints="straight",
    )  # fmt: skip
    layout = floor_layout(scene, roll)
    sheet = floor_sheet(scene, layout, paper="A4")
    things = [t for svg in sheet.svgs for t in seen(parse(svg))]
    assert not [t for t in things if t.ink == "stock"]
    assert not [t for t in things if "drawn on another" in t.words]
    told = " ".join(t.words for t in things if "cut-list" in t.inside)
    for group in alike_sheets(layout):
        for words in cut_words(group, layout.mats, "metric"):
            assert words in told


@pytest.mark.parametrize(("wide", "solid"), [(150, True), (250, True), (299, True), (450, False)])
def test_a_nib_is_drawn_solid_where_its_core_is_no_wider_than_a_wall(
    wide: float, solid: bool
) -> None:
    """Walls of 100: between the faces of a nib 250 wide are 50 mm, of one of 450 a hollow."""
    x = 1000 + wide
    nib = ((1000, 0), (1000, 400), (x, 400), (x, 0))
    room = make_room(corners=((0, 0), *nib, (3000, 0), (3000, 2000), (0, 2000)))
    walls = tuple(wall.model_copy(update={"thickness_mm": 100.0}) for wall in room.walls)
    scene = build_scene(make_plan(room=room.model_copy(update={"walls": walls})))
    area = wall_area(scene.room)
    core = shapely.box(1001, -99, x - 1, 299)
    assert (core.difference(area).area < 1) is solid
    # nothing is drawn over the floor
    assert area.intersection(scene.room.free).area < 1


@pytest.mark.parametrize("name", ["double-garage", "basement"])
def test_an_arrow_on_a_notched_piece_points_to_one_wall_on_the_plan_and_in_stock(name: str) -> None:
    of = sample(name)
    laying = of.scene.plan.fit_out.floors[0]
    layout = floor_layout(of.scene, laying, compare=False)
    notched = [mat for mat in layout.mats if mat.notched]
    assert notched
    # lengths off a roll are drawn on further sheets
    pages = floor_sheet(of.scene, layout, paper="A3").inside
    things = [thing for page in pages for thing in seen(parse(page))]
    told = " ".join(t.words for t in things if "cut-list" in t.inside)
    wall = next(w for w in of.scene.room.walls if w.id == layout.start.wall)
    assert f"points to {wall_called(of.scene, wall.id)}" in told
    arrows = [t for t in things if t.element.get("data-wallward")]
    on_plan = [t for t in arrows if "layer-mats" in t.inside]
    in_stock = [t for t in arrows if "cut-list" in t.inside]
    assert len(on_plan) == len(notched)
    assert len(in_stock) == sum(
        mat.notched
        for group in alike_sheets(layout)
        for mat in layout.mats
        if mat.sheet == group[0].number
    )
    for arrow in on_plan:
        assert pointing(arrow) == pytest.approx([-each for each in wall.inward], abs=1e-3)
    # the piece turned from its stock piece to the plan turns the arrow with it: by its own shape
    for mat in notched:
        side = {"top": (0, -1), "right": (1, 0), "bottom": (0, 1), "left": (-1, 0)}
        way = side[side_towards(mat)]
        corner = mat.outline.centroid
        ahead = shapely.LineString(
            [(corner.x, corner.y), (corner.x + 9000 * way[0], corner.y + 9000 * way[1])]
        )
        inward = wall.inward
        there = mat.polygon.centroid
        beyond = shapely.LineString(
            [(there.x, there.y), (there.x - 9000 * inward[0], there.y - 9000 * inward[1])]
        )
        assert ahead.intersection(mat.outline).length == pytest.approx(
            beyond.intersection(mat.polygon).length, abs=0.5
        )
        assert f"its {side_towards(mat)} edge towards {wall_called(of.scene, wall.id)}" in told


def pointing(arrow: Seen) -> list[float]:
    """Which way an arrow head points, as drawn: from the middle of its foot to its tip."""
    (tx, ty), (ax, ay), (bx, by) = arrow.points[:3]
    dx, dy = tx - (ax + bx) / 2, ty - (ay + by) / 2
    long = math.hypot(dx, dy)
    return [dx / long, dy / long]
