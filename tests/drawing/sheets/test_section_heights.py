"""Figures of heights in sections: beside their line, off walls, and off what stands there."""

from itertools import pairwise

import pytest
import shapely

from app.units import Units
from tests.drawing.reading import Seen, parse, seen
from tests.drawing.sheets.judged import sample, sheet

SAMPLES = ("double-garage", "single-garage", "basement", "upstairs-room")


def drawn(key: str, paper: str, units: Units = "metric") -> list[Seen]:
    svgs = sheet(sample(key, units), "section", paper).inside
    return [one for svg in svgs for one in seen(parse(svg))]


def polygons(things: list[Seen], ink: str, inside: str = "") -> list[shapely.Polygon]:
    return [
        shapely.Polygon(one.points)
        for one in things
        if one.ink == ink and len(one.points) > 2 and (not inside or inside in one.inside)
    ]


def upright(box: shapely.Polygon) -> bool:
    x0, y0, x1, y1 = box.bounds
    return bool(y1 - y0 > x1 - x0)


@pytest.mark.parametrize("paper", ["A3", "A4"])
@pytest.mark.parametrize("key", SAMPLES)
def test_the_white_under_a_height_hides_nothing_of_what_is_cut(key: str, paper: str) -> None:
    things = drawn(key, paper)
    whites = [one for one in polygons(things, "figure-ground", "heights") if upright(one)]
    cut = shapely.union_all([one.buffer(0) for one in polygons(things, "cut-face")])
    assert whites
    assert cut.area > 0
    assert max(one.intersection(cut).area for one in whites) < 0.01


def test_a_height_that_is_true_at_a_wall_has_its_line_beside_it() -> None:
    # the roof of the single garage is lowest, 2050, at the face of the left wall
    things = drawn("single-garage", "A3")
    lines = [
        one.points
        for one in things
        if one.ink == "dim" and "heights" in one.inside and one.tag == "line"
    ]
    # 2050 at 1:25
    tall = [
        (a, b) for a, b in lines if abs(a[0] - b[0]) < 0.01 and abs(abs(a[1] - b[1]) - 82) < 0.1
    ]
    assert len(tall) == 2
    faces = [x for one in polygons(things, "cut-face") for x in (one.bounds[0], one.bounds[2])]
    assert min(abs(a[0] - x) for a, _ in tall for x in faces) > 2


def test_a_figure_stands_on_the_side_of_its_line_that_hides_least_of_the_kit() -> None:
    # after its line "1697 need of the plates" would wipe out 900 of the post of the rack
    things = drawn("single-garage", "A3")
    posts = [
        shapely.LineString(pair)
        for one in things
        if one.ink in ("seen", "thing") and len(one.points) > 2
        for pair in pairwise([*one.points, one.points[0]])
        if abs(pair[0][0] - pair[1][0]) < 0.01 and abs(pair[0][1] - pair[1][1]) > 60
    ]
    whites = [one for one in polygons(things, "figure-ground", "heights") if upright(one)]
    assert posts
    assert max(line.intersection(white).length for line in posts for white in whites) < 1
