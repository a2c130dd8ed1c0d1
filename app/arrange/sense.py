"""Common sense of moving things: what stays put, what keeps its wall or a wall behind it."""

from __future__ import annotations

from weakref import WeakKeyDictionary

from app.arrange.on_walls import ends_off, faces_away, keeps_wall
from app.arrange.tries import movable
from app.checks.behind import wall_behind
from app.checks.hung_across import hung_across_of
from app.checks.shut_offs import SHUT_OFFS
from app.checks.snag import Snag
from app.model.plan import owned_pieces
from app.scene.build import Placed, Scene
from app.scene.shapes import turn

NEAR_A_WALL_MM = 250
"""A back no farther off than this stands at its wall: nobody walks through there, and what keeps
a socket, a skirting or a pipe clear stands nearer."""


def may_move(scene: Scene, root: str) -> bool:
    """Return whether a station may be moved: nothing of it stays, is pinned, or owned and fixed."""
    if not movable(scene, root):
        return False
    return not any(_hangs_already(scene, placed) for placed in scene.stations[root])


def may_be_another(scene: Scene, placed: Placed) -> bool:
    """Return whether a piece may be had in another size or kind.

    Not what stays, nor what is owned and fixed: nobody buys that again for its height.
    """
    kept = placed.piece.stays or placed.piece.pinned or placed.kit.key in SHUT_OFFS
    return not (kept or _hangs_already(scene, placed))


def is_to_get_at(scene: Scene, snag: Snag) -> bool:
    """Return whether a finding is of room to get at a piece: nobody moves or lands there."""
    return _kind_of_room(scene, snag) == "access"


def is_of_bodies(scene: Scene, snag: Snag) -> bool:
    """Return whether a finding is of room in which somebody moves, or lands who falls."""
    return _kind_of_room(scene, snag) in ("body", "fall-off")


def _kind_of_room(scene: Scene, snag: Snag) -> str | None:
    """Return what kind of room a finding is of; None for what is not of a working space."""
    owner = scene.placed.get(snag.pieces[0]) if snag.pieces else None
    if owner is None or snag.space is None:
        return None
    kinds = {space.key: space.kind for space in owner.kit.spaces}
    return kinds.get(snag.space)


def lies_about(scene: Scene, snag: Snag) -> bool:
    """Return whether a finding names first a bar that nothing carries."""
    first = scene.placed.get(snag.pieces[0]) if snag.pieces else None
    return first is not None and first.kit.bar is not None and first.root == first.piece.id


def sensible(scene: Scene, moved: Scene, root: str) -> bool:
    """Return whether a station that was moved stands as people would put it.

    What is made for a wall has all of one, and what stood with its back to one still does: nothing
    ends in the middle of the floor that stood at a wall.
    """
    if not keeps_wall(moved, root):
        return False
    # half of it across a window or a door it hangs on nothing
    if moved.placed[root].kit.for_wall and hung_across_of(moved, moved.placed[root]):
        return False
    was_backed, was_at_a_wall = _stood(scene, root)
    if was_backed and not backed(moved, root):
        return False
    return not was_at_a_wall or at_a_wall(moved, root)


_known: WeakKeyDictionary[Scene, dict[str, tuple[bool, bool]]] = WeakKeyDictionary()


def _stood(scene: Scene, root: str) -> tuple[bool, bool]:
    """Return whether a station stands with its back to a wall, and whether at one at all.

    A search asks it of one scene for each place that it looks at.
    """
    known = _known.setdefault(scene, {})
    if root not in known:
        known[root] = backed(scene, root), at_a_wall(scene, root)
    return known[root]


def at_a_wall(scene: Scene, root: str) -> bool:
    """Return whether a station stands with one side at a wall, of those that need no room."""
    placed = scene.placed[root]
    asking = {space.side for space in placed.kit.spaces if space.recommended_mm > NEAR_A_WALL_MM}
    if "ring" in asking:
        return False
    w, d = placed.extent.width_mm / 2, placed.extent.depth_mm / 2
    sides = {
        "back": ((-w, -d), (w, -d)),
        "front": ((-w, d), (w, d)),
        "left": ((-w, -d), (-w, d)),
        "right": ((w, -d), (w, d)),
    }
    x, y = placed.at
    for side, both in sides.items():
        if side in asking:
            continue
        (ax, ay), (bx, by) = (turn(*end, placed.pose.angle_deg) for end in both)
        one, other = (x + ax, y + ay), (x + bx, y + by)
        for wall in scene.room.walls:
            if max(wall.off_mm(one), wall.off_mm(other)) <= NEAR_A_WALL_MM:
                return True
    return False


def backed(scene: Scene, root: str) -> bool:
    """Return whether a station stands with its back to a wall, and is one that may.

    What needs more room than that behind it is no such thing: a bag wants to be off the wall.
    """
    placed = scene.placed[root]
    behind = [s.recommended_mm for s in placed.kit.spaces if s.side in ("back", "ring")]
    if max(behind, default=0.0) > NEAR_A_WALL_MM:
        return False
    wall, gap = wall_behind(scene, placed)
    return (
        gap <= NEAR_A_WALL_MM
        and faces_away(placed, wall)
        and max(ends_off(placed, wall)) <= NEAR_A_WALL_MM
    )


def _hangs_already(scene: Scene, placed: Placed) -> bool:
    """Return whether a piece is owned and fixed: it is where it is."""
    fixed = placed.piece.bolted or placed.kit.fixing in ("wall", "wall-and-floor", "ceiling")
    return fixed and placed.piece.id in scene.memo(("owned",), lambda: owned_pieces(scene.plan))
