"""Columns, steps and low things of a section against the numbers that a room was made from.

The cut runs along x, so what it meets and what is beyond follows from the numbers alone.
"""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.medium import Medium
from app.drawing.sheets.cutting_plane import Cut, pieces_behind
from app.drawing.sheets.section_figure import section_figure
from app.drawing.svg import fragment
from app.model.base import json_of
from app.model.room import Column, Floor, LowThing, Plane, Room
from app.scene.build import build_scene
from tests.builders import low_thing, make_plan, make_room, place, rectangle
from tests.drawing.reading import Seen, parse, seen

Box = tuple[float, float, float, float]
Groups = dict[str, list[tuple[str, Box]]]


def drawn(room: Room, y: float, *pieces: object, em: float = 80.0) -> tuple[list[Seen], Groups]:
    """A section along x at y, looking to the back: what is drawn, and its named groups."""
    scene = build_scene(make_plan(*pieces, room=room))  # type: ignore[arg-type]
    cut = Cut((0.0, y), (1.0, 0.0))
    numbers = {placed.piece.id: i for i, placed in enumerate(scene.order)}
    figure = section_figure(
        scene, cut, (), pieces_behind(scene, cut), numbers, Medium(em, "metric", True)
    )
    root = parse(fragment(figure.items, {}))
    groups: Groups = {}
    for element in root.iter():
        for name in ("column", "beyond-column", "beyond-low", "beyond-step", "beyond-wall"):
            if element.get(f"data-{name}") is not None:
                xy = np.array([p for one in seen(element) for p in one.points])
                (x0, y0), (x1, y1) = xy.min(axis=0), xy.max(axis=0)
                found = groups.setdefault(name, [])
                found.append((element.get(f"data-{name}", ""), (x0, -y1, x1, -y0)))
    return [*seen(root)], groups


def inked(one: Seen) -> str:
    """The ink of an element, which is its class on a page."""
    return one.element.get("class", "")


def lengths(things: list[Seen]) -> list[tuple[float, int, float]]:
    """The figures under the floor: where each stands, what it says, how far down."""
    return [
        (one.points[0][0], int(one.words), one.points[0][1])
        for one in things
        if one.tag == "text" and one.words.isdigit() and not one.element.get("transform")
        and one.points[0][1] > 150
    ]  # fmt: skip


COLUMNS = st.lists(
    st.tuples(
        st.integers(0, 4000), st.integers(0, 2600), st.integers(150, 900), st.integers(150, 900)
    ),
    max_size=3,
)


@given(COLUMNS, st.integers(400, 2600), st.integers(2000, 2600))
def test_a_section_says_the_lengths_that_columns_leave(
    columns: list[tuple[int, int, int, int]], y: int, high: int
) -> None:
    wide, deep = 5000, 3000
    boxes = {
        f"c{i}": (x0, y0, min(x0 + w, wide), min(y0 + d, deep))
        for i, (x0, y0, w, d) in enumerate(columns)
    }
    if any(abs(y - edge) < 2 for _, y0, _, y1 in boxes.values() for edge in (y0, y1)):
        return
    room = make_room(
        wide, deep, high,
        columns=[Column(id=key, outline=rectangle(*box)) for key, box in boxes.items()],
    )  # fmt: skip
    things, groups = drawn(room, y)
    through = {k: b for k, b in boxes.items() if b[1] < y < b[3]}
    found = dict(groups.get("column", []))
    assert set(found) == set(through)
    for key, (x0, z0, x1, z1) in found.items():
        assert (x0, x1) == pytest.approx((through[key][0], through[key][2]), abs=0.1)
        assert (z0, z1) == pytest.approx((0, high), abs=0.1)
    # looking to the back, beyond is what has some of it at a lesser y
    behind = {k: b for k, b in boxes.items() if b[1] < y - 1}
    seen_behind = dict(groups.get("beyond-column", []))
    assert set(seen_behind) == set(behind)
    for key, (x0, _, x1, z1) in seen_behind.items():
        assert (x0, x1) == pytest.approx((behind[key][0], behind[key][2]), abs=0.1)
        assert z1 == pytest.approx(high, abs=0.1)
    # every length that is printed lies in one column or in none, and they are the whole
    edges = sorted({0, wide, *(x for b in through.values() for x in (b[0], b[2]))})
    stops = [edge for i, edge in enumerate(edges) if i == 0 or edge - edges[i - 1] > 1]
    told = lengths(things)
    for a, b in pairwise(stops):
        at = [mm for x, mm, _ in told if abs(x - (a + b) / 2) < 1]
        assert b - a in at or [mm for mm in at if abs(mm - (b - a)) <= 1], (a, b, told)
    assert wide in [mm for _, mm, _ in told]
    if through:
        assert len(told) == len(stops) - 1 + 1


def test_a_chimney_breast_is_named_where_it_is_cut_and_where_it_is_beyond() -> None:
    breast = Column(id="b", outline=rectangle(0, 900, 350, 2200), label="Chimney breast")
    room = make_room(3600, 3100, 2350, columns=[breast])
    for y, name in ((1500, "column"), (2800, "beyond-column")):
        things, groups = drawn(room, y)
        assert [key for key, _ in groups[name]] == ["b"]
        assert [one.words for one in things if one.words == "Chimney breast"]


@given(st.integers(0, 3500), st.integers(100, 400), st.integers(1500, 2200), st.booleans())
def test_what_hangs_low_beyond_is_drawn_at_its_height(
    left: int, wide: int, bottom: int, to_ceiling: bool
) -> None:
    # along x from `left`, one metre behind the cut at 2000
    thing = LowThing(
        id="t", kind="beam" if to_ceiling else "pipe",
        outline=rectangle(left, 900, left + 1000, 900 + wide), bottom_mm=bottom,
    )  # fmt: skip
    _, groups = drawn(make_room(5000, 3000, 2400, low_things=[thing]), 2000)
    ((_, (x0, z0, x1, z1)),) = groups["beyond-low"]
    assert (x0, x1, z0) == pytest.approx((left, left + 1000, bottom), abs=0.1)
    assert z1 == pytest.approx(2400 if to_ceiling else min(2400, bottom + 90), abs=0.1)
    # before the cut it is not seen
    _, before = drawn(make_room(5000, 3000, 2400, low_things=[thing]), 600)
    assert "beyond-low" not in before


@given(st.integers(0, 200), st.integers(1200, 2200))
def test_the_wall_beyond_a_slope_ends_at_the_eaves(per_m: int, eaves: int) -> None:
    room = make_room(4000, 3000, planes=[Plane(id="p", height_mm=eaves, rise_y=per_m)])
    things, groups = drawn(room, 2000)
    ((_, (x0, z0, x1, z1)),) = groups["beyond-wall"]
    assert (x0, x1, z0, z1) == pytest.approx((0, 4000, 0, eaves), abs=0.1)
    # one level ceiling along the cut: one figure at both ends, that of the slope there
    heights = [
        int(one.words)
        for one in things
        if one.words.isdigit() and one.element.get("transform") and inked(one) == "dimt"
    ]
    assert len(heights) == 2
    assert len(set(heights)) == 1
    assert heights[0] == pytest.approx(eaves + per_m * 2, abs=0.51)


def test_a_step_of_the_floor_beyond_the_cut_is_seen() -> None:
    step = Plane(id="step", height_mm=180, outline=rectangle(1000, 0, 3000, 1200))
    plain = make_room(4000, 3000)
    floor = Floor(planes=(Plane(id="floor", height_mm=0), step))
    room = Room.model_validate({**json_of(plain), "floor": json_of(floor)})
    _, groups = drawn(room, 2000)
    ((_, (x0, _, x1, z1)),) = groups["beyond-step"]
    assert (x0, x1, z1) == pytest.approx((1000, 3000, 180), abs=0.1)


def test_a_column_hides_the_number_of_what_stands_behind_it() -> None:
    # the column spans x from 1500 to 3500 between the cut and the box
    hides = Column(id="c", outline=rectangle(1500, 1200, 3500, 1500))
    box = place("jump-box", 2500, 600)
    open_room, shut = make_room(5000, 3000), make_room(5000, 3000, columns=[hides])
    shown, _ = drawn(open_room, 2000, box)
    hidden, _ = drawn(shut, 2000, box)
    assert [one for one in shown if inked(one) == "numeral"]
    assert not [one for one in hidden if inked(one) == "numeral"]


def test_linings_are_no_part_of_the_length() -> None:
    # 4000 between bare walls, 60 of lining on either side
    things, _ = drawn(make_room(4000, 3000, lining=60), 1500)
    assert [mm for _, mm, _ in lengths(things)] == [3880]


def test_a_beam_that_comes_towards_the_eye_is_cut_and_not_doubled() -> None:
    beam = low_thing([(1900, 0), (2100, 0), (2100, 3000), (1900, 3000)], 2100)
    things, groups = drawn(make_room(4000, 3000, 2400, low_things=[beam]), 1500)
    ((_, (x0, z0, x1, _)),) = groups["beyond-low"]
    cut = [one for one in things if inked(one) == "cut"]
    boxes = {
        (round(min(x for x, _ in one.points)), round(max(x for x, _ in one.points))) for one in cut
    }
    assert (round(x0), round(x1)) in boxes
    assert z0 == pytest.approx(2100, abs=0.1)
