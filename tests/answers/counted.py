"""What is to be bought for a room, and where it goes."""

from __future__ import annotations

from collections.abc import Iterator

from app.published.register import overridden
from app.scene.build import Scene
from app.takeoff.free_edges import edges
from app.takeoff.light_hindrances import keep_out
from app.takeoff.lights import guards, layouts, wall_reflectance
from app.takeoff.line import Gathered, Line
from app.takeoff.mirrors import areas_hung
from app.takeoff.moved import moved, on_places
from app.takeoff.paint_days import cure_days, hours_of, painted_at
from app.takeoff.paint_plan import coats, litres_of, rate_of
from app.takeoff.quantities import as_csv, as_text, take_off
from app.takeoff.ramps import at_the_doors, before_the_door, ramp_areas, ramps, ramps_in_words
from app.takeoff.shopping import as_csv as shopping_csv
from app.takeoff.shopping import shopping
from app.takeoff.small_points import clip_points, profile_points
from app.takeoff.strip_ways import met_on_the_way
from app.takeoff.strips import fed_runs
from app.takeoff.supply_ways import feed_of
from app.takeoff.surfaces import ceiling_m2, column_faces_m2, faces, floor_area
from app.units import Units
from tests.answers.told import fields_told, number, told


def listed(scene: Scene) -> Iterator[str]:
    """Yield the list of quantities, with the working of every line."""
    units, currency = scene.plan.units, scene.plan.currency
    counted = take_off(scene)
    for line in counted.lines:
        yield from _line(line, units)
    yield from (f"not counted: {problem}" for problem in counted.problems)
    yield from (f"says: {remark}" for remark in counted.says)
    yield from (f"ready: {one.key}: {one.item}, {one.where}" for one in counted.ready)
    entries = scene.plan.money.entries
    stands = {entry.id: entry.standing for entry in entries}
    sums = {line.key: line.cost_minor for line in counted.lines}
    stops = shopping(counted.lines, stands, sums, (), units)
    for stop in stops:
        yield f"shop {stop.name} {stop.left} of {told([one.key for one in stop.errands])}"
    by_shop = shopping_csv(stops, currency, units, counted.ready)
    for rows in (by_shop, as_csv(counted, currency, units)):
        yield from (f"csv {row}" for row in rows.splitlines()[1::7])
    yield f"told in {len(as_text(counted, currency, units))} lines"


def _line(line: Line, units: Units) -> Iterator[str]:
    cost = told(line.cost_minor)
    figures = f"{number(line.net)} + {number(line.waste)} {line.unit}"
    yield f"{line.part} {line.key}: {line.item} | {line.where}"
    packs = line.packs_worded(units) or "nothing"
    yield f"    {figures} (over: {number(line.left_over)}) -> {packs} = {cost}"
    yield f"    {fields_told(line, units, without=_IN_LINE)} bought {told(line.bought)}"
    for step in line.working:
        yield f"    {step.label} {number(step.value)} {step.unit} [{step.key}]"
    yield from (f"    - {note}" for note in line.notes)


_IN_LINE = ("key", "part", "item", "where", "net", "waste", "unit", "bought", "working", "notes")


def places(scene: Scene) -> Iterator[str]:
    """Yield where fittings, feeds, clips and edges go, and what surfaces there are."""
    with overridden({value.id: value.value for value in scene.plan.overrides}):
        yield from _surfaces(scene)
        yield from _light(scene)
        yield from _hung(scene)


def _surfaces(scene: Scene) -> Iterator[str]:
    for face in faces(scene):
        yield f"face {fields_told(face)}"
    areas = ceiling_m2(scene), column_faces_m2(scene), floor_area(scene)
    yield f"ceiling, columns, floor {told(areas)} grey {number(wall_reflectance(scene))}"
    at_c, _ = painted_at(scene)
    for coat in coats(scene, Gathered()):
        figures = (*litres_of(coat), rate_of(coat), hours_of(coat, at_c), cure_days(coat, at_c))
        yield f"coat {fields_told(coat)} | {told(figures)}"
    for one in (*edges(scene), *ramps(scene)):
        yield f"edge {fields_told(one)}"
    yield f"ramps {told([area for _, area in ramp_areas(scene)])} {_ramps_told(scene)}"


def _ramps_told(scene: Scene) -> str:
    units = scene.plan.units
    doors = [at_the_doors(scene, high, units) for high in (12.0, 40.0)]
    before = before_the_door(scene, 20.0, [one.where for one in ramps(scene)], units)
    return f"{ramps_in_words(scene, units)} | {' | '.join(doors)} | {before}"


def _light(scene: Scene) -> Iterator[str]:
    choice = scene.plan.fit_out.light
    if choice is None:
        return
    for layout in layouts(scene, choice, Gathered()):
        found = layout.fitting.key, layout.count, layout.lux, layout.places
        yield f"light {told(found)} keep out {told(keep_out(scene, layout.fitting))}"
    yield f"guards {guards(scene)}"


def _hung(scene: Scene) -> Iterator[str]:
    fit_out = scene.plan.fit_out
    for area in fit_out.mirrors:
        yield f"clips {area.id} {told(clip_points(scene, area))}"
    for hung in areas_hung(scene, Gathered()):
        yield f"hung {fields_told(hung)}"
    for fed in fed_runs(scene, Gathered()):
        yield f"fed {fed.run.id} {fields_told(fed, without=('run', 'strip'))} {told(fed.feeds_mm)}"
        yield f"    met {told(met_on_the_way(scene, fed.run))}"
        yield f"    feed {told(feed_of(scene, fed.run))} clips {told(profile_points(fed.run))}"
    now = on_places(scene)
    yield from (f"moved {fields_told(one)}" for one in moved({}, now))
