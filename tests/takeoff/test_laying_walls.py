"""A sample's floor laid to its end though a wall turned out otherwise, by what its pages print.

Any wall, longer or shorter, early or late: each further piece is cut by its sentences from what is
there, all of the floor is covered but slits, and nothing as narrow as a slit is laid.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import shapely
import shapely.affinity

from app.changes.commands import Command, apply
from app.model.plan import Plan
from app.model.versions import load
from app.scene.build import Scene, build_scene
from app.takeoff.floor import Layout, floor_layout
from app.takeoff.floor_bare import left_bare, too_long
from app.takeoff.floor_begun import sizes_of
from app.takeoff.floor_region import floor_to_cover
from app.takeoff.lay_steps import lay_step
from app.takeoff.lay_words import cut_steps, source_words
from app.usecases.laying import edit_laying, tick_laying
from tests.takeoff.printed_floor import cut_as_told

FOLDER = Path(__file__).resolve().parents[2] / "sample_rooms"
FLOOR = "floor-1"
SLIT_MM = 50


def layout_of(plan: Plan) -> tuple[Scene, Layout]:
    scene = build_scene(plan)
    return scene, floor_layout(scene, plan.fit_out.floors[0], compare=False)


def done(plan: Plan, command: Command | None) -> Plan:
    assert command is not None
    return apply(plan, command)


def ticked(plan: Plan, number: int) -> Plan:
    return done(plan, tick_laying(plan, f"laid.{FLOOR}", {"piece": str(number)}))


def laid_to_the_end(plan: Plan) -> tuple[Plan, Scene, Layout]:
    """Lay what is left, each piece cut as it is told."""
    while True:
        scene, layout = layout_of(plan)
        mat = next((one for one in layout.mats if not one.down), None)
        if mat is None:
            return plan, scene, layout
        step = lay_step(scene, layout.laid, mat)
        kind = plan.fit_out.floors[0].piece_name
        told = cut_steps(step, "metric")
        piece = cut_as_told(
            source_words(step, kind, "metric"), sizes_of(layout.laid)[mat.sheet], told
        )
        x0, y0, _, _ = step.piece.bounds
        meant = shapely.affinity.translate(step.piece, -x0, -y0)
        # a tape is read to the millimetre: half of it along every edge is what may differ
        assert piece.symmetric_difference(meant).area < piece.length / 2
        plan = ticked(plan, mat.number)


@pytest.mark.long
@pytest.mark.parametrize("name", sorted(path.stem for path in FOLDER.glob("*.json")))
@pytest.mark.parametrize("by_mm", [9, -9, 60])
def test_a_floor_is_laid_to_its_end_whichever_wall_is_otherwise(name: str, by_mm: float) -> None:
    plan = load((FOLDER / f"{name}.json").read_text("utf-8"))
    numbers = [mat.number for mat in layout_of(plan)[1].mats]
    begun = plan
    for number in numbers[: len(numbers) * 2 // 3]:
        begun = ticked(begun, number)
    for wall in plan.room.walls:
        long = plan.room.wall_length_mm(wall.id) + by_mm
        fields = {"wall": wall.id, "length": f"{long} mm"}
        changed = done(begun, edit_laying(begun, "wall-length", fields))
        end, scene, layout = laid_to_the_end(changed)
        covered = floor_to_cover(scene, end.fit_out.floors[0])
        whole = shapely.union_all([mat.polygon for mat in layout.mats])
        assert sum(mat.polygon.area for mat in layout.mats) - whole.area < 100
        bare = covered.difference(whole.buffer(0.1))
        assert bare.buffer(-SLIT_MM / 2).is_empty
        assert min(min(mat.size_mm) for mat in layout.mats) > SLIT_MM
        # what stays bare and what reaches too far is told
        assert bool(left_bare(scene, layout.laid)) == (bare.buffer(-1).area > 0)
        outside = whole.difference(covered.buffer(1)).area
        assert bool(too_long(scene, layout.laid)) == (outside > 100)
