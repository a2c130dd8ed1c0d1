"""How floors are laid: each piece, its cuts and its turn, the ways to lay it, and one begun."""

from __future__ import annotations

from collections.abc import Iterator

from app.changes.commands import apply
from app.errors import CommandError, PlanError
from app.model.flooring import FloorLaying
from app.model.plan import Plan
from app.published.register import overridden
from app.scene.build import Scene, build_scene
from app.takeoff.floor import Layout, floor_layout
from app.takeoff.floor_bare import anew_words
from app.takeoff.floor_list import compare
from app.takeoff.floor_setting import setting_out, setting_words
from app.takeoff.floor_trade import order_words, trade
from app.takeoff.lay_places import beside_of, beside_words
from app.takeoff.lay_steps import lay_step
from app.takeoff.lay_words import cut_steps, place_words, shape_words, source_words
from app.usecases.laying import edit_laying
from tests.answers.told import fields_told, number, told


def floors(scene: Scene) -> Iterator[str]:
    """Yield each floor of a plan, piece by piece."""
    with overridden({value.id: value.value for value in scene.plan.overrides}):
        for laying in scene.plan.fit_out.floors:
            yield f"floor {laying.id} {laying.name}"
            try:
                yield from _floor(scene, laying)
                for one in compare(scene, [laying]):
                    yield f"  {fields_told(one)}"
            except PlanError as error:
                yield from (f"  cannot be laid: {fault.sentence}" for fault in error.faults)


def _floor(scene: Scene, laying: FloorLaying) -> Iterator[str]:
    units = scene.plan.units
    layout = floor_layout(scene, laying)
    yield f"  {layout.sentence}"
    yield from (f"  - {note}" for note in layout.notes)
    yield from (f"  or {fields_told(other)}" for other in layout.alternatives)
    figures = layout.mass_kg, layout.laid_kg, layout.lift_kg, layout.price_minor, layout.waste_m2
    yield f"  masses and money {told(figures)} bound {layout.lower_bound} {told(layout.proven)}"
    yield f"  start {fields_told(layout.start)}"
    yield f"  set out {fields_told(setting_out(scene, layout))}"
    yield f"  {setting_words(scene, layout, units)}"
    yield from _pieces(scene, layout)
    for choice in trade(scene, laying):
        yield f"  way {fields_told(choice, without=('laying',))}"
    yield f"  {order_words(laying, units)}"


def _pieces(scene: Scene, layout: Layout) -> Iterator[str]:
    laid, units = layout.laid, scene.plan.units
    for sheet in layout.sheets:
        cuts = [(cut.number, *cut.bounds, cut.quarters) for cut in sheet.cuts]
        size = sheet.width_mm, sheet.height_mm
        yield f"  sheet {sheet.number} {told(size)} {told(cuts)} knife {told(sheet.knife)}"
    for mat in layout.mats:
        kind = laid.laying.kind
        state = (mat.row, mat.cut, mat.notched, mat.narrow, mat.knife_joints, mat.down)
        yield f"  mat {mat.number} of {mat.sheet} {told(mat.polygon)} {told(state)}"
        try:
            step = lay_step(scene, laid, mat)
        except ValueError as error:
            yield f"    {error}"
            continue
        said = (source_words(step, kind, units), place_words(step, "the wall", units))
        yield f"    {' | '.join((*said, *cut_steps(step, units)))}"
        if mat.cut:
            words = shape_words(mat, (step.blank_mm[0], step.blank_mm[1]), units)
            yield f"    {' | '.join(words)}"
        beside = beside_of(scene, laid, mat)
        if beside is not None:
            yield f"    {beside_words(beside, units)}"


def begun(plan: Plan) -> Iterator[str]:
    """Yield what becomes of the first floor when it is laid: ticks, one spoiled, a longer wall."""
    laying = plan.fit_out.floors[0]
    wall = plan.room.walls[1].id
    long = plan.room.wall_length_mm(wall)
    doings = [
        (f"laid.{laying.id}", {"piece": "1"}),
        (f"laid.{laying.id}", {"piece": "2"}),
        (f"spoiled.{laying.id}", {"piece": "3"}),
        (f"laid.{laying.id}", {"piece": "4"}),
        ("wall-length", {"wall": wall, "length": f"{long + 34:.0f}"}),
        (f"laid.{laying.id}", {"piece": "3"}),
        (f"lifted.{laying.id}", {"piece": "2"}),
    ]
    for name, fields in doings:
        try:
            command = edit_laying(plan, name, fields)
        except (CommandError, PlanError) as error:
            yield f"{name} {fields}: {error}"
            continue
        if command is not None:
            plan = apply(plan, command)
            yield f"{name} {fields}: {command.says}"
    scene = build_scene(plan)
    laying = next(one for one in plan.fit_out.floors if one.id == laying.id)
    try:
        layout = floor_layout(scene, laying)
    except PlanError as error:
        yield from (fault.sentence for fault in error.faults)
        return
    yield layout.sentence
    yield from anew_words(scene, layout.laid, plan.units)
    yield f"in hand {told(laying.laid[:4])} {number(layout.waste_m2)}"
    yield from _pieces(scene, layout)
