"""Every piece is measured over floor, also beyond a nib: no tape goes through a wall.

Rooms with nibs drawn by lot, two more by hand; a tape is a straight line, and what it crosses is
seen by the geometry library, with none of the own tests of the program.
"""

from __future__ import annotations

import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon

from app.model.room import Room
from app.scene.build import Scene
from app.takeoff.floor import floor_layout
from app.takeoff.floor_layout import Laid
from app.takeoff.lay_places import Beside, beside_of, beside_words
from app.takeoff.lay_steps import lay_frame, lay_step
from tests.builders import make_room
from tests.takeoff.making import scene_of

Corners = list[tuple[int, int]]
NEAR_MM = 5.0


def room_of(corners: Corners) -> Room:
    data = make_room(4000, 3000).model_dump()
    wall = data["walls"][0]
    data["walls"] = [
        {**wall, "id": f"w{i}", "x_mm": x, "y_mm": y} for i, (x, y) in enumerate(corners)
    ]
    return Room.model_validate(data)


def laid_in(corners: Corners) -> tuple[Scene, Laid]:
    scene = scene_of(room=room_of(corners), floors=[{"id": "f"}])
    return scene, floor_layout(scene, scene.plan.fit_out.floors[0], compare=False).laid


def measured(corners: Corners) -> tuple[int, int]:
    """See that each piece can be measured; return how many are, and how many off another one."""
    scene, laid = laid_in(corners)
    frame, left = lay_frame(scene, laid)
    floor = frame.into(Polygon(corners)).buffer(NEAR_MM, join_style="mitre")
    wall = next(one for one in scene.room.walls if one.id == laid.start.wall)
    ends = shapely.get_coordinates(frame.into(LineString([wall.start, wall.end])))
    parts = {mat.number: frame.into(mat.polygon).bounds for mat in laid.mats}
    off = 0
    for mat in laid.mats:
        u0, v0, u1, _ = parts[mat.number]
        step, beside = lay_step(scene, laid, mat), beside_of(scene, laid, mat)
        if beside is None:
            # along the wall from its left end, and off it at a place of the piece's own top
            assert abs(step.left_mm - (u0 - left)) < 1e-6
            assert step.left_mm >= -NEAR_MM
            straight = [
                LineString([(u0 + t * (u1 - u0), 0), (u0 + t * (u1 - u0), v0)])
                for t in (0.001, 0.25, 0.5, 0.75, 0.999)
                if ends[:, 0].min() - NEAR_MM <= u0 + t * (u1 - u0) <= ends[:, 0].max() + NEAR_MM
            ]
            assert any(floor.covers(line) for line in straight), (corners, mat.number)
            continue
        off += 1
        assert beside.number < mat.number
        a0, b0, _, _ = parts[beside.number]
        assert (a0 + beside.left_mm, b0 + beside.deep_mm) == (u0, v0)
        ways = [LineString([(a0, b0), corner, (u0, v0)]) for corner in ((a0, v0), (u0, b0))]
        assert any(floor.covers(way) for way in ways), (corners, mat.number)
    return len(laid.mats), off


TWO_NIBS = [(0, 0), (2000, 0), (2000, 900), (2200, 900), (2200, 0), (6000, 0), (6000, 4000),
            (4000, 4000), (4000, 2500), (3800, 2500), (3800, 4000), (0, 4000)]  # fmt: skip
ALCOVE = [(0, 0), (5000, 0), (5000, 1200), (6200, 1200), (6200, 2600), (5000, 2600),
          (5000, 4000), (0, 4000)]  # fmt: skip


def test_what_lies_behind_a_nib_is_measured_off_what_lies() -> None:
    count, off = measured(TWO_NIBS)
    assert 0 < off < count / 2
    # which pieces lie in the alcove hangs on where the joints run
    count, off = measured(ALCOVE)
    assert off < count / 2
    # a plain room is measured off its wall alone
    assert measured([(0, 0), (5000, 0), (5000, 4000), (0, 4000)])[1] == 0


@settings(max_examples=6, deadline=None)
@given(
    st.integers(800, 4000), st.integers(100, 500), st.integers(300, 2600),
    st.integers(0, 3),
)  # fmt: skip
def test_no_tape_goes_through_a_wall(at: int, wide: int, deep: int, turn: int) -> None:
    # nibs alone: of a piece cut round the corner of an alcove the left top may lie in the wall,
    # and then nothing is told off a neighbour yet
    far = 5000
    nib = [(at, 0), (at, deep), (at + wide, deep)]
    corners = [(0, 0), *nib, (at + wide, 0), (far, 0), (far, 4000), (0, 4000)]
    for _ in range(turn):
        corners = [(-y, x) for x, y in corners]
    measured(corners)


def test_the_place_off_another_piece_in_words() -> None:
    assert beside_words(Beside(14, 333.4, -1000), "metric") == (
        "Off piece 14, for a wall stands between it and the start wall: its left edge 333 mm to "
        "the right of the left edge of that one, its top 1000 mm above its top."
    )
    assert "12 mm to the left" in beside_words(Beside(2, -12, 0), "metric")
    assert "its top 0 mm below its top" in beside_words(Beside(2, -12, 0), "metric")
