"""Sections through the room: through a piece, or where it is tightest, along and across."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from app.drawing.composed import Subject, composed
from app.drawing.figures_placed import Figure
from app.drawing.flow import Block, Drawn, Entry, Stacked, Words
from app.drawing.incline import Incline, inclines
from app.drawing.lowest import meets_at
from app.drawing.medium import Medium
from app.drawing.paper import SLIM_MM
from app.drawing.plan_sheet import station_order
from app.drawing.primitives import Item, Line, Polygon, Text
from app.drawing.section_bay import Bay
from app.drawing.section_words import bar_part, bay_words
from app.drawing.sheet import Sheet, TitleFields
from app.drawing.sheet_words import KeyRow, key_block
from app.drawing.sheets.cut_marks import arrow
from app.drawing.sheets.cuts import cuts_of
from app.drawing.sheets.cutting_plane import Cut, Seen, pieces_behind
from app.drawing.sheets.section_figure import Shell, section_bounds, section_figure, shell_of
from app.drawing.sheets.section_gap import Gap, gap_words, gaps_of, shorter, without
from app.drawing.sheets.section_people import standing
from app.drawing.sheets.tightest import Stand, stands
from app.drawing.turned_box import turned_words, used_height_mm
from app.drawing.used_instead import uses_instead
from app.drawing.wall_glass import bought_high_mm, hung_words
from app.errors import NotFoundError
from app.scene.build import Placed, Scene
from app.units import Units, format_short

_KEY_PLAN_MM, _BESIDE_MM, _BESIDE_DOWN_MM = 36.0, 40.0, 1.0
"""How wide the small plan is with words beside it, how much they need, how far down they begin."""

_SQUARE = 1e-6
"""A wall whose direction differs by no more runs along a cut."""
_CLEAR = "Clear: what the room gives."
_HEIGHTS = f"{_CLEAR} Least: what the movement takes. Need: with a margin."


def sections_sheet(
    scene: Scene,
    piece_id: str = "",
    *,
    paper: str = "A3",
    scale: int | None = None,
    fields: TitleFields | None = None,
) -> Sheet:
    """Draw two sections, along and across: through a piece, else where the room is tightest.

    Raises SheetError for a paper or scale, NotFoundError for a piece that is not there.
    """
    at = _piece(scene, piece_id)
    every = stands(scene, at)
    cuts = cuts_of(scene, at, every)
    used, raised = _used(scene, cuts, every), _raised(scene, cuts, every)
    away = {cut.name: _away(scene, standing(every, cut), at) for cut in cuts}
    behind = {
        cut.name: [
            seen
            for seen in pieces_behind(scene, cut, used, raised)
            if seen.placed.piece.id not in away[cut.name]
        ]
        for cut in cuts
    }
    units = scene.plan.units
    gaps = {cut.name: gaps_of(scene, cut, every, behind[cut.name]) for cut in cuts}
    numbers = {placed.piece.id: i + 1 for i, placed in enumerate(station_order(scene))}
    return composed(
        scene.plan,
        Subject("section", f"Sections {cuts[0].named} and {cuts[1].named}"),
        [
            partial(_figure, scene, cut, every, behind[cut.name], numbers, gaps[cut.name])
            for cut in cuts
        ],
        _blocks(
            scene,
            cuts,
            every,
            at,
            behind,
            numbers,
            fields is None or fields.statures,
            used,
            _away_words(scene, away),
            [gap_words(gaps[cut.name], cut.named, units) for cut in cuts if gaps[cut.name]],
        ),
        paper=paper,
        scale=scale,
        fields=fields,
        measured=[partial(_bounds, shell_of(scene, cut), gaps[cut.name]) for cut in cuts],
        column_mm=SLIM_MM,
    )


def _bounds(shell: Shell, gaps: Sequence[Gap], medium: Medium, scale: int) -> Figure:
    return Figure((), shorter(gaps, section_bounds(shell, medium), medium))


def _used(scene: Scene, cuts: Sequence[Cut], every: Sequence[Stand]) -> dict[str, float]:
    """Return how high the boxes are turned that somebody stands on in a section: in both alike."""
    bays = [one.bay for cut in cuts for one in standing(every, cut)]
    used = {placed.piece.id: used_height_mm(placed, bays) for placed in scene.order}
    return {piece: mm for piece, mm in used.items() if mm is not None}


def _raised(scene: Scene, cuts: Sequence[Cut], every: Sequence[Stand]) -> Mapping[str, Incline]:
    """Return the decks that are at their grade for somebody who runs in a section."""
    return inclines(scene, [one.bay for cut in cuts for one in standing(every, cut)])


def _away(scene: Scene, here: Sequence[Stand], at: Placed | None) -> frozenset[str]:
    """Return the pieces that are in the hands of who stands there, or out of the way for them.

    Of several at a station the tightest is drawn. What a section is asked for through stays.
    """
    first: dict[str, Bay] = {}
    for one in here:
        if one.bay.placed is not None:
            first.setdefault(one.bay.placed.root, one.bay)
    return frozenset(
        placed.piece.id
        for placed in scene.order
        if placed is not at and placed.root in first and uses_instead(first[placed.root], placed)
    )


def _away_words(scene: Scene, away: Mapping[str, frozenset[str]]) -> list[str]:
    """Tell of kit that is pulled out of the way; a bar that is left out is drawn in the hands."""
    words = []
    for placed in scene.order:
        cuts = [name for name, pieces in away.items() if placed.piece.id in pieces]
        if cuts and placed.kit.bar is None:
            where = f" in {cuts[0]}-{cuts[0]}" if len(cuts) < len(away) else ""
            words.append(f"{placed.name} pulled out of the way, not drawn{where}.")
    return words


def _piece(scene: Scene, piece_id: str) -> Placed | None:
    if not piece_id:
        return None
    if piece_id not in scene.placed:
        raise NotFoundError(f"There is no piece {piece_id!r} in this plan.")
    return scene.placed[piece_id]


def _where(scene: Scene, cut: Cut) -> str:
    """Say which wall one faces who looks at a cut, and how far from it the cut is.

    It is the wall most square to that way, of equals the first; only of one that is quite square
    the cut is as far off everywhere.
    """
    (lx, ly), walls = cut.looking, scene.room.walls
    square = [-(wall.inward[0] * lx + wall.inward[1] * ly) for wall in walls]
    i = max(range(len(square)), key=lambda i: (round(square[i], 6), -i))
    name = scene.fixed_names[i]
    if square[i] < 1 - _SQUARE:
        return f"{cut.named}: looking towards {name}."
    (x, y), (x0, y0) = walls[i].start, cut.at
    away = format_short((x - x0) * lx + (y - y0) * ly, scene.plan.units)
    return f"{cut.named}: {away} from {name}, looking towards it."


def _figure(
    scene: Scene,
    cut: Cut,
    every: Sequence[Stand],
    behind: Sequence[Seen],
    numbers: dict[str, int],
    gaps: Sequence[Gap],
    medium: Medium,
    scale: int,
) -> Figure:
    return without(gaps, section_figure(scene, cut, every, behind, numbers, medium), medium)


def _blocks(
    scene: Scene,
    cuts: Sequence[Cut],
    every: Sequence[Stand],
    at: Placed | None,
    behind: Mapping[str, Sequence[Seen]],
    numbers: dict[str, int],
    statures: bool,
    used: Mapping[str, float],
    away: Sequence[str],
    broken: Sequence[str],
) -> list[Block]:
    """Return the words: `statures`, with what a movement takes, which for some is one's height."""
    units = scene.plan.units
    through = f"through the {at.name}" if at is not None else "where the room is tightest"
    where = [f"Cut {through}."]
    where += [_where(scene, cut) for cut in cuts]
    places = tuple(Words(words) for words in (*where, *broken))
    blocks = [Block("Where it is cut", (_Beside(_key_plan(scene, cuts), places),))]
    rows: list[Entry] = []
    for one in every[:6]:
        words = bay_words(scene, one.bay)
        name = Words(f"{words.name}, {words.place}", "small-bold", after_mm=0.2)
        heights = [("clear", one.bay.clear_mm)]
        if statures:
            demand = one.bay.demand
            heights += [("least", demand.least_mm), ("need", demand.need_mm)]
        figures = ", ".join(f"{name} {format_short(mm, units)}" for name, mm in heights)
        part = bar_part(one.bay)
        over = f"over the {part}: " if part else ""
        said = [Words(f"{words.verdict}; {over}{figures}.")]
        if turned := turned_words(one.bay, units):
            said.append(Words(f"{turned}."))
        if meets_at(one.bay) is not None:
            said.append(Words("Pale: where the head meets what is lower there."))
        rows.append(Stacked((name, *said)))
    if rows:
        rows += [Words(words) for words in away]
        rows.append(Words(_HEIGHTS if statures else _CLEAR, "size"))
        blocks.append(Block("At the top of the movement", tuple(rows)))
    covering = scene.plan.room.floor.covering
    build = "bare"
    if covering.thickness_mm:
        build = f"{covering.material} {format_short(covering.thickness_mm, units)}"
    notes = [f"Floor: {build}. Heights drawn: above the bare floor."]
    joists = scene.plan.room.ceiling.showing
    if joists is not None:
        size = " × ".join(format_short(mm, units) for mm in (joists.width_mm, joists.depth_mm))
        notes.append(f"Joists {size}, every {format_short(joists.spacing_mm, units)}.")
    blocks.append(Block("Floor and ceiling", tuple(Words(note) for note in notes)))
    shown = {seen.placed.piece.id for some in behind.values() for seen in some}
    key = [
        KeyRow(
            numbers[placed.piece.id],
            placed.name + hung_words(placed, units),
            "",
            _height(placed, used.get(placed.piece.id), units),
        )
        for placed in station_order(scene)
        if placed.piece.id in shown
    ]
    if key:
        blocks.append(Block("Kit and its height", key_block(key).entries[1:], "key"))
    return blocks


def _height(placed: Placed, used_mm: float | None, units: Units) -> str:
    """Return the height of a piece, or that of the side that a box is turned to."""
    if placed.kit.bar is not None:
        return "–"
    if used_mm is not None:
        return f"turned to {format_short(used_mm, units)}"
    return format_short(bought_high_mm(placed), units)


@dataclass(frozen=True, slots=True)
class _Beside:
    """A small figure with words beside it, or under it where the column is too narrow for both."""

    figure: Drawn
    words: tuple[Words, ...]

    def _sizes(self, width: float) -> tuple[float, float, float, float]:
        """Return how wide figure and words are, and how far right and down the words begin."""
        if width - _KEY_PLAN_MM >= _BESIDE_MM:
            return _KEY_PLAN_MM, width - _KEY_PLAN_MM, _KEY_PLAN_MM, _BESIDE_DOWN_MM
        return width, width, 0.0, self.figure.high

    def high_mm(self, width: float) -> float:
        """Return the height of both."""
        _, wide, _, down = self._sizes(width)
        return max(self.figure.high, down + sum(one.high_mm(wide) for one in self.words))

    def at(self, x: float, y: float, width: float) -> tuple[Item, ...]:
        """Return both at a point."""
        for_figure, for_words, right, down = self._sizes(width)
        words = Stacked(self.words).at(x + right, y + down, for_words)
        return (*self.figure.at(x, y, for_figure), *words)

    def parted(self, width: float, room: float) -> tuple[Entry, Entry] | None:
        """Return nothing: both stay together."""
        return None


def _key_plan(scene: Scene, cuts: Sequence[Cut]) -> Drawn:
    """Return a small plan with the lines of the cuts and the way one looks."""
    outline = scene.room.outline
    x0, y0, x1, y1 = outline.bounds
    high = 25.0

    def draw(x: float, y: float, width: float) -> tuple[Item, ...]:
        scale = max((x1 - x0) / (width - 20), (y1 - y0) / (high - 12))
        left = x + (width - (x1 - x0) / scale) / 2
        top = y + 5

        def to(px: float, py: float) -> tuple[float, float]:
            return left + (px - x0) / scale, top + (py - y0) / scale

        items: list[Item] = [
            Polygon(tuple(to(*p) for p in outline.exterior.coords[:-1]), "edge-ring")
        ]
        for cut in cuts:
            spans = cut.spans(outline)
            if not spans:
                continue
            lx, ly = cut.looking
            (s0, s1), far = (spans[0][0], spans[-1][1]), 3.2
            start, end = to(*cut.place(s0)), to(*cut.place(s1))
            ax, ay = cut.along
            start = (start[0] - ax * 2.6, start[1] - ay * 2.6)
            end = (end[0] + ax * 2.6, end[1] + ay * 2.6)
            items.append(Line(start, end, "cut-line"))
            for px, py in (start, end):
                items += arrow((px, py), (px + lx * far, py + ly * far))
            for (px, py), out in ((start, -2.4), (end, 2.4)):
                at = (px + ax * out - lx * 1.2, py + ay * out - ly * 1.2 + 1.2)
                items.append(Text(at, cut.name, "small-bold"))
        return tuple(items)

    return Drawn(high, draw)
