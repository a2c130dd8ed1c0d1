"""The cover of the set: a picture, figures to know the room by, the sheets, what is open."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.costs.cost import Costs
from app.drawing.composed import Subject, composed
from app.drawing.face import printed
from app.drawing.figures_placed import Figure
from app.drawing.flow import Block, Entry, Words
from app.drawing.ink import LETTER_MM, SMALL_MM
from app.drawing.lettering import width_of
from app.drawing.medium import Medium
from app.drawing.paper import PICTURE_SCALES
from app.drawing.picture import Picture
from app.drawing.sheet import Sheet, TitleFields
from app.drawing.sheet_words import SnagRow, cautions_block, snags_block
from app.drawing.sheets.costs import holding
from app.drawing.table_cells import Cells
from app.model.plan import Plan
from app.model.works import day_words
from app.scene.build import Scene
from app.takeoff.line import PART_NAMES
from app.takeoff.surfaces import MM2_A_M2, floor_area
from app.units import format_money, format_short
from app.wording import area_words, lower, open_words
from app.works.goal import FIRST_TRAINING, goal_name
from app.works.paid_when import PaidWhen
from app.works.works import WorksAnswer

_PICTURE_SMALLER = 1.7
"""How much smaller the picture may be where all cautions, and all else, then stand on its sheet."""
_GAP_MM = 2.0
"""What is free beside the name of a figure, and beside the figure."""
_VALUE_AT_MOST = 2.2
"""How much wider than its name a value may be that goes on under itself."""
_WIRED = (PART_NAMES["light"], PART_NAMES["strip"])
"""Parts of the fit-out with cables: their prices are those of things, without who connects them."""


@dataclass(frozen=True, slots=True)
class Listed:
    """One sheet in the list of the cover: its number, name and scale."""

    number: str
    name: str
    scale: str


def cover_sheet(
    drawn: Picture,
    listed: Sequence[Listed],
    open_snags: Sequence[SnagRow],
    people: str,
    more: Sequence[tuple[str, str]] = (),
    *,
    paper: str = "A3",
    fields: TitleFields | None = None,
) -> Sheet:
    """Draw the cover of a set, with its picture. Raises SheetError for an unknown paper.

    `more` are further figures to know the room by, each with its name.
    """
    scene, plan = drawn.scene, drawn.scene.plan

    def draw(_: Medium, at: int) -> Figure:
        return Figure(*drawn.lettered(LETTER_MM * at))

    def measure(_: Medium, at: int) -> Figure:
        return Figure((), drawn.reach(LETTER_MM * at))

    becomes = (Words(f"becomes a training room for {people}"),) if people else ()
    stops = sum(1 for row in open_snags if row.severity == "stop")
    cares = sum(1 for row in open_snags if row.severity == "care")
    blocks = [
        Block(
            "",
            (
                Words(plan.name, "cover-title" if printed(plan.name) == plan.name else "title"),
                *becomes,
            ),
        ),
        Block("Sheets", tuple(_listed(each) for each in listed)),
        Block("The room", tuple(_facts(scene, stops, cares, more))),
    ]
    first = [row for row in open_snags if row.severity != "note"]
    if first:
        blocks.append(snags_block(first))
    blocks.append(cautions_block(running=False))
    notes = [row for row in open_snags if row.severity == "note"]
    if notes:
        blocks.append(snags_block(notes, "Notes"))
    return composed(
        plan,
        Subject("cover", "Cover", "drawing list"),
        [draw],
        blocks,
        paper=paper,
        scale=None,
        fields=fields,
        scales=PICTURE_SCALES,
        measured=[measure],
        worded_first=True,
        smaller=_PICTURE_SMALLER,
    )


def known_figures(
    plan: Plan, costs: Costs | None, answer: WorksAnswer | None, paid: PaidWhen | None = None
) -> list[tuple[str, str]]:
    """Return what all of it comes to, what is not in that, and the day of the first training, as
    far as they are told; with a purse, when its money allows that too.
    """
    known = []
    if costs is not None:
        known.append(("all of it together", format_money(costs.gross_minor, costs.currency)))
        names = [lower(name) for name in dict.fromkeys(holding(plan, costs))]
        missing = [f"what goes on or into: {', '.join(names)}"] if names else []
        if any(line.part in _WIRED for line in costs.lines):
            missing.append("what an electrician asks")
        if missing:
            known.append(("not in that sum", "; ".join(missing)))
    if answer is not None:
        if paid is not None and paid.is_late:
            known.append((FIRST_TRAINING, paid.goal_when or "not within the months looked at"))
        name = goal_name(plan, None if paid is None else paid.is_late)
        known.append((name, day_words(answer.programme.first_training)))
    return known


def _listed(each: Listed) -> Entry:
    return Cells((each.number, each.name, each.scale), (0.12, 0.63, 0.25), (False, False, True))


def _facts(scene: Scene, stops: int, cares: int, more: Sequence[tuple[str, str]]) -> list[Entry]:
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
    left = open_words({"stop": stops, "care": cares}, ("stop", "care"))
    rows.append(("still open", left if stops or cares else "nothing"))
    return [Cells(row, _parted(*row), (False, True)) for row in (*rows, *more)]


def _parted(name: str, value: str) -> tuple[float, float]:
    """Return the shares of a row: parted where its own words ask for it, its name on one line."""
    wide = _wide_mm(name)
    return wide, min(_wide_mm(value), wide * _VALUE_AT_MOST)


def _wide_mm(words: str) -> float:
    return width_of(words, SMALL_MM) + _GAP_MM
