"""Ways out by another size: what a type is made in, a bar set lower, a door hung otherwise."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from app.arrange.bar_in_posts import set_higher, set_lower
from app.arrange.effort import ROUNDING_MM
from app.arrange.sense import is_to_get_at, may_be_another
from app.arrange.swaps import Proposal, instead
from app.changes.commands import Change, Command, edits
from app.checks.lift_out import HOLDER, upright_mm
from app.checks.lying import lain_on_mm
from app.checks.on_end import tape_error_mm
from app.checks.snag import Snag, is_many
from app.formulas.getting_in import stood_up_mm
from app.library.kit import kit_types
from app.model.base import json_of
from app.scene.build import Placed, Scene
from app.scene.footing import HUNG_ON, STEPPED_ON, bar_mm, footing
from app.scene.naming import opening_name
from app.scene.tolerance import falls_short
from app.wording import lower, phrase

SIZES_AT_MOST = 5
"""Sizes of one piece that are tried, from what is nearest to its own to the least there is."""
SIZE_STEP_MM = 50
"""Sizes are tried in steps in which kit is made: a rack of 2000, a box of 400."""
_HUNG = ("wall", "ceiling")
_LOWER = "Take a lower {} instead, of {:mm}.", "Take lower {} instead, of {:mm}."
_BAR_LOWER = "Set the {} {:bare} lower, its bar at {:mm}."


def for_headroom(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield what lowers who hangs or stands on something: a bar set lower, a lower box.

    And a pull-up bar set higher, for who lifts under it.
    """
    yield from set_higher(scene, snag)
    if snag.movement is None or snag.measured is None or not snag.pieces:
        return
    missing = [
        figure - snag.measured
        for figure in (snag.need, snag.required)
        if figure is not None and figure > snag.measured
    ]
    short = [math.ceil(one / ROUNDING_MM) * ROUNDING_MM for one in missing]
    root = scene.placed[snag.pieces[0]].root
    for placed in scene.stations[root]:
        uses = [use for use in placed.kit.uses if use.movement == snag.movement]
        if uses and snag.movement == "pull-up" and placed.kit.rests:
            # a bar is set lower in its posts wherever these stand, and whoever owns them
            yield from set_lower(scene, placed, bar_mm(placed, uses[0]), missing)
        if not uses or not may_be_another(scene, placed):
            continue
        # a rack on the wall has its posts on the floor: it is hung no lower
        hung = placed.kit.fixing in _HUNG and not (placed.shape.low_mm <= 0).any()
        if snag.movement in HUNG_ON and hung:
            base = bar_mm(placed, uses[0])
            for drop in _as_made(placed, short):
                yield _bar_lower(scene, placed, base, drop)
        elif snag.movement in HUNG_ON and snag.severity == "stop":
            yield from _lower_stands(scene, placed, short)
        if snag.movement in STEPPED_ON:
            base = footing(placed, uses[0]).base_mm
            yield from _lower_boxes(scene, placed, base, short)


def _as_made(placed: Placed, short: Sequence[float]) -> tuple[float, ...]:
    """Return how much lower a thing is hung for what is missing: no lower than it is made for.

    As low as it is made where that passes, if without the margin; where it does not, nobody drills
    again for it. What has no such range is hung at any height.
    """
    made = placed.kit.range.height_mm
    if made is None or not short:
        return tuple(short)
    room = math.floor((placed.extent.height_mm - made[0]) / ROUNDING_MM) * ROUNDING_MM
    return tuple(dict.fromkeys(min(drop, room) for drop in short)) if room >= min(short) else ()


def _lower_stands(scene: Scene, placed: Placed, short: Sequence[float]) -> Iterator[Proposal]:
    """Yield what stands on the floor and is hung from lower by what is missing, as it is made."""
    made = placed.kit.range.height_mm
    now, bar = placed.extent.height_mm, placed.piece.bar_height_mm
    for drop in short:
        if made is None or now - drop < made[0]:
            continue
        height = math.floor((now - drop) / ROUNDING_MM) * ROUNDING_MM
        advice = phrase(_LOWER[is_many(placed.kit.name)], lower(placed.kit.name), height)
        says = advice.worded(scene.plan.units)
        fields: dict[str, float] = {"height_mm": height}
        if bar is not None:
            fields["bar_height_mm"] = bar - (now - height)
        yield says, edits(scene.plan, placed.piece.id, says, **fields)


def _lower_boxes(
    scene: Scene, placed: Placed, base: float, short: Sequence[float]
) -> Iterator[Proposal]:
    """Yield the highest box with its margin and the highest that is no stop, else the lowest.

    `base` is the height that the judge counts it with, which need not be that of the row.
    """
    if placed.kit.any_side_up and short:
        sides = list(_other_sides_up(scene, placed, base - min(short)))
        yield from sides
        if sides:
            # nobody gets another box where this one does on its side
            return
    made = placed.kit.range.height_mm
    if made is None or base <= made[0]:
        return
    for height in [base - drop for drop in short if base - drop >= made[0]] or [made[0]]:
        yield from _lower(scene, placed, height)


def _other_sides_up(scene: Scene, placed: Placed, most_mm: float) -> Iterator[Proposal]:
    """Yield the same box laid on a side no higher than that, the highest first: it is free."""
    high = placed.extent.height_mm
    sides = {side: getattr(placed.extent, side) for side in ("width_mm", "depth_mm")}
    for side, size in sorted(sides.items(), key=lambda one: -one[1]):
        if size < high and not falls_short(most_mm, size):
            advice = phrase(
                "Lay the {} on its side: then it is {:mm} high.", lower(placed.name), size
            )
            says = advice.worded(scene.plan.units)
            fields = {**sides, "height_mm": size, side: high}
            yield says, edits(scene.plan, placed.piece.id, says, **fields)


def for_height(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield what is lower: as it is used where it stands on end, the sizes its type is made in."""
    for placed in _own(scene, snag):
        for state in placed.kit.states:
            if state.key == placed.piece.state and not state.usable:
                says = f"Leave the {lower(placed.name)} as it is used, not {state.name}."
                yield says, edits(scene.plan, placed.piece.id, says, state=None)
        height = math.ceil(placed.extent.height_mm / SIZE_STEP_MM) * SIZE_STEP_MM
        # out of a lower holder a bar comes no easier: it is as long as it is
        least = upright_mm(scene) if placed.kit.key == HOLDER else 0.0
        for number in range(1, SIZES_AT_MOST + 1):
            lower_mm = height - number * SIZE_STEP_MM
            if lower_mm >= least and not _barely_stood_up(scene, snag, placed, lower_mm):
                yield from _lower(scene, placed, lower_mm)


def _barely_stood_up(scene: Scene, snag: Snag, placed: Placed, height_mm: float) -> bool:
    """Return whether a size of what is stood up passes within the error of measuring alone."""
    if snag.measured is None or not {"lower", "parts"} <= snag.eased_by:
        return False
    across = min(placed.extent.width_mm, placed.extent.depth_mm)
    spare = snag.measured - stood_up_mm(height_mm, across) - placed.lift_mm
    return 0 <= spare < tape_error_mm(scene)


def shorter_bars(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield shorter bars for one whose ends want more room than there is."""
    for placed in _own(scene, snag):
        if placed.kit.bar is not None:
            yield from _shorter_bars(scene, placed)


def for_floor(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield smaller sizes of what wants more room than there is, or of what stands in it.

    For room to get at a thing, to plug it in or to air it, which nobody is hurt by, that thing
    itself stays the size it is: one is got at from beside, or it is pulled out for that.
    """
    for placed in _own(scene, snag):
        stays = is_to_get_at(scene, snag) and placed.piece.id == snag.pieces[0]
        if placed.kit.bar is None and not placed.kit.for_wall and not stays:
            yield from _narrower(scene, placed)


def doors_otherwise(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield the other ways to hang the door that a finding is about."""
    for shape in scene.room.openings:
        opening = shape.opening
        if opening.kind != "hinged" or opening.id != snag.opening:
            continue
        other = "right" if opening.hinge == "left" else "left"
        door = lower(opening_name(scene, shape))
        sentence = f"Hang the {door} the other way: hinges on the {other}, seen from inside."
        yield sentence, _opening(scene, opening.id, "hinge", other, sentence)
        if opening.swing == "in":
            sentence = f"Hang the {door} so that it opens outwards, if what is outside allows it."
            yield sentence, _opening(scene, opening.id, "swing", "out", sentence)


def _own(scene: Scene, snag: Snag) -> list[Placed]:
    """Return the pieces of a finding that could be had in another size."""
    pieces = (scene.placed[piece_id] for piece_id in snag.pieces)
    return [one for one in pieces if may_be_another(scene, one)]


def _bar_lower(scene: Scene, placed: Placed, base: float, drop: float) -> Proposal:
    many = is_many(placed.kit.name)
    words = "Hang the {} {:bare} lower, at {:mm}." if many else _BAR_LOWER
    advice = phrase(words, lower(placed.name), drop, base - drop).worded(scene.plan.units)
    if placed.kit.fixing == "ceiling":
        # its top stays at the joists: what holds the bar is longer
        fields = {"bar_height_mm": base - drop}
    else:
        fields = {"height_mm": placed.extent.height_mm - drop}
        if placed.piece.bar_height_mm is not None:
            fields["bar_height_mm"] = placed.piece.bar_height_mm - drop
    return advice, edits(scene.plan, placed.piece.id, advice, **fields)


def _lower(scene: Scene, placed: Placed, height: float) -> Iterator[Proposal]:
    """Yield a type at a lower height, no lower than it is made."""
    made = placed.kit.range.height_mm
    now = placed.extent.height_mm
    if made is None or now <= made[0]:
        return
    height = max(math.floor(height / ROUNDING_MM) * ROUNDING_MM, made[0])
    if height >= now:
        return
    advice = phrase(_LOWER[is_many(placed.kit.name)], lower(placed.kit.name), height)
    sentence = advice.worded(scene.plan.units)
    yield sentence, edits(scene.plan, placed.piece.id, sentence, height_mm=height)


def _shorter_bars(scene: Scene, bar: Placed) -> Iterator[Proposal]:
    """Yield shorter bars that what carries this one still holds, and that its plates go on."""
    sleeve_mm = bar.kit.bar.sleeve_diameter_mm if bar.kit.bar is not None else None
    host = scene.placed.get(bar.piece.carried_by or "")
    least = max((rest.outside_mm for rest in host.kit.rests), default=0.0) if host else 0.0
    shorter = [
        kit
        for kit in kit_types().values()
        if kit.bar is not None
        and kit.width_mm < bar.extent.width_mm
        and kit.group == bar.kit.group
        and kit.bar.sleeve_diameter_mm == sleeve_mm
        and kit.bar.shaft_mm > least
        and not kit.uses
    ]
    for kit in sorted(shorter, key=lambda kit: -kit.width_mm)[:SIZES_AT_MOST]:
        advice = phrase("Take the bar of {:mm} instead: {}.", kit.width_mm, lower(kit.name))
        yield instead(scene, bar, kit, advice.worded(scene.plan.units))


def _narrower(scene: Scene, placed: Placed) -> Iterator[Proposal]:
    """Yield it narrower or less deep, as far as it is made; of floor to lie on no stump."""
    lain_on = math.ceil(lain_on_mm(scene, placed) / ROUNDING_MM) * ROUNDING_MM
    longer = max(placed.kit.width_mm, placed.kit.depth_mm)
    for side, word, now in (
        ("width_mm", "wide", placed.extent.width_mm),
        ("depth_mm", "deep", placed.extent.depth_mm),
    ):
        made: tuple[float, float] | None = getattr(placed.kit.range, side)
        if made is None or now <= made[0]:
            continue
        name = lower(placed.kit.name)
        one = name if is_many(name) else f"a {name}"
        # what is larger than it is made comes first as it usually is
        usual = getattr(placed.kit, side)
        least = max(made[0], lain_on if usual == longer else 0.0)
        if least >= now:
            continue
        for size in (usual, least) if now > made[1] else (least,):
            advice = phrase("Take {} {:mm} {} instead.", one, size, word)
            sentence = advice.worded(scene.plan.units)
            yield sentence, edits(scene.plan, placed.piece.id, sentence, **{side: size})


def _opening(scene: Scene, opening_id: str, field: str, after: str, says: str) -> Command:
    """Build the command that changes one field of an opening: openings change as one list."""
    was = json_of(scene.plan.room)["openings"]
    now = [{**one, field: after} if one["id"] == opening_id else one for one in was]
    return Command(
        name="edit", says=says, changes=(Change(path=("room", "openings"), before=was, after=now),)
    )
