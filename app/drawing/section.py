"""The section of a headroom snag: the person at the top of the movement under the real ceiling.

Two bays at one scale on one floor: the movement that does not pass, with what is missing, and
beside it a movement of the same pattern that does, with what is to spare.
"""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from app.checks.snag import Snag
from app.drawing.body import silhouette
from app.drawing.hatching import hatch
from app.drawing.lettering import width_of
from app.drawing.medium import region
from app.drawing.primitives import Circle, Group, Item, Polygon, Polyline, Text
from app.drawing.section_bay import Bay, fitting_bay, snag_bay
from app.drawing.section_cut import Hung, ceiling, clear_at, overhead, seen, swept, walls
from app.drawing.section_frame import Disc, Given, Oval, Slab, Stance, Thing
from app.drawing.section_marks import heights, level_mark
from app.drawing.section_pose import stance
from app.drawing.section_words import NAME_MM, TINY_MM, VERDICT_MM, BayWords, bay_words
from app.drawing.svg import fragment
from app.formulas.headroom import HANG_FORMS, Demand, hang_forms
from app.model.people import Person
from app.published.register import overridden
from app.scene.build import Scene

SLAB_MM = 130.0
BAY_MM = 1500.0
OFF_MM = 130.0
FIGURES_MM = 340.0
BESIDE_MM = OFF_MM + FIGURES_MM
UNDER_MM = 470.0
WALL_MM = 110.0
_AIR_MM = 40.0


@dataclass(frozen=True, slots=True)
class Drawn:
    """A finished section: primitives in mm with y down and the bare floor at 0, and its bounds."""

    items: tuple[Item, ...]
    bounds: tuple[float, float, float, float]
    title: str


@dataclass(frozen=True, slots=True)
class _Plan:
    """A bay laid out: its pose, its words, and how far it reaches to the left and right."""

    bay: Bay
    stance: Stance
    words: BayWords
    body: tuple[BaseGeometry, BaseGeometry]
    inner: tuple[float, float]
    dims: tuple[float, float]
    left: float
    right: float


def headroom_section(scene: Scene, snag: Snag) -> str:
    """Return the section of a headroom snag as an `<svg>` for a page; inks are classes.

    User units are mm. Raises ValueError for a snag that has none.
    """
    drawn = drawn_section(scene, snag)
    x0, y0, x1, y1 = drawn.bounds
    return fragment(
        drawn.items,
        {
            "class": "section",
            "viewBox": f"{x0:.0f} {y0:.0f} {x1 - x0:.0f} {y1 - y0:.0f}",
            "preserveAspectRatio": "xMidYMid meet",
            "role": "img",
            "aria-label": drawn.title,
        },
        digits=1,
    )


def drawn_section(scene: Scene, snag: Snag) -> Drawn:
    """Draw the section of a headroom snag for any medium. Raises ValueError when it has none."""
    with overridden({override.id: override.value for override in scene.plan.overrides}):
        first = snag_bay(scene, snag)
        if first is None:
            raise ValueError(f"the snag {snag.key!r} has no section")
        other = fitting_bay(scene, first.person, first.movement)
        bays = [bay for bay in (first, other) if bay is not None]
        plans = [_laid_out(scene, bay, BAY_MM * 2 / len(bays)) for bay in bays]
    items: list[Item] = []
    x, top = 0.0, 0.0
    for index, plan in enumerate(plans):
        shown, high = _bay_items(scene, plan)
        items.append(Group(shown, f"bay bay-{index + 1}", move=(x - plan.left, 0.0)))
        x += plan.right - plan.left
        top = max(top, high)
    bounds = (-_AIR_MM, -top - _AIR_MM, x + _AIR_MM, SLAB_MM + UNDER_MM)
    title = "; ".join(f"{p.words.name}: {p.words.verdict}" for p in plans)
    return Drawn(tuple(items), bounds, title)


def _laid_out(scene: Scene, bay: Bay, least_mm: float) -> _Plan:
    """Pose the person and see how wide the bay must be, at least `least_mm`."""
    drawn = stance(bay.movement.key, given_of(scene, bay))
    person = silhouette(drawn.joints)
    things = [thing_outline(thing) for thing in (*drawn.behind, *drawn.held)]
    x0, _, x1, _ = shapely.union_all([person.near, person.far, *things]).bounds
    words = bay_words(scene, bay)
    half = (
        max(
            width_of(words.name, NAME_MM, bold=True), width_of(words.verdict, VERDICT_MM, bold=True)
        )
        / 2
    )
    half = max(half, width_of(words.place, TINY_MM) / 2) + 50
    middle = (x0 + x1) / 2
    wall_left, wall_right = walls(scene, bay, x0 - BESIDE_MM, x1 + BESIDE_MM)
    # where a wall leaves no room for figures they stand behind it
    line_left = x0 - OFF_MM if wall_left is None else wall_left - WALL_MM - 60
    line_right = x1 + OFF_MM if wall_right is None else wall_right + WALL_MM + 60
    left = min(line_left - FIGURES_MM, middle - half)
    right = max(line_right + FIGURES_MM + 60, middle + half)
    more = max(0.0, least_mm - (right - left)) / 2
    left, right = left - more, right + more
    return _Plan(
        bay, drawn, words, (person.near, person.far), (x0, x1), (line_left, line_right), left, right
    )


def given_of(scene: Scene, bay: Bay) -> Given:
    """Return what the person of a bay is drawn from."""
    floor = scene.plan.room.floor.covering.thickness_mm
    plate = 0.0 if bay.held is None else bay.held.plate_mm
    return given_from(bay.demand, bay.person, floor, plate, bay.placed is not None)


def given_from(
    demand: Demand, person: Person, floor_mm: float, plate_mm: float, on_kit: bool
) -> Given:
    """Return what a person is drawn from at the top of what a movement asks for."""

    def term(*labels: str) -> float | None:
        return next((term.mm for term in demand.least if term.label in labels), None)

    top = demand.least_mm
    held = term("held above the grip") or 0.0
    plates = term("plates square to the bar")
    on = term("deck or step", "deck or box", "seat", "bench", "box") or 0.0
    feet = floor_mm + on + (term("rise of the feet") or 0.0)
    bar = term("pull-up bar above the bare floor", "dip bars above the bare floor") or 0.0
    forms = hang_forms(bar, person.stature_mm, person.reach_mm, floor_mm) if bar else ()
    return Given(
        person.stature_mm,
        top,
        top - held - (plates or 0.0),
        floor_mm,
        feet,
        bar,
        plate_mm,
        forms[0] if forms else HANG_FORMS[-1],
        on_kit,
    )


def _bay_items(scene: Scene, plan: _Plan) -> tuple[tuple[Item, ...], float]:
    """Draw one bay about its own middle. Gives the items and the height of the highest."""
    bay = plan.bay
    wall_left, wall_right = walls(scene, bay, plan.left, plan.right)
    left = plan.left if wall_left is None else wall_left
    right = plan.right if wall_right is None else wall_right
    hung = overhead(scene, bay, left, right)
    ceilings = [z + one.thick_mm for one in hung for _, z in one.under]
    taken = bay.demand.least_mm if bay.hits else bay.demand.need_mm
    high = max([taken, bay.clear_mm, *ceilings])
    room: list[Item] = [*_floor(scene, left, right)]
    for edge, out in ((wall_left, -1.0), (wall_right, 1.0)):
        if edge is not None:
            room += _cut(shapely.box(*sorted_box(edge, edge + out * WALL_MM, -SLAB_MM, high)))
    shown: list[Item] = [Group(tuple(room), "room")]
    shown.append(Group(_hung(scene, hung, left, right), "above"))
    shown.append(Group(_behind(plan, left, right), "kit"))
    near, far = (_flipped(area) for area in plan.body)
    person = (region(far, "body far"), region(near, "body"))
    shown.append(Group((*person, *map(thing_item, plan.stance.held)), "person"))
    true = clear_at(bay, hung)
    shown.append(
        Group(heights(bay, scene.plan.units, swept(bay), plan.dims, (left, right), true), "dims")
    )
    shown.append(Group(_lettering(plan, high, true), "words"))
    return tuple(shown), high + TINY_MM * 1.6


def sorted_box(xa: float, xb: float, za: float, zb: float) -> tuple[float, float, float, float]:
    """Return the bounds of a box from any two opposite corners."""
    return min(xa, xb), min(za, zb), max(xa, xb), max(za, zb)


def _floor(scene: Scene, left: float, right: float) -> list[Item]:
    items = _cut(shapely.box(left, -SLAB_MM, right, 0))
    thick = scene.plan.room.floor.covering.thickness_mm
    if thick:
        items.append(region(_flipped(shapely.box(left, 0, right, thick)), "covering"))
    return items


def _cut(area: BaseGeometry) -> list[Item]:
    """Draw what the section cuts through: hatched, with a heavy edge."""
    shape = _flipped(area)
    return [
        region(shape, "cut-face"),
        hatch(shape, 75.0, -45.0, "hatch-line"),
        region(shape, "cut"),
    ]


def _hung(scene: Scene, hung: tuple[Hung, ...], left: float, right: float) -> tuple[Item, ...]:
    items: list[Item] = []
    joists = scene.room.room.ceiling.showing
    slab, under = ceiling(hung)
    if not slab.is_empty:
        items += _cut(slab)
        if joists is not None:
            items += [
                Polyline(tuple((x, -(z - joists.depth_mm)) for x, z in line), "beyond")
                for line in under
            ]
    for one in hung:
        if one.kind == "joist":
            long = one.wide_mm > 4 * (joists.width_mm if joists else 0)
            items.append(region(_flipped(one.area), "joist-side" if long else "joist-end"))
        elif one.kind == "door":
            items.append(region(_flipped(one.area), "thing"))
        elif one.kind != "ceiling":
            items += _cut(one.area)
    return tuple(items)


def _behind(plan: _Plan, left: float, right: float) -> tuple[Item, ...]:
    items: list[Item] = []
    placed = plan.bay.placed
    if placed is not None and placed.kit.group != "Benches" and placed.kit.bar is None:
        window = shapely.box(left, 0, right, 1e5)
        shape = seen(plan.bay, placed).intersection(window)
        if not shape.is_empty:
            items.append(region(_flipped(shape), "seen"))
    return (*items, *map(thing_item, plan.stance.behind))


def _lettering(plan: _Plan, high: float, true: float | None) -> tuple[Item, ...]:
    words = plan.words
    middle = (plan.inner[0] + plan.inner[1]) / 2
    middle = min(max(middle, plan.left + 1), plan.right - 1)
    y = SLAB_MM + 60 + NAME_MM * 0.8
    return (
        Text((middle, y), words.name, "name"),
        Text((middle, y + 145), words.verdict, f"verdict {words.tone}"),
        Text((middle, y + 265), words.place, "tiny"),
        *level_mark(words.ceiling, plan.bay.clear_mm, high, true, (plan.left, plan.right)),
        Text((plan.left + 40, SLAB_MM * 0.72), words.floor, "tiny on-cut", "start"),
    )


def thing_outline(thing: Thing) -> BaseGeometry:
    """Return the area of one thing of a stance in side view."""
    match thing:
        case Disc():
            return shapely.Point(thing.at).buffer(thing.radius_mm)
        case Slab():
            return shapely.Polygon(thing.corners)
        case Oval():
            x, z = thing.middle
            w, h = thing.half_width_mm, thing.half_height_mm
            return shapely.box(x - w, z - h, x + w, z + h)


def thing_item(thing: Thing) -> Item:
    """Draw one thing of a stance, y down."""
    match thing:
        case Disc():
            return Circle((thing.at[0], -thing.at[1]), thing.radius_mm, thing.ink)
        case Slab():
            return Polygon(tuple((x, -z) for x, z in thing.corners), thing.ink)
        case Oval():
            ring = shapely.Point(0, 0).buffer(1, quad_segs=16).exterior
            x, z = thing.middle
            w, h = thing.half_width_mm, thing.half_height_mm
            return Polygon(tuple((x + w * a, -z - h * b) for a, b in ring.coords[:-1]), thing.ink)


def _flipped(area: BaseGeometry) -> BaseGeometry:
    return shapely.transform(area, lambda xy: xy * (1, -1))
