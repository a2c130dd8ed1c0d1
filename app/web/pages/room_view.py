"""What the templates of the room ask for: names, places of marks, words for every choice."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from app.forms.field_table import Words
from app.forms.room_edits import TABLES
from app.forms.room_edits_things import things_that_stay
from app.forms.room_edits_ways import WAYS
from app.library.known import OUT_OF_ROOM
from app.library.own import kits_of
from app.model.base import HasId, Point
from app.model.height_lines import fall_arrow
from app.model.plan import Plan, Situation
from app.model.room import Opening, Room
from app.model.room_check import opening_name
from app.model.room_missing import Listed, known, missing
from app.model.room_overhead import (
    CeilingForm,
    ceiling_form,
    span_mm,
)
from app.model.room_parts import parts_of
from app.model.room_walls import direction, inward, taken_up_by
from app.published.register import PublishedValue, row
from app.scene.part_cover import bare_share
from app.web.pages.part_view import KINDS as SURFACES
from app.web.pages.part_view import PartSeen, bare_words, parts_seen
from app.web.pages.plan_view import PlanView
from app.web.pages.room_things_view import ThingsView
from app.web.pages.room_words import LISTS, PARTS, STEPS, Step
from app.web.pages.table_view import Shown, in_groups

ROUND_SOCKET_MM = 300.0
ROOMY_WALL_MM = 1500.0
"""On walls longer than this a letter keeps that far from sockets: neither hides the other."""
SIDES = ("e", "se", "s", "sw", "w", "nw", "n", "ne")


def things_of(plan: Plan, kind: str) -> tuple[HasId, ...]:
    """Return what can be chosen of a kind; nothing for a word that is none."""
    room = plan.room
    if kind in SURFACES:
        return parts_of(room, SURFACES[kind])
    lists: dict[str, tuple[HasId, ...]] = {
        "wall": room.walls,
        "corner": room.walls,
        "opening": room.openings,
        "into": room.walls,
        "low": room.low_things,
        "column": room.columns,
        "socket": room.sockets,
        "found": things_that_stay(plan),
    }
    return lists.get(kind, ())


def known_part(plan: Plan, of: str) -> str:
    """Return a part of the page that is there: the one asked for, its list, or the overview."""
    kind, colon, thing_id = of.partition(":")
    if not colon:
        return of if of in dict(PARTS) else "known"
    if any(thing.id == thing_id for thing in things_of(plan, kind)):
        return of
    return LISTS.get(kind, "known")


@dataclass(frozen=True, slots=True)
class Line:
    """A mark along a wall, in mm of the room."""

    x1: float
    y1: float
    x2: float
    y2: float

    @property
    def middle(self) -> tuple[float, float]:
        """The point half way."""
        return ((self.x1 + self.x2) / 2, (self.y1 + self.y2) / 2)


@dataclass(frozen=True, slots=True)
class Badge:
    """The letter of a wall: along a free stretch of its face, `deep_mm` within the wall."""

    along: Line
    inward: tuple[float, float]
    deep_mm: float

    @property
    def at(self) -> tuple[float, float]:
        """Where it stands unless a figure is there."""
        x, y = self.along.middle
        return (x - self.inward[0] * self.deep_mm, y - self.inward[1] * self.deep_mm)


@dataclass(frozen=True)
class RoomView(PlanView):
    """A plan's room as its page shows it."""

    tables = TABLES

    @property
    def part(self) -> str:
        """The part of the index under which what is chosen stands."""
        return LISTS.get(self.kind, self.kind)

    @property
    def steps(self) -> tuple[Step, ...]:
        """The steps of the room in their order."""
        return STEPS

    @property
    def step(self) -> Step:
        """The step under which what is chosen stands."""
        return next(step for step in STEPS if self.part in dict(step.parts))

    @property
    def next_step(self) -> Step | None:
        """The step after this one, None at the end."""
        at = STEPS.index(self.step) + 1
        return STEPS[at] if at < len(STEPS) else None

    def lacks(self, step: Step) -> tuple[Listed, ...]:
        """What has not been said of a step."""
        parts = dict(step.parts)
        return tuple(t for t in self.missing if self._part_of(t.of) in parts)

    @staticmethod
    def _part_of(of: str) -> str:
        return LISTS.get(of.partition(":")[0], of)

    @property
    def chosen(self) -> Any:
        """The wall, opening or thing that is chosen; None for a part."""
        _, colon, thing_id = self.of.partition(":")
        if not colon:
            return None
        things = things_of(self.plan, self.kind)
        return next(thing for thing in things if thing.id == thing_id)

    @property
    def missing(self) -> tuple[Listed, ...]:
        """What has not been said."""
        return missing(self.plan, bare_share(self.plan.room))

    @property
    def known(self) -> tuple[Listed, ...]:
        """What the room comes to."""
        return known(self.plan)

    @property
    def open_parts(self) -> frozenset[str]:
        """The parts of the index in which something is missing."""
        return frozenset(self._part_of(t.of) for t in self.missing)

    @property
    def things(self) -> ThingsView:
        """What is in the room already, and the fields that ask for it."""
        return ThingsView(self.plan)

    @property
    def walls_alike(self) -> bool:
        """Whether all walls are of one kind and finish: a change for all then undoes nothing."""
        return len({(wall.construction, wall.finish) for wall in self.plan.room.walls}) == 1

    def corner_number(self, wall_id: str) -> int:
        """The number of the corner where a wall starts."""
        return [wall.id for wall in self.plan.room.walls].index(wall_id) + 1

    def end_number(self, wall_id: str) -> int:
        """The number of the corner where a wall ends."""
        return self.corner_number(wall_id) % len(self.plan.room.walls) + 1

    @property
    def start_side(self) -> str:
        """The end of every wall at which it starts, seen from inside with one's face to it."""
        return "left" if self.plan.room.clockwise else "right"

    def taken_up_by(self, wall_id: str) -> str:
        """The letter of the wall that takes up a change of this one's length."""
        return self.letter(taken_up_by(self.plan.room, wall_id))

    @property
    def lists(self) -> Mapping[str, Words]:
        """The choices that a form takes from the plan, by name."""
        walls = self.wall_choices()
        return {
            **super().lists,
            "walls-asked": [("", "which one?"), *walls],
            "circuits": self.circuit_choices(),
        }

    def new_opening(self) -> list[tuple[str, list[Shown]]]:
        """The fields of one more door or window; in the wall that was chosen for it, if one was."""
        wall_id = self.chosen.id if self.kind == "into" else self._first_door_wall
        begins = f"Begins, from the wall's {self.start_side} end seen from inside"
        fields = self.fields("opening", offset=begins)
        return in_groups({**fields, "wall": replace(fields["wall"], value=wall_id)})

    @property
    def _first_door_wall(self) -> str:
        """The wall of the first door of a room that was walked: the walk ends with it."""
        room = self.plan.room
        return room.walls[-1].id if room.walk and not room.openings else ""

    def name_of(self, opening: Opening) -> str:
        """The name of an opening, beginning with a capital."""
        name = opening_name(opening)
        return name[0].upper() + name[1:]

    def wall_line(self, wall_id: str) -> Line:
        """A wall's face as measured."""
        (x1, y1), (x2, y2) = self.plan.room.wall_ends(wall_id)
        return Line(x1, y1, x2, y2)

    def opening_line(self, opening: Opening) -> Line:
        """The stretch of wall that an opening takes."""
        return self._along(opening.wall, opening.offset_mm, opening.offset_mm + opening.width_mm)

    def badge(self, wall_id: str) -> Badge:
        """Where a wall's letter stands: in the middle of its longest stretch without an opening."""
        room = self.plan.room
        length = room.wall_length_mm(wall_id)
        taken = [
            (o.offset_mm, o.offset_mm + o.width_mm) for o in room.openings if o.wall == wall_id
        ]
        taken += [
            (max(0.0, s.offset_mm - ROUND_SOCKET_MM), min(length, s.offset_mm + ROUND_SOCKET_MM))
            for s in room.sockets
            if s.wall == wall_id and length > ROOMY_WALL_MM
        ]
        cuts = sorted(taken)
        free, at = [], 0.0
        for start, end in [*cuts, (length, length)]:
            free.append((start - at, at, start))
            at = max(at, end)
        _, start, end = max(free, key=lambda stretch: (round(stretch[0]), -stretch[1]))
        line = self._along(wall_id, start, end)
        nx, ny = inward(room, wall_id)
        deep = next(w.thickness_mm for w in room.walls if w.id == wall_id) / 2
        return Badge(line, (nx, ny), deep)

    def socket_point(self, socket: Any) -> tuple[float, float]:
        """Where a socket sits on the face of its wall."""
        line = self._along(socket.wall, socket.offset_mm, socket.offset_mm)
        return (line.x1, line.y1)

    def corner_side(self, index: int) -> str:
        """The side of a corner on which the room lies, as a point of the compass on paper."""
        room = self.plan.room
        one = inward(room, room.walls[index].id)
        other = inward(room, room.walls[index - 1].id)
        angle = math.degrees(math.atan2(one[1] + other[1], one[0] + other[0]))
        return SIDES[round(angle / 45) % 8]

    def corner_choices(self) -> list[tuple[int, str, float, float]]:
        """Every corner: its number, the wall that starts there, x and y."""
        return [(i + 1, w.id, w.x_mm, w.y_mm) for i, w in enumerate(self.plan.room.walls)]

    @property
    def ceiling(self) -> CeilingForm:
        """The ceiling as told from a wall."""
        return ceiling_form(self.plan.room)

    @property
    def fall(self) -> tuple[Point, Point] | None:
        """The arrow down a ceiling of one slope; None for any other."""
        planes = self.plan.room.ceiling.planes
        return fall_arrow(self.plan.room, planes[0]) if len(planes) == 1 else None

    def seen(self, kind: str) -> tuple[PartSeen, ...]:
        """The parts of the ceiling (`over`) or the steps of the floor (`step`)."""
        return parts_seen(self.plan.room, kind, self.plan.units)

    @property
    def seen_chosen(self) -> PartSeen | None:
        """The part that is chosen, if one is."""
        if self.kind not in SURFACES:
            return None
        return next(part for part in self.seen(self.kind) if part.plane == self.chosen)

    @property
    def bare(self) -> str:
        """What to say of floor that no ceiling is told over."""
        return bare_words(self.plan.room)

    def span(self, wall_id: str) -> float:
        """How far the room reaches from a wall."""
        return span_mm(self.plan.room, wall_id)

    @property
    def escape_side_mm(self) -> float:
        """The least width and height of a window through which one gets out."""
        return row("window.escape.side-mm").value

    @property
    def escape_sill_mm(self) -> float:
        """The highest bottom edge of such a window above the floor."""
        return row("window.escape.sill-mm").value

    @property
    def way_widths(self) -> tuple[float, ...]:
        """The least, wanted and easy width of a way where none was said, in mm."""
        return tuple(row(key).value for key in WAYS)

    @property
    def accessible_way(self) -> PublishedValue:
        """The published width of an accessible route."""
        return row("accessible.route-mm")

    def state_choices(self) -> list[tuple[str, str, list[tuple[str, str]]]]:
        """Pieces that can stand otherwise: id, name, and their states with names."""
        offered = []
        for piece in self.plan.pieces:
            kit = kits_of(self.plan).get(piece.type)
            if kit is None:
                continue
            states = [(state.key, state.name.lower()) for state in kit.states]
            if states or kit.group == "Of the house":
                choices = [("", "as on the plan"), *states, (OUT_OF_ROOM, "out of the room")]
                offered.append((piece.id, piece.label or kit.name, choices))
        return offered

    def states_of(self, situation: Situation) -> dict[str, str]:
        """How the pieces stand in a situation, by piece."""
        return {entry.id: entry.state for entry in situation.states}

    def circuit_choices(self) -> list[tuple[str, str]]:
        """Every circuit with what to call it in a list."""
        circuits = self.plan.room.electricity.circuits
        named = [(c.id, f"{c.label or c.id}, {c.amps:g} A") for c in circuits]
        return [("", "I don't know"), *named]

    def _along(self, wall_id: str, start: float, end: float) -> Line:
        room: Room = self.plan.room
        (x, y), _ = room.wall_ends(wall_id)
        ux, uy = direction(room, wall_id)
        return Line(x + ux * start, y + uy * start, x + ux * end, y + uy * end)
