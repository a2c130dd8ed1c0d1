"""Whether a room has height enough for what is too low where its kit stands now.

Under a slope no single move may help, for other things stand where the roof is high. That a person
does without a movement, or does another, is offered then beside where it would pass.
"""

from __future__ import annotations

import math

from shapely import LineString

from app.arrange.effort import MESH_MM
from app.arrange.moves import Mover
from app.checks.behind import wall_name
from app.checks.snag import Snag
from app.library.movements import movements
from app.placing.core import Core
from app.scene.standing_room import highest_over_square_mm
from app.wording import lower


def or_elsewhere(mover: Mover, snag: Snag) -> str:
    """Say by which wall a movement passes that is too low here, as the end of another sentence.

    Nothing on the open floor, where it passes at no place that the station has beside what stays,
    or where all of the room is as low.
    """
    if not snag.pieces:
        return ""
    scene, root = mover.scene, snag.pieces[0]
    required = math.inf if snag.required is None else snag.required
    if not mover.may_move(root) or highest_over_square_mm(scene.room, MESH_MM) < required:
        return ""
    core = Core.of(scene)
    for turn in core.turns(root):
        region = core.alone(root, turn)
        if region.is_empty:
            continue
        at = region.representative_point()
        wall = min(scene.room.walls, key=lambda one: at.distance(LineString([one.start, one.end])))
        name = lower(movements()[snag.movement or ""].name)
        return f"; or make room by {wall_name(scene, wall)}, where {name} passes"
    return ""
