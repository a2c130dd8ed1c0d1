"""Nothing in the list of quantities is called by its id: people never see those."""

from typing import Any

import pytest

from app.model.room import Opening, Plane, Room
from app.takeoff.calling import downhill
from tests.builders import make_room
from tests.takeoff.making import counted, scene_of


def mirror(name: str, wall: str) -> dict[str, Any]:
    # 9 m of glass reach beyond every wall of 5 m
    return {"id": name, "wall": wall, "offset_mm": 100, "width_mm": 9000}


def before_colon(problems: tuple[str, ...]) -> list[str]:
    return [problem.split(":")[0] for problem in problems]


def test_mirrors_are_called_by_their_wall_and_numbered_where_there_are_several() -> None:
    bad = [mirror("m7", "back"), mirror("m8", "left"), mirror("m9", "back"), mirror("x", "gone")]
    found = counted(room=make_room(5000, 5000), mirrors=bad)
    assert before_colon(found.problems) == [
        "mirror 1 on the back wall",
        "the mirror on the left wall",
        "mirror 2 on the back wall",
        "the mirror",
    ]
    assert found.problems[3] == "the mirror: its wall is not in the room; choose another"


def test_walls_without_a_plain_name_have_the_letter_of_the_drawing() -> None:
    data = make_room(5000, 5000).model_dump()
    ids = {"back": "w-1f", "right": "w-2e", "front": "w-3d", "left": "w-4c"}
    data["walls"] = [{**wall, "id": ids[wall["id"]]} for wall in data["walls"]]
    second = data["walls"][1]["id"]
    found = counted(room=Room.model_validate(data), mirrors=[mirror("m", second)])
    assert before_colon(found.problems) == ["the mirror on wall B"]


def test_every_part_is_called_by_what_it_is() -> None:
    found = counted(
        room=make_room(5000, 5000),
        floors=[{"id": "q1", "pack": 0}, {"id": "q2", "pack": 0, "label": "Lifting end"}],
        paint=[{"id": "q3", "surface": "ceiling", "rate_m2_l": 0}],
        strips=[
            {"id": "q4", "wall": "left", "points": [(0, 0), (9, 0)]},
            {"id": "q5", "points": [(0, 0), (9, 0)]},
            {"id": "q6", "points": [(0, 0), (9, 0)], "label": "Over the desk"},
        ],
        projections=[{"id": "q7", "wall": "right", "middle_mm": 2000, "lumens": 0}],
    )
    assert sorted(before_colon(found.problems)) == [
        "Over the desk",
        "floor 1 (rubber mat)",
        "floor 2 (Lifting end)",
        "the light strip on the left wall",
        "the light strip under the ceiling",
        "the paint for the ceiling",
        "the projection on the right wall",
    ]
    told = " ".join((*found.problems, *found.says))
    assert not [name for name in ("q1", "q2", "q3", "q4", "q5", "q6", "q7") if name in told]


@pytest.mark.parametrize(
    ("rise_y", "side"), [(-10, "the garage door"), (10, "the back wall")]
)  # fmt: skip
def test_the_side_that_a_floor_falls_to_is_called_by_its_door(rise_y: float, side: str) -> None:
    door = Opening(
        id="g", wall="front", kind="tracks", offset_mm=500, width_mm=2400, height_mm=2000
    )
    plane = Plane(id="floor", height_mm=0, rise_y=rise_y)
    assert downhill(scene_of(room=make_room(openings=[door])), plane) == side
