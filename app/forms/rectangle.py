"""A rectangle on the floor, told from a wall: its five fields, and the outline they come to."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Any

from app.forms.field_table import AS_DRAWN, FIRST, Field, length
from app.forms.typed_fields import Typed
from app.model.base import Point
from app.model.plan import Plan
from app.model.room_overhead import Place, place_from, place_of, rectangle, span_mm
from app.model.room_walls import letter

FARTHEST_MM = 60_000.0
"""No room that is measured by hand is longer; a length beyond it is a slip of the unit."""


@dataclass(frozen=True)
class Rectangle:
    """How a form tells a rectangle: `first` is the field of its wall, which others may stand for.

    The other fields begin with `prefix`; `sides` are the least and most of a side, `examples`
    those of its two, `wide` is the name of the second, and what it is in a fault. `when` tells
    whether they are read, in place of the wall that is chosen; `look` is how each is drawn,
    `needed` how the sides are.
    """

    first: Field
    prefix: str = ""
    sides: tuple[float, float] = (5.0, FARTHEST_MM)
    examples: tuple[str, str] = ("", "200 mm")
    wide: tuple[str, str] = ("Width", "the width")
    when: Callable[[Typed, Any], bool] | None = None
    look: Mapping[str, Any] = field(default_factory=dict)
    needed: str = ""

    @property
    def fields(self) -> tuple[Field, ...]:
        """Its fields in their order."""
        at = partial(length, at="", when=self.when or self._by_distances, **self.look)
        way = partial(at, example="0", least=0, most=FARTHEST_MM, empty=0)
        side = partial(at, least=self.sides[0], most=self.sides[1], mark=self.needed)
        along, long, away, wide = self._names
        return (
            self.first,
            way(along, "Along it, from its corner", what="the distance along the wall"),
            side(long, "Length along it", what="the length", example=self.examples[0]),
            way(away, "Away from it", what="the distance from the wall"),
            side(wide, self.wide[0], what=self.wide[1], example=self.examples[1]),
        )

    @property
    def _names(self) -> tuple[str, ...]:
        return tuple(f"{self.prefix}{name}" for name in ("along", "long", "away", "wide"))

    def _by_distances(self, typed: Typed, old: Any) -> bool:
        if self.first.when and not self.first.when(typed, old):
            return False
        given = typed.text(self.first.name)
        nowhere = typed.wrong(self.first.name) or (not given and self.first.empty == "")
        return not nowhere and (old is None or given != AS_DRAWN)

    def shown(self, plan: Plan, outline: tuple[Point, ...] | None) -> dict[str, Any]:
        """Return what the fields show of an outline; without one, of what is not there yet."""
        place = place_of(plan.room, outline) if outline else None
        if place is not None:
            sides = (place.along_mm, place.length_mm, place.away_mm, place.width_mm)
            return {self.first.name: place.wall, **dict(zip(self._names, sides, strict=True))}
        bare = plan.room.walls[0].id if self.first.empty in (None, FIRST) else self.first.empty
        return {self.first.name: AS_DRAWN if outline else bare, **dict.fromkeys(self._names)}

    def read(
        self,
        plan: Plan,
        typed: Typed,
        values: dict[str, Any],
        drawn: tuple[Point, ...] = (),
        inside: bool = True,
    ) -> tuple[Point, ...]:
        """Take its fields out of the values and return the outline that they come to.

        It stays as `drawn` where the form leaves it alone. `inside` sees that it begins within the
        room.
        """
        wall_id, *sides = (values.pop(name) for name in (self.first.name, *self._names))
        if typed.wrong(self.first.name, *self._names) or not wall_id:
            return ()
        if wall_id == AS_DRAWN:
            return drawn
        room, place = plan.room, Place(wall_id, *sides)
        most = room.wall_length_mm(wall_id) + sum(room.wall_length_mm(w.id) for w in room.walls)
        along, _, away, _ = self._names
        if inside and place.along_mm > most:
            name = letter(room, wall_id)
            typed.fault(along, f"that is past every wall; wall {name} ends before")
        elif inside and place.away_mm >= span_mm(room, wall_id):
            typed.fault(
                away,
                f"the room reaches {typed.say(span_mm(room, wall_id))} from wall "
                f"{letter(room, wall_id)}: this would lie outside",
            )
        same = drawn and place_from(room, drawn, wall_id) == place
        return drawn if same else rectangle(room, place)
