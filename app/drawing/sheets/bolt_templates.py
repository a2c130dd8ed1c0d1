"""Templates of what is bolted to the floor or hangs from the ceiling: one foot or plate each.

Where a maker drills is not known: the cross lies where a plate has room for a bolt, and the paper
says that the holes of the piece itself decide.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import partial

import numpy as np
import shapely

from app.drawing.sheets.bolts import Base, Pattern, bases_of, is_overhead
from app.drawing.sheets.full_size import ROUND_MM, Template
from app.scene.build import Placed, Scene
from app.scene.naming import corner_name, wall_called
from app.scene.shapes import turn
from app.takeoff.fixings import is_bolted
from app.units import Units, format_short

_SAME_MM = 0.5
"""Feet that differ by less are one kind: a turned piece brings rounding, no maker such a step."""
FLOOR = (
    "Find pipes, cables and membrane first; a post-tensioned slab is not drilled. Lay it under the "
    "piece itself before you drill: the maker's own holes decide."
)
CEILING = (
    "As seen from below, its upper edge towards the back of the piece. What the ceiling carries is "
    "for an engineer or the maker to decide, and into what to fix; their own holes decide."
)


def bolt_templates(scene: Scene) -> Iterator[Template]:
    """Yield, of each piece that is bolted down or hung from the ceiling, each kind of its feet."""
    for placed in scene.order:
        over = is_overhead(placed)
        if not over and not is_bolted(scene, placed):
            continue
        kinds: list[list[Base]] = []
        bases = bases_of(placed, over)
        # a hook alone is no pattern: its place is measured with a tape
        for base in bases if not over else [one for one in bases if one.pattern[1][1:]]:
            known = next((kind for kind in kinds if _alike(kind[0].pattern, base.pattern)), None)
            if known is None:
                kinds.append([base])
            else:
                known.append(base)
        for number, kind in enumerate(kinds, start=1):
            count = f", {number} of {len(kinds)}" if len(kinds) > 1 else ""
            yield _template(scene, placed, kind, over, count)


def _alike(one: Pattern, other: Pattern) -> bool:
    """Return whether one is the other, as it lies or turned by half."""
    if len(one[1]) != len(other[1]):
        return False
    for sign in (1.0, -1.0):
        outline = shapely.transform(other[0], partial(np.multiply, sign))
        holes = [(sign * x, sign * y) for x, y in other[1]]
        same = all(min(math.dist(hole, mine) for hole in holes) < _SAME_MM for mine in one[1])
        if same and one[0].hausdorff_distance(outline) < _SAME_MM:
            return True
    return False


def _template(
    scene: Scene, placed: Placed, bases: Sequence[Base], over: bool, count: str
) -> Template:
    outline, holes = bases[0].pattern
    # who looks up at the ceiling sees left and right the other way round
    sign = -1.0 if over else 1.0
    outline = shapely.transform(outline, lambda xy: xy * (sign, 1.0))
    drilled = tuple((sign * x, y) for x, y in holes)
    turning = f" {len(bases)} of this: turn it by half where the hole asks for it."
    many = turning if len(bases) > 1 else ""
    says = (
        f"Crosses, along {wall_called(scene, scene.room.walls[0].id)} from {corner_name(0)} and "
        f"out from it: {_places(scene, placed, bases)}.{many} {CEILING if over else FLOOR} "
        f"Full line: the {'plate' if over else 'foot'}; dash-dot: the edge of the template."
    )
    name = f"{'Ceiling' if over else 'Floor'} bolts, {placed.name}{count}"
    bounds = outline.buffer(ROUND_MM, join_style="mitre").bounds
    front = (0.0, 1.0), "the front of the piece"
    return Template(name, says, (outline.boundary,), (), drilled, bounds, None, front)


def _places(scene: Scene, placed: Placed, bases: Sequence[Base]) -> str:
    units: Units = scene.plan.units
    wall = scene.room.walls[0]
    places = []
    for base in bases:
        for hole in base.pattern[1]:
            x, y = turn(base.middle[0] + hole[0], base.middle[1] + hole[1], placed.pose.angle_deg)
            dx, dy = placed.at[0] + x - wall.start[0], placed.at[1] + y - wall.start[1]
            along = dx * wall.along[0] + dy * wall.along[1]
            out = dx * wall.inward[0] + dy * wall.inward[1]
            places.append(f"{format_short(along, units)} and {format_short(out, units)}")
    return "; ".join(places)
