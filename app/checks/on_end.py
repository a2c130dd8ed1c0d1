"""A parcel that goes round a corner on end has to be stood up somewhere: by its diagonal."""

from __future__ import annotations

from app.checks.snag import Snag, kit_key
from app.formulas.getting_in import Box, stood_up_mm
from app.library.parcels import Parcel
from app.model.surroundings import Passage
from app.scene.build import Placed
from app.scene.tolerance import falls_short


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
