"""Several coverings by zone, counted by another road: points on the floor and what lies there."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from app.takeoff.floor import floor_layout
from app.takeoff.floor_list import floors
from tests.builders import column, make_room, place, rectangle
from tests.takeoff.making import scene_of

UNSHRUNK = (Phase.explicit, Phase.reuse, Phase.generate)
Flags = NDArray[np.bool_]
WIDE, DEEP, GAP = 4000, 3200, 8
STEP = 7
"""Points lie so many mm apart: no strip of a floor is as narrow."""


def within(shape: BaseGeometry, x: NDArray[np.float64], y: NDArray[np.float64]) -> Flags:
    """Even or odd crossings of a line to the right, without the geometry library's own answer."""
    odd = np.zeros(len(x), dtype=bool)
    for part in getattr(shape, "geoms", [shape]):
        for ring in (part.exterior, *part.interiors):
            for (x0, y0), (x1, y1) in pairwise(ring.coords):
                if y0 == y1:
                    continue
                crossed = (y >= min(y0, y1)) & (y < max(y0, y1))
                odd ^= crossed & (x < x0 + (y - y0) * (x1 - x0) / (y1 - y0))
    return odd


def between(value: NDArray[np.float64], low: float, high: float) -> Flags:
    return (value > low) & (value < high)


def zoned(split: int, at: tuple[int, int], flush: tuple[int, int]) -> None:
    """Two zones side by side, a column, a freezer that stays, a platform let into both."""
    cx, cy = at
    px, py = flush
    room = make_room(WIDE, DEEP, columns=[column(rectangle(cx, cy, cx + 240, cy + 240))])
    freezer = place("chest-freezer", 500, 350, width=900, depth=600, stays=True)
    platform = place("platform", px, py, width=1830, depth=1830, height=40)
    scene = scene_of(
        freezer, platform, room=room,
        floors=[
            {"id": "a", "zone": rectangle(0, 0, split, DEEP), "flush": ["platform"]},
            {"id": "b", "zone": rectangle(split, 0, WIDE, DEEP), "flush": ["platform"],
             "length_mm": 600, "width_mm": 400},
        ],
    )  # fmt: skip
    x, y = (
        grid.ravel() for grid in np.meshgrid(np.arange(0.5, WIDE, STEP), np.arange(0.5, DEEP, STEP))
    )
    free = between(x, GAP, WIDE - GAP) & between(y, GAP, DEEP - GAP)
    free &= ~(between(x, cx - GAP, cx + 240 + GAP) & between(y, cy - GAP, cy + 240 + GAP))
    free &= ~(between(x, 50 - GAP, 950 + GAP) & between(y, 50 - GAP, 650 + GAP))
    free &= ~(between(x, px - 915, px + 915) & between(y, py - 915, py + 915))
    lies = np.zeros(len(x), dtype=int)
    for laying in scene.plan.fit_out.floors:
        for mat in floor_layout(scene, laying, compare=False).mats:
            lies += within(mat.polygon, x, y)
    assert lies.max() == 1
    # what is left bare is in slits behind the freezer and beside column and platform alone
    bare = free & (lies == 0)
    assert not (lies.astype(bool) & ~free).any()
    slit = 50 + STEP
    for corner_x, corner_y in zip(x[bare], y[bare], strict=True):
        box = (abs(x - corner_x) <= slit / 2) & (abs(y - corner_y) <= slit)
        other = (abs(x - corner_x) <= slit) & (abs(y - corner_y) <= slit / 2)
        assert (~free[box]).any() or (~free[other]).any() or abs(corner_x - split) < slit


ROOMS = {
    "split": st.integers(900, 3100),
    "at": st.tuples(st.integers(700, 3300), st.integers(700, 2500)),
    "flush": st.tuples(st.integers(1000, 3000), st.integers(900, 2300)),
}


@pytest.mark.long
def test_every_spot_of_every_zone_lies_under_one_piece() -> None:
    zoned(2100, (2600, 700), (2200, 1900))


@pytest.mark.long
@given(**ROOMS)
@settings(max_examples=40, deadline=None, phases=UNSHRUNK)
def test_the_same_over_many_rooms(split: int, at: tuple[int, int], flush: tuple[int, int]) -> None:
    zoned(split, at, flush)


@pytest.mark.parametrize(
    ("zones", "both"),
    [
        # side by side, by 10 mm over one another, by a metre, and the whole floor with a part
        ((rectangle(0, 0, 2000, DEEP), rectangle(2000, 0, WIDE, DEEP)), ""),
        ((rectangle(0, 0, 2010, DEEP), rectangle(2000, 0, WIDE, DEEP)), ""),
        ((rectangle(0, 0, 3000, 1008), rectangle(2000, 0, WIDE, DEEP)), "1.00 m²"),
        (((), rectangle(1000, 1000, 3000, 2000)), "2.00 m²"),
    ],
)
def test_floors_over_one_another_are_said(zones: tuple[object, ...], both: str) -> None:
    kinds = ("rubber", "foam")
    laid = [
        {"id": name, "zone": zone, "material": kind}
        for name, zone, kind in zip("ab", zones, kinds, strict=True)
    ]
    said = [one for one in floors(scene_of(room=make_room(WIDE, DEEP), floors=laid)).says
            if "over one another" in one]  # fmt: skip
    if not both:
        assert said == []
        return
    (sentence,) = said
    assert sentence.startswith("Floor 1 (rubber mat) and floor 2 (foam mat) lie over one another")
    assert f"on {both}, which is counted twice" in sentence
