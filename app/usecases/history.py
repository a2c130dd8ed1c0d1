"""The use cases of keeping: looking back, milestones, comparing, going back, backups."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from pydantic import ValidationError

from app.changes.commands import Change, inverse
from app.changes.difference import difference
from app.changes.telling import tell
from app.checks.run import in_few_words
from app.checks.snag import Snag
from app.drawing.desk import desk_figure
from app.errors import CommandError, StoreError
from app.library.kit import KitType, kit_types
from app.library.known import check_known
from app.library.movements import movements
from app.library.own import kits_of
from app.model.base import Point
from app.model.fronts import front_of
from app.model.plan import Plan
from app.model.room import Room
from app.scene.build import Scene, build_scene
from app.store.backup import Copied, back_up, restore_backup
from app.store.database import FILE_NAME, Database
from app.store.entries import State
from app.store.log import Milestone, Revision
from app.store.pictures import drop_unshown
from app.store.plans import OWNER
from app.store.thinning import thin
from app.units import Units
from app.usecases.judging import snags_or_fault
from app.usecases.plans import Elbowroom
from app.wording import lower

PAGE = 50
PHRASES_AT_ONCE = 3
_CEILING, _WALLS = ("room", "ceiling"), ("room", "walls")
THUMB_EDGE_MM = 120.0
"""How much is seen round the room in a small picture: as much as a wall is thick."""
MARK_ROOM_MM = 90.0
"""How far the mark round a changed piece keeps from it on the picture."""


@dataclass(frozen=True, slots=True)
class Line:
    """One revision for people; `stands_for` is how many were folded into it."""

    number: int
    what: str
    who: str
    at: datetime
    milestone: str | None
    folded: int


@dataclass(frozen=True, slots=True)
class Past:
    """A page of the history, the newest first; `below` asks for the next, None at the end."""

    state: State
    lines: tuple[Line, ...]
    milestones: tuple[Milestone, ...]
    below: int | None


@dataclass(frozen=True, slots=True)
class Side:
    """One of two revisions: its line, its desk's figure, what is marked.

    `marks` are the corners of a frame round each piece that differs, as SVG points in mm; `view` is
    the part of the room's plane that the figure shows.
    """

    line: Line
    drawing: str
    marks: tuple[str, ...]
    view: str


@dataclass(frozen=True, slots=True)
class Outlines:
    """A revision at a glance: outlines of room and pieces in mm, and whether each came of it."""

    room: tuple[Point, ...]
    room_is_new: bool
    pieces: tuple[tuple[tuple[Point, ...], bool], ...]

    @property
    def view(self) -> tuple[float, float, float, float]:
        """What a picture of it shows: left, top, width and height, mm."""
        xs, ys = zip(*self.room, strict=True)
        edge = THUMB_EDGE_MM
        left, top = min(xs) - edge, min(ys) - edge
        return left, top, max(xs) + edge - left, max(ys) + edge - top


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two revisions: what differs in words, and the snags that went and came.

    `pieces` are the ids of pieces that differ; `room` tells that the room itself does.
    """

    old: Side
    new: Side
    phrases: tuple[str, ...]
    gone: tuple[Snag, ...]
    come: tuple[Snag, ...]
    summary: str
    units: Units
    pieces: frozenset[str]
    room: bool


def history(house: Elbowroom, plan_id: str, below: int | None = None) -> Past:
    """Return a page of a plan's history. Raises NotFoundError."""
    state = house.open(plan_id)
    revisions = house.store.log.page(plan_id, below, PAGE + 1)
    shown = revisions[:PAGE]
    changes = [c for r in shown if r.command is not None for c in r.command.changes]
    names = {**_names_in(changes), **names_of(state.plan)}
    return Past(
        state,
        _lines(house, plan_id, shown, names, state.plan),
        house.store.log.milestones(plan_id),
        shown[-1].number if len(revisions) > PAGE else None,
    )


def name_milestone(house: Elbowroom, plan_id: str, number: int, name: str) -> None:
    """Name a revision, by which it is kept for ever. Raises NotFoundError, PlanError."""
    house.store.log.name_milestone(plan_id, number, name)


def drop_milestone(house: Elbowroom, plan_id: str, number: int) -> None:
    """Take a revision's name away. Raises NotFoundError."""
    house.store.log.drop_milestone(plan_id, number)


def plan_at(house: Elbowroom, plan_id: str, number: int) -> Plan:
    """Return the plan as it was at a revision. Raises NotFoundError."""
    return house.store.log.revision(plan_id, number)[1]


def compare(house: Elbowroom, plan_id: str, old: int, new: int) -> Comparison:
    """Put two revisions beside one another. Raises NotFoundError.

    Raises PlanError when one of them names kit that the library no longer has.
    """
    first, before = house.store.log.revision(plan_id, old)
    second, after = house.store.log.revision(plan_id, new)
    scenes = [_built(plan) for plan in (before, after)]
    snags = [{s.key: s for s in in_few_words(snags_or_fault(scene))} for scene in scenes]
    names = {**names_of(before), **names_of(after)}
    changes = _changes(before, after)
    room_of_both = after.room if before.room.walls == after.room.walls else None
    phrases = tell(changes, names, after.units, after.currency, room_of_both, front=front_of(after))
    gone = tuple(snag for key, snag in snags[0].items() if key not in snags[1])
    come = tuple(snag for key, snag in snags[1].items() if key not in snags[0])
    differs = frozenset(c.path[1] for c in changes if c.path[0] == "pieces" and len(c.path) > 1)
    room = any(c.path[0] == "room" for c in changes)
    left, right = (
        _side(_line(revision, names, scene.plan), scene, differs)
        for revision, scene in zip((first, second), scenes, strict=True)
    )
    summary = "; ".join(filter(None, (_few(phrases), _snags_say(len(gone), len(come)))))
    in_short = summary or "Nothing differs"
    return Comparison(left, right, phrases, gone, come, in_short, after.units, differs, room)


def go_back(house: Elbowroom, plan_id: str, number: int, author: str = OWNER) -> State:
    """Make the plan what it was at a revision, by a new revision that can be undone.

    Raises NotFoundError, ConflictError when the plan is changed meanwhile, PlanError when the
    library no longer has what it was, CommandError when too much differs for one step.
    """
    revision, past = house.store.log.revision(plan_id, number)
    now = house.open(plan_id)
    named = f", “{revision.milestone}”" if revision.milestone else ""
    try:
        command = difference(now.plan, past, "back", f"back to revision {number}{named}")
    except ValidationError:
        raise CommandError("Too much differs to go back in one step; copy the plan.") from None
    return now if command is None else house.do(plan_id, command, author)


def tidy(house: Elbowroom) -> int:
    """Thin out what is long past, and the pictures that nothing shows any more.

    Gives how many revisions went. Raises StoreError.
    """
    gone = thin(house.store.database)
    drop_unshown(house.store.database)
    return gone


def back_up_open(house: Elbowroom, target: Path) -> Copied:
    """Write all plans into one new file while they are in use; see `back_up_folder`."""
    return back_up(house.store.database, target)


def back_up_folder(data: Path, target: Path) -> Copied:
    """Write all plans of a folder into one new file. Raises StoreError.

    A program that serves the folder meanwhile is not disturbed.
    """
    if not (data / FILE_NAME).exists():
        raise StoreError(f"There are no plans in {data}.")
    database = Database(data)
    try:
        return back_up(database, target)
    finally:
        database.close()


def restore_folder(data: Path, backup: Path) -> Copied:
    """Put a backup in the place of the plans of a folder that nobody serves.

    Raises StoreError; then nothing has changed.
    """
    return restore_backup(backup, data)


def names_of(plan: Plan) -> dict[str, str]:
    """Return what people call each piece and person of a plan by id, kit types and movements.

    Kit types are there by "type" and their key, movements by "movement" and theirs.
    """
    kits = kits_of(plan)
    known = {f"type {key}": kit.name for key, kit in kits.items()}
    known |= {f"movement {key}": lower(one.name) for key, one in movements().items()}
    named = {
        piece.id: piece.label or _kit_name(kits, piece.type, piece.id) for piece in plan.pieces
    }
    people = {person.id: person.label or person.id for person in plan.people}
    return {**known, **people, **named}


def _names_in(changes: Iterable[Change]) -> dict[str, str]:
    """Return the names of pieces that come or go in these changes."""
    named = {}
    for change in changes:
        for data in (change.before, change.after):
            if change.path[0] == "pieces" and len(change.path) == 2 and isinstance(data, dict):
                label, kind = str(data.get("label") or ""), str(data.get("type"))
                named[change.path[1]] = label or _kit_name(kit_types(), kind, change.path[1])
    return named


def _came_as(changes: Iterable[Change], plan: Plan) -> dict[str, str]:
    """Return what pieces that come or go in these changes were called then, by id."""
    kits, named = kits_of(plan), {}
    for change in changes:
        for data in (change.before, change.after):
            if change.path[0] == "pieces" and len(change.path) == 2 and isinstance(data, dict):
                kit = kits.get(str(data.get("type")))
                name = str(data.get("label") or "") or (kit.name if kit else "")
                if name:
                    named[change.path[1]] = name
    return named


def _kit_name(kits: Mapping[str, KitType], type_key: str, piece_id: str) -> str:
    kit = kits.get(type_key)
    return piece_id.replace("-", " ") if kit is None else kit.name


def _lines(
    house: Elbowroom,
    plan_id: str,
    shown: Sequence[Revision],
    names: Mapping[str, str],
    plan: Plan,
) -> tuple[Line, ...]:
    """Tell revisions, the newest first, each ceiling by the walls it was changed under."""
    room: Room | None = None
    if any(change.path[:2] == _CEILING for r in shown for change in _changes_of(r)):
        # where that one cannot be read, a change of the ceiling is told without its walls
        with suppress(StoreError):
            room = house.store.log.revision(plan_id, shown[0].number)[1].room
    lines = []
    for revision in shown:
        # under the walls of before one knows no more how high the ends of a slope were
        if any(change.path[:2] in (("room",), _WALLS) for change in _changes_of(revision)):
            room = None
        lines.append(_line(revision, names, plan, room))
    return tuple(lines)


def _changes_of(revision: Revision) -> Sequence[Change]:
    return () if revision.command is None else revision.command.changes


def _line(
    revision: Revision, names: Mapping[str, str], plan: Plan, room: Room | None = None
) -> Line:
    who = "you" if revision.author == OWNER else revision.author
    command = revision.command
    if revision.unreadable:
        what = "A change that cannot be read from the file"
    elif command is None:
        what = "The plan as it was made" if revision.kind == "new" else "Nothing in the end"
    elif command.name == "back":
        what = command.says[:1].upper() + command.says[1:]
    else:
        undone = revision.kind == "undo"
        shown = inverse(command) if undone else command
        named = {**names, **_came_as(shown.changes, plan)}
        phrases = tell(
            shown.changes, named, plan.units, plan.currency, room, undone, front_of(plan)
        )
        what = _few(phrases) or command.says
        what = {"undo": "Undone: ", "redo": "Done again: "}.get(revision.kind, "") + what
    return Line(revision.number, what, who, revision.at, revision.milestone, revision.folded)


def _few(phrases: tuple[str, ...]) -> str:
    more = len(phrases) - PHRASES_AT_ONCE
    shown = "; ".join(phrases[:PHRASES_AT_ONCE])
    return f"{shown}; and {more} more" if more > 0 else shown


def _snags_say(gone: int, come: int) -> str:
    return "; ".join(
        f"{count} {'snag' if count == 1 else 'snags'} {word}"
        for count, word in ((gone, "gone"), (come, "new"))
        if count
    )


def outlines(house: Elbowroom, plan_id: str, number: int) -> Outlines:
    """Return the outlines of a revision, and which of them came of it. Raises NotFoundError.

    Raises PlanError when it names kit that the library no longer has.
    """
    revision, plan = house.store.log.revision(plan_id, number)
    scene = _built(plan)
    paths = [change.path for change in _changes_of(revision)]
    touched = {path[1] for path in paths if path[0] == "pieces" and len(path) > 1}
    pieces = [
        (tuple((x, y) for x, y in placed.footprint.exterior.coords), key in touched)
        for key, placed in scene.placed.items()
    ]
    new_room = any(path[0] == "room" and path[1:2] in ((), ("walls",)) for path in paths)
    # what is new lies above what it stands in
    return Outlines(plan.room.corners, new_room, tuple(sorted(pieces, key=lambda piece: piece[1])))


def _changes(before: Plan, after: Plan) -> tuple[Change, ...]:
    try:
        command = difference(before, after, "edit")
    except ValidationError:
        raise CommandError("Too much differs to tell it in words.") from None
    return () if command is None else command.changes


def _built(plan: Plan) -> Scene:
    check_known(plan)
    return build_scene(plan)


def _side(line: Line, scene: Scene, differs: Container[str]) -> Side:
    drawing = desk_figure(scene)
    marks = tuple(_frame(scene, piece_id) for piece_id in scene.placed if piece_id in differs)
    return Side(line, drawing.svg, marks, drawing.view_box)


def _frame(scene: Scene, piece_id: str) -> str:
    x0, y0, x1, y1 = scene.placed[piece_id].footprint.bounds
    x0, y0, x1, y1 = x0 - MARK_ROOM_MM, y0 - MARK_ROOM_MM, x1 + MARK_ROOM_MM, y1 + MARK_ROOM_MM
    return " ".join(f"{x:.0f},{y:.0f}" for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
