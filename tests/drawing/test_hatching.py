"""Hatching: its strokes are those of the lines that an area cuts off."""

import math

import numpy as np
import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.hatching import hatch

SPACING_MM = 70.0

places = st.tuples(st.integers(-2000, 2000), st.integers(-2000, 2000))
sizes = st.integers(300, 2000)


@given(places, sizes, sizes, st.integers(-90, 90), st.sampled_from((-45.0, 0.0, 30.0)))
def test_strokes_are_what_the_area_cuts_off_the_lines(
    at: tuple[int, int], wide: int, deep: int, turn: int, angle_deg: float
) -> None:
    x, y = at
    frame = shapely.box(x, y, x + wide, y + deep).difference(
        shapely.box(x + 100, y + 100, x + wide - 100, y + deep - 100)
    )
    # two parts, one with a hole in it, turned to any side
    area = shapely.affinity.rotate(
        shapely.union_all([frame, shapely.box(x + wide + 50, y, x + wide + 400, y + 300)]), turn
    )
    angle = math.radians(angle_deg)
    across = np.array([-math.sin(angle), math.cos(angle)])
    along = np.array([math.cos(angle), math.sin(angle)])
    least = most = 0.0
    for number in range(-200, 201):
        middle = across * number * SPACING_MM
        line = shapely.LineString([middle - along * 20_000, middle + along * 20_000])
        # a line along an edge may be drawn or not: it is the edge either way
        least += line.intersection(area.buffer(-1e-7)).length
        most += line.intersection(area.buffer(1e-7)).length
    strokes = hatch(area, SPACING_MM, angle_deg, "hatch-line").lines
    drawn = [shapely.LineString(line) for line in strokes]
    rounding = 1e-3 + 1e-6 * most
    assert least - rounding <= sum(line.length for line in drawn) <= most + rounding
    assert all(area.buffer(1e-6).covers(line) for line in drawn)


def test_a_line_that_only_meets_a_corner_leaves_no_stroke() -> None:
    # the line through the origin meets this square in its corner alone
    square = shapely.Polygon([(0, 0), (50, 50), (0, 100), (-50, 50)])
    lines = hatch(square, 1000.0, 0.0, "hatch-line").lines
    assert lines == ()
