"""What stands on the floor of a layout, as boxes with four edges, and which edges face which."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from app.model.situations import OUT
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.shapes import turned_points
from app.scene.tolerance import TOLERANCE_MM
from app.units import QUARTER_TURN_DEG

Floats = NDArray[np.float64]
SIDES = ("back", "right", "front", "left")
_NORMALS = np.array([(0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0)])
SQUARE_SHARE = math.cos(math.radians(1.0))
"""How square two edges face one another: a degree is less than a household sees."""
SQUARE_DEG = 0.5
"""How far from a quarter turn a piece may stand and still look meant."""
LONG_SHARE = 1.5
"""How much deeper than wide what is long is: it lies along a wall as well."""
ABOVE_THE_FLOOR_MM = 300
"""What begins higher hangs: a broom goes under it."""


@dataclass(frozen=True, slots=True)
class Facing:
    """An edge of a piece that faces a wall or an edge of another: how far off, how long.

    `other` is None for a wall; `side` and `other_side` count as in `SIDES`.
    """

    placed: Placed
    side: int
    other: Placed | None
    other_side: int
    wall: int
    gap_mm: float
    long_mm: float


class Standing:
    """The carriers of a scene that stand in the room, and what their edges face."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.pieces: tuple[Placed, ...] = tuple(
            placed for placed in scene.order if is_carrier(placed) and not is_floor(placed)
        )

    @cached_property
    def on_floor(self) -> tuple[Placed, ...]:
        """Those that stand on the floor."""
        return tuple(placed for placed in self.pieces if is_on_floor(placed))

    @cached_property
    def facing(self) -> tuple[Facing, ...]:
        """Edges that face one another squarely and near, a pair of pieces both ways round.

        Near is where a broom does not go between, or as far as the piece asks for behind it: what
        lies farther apart has to do with nothing.
        """
        return tuple(self._pairs())

    def _pairs(self) -> Iterator[Facing]:
        pieces, walls = self.pieces, self.scene.room.walls
        starts, ends, normals = [], [], []
        for placed in pieces:
            corners = corners_of(placed)
            starts.append(corners)
            ends.append(np.roll(corners, -1, axis=0))
            normals.append(turned_points(_NORMALS, placed.pose.angle_deg))
        count = len(pieces) * len(SIDES)
        numbers, faces = wall_faces(self.scene)
        start = np.concatenate([*starts, faces[:, 0]]) if starts else faces[:, 0]
        end = np.concatenate([*ends, faces[:, 1]]) if ends else faces[:, 1]
        inward = np.array([walls[number].inward for number in numbers])
        normal = np.concatenate([*normals, inward]) if normals else inward
        if not count:
            return
        along = np.stack([-normal[:count, 1], normal[:count, 0]], axis=1)
        square = normal[:count] @ normal.T < -SQUARE_SHARE
        broom = published("layout.gaps.broom-mm")
        reach = np.array(
            [max(broom, back_fades_mm(placed) + 2 * TOLERANCE_MM) for placed in pieces]
        )
        middle = (start + end) / 2
        away = ((middle[None] - middle[:count, None]) * normal[:count, None]).sum(axis=2)
        mine = np.sort(
            np.stack(
                [(start[:count] * along).sum(axis=1), (end[:count] * along).sum(axis=1)], axis=1
            ),
            axis=1,
        )
        theirs = np.sort(np.stack([along @ start.T, along @ end.T], axis=2), axis=2)
        long = np.minimum(mine[:, None, 1], theirs[..., 1]) - np.maximum(
            mine[:, None, 0], theirs[..., 0]
        )
        near = (away > -TOLERANCE_MM) & (away < np.repeat(reach, len(SIDES))[:, None])
        wanted = square & near & (long > TOLERANCE_MM)
        for i, j in np.argwhere(wanted):
            owner, other = divmod(int(i), len(SIDES))[0], divmod(int(j), len(SIDES))[0]
            if j < count and owner == other:
                continue
            yield Facing(
                pieces[owner],
                int(i) % len(SIDES),
                pieces[other] if j < count else None,
                int(j) % len(SIDES) if j < count else -1,
                -1 if j < count else numbers[int(j) - count],
                max(float(away[i, j]), 0.0),
                float(long[i, j]),
            )


def at_a_wall(scene: Scene, placed: Placed) -> bool:
    """Return whether a round thing stands at a wall: with no more floor between than it asks for
    and than a back may be off.
    """
    lines = scene.memo(
        ("wall faces",), lambda: shapely.multilinestrings(list(wall_faces(scene)[1]))
    )
    return _so_near(lines, placed)


def at_a_garage_door(scene: Scene, placed: Placed) -> bool:
    """Return whether a round thing stands as near at a garage door: at the edge of the room too."""
    doors = [[s.left, s.right] for s in scene.room.openings if s.opening.is_garage_door]
    return bool(doors) and _so_near(shapely.multilinestrings(doors), placed)


def _so_near(lines: shapely.MultiLineString, placed: Placed) -> bool:
    most = asked_mm(placed, SIDES.index("back")) + published("layout.backs.most-mm")
    return float(shapely.distance(lines, placed.footprint)) <= most + TOLERANCE_MM


def back_at_most_mm(placed: Placed) -> float:
    """Return how far off a wall a back still stands at it: as far as the piece asks for.

    What needs one free side of several does not ask for that behind it.
    """
    asked = [
        shape.space.recommended_mm
        for shape in placed.shape.spaces
        if shape.space.side in ("back", "ring") and not shape.space.either
    ]
    return max([published("layout.backs.most-mm"), *asked])


def back_fades_mm(placed: Placed) -> float:
    """Return how far off a wall a back stands at none at all.

    A hand farther off than at it nothing floats yet; where a broom goes along behind it does.
    """
    fades = published("layout.gaps.broom-mm") - published("layout.backs.most-mm")
    return back_at_most_mm(placed) + max(fades, 0.0)


def goes_to_a_wall(placed: Placed, side: str) -> bool:
    """Return whether a piece stands as well with a side that is not its back to a wall.

    What is much deeper than wide lies along it; a machine that asks for nothing there has its tail
    at it: who rides or rows so looks into the room.
    """
    if side == "front":
        asked = asked_mm(placed, SIDES.index(side))
        return placed.kit.group == "Machines" and asked <= published("layout.backs.most-mm")
    deep = placed.extent.depth_mm >= LONG_SHARE * placed.extent.width_mm
    return deep and not placed.kit.for_wall


def wall_faces(scene: Scene) -> tuple[list[int], Floats]:
    """Return the stretches of wall between doors: the number of each one's wall, and both ends."""
    numbers, faces = [], []
    for number, wall in enumerate(scene.room.walls):
        start, along = np.array(wall.start), np.array(wall.along)
        cuts = [0.0, math.dist(wall.start, wall.end)]
        for shape in scene.room.openings:
            if shape.wall is wall and shape.opening.kind != "window":
                cuts += [
                    float((np.array(end) - start) @ along) for end in (shape.left, shape.right)
                ]
        cuts.sort()
        for near, far in zip(cuts[::2], cuts[1::2], strict=True):
            if far - near > TOLERANCE_MM:
                numbers.append(number)
                faces.append((start + along * near, start + along * far))
    return numbers, np.array(faces, dtype=np.float64).reshape(-1, 2, 2)


def is_carrier(placed: Placed) -> bool:
    """Return whether a piece carries its station and is in the room; a bar alone is no carrier."""
    alone = placed.root == placed.piece.id and placed.piece.state != OUT
    return alone and placed.kit.bar is None


def is_on_floor(placed: Placed) -> bool:
    """Return whether a piece stands on the floor and does not hang."""
    return bool(placed.shape.low_mm.min() < ABOVE_THE_FLOOR_MM)


def keeps_its_floor(placed: Placed) -> bool:
    """Return whether nothing else should stand in a piece's outline.

    So with all on the floor, and below what hangs and stays and must be got at, as a boiler.
    """
    reached = any(each.space.kind == "access" for each in placed.shape.spaces)
    return is_on_floor(placed) or (placed.piece.stays and reached)


def is_tall(placed: Placed) -> bool:
    """Return whether a piece is seen from everywhere in a room."""
    return placed.extent.height_mm > published("layout.deep.tall-mm")


def is_weighty(placed: Placed) -> bool:
    """Return whether a piece is tall or heavy: it stays where it is set down."""
    mass = placed.piece.mass_kg or placed.kit.mass_kg
    return is_tall(placed) or mass > published("layout.deep.heavy-kg")


def is_floor(placed: Placed) -> bool:
    """Return whether a piece is only floor: a mat, or room to skip in."""
    return not len(placed.shape.cores) or set(placed.shape.parts) <= {"mat"}


def is_square(turn_deg: float, base_deg: float) -> bool:
    """Return whether a turn is a quarter turn from the direction of a wall, to the eye."""
    half = QUARTER_TURN_DEG / 2
    return abs((turn_deg - base_deg + half) % QUARTER_TURN_DEG - half) <= SQUARE_DEG


def is_disc(placed: Placed) -> bool:
    """Return whether the outline of a piece is a disc: it has no back.

    Whether a whole station is seen to turn is another question (`app/arrange/roundness.py`).
    """
    ring = shapely.get_exterior_ring(placed.shape.footprint)
    return int(shapely.get_num_points(ring)) > len(SIDES) + 1


def corners_of(placed: Placed) -> Floats:
    """Return the corners of a piece in the room, (4, 2) in mm: back left, back right and on."""
    w, d = placed.extent.width_mm / 2, placed.extent.depth_mm / 2
    ring = np.array([(-w, -d), (w, -d), (w, d), (-w, d)])
    corners: Floats = turned_points(ring, placed.pose.angle_deg) + np.array(placed.at)
    return corners


def front_of(placed: Placed, off_mm: float) -> tuple[float, float]:
    """Return the place so far before the middle of a piece's front."""
    away = placed.extent.depth_mm / 2 + off_mm
    x, y = turned_points(np.array([(0.0, away)]), placed.pose.angle_deg)[0]
    return placed.at[0] + float(x), placed.at[1] + float(y)


def asked_mm(placed: Placed, side: int) -> float:
    """Return how much room a piece asks for at one of its sides, as recommended."""
    depths = [
        shape.space.recommended_mm
        for shape in placed.shape.spaces
        if shape.space.side in (SIDES[side], "ring")
    ]
    return max(depths, default=0.0)
