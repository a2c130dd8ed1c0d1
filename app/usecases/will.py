"""What a household will do to its room: each yes is a sensible start that can be changed after.

Whether something is to be done is not kept: it follows from what is chosen and what stands there.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from shapely import LineString, box
from shapely.geometry.base import BaseGeometry

from app.arrange.offer import fits
from app.changes.commands import Command
from app.errors import Fault, PlanError
from app.forms.fit_edits_floor import FLOORS
from app.forms.thing_edits import Done, Edit, command_of, plan_with
from app.forms.typed_fields import Typed
from app.library.floor_products import FloorProduct, floor_products
from app.library.kit import kit_types
from app.model.finishing import LightChoice, MirrorArea, PaintJob, Projection, StripRun
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room_walls import fresh_id
from app.published.register import published
from app.scene.build import Scene, build_scene
from app.takeoff.paint_plan import usual_paint
from app.takeoff.strip_ways import hung_against, hung_before
from app.takeoff.supply_ways import feed_of
from app.takeoff.surfaces import Face, along_face, faces
from app.usecases.accounts import product_laying
from app.wording import in_figures

MIRROR_MM = 2400.0
"""Width of a first mirror: two people beside one another see themselves."""
MIRROR_HIGH_MM = 1500.0
PICTURE_FROM_MM = 3000.0
"""How far off a projector stands to begin with: its picture is two metres wide then."""
STRIP_BELOW_MM = 150.0
"""How far below the ceiling a first run of strip goes."""
_AGAINST_MM = 100.0
"""What stands so near to a wall stands against it: a boiler, a freezer with its pipes."""
_CABLE_MM = 100.0
"""Cable is counted in tenths of a metre."""
NARROWEST_MM = 600.0
"""A stretch of wall narrower than this is no place for a mirror or a picture."""
STEP_MM = 50.0
"""Free stretches of a wall are looked for in steps of this: a first place, moved by hand after."""


@dataclass(frozen=True, slots=True)
class Will:
    """One thing that may be done: its question, whether it is chosen, and where it is changed."""

    key: str
    name: str
    chosen: str
    of: str


def wills(plan: Plan) -> list[Will]:
    """Return everything that may be done to a room, and what of it is chosen."""
    fit = plan.fit_out
    painted = {job.surface for job in fit.paint}
    stands = {piece.type for piece in plan.pieces if not piece.stays}
    rows = (
        ("floor", "Lay a floor", _names([one.name for one in fit.floors]), "floor"),
        ("walls", "Paint the walls", _names(["paint"] * ("walls" in painted)), "paint"),
        ("ceiling", "Paint the ceiling", _names(["paint"] * ("ceiling" in painted)), "paint"),
        ("light", "Light to train by", _names(["chosen"] * (fit.light is not None)), "light"),
        ("mirror", "Hang a mirror", _mirrors(plan, stands), "mirror"),
        ("screen", "Hang a screen", _names(["on the plan"] * ("screen" in stands)), ""),
        ("storage", "Put up shelves", _names(["on the plan"] * ("shelving" in stands)), ""),
        ("mural", "Paint a picture on a wall", _count(len(fit.projections), "picture"),
         "projection"),
        ("strip", "Strips of light", _count(len(fit.strips), "run"), "strip"),
        ("seal", "Seal the garage door", _names(["chosen"] * fit.seal), "general"),
    )  # fmt: skip
    garage = any(opening.is_garage_door for opening in plan.room.openings)
    return [Will(*row) for row in rows if row[0] != "seal" or garage]


def _names(names: list[str]) -> str:
    return ", ".join(names)


def _count(count: int, what: str) -> str:
    return in_figures(count, what) if count else ""


def _mirrors(plan: Plan, stands: set[str]) -> str:
    if plan.fit_out.mirrors:
        return _count(len(plan.fit_out.mirrors), "mirror")
    return "on the plan" if "mirror" in stands else ""


def edit_will(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Return the command for a yes, such as "will-floor". Raises PlanError, CommandError."""
    return command_of(EDITS, plan, name, fields, "room", "A room cannot be changed that way.")


def _floor(plan: Plan, typed: Typed) -> Done:
    """Lay the product that is nearest to the covering from which headroom is counted."""
    laying = product_laying(_product(plan), plan.currency, _fresh("floor", plan.fit_out.floors))
    return FLOORS.put(plan, FLOORS.at, "room", (*plan.fit_out.floors, laying)), "lay a floor"


def _product(plan: Plan) -> FloorProduct:
    """Return the product of the room's covering that is nearest in thickness, else the first."""
    now = plan.room.floor.covering
    every = list(floor_products().values())
    alike = [product for product in every if product.material == now.material]
    return min(alike or every[:1], key=lambda one: abs(one.thickness_mm - now.thickness_mm))


def _paint(surface: str) -> Edit:
    def edit(plan: Plan, typed: Typed) -> Done:
        jobs = [job for job in usual_paint(build_scene(plan)) if job.surface == surface]
        jobs = jobs or [PaintJob(id=surface, surface="ceiling")]
        taken = {job.id for job in plan.fit_out.paint}
        new = tuple(job for job in jobs if job.id not in taken)
        return plan_with(plan, "fit_out.paint", "room", (*plan.fit_out.paint, *new)), (
            f"paint the {surface}"
        )

    return edit


def _light(plan: Plan, typed: Typed) -> Done:
    return plan_with(plan, "fit_out.light", "room", LightChoice()), "choose the light to train by"


def _mirror(plan: Plan, typed: Typed) -> Done:
    foot = published("mirror.bottom-mm")
    face, start, width = _free_stretch(build_scene(plan), foot, foot + MIRROR_HIGH_MM, MIRROR_MM)
    area = MirrorArea(
        id=_fresh("mirror", plan.fit_out.mirrors),
        wall=face.wall.id,
        offset_mm=start,
        width_mm=width,
        bottom_mm=foot,
        height_mm=MIRROR_HIGH_MM,
    )
    return _with(plan, "mirrors", area), "hang a mirror"


def _mural(plan: Plan, typed: Typed) -> Done:
    scene = build_scene(plan)
    face, start, width = _free_stretch(scene, NARROWEST_MM, 2 * NARROWEST_MM, MIRROR_MM)
    away = min(PICTURE_FROM_MM, _depth(scene, face, start + width / 2))
    picture = Projection(
        id=_fresh("projection", plan.fit_out.projections),
        wall=face.wall.id,
        middle_mm=start + width / 2,
        distance_mm=away,
    )
    return _with(plan, "projections", picture), "paint a picture on a wall"


def _strip(plan: Plan, typed: Typed) -> Done:
    scene = build_scene(plan)
    top = min(float(face.whole.bounds[3]) for face in faces(scene)) - STRIP_BELOW_MM
    # over a garage door run its rails, its springs and the door itself
    doors = {o.wall for o in plan.room.openings if o.is_garage_door}
    face, start, width = _free_stretch(scene, top - STEP_MM, top, math.inf, doors)
    ends = ((start, round(top)), (start + width, round(top)))
    name = _fresh("strip", plan.fit_out.strips)
    # it begins at the end that is nearer to a socket, with a cable that reaches there
    runs = []
    for points in (ends, ends[::-1]):
        run = StripRun(id=name, wall=face.wall.id, points=points)
        feed = feed_of(scene, run)
        if feed is not None:
            cable = math.ceil(feed.way_mm / _CABLE_MM) * _CABLE_MM
            run = StripRun(id=name, wall=face.wall.id, points=points, cable_mm=cable)
        runs.append(run)
    run = min(runs, key=lambda each: each.cable_mm)
    return _with(plan, "strips", run), "put up a strip of light"


def _seal(plan: Plan, typed: Typed) -> Done:
    return plan_with(plan, "fit_out.seal", "room", True), "seal the garage door"


def _piece(kit_key: str, says: str) -> Edit:
    def edit(plan: Plan, typed: Typed) -> Done:
        kit = kit_types()[kit_key]
        scene = build_scene(plan)
        offer = fits(scene, kit.width_mm, kit.depth_mm, kit.height_mm, kit_key)
        if offer.place is None:
            raise PlanError(Fault("room", offer.sentence))
        piece = Piece(id=_fresh(kit_key, plan.pieces), type=kit_key, pose=offer.place)
        return plan_with(plan, "pieces", "room", (*plan.pieces, piece)), says

    return edit


def _fresh(prefix: str, things: Iterable[Any]) -> str:
    return fresh_id(prefix, {thing.id for thing in things})


def _with(plan: Plan, name: str, thing: Any) -> Plan:
    return plan_with(plan, f"fit_out.{name}", "room", (*getattr(plan.fit_out, name), thing))


def _free_stretch(
    scene: Scene, low_mm: float, high_mm: float, most_mm: float, last: Collection[str] = ()
) -> tuple[Face, float, float]:
    """Return the wall with the longest stretch free between two heights: its start and width.

    Openings, sockets, what hangs low, what stays before it and mirrors take it away; walls named
    `last` come after all others. Raises PlanError without any.
    """
    best: tuple[float, Face, float] | None = None
    for face in sorted(faces(scene), key=lambda face: face.wall.id in last):
        if best is not None and best[0] >= NARROWEST_MM and face.wall.id in last:
            break
        start, width = _longest(scene, face, low_mm, high_mm)
        if best is None or width > best[0]:
            best = width, face, start
    if best is None or best[0] < NARROWEST_MM:
        sentence = "no wall has a free stretch for it: choose the place by hand"
        raise PlanError(Fault("room", sentence))
    free, face, start = best
    width = min(free, most_mm)
    # offsets are told from the wall's corner as measured, stretches from that of its inner face
    return face, round(start + (free - width) / 2 - along_face(face.wall, 0.0), 2), round(width, 2)


def _longest(scene: Scene, face: Face, low_mm: float, high_mm: float) -> tuple[float, float]:
    plan = scene.plan
    shift = -along_face(face.wall, 0.0)
    near = published("mirror.socket-off-mm")
    taken: list[BaseGeometry] = [
        box(a - near, z - near, a + near, z + near)
        for a, z in (
            (s.offset_mm - shift, s.height_mm) for s in plan.room.sockets if s.wall == face.wall.id
        )
    ]
    taken += [hole for _, hole in face.holes]
    taken += [area for _, area in hung_against(scene, face)]
    taken += [area for *_, area in hung_before(scene, face)]
    taken += _standing_against(scene, face)
    taken += [
        box(area.offset_mm - shift, area.bottom_mm, area.offset_mm + area.width_mm - shift,
            area.bottom_mm + area.height_mm)
        for area in plan.fit_out.mirrors
        if area.wall == face.wall.id
    ]  # fmt: skip
    length = math.dist(face.wall.start, face.wall.end)
    best, start = (0.0, 0.0), 0.0
    steps = [min(STEP_MM * i, length) for i in range(math.ceil(length / STEP_MM) + 1)]
    for a, b in pairwise(steps):
        cell = box(a, low_mm, b, high_mm).buffer(-1)
        free = face.whole.covers(cell) and not any(hole.intersects(cell) for hole in taken)
        if not free:
            start = b
        elif b - start > best[1]:
            best = start, b - start
    return best


def _standing_against(scene: Scene, face: Face) -> Iterator[BaseGeometry]:
    """Yield the parts of a face before which something stands that stays."""
    wall = face.wall
    (ax, ay), (x, y) = wall.along, wall.start
    line = LineString([wall.start, wall.end])
    for placed in scene.order:
        if placed.piece.stays and placed.footprint.distance(line) < _AGAINST_MM:
            spots = [(px - x) * ax + (py - y) * ay for px, py in placed.footprint.exterior.coords]
            top = placed.lift_mm + placed.extent.height_mm
            yield box(min(spots), placed.lift_mm, max(spots), top)


def _depth(scene: Scene, face: Face, along_mm: float) -> float:
    """Return how deep the room is before a wall, with room for the projector."""
    x0, y0, x1, y1 = scene.room.free.bounds
    ix, iy = face.wall.inward
    deep = abs(ix) * (x1 - x0) + abs(iy) * (y1 - y0)
    return max(NARROWEST_MM, float(deep) - published("projection.stand-mm"))


_STARTS: Mapping[str, Callable[[Plan, Typed], Done]] = {
    "floor": _floor,
    "walls": _paint("walls"),
    "ceiling": _paint("ceiling"),
    "light": _light,
    "mirror": _mirror,
    "screen": _piece("screen", "hang a screen"),
    "storage": _piece("shelving", "put up shelves"),
    "mural": _mural,
    "strip": _strip,
    "seal": _seal,
}
EDITS: Mapping[str, Edit] = {f"will-{key}": start for key, start in _STARTS.items()}
"""A yes to each, by the name of its edit."""
