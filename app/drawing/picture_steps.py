"""The picture as it follows a hand: what stays is not drawn again, what moves is put in its order.

A picture is made of units, the sides of one solid that are drawn at a time. Each unit of the
picture that a plan was drawn with has a key; a step names the units in their order and brings only
those that the first picture does not have.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import groupby

import numpy as np

from app.drawing.picture import Picture, drawn_parts, faces_by_thing, picture_of
from app.drawing.picture_faces import Face
from app.drawing.picture_order import Compared, Part, compared
from app.drawing.picture_person import alike, figure_faces
from app.drawing.picture_room import Figure, figures_of, followed, person_owner
from app.drawing.picture_view import View
from app.drawing.picture_weights import piece_faces
from app.drawing.primitives import Group
from app.drawing.svg import part as written
from app.drawing.too_high import Over, too_high
from app.model.kit import Pose
from app.scene.build import Placed, Scene

_AROUND = 0.02
"""What is free round the picture, as a share of its width."""


@dataclass(frozen=True, slots=True)
class Step:
    """What there is to draw: the keys of all units in their order, the new ones as markup."""

    order: tuple[str, ...]
    drawn: str


@dataclass(frozen=True, eq=False)
class Base:
    """The picture of a plan as it is kept, ready to follow pieces that are moved."""

    scene: Scene
    view: View
    figures: tuple[Figure, ...]
    things: Mapping[str, tuple[Face, ...]]
    compared: Compared
    own: dict[str, Compared] = field(default_factory=dict)
    """Things by themselves, once they were moved: what of them hides what stays the same."""

    @cached_property
    def picture(self) -> Picture:
        """The picture itself."""
        return picture_of(self.scene, self.view, self.figures, self.compared)

    @cached_property
    def over(self) -> Over:
        """What is higher than the room where it stands."""
        return too_high(self.scene)

    @cached_property
    def box(self) -> str:
        """The view box of the picture, in mm as they come on the paper."""
        x0, y0, x1, y1 = self.picture.bounds
        pad = (x1 - x0) * _AROUND
        return f"{x0 - pad:.0f} {y0 - pad:.0f} {x1 - x0 + 2 * pad:.0f} {y1 - y0 + 2 * pad:.0f}"

    @cached_property
    def whole(self) -> Step:
        """The picture with every unit drawn."""
        units = list(self._units(self.compared, self.figures))
        drawn = "".join(_markup(key, owner, parts) for key, owner, parts in units)
        return Step(tuple(key for key, _, _ in units), drawn)

    @cached_property
    def ghosts(self) -> str:
        """What hangs overhead, as markup."""
        return written(self.picture.ghosts, digits=0)

    @cached_property
    def _keys(self) -> frozenset[str]:
        return frozenset(self.whole.order)

    @cached_property
    def _numbers(self) -> dict[int, int]:
        """The number of each part by its identity: parts that stay are the same in every step."""
        return {id(part): i for i, part in enumerate(self.compared.parts)}

    def step(self, poses: Mapping[str, Pose]) -> Step:
        """Draw it with pieces at other poses. Raises KeyError for a piece that is not there."""
        order, figures = self.elsewhere(poses)
        keys, drawn = [], []
        for key, owner, parts in self._units(order, figures):
            keys.append(key)
            if key not in self._keys:
                drawn.append(_markup(key, owner, parts))
        return Step(tuple(keys), "".join(drawn))

    def elsewhere(self, poses: Mapping[str, Pose]) -> tuple[Compared, tuple[Figure, ...]]:
        """Return what is drawn with pieces at other poses, and who stands where then."""
        scene = self.scene.moved(poses)
        moved = [one for one in scene.order if self.scene.placed[one.piece.id] is not one]
        ids = {one.piece.id for one in moved}
        figures = tuple(
            followed(one, scene) if one.bay.placed and one.bay.placed.piece.id in ids else one
            for one in self.figures
        )
        order = self.compared
        for placed in moved:
            if placed.piece.id in self.things:
                there = self._moved(placed, scene, figures)
                order = order.moved(frozenset({placed.piece.id}), there)
        for figure, before in zip(figures, self.figures, strict=True):
            if figure is not before:
                there = self._walked(figure, before, scene)
                order = order.moved(frozenset({person_owner(figure)}), there)
        return order, figures

    def _moved(self, placed: Placed, scene: Scene, figures: tuple[Figure, ...]) -> Compared:
        """Return a piece where it stands now: pushed there, or drawn anew where it is turned."""
        before = self.scene.placed[placed.piece.id]
        turned = placed.pose.angle_deg != before.pose.angle_deg
        over = too_high(scene).get(placed.piece.id)
        lifted = (placed.lift_mm, placed.rest_mm) != (before.lift_mm, before.rest_mm)
        if turned or lifted or over != self.over.get(placed.piece.id):
            return compared(list(piece_faces(scene, placed, self.view, figures, over)))
        return self._pushed(placed.piece.id, placed.at, before.at)

    def _walked(self, figure: Figure, before: Figure, scene: Scene) -> Compared:
        """Return a person where they are now: pushed there, or anew where anything else differs."""
        if not alike(figure, before):
            return compared(list(figure_faces(scene, figure, self.view)))
        return self._pushed(person_owner(figure), figure.bay.at, before.bay.at)

    def _pushed(self, owner: str, at: tuple[float, float], before: tuple[float, float]) -> Compared:
        """Return a thing that is the same at another place."""
        own = self.own.get(owner)
        if own is None:
            own = self.own[owner] = compared(self.things[owner])
        by = np.array([at[0] - before[0], at[1] - before[1], 0.0])
        right, down = self.view.flat(by).tolist()
        return own.shifted(right, down, float(self.view.depth(by)))

    def _units(
        self, order: Compared, figures: tuple[Figure, ...]
    ) -> Iterator[tuple[str, str, list[Part]]]:
        """Yield the units in their order: key, the piece that it goes with, parts."""
        goes_with = {
            person_owner(one): one.bay.placed.piece.id for one in figures if one.bay.placed
        }
        for count, (_, some) in enumerate(
            groupby(order.ordered, key=lambda part: part.face.body or part)
        ):
            parts = list(some)
            owner = parts[0].face.owner
            numbers = [self._numbers.get(id(part)) for part in parts]
            if None in numbers:
                # numbered through: what is new to this step has no name beyond it
                key = f"new-{count}"
            else:
                key = f"{numbers[0]}-{zlib.crc32(repr(numbers).encode()):x}"
            yield key, goes_with.get(owner, owner), parts


def base_of(scene: Scene, corner: int) -> Base:
    """Draw a plan from a corner, ready to follow what is moved."""
    view, figures = View(corner), figures_of(scene)
    things = faces_by_thing(scene, view, figures)
    faces = [face for some in things.values() for face in some]
    return Base(scene, view, figures, things, compared(faces))


def _markup(key: str, owner: str, parts: list[Part]) -> str:
    data = (("key", key), ("owner", owner))
    return written(Group(drawn_parts(parts), "", data), digits=0)
