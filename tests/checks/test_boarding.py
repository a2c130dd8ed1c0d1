"""What fits under the bare ceiling alone, by hand: boards of 13 under joists."""

import pytest

from app.checks.boarding import fits_today
from app.model.room import Room
from app.scene.build import Scene, build_scene
from tests.builders import make_plan, make_room


def scene(finish_mm: float) -> Scene:
    data = make_room().model_dump()
    data["ceiling"]["finish_mm"] = finish_mm
    return build_scene(make_plan(room=Room.model_validate(data)))


@pytest.mark.parametrize(
    ("finish", "bare", "required", "fits"),
    [
        (13, 2300, 2290, True),
        (13, 2290, 2290, True),
        (13, 2280, 2290, False),
        # where no boards are to come it is as high tomorrow as today
        (0, 2300, 2290, False),
    ],
)
def test_only_boards_that_are_still_to_come_take_it(
    finish: float, bare: float, required: float, fits: bool
) -> None:
    room = scene(finish)
    assert fits_today(room, lambda: bare, required) is fits
    # an open door hangs where it hangs
    assert not fits_today(room.with_doors(True), lambda: bare, required)
