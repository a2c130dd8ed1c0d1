"""What is said of a room and of the kit in it: the verdict, and the figures behind it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from app.checks.fixings import demand_of
from app.checks.floors import pressing
from app.checks.headroom_table import table
from app.checks.mirror_areas import sheets
from app.checks.missing_kit import still_to_get_for
from app.checks.narrowest import narrowest
from app.checks.open_floor import card
from app.checks.run import each_outright, in_few_words, run, run_places
from app.checks.snag import Snag
from app.checks.together import together
from app.model.kit import Pose
from app.model.plan import Plan
from app.model.room import Plane
from app.model.room_parts import Surface
from app.published.register import overridden
from app.scene.build import Scene
from app.scene.drop import dropped
from app.scene.floor_fall import fall_under, falls
from app.scene.free_floor import free_floor_m2
from app.scene.loads import circuit_of, loads, used_together
from app.scene.part_cover import bare_share, counts_nowhere, highest_given_mm, is_clear_of
from app.scene.routes import routes
from app.scene.routes_lines import track
from app.scene.standing_room import highest_over_square_mm
from app.scene.tolerance import Geometries
from app.units import Units
from tests.answers.told import fields_told, number, told

SQUARE_MM = 700.0
GRID_MM = 900
_IN_WORDS = frozenset({"severity", "code", "template", "values", "parts", "names"})


def verdict(scene: Scene) -> Iterator[str]:
    """Yield every snag: what it hangs on, then its sentences as they are read."""
    units = scene.plan.units
    every = run(scene)
    for snag in every:
        yield from _snag(snag, units)
    shown = in_few_words(every)
    if shown != every:
        yield f"shown as {len(shown)}, worth knowing:"
        yield from (f"    {line}" for line in shown[-1].lines(units))
    light = {snag.key for snag in run(scene, full=False)}
    yield f"only after a drop: {', '.join(snag.code for snag in every if snag.key not in light)}"


def _snag(snag: Snag, units: Units) -> Iterator[str]:
    fields = fields_told(snag, units, without=_IN_WORDS)
    yield f"{snag.severity} {snag.code} {fields}"
    yield f"    {snag.who}: {snag.worded(units)}"
    yield from (f"    - {part.worded(units)}" for part in snag.parts)


def moved(scene: Scene) -> Iterator[str]:
    """Yield what a step of a drag says once each thing has gone a little to the left and down."""
    poses = {
        key: Pose(x_mm=at.x_mm - 250, y_mm=at.y_mm + 180, angle_deg=at.angle_deg)
        for key, at in ((placed.piece.id, placed.pose) for placed in scene.order[::2])
    }
    there = scene.moved(poses)
    for snag in run(there, full=False):
        figures = snag.measured, snag.required, snag.where
        yield f"moved: {snag.severity} {snag.key} {told(figures)}"
    pieces = scene.plan.pieces
    data = [dict(each) | {"pose": poses.get(each.id, each.pose)} for each in pieces]
    again = dropped(scene, Plan.model_validate(dict(scene.plan) | {"pieces": data}))
    yield f"dropped: {told(again and [one.at for one in again.order])}"
    with overridden({value.id: value.value for value in scene.plan.overrides}):
        yield f"with doors: {told([len(run_places(scene.with_doors(up))) for up in (True, False)])}"
        yield f"outright: {told([len(some) for some in each_outright(scene)])}"


def parts(scene: Scene) -> Iterator[str]:
    """Yield how much of the floor has a ceiling told, and which parts count nowhere."""
    room = scene.plan.room
    yield f"bare {number(bare_share(room))} highest {number(highest_given_mm(room))}"
    surfaces: tuple[tuple[Surface, tuple[Plane, ...]], ...] = (
        ("ceiling", room.ceiling.planes),
        ("floor", room.floor.planes),
    )
    for surface, planes in surfaces:
        for plane in planes:
            hidden = counts_nowhere(room, plane, surface)
            clear = is_clear_of(room, plane.outline) if plane.outline else False
            yield f"part {plane.id} {told((hidden, clear))}"


def figures(scene: Scene) -> Iterator[str]:
    """Yield what is measured of a room and of what stands in it."""
    with overridden({value.id: value.value for value in scene.plan.overrides}):
        yield from _room(scene)
        yield from _things(scene)
        yield from _people(scene)
        yield from _ways(scene)


def _room(scene: Scene) -> Iterator[str]:
    room = scene.room
    yield f"free floor {number(free_floor_m2(scene))} m2 of {told(room.free)}"
    yield f"highest over a square {number(highest_over_square_mm(room, SQUARE_MM))}"
    for wall in room.walls:
        yield f"wall {wall.id} {told((wall.start, wall.end, wall.inward, wall.polygon))}"
    for shape in room.openings:
        hung = (*shape.always, *shape.when_open)
        yield f"opening {shape.opening.id} {told((shape.left, shape.right, shape.sweeps, hung))}"
    x0, y0, x1, y1 = room.free.bounds
    squares: Geometries = np.array(
        [
            shapely.box(x, y, x + GRID_MM, y + GRID_MM)
            for x in np.arange(x0, x1, GRID_MM)
            for y in np.arange(y0, y1, GRID_MM)
        ],
        dtype=object,
    )
    for name in ("shut", "open", "training", "bare"):
        overhead = getattr(room, name)
        heights, causes = overhead.clear(squares)
        items = [overhead.items[i].name if i >= 0 else "" for i in causes]
        yield f"clear {name} {told(heights)} under {told(sorted(set(items)))}"


def _things(scene: Scene) -> Iterator[str]:
    every = loads(scene)
    yield f"loads {told(every)} of them at once {len(used_together(scene, every))}"
    yield f"falls {told(falls(scene))}"
    for placed in scene.order:
        area = told(placed.footprint)
        yield f"{placed.name}: {area} on {told(circuit_of(scene, placed))}"
        if falls(scene):
            yield f"    falls {told(fall_under(scene, placed))}"
        if placed.kit.fixed:
            yield f"    held {told(demand_of(scene, placed))}"
    for one in pressing(scene):
        yield f"presses {fields_told(one, without=('placed', 'station', 'pieces', 'parts'))}"
    yield f"mirrors {told(sheets(scene))}"
    yield f"used together {told(together(scene))}"


def _people(scene: Scene) -> Iterator[str]:
    for one in card(scene):
        yield f"card {one.person_id} {one.label} {told(one.lowest)} {one.lowest_words}"
        for line in one.lines:
            figures = line.everywhere, line.clear_mm, line.least_mm, line.need_mm, line.lowest
            yield f"    {line.movement} {line.verdict} {told(figures)}: {line.beside(one.lowest)}"
    for person in scene.plan.people:
        yield f"to get {person.id}: {told(still_to_get_for(scene, person))}"
        high, _ = scene.room.shut.clear(np.array([scene.room.free], dtype=object))
        for row in table(float(high[0]), person.stature_mm, person.reach_mm, 20.0, 450.0):
            yield f"    {row.movement} {told((row.severity, row.least_mm, row.need_mm))}"


def _ways(scene: Scene) -> Iterator[str]:
    paths = routes(scene)
    yield f"narrowest {told(narrowest(scene))}"
    for stand, ways in zip(paths.stands, paths.ways, strict=True):
        widths = [(way.width_mm, way.between, way.where) for way in ways]
        yield f"ways to {scene.order[stand.number].name}: {told(widths)}"
    for which in range(len(paths.stands)):
        for door in range(which % 2, len(paths.ways_out), 2):
            line = track(paths, which, door)
            if line is not None:
                ends = line.points[0], line.points[-1]
                yield f"    track {which} {door} {told((ends, min(line.widths_mm)))}"
