"""Shelving in the picture: boxes between boards, on the piece itself and under the ceiling."""

import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.picture_room import kit_faces
from app.drawing.picture_shelves import BOX_INK, shelf_faces
from app.drawing.picture_view import View
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place


@given(
    angle=st.integers(0, 359), corner=st.integers(0, 3), limit=st.none() | st.integers(500, 1700)
)
def test_boxes_stand_on_their_shelving_however_it_is_turned(
    angle: int, corner: int, limit: int | None
) -> None:
    piece = place("shelving", 2000, 2000, angle=angle)
    scene, view = build_scene(make_plan(piece, room=make_room(4000, 4000))), View(corner)
    (placed,) = scene.order
    number = placed.shape.parts.index("shelf")
    # where the ceiling is lower what is over it is red, and nothing else is drawn upon that
    over = None if limit is None else {number: float(limit)}
    seen = [face for face in kit_faces(scene, placed, view, (), over) if "over" not in face.ink]
    whole = shapely.union_all([face.flat for face in seen]).buffer(3)
    faces = list(shelf_faces(placed, view, over))
    assert any(face.ink == BOX_INK for face in faces)
    assert all(whole.covers(face.flat) for face in faces)
