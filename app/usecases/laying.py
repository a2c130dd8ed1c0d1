"""Laying a floor piece by piece: ticked off, taken back, gone on with when a wall is longer."""

from __future__ import annotations

import re
from collections.abc import Mapping

from app.changes.commands import Change, Command
from app.errors import CommandError
from app.forms import room_edits
from app.model.base import json_of
from app.model.flooring import Begun, FloorLaying, LaidPiece
from app.model.plan import Plan
from app.published.register import overridden
from app.scene.build import Scene, build_scene
from app.takeoff.floor import Layout, floor_layout
from app.takeoff.floor_begun import begun_with, laid_down, pieces_of
from app.takeoff.floor_going import begun_now, going_on

_NUMBER = re.compile(r"[1-9][0-9]{0,4}")
_NOT_HERE = "Here pieces of a floor are ticked off, and nothing else."
_GONE = "That piece is no longer in the floor; what is kept is shown."


def edit_laying(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Return the command for an edit of a floor that is being laid; None when nothing changes.

    `laid.rubber` with the field `piece` says that it lies, `lifted.rubber` that it does not after
    all, `spoiled.rubber` that it was cut wrong and another one is taken, `anew.rubber` that the
    laying begins anew, `wall-length` with `wall` and `length` how long a wall turned out to be.
    Raises PlanError naming fields, CommandError for what cannot be done.
    """
    what, _, floor_id = name.partition(".")
    if what == "wall-length":
        return room_edits.edit(plan, name, fields)
    if what != "anew":
        return tick_laying(plan, name, fields)
    laying = _laying(plan, floor_id)
    if not (laying.laid or laying.spoiled):
        return None
    path = ("fit_out", "floors", floor_id)
    return Command(
        name="edit",
        says=f"begin to lay {laying.name} anew",
        changes=(
            Change(path=(*path, "laid"), before=json_of(laying)["laid"], after=[]),
            Change(path=(*path, "begun"), before=json_of(laying)["begun"], after=None),
            *(
                [Change(path=(*path, "spoiled"), before=json_of(laying)["spoiled"], after=[])]
                if laying.spoiled
                else []
            ),
        ),
    )


def tick_laying(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Return the command that says of one piece that it lies, does not after all, or is spoiled.

    Nothing else is done here. Raises PlanError where the floor cannot be laid, CommandError.
    """
    what, _, floor_id = name.partition(".")
    if what not in ("laid", "lifted", "spoiled"):
        raise CommandError(_NOT_HERE)
    laying = _laying(plan, floor_id)
    number = fields.get("piece", "")
    if what == "lifted":
        return _lifted(laying, number)
    if not _NUMBER.fullmatch(number):
        raise CommandError(_GONE)
    scene = build_scene(plan)
    with overridden({one.id: one.value for one in plan.overrides}):
        layout = floor_layout(scene, laying, compare=False)
        if what == "spoiled":
            return _spoiled(scene, laying, layout, int(number))
        return _ticked(scene, laying, layout, int(number))


def _ticked(scene: Scene, laying: FloorLaying, layout: Layout, number: int) -> Command | None:
    by_number = {piece.id: piece for piece in laying.laid}
    if (own := by_number.get(str(number))) is not None and own.down:
        return None
    down = _cut(layout, number)
    path = ("fit_out", "floors", laying.id)
    says = f"piece {down.id} of {laying.name} lies"
    if own is not None and _as_planned(layout, by_number):
        fields = {**dict(own), "down": True, "blank": down.blank, "left": down.left}
        lies = LaidPiece.model_validate(fields)
        change = Change(path=(*path, "laid", own.id), before=json_of(own), after=json_of(lies))
        return Command(name="edit", says=says, changes=(change,))
    lying = {int(piece.id): piece for piece in (*laying.laid, down) if piece.down}
    pieces = pieces_of(layout.laid, lying)
    begun = _begun(scene, laying, layout)
    after = FloorLaying.model_validate({**dict(laying), "laid": pieces, "begun": begun})
    return _changed(laying, after, says)


def _cut(layout: Layout, number: int) -> LaidPiece:
    """Return a piece as it is cut and laid. Raises CommandError where there is none of it."""
    try:
        return laid_down(layout.laid, number)
    except (KeyError, ValueError):
        raise CommandError(_GONE) from None


def _begun(scene: Scene, laying: FloorLaying, layout: Layout) -> Begun:
    if laying.begun is None or not laying.laid:
        return begun_with(scene, layout.laid)
    return begun_now(scene, laying.begun)


def _changed(old: FloorLaying, new: FloorLaying, says: str) -> Command:
    before, after = json_of(old), json_of(new)
    changes = tuple(
        Change(path=("fit_out", "floors", old.id, part), before=before[part], after=after[part])
        for part in ("laid", "begun", "spoiled")
        if before[part] != after[part]
    )
    return Command(name="edit", says=says, changes=changes)


def _spoiled(scene: Scene, laying: FloorLaying, layout: Layout, number: int) -> Command:
    """Take another for a piece that was cut wrong: what it was cut from is used up by it.

    What it left is in the hand; the rest is nested anew from that and whole pieces.
    """
    by_number = {piece.id: piece for piece in laying.laid}
    if (own := by_number.get(str(number))) is not None and own.down:
        raise CommandError(f"Piece {number} lies already: say first that it does not.")
    cut = _cut(layout, number)
    lost = LaidPiece.model_validate({**dict(cut), "id": str(len(laying.spoiled) + 1)})
    lying = {int(piece.id): piece for piece in laying.laid if piece.down}
    still_laid = [p for p in pieces_of(layout.laid, lying) if p.id != str(number)]
    begun = _begun(scene, laying, layout)
    spoiled = (*laying.spoiled, lost)
    # without the piece the rest is not as it was planned, so it is nested from what is there
    some = {**dict(laying), "laid": still_laid, "begun": begun, "spoiled": spoiled}
    again = going_on(scene, FloorLaying.model_validate(some))
    whole = {**some, "laid": pieces_of(again, lying)}
    says = f"piece {number} of {laying.name} is spoiled"
    return _changed(laying, FloorLaying.model_validate(whole), says)


def _laying(plan: Plan, floor_id: str) -> FloorLaying:
    for laying in plan.fit_out.floors:
        if laying.id == floor_id:
            return laying
    raise CommandError("That floor is no longer in the plan; what is kept is shown.")


def _as_planned(layout: Layout, by_number: Mapping[str, LaidPiece]) -> bool:
    """Return whether each piece is still to be cut as the plan holds it."""
    mats = layout.mats
    return len(mats) == len(by_number) and all(
        (piece := by_number.get(str(mat.number))) is not None
        and piece.sheet == mat.sheet
        and abs(piece.rect[0] - mat.rect.x_mm) + abs(piece.rect[1] - mat.rect.y_mm) < 1
        for mat in mats
    )


def _lifted(laying: FloorLaying, number: str) -> Command | None:
    """Take a tick back; what was cut from its offcut since must be taken back first."""
    piece = next((one for one in laying.laid if one.id == number), None)
    if piece is None:
        raise CommandError(_GONE)
    if not piece.down:
        return None
    for other in laying.spoiled:
        if other.blank in piece.left:
            raise CommandError(
                f"A piece that was spoiled was cut from what piece {number} left: it stays said."
            )
    for other in laying.laid:
        if other.down and other.blank in piece.left:
            raise CommandError(
                f"Piece {other.id} was cut from what piece {number} left: take that one back first."
            )
    up = LaidPiece.model_validate({**dict(piece), "down": False, "blank": None, "left": ()})
    path = ("fit_out", "floors", laying.id, "laid", number)
    return Command(
        name="edit",
        says=f"piece {number} of {laying.name} does not lie after all",
        changes=(Change(path=path, before=json_of(piece), after=json_of(up)),),
    )
