"""The cover of the set: a small plan, figures to know the room by, the sheets, what is open."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from app.drawing.composed import Figure, Subject, composed
from app.drawing.figure_doors import doors
from app.drawing.figure_kit import drawing_order, piece_group, reaches_into
from app.drawing.figure_room import floor, walls
from app.drawing.flow import Block, Cells, Entry, Words
from app.drawing.medium import Medium
from app.drawing.primitives import Group
from app.drawing.sheet import Sheet, TitleFields
from app.drawing.sheet_words import SnagRow, cautions_block, snags_block
from app.scene.build import Scene
from app.takeoff.surfaces import MM2_A_M2, floor_area
from app.units import format_short
from app.wording import area_words


@dataclass(frozen=True, slots=True)
class Listed:
    """One sheet in the list of the cover: its number, name and scale."""

    number: str
    name: str
    scale: str


def cover_sheet(
    scene: Scene,
    listed: Sequence[Listed],
    open_snags: Sequence[SnagRow],
    people: str,
    *,
    paper: str = "A3",
    fields: TitleFields | None = None,
) -> Sheet:
    """Draw the cover of a set. Raises SheetError for an unknown paper."""
    plan = scene.plan
    stops = sum(1 for row in open_snags if row.severity == "stop")
    cares = sum(1 for row in open_snags if row.severity == "care")
    blocks = [
        Block(plan.name, (Words(f"becomes a training room for {people}"),) if people else ()),
        Block("Sheets", tuple(_listed(each) for each in listed)),
        Block("The room", tuple(_facts(scene, stops, cares))),
    ]
    first = [row for row in open_snags if row.severity != "note"]
    if first:
        blocks.append(snags_block(first))
    blocks.append(cautions_block(running=True))
    return composed(
        plan,
        Subject("cover", "Cover", "drawing list"),
        [partial(_figure, scene)],
        blocks,
        paper=paper,
        scale=None,
        fields=fields,
    )


def _listed(each: Listed) -> Entry:
    return Cells((each.number, each.name, each.scale), (0.12, 0.63, 0.25), (False, False, True))


def _facts(scene: Scene, stops: int, cares: int) -> list[Entry]:
    units, room = scene.plan.units, scene.room
    x0, y0, x1, y1 = room.free.bounds
    shut, opened = room.shut.lowest_mm, room.open.lowest_mm
    rows = [
        (
            "inside, at the widest",
            f"{format_short(x1 - x0, units)} × {format_short(y1 - y0, units)}",
        ),
        ("floor", area_words(floor_area(scene).area / MM2_A_M2, units, 1)),
        ("lowest overhead", format_short(shut, units)),
    ]
    if opened < shut - 1:
        rows.append(("under the open garage door", format_short(opened, units)))
    rows.append(("pieces of kit", str(len(scene.order))))
    rows.append(("still open", f"{stops} stop, {cares} care"))
    return [Cells(row, (0.6, 0.4), (False, True)) for row in rows]


def _figure(scene: Scene, medium: Medium, scale: int) -> Figure:
    """Draw the room with its kit and nothing else: a picture of the plan."""
    room = scene.room
    placed = [one for one in drawing_order(scene) if reaches_into(one, room)]
    area = [wall.polygon for wall in room.walls]
    items = (
        floor(room),
        walls(room, medium),
        doors(room),
        Group(tuple(piece_group(one, medium) for one in placed), "layer-kit"),
    )
    xs = [x for polygon in area for x in polygon.bounds[::2]]
    ys = [y for polygon in area for y in polygon.bounds[1::2]]
    leaves = [leaf.bounds for shape in room.openings for leaf in shape.leaves]
    xs += [x for bounds in leaves for x in bounds[::2]]
    ys += [y for bounds in leaves for y in bounds[1::2]]
    return Figure(items, (min(xs), min(ys), max(xs), max(ys)))
