"""Mirrors over an area of wall: sheets cut to size, their mass, what holds them; no socket."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shapely import box

from app.formulas.statics import glass_kg
from app.library.finishes import Sheet, finishes
from app.model.finishing import MirrorArea
from app.model.room_check import opening_name
from app.published.register import published, row
from app.scene.build import Scene
from app.takeoff.buying import cheapest
from app.takeoff.calling import NO_WALL, mirror_called
from app.takeoff.line import Gathered, Line, Step, offers
from app.takeoff.surfaces import Face, along_face, face_of
from app.units import KILO
from app.wording import phrase

_MM = KILO
Span = tuple[float, float]


def mirrors(scene: Scene) -> Gathered:
    """Return the lines of all mirror areas; an area that cannot be is named and left out."""
    gathered = Gathered()
    for area in scene.plan.fit_out.mirrors:
        sheet = finishes().sheets.get(area.sheet)
        if sheet is None:
            gathered.problems.append(
                f"{mirror_called(scene, area)}: there is no sheet {area.sheet!r}"
            )
            continue
        try:
            face = face_of(scene, area.wall)
        except KeyError:
            gathered.problems.append(f"{mirror_called(scene, area)}: {NO_WALL}")
            continue
        fault = _fault(face, area)
        if fault:
            gathered.problems.append(f"{mirror_called(scene, area)}: {fault}")
            continue
        spans = spans_of(scene, area)
        if not spans:
            gathered.problems.append(
                f"{mirror_called(scene, area)}: the sockets there leave no room for a sheet; "
                "move the area or the sockets"
            )
            continue
        gathered.take(_area(scene, area, sheet, spans, face.name))
    return gathered


def _fault(face: Face, area: MirrorArea) -> str:
    """Say why glass cannot hang there: beyond the wall, or over an opening."""
    at, foot = along_face(face.wall, area.offset_mm), area.bottom_mm
    glass = box(at, foot, at + area.width_mm, foot + area.height_mm).buffer(-1)
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


def sheets_across(width_mm: float, sheet: Sheet) -> int:
    """Return the fewest sheets of equal width with their gaps."""
    gap = published("mirror.joint-mm")
    return math.ceil((width_mm + gap) / (sheet.width_mm + gap))


def _area(
    scene: Scene, area: MirrorArea, sheet: Sheet, spans: Sequence[Span], wall: str
) -> Gathered:
    gathered = Gathered()
    gap = published("mirror.joint-mm")
    rows = math.ceil((area.height_mm + gap) / (sheet.height_mm + gap))
    high = (area.height_mm - gap * (rows - 1)) / rows
    glass_m2 = mass = 0.0
    heaviest, count, joints, clips = 0.0, 0, 0.0, 0
    steps = [Step("area", area.width_mm * area.height_mm / _MM**2, "m2")]
    for low, end in spans:
        across = sheets_across(end - low, sheet)
        wide = (end - low - gap * (across - 1)) / across
        kilos = glass_kg(wide, high, sheet.thickness_mm)
        count += across * rows
        glass_m2 += across * rows * wide * high / _MM**2
        mass += across * rows * kilos
        heaviest = max(heaviest, kilos)
        joints += (across - 1) * area.height_mm + (rows - 1) * (end - low)
        each = 2 * max(2, math.ceil(high / published("mirror.clip-mm")))
        clips += across * rows * each
        steps.append(Step(f"{across} across, {rows} up: each wide", wide, "mm", sheet.key))
        steps.append(Step("each high", high, "mm"))
        steps.append(Step("each weighs", kilos, "kg", "mirror.glass-kg-per-m2-per-mm"))
    packs = offers(scene.plan, [sheet.pack], gathered.problems)
    carry = " by two" if heaviest >= published("mirror.two-carry-kg") else ""
    notes = [
        phrase(
            "{} sheets, {:metres} of joints, the heaviest {:.0f} kg, carried{} on edge.",
            count,
            joints,
            heaviest,
            carry,
        ).worded(scene.plan.units),
        "Film behind, and an adhesive made for mirrors that does not attack it.",
    ]
    if len(spans) > 1:
        notes.append("Left out beside the sockets: no mirror over a socket.")
    gathered.lines.append(
        Line(
            key=f"mirrors.{area.id}",
            part="mirrors",
            item=f"{sheet.name}, {count} sheets",
            where=wall,
            net=glass_m2,
            waste=0,
            unit="m2",
            bought=cheapest(glass_m2, packs) if packs else (),
            mass_kg=mass,
            rate=row("mirror.glass-kg-per-m2-per-mm").title,
            working=tuple(steps),
            notes=tuple(notes),
        )
    )
    width = sum(end - low for low, end in spans) / _MM
    foot, pack = ("Ledge", "ledge-2m") if area.foot == "ledge" else ("Batten", "batten-timber-2-4m")
    _more(scene, gathered, area, wall, "foot", f"{foot} that carries it", width, "m", pack)
    if area.held == "clips":
        _more(scene, gathered, area, wall, "clips", "Mirror clips", clips, "pc", "mirror-clips-4")
    else:
        tubes = glass_m2 / published("mirror.adhesive-m2")
        item = "Adhesive for mirrors"
        _more(scene, gathered, area, wall, "adhesive", item, tubes, "pc", "mirror-adhesive")
    return gathered


def _more(
    scene: Scene,
    gathered: Gathered,
    area: MirrorArea,
    wall: str,
    key: str,
    item: str,
    net: float,
    unit: str,
    pack: str,
) -> None:
    packs = offers(scene.plan, [pack], gathered.problems)
    gathered.lines.append(
        Line(
            key=f"mirrors.{area.id}-{key}",
            part="mirrors",
            item=item,
            where=wall,
            net=net,
            waste=0,
            unit=unit,
            bought=cheapest(net, packs) if packs else (),
            rate="common practice, no source",
            working=(Step("needed", net, unit),),
        )
    )
