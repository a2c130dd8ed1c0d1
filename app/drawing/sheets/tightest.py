"""Where the room is tightest: the movements that are wanted, each person at their best place."""

from __future__ import annotations

from dataclasses import dataclass

from app.checks.spots import SHUT, TRAINING, best_spot, spots
from app.drawing.section_bay import Bay, open_bay, spot_bay
from app.library.movements import movements
from app.scene.build import Placed, Scene


@dataclass(frozen=True, slots=True)
class Stand:
    """One person at the top of one movement, and what is to spare there (negative: missing)."""

    bay: Bay
    spare_mm: float


def stands(scene: Scene, at: Placed | None = None) -> tuple[Stand, ...]:
    """Return every wanted movement of every person where it is done best, the tightest first.

    With a piece only what is done at its station counts. Where nobody wants anything yet, what the
    kit is there for counts instead.
    """
    situation = TRAINING if scene.room.open_while_training == "yes" else SHUT
    served = spots(scene)
    candidates: list[Stand] = []
    for person in scene.plan.people:
        wanted = [wish.movement for wish in person.wishes if wish.wish == "want"]
        declined = {wish.movement for wish in person.wishes if wish.wish == "no"}
        for key in wanted or [key for key in served if key not in declined]:
            row = movements().get(key)
            if row is None:
                continue
            places = served.get(key, ())
            if at is not None:
                places = tuple(spot for spot in places if spot.placed.root == at.root)
            if places:
                verdict, spot = best_spot(scene, person, places, situation)
                bay = spot_bay(scene, person, spot, situation)
                candidates.append(Stand(bay, verdict.spare_need_mm))
            elif at is None:
                bay_there = open_bay(scene, person, row)
                if bay_there is not None:
                    spare = bay_there.clear_mm - bay_there.demand.need_mm
                    candidates.append(Stand(bay_there, spare))
    return tuple(sorted(candidates, key=lambda one: one.spare_mm))
