"""Templates in full size: what is printed is measured in the PDF, tile by tile."""

import io
import math
from collections.abc import Iterable, Iterator
from itertools import combinations

import pdfplumber
import pytest
import shapely

from app.drawing.paper import PAPERS
from app.drawing.primitives import Group, Item, Line, Polygon
from app.drawing.sheet import Sheet
from app.drawing.sheets.bolt_templates import bolt_templates
from app.drawing.sheets.templates import (
    ARM_MM,
    fixing_templates,
    has_templates,
    notch_templates,
    templates_sheet,
)
from app.drawing.sheets.wall_items import FlatWall
from app.model.flooring import FloorLaying
from app.scene.build import build_scene
from app.takeoff.floor import floor_layout
from app.takeoff.surfaces import faces
from tests.builders import column, make_plan, make_room, place
from tests.drawing.boxes import lettered, outside, overlaps

MM = 25.4 / 72
"""One point of a PDF (ISO 32000-1, 8.3.2.3: 1/72 inch)."""
BAR = place("pull-up-bar-wall", 2500, 400, piece_id="bar")

Ends = tuple[tuple[float, float], tuple[float, float]]


def lines_of(sheet: Sheet) -> list[list[Ends]]:
    """The lines of every page of the PDF in mm from its upper left corner."""
    pages = pdfplumber.open(io.BytesIO(sheet.pdf())).pages
    found: list[list[Ends]] = []
    for page in pages:
        found.append(
            [
                tuple((float(x) * MM, float(y) * MM) for x, y in line["pts"])  # type: ignore[misc]
                for line in page.lines
            ]
        )
    return found


def crosses(lines: list[Ends]) -> list[tuple[float, float]]:
    """The middles of crosses: level arms of just the length of two."""
    return sorted(
        ((a[0] + b[0]) / 2, a[1])
        for a, b in lines
        if abs(a[1] - b[1]) < 0.01 and abs(math.dist(a, b) - 2 * ARM_MM) < 0.05
    )


@pytest.mark.parametrize("paper", ["A4", "A3", "Letter"])
def test_holes_of_wall_kit_are_as_far_apart_on_paper_as_on_the_wall(paper: str) -> None:
    scene = build_scene(make_plan(BAR))
    wall = next(f for f in (FlatWall(face, scene) for face in faces(scene)) if any(
        thing.fixings for thing in f.items
    ))  # fmt: skip
    wanted = sorted(next(thing.fixings for thing in wall.items if thing.fixings))
    sheet = templates_sheet(scene, (), paper=paper)
    found: list[tuple[float, float]] = []
    areas = []
    for page, lines in zip(sheet.pages, lines_of(sheet), strict=True):
        groups = [item for item in page.ground if isinstance(item, Group) and item.move]
        (x, y) = next(item.move for item in groups if item.ink == "figure") or (0, 0)
        found += [(at[0] - x, at[1] - y) for at in crosses(lines)]
        ring = next(g.children[0] for g in groups if isinstance(g.children[0], Polygon))
        areas.append(shapely.Polygon(ring.points))
        assert min(abs(math.dist(a, b) - 100) for a, b in lines) < 0.01
        words = lettered(page)
        assert outside(page, words) == []
        assert overlaps(words) == []
    # the tiles cover each template once, with no place twice
    wholes = [shapely.box(*template.bounds) for template in fixing_templates(scene)]
    assert sum(area.area for area in areas) == pytest.approx(sum(one.area for one in wholes))
    assert shapely.union_all(areas).symmetric_difference(shapely.union_all(wholes)).area < 1
    # every hole is a cross in its place, but for one that a match line divides
    there = [(s, -z) for s, z in wanted]
    assert len(there) == 4
    for point in there:
        if any(area.covers(shapely.Point(point).buffer(ARM_MM)) for area in areas):
            assert min(math.dist(point, other) for other in found) < 0.1
    assert len(found) >= 2


def test_a_notch_is_drawn_as_large_as_what_stands_in_it() -> None:
    # a column of 240 x 180 at the left wall, not on a joint of tiles of 500
    ring = [(0, 1110), (240, 1110), (240, 1290), (0, 1290)]
    scene = build_scene(make_plan(room=make_room(3000, 3000, columns=[column(ring)])))
    laying = FloorLaying(id="floor-1", joints="straight", length_mm=1000, width_mm=1000)
    layout = floor_layout(scene, laying)
    every = list(notch_templates(layout, "the back wall"))
    assert len(every) == sum(mat.notched for mat in layout.mats) > 0
    # what is left out of the mats, with its gap, is the column: not less, and hardly more
    hole = scene.room.columns[0][1]
    gone = sum(
        shapely.box(
            m.rect.x_mm, m.rect.y_mm, m.rect.x_mm + m.rect.width_mm, m.rect.y_mm + m.rect.height_mm
        ).area - m.outline.area
        for m in layout.mats if m.notched
    )  # fmt: skip
    assert gone >= hole.area - 1
    # the column of 240 goes into pieces of two rows: its sides are drawn in full size
    sheet = templates_sheet(scene, [layout])
    assert "1:1 on A4" in {words.words for page in sheet.pages for words in lettered(page)}
    printed: dict[str, float] = {}
    for page, lines in zip(sheet.pages, lines_of(sheet), strict=True):
        name = (
            next(w.words for w in lettered(page) if w.ink == "head").split(", A")[0].split(", B")[0]
        )
        ends = set()
        for group in page.ground:
            if isinstance(group, Group) and group.ink == "figure" and group.move:
                x, y = group.move
                for one in group.children:
                    if isinstance(one, Line):
                        both = (one.start, one.end)
                        ends.add(tuple(sorted((round(a + x, 1), round(b + y, 1)) for a, b in both)))
        drawn = {tuple(sorted((round(x, 1), round(y, 1)) for x, y in line)) for line in lines}
        assert ends <= drawn
        printed[name] = printed.get(name, 0.0) + sum(math.dist(a, b) for a, b in ends)
    # what is printed of each piece is as long as the edges of its notch and what is round it
    for template in every:
        assert printed[template.name] == pytest.approx(template.lines[0].length, abs=1)


def test_what_wants_no_template_says_so_and_is_not_listed() -> None:
    plan = make_plan(place("plate-tree", 2000, 2000))
    assert not has_templates(plan)
    assert has_templates(make_plan(BAR))
    for paper in PAPERS:
        sheet = templates_sheet(build_scene(plan), (), paper=paper)
        assert any("wants a template" in words.words for words in lettered(sheet.pages[0]))


def test_what_is_cut_out_of_a_piece_is_hatched_as_its_words_say() -> None:
    ring = [(0, 1110), (240, 1110), (240, 1290), (0, 1290)]
    scene = build_scene(make_plan(room=make_room(3000, 3000, columns=[column(ring)])))
    layout = floor_layout(scene, FloorLaying(id="floor-1"))
    assert list(notch_templates(layout, "the back wall"))
    for template in notch_templates(layout, "the back wall"):
        assert template.gone is not None
        assert template.gone.area > 0
        # the edges of what goes are among the edges that are drawn
        shared = template.gone.boundary.intersection(template.lines[0].buffer(0.01))
        assert shared.length > 0
    sheet = templates_sheet(scene, [layout])
    inks = [item.ink for page in sheet.pages for item in _every(page.items)]
    assert "lay-hatch" in inks


@pytest.mark.parametrize("angle", [0, 90, 37])
def test_each_foot_of_a_bolted_rack_has_a_cross_where_its_plate_is_free(angle: float) -> None:
    rack = place("mid-rack", 2000, 1500, angle, piece_id="rack")
    scene = build_scene(make_plan(rack))
    (one,) = bolt_templates(scene)
    # a plate of 75 x 120 under a post of 75 square leaves 45 at one end: the bolt is in the middle
    # of that, 60 - 22.5 off the middle of the plate (the rack of the library, by hand)
    (at,) = one.drilled
    assert sorted(map(abs, at)) == pytest.approx([0, 37.5], abs=0.01)
    assert one.lines[0].length == pytest.approx(2 * (75 + 120))
    # four plates alike, turned by half: 4 places, 1220 - 75 apart across and 1250 - 195 along
    spots = crosses_said(one.says)
    assert len(spots) == 4
    ways = sorted(math.dist(a, b) for a, b in combinations(spots, 2))
    across, along = 1220 - 75, 1250 - 2 * (120 - 22.5)
    assert ways == pytest.approx(
        sorted([across, across, along, along, *[math.hypot(across, along)] * 2]), abs=2
    )
    middle = [sum(xs) / 4 for xs in zip(*spots, strict=True)]
    assert middle == pytest.approx([2000, 1500], abs=1)


def test_a_bar_under_the_ceiling_has_two_holes_in_each_plate_as_seen_from_below() -> None:
    bar = place("pull-up-bar-ceiling", 2000, 1500, piece_id="bar")
    (one,) = bolt_templates(build_scene(make_plan(bar)))
    # plates of 90 x 300, two bolts each
    assert one.lines[0].length == pytest.approx(2 * (90 + 300))
    (ax, ay), (bx, by) = one.drilled
    assert ax == bx
    assert abs(ay - by) == pytest.approx(300 * (1 - 2 * 0.13))
    assert len(crosses_said(one.says)) == 4
    assert "As seen from below" in one.says
    assert "engineer" in one.says


def test_what_hangs_from_one_hook_and_what_stays_wants_no_template() -> None:
    for one in (place("hung-bag", 2000, 1500), place("mid-rack", 2000, 1500, stays=True)):
        assert list(bolt_templates(build_scene(make_plan(one)))) == []


def test_a_floor_bolt_is_drawn_in_full_size_inside_its_foot() -> None:
    sheet = templates_sheet(build_scene(make_plan(place("mid-rack", 2000, 1500))), ())
    (lines,) = lines_of(sheet)
    (cross,) = crosses(lines)
    plate = [ends for ends in lines if abs(math.dist(*ends) - 120) < 0.05]
    assert len(plate) == 2
    xs = [x for ends in plate for x, _ in ends]
    assert max(xs) - min(xs) == pytest.approx(75, abs=0.05)
    assert cross[0] == pytest.approx((max(xs) + min(xs)) / 2, abs=0.05)
    said = " ".join(word.words for word in lettered(sheet.pages[0]))
    assert "post-tensioned" in said
    assert "maker's own holes decide" in said
    assert not overlaps(lettered(sheet.pages[0]))


def crosses_said(says: str) -> list[tuple[float, float]]:
    """The places of the crosses that the words tell."""
    told = says.split("out from it: ")[1].split(".")[0]
    return [(float(a), float(b)) for a, b in (one.split(" and ") for one in told.split("; "))]


def _every(items: Iterable[Item]) -> Iterator[Item]:
    for item in items:
        yield item
        if isinstance(item, Group):
            yield from _every(item.children)
