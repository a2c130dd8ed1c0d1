"""What walls and openings are called where nobody has given them a name."""

import pytest

from app.model.room import Opening
from app.scene.build import Scene, build_scene
from app.scene.naming import opening_name, wall_called
from tests.builders import make_plan, make_room


def scene_of(*openings: tuple[str, str, str]) -> Scene:
    given = [
        Opening.model_validate(
            {
                "id": f"o{i}", "wall": wall, "kind": kind, "label": label, "offset_mm": 500,
                "width_mm": 900, "height_mm": 900, "sill_mm": 900 if kind == "window" else 0,
            }
        )
        for i, (kind, wall, label) in enumerate(openings)
    ]  # fmt: skip
    return build_scene(make_plan(room=make_room(openings=given)))


def names(*openings: tuple[str, str, str]) -> list[str]:
    scene = scene_of(*openings)
    return [opening_name(scene, shape) for shape in scene.room.openings]


def test_one_of_its_kind_needs_no_wall_and_a_label_wins() -> None:
    assert names(("window", "back", ""), ("hinged", "left", ""), ("gap", "right", "")) == [
        "window", "door", "gap",
    ]  # fmt: skip
    assert names(("window", "back", "Hatch"), ("sectional", "front", "")) == [
        "Hatch",
        "garage door",
    ]


def test_of_several_the_wall_is_said() -> None:
    assert names(("window", "back", ""), ("window", "left", ""), ("hinged", "front", "")) == [
        "window in the back wall", "window in the left wall", "door",
    ]  # fmt: skip
    # a pair of leaves and a hinged one are doors, a garage door is another thing
    assert names(("hinged", "back", ""), ("pair", "left", ""), ("tracks", "front", "")) == [
        "door in the back wall", "door in the left wall", "garage door",
    ]  # fmt: skip


def test_walls_are_called_by_their_side() -> None:
    scene = scene_of()
    assert [wall_called(scene, wall) for wall in ("back", "right", "front", "left")] == [
        "the back wall", "the right wall", "the front wall", "the left wall",
    ]  # fmt: skip
    with pytest.raises(ValueError, match="attic"):
        wall_called(scene, "attic")
