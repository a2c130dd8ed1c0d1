"""Lettering goes where it hides least; what it would hide is what the geometry library says."""

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry

from app.drawing.placing import Crowd, Spot, around

WIDE, HIGH = 12.0, 5.0
coordinate = st.integers(0, 100).map(float)
point = st.tuples(coordinate, coordinate)
line = st.lists(point, min_size=2, max_size=5, unique=True).map(shapely.LineString)
spots = st.lists(
    st.builds(Spot, point, st.integers(0, 40).map(lambda n: n / 8)), min_size=1, max_size=150
)


def cost(
    spot: Spot, strokes: list[shapely.LineString], taken: list[BaseGeometry], floor: BaseGeometry
) -> float:
    """What a spot costs, one call of the geometry library after another."""
    box = around(spot.at, WIDE, HIGH)
    hidden = sum(box.intersection(stroke).length for stroke in strokes) / HIGH
    shares = [box.intersection(other).area / (WIDE * HIGH) for other in taken]
    # what meets a figure at all, be it a little, costs three besides; touching is no meeting
    met = 3 * sum(share > 0.005 for share in shares)
    return (
        spot.cost
        + hidden
        + met
        + 20 * sum(shares)
        + 12 * (1 - box.intersection(floor).area / box.area)
    )


@given(st.lists(line, max_size=8), st.lists(point, max_size=4), spots)
def test_no_spot_would_have_been_cheaper(
    strokes: list[shapely.LineString], boxes: list[tuple[float, float]], offered: list[Spot]
) -> None:
    floor = shapely.box(10, 10, 90, 90)
    taken: list[BaseGeometry] = [around(at, 20, 8) for at in boxes]
    crowd = Crowd(strokes, floor)
    for box in taken:
        crowd.take(box)
    at = crowd.place(WIDE, HIGH, offered)
    costs = {spot: cost(spot, strokes, taken, floor) for spot in offered}
    chosen = min(costs[spot] for spot in offered if spot.at == at)
    assert chosen == pytest.approx(min(costs.values()), abs=1e-9)


def test_what_is_placed_is_taken() -> None:
    crowd = Crowd([])
    here, there = Spot((0.0, 0.0)), Spot((0.0, 3.0), 0.5)
    assert crowd.place(WIDE, HIGH, [here, there]) == here.at
    # 20 x (5 - 3) / 5 = 8 for what it shares with the first, so the place itself costs 20
    assert crowd.place(WIDE, HIGH, [here, there]) == there.at


def test_without_a_spot_there_is_no_place() -> None:
    with pytest.raises(ValueError, match="no spot"):
        Crowd([]).place(WIDE, HIGH, [])
