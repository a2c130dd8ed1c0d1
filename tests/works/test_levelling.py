"""An uneven slab is levelled: how much, when, and when not. Figures worked by hand."""

from typing import Any

import pytest

from app.model.flooring import FloorLaying
from app.takeoff.quantities import take_off
from app.works.needs import needs
from app.works.task import Task
from tests.builders import make_room, place
from tests.takeoff.making import scene_of


def scene(uneven_mm: float, construction: str = "ground-slab", **fit_out: Any) -> Any:
    room = make_room(4000, 3000, 2500).model_dump()
    room["floor"] |= {"construction": construction, "uneven_mm": uneven_mm}
    for wall in room["walls"]:
        wall["construction"] = "solid-brick"
    laid = FloorLaying(id="a", length_mm=1000, width_mm=1000, thickness_mm=20)
    return scene_of(
        place("pull-up-bar-wall", 2000, 300), room=type(make_room()).model_validate(room),
        floors=[laid], paint=[{"id": "w", "surface": "walls"}], **fit_out,
    )  # fmt: skip


def tasks(made: Any) -> dict[str, Task]:
    return {task.id: task for task in needs(made, take_off(made)).tasks}


def test_twelve_square_metres_uneven_by_eight_take_six_bags() -> None:
    """Half of 8 and 3 over the high places are 7 mm; 12 m2 x 7 mm x 1.7 kg = 142.8 kg, 6 bags."""
    lines = {line.key: line for line in take_off(scene(8)).lines}
    compound = lines["small.levelling-25kg"]
    assert compound.net == pytest.approx(142.8)
    assert [(one.count, one.size) for one in compound.bought] == [(6, 25)]
    assert lines["small.levelling-primer-5l"].net == pytest.approx(1.8)


def test_it_is_poured_in_one_go_on_what_is_mended_and_before_dust_paint_and_mats() -> None:
    made = tasks(scene(8))
    level = made["level"]
    # 12 m2 at a quarter of an hour, half as much again for a first time
    assert level.hours == 12 * 0.25 * 1.5
    assert level.pieces == (1.0,)
    assert level.least == 2
    assert "floor-mend" in {after.id for after in level.after}
    trodden = {one.id: one for one in made["anchors"].after}
    assert not trodden["level"].dry
    assert trodden["level"].least_min >= 24 * 60
    coats = [task for key, task in made.items() if key.startswith(("stabilise", "wall-coat"))]
    assert any("level" in {after.id for after in task.after} for task in coats)
    assert {after.id: after.dry for after in made["mat-wait"].after}["level"]
    # more than a few millimetres: three days at 20 C, longer in the cold
    assert level.wait_min >= 72 * 60


@pytest.mark.parametrize(
    ("uneven_mm", "construction"), [(0, "ground-slab"), (5, "ground-slab"), (30, "timber")]
)
def test_a_floor_that_is_flat_enough_or_of_timber_is_not_levelled(
    uneven_mm: float, construction: str
) -> None:
    made = scene(uneven_mm, construction)
    assert "level" not in tasks(made)
    assert not [line for line in take_off(made).lines if "levelling" in line.key]


def test_nothing_is_poured_where_nothing_is_done_to_the_floor() -> None:
    room = make_room(4000, 3000, 2500).model_dump()
    room["floor"] |= {"construction": "ground-slab", "uneven_mm": 30}
    lines = take_off(scene_of(room=type(make_room()).model_validate(room))).lines
    assert not [line for line in lines if "levelling" in line.key]
