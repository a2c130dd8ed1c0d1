"""What of headroom is no open floor: movements at their kit alone, the garage door when open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import shapely

from app.drawing.flow import Entry, Stacked, Words
from app.drawing.hatching import hatch
from app.drawing.medium import Medium
from app.drawing.primitives import Item
from app.drawing.section_bay import Bay
from app.drawing.section_words import verdict_words
from app.library.movements import movements
from app.scene.build import Scene
from app.wording import lower

_HATCH_EM = 1.2
NOT_DRAWN = "Without a floor of their own, for they are done at their kit alone:"
UNDER_DOOR = "Hatched: where it is lower while the garage door is open."


def at_kit_alone(scene: Scene, bays: Mapping[tuple[str, str], Bay]) -> Iterator[Entry]:
    """Yield how each wanted movement goes that no open floor is drawn for.

    `bays` say by person and movement where each is done best.
    """
    said = []
    for person in scene.plan.people:
        for wish in person.wishes:
            row = movements().get(wish.movement)
            if wish.wish != "want" or row is None or row.on_card:
                continue
            name = f"{row.name[:1].upper()}{row.name[1:]}, {scene.plan.called(person.id)}"
            bay = bays.get((person.id, row.key))
            if bay is None or bay.placed is None:
                said.append(f"{name}: nothing in this room is there for it.")
                continue
            verdict = verdict_words(bay, scene.plan.units)[0]
            said.append(f"{name}, at the {lower(bay.placed.name)}: {verdict}.")
    if said:
        # whoever reads the list elsewhere has to know what it is of
        yield Stacked((Words(NOT_DRAWN), *(Words(one, "small") for one in said)))


def under_open_doors(scene: Scene, medium: Medium) -> tuple[Item, ...]:
    """Hatch where doors that are drawn shut hang when they are open."""
    there = {id(one.polygon) for one in scene.room.training.items if one.kind == "door"}
    doors = [
        one.polygon
        for one in scene.room.open.items
        if one.kind == "door" and id(one.polygon) not in there
    ]
    area = shapely.union_all(doors).intersection(scene.room.free)
    if area.is_empty:
        return ()
    return (hatch(area, medium.em_mm * _HATCH_EM, 45.0, "hatch-line"),)
