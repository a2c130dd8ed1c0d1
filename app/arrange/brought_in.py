"""Ways out for what does not come in, or stands too far from a socket.

Another type or size whose parts pass; a socket where the piece stands.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from shapely import Point

from app.arrange.effort import ROUNDING_MM
from app.arrange.sizes import SIZES_AT_MOST, for_floor, for_height
from app.arrange.swaps import Proposal, instead
from app.changes.commands import Change, Command
from app.checks.behind import wall_name
from app.checks.snag import Snag
from app.library.anchors import Extent
from app.library.kit import KitType, kit_types
from app.library.parcels import parcels
from app.model.base import json_of
from app.model.room import Opening
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.walls import WallShape
from app.wording import joined, lower, phrase

_OFF_CORNER_MM = 300
"""How far from the corner of a room a new socket sits at least: its box, and a hand beside it."""


def that_pass(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield other types and sizes of what does not come in; whether one does the judge says."""
    if "parts" not in snag.eased_by:
        return
    for placed in (scene.placed[piece] for piece in snag.pieces):
        for kit in _alike(placed):
            yield instead(
                scene, placed, kit, f"Take the {lower(kit.name)} instead: its parts pass."
            )
    yield from for_height(scene, snag)
    yield from for_floor(scene, snag)


def _alike(placed: Placed) -> list[KitType]:
    """Return types on which all the same is done and whose largest part is smaller."""
    uses = {use.movement for use in placed.kit.uses}
    own = parcels().get(placed.kit.key)
    if own is None or not uses:
        return []
    longest = max(own.box(placed.extent))
    kits = [
        (max(parcels()[kit.key].box(_whole(kit))), kit)
        for kit in kit_types().values()
        if kit.key in parcels()
        and kit.group == placed.kit.group
        and kit.fixing == placed.kit.fixing
        and uses <= {use.movement for use in kit.uses}
    ]
    fewer = [(long, kit) for long, kit in kits if long < longest]
    return [kit for _, kit in sorted(fewer, key=lambda one: -one[0])[:SIZES_AT_MOST]]


def _whole(kit: KitType) -> Extent:
    return Extent(kit.width_mm, kit.depth_mm, kit.height_mm)


def sockets_there(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield a socket for each piece that no cord reaches from, on the wall nearest to it."""
    if "socket" not in snag.eased_by:
        return
    was = json_of(scene.plan.room)["sockets"]
    taken = {one["id"] for one in was}
    now, phrases = list(was), []
    served: list[Point] = []
    for piece_id in snag.pieces:
        placed = scene.placed[piece_id]
        if any(placed.footprint.distance(at) <= published("electric.cord-mm") for at in served):
            continue
        wall, offset, at = _nearest(scene, placed)
        served.append(at)
        key = next(f"socket-{n}" for n in range(1, len(taken) + 2) if f"socket-{n}" not in taken)
        taken.add(key)
        now.append({"id": key, "wall": wall.id, "offset_mm": offset})
        words = "on {}, level with the {}"
        phrases.append(phrase(words, wall_name(scene, wall), lower(placed.name)))
    sentence = phrase("Have an electrician put a socket {}.", joined(" and ", phrases))
    says = sentence.worded(scene.plan.units)
    change = Change(path=("room", "sockets"), before=was, after=now)
    yield says, Command(name="edit", says=says, changes=(change,))


def _in_opening(opening: Opening, wall: str, offset_mm: float) -> bool:
    end = opening.offset_mm + opening.width_mm
    return opening.wall == wall and opening.offset_mm <= offset_mm <= end


def _nearest(scene: Scene, placed: Placed) -> tuple[WallShape, float, Point]:
    """Return the wall nearest to a piece that has no opening there, how far along, and where."""
    best: tuple[float, WallShape, float, Point] | None = None
    for wall in scene.room.walls:
        (x0, y0), (dx, dy) = wall.start, wall.along
        along = (placed.at[0] - x0) * dx + (placed.at[1] - y0) * dy
        long = math.dist(wall.start, wall.end)
        far = min(max(along, _OFF_CORNER_MM), max(long - _OFF_CORNER_MM, 0.0))
        offset = round(far / ROUNDING_MM) * ROUNDING_MM
        at = Point(x0 + dx * offset, y0 + dy * offset)
        if any(_in_opening(opening, wall.id, offset) for opening in scene.plan.room.openings):
            continue
        away = placed.footprint.distance(at)
        if best is None or away < best[0]:
            best = away, wall, float(offset), at
    if best is None:
        raise ValueError("a room without a wall to put a socket on")
    return best[1:]
