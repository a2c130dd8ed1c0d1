"""What stands under and over a bay of a section, and its size of lettering in mm of the room."""

from __future__ import annotations

from dataclasses import dataclass

from app.drawing.section_bay import Bay
from app.scene.build import Scene
from app.units import Units, format_short
from app.wording import length_words, lower

NAME_MM = 112.0
VERDICT_MM = 102.0
FIGURE_MM = 100.0
TINY_MM = 84.0


@dataclass(frozen=True, slots=True)
class BayWords:
    """The lettering of one bay; `tone` is the ink of its verdict: stop, care or ok."""

    name: str
    verdict: str
    tone: str
    place: str
    ceiling: str
    floor: str


def bay_words(scene: Scene, bay: Bay) -> BayWords:
    """Say what a bay shows."""
    units = scene.plan.units
    name = bay.movement.name
    verdict, tone = verdict_words(bay, units)
    where = f"at the {lower(bay.placed.name)}" if bay.placed else "on the open floor"
    covering = scene.plan.room.floor.covering
    return BayWords(
        name[:1].upper() + name[1:],
        verdict,
        tone,
        f"{scene.plan.called(bay.person.id)}, {where}",
        f"{bay.cause} {format_short(bay.clear_mm, units)}",
        f"{covering.material} {format_short(covering.thickness_mm, units)}"
        if covering.thickness_mm
        else "bare floor",
    )


def verdict_words(bay: Bay, units: Units) -> tuple[str, str]:
    """Return the verdict on a bay in a few words, and its ink."""
    least, need, clear = bay.demand.least_mm, bay.demand.need_mm, bay.clear_mm
    if bay.hits:
        return f"{length_words(least - clear, units)} too low", "stop"
    if bay.short:
        return f"passes, {length_words(need - clear, units)} short of the margin", "care"
    return f"fits, {length_words(clear - need, units)} to spare", "ok"


def bar_part(bay: Bay) -> str:
    """Return what of a bar on the shoulders decides, its plates or itself; empty where it is not.

    It comes near a slope or a beam that is beside the head, and is lower than that.
    """
    held = bay.held_mm is not None and bay.part in ("plates", "bar")
    return bay.part if bay.movement.shouldered and held else ""
