"""Where switch, fuse box and the supply of a light strip are drawn, and that the key has them."""

import math

import pytest

from app.drawing.sheets.power import power_sheet
from app.drawing.sheets.power_marks import BOARD, SUPPLY, SWITCH, power_points, switch_at
from app.model.room import Opening
from app.scene.build import Scene, build_scene
from app.takeoff.quantities import take_off
from tests.builders import make_plan, make_room, place
from tests.drawing.reading import parse, seen
from tests.drawing.sheets.judged import sample, sheet


def garage(offset_mm: float, hinge: str) -> Scene:
    door = Opening.model_validate(
        {"id": "d", "wall": "back", "kind": "hinged", "offset_mm": offset_mm, "width_mm": 838,
         "height_mm": 1981, "hinge": hinge}
    )  # fmt: skip
    box = place("consumer-unit", 3500, 2900, 180, piece_id="box")
    return build_scene(make_plan(box, room=make_room(4000, 3000, openings=[door])))


@pytest.mark.parametrize(
    ("offset", "hinge", "x"),
    [
        # the back wall runs from left to right as one faces it: the handle is away from the hinge
        (1000, "left", 1000 + 838 + 150),
        (1000, "right", 1000 - 150),
        # no wall is left beside the handle: the other side of the door
        (50, "right", 50 + 838 + 150),
        (3100, "left", 3100 - 150),
    ],
)
def test_the_switch_is_beside_the_handle_of_the_way_out(
    offset: float, hinge: str, x: float
) -> None:
    at = switch_at(garage(offset, hinge))
    assert at is not None
    assert at == pytest.approx((x, 0))


def test_a_room_without_a_door_has_no_switch() -> None:
    assert switch_at(build_scene(make_plan(room=make_room(4000, 3000, openings=[])))) is None


def test_fuse_box_and_switch_are_drawn_and_keyed() -> None:
    scene = garage(1000, "left")
    (svg, *_) = power_sheet(scene, take_off(scene)).inside
    drawn = [one.get("data-power", "") for one in parse(svg).iter() if one.get("data-power")]
    assert len(drawn) == 2
    assert set(drawn) == {"board", "switch"}
    words = " ".join(t.words for t in seen(parse(svg)))
    assert SWITCH in words
    assert BOARD in words
    assert SUPPLY not in words


def test_the_supply_of_a_strip_is_drawn_within_its_cable_of_its_first_feed() -> None:
    of = sample("double-garage")
    drawn = [
        one.get("data-power")
        for svg in sheet(of, "power").inside
        for one in parse(svg).iter()
        if one.get("data-power")
    ]
    assert drawn.count("supply") == 1
    (run,) = of.scene.plan.fit_out.strips
    wall = next(wall for wall in of.scene.room.walls if wall.id == run.wall)
    along = run.points[0][0]
    feed = (
        wall.wall.x_mm + wall.along[0] * along + wall.inward[0] * wall.wall.lining_mm,
        wall.wall.y_mm + wall.along[1] * along + wall.inward[1] * wall.wall.lining_mm,
    )
    (at,) = [at for kind, at in power_points(of.scene, 100.0) if kind == "supply"]
    assert 0 < math.dist(at, feed) <= run.cable_mm
