"""What is said of a wall from inside: what it is made of, what is on it, where it is drilled."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Literal

from app.checks.fixings import demand_of
from app.drawing.lettering import width_of
from app.drawing.sheets.in_steps import in_steps
from app.drawing.sheets.wall_items import FlatWall, OnWall
from app.drawing.sheets.wall_joists import WallJoist, joist_words
from app.drawing.sheets.wall_lit import behind_words
from app.library.finishes import finishes
from app.scene.build import Scene
from app.takeoff.fixings import Hung, uses_in_wall
from app.takeoff.line import Gathered
from app.takeoff.mirrors import LEDGE_DEEP_MM, ledge_stock_mm
from app.takeoff.small_points import ledge_joints
from app.units import Units, format_short
from app.wording import lower, phrase

_NEAR_MM = 1.0
_KN = 1000.0
_LONG_EM = 40.0
"""A name wider than this, in sizes of the lettering, may be cut short on the wall."""
_SIZE = re.compile(r"(\d) × (\d+)")


def sized(words: str, units: Units) -> str:
    """Return what a fastener is called with the sign between its sizes, and in feet their unit.

    Plugs and screws of the shop's list are metric: "plug 8 × 50 mm".
    """
    return _SIZE.sub(rf"\1 × \2{' mm' if units == 'feet' else ''}", words)


def _on_list(fastener: str | None, units: Units) -> str:
    """Say what the list calls that by which something holds, where in feet it is another name."""
    if fastener is None or units != "feet" or not finishes().fasteners[fastener].in_feet:
        return ""
    return f" (on the list: {lower(finishes().fasteners[fastener].in_feet)})"


def wall_words(
    flat: FlatWall, numbers: Mapping[str, int], joists: Sequence[WallJoist] = ()
) -> list[str]:
    """Say what the wall is made of, what is fixed to it and pulls at it, what stands before it.

    `numbers` are those of the pieces, `joists` those at the wall.
    """
    scene, wall = flat.scene, flat.face.wall.wall
    units = scene.plan.units
    anchor = finishes().anchors[wall.construction]
    made = "not looked at yet" if wall.construction == "unknown" else anchor.name
    words = [f"{made[:1].upper()}{made[1:]}; {wall.finish}."]
    if wall.lining_mm:
        lining = format_short(wall.lining_mm, units)
        words.append(f"Lining {lining}: all is measured from its face.")
    if wall.tanked:
        words.append("Damp-proofed: do not drill through the coat.")
    words += joist_words(flat, joists, units)
    things = flat.items
    pulled = any(thing.placed is not None and thing.placed.kit.fixed for thing in things)
    heavy = f"{sized(anchor.heavy, units)}{_on_list(anchor.heavy_by, units)}"
    light = f"Light things: {sized(anchor.light, units)}{_on_list(anchor.light_by, units)}"
    if not pulled:
        # what nobody has asked of it yet: the demand of a piece stands below where there is one
        words.append(
            f"{light}. What pulls: {heavy}; the maker's manual and a test in this wall decide."
        )
    else:
        words.append(f"{light}.")
    words += [_small_words(flat, thing, units) for thing in things if thing.clips or thing.screws]
    words += behind_words(flat, units)
    for thing in things:
        if thing.placed is None or thing.placed.kit.fixed is None:
            continue
        demand = demand_of(scene, thing.placed)
        words.append(
            f"{thing.name}: about {demand.load_n / _KN:.1f} kN in all, "
            f"{demand.pull.resultant_n / _KN:.1f} kN at the worst fixing; {heavy}. The "
            "maker's manual and a test in this wall decide."
        )
        if thing.fixings:
            words.append(
                f"Red crosses: {len(thing.fixings)} fixings, {_rows(thing.fixings, units)}; drill "
                "through the maker's own holes (templates: full size)."
            )
    words += [f"In full: {name}." for name in _names(flat, units) if is_long(name)]
    before = {box.placed.piece.id: box.placed for box in flat.before}
    if before:
        named = sorted((numbers[piece], lower(placed.name)) for piece, placed in before.items())
        words.append(f"Pale, before it: {', '.join(f'{number} {name}' for number, name in named)}.")
    return words


def _rows(fixings: Sequence[tuple[float, float]], units: Units) -> str:
    """Say how high the rows of fixings are and where each is along the wall, alike ones once."""
    at: dict[tuple[float, ...], list[float]] = {}
    for high in sorted({z for _, z in fixings}):
        along = tuple(sorted({round(s, 1) for s, z in fixings if z == high}))
        at.setdefault(along, []).append(high)
    parts = [
        f"in {'rows' if len(rows) > 1 else 'a row'} {in_steps(rows, units)} "
        f"above the bare floor, {in_steps(along, units)} from the wall's "
        "left end"
        for along, rows in at.items()
    ]
    return "; ".join(parts)


def label_lines(thing: OnWall, units: Units) -> tuple[str, str]:
    """Return what a thing is, and its size and height above the floor."""
    low = format_short(thing.low, units)
    sizes = [format_short(mm, units) for mm in (thing.right - thing.left, thing.high - thing.low)]
    if thing.kind == "socket":
        return thing.name, f"h {low}"
    if thing.kind == "strip":
        # a strip has no place in the chain under the wall: it says itself where it begins
        name = thing.name if "strip" in thing.name.lower() else f"Light strip: {lower(thing.name)}"
        left = format_short(thing.left, units)
        begins = f", {left} from the left" if thing.left > _NEAR_MM else ""
        return name, f"{sizes[0]} long, h {low}{begins}"
    away = f", {format_short(thing.off, units)} from the wall" if thing.off > _NEAR_MM else ""
    if thing.kind == "column":
        deep = format_short(thing.deep - thing.off, units)
        return thing.name, f"{sizes[0]} wide, {deep} deep{away}"
    if thing.kind == "low":
        # what runs along the wall is longer than it comes out before it
        across = "long" if thing.right - thing.left > thing.deep - thing.off else "wide"
        return thing.name, f"bottom {low}, {sizes[0]} {across}{away}"
    # the plan calls it the sill of a window too
    edge = "sill" if thing.kind == "window" else "bottom"
    above = f", {edge} {low}" if thing.kind != "opening" or thing.low > _NEAR_MM else ""
    return thing.name, " × ".join(sizes) + above


def is_long(name: str) -> bool:
    """Return whether a name is too long to stand whole on a crowded wall: its words tell it."""
    return width_of(name, 1.0) > _LONG_EM


def _names(flat: FlatWall, units: Units) -> Iterable[str]:
    """Return the names that are lettered on a wall, each once."""
    return dict.fromkeys(label_lines(one, units)[0] for one in (*flat.items, *flat.fronts))


def _small_words(flat: FlatWall, thing: OnWall, units: Units) -> str:
    """Say how many clips and screws hold a mirror or a profile, and where along the wall."""

    def short(mm: float) -> str:
        return format_short(mm, units)

    def along(points: Sequence[tuple[float, float]]) -> str:
        places = in_steps(sorted({round(s, 1) for s, _ in points}), units)
        return f"{places} from the wall's left end"

    clips, name = thing.clips, label_lines(thing, units)[0]
    if thing.kind == "strip":
        level = max(z for _, z in clips) - min(z for _, z in clips) < 1
        pairs = ", ".join(f"{short(s)} along and {short(z)} high" for s, z in clips)
        held = _held_by(flat, "profile")
        return f"{name}: {len(clips)} clips (dots), {along(clips) if level else pairs}{held}."
    parts = []
    if clips:
        rows = in_steps(sorted({z for _, z in clips}), units)
        edges = f"{along(clips)}, {rows} above the bare floor"
        both = "; those at a joint hold both panes" if thing.bars else ""
        held = _held_by(flat, "clips" if thing.kind == "mirror" else "")
        parts.append(f"{len(clips)} clips (dots) on upright edges, {edges}{both}{held}")
    if thing.screws:
        paired = len({round(s, 1) for s, _ in thing.screws}) < len(thing.screws)
        ledge = thing.ledge is not None
        studded = paired and (ledge or flat.on_studs)
        each = "a pair into each stud, about " if studded else ""
        where = "through the maker's own holes"
        if ledge:
            where = f"in the {thing.foot} under it"
        elif studded:
            where += " or a rail across the studs"
        rows = in_steps(sorted({round(z, 1) for _, z in thing.screws}), units)
        # where a ledge has its holes is its maker's
        high = f", {'about ' if ledge or studded else ''}{rows} above the bare floor"
        parts.append(
            f"{len(thing.screws)} screws (dots) {where}, {each}{along(thing.screws)}{high}"
            f"{_held_by(flat, 'ledge' if thing.kind == 'mirror' else '')}"
        )
        if ledge:
            parts.append(f"the {thing.foot}: {_ledge_size(flat.scene, thing)}")
    return f"{name}: {'; '.join(parts)}."


def _held_by(flat: FlatWall, part: Literal["", "profile", "ledge", "clips"]) -> str:
    """Say what of the list each of them is held by, and the bit; nothing where nothing holds."""
    made, units = flat.face.wall.wall.construction, flat.scene.plan.units
    one = Hung("", 1, heavy=False, part=part)
    use = next(uses_in_wall(flat.scene, Gathered(), made, (one,)), None)
    if use is None:
        return ""
    called = lower(finishes().fasteners[use.fastener].called(units))
    drill = phrase(", drill {:sold}", use.drill_mm).worded(units) if use.drill_mm else ""
    return f"; {called} in each{drill}"


def joints_of(scene: Scene, thing: OnWall) -> tuple[float, ...]:
    """Return where the lengths of the ledge under glass meet, from the left end of its wall."""
    screws = [s for s, _ in thing.screws]
    return ledge_joints(thing.left, thing.right, screws, ledge_stock_mm(scene, thing.foot))


def _ledge_size(scene: Scene, thing: OnWall) -> str:
    """Say how large the ledge under glass is, and where its lengths meet."""

    def short(mm: float) -> str:
        return format_short(mm, scene.plan.units)

    assert thing.ledge is not None, "asked of glass that stands on one"
    low, high = thing.ledge
    sizes = f"about {short(high - low)} × {short(LEDGE_DEEP_MM)}"
    said = f"{sizes}, {short(thing.right - thing.left)} long, top {short(high)}"
    if joints := joints_of(scene, thing):
        met = in_steps(joints, scene.plan.units)
        said += f", in {len(joints) + 1} lengths that meet between screws at {met}"
    return said


def joined(sentences: Sequence[str], em: float, room: float) -> list[str]:
    """Return sentences with those on one line that find room there, none parted for that."""
    lines: list[str] = []
    for words in sentences:
        longer = f"{lines[-1]} {words}" if lines else words
        if lines and width_of(longer, em) <= room:
            lines[-1] = longer
        else:
            lines.append(words)
    return lines
