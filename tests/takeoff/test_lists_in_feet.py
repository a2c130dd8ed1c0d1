"""What a plan asks for does not hang on how people measure: a list in feet has the same lines."""

import pytest

from app.model.plan import Plan
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from app.usecases.files import samples
from tests.builders import make_room
from tests.checks.hanging import room_of
from tests.takeoff.making import scene_of
from tests.thinned import one_of

GLUED = {"id": "m", "wall": "back", "offset_mm": 300, "width_mm": 1200, "held": "adhesive"}


def keys(plan: Plan, units: str) -> set[str]:
    data = {**plan.model_dump(), "units": units, "currency": "USD"}
    return {line.key for line in take_off(build_scene(Plan.model_validate(data))).lines}


@pytest.mark.parametrize("name", one_of(4, [one.key for one in samples()][::-1]))
def test_a_sample_in_feet_has_the_lines_of_the_metric_one(name: str) -> None:
    (plan,) = (one.plan for one in samples() if one.key == name)
    assert keys(plan, "feet") == keys(plan, "metric")


def test_tubes_of_10_oz_come_out_of_a_gun_too() -> None:
    door = {"id": "d", "wall": "left", "kind": "hinged", "offset_mm": 400, "width_mm": 900,
            "height_mm": 2000}  # fmt: skip
    data = {**make_room(4000, 3000).model_dump(), "openings": [door]}
    ramped = scene_of(room=type(make_room()).model_validate(data), floors=[{"id": "f"}]).plan
    mirrored = scene_of(room=room_of("solid-brick"), mirrors=[GLUED]).plan
    for plan, pack in ((ramped, "small.ramp-glue"), (mirrored, "mirrors.adhesive")):
        assert {pack, "tools.cartridge-gun"} <= keys(plan, "feet") == keys(plan, "metric")
