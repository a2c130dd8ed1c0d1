"""Heights on the picture of a walk stand clear of walls, diagonals, corners and one another."""

import re

import pytest
import shapely
from shapely import LineString

from app.drawing.lettering import width_of
from app.drawing.walk_figure import WalkDrawing, walk_figure

# an L in mm, its heights taped in four corners and in the middle of a diagonal
CORNERS = ((0.0, 0.0), (5420.0, 0.0), (5464, 3560), (3124, 3562), (3083, 6062), (13, 6020))
DIAGONALS = ((0, 2), (0, 4), (0, 3), (1, 5))
HEIGHTS = tuple(
    (at, high)
    for at, high in ((CORNERS[0], 2700), (CORNERS[1], 2700), (CORNERS[4], 2250), (CORNERS[5], 2250),
                     ((1541.0, 3031.0), 2480))
)  # fmt: skip


@pytest.mark.parametrize("right_hand", [False, True])
def test_heights_are_struck_through_by_nothing(right_hand: bool) -> None:
    corners = tuple((-x, y) for x, y in CORNERS) if right_hand else CORNERS
    heights = tuple(((-x, y) if right_hand else (x, y), high) for (x, y), high in HEIGHTS)
    lengths = (5420.0, 3560.0, 2340.0, 2500.0, 3070.0, 6020.0)
    svg = walk_figure(
        WalkDrawing(corners, True, lengths, right_hand, DIAGONALS, heights=heights), "metric"
    )
    em = float(re.findall(r'font-size="([0-9]+)"', svg)[0])
    told = re.findall(r"<text[^>]*walk-height[^>]*>[^<]*</text>", svg)
    assert len(told) == 5
    boxes = []
    for each in told:
        x, y = (float(re.findall(rf'\b{axis}="(-?[0-9.]+)"', each)[0]) for axis in "xy")
        wide = width_of("h 2700", em * 0.86)
        boxes.append(shapely.box(x - wide / 2, y - em * 0.6, x + wide / 2, y))
    lines = [LineString((*corners, corners[0]))]
    lines += [LineString([corners[a], corners[b]]) for a, b in DIAGONALS]
    for i, box in enumerate(boxes):
        assert not any(box.intersects(line) for line in lines)
        assert not any(box.intersects(shapely.Point(at).buffer(em * 0.6)) for at in corners)
        assert not any(box.intersects(other) for other in boxes[:i])
        # it still belongs to its place
        assert box.distance(shapely.Point(heights[i][0])) < 2.5 * em
    left, top, wide, high = (
        float(each) for each in re.findall(r'viewBox="([^"]*)"', svg)[0].split()
    )
    view = shapely.box(left, top, left + wide, top + high)
    assert all(view.contains(box) for box in boxes)
