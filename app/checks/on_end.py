"""A parcel that goes round a corner on end has to be stood up somewhere: by its diagonal."""

from __future__ import annotations

from app.checks.snag import Snag, agreeing, kit_key
from app.formulas.getting_in import Box, stood_up_mm
from app.library.parcels import Parcel
from app.model.surroundings import Passage
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.tolerance import falls_short
from app.wording import Phrase, lower, phrase

TAPE_ERROR = "measure.tape-error-mm"


def tape_error_mm(scene: Scene) -> float:
    """Return the error to expect of a height of the room, in mm: as typed, else as usual."""
    typed = scene.plan.room.tape_error_mm
    return published(TAPE_ERROR) if typed is None else typed


def measured_again(placed: Placed, spare_mm: float) -> Phrase:
    """Say that a thing is stood up with no more to spare than a tape may be wrong by."""
    words = (
        "the {} up with {:mm} to spare, which is within your measuring error: measure the height "
        "again before it is ordered"
    )
    return phrase(words, agreeing(lower(placed.name), "stands", "stand"), max(spare_mm, 0.0))


def stood_up_before(
    placed: Placed, parcel: Parcel, carried: Box, passage: Passage, place: str
) -> Snag | None:
    """Return a care where a parcel that goes on end cannot be stood up in the place itself.

    Worked: 2000 x 950 x 450 is stood up over its shortest side, and sweeps 2050.
    """
    long, _, short = sorted(carried, reverse=True)
    swept = stood_up_mm(long, short)
    if not falls_short(passage.height_mm, swept):
        return None
    return Snag(
        code=f"way-in-on-end-{passage.id}",
        severity="care",
        template="{}: {} goes round {} on end only, and is not stood up there: that takes {:mm} of "
        "height, and {:bare} are clear. Stand it up where there is more and carry it upright, or "
        "ask for one that comes in parts.",
        values=(placed.name, parcel.part.split(";")[0], place, swept, passage.height_mm),
        pieces=(placed.piece.id,),
        names=(placed.name, "the way in"),
        measured=round(passage.height_mm),
        required=round(swept),
        source_keys=(kit_key(placed.kit.key, "parcel"),),
        working=(("parcel, length", long), ("thickness", short), ("diagonal", round(swept, 1))),
    )
