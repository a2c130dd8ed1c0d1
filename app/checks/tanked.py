"""Tanked walls: below ground a hole lets the water in, so nothing at all is fixed to them.

What people hang on, or a bag, is a stop of its own (`fixings`); here is all that only hangs.
"""

from __future__ import annotations

from collections.abc import Iterator

from app.checks.behind import wall_behind, wall_name
from app.checks.hung_across import LIVE
from app.checks.snag import Snag
from app.model.situations import OUT
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.naming import wall_called
from app.scene.tolerance import falls_short
from app.wording import lower

_ON_WALLS = ("wall", "wall-and-floor")
_OFF_WALL = "fixing.off-wall-mm"


def tanked_walls(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each thing that would be fixed to a tanked wall."""
    if not any(wall.wall.tanked for wall in scene.room.walls):
        return
    for placed in scene.order:
        if not on_tanked(scene, placed):
            continue
        wall, _ = wall_behind(scene, placed)
        yield Snag(
            code="tanked",
            hangs_on_place=True,
            severity="care",
            template="{:cap} is tanked: make no holes in it, they let the water in. Fix the {} to "
            "{}a frame that stands on the floor.",
            values=(wall_name(scene, wall), lower(placed.name), _another(scene)),
            pieces=(placed.piece.id,),
            names=(placed.name, "tanked wall"),
            unit=None,
            where=placed.at,
            source_keys=(_OFF_WALL,),
        )
    for wall_id, sheets in _sheets(scene).items():
        name, (x, y) = wall_called(scene, wall_id), sheets[0][1]
        yield Snag(
            code=f"tanked-sheet-{wall_id}",
            severity="care",
            template="{:cap} is tanked: make no holes in it, they let the water in. Fix the mirror "
            "to {}a frame that stands on the floor.",
            values=(name, _another(scene)),
            names=(f"mirror on {name}", "tanked wall"),
            unit=None,
            where=(x, y),
            # of several on one wall no single one mends it
            sheet=sheets[0][0] if len(sheets) == 1 else None,
        )


def _another(scene: Scene) -> str:
    """Name another wall as a place, where one is not tanked."""
    return "" if all(wall.wall.tanked for wall in scene.room.walls) else "another wall, or to "


def on_tanked(scene: Scene, placed: Placed) -> bool:
    """Return whether a thing that only hangs would be fixed to a tanked wall where it is."""
    piece, fixed = placed.piece, placed.kit.fixed
    if piece.stays or piece.state == OUT:
        return False
    if placed.kit.fixing not in _ON_WALLS or (fixed is not None and fixed.use in LIVE):
        return False
    wall, gap = wall_behind(scene, placed)
    return wall.wall.tanked and not falls_short(published(_OFF_WALL), gap)


def _sheets(scene: Scene) -> dict[str, list[tuple[str, tuple[float, float]]]]:
    """Return the mirrors of the fit-out on each tanked wall, with where the middle of each is."""
    walls = {wall.id: wall for wall in scene.room.walls if wall.wall.tanked}
    there: dict[str, list[tuple[str, tuple[float, float]]]] = {}
    for area in scene.plan.fit_out.mirrors:
        if area.wall in walls:
            off = area.offset_mm + area.width_mm / 2
            (x, y), (dx, dy) = walls[area.wall].start, walls[area.wall].along
            there.setdefault(area.wall, []).append((area.id, (x + dx * off, y + dy * off)))
    return there
