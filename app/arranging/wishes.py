"""What somebody wishes of a layout: which piece faces, stands near or far from what, or goes where.

A wish is a term of the score like any preference. What contradicts another wish, or asks for what
nothing that may move can do, is said before a search begins.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import get_args

import numpy as np
import shapely
from shapely import Polygon, affinity
from shapely.geometry.base import BaseGeometry

from app.arranging.best_layouts import nearest_wall
from app.arranging.shares import aside_deg, ramp, spread
from app.model.layout_wish import LayoutWish, Relation
from app.model.plan import Plan
from app.model.situations import OUT
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.naming import opening_name, wall_called
from app.scene.shapes import turn
from app.units import QUARTER_TURN_DEG
from app.wording import lower

RELATIONS: Mapping[str, str] = {
    "faces": "faces",
    "near": "near",
    "far": "far from",
    "at": "with its back to",
    "highest": "under the highest part",
}
"""What a wish may ask for, and how it is read between the piece and its target."""
HIGHEST: Relation = "highest"
"""The one thing that may be wished without something that it looks to."""
PIECE, WALL, OPENING = "piece", "wall", "opening"
A_TARGET = "a piece, a wall, a door or a window of this room"
"""What a wish may look to, as one reads it."""
MET_SHARE = 0.95
"""From which share on a wish is fulfilled: five degrees, or a hand's breadth of two metres."""
PLACES_FOR_HEIGHT = 200
"""Places of a piece at which the height over it is asked once: two along each metre of a garage."""
LEVEL_MM = 1.0
"""Up to which difference of height a ceiling is level."""


@dataclass(frozen=True, slots=True, order=True)
class Wish:
    """One wish: a piece, what is wished of it, and the piece, wall or opening it looks to.

    `target` is as `target_key` makes it, empty for what has no target.
    """

    piece: str
    relation: Relation
    target: str = ""


def wishes_of(plan: Plan) -> tuple[Wish, ...]:
    """Return the wishes that a plan holds, of pieces that are on it, to things that are there."""
    there = {target_key(PIECE, piece.id) for piece in plan.pieces}
    there |= {target_key(WALL, wall.id) for wall in plan.room.walls}
    there |= {target_key(OPENING, opening.id) for opening in plan.room.openings}
    return tuple(
        Wish(one.piece, one.relation, one.target)
        for one in plan.layout_wishes
        if target_key(PIECE, one.piece) in there and (not one.target or one.target in there)
    )


def stored_wishes(wishes: Iterable[Wish]) -> tuple[LayoutWish, ...]:
    """Return wishes as a plan holds them: each once, named by what it says."""
    return tuple(
        LayoutWish(
            id=" ".join((one.piece, one.relation, one.target)).strip(),
            piece=one.piece,
            relation=one.relation,
            target=one.target,
        )
        for one in dict.fromkeys(wishes)
    )


def target_key(kind: str, thing_id: str) -> str:
    """Return how a target is named in a wish: its kind and its id."""
    return f"{kind}:{thing_id}"


def share_of(wish: Wish, scene: Scene) -> float | None:
    """Return how far a wish is fulfilled, from 0 to 1; None where a piece of it is not there."""
    placed = _piece(scene, wish.piece)
    if placed is None:
        return None
    if wish.relation == HIGHEST:
        return _height_share(scene, placed)
    if wish.relation == "at":
        return float(target_key(WALL, nearest_wall(scene, placed.root)) == wish.target)
    place = place_of(scene, wish.target)
    if place is None:
        return None
    if wish.relation == "faces":
        middle = place.centroid
        aside = aside_deg(facing_of(placed), placed.at, (middle.x, middle.y))
        least = published("layout.sight.aside-deg")
        return 1 - ramp(aside, least, QUARTER_TURN_DEG)
    away = float(shapely.distance(placed.footprint, place))
    if wish.relation == "near":
        return 1 - ramp(away, published("layout.near.hands-mm"), published("layout.near.far-mm"))
    return ramp(away, 0.0, published("layout.noise.far-mm"))


def shares_of(wishes: Sequence[Wish], scene: Scene) -> dict[str, float]:
    """Return how far each wish is fulfilled whose pieces are there, by what it says."""
    shares = ((words_of(wish, scene), share_of(wish, scene)) for wish in wishes)
    return {words: share for words, share in shares if share is not None}


def words_of(wish: Wish, scene: Scene) -> str:
    """Return what a wish says: "bike faces the screen"; "bike near …" where its target lacks."""
    words = f"{thing_name(scene, target_key(PIECE, wish.piece))} {RELATIONS[wish.relation]}"
    if not wish.target:
        return words if wish.relation == HIGHEST else f"{words} …"
    article = "" if wish.target.startswith(f"{WALL}:") else "the "
    return f"{words} {article}{thing_name(scene, wish.target)}"


def thing_name(scene: Scene, key: str) -> str:
    """Return what people call a piece, wall or opening that a wish names; its id if it is gone."""
    kind, _, thing_id = key.partition(":")
    if kind == PIECE and thing_id in scene.placed:
        return lower(scene.placed[thing_id].name)
    if kind == WALL and any(wall.id == thing_id for wall in scene.room.walls):
        return wall_called(scene, thing_id)
    for shape in scene.room.openings:
        if kind == OPENING and shape.opening.id == thing_id:
            return lower(opening_name(scene, shape))
    return thing_id


def targets(scene: Scene) -> dict[str, str]:
    """Return all that a wish may look to, by its key: its name."""
    keys = [target_key(PIECE, placed.piece.id) for placed in scene.order if _stands(placed)]
    keys += [target_key(WALL, wall.id) for wall in scene.room.walls]
    keys += [target_key(OPENING, shape.opening.id) for shape in scene.room.openings]
    return {key: thing_name(scene, key) for key in keys}


def faults(wishes: Sequence[Wish], scene: Scene, free: Sequence[str]) -> Iterator[str]:
    """Yield what is wrong with some wishes, in sentences; nothing where all can be looked for."""
    known = targets(scene)
    for wish in wishes:
        words = words_of(wish, scene)
        if wish.relation not in get_args(Relation):
            yield f"There is no such wish as “{wish.relation}”."
            return
        if target_key(PIECE, wish.piece) not in known:
            yield f"“{words}”: there is no such piece in the room."
        elif wish.relation != HIGHEST and wish.target not in known:
            yield f"“{words}”: choose {A_TARGET} for it."
        elif wish.relation == "at" and not wish.target.startswith(f"{WALL}:"):
            yield f"“{words}”: a back goes to a wall."
        elif wish.target == target_key(PIECE, wish.piece):
            yield f"“{words}”: a piece cannot stand by itself in that way; choose something else."
        elif _cannot_change(wish, scene, free):
            yield f"“{words}”: neither of the two may move, and it is not so now."
    for number, one in enumerate(wishes):
        for other in wishes[:number]:
            if _contradict(one, other):
                first, then = words_of(other, scene), words_of(one, scene)
                yield f"“{first}” and “{then}” contradict one another: take one of them out."


def _cannot_change(wish: Wish, scene: Scene, free: Sequence[str]) -> bool:
    kind, _, thing_id = wish.target.partition(":")
    roots = [scene.placed[wish.piece].root]
    if kind == PIECE:
        roots.append(scene.placed[thing_id].root)
    share = share_of(wish, scene)
    return not any(root in free for root in roots) and share is not None and share < MET_SHARE


def _contradict(one: Wish, other: Wish) -> bool:
    if _both(one, other) and {one.relation, other.relation} == {"near", "far"}:
        return True
    if one.piece != other.piece:
        return False
    if one.relation == other.relation == "at":
        return one.target != other.target
    return one.target == other.target and {one.relation, other.relation} == {"at", "far"}


def _both(one: Wish, other: Wish) -> bool:
    """Return whether two wishes are about the same two things, either way round."""

    def ends(wish: Wish) -> set[str]:
        return {target_key(PIECE, wish.piece), wish.target}

    return ends(one) == ends(other)


def _piece(scene: Scene, piece_id: str) -> Placed | None:
    placed = scene.placed.get(piece_id)
    return placed if placed is not None and _stands(placed) else None


def _stands(placed: Placed) -> bool:
    return placed.piece.state != OUT


def facing_of(placed: Placed) -> tuple[float, float]:
    """Return which way one faces who uses a piece: towards its back."""
    return turn(0.0, -1.0, placed.pose.angle_deg)


def place_of(scene: Scene, key: str) -> BaseGeometry | None:
    """Return where a target is: an outline, or a line along a wall; None where it is not there."""
    kind, _, thing_id = key.partition(":")
    if kind == PIECE:
        placed = _piece(scene, thing_id)
        return None if placed is None else placed.footprint
    for wall in scene.room.walls:
        if kind == WALL and wall.id == thing_id:
            return shapely.LineString([wall.start, wall.end])
    for shape in scene.room.openings:
        if kind == OPENING and shape.opening.id == thing_id:
            return shapely.LineString([shape.left, shape.right])
    return None


def _height_share(scene: Scene, placed: Placed) -> float:
    """Return how high it is over a piece, between the least and the most it could have here."""
    low, high = scene.memo(("heights over", placed.piece.id), partial(_heights, scene, placed))
    return 1.0 if high - low < LEVEL_MM else ramp(_over(scene, [placed.footprint])[0], low, high)


def _heights(scene: Scene, placed: Placed) -> tuple[float, float]:
    """Return the least and the greatest clear height over a piece, wherever it might stand."""
    own = affinity.rotate(placed.shape.footprint, -placed.pose.angle_deg, origin=(0, 0))
    places = [
        affinity.translate(affinity.rotate(own, angle_deg, origin=(0, 0)), x, y)
        for angle_deg in (0.0, QUARTER_TURN_DEG)
        for x, y in spread(scene, PLACES_FOR_HEIGHT)
    ]
    shapely.prepare(scene.room.free)
    inside = [one for one in places if scene.room.free.covers(one)] or [placed.footprint]
    heights = _over(scene, inside)
    return min(heights), max(heights)


def _over(scene: Scene, areas: Sequence[Polygon]) -> list[float]:
    heights, _ = scene.room.shut.clear(np.array(areas, dtype=object))
    return [float(height) for height in heights]
