"""The scene: a plan turned into arrays of solids and working spaces.

Built once per revision and never changed. `moved` gives a scene in which some pieces stand
elsewhere; it shares everything else. The law of the cache: its verdict equals that of the plan
built from nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from operator import is_not
from typing import TypeVar, cast

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon, STRtree

from app.errors import Fault, PlanError
from app.library.anchors import Extent
from app.library.forms import extent_of
from app.library.kit import KitType
from app.library.own import kits_of
from app.model.base import Id, json_of
from app.model.fronts import wall_names
from app.model.kit import Piece, Pose
from app.model.plan import Plan, Situation, station_root
from app.model.situations import OUT, training
from app.scene.memory import Memo, new_memo
from app.scene.overhead import Overhead
from app.scene.resting import lift_mm, rest_mm
from app.scene.room import RoomShape, room_shape
from app.scene.shapes import Shape, shape_of
from app.scene.solids import Solids, Spaces, spaces_of, to_their_ends
from app.scene.tolerance import SKY_MM, Geometries, cores

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Answer = TypeVar("Answer")


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """A piece where it stands: its row, real size, station and shape.

    `pose` is where it stands in this scene, which a drag may have moved from `piece.pose`.
    """

    piece: Piece
    pose: Pose
    kit: KitType
    extent: Extent
    root: str
    shape: Shape
    lift_mm: float
    rest_mm: tuple[float, float]
    _outline: list[Polygon] = field(default_factory=list, init=False, repr=False)

    @property
    def at(self) -> tuple[float, float]:
        """The middle of the piece."""
        return self.pose.x_mm, self.pose.y_mm

    @property
    def in_use(self) -> bool:
        """Return whether it stands as it is used: not folded, put away or out of the room."""
        state = self.piece.state
        if state is None:
            return True
        return any(known.key == state and known.usable for known in self.kit.states)

    @property
    def name(self) -> str:
        """What people call it."""
        return self.piece.label or self.kit.name

    @property
    def footprint(self) -> Polygon:
        """The outline of the whole piece in the room; made once, a search asks it of all."""
        if not self._outline:
            self._outline.append(shapely.transform(self.shape.footprint, lambda xy: xy + self.at))
        return self._outline[0]

    def polygons(self) -> Geometries:
        """Return the true outlines of its solids in the room."""
        moved: Geometries = shapely.transform(self.shape.polygons, lambda xy: xy + self.at)
        return moved


class Scene:
    """A plan as geometry. Make one with `build_scene`."""

    def __init__(
        self,
        plan: Plan,
        room: RoomShape,
        placed: Mapping[str, Placed],
        solids: Callable[[], Solids],
        spaces: Callable[[], Spaces],
        roots: Ints,
        memo: Memo,
        door_open: bool = False,
    ) -> None:
        self.plan = plan
        self.room = room
        self.placed = placed
        self.order: tuple[Placed, ...] = tuple(placed.values())
        self._solids_made = solids
        self._spaces_made = spaces
        self.roots = roots
        self._memo = memo
        self.door_open = door_open

    def memo(self, key: tuple[object, ...], make: Callable[[], Answer]) -> Answer:
        """Return an answer that hangs only on its key and the room; made once for many scenes.

        A key names all that the answer hangs on, such as a piece and its pose. It begins with a
        name of its own for each kind of answer, so that one key always has answers of one type.
        """
        return cast(Answer, self._memo.made(key, make))

    def table(self, key: tuple[object, ...], make: Callable[[], Answer]) -> Answer:
        """Return what holds answers by itself, with a bound of its own; it stays with the room."""
        return cast(Answer, self._memo.table(key, make))

    @cached_property
    def solids(self) -> Solids:
        """All solids. Most places that a search looks at are passed over before anybody asks."""
        return self._solids_made()

    @cached_property
    def spaces(self) -> Spaces:
        """All working spaces."""
        return self._spaces_made()

    @cached_property
    def tree(self) -> STRtree:
        """The solids' cores, ready to be asked."""
        return STRtree(self.solids.cores)

    @cached_property
    def piece_solids(self) -> int:
        """How many of the solids belong to pieces; the fixed ones come after."""
        return int(np.searchsorted(self.solids.owner, len(self.order)))

    @cached_property
    def at(self) -> Floats:
        """Where each piece stands, (n, 2) in mm."""
        return np.array([placed.at for placed in self.order], dtype=np.float64).reshape(-1, 2)

    @cached_property
    def poses(self) -> Floats:
        """Where each piece stands and how it is turned, (n, 3) in mm and degrees."""
        turns = np.array([placed.pose.angle_deg for placed in self.order], dtype=np.float64)
        return np.column_stack([self.at, turns])

    @cached_property
    def numbers(self) -> dict[str, int]:
        """The number of each piece in the order of the plan."""
        return {piece_id: i for i, piece_id in enumerate(self.placed)}

    @cached_property
    def stations(self) -> dict[str, tuple[Placed, ...]]:
        """The pieces of each station by its root, in the order of the plan."""
        groups: dict[str, list[Placed]] = {}
        for placed in self.order:
            groups.setdefault(placed.root, []).append(placed)
        return {root: tuple(members) for root, members in groups.items()}

    @cached_property
    def bars(self) -> NDArray[np.bool_]:
        """Which pieces are bars."""
        return np.array([placed.kit.bar is not None for placed in self.order], dtype=bool)

    @cached_property
    def fixed_names(self) -> tuple[str, ...]:
        """What the fixed solids are called, in their order: the walls, then columns."""
        return self.memo(("fixed names",), self._names_of_fixed)

    def _names_of_fixed(self) -> tuple[str, ...]:
        return (
            *wall_names(self.plan),
            *(_with_article(column.label or "column") for column, _ in self.room.columns),
        )

    def moved(self, poses: Mapping[str, Pose]) -> Scene:
        """Return scene with some pieces at other poses. Raises KeyError for an unknown piece."""
        placed = dict(self.placed)
        for piece_id, pose in poses.items():
            was = placed[piece_id]
            shape = shape_of(was.piece, pose.angle_deg, was.kit)
            placed[piece_id] = replace(was, pose=pose, shape=shape)
        numbers = {self.numbers[piece_id] for piece_id in poses}
        everything = list(placed.values())
        solids, spaces = self.solids, self.spaces
        return Scene(
            self.plan,
            self.room,
            placed,
            partial(_replace, solids, everything, numbers),
            partial(_replace_spaces, spaces, everything, numbers),
            self.roots,
            self._memo,
            self.door_open,
        )

    def of_plan(self, plan: Plan, placed: Mapping[str, Placed]) -> Scene:
        """Return this scene as that of a plan that differs in poses alone; answers serve both."""
        solids, spaces, memo = self.solids, self.spaces, self._memo
        return Scene(
            plan, self.room, placed, lambda: solids, lambda: spaces, self.roots, memo,
            self.door_open,
        )  # fmt: skip

    def in_training(self) -> Scene:
        """Return the scene as it stands while somebody trains, its garage doors as here."""
        situation = training(self.plan)
        return self if situation is None else self.in_situation(situation)

    def in_situation(self, situation: Situation) -> Scene:
        """Return the scene with pieces in the states of a situation, its garage doors likewise.

        Raises PlanError for a state that a piece does not have.
        """
        states = {entry.id: entry.state for entry in situation.states}
        return self._otherwise(("situation", situation.id), states, situation.door_open)

    def with_in_use(self, piece_id: Id) -> Scene:
        """Return the scene with one piece folded out, lifted off or laid down to be used."""
        return self._otherwise(("in use", piece_id), {piece_id: None}, self.door_open)

    def _otherwise(
        self, called: tuple[str, Id], states: Mapping[Id, Id | None], door_open: bool
    ) -> Scene:
        placed = {
            piece_id: in_state(was, states[piece_id]) if piece_id in states else was
            for piece_id, was in self.placed.items()
        }
        everything = list(placed.values())
        return Scene(
            self.plan,
            self.room,
            placed,
            partial(_solids, everything, self.room),
            partial(_spaces, everything),
            self.roots,
            self.table(called, partial(new_memo, len(self.order))),
            door_open,
        )

    def with_doors(self, door_open: bool) -> Scene:
        """Return the scene with its garage doors open or shut."""
        if door_open == self.door_open:
            return self
        memo = self.table(("doors", door_open), partial(new_memo, len(self.order)))
        solids, spaces = self.solids, self.spaces
        return Scene(
            self.plan, self.room, self.placed, lambda: solids, lambda: spaces, self.roots, memo,
            door_open,
        )  # fmt: skip

    @property
    def overhead(self) -> Overhead:
        """What is overhead, the garage doors open or shut as in this scene."""
        return self.room.open if self.door_open else self.room.shut


def _with_article(label: str) -> str:
    return f"the {label[:1].lower()}{label[1:]}"


def build_scene(plan: Plan) -> Scene:
    """Turn a plan into a scene. Raises PlanError for an unknown kit type, a room with no floor."""
    room = room_shape(plan.room)
    carriers = {piece.id: piece.carried_by for piece in plan.pieces}
    kits = kits_of(plan)
    by_id = {piece.id: piece for piece in plan.pieces}
    placed: dict[str, Placed] = {}
    for number, piece in enumerate(plan.pieces):
        kit = kits.get(piece.type)
        if kit is None:
            raise PlanError(Fault(f"pieces[{number}].type", f"there is no kit type {piece.type!r}"))
        host = by_id.get(piece.carried_by or "")
        lift = lift_mm(plan, kit, piece)
        placed[piece.id] = Placed(
            piece,
            piece.pose,
            kit,
            extent_of(piece, kit),
            station_root(piece.id, carriers),
            shape_of(piece, piece.pose.angle_deg, kit),
            lift,
            rest_mm(piece, kit, host, kits),
        )
    index = {piece_id: i for i, piece_id in enumerate(placed)}
    roots = np.array([index[p.root] for p in placed.values()], dtype=np.intp)
    everything = list(placed.values())
    scene = Scene(
        plan,
        room,
        placed,
        partial(_solids, everything, room),
        partial(_spaces, everything),
        roots,
        new_memo(len(everything)),
    )
    # what cannot be built is told here, where every caller looks for it
    assert scene.solids is not None
    assert scene.spaces is not None
    return scene


def in_state(placed: Placed, state: str | None) -> Placed:
    """Return a piece as it stands in another state, None as it is used.

    Raises PlanError for a state that it has not.
    """
    if state not in {None, OUT} | {known.key for known in placed.kit.states}:
        raise PlanError(
            Fault("situations", f"{placed.name} ({placed.piece.id}) has no state {state!r}")
        )
    piece = Piece.model_validate({**json_of(placed.piece), "state": state})
    return replace(placed, piece=piece, shape=shape_of(piece, placed.pose.angle_deg, placed.kit))


def _solids(placed: Sequence[Placed], room: RoomShape) -> Solids:
    columns = [polygon for _, polygon in room.columns]
    fixed = np.array([*(w.polygon for w in room.walls), *columns], dtype=object)
    top = SKY_MM
    count = len(placed)
    parts = [_moved_cores(p) for p in placed]
    owners = [np.full(len(p.shape.cores), i, dtype=np.intp) for i, p in enumerate(placed)]
    lows, highs = zip(*(_heights(p) for p in placed), strict=True) if placed else ((), ())
    return Solids(
        np.concatenate([*parts, cores(fixed)]),
        np.concatenate([*lows, np.zeros(len(fixed))]),
        np.concatenate([*highs, np.full(len(fixed), top)]),
        np.concatenate([*owners, np.arange(count, count + len(fixed), dtype=np.intp)]),
    )


def _heights(placed: Placed) -> tuple[Floats, Floats]:
    low, high = placed.rest_mm
    return (
        placed.shape.low_mm + (placed.lift_mm + low),
        placed.shape.high_mm + (placed.lift_mm + high),
    )


def _moved_cores(placed: Placed) -> Geometries:
    at = np.array(placed.at)
    moved: Geometries = shapely.transform(placed.shape.cores, lambda xy: xy + at)
    return moved


def _moved_spaces(placed: Placed) -> Geometries:
    at = np.array(placed.at)
    still = np.array([space.core for space in placed.shape.spaces], dtype=object)
    moved: Geometries = shapely.transform(still, lambda xy: xy + at)
    return moved


def _spaces(placed: Sequence[Placed]) -> Spaces:
    empty: Geometries = np.array([], dtype=object)
    moved = np.concatenate([empty, *(_moved_spaces(p) for p in placed)])
    shapes = tuple(space for p in placed for space in p.shape.spaces)
    owner = np.array([i for i, p in enumerate(placed) for _ in p.shape.spaces], dtype=np.intp)
    return spaces_of(moved, to_their_ends(moved, shapes), shapes, owner)


def _replace(old: Solids, placed: Sequence[Placed], numbers: set[int]) -> Solids:
    changed = old.cores.copy()
    for number in numbers:
        start, end = np.searchsorted(old.owner, [number, number + 1])
        changed[start:end] = _moved_cores(placed[number])
    return Solids(changed, old.low_mm, old.high_mm, old.owner)


def _replace_spaces(old: Spaces, placed: Sequence[Placed], numbers: set[int]) -> Spaces:
    changed, looked_in = old.cores.copy(), old.looked_in.copy()
    shapes, is_turned = list(old.shapes), False
    for number in numbers:
        start, end = np.searchsorted(old.owner, [number, number + 1])
        mine = placed[number].shape.spaces
        changed[start:end] = _moved_spaces(placed[number])
        looked_in[start:end] = to_their_ends(changed[start:end], mine)
        is_turned = is_turned or any(map(is_not, shapes[start:end], mine))
        shapes[start:end] = mine
    if is_turned:
        return spaces_of(changed, looked_in, tuple(shapes), old.owner)
    # what is pushed without a turn has the same spaces elsewhere
    return replace(old, cores=changed, looked_in=looked_in)
