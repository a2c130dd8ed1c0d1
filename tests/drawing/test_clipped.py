"""What of a region lies in an area: filled even-odd it is there what it was, and nothing beyond."""

from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon, box

from app.drawing.clipped import clipped
from app.drawing.primitives import Polygon as Ring
from app.drawing.primitives import Region

AREA = box(0, 0, 100, 80)
# corners on whole numbers, so that no point at halves lies on an edge
RINGS = st.lists(
    st.tuples(st.integers(-60, 150), st.integers(-60, 120), st.integers(1, 90), st.integers(1, 90)),
    min_size=1,
    max_size=6,
)


def inked(items: list[Ring | Region], x: float, y: float) -> bool:
    """By the even-odd rule of ISO 32000-1, 8.5.3.3.3: an odd number of rings is round a point."""
    rings = [
        ring for one in items for ring in (one.rings if isinstance(one, Region) else (one.points,))
    ]
    return sum(Polygon(ring).contains(Point(x, y)) for ring in rings) % 2 == 1


@given(RINGS, st.lists(st.tuples(st.integers(-70, 170), st.integers(-70, 150)), min_size=9))
def test_a_region_is_cut_at_the_edge_and_nowhere_else(
    boxes: list[tuple[int, int, int, int]], places: list[tuple[int, int]]
) -> None:
    rings = tuple(((x, y), (x + w, y), (x + w, y + h), (x, y + h)) for x, y, w, h in boxes)
    region = Region(tuple(tuple((float(a), float(b)) for a, b in ring) for ring in rings), "space")
    left = [one for one in clipped([region], AREA, 1.0) if isinstance(one, Ring | Region)]
    for i, j in places:
        x, y = i + 0.5, j + 0.5
        inside = AREA.contains(Point(x, y))
        assert inked(left, x, y) == (inside and inked([region], x, y))
