"""Mirrors over an area of wall: sheets cut to size, their mass, what holds them; no socket."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shapely import box

from app.formulas.statics import glass_kg
from app.library.finishes import Sheet, finishes
from app.model.finishing import MirrorArea
from app.model.room_check import opening_name
from app.published.register import published, row
from app.scene.build import Placed, Scene
from app.scene.tolerance import TOLERANCE_MM
from app.takeoff.buying import cheapest
from app.takeoff.calling import NO_WALL, mirror_called
from app.takeoff.counting import PIECE, counted
from app.takeoff.line import Gathered, Line, Step, offers
from app.takeoff.surfaces import Face, along_face, face_of
from app.units import KILO, Units
from app.wording import joined, phrase

_MM = KILO
Span = tuple[float, float]

LEDGES = {"ledge": "ledge-2m", "batten": "batten-timber-2-4m"}
"""In what the ledge or batten is sold that carries glass."""
LEDGE_HIGH_MM = 50.0
"""How high a ledge or batten is that glass stands on, about (common practice, no source)."""
LEDGE_DEEP_MM = 20.0
"""How far it comes out from the wall, about (common practice, no source)."""


def mirrors(scene: Scene) -> Gathered:
    """Return the lines of all mirror areas; an area that cannot be is named and left out."""
    gathered = Gathered()
    parts: list[_Glass | _Part] = []
    for hung in areas_hung(scene, gathered):
        parts += _area(scene, hung.area, hung.sheet, hung.spans, hung.wall)
    parts += _standing(scene)
    gathered.lines += _glazed(scene, [one for one in parts if isinstance(one, _Glass)], gathered)
    gathered.lines += _pooled(scene, [one for one in parts if isinstance(one, _Part)], gathered)
    return gathered


@dataclass(frozen=True, slots=True)
class Hung:
    """An area that can be: its sheet, the widths of it that cover no socket, its wall's name."""

    area: MirrorArea
    sheet: Sheet
    spans: tuple[Span, ...]
    wall: str


def areas_hung(scene: Scene, gathered: Gathered) -> Iterator[Hung]:
    """Yield the areas that can hang; the others are named in the problems."""
    for area in scene.plan.fit_out.mirrors:
        called = mirror_called(scene, area)
        sheet = finishes().sheets.get(area.sheet)
        if sheet is None:
            gathered.problems.append(f"{called}: there is no sheet {area.sheet!r}")
            continue
        try:
            face = face_of(scene, area.wall)
        except KeyError:
            gathered.problems.append(f"{called}: {NO_WALL}")
            continue
        fault = _fault(face, area, scene.plan.units)
        if fault:
            gathered.problems.append(f"{called}: {fault}")
            continue
        spans = spans_of(scene, area)
        if not spans:
            gathered.problems.append(
                f"{called}: the sockets there leave no room for a sheet; "
                "move the area or the sockets"
            )
            continue
        yield Hung(area, sheet, spans, face.name)


@dataclass(frozen=True, slots=True)
class _Glass:
    """The sheets of one area."""

    sheet: Sheet
    count: int
    area_m2: float
    mass_kg: float
    working: tuple[Step, ...]
    notes: tuple[str, ...]
    where: str
    area_id: str
    panes: tuple[tuple[int, int], ...]
    """Width and height of each, in whole mm."""


@dataclass(frozen=True, slots=True)
class _Part:
    """What holds the glass of one area."""

    key: str
    item: str
    net: float
    unit: str
    pack: str
    where: str
    was: str


def _glazed(scene: Scene, every: Sequence[_Glass], gathered: Gathered) -> Iterator[Line]:
    """Yield one line for each kind of sheet, over all mirrors."""
    for sheet in dict.fromkeys(one.sheet.key for one in every):
        of = [one for one in every if one.sheet.key == sheet]
        glass_m2 = sum(one.area_m2 for one in of)
        packs = offers(scene.plan, [of[0].sheet.pack], gathered.problems)
        yield Line(
            key=f"mirrors.{sheet}",
            part="mirrors",
            item=f"{of[0].sheet.called(scene.plan.units)}, {_sheets(sum(one.count for one in of))}",
            where=", ".join(dict.fromkeys(one.where for one in of)),
            net=glass_m2,
            waste=0,
            unit="m2",
            bought=cheapest(glass_m2, packs) if packs else (),
            mass_kg=sum(one.mass_kg for one in of),
            rate=row("mirror.glass-kg-per-m2-per-mm").title,
            working=tuple(step for one in of for step in one.working),
            notes=(*dict.fromkeys(note for one in of for note in one.notes), _order(scene, of)),
            was=tuple(f"mirrors.{one.area_id}" for one in of),
        )


def _order(scene: Scene, every: Sequence[_Glass]) -> str:
    """Return what the shop is to cut, equal sheets together, the largest first."""
    sizes = Counter(pane for one in every for pane in one.panes)
    cuts = [
        phrase("{} of {:bare} × {:mm}", count, *size) for size, count in sorted(sizes.items())[::-1]
    ]
    return phrase("Let the shop cut {}, width × height.", joined(", ", cuts)).worded(
        scene.plan.units
    )


def _sheets(count: int) -> str:
    return "1 sheet" if count == 1 else f"{count} sheets"


def _pooled(scene: Scene, parts: Sequence[_Part], gathered: Gathered) -> Iterator[Line]:
    """Yield one line for each kind of ledge, clip or adhesive, over all mirrors."""
    for key in dict.fromkeys(part.key for part in parts):
        of = [part for part in parts if part.key == key]
        first = of[0]
        yield counted(
            scene, gathered, key=f"mirrors.{key}", part="mirrors", item=first.item,
            where=", ".join(dict.fromkeys(part.where for part in of)),
            net=sum(part.net for part in of), unit=first.unit, pack=first.pack,
            working=tuple(Step(part.where, part.net, part.unit) for part in of),
            was=tuple(part.was for part in of if part.was),
        )  # fmt: skip


def _fault(face: Face, area: MirrorArea, units: Units) -> str:
    """Say why glass cannot hang there: too small, beyond the wall, or over an opening."""
    narrow = published("mirror.narrow-mm")
    if min(area.width_mm, area.height_mm) < narrow:
        sentence = phrase("it is narrower than the {:mm} of a sheet worth hanging", narrow)
        return f"{sentence.worded(units)}; give its width and height"
    at, foot = along_face(face.wall, area.offset_mm), area.bottom_mm
    glass = box(at, foot, at + area.width_mm, foot + area.height_mm).buffer(-TOLERANCE_MM)
    for opening, hole in face.holes:
        if hole.intersects(glass):
            return f"it would hang over the {opening_name(opening)}; move it or make it smaller"
    if not face.whole.covers(glass):
        return "it reaches beyond the wall; move it or make it smaller"
    return ""


def spans_of(scene: Scene, area: MirrorArea) -> tuple[Span, ...]:
    """Return the widths of the area along the wall that cover no socket, in mm."""
    off, narrow = published("mirror.socket-off-mm"), published("mirror.narrow-mm")
    top = area.bottom_mm + area.height_mm
    blocked = sorted(
        (socket.offset_mm - off, socket.offset_mm + off)
        for socket in scene.plan.room.sockets
        if socket.wall == area.wall and area.bottom_mm - off < socket.height_mm < top + off
    )
    spans, at, end = [], area.offset_mm, area.offset_mm + area.width_mm
    for low, high in [*blocked, (end, end)]:
        stop = min(low, end)
        if stop - at >= narrow:
            spans.append((at, stop))
        at = max(at, high)
    return tuple(spans)


def _ledge_item(foot: str, units: Units) -> str:
    size = phrase("about {:bare} × {:mm}", LEDGE_HIGH_MM, LEDGE_DEEP_MM)
    return phrase("{} that carries it, {}", foot, size).worded(units)


def ledge_stock_mm(scene: Scene, foot: str) -> float:
    """Return the longest length in which the ledge or batten of a mirror is sold."""
    return _MM * max((one.size for one in offers(scene.plan, [LEDGES[foot]], [])), default=math.inf)


def sheets_across(width_mm: float, sheet: Sheet) -> int:
    """Return the fewest sheets of equal width with their gaps."""
    gap = published("mirror.joint-mm")
    return math.ceil((width_mm + gap) / (sheet.width_mm + gap))


def clips_of(scene: Scene, area: MirrorArea) -> int:
    """Return how many clips hold the sheets of an area; none where they are glued.

    At the joint of two sheets each clip holds both.
    """
    sheet = finishes().sheets.get(area.sheet)
    if sheet is None or area.held != "clips":
        return 0
    rows, high = rows_of(area, sheet)
    edges = sum(sheets_across(end - low, sheet) + 1 for low, end in spans_of(scene, area))
    return edges * rows * clips_on_an_edge(high)


def is_hung(placed: Placed) -> bool:
    """Return whether a piece of the plan is a mirror that is still to be hung."""
    return placed.kit.key == "mirror" and not placed.piece.stays


def clips_of_piece(placed: Placed) -> int:
    """Return how many clips hold a mirror that stands on the plan as a piece, by its glass.

    Its height is that of its upper edge; the glass begins on a ledge.
    """
    shape = placed.shape
    return 2 * clips_on_an_edge(float(shape.high_mm.max() - shape.low_mm.min()))


def clips_on_an_edge(high_mm: float) -> int:
    """Return how many clips hold an upright edge of a sheet: two at least."""
    return max(2, math.ceil(high_mm / published("mirror.clip-mm")))


def _standing(scene: Scene) -> Iterator[_Part]:
    """Yield what holds the mirrors that stand on the plan as pieces; the glass is theirs."""
    for placed in scene.order:
        if is_hung(placed):
            width, clips, name = placed.extent.width_mm / _MM, clips_of_piece(placed), placed.name
            item = _ledge_item("Ledge", scene.plan.units)
            yield _Part("ledge", item, width, "m", LEDGES["ledge"], name, "")
            yield _Part("clips", "Mirror clips", clips, PIECE, "mirror-clips-4", name, "")


def rows_of(area: MirrorArea, sheet: Sheet) -> tuple[int, float]:
    """Return how many sheets stand one above the other, and the height of each in mm."""
    gap = published("mirror.joint-mm")
    rows = math.ceil((area.height_mm + gap) / (sheet.height_mm + gap))
    return rows, (area.height_mm - gap * (rows - 1)) / rows


def _area(
    scene: Scene,
    area: MirrorArea,
    sheet: Sheet,
    spans: Sequence[Span],
    wall: str,
) -> Iterator[_Glass | _Part]:
    """Yield the glass of an area, then what holds it."""
    gap = published("mirror.joint-mm")
    rows, high = rows_of(area, sheet)
    glass_m2 = mass = 0.0
    heaviest, count, joints = 0.0, 0, 0.0
    panes: list[tuple[int, int]] = []
    steps = [Step("area", area.width_mm * area.height_mm / _MM**2, "m2")]
    for low, end in spans:
        across = sheets_across(end - low, sheet)
        wide = (end - low - gap * (across - 1)) / across
        kilos = glass_kg(wide, high, sheet.thickness_mm)
        count += across * rows
        # a sheet that is a hair too large is cut again by nobody
        panes += [(math.floor(wide), math.floor(high))] * (across * rows)
        glass_m2 += across * rows * wide * high / _MM**2
        mass += across * rows * kilos
        heaviest = max(heaviest, kilos)
        joints += (across - 1) * area.height_mm + (rows - 1) * (end - low)
        steps.append(Step(f"{across} across, {rows} up: each wide", wide, "mm", sheet.key))
        steps.append(Step("each high", high, "mm"))
        steps.append(Step("each weighs", kilos, "kg", "mirror.glass-kg-per-m2-per-mm"))
    carry = " by two" if heaviest >= published("mirror.two-carry-kg") else ""
    glued = area.held == "adhesive"
    notes = [
        phrase(
            "{}{}, the heaviest {:kg}, carried{} on edge.",
            _sheets(count),
            phrase(", {:metres} of joints", joints) if joints else "",
            heaviest,
            carry,
        ).worded(scene.plan.units),
        "Ask for film on the back. "
        + (
            "The adhesive is one made for mirrors, which the maker of the film allows."
            if glued
            else "Clips hold it: no glue on the film."
        ),
    ]
    if len(spans) > 1:
        notes.append("Left out beside the sockets: no mirror over a socket.")
    yield _Glass(
        sheet, count, glass_m2, mass, tuple(steps), tuple(notes), wall, area.id, tuple(panes)
    )
    width = sum(end - low for low, end in spans) / _MM
    item, old = _ledge_item(area.foot.capitalize(), scene.plan.units), f"mirrors.{area.id}-"
    yield _Part(area.foot, item, width, "m", LEDGES[area.foot], wall, f"{old}foot")
    if glued:
        tubes = glass_m2 / published("mirror.adhesive-m2")
        item = "Adhesive for mirrors"
        yield _Part("adhesive", item, tubes, PIECE, "mirror-adhesive", wall, f"{old}adhesive")
    else:
        clips = clips_of(scene, area)
        yield _Part("clips", "Mirror clips", clips, PIECE, "mirror-clips-4", wall, f"{old}clips")
