"""What is in the room already: what stays is placed on its wall, the rest is floor and mass.

What stays becomes a piece that is marked so and counts as owned; what goes, or is only in the way
meanwhile, becomes a thing of the works. Columns become columns of the room.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal, cast

from app.errors import CommandError
from app.forms.field_table import AS_DRAWN, made
from app.forms.thing_edits import Done, Edits, plan_with
from app.forms.typed_fields import Typed
from app.library.kit import KitType, kit_types
from app.library.own import kits_of
from app.model.base import Point
from app.model.kit import Piece, Pose
from app.model.plan import Plan
from app.model.room import Column, Room
from app.model.room_overhead import Place, across_mm, point_off, rectangle
from app.model.room_walls import direction, fresh_id, inward, letter
from app.model.situations import out_while_training, with_out, without
from app.model.surroundings import Climate
from app.model.works import Becomes, Full, Stored, Works
from app.scales import MASS
from app.wording import several

Fate = Literal["stays", "out", "meanwhile", "goes"]
FATES = (
    ("stays", "stays"),
    ("out", "out while you train"),
    ("meanwhile", "out for the work"),
    ("goes", "goes"),
)
PLACED = ("stays", "out")
"""What has a place in the room, always or at times."""
ROWS = (("along", "along the wall"), ("behind", "one in front of the other"))
"""How several of a kind stand."""
BECOMES: dict[Fate, Becomes] = {"meanwhile": "stays", "goes": "house"}
"""What the works call it: in the way there till the end, or carried off. Where to is told there."""

COLUMN = "column"
KINDS: tuple[tuple[str, str], ...] = (
    ("boiler", "Boiler"),
    ("consumer-unit", "Fuse box"),
    ("gas-tap", "Gas meter"),
    ("chest-freezer", "Chest freezer"),
    ("washing-machine", "Washing machine"),
    ("shelving", "Shelving"),
    ("bike-stored", "Bicycle"),
    ("car", "Car"),
    (COLUMN, "Column"),
    ("other-thing", "Other thing"),
)
"""What is asked for with a picture, by kit type: as a household calls it."""
FULL_WORDS = (("little", "nearly empty"), ("half", "half full"), ("full", "full to the door"))

SIDE_MM = (20.0, 10_000.0)
COLUMN_MM = (20.0, 3000.0)
ALONG_MM = (0.0, 60_000.0)
MASS_KG = (0.1, 5000.0)
MOST_AT_ONCE = 12
"""More of one kind are a shop, or a slip of the finger."""
_SQUARE_DEG = 0.5
_TOUCHES_MM = 1200.0
"""A piece whose back is farther from every wall stands free: it is told by the drawing alone. A
second bicycle in front of the first, or a car kept off its wall, is told from the wall still."""


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a piece stands: its wall, how far along from its left end, how far out. All in mm."""

    wall: str
    along_mm: float
    away_mm: float


@dataclass(frozen=True, slots=True)
class _Sizes:
    width_mm: float
    depth_mm: float
    height_mm: float


def standing(plan: Plan, piece: Piece) -> Standing | None:
    """Return where a piece stands, its back to a wall; None where it stands free or askew."""
    kit = kits_of(plan).get(piece.type)
    if kit is None:
        return None
    sizes, room = _sizes_of(piece, kit), plan.room
    best: Standing | None = None
    for wall in room.walls:
        askew = (piece.pose.angle_deg - _angle_of(room, wall.id) + 180) % 360 - 180
        at = (piece.pose.x_mm, piece.pose.y_mm)
        away = across_mm(room, wall.id, at) - sizes.depth_mm / 2 - wall.lining_mm
        if abs(askew) > _SQUARE_DEG or not -1 < away < _TOUCHES_MM:
            continue
        ux, uy = direction(room, wall.id)
        x0, y0 = room.wall_ends(wall.id)[0]
        middle = (at[0] - x0) * ux + (at[1] - y0) * uy
        length = room.wall_length_mm(wall.id)
        left = (middle if room.clockwise else length - middle) - sizes.width_mm / 2
        if -1 < left < length and (best is None or away < best.away_mm):
            best = Standing(wall.id, round(left, 1) + 0.0, round(max(0.0, away), 1) + 0.0)
    return best


def things_that_stay(plan: Plan) -> tuple[Piece, ...]:
    """Return the pieces that stay in the room."""
    return tuple(piece for piece in plan.pieces if piece.stays)


def _add(plan: Plan, typed: Typed) -> Done:
    """Add one thing of a kind, or several side by side."""
    kind = typed.text("kind")
    if kind not in dict(KINDS):
        typed.fault("kind", "choose what it is by its picture")
        typed.done()
    fate = cast("Fate", typed.choice("fate", [key for key, _ in FATES]))
    count = round(typed.number("count", "how many there are", (1, MOST_AT_ONCE), 1))
    label = typed.text("label")
    if kind == COLUMN:
        return _add_column(plan, typed, label)
    kit = kit_types()[kind]
    sizes = _read_sizes(typed, kit)
    mass = _mass(typed)
    words = label or dict(KINDS)[kind]
    behind = typed.choice("row", [key for key, _ in ROWS]) == "behind"
    if fate not in PLACED:
        typed.done()
        return _store(plan, words, sizes, mass or kit.mass_kg, count, fate)
    at = _read_place(plan, typed, sizes.width_mm * (1 if behind else count))
    typed.done()
    taken = {piece.id for piece in plan.pieces}
    pieces = []
    for number in range(count):
        piece_id = fresh_id(kind, taken)
        taken.add(piece_id)
        along = at.along_mm + number * sizes.width_mm * (not behind)
        away = at.away_mm + number * sizes.depth_mm * behind
        name = f"{label} {number + 1}" if label and count > 1 else label
        given = {"label": name, "mass_kg": mass, **_given(sizes, kit)}
        place = Standing(at.wall, along, away)
        pieces.append(_piece(plan.room, piece_id, kind, place, sizes, given))
    after = plan_with(plan, "pieces", "kind", (*plan.pieces, *pieces))
    if fate == "out":
        for piece in pieces:
            after = plan_with(after, "situations", "fate", with_out(after, piece.id, words))
    if kind == "car":
        climate = made(Climate, "kind", {**dict(plan.room.climate), "car_kept_here": "yes"})
        after = plan_with(after, "room.climate", "kind", climate)
    if count == 1:
        return after, f"{words} {'stays' if fate == 'stays' else 'is out while you train'}"
    # what a household calls a thing has no plural that anybody here could know
    every = f"{count} × {label}" if label else several(count, words).capitalize()
    return after, f"{every} {'stay' if fate == 'stays' else 'are out while you train'}"


def _add_column(plan: Plan, typed: Typed, label: str) -> Done:
    wide = typed.length("width", "its width along the wall", COLUMN_MM)
    deep = typed.length("depth", "its depth", COLUMN_MM)
    at = _read_place(plan, typed, wide)
    typed.done()
    room = plan.room
    along = at.along_mm
    if not room.clockwise:
        along = room.wall_length_mm(at.wall) - along - wide
    outline = rectangle(room, Place(at.wall, along, wide, at.away_mm, deep))
    column_id = fresh_id("column", {column.id for column in room.columns})
    column = Column(id=column_id, outline=outline, label=label or "Column")
    return plan_with(plan, "room.columns", "along", (*room.columns, column)), "add a column"


def _store(plan: Plan, words: str, sizes: _Sizes, mass: float, count: int, fate: Fate) -> Done:
    stored = list(plan.works.stored)
    taken = {one.id for one in stored}
    for _ in range(count):
        thing_id = fresh_id("thing", taken)
        taken.add(thing_id)
        stored.append(
            Stored(
                id=thing_id,
                label=words,
                width_mm=sizes.width_mm,
                depth_mm=sizes.depth_mm,
                height_mm=sizes.height_mm,
                mass_kg=mass,
                becomes=BECOMES[fate],
            )
        )
    works = made(Works, "kind", {**dict(plan.works), "is_empty": False, "stored": tuple(stored)})
    after = plan_with(plan, "works", "kind", works)
    says = "goes" if fate == "goes" else "is moved out for the work"
    return after, f"{words} {says}"


def _change(plan: Plan, typed: Typed) -> Done:
    """Change where one thing that stays is and how large, or that it stays."""
    piece = _named(plan, typed)
    kit = kits_of(plan)[piece.type]
    fate = cast("Fate", typed.choice("fate", [key for key, _ in FATES]))
    label = typed.text("label")
    sizes = _read_sizes(typed, kit, _sizes_of(piece, kit))
    mass = _mass(typed, piece.mass_kg)
    words = label or kit.name
    if fate not in PLACED:
        typed.done()
        rest = _without(plan, piece)
        return _store(rest, words, sizes, mass or kit.mass_kg, 1, fate)
    given = {**dict(piece), "label": label, "mass_kg": mass, **_given(sizes, kit)}
    at = None
    if typed.text("wall") not in ("", AS_DRAWN):
        at = _read_place(plan, typed, sizes.width_mm, standing(plan, piece))
    typed.done()
    # what nobody touched stays to the hundredth of a millimetre
    untouched = standing(plan, piece) == at and _sizes_of(piece, kit) == sizes
    if at is None or untouched:
        moved = made(Piece, "", given)
    else:
        moved = _piece(plan.room, piece.id, piece.type, at, sizes, given)
    pieces = [moved if one.id == piece.id else one for one in plan.pieces]
    after = plan_with(plan, "pieces", "along", pieces)
    was_out = piece.id in out_while_training(plan)
    if was_out != (fate == "out"):
        now = without(after, piece.id) if was_out else with_out(after, piece.id, words)
        after = plan_with(after, "situations", "fate", now)
    return after, f"{words} that stays"


def _remove(plan: Plan, typed: Typed) -> Done:
    piece = _named(plan, typed)
    name = piece.label or kits_of(plan)[piece.type].name
    return _without(plan, piece), f"{name} taken out of the room"


def _forget_stored(plan: Plan, typed: Typed) -> Done:
    rest = [one for one in plan.works.stored if one.id != typed.text("thing")]
    if len(rest) == len(plan.works.stored):
        raise CommandError("That is no longer on the list; what is kept is shown.")
    return plan_with(plan, "works.stored", "", rest), "a thing taken off the list"


def _full(plan: Plan, typed: Typed) -> Done:
    full = typed.one_of("full", Full)
    typed.done()
    works = made(Works, "full", {**dict(plan.works), "full": full, "is_empty": False})
    return plan_with(plan, "works", "full", works), "how full the room is"


def _without(plan: Plan, piece: Piece) -> Plan:
    rest = [
        made(Piece, "", {**dict(one), "carried_by": None}) if one.carried_by == piece.id else one
        for one in plan.pieces
        if one.id != piece.id
    ]
    after = plan_with(plan, "pieces", "", rest)
    return plan_with(after, "situations", "", without(after, piece.id))


def _named(plan: Plan, typed: Typed) -> Piece:
    given = typed.text("id") or typed.text("found")
    for piece in things_that_stay(plan):
        if piece.id == given:
            return piece
    raise CommandError("That thing no longer stays in the room; what is kept is shown.")


def _mass(typed: Typed, now_kg: float | None = None) -> float | None:
    """Return the mass as typed, None where it was left empty; `now_kg` is what the field showed."""
    if now_kg is not None and typed.text("mass") == MASS.written(now_kg, typed.units):
        return now_kg
    return typed.mass("mass", "the mass", MASS_KG) if typed.text("mass") else None


def _read_sizes(typed: Typed, kit: KitType, now: _Sizes | None = None) -> _Sizes:
    """Read the sizes; `now` are those the fields showed: sent back as shown they stay exact."""
    sizes = []
    for name, what in (("width", "the width"), ("depth", "the depth"), ("height", "the height")):
        usual = getattr(kit, f"{name}_mm")
        shows = None if now is None else getattr(now, f"{name}_mm")
        if shows is not None and typed.text(name) == typed.say(shows):
            sizes.append(shows)
        else:
            sizes.append(typed.length(name, what, SIDE_MM, empty=usual, loose=True))
    return _Sizes(*sizes)


def _read_place(plan: Plan, typed: Typed, wide_mm: float, now: Standing | None = None) -> Standing:
    """Read the wall, how far along from its left end and how far out. It must lie on the wall.

    `now` is what the fields showed: sent back as shown it stays exact.
    """
    room = plan.room
    wall_id = typed.text("wall")
    if all(wall.id != wall_id for wall in room.walls):
        typed.fault("wall", "say at which wall it is")
    along = typed.length("along", "how far it is from the left end of the wall", ALONG_MM)
    away = typed.length("away", "how far it is from the wall", ALONG_MM, empty=0)
    if now is not None and now.wall == wall_id:
        along = now.along_mm if typed.text("along") == typed.say(now.along_mm) else along
        away = now.away_mm if typed.text("away") == typed.say(now.away_mm) else away
    if typed.wrong("wall", "along"):
        return Standing(room.walls[0].id, along, away)
    long = room.wall_length_mm(wall_id)
    if along + wide_mm > long + 0.01:
        typed.fault(
            "along",
            f"it would end {typed.say(along + wide_mm)} along wall {letter(room, wall_id)}, which "
            f"is {typed.say(long)} long",
        )
    return Standing(wall_id, along, away)


def _piece(
    room: Room, piece_id: str, kind: str, at: Standing, sizes: _Sizes, given: dict[str, Any]
) -> Piece:
    """Return a piece with its back to a wall."""
    lining = next(wall.lining_mm for wall in room.walls if wall.id == at.wall)
    x, y = _point(room, at, sizes.width_mm / 2, lining + at.away_mm + sizes.depth_mm / 2)
    pose = Pose(x_mm=x, y_mm=y, angle_deg=_angle_of(room, at.wall))
    return Piece(**{**given, "id": piece_id, "type": kind, "pose": pose, "stays": True})


def _point(room: Room, at: Standing, further_mm: float, out_mm: float) -> Point:
    """Return a point told from a wall: along it from its left end, and out into the room."""
    along = at.along_mm + further_mm
    if not room.clockwise:
        # seen from inside with one's face to the wall it then starts at the right
        along = room.wall_length_mm(at.wall) - along
    return point_off(room, at.wall, along, out_mm)


def _angle_of(room: Room, wall_id: str) -> float:
    """Return how a piece is turned whose front looks away from a wall, in degrees."""
    nx, ny = inward(room, wall_id)
    return math.degrees(math.atan2(-nx, ny)) % 360


def _sizes_of(piece: Piece, kit: KitType) -> _Sizes:
    return _Sizes(
        piece.width_mm or kit.width_mm,
        piece.depth_mm or kit.depth_mm,
        piece.height_mm or kit.height_mm,
    )


def _given(sizes: _Sizes, kit: KitType) -> dict[str, float | None]:
    """Return the sizes as a piece holds them: none where they are the usual ones."""
    return {
        name: None if getattr(sizes, name) == getattr(kit, name) else getattr(sizes, name)
        for name in ("width_mm", "depth_mm", "height_mm")
    }


def shown(plan: Plan, piece: Piece) -> dict[str, float | str | None]:
    """Return what the fields of one thing show: lengths in mm, the wall by its id."""
    kit = kits_of(plan)[piece.type]
    sizes, at = _sizes_of(piece, kit), standing(plan, piece)
    return {
        "fate": "out" if piece.id in out_while_training(plan) else "stays",
        "wall": at.wall if at else AS_DRAWN,
        "along": at.along_mm if at else None,
        "away": at.away_mm if at else None,
        "width": sizes.width_mm,
        "depth": sizes.depth_mm,
        "height": sizes.height_mm,
        "mass": piece.mass_kg,
        "label": piece.label,
    }


def usual_sizes() -> Iterator[tuple[str, str, float, float, float]]:
    """Yield every kind with its words and usual width, depth and height in mm; 0 for a column."""
    for kind, words in KINDS:
        kit = kit_types().get(kind)
        yield (kind, words, *((kit.width_mm, kit.depth_mm, kit.height_mm) if kit else (0, 0, 0)))


EDITS: Edits = {
    "add-found": _add,
    "found": _change,
    "remove-found": _remove,
    "remove-thing": _forget_stored,
    "full": _full,
}
"""All edits by name."""
