"""Reads the form of a walk as it was typed: walls, turns, diagonals, heights.

Fields, n counted from 1: `length{n}`, `turn{n}` (in, straight, out) and `wall{n}` (the wall of the
room it stands for, or nothing); `from{n}`, `to{n}` (corner numbers) and `diagonal{n}`; `at{n}`
(the letter of a wall), `along{n}`, `away{n}` and `height{n}`; `rises` (the number of the wall from
which the ceiling rises, where the heights leave it open); `hand` (left, right), `by` (tape,
laser) and `back` (not empty: the walk is back at its start).

Between four corners there are two diagonals, so their ends need not be said: the first row is
1 to 3, the second 2 to 4. One height needs no wall. Between four walls two heights need none:
the first is at the last wall, which has the door in it, the second at the wall that faces it; where
one of both is said, the other is at the wall that faces that one. Of more each says at which it is.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import cast

from pydantic import ValidationError

from app.errors import Fault
from app.forms.typed_fields import Typed
from app.model.base import LABEL_LIMIT
from app.model.faults import plan_error
from app.model.room_walls import letter_at
from app.model.walk import Diagonal, Hand, HeightAt, MeasuredWith, TurnWord, Walk, WalkStep
from app.units import Units, format_length

ROWS_MOST = 200
WALL = (50.0, 60_000.0)
ACROSS = (50.0, 90_000.0)
HEIGHT = (300.0, 12_000.0)
PLACE = (0.0, 60_000.0)
OF_FOUR = (("1", "3"), ("2", "4"))
"""The diagonals of a room of four corners, by the rows in which they are typed."""
FACING = {"A": "C", "B": "D", "C": "A", "D": "B"}
"""Which wall faces which between four corners. The door is in the last."""


@dataclass(frozen=True, slots=True)
class TypedWalk:
    """A walk that was read, and for each of its places the field it was typed in."""

    walk: Walk
    fields: Mapping[str, str] = field(default_factory=dict)

    def beside(self, faults: tuple[Fault, ...]) -> tuple[Fault, ...]:
        """Return faults of the walk under the fields of the form."""
        return tuple(Fault(self.fields.get(f.field, f.field), f.sentence) for f in faults)


def rows_of(fields: Mapping[str, str], name: str) -> int:
    """Return how many rows a form has of a field: its highest number, at most 200."""
    numbers = [
        int(match[1]) for key in fields if (match := re.fullmatch(rf"{name}([0-9]{{1,3}})", key))
    ]
    return min(max(numbers, default=0), ROWS_MOST)


def read_walk(fields: Mapping[str, str], units: Units, before: Walk | None = None) -> TypedWalk:
    """Read a walk. Raises PlanError with one fault for each field that is wrong.

    Walls and diagonals of `before` whose texts stand as they were keep their exact lengths: a
    field in feet says them to a sixteenth of an inch.
    """
    typed = Typed(fields, units)
    places: dict[str, str] = {}
    walls = {} if before is None else {(one.wall, one.typed): one for one in before.steps}
    across = {} if before is None else {(d.start, d.end, d.typed): d for d in before.diagonals}
    steps = _steps(typed, places, walls)
    diagonals = _diagonals(typed, places, len(steps), across)
    heights = _heights(typed, places, steps)
    hand = cast("Hand", typed.choice("hand", ("left", "right")))
    by = cast("MeasuredWith", typed.choice("by", ("tape", "laser")))
    rises = _as_typed(typed, "rises")
    rises_from = int(rises) if re.fullmatch("[1-9][0-9]{0,2}", rises) else None
    typed.done()
    try:
        walk = Walk(
            steps=tuple(steps),
            diagonals=tuple(diagonals),
            heights=tuple(heights),
            rises_from=rises_from if rises_from and rises_from <= len(steps) else None,
            hand=hand,
            measured_with=by,
        )
    except ValidationError as error:
        raise plan_error(error) from None
    return TypedWalk(walk, places)


def fields_of(walk: Walk) -> dict[str, str]:
    """Return the fields of a form that hold a walk as it was typed."""
    fields: dict[str, str] = {"hand": walk.hand, "by": walk.measured_with}
    if walk.rises_from:
        fields["rises"] = f"{walk.rises_from}"
    for n, step in enumerate(walk.steps, 1):
        fields |= {f"length{n}": step.typed, f"turn{n}": step.turn, f"wall{n}": step.wall or ""}
    for n, diagonal in enumerate(walk.diagonals, 1):
        fields |= {f"from{n}": str(diagonal.start), f"to{n}": str(diagonal.end)}
        fields[f"diagonal{n}"] = diagonal.typed
    for n, height in enumerate(walk.heights, 1):
        fields |= {f"at{n}": letter_at(height.wall - 1), f"along{n}": height.along_typed}
        fields |= {f"away{n}": height.out_typed, f"height{n}": height.typed}
    return fields


def field_name(field: str) -> str:
    """Name a field of the form in a sentence by what it is about: `wall C`, `height 1`."""
    match = re.fullmatch(r"([a-z]+)([0-9]{1,3})", field)
    if match is None:
        return "the end of the walk"
    number = int(match[2])
    if match[1] == "length":
        return f"wall {letter_at(number - 1)}"
    ends = {"from": "the start of diagonal", "to": "the end of diagonal", "diagonal": "diagonal"}
    return f"{ends.get(match[1], 'height')} {number}"


def _as_typed(typed: Typed, name: str) -> str:
    return typed.fields.get(name, "").strip()


def _steps(
    typed: Typed, places: dict[str, str], before: Mapping[tuple[str | None, str], WalkStep]
) -> list[WalkStep]:
    rows = rows_of(typed.fields, "length")
    while rows and not _as_typed(typed, f"length{rows}"):
        rows -= 1
    steps = []
    for n in range(1, rows + 1):
        name = f"length{n}"
        bare = _as_typed(typed, name)
        if typed.units == "metric" and re.fullmatch("[1-9][0-9]?", bare):
            larger = "cm" if len(bare) == 2 else "m"
            typed.fault(name, f"“{bare}” has two readings: write {bare} mm or {bare} {larger}")
            continue
        length = typed.length(name, f"the length of wall {letter_at(n - 1)}", WALL)
        turn = cast("TurnWord", typed.choice(f"turn{n}", ("in", "straight", "out")))
        wall = _as_typed(typed, f"wall{n}")
        known = re.fullmatch(r"[a-z0-9][a-z0-9-]{0,47}", wall)
        same = before.get((wall, _as_typed(typed, name))) if wall else None
        steps.append(
            WalkStep(
                length_mm=length if same is None else same.length_mm,
                typed=_as_typed(typed, name)[:LABEL_LIMIT],
                turn=turn,
                wall=wall if known else None,
            )
        )
        places[f"wall:{len(steps)}"] = name
    return steps


def _diagonals(
    typed: Typed,
    places: dict[str, str],
    corners: int,
    before: Mapping[tuple[int, int, str], Diagonal],
) -> list[Diagonal]:
    diagonals = []
    for n in range(1, rows_of(typed.fields, "diagonal") + 1):
        name = f"diagonal{n}"
        texts = [_as_typed(typed, each) for each in (f"from{n}", f"to{n}", name)]
        if not any(texts):
            continue
        unsaid = OF_FOUR[n - 1] if corners == 4 and n <= 2 and not any(texts[:2]) else ("", "")
        start, end = (
            _corner(typed, f"{side}{n}", corners, usual)
            for side, usual in zip(("from", "to"), unsaid, strict=True)
        )
        length = typed.length(name, "the length of the diagonal", ACROSS)
        if start is None or end is None:
            continue
        if start == end:
            typed.fault(f"to{n}", "a diagonal runs between two different corners")
            continue
        same = before.get((start, end, texts[2]))
        length = length if same is None else same.length_mm
        diagonals.append(
            Diagonal(start=start, end=end, length_mm=length, typed=texts[2][:LABEL_LIMIT])
        )
        places[f"diagonal:{len(diagonals)}"] = name
    return diagonals


def _corner(typed: Typed, name: str, corners: int, usual: str) -> int | None:
    text = _as_typed(typed, name) or usual
    if not re.fullmatch(r"[0-9]{1,3}", text) or not 1 <= int(text) <= max(corners, 1):
        typed.fault(name, f"type the number of a corner, 1 to {max(corners, 1)}")
        return None
    return int(text)


def _facing(typed: Typed, walls: int) -> dict[int, str]:
    """Return at which walls the first two heights are where nobody says so, by their rows."""
    if walls != len(FACING):
        return {}
    first, second = (_as_typed(typed, f"at{n}").upper() for n in (1, 2))
    return {1: FACING.get(second, letter_at(walls - 1)), 2: FACING.get(first, "B")}


def _heights(typed: Typed, places: dict[str, str], steps: list[WalkStep]) -> list[HeightAt]:
    heights = []
    letters = {letter_at(i): i + 1 for i in range(len(steps))}
    last = letter_at(len(steps) - 1) if steps else "A"
    rows = range(1, rows_of(typed.fields, "height") + 1)
    sole = sum(bool(_as_typed(typed, f"height{n}")) for n in rows) == 1
    unsaid = {} if sole else _facing(typed, len(steps))
    for n in rows:
        texts = [_as_typed(typed, f"{each}{n}") for each in ("at", "along", "away", "height")]
        if not any(texts[1:]):
            continue
        height = typed.length(f"height{n}", "the height", HEIGHT)
        along = typed.length(f"along{n}", "the way along the wall", PLACE, empty=0)
        away = typed.length(f"away{n}", "the way out from the wall", PLACE, empty=0)
        wall = letters.get(texts[0].upper() or ("A" if sole else unsaid.get(n, "")))
        if wall is None:
            typed.fault(f"at{n}", f"type the letter of the wall, A to {last}")
            continue
        if along > steps[wall - 1].length_mm:
            typed.fault(
                f"along{n}",
                f"wall {letter_at(wall - 1)} is "
                f"{format_length(steps[wall - 1].length_mm, typed.units)} long",
            )
            continue
        heights.append(
            HeightAt(
                wall=wall,
                along_mm=along,
                out_mm=away,
                height_mm=height,
                typed=texts[3][:LABEL_LIMIT],
                along_typed=texts[1][:LABEL_LIMIT],
                out_typed=texts[2][:LABEL_LIMIT],
            )
        )
        places[f"height:{len(heights)}"] = f"height{n}"
    return heights
