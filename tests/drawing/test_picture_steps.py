"""A step of a picture is that of the plan with its pieces there, and brings only what is new."""

import numpy as np
import pytest
import shapely

from app.drawing.picture_steps import base_of
from app.model.base import json_of
from app.model.kit import Pose
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.drawing.reading import parse
from tests.drawing.test_picture import drawn_at, scene_of

MOVES = [
    ("double-garage", "standing-bag", (700.0, -350.0, 0.0)),
    ("double-garage", "mid-rack", (400.0, 300.0, 15.0)),
    ("basement", "bike", (-300.0, 250.0, 0.0)),
]


@pytest.mark.parametrize(("name", "kind", "by"), MOVES)
def test_a_step_draws_what_the_moved_plan_would(
    name: str, kind: str, by: tuple[float, float, float]
) -> None:
    # nobody in it: who stands where is looked for anew only after the drop
    plan = Plan.model_validate({**json_of(scene_of(name).plan), "people": []})
    scene = build_scene(plan)
    piece = next(p.piece for p in scene.order if kind in p.piece.type)
    pose = Pose(
        x_mm=piece.pose.x_mm + by[0],
        y_mm=piece.pose.y_mm + by[1],
        angle_deg=(piece.pose.angle_deg + by[2]) % 360,
    )
    base = base_of(scene, 1)
    step, anew = base.elsewhere({piece.id: pose})[0], base_of(scene.moved({piece.id: pose}), 1)
    x0, y0, x1, y1 = shapely.total_bounds([face.flat for face in anew.things[piece.id]])
    draw = np.random.default_rng(5)
    u, v = draw.uniform(x0 - 200, x1 + 200, 600), draw.uniform(y0 - 200, y1 + 200, 600)
    both = zip(drawn_at(step, u, v), drawn_at(anew.compared, u, v), strict=True)
    seen = [pair for pair in both if None not in pair]
    assert len(seen) > 300
    assert piece.id in {owner for owner, _ in seen}
    assert [pair for pair in seen if pair[0] != pair[1]] == []


def test_a_step_names_all_units_and_brings_those_that_are_new() -> None:
    scene = scene_of("double-garage")
    base = base_of(scene, 0)
    bag = next(p.piece for p in scene.order if p.piece.type == "standing-bag")
    step = base.step({bag.id: bag.pose.model_copy(update={"x_mm": bag.pose.x_mm + 200})})
    known = set(base.whole.order)
    new = {e.get("data-key") for e in parse(f"<svg>{step.drawn}</svg>") if e.get("data-key")}
    assert set(step.order) - known == new
    owners = {e.get("data-owner") for e in parse(f"<svg>{step.drawn}</svg>")}
    # what stays is brought only where the bag runs into it or closes a circle with it
    assert bag.id in owners
    assert len(step.drawn) < len(base.whole.drawn) / 4
    assert len(set(step.order)) == len(step.order)


def test_who_stands_on_a_piece_moves_with_it() -> None:
    base = base_of(scene_of("double-garage"), 0)
    box = base.scene.placed["box-1"].piece
    pose = box.pose.model_copy(update={"x_mm": box.pose.x_mm - 500})
    step, figures = base.elsewhere({box.id: pose})
    places = [
        shapely.union_all([p.area for p in order.parts if p.face.owner == "person-b"]).centroid
        for order in (base.compared, step)
    ]
    # half a metre to the left in the room, on the paper as the view says
    (right, down), _ = base.view.on_paper
    assert places[1].x - places[0].x == pytest.approx(-500 * right, abs=1)
    assert places[1].y - places[0].y == pytest.approx(-500 * down, abs=1)
    assert [one.bay.person.id for one in figures] == [one.bay.person.id for one in base.figures]
