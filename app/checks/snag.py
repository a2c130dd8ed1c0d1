"""A snag: one finding, with its numbers, the place, and where the figures come from."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from app.library.kit import KitType, Space, kit_types
from app.library.own import MANUAL_SOURCE, OWN_SOURCE
from app.published.register import row
from app.units import Units
from app.wording import Phrase

Severity = Literal["stop", "care", "note"]
SEVERITIES: tuple[Severity, ...] = ("stop", "care", "note")
Easing = Literal["bolts", "lower", "parts", "socket", "standing", "supply", "taller", "weight"]
"""What eases a finding besides moving things: bolts, lower kit, kit whose parts come in, a socket,
kit that stands on the floor, another supply, taller kit, less weight on it."""
Meets = Literal["column", "door", "height", "kit", "overhead", "room", "window"]
"""What a thing comes up against where it stands: a column, a door, the height for who trains there,
other kit, what is overhead, the edge of the room, a window."""
Lacks = Literal["catches", "fixing", "height", "hooks", "kit", "parts", "shaft"]
"""What is missing where something does not work: catches under a bar, what holds a thing on a wall,
clear height over a movement, hooks under a bar, kit for what is wanted, what makes a rack whole,
length of a bar's shaft."""
_ONE = ("ss", "us", "is", "'s")
"""Endings in s of what is one thing: a press, a bus."""
_SHORT_WORD = 3
"""A word as short as "gas" is one thing."""
_KIT = "kit:"
_OWN = "own:"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a figure comes from: its key, title, clause and how far it can be relied on."""

    key: str
    title: str
    clause: str
    status: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Snag:
    """One finding.

    `template` and `values` make the sentence, put together only when it is asked for: a drag
    makes many snags that nobody reads. `parts` are the short sentences of one that says several
    things. `measured`, `required` and `need` are in `unit`;
    `required` is the figure that was missed, `need` the recommended one where it is another.
    `where` is a place on the plan in mm. `working` are the terms behind a required figure.

    What the program does with a snag hangs on fields, never on its code or words:
    `hangs_on_place`: moving something can clear it. `while_training`: it matters only in
    situations in which people train. `background`: as a note it is only worth knowing of the room
    as a whole. `question`: the household must find something out. `blocked`: there is no way to
    what it names first. `space` is the key of the working space that is not free, `to_reach` that
    this is room before what must be got at. `shuts_door`: a door cannot be opened for it.
    `against` is what takes the room, a piece by its id or a wall by its name; `flanked` that it
    stands beside the working space, not before the piece; `all_round` that the space is a ring.
    `meets` is what the thing comes up against where it stands, as the core of searches counts it;
    None for working spaces and for what takes more than the place. `opening` is the door or window
    and `circuit` the circuit that it is about, by id; `lacks` what is missing; `eased_by` what
    eases it besides moving something.
    `other_mm` is what is free on the side with less, of a choice of sides that are all short.
    `rests_on` is what a bar lies on that has too little height where it lies.
    `sheet` is the mirror of the fit-out that it is about, by id.
    `called` is what it is about as it is within a sentence, where its names in a row are not that.
    """

    code: str
    severity: Severity
    template: str
    values: tuple[object, ...] = ()
    pieces: tuple[str, ...] = ()
    names: tuple[str, ...] = ()
    person: str | None = None
    movement: str | None = None
    situation: str | None = None
    measured: float | None = None
    required: float | None = None
    need: float | None = None
    unit: str | None = "mm"
    where: tuple[float, float] | None = None
    source_keys: tuple[str, ...] = ()
    working: tuple[tuple[str, float], ...] = ()
    parts: tuple[Phrase, ...] = ()
    hangs_on_place: bool = False
    while_training: bool = False
    background: bool = False
    question: bool = False
    blocked: bool = False
    space: str | None = None
    to_reach: bool = False
    shuts_door: bool = False
    against: str | None = None
    flanked: bool = False
    all_round: bool = False
    meets: Meets | None = None
    opening: str | None = None
    circuit: str | None = None
    lacks: Lacks | None = None
    eased_by: frozenset[Easing] = frozenset()
    other_mm: float | None = None
    rests_on: str | None = None
    sheet: str | None = None
    called: str = ""

    @property
    def key(self) -> str:
        """What it is called for as long as it lives: code, pieces, person, movement, situation."""
        parts = (
            self.code,
            "+".join(self.pieces),
            self.person or "",
            self.movement or "",
            self.situation or "",
        )
        return "|".join(parts)

    @property
    def wording(self) -> Phrase:
        """The sentence before it is put together."""
        return Phrase(self.template, self.values)

    @property
    def sentence(self) -> str:
        """One plain sentence with numbers, in millimetres."""
        return self.worded("metric")

    def worded(self, units: Units) -> str:
        """The sentence with its lengths in the units of a plan."""
        return self.wording.worded(units)

    def lines(self, units: Units) -> tuple[str, ...]:
        """The sentence as a list of short ones, where it says several things; else nothing."""
        several = self.parts if len(self.parts) >= 2 else ()
        return tuple(part.worded(units) for part in several)

    @property
    def who(self) -> str:
        """A short title: the things or person it is about."""
        title = ", ".join(self.names)
        return title[:1].upper() + title[1:]

    @property
    def sources(self) -> tuple[Source, ...]:
        """The rows of the register or of the kit library behind the numbers."""
        return tuple(source(key) for key in self.source_keys)


def kit_key(type_key: str, part: str) -> str:
    """Return the source key of a part of a kit type, such as a working space by its key."""
    return f"{_KIT}{type_key}:{part}"


def space_sources(kit: KitType, space: Space) -> tuple[str, ...]:
    """Return the source keys of a working space: of the plan's own row if it was entered there."""
    if space.source in (MANUAL_SOURCE, OWN_SOURCE):
        return (f"{_OWN}{space.source} ({kit.name}, {space.name})",)
    rows = tuple(key for key in (space.least, space.recommended) if key is not None)
    return rows or (kit_key(kit.key, space.key),)


def width_sources(kit: KitType, space: Space) -> tuple[str, ...]:
    """Return the source keys of the width of a lane: its own row, else what the kit is."""
    return (space.wide,) if space.wide else space_sources(kit, space)


def source(key: str) -> Source:
    """Find the source behind a key. Raises KeyError for an unknown one."""
    if key.startswith(_OWN):
        return Source(key, key.removeprefix(_OWN), "", "read")
    if key.startswith(_KIT):
        type_key, part = key.removeprefix(_KIT).split(":", 1)
        kit = kit_types()[type_key]
        for space in kit.spaces:
            if space.key == part:
                return Source(key, f"{space.source} ({kit.name}, {space.name})", "", space.status)
        return Source(key, f"{kit.source} ({kit.name})", "", kit.status)
    value = row(key)
    title = value.title if value.year is None else f"{value.title}, {value.year}"
    return Source(key, title, value.clause, value.status)


def is_many(name: str) -> bool:
    """Return whether a name is that of several things, as its head noun ends: "squat stands".

    What follows "of", "on", "with" or "for" is no head: a stack of plates is one.
    """
    head = re.split(r" (?:of|on|with|for|in) ", name)[0].rsplit(" ", 1)[-1].lower()
    return len(head) > _SHORT_WORD and head.endswith("s") and not head.endswith(_ONE)


def agreeing(name: str, one: str, many: str) -> str:
    """Return a name with the form of a verb that goes with it: "squat stands stand"."""
    return f"{name} {many if is_many(name) else one}"
