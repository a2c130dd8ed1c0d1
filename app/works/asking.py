"""Whom to ask before anything is bought, and what: questions that hang on the plan as it stands."""

from __future__ import annotations

import math
from dataclasses import dataclass

from app.checks.household import LOUD
from app.published.register import published
from app.scene.build import Placed, Scene
from app.wording import lower, measure_in


@dataclass(frozen=True, slots=True)
class Asked:
    """Somebody who may say no, and the questions for them, each a whole sentence."""

    who: str
    questions: tuple[str, ...]


def to_ask(scene: Scene) -> tuple[Asked, ...]:
    """Return the questions of a plan, those first whose no would end it. Nobody without one."""
    lists = (
        Asked(_owner(scene), tuple(_of_owner(scene))),
        Asked("The insurer", tuple(_of_insurer(scene))),
        Asked("Building control", tuple(_of_building_control(scene))),
        Asked("An electrician", tuple(_of_electrician(scene))),
        Asked(
            "Whoever has the drawings of the building, or a structural engineer",
            tuple(_of_builder(scene)),
        ),
        Asked("Who hears you", tuple(_of_neighbours(scene))),
    )
    return tuple(each for each in lists if each.questions)


def _owner(scene: Scene) -> str:
    return "The landlord" if scene.plan.room.fabric.whose == "rented" else "The other owners"


def _of_owner(scene: Scene) -> list[str]:
    fabric, room = scene.plan.room.fabric, scene.plan.room
    if fabric.whose not in ("rented", "shared"):
        return []
    asked = ["May this room be used to train in, and who has to agree in writing?"]
    hung = [lower(placed.name) for placed in _new(scene) if placed.kit.fixed is not None]
    if hung:
        asked.append(f"May walls and ceiling be drilled for: {_listed(hung)}?")
    asked.append("May an electrician put in cables, sockets and lamps?")
    if room.floor.covering.material != "bare":
        asked.append("May the floor be covered, and must the covering come up again at the end?")
    if any(wall.lining_mm for wall in room.walls) or room.ceiling.finish_mm:
        asked.append("May walls and ceiling be lined, and who owns the lining afterwards?")
    if fabric.below == "room":
        mass, unit = measure_in(_mass_kg(scene), "kg", scene.plan.units)
        asked.append(f"There is a room below. May about {mass:.0f} {unit} of kit stand here?")
    asked.append("What must be put back as it was, and by when?")
    return asked


def _of_insurer(scene: Scene) -> list[str]:
    asked = [
        "Is training kit in this room covered against theft, fire and water, and up to what sum?",
        "Does the cover of the house change when the room is used to train in?",
    ]
    if len(scene.plan.people) > 1:
        asked.append("Is it covered if somebody who does not live here is hurt while training?")
    if any(one.opening.is_garage_door for one in scene.room.openings):
        asked.append("Which lock must the garage door have?")
    return asked


def _of_building_control(scene: Scene) -> list[str]:
    room = scene.plan.room
    asked = ["Does turning this room into a training room need leave here?"]
    if any(one.opening.is_garage_door for one in scene.room.openings):
        asked.append("Does the garage door have to stay, and may a car be kept out for good?")
    if room.fabric.under_the_house == "yes" or room.fabric.below == "room":
        asked.append("What is asked for the way out, smoke alarms and fire doors?")
    if any(wall.lining_mm for wall in room.walls) or room.ceiling.finish_mm:
        asked.append("What is asked for insulation and lining, and who looks at it?")
    if any(placed.kit.key == "boiler" for placed in scene.order):
        asked.append("What air and what distance does the boiler need once the room is tighter?")
    asked.append("Which electrical work must be notified, and who may sign it off?")
    return asked


def _of_electrician(scene: Scene) -> list[str]:
    supply = scene.plan.room.electricity
    asked = []
    if supply.feed == "unknown":
        asked.append("What feeds this room: a fused spur, a circuit of the house, a board?")
    if supply.amps is None:
        asked.append("What current does its fuse or breaker let through, in amperes?")
    if supply.residual_current_protection == "unknown":
        asked.append("Does a trip switch (RCD) protect the sockets?")
    return asked


def _of_builder(scene: Scene) -> list[str]:
    room = scene.plan.room
    fabric, asked = room.fabric, []
    concrete = "slab" in room.ceiling.construction or room.floor.construction == "suspended-slab"
    if fabric.post_tensioned == "unknown" and concrete:
        asked.append(
            "Are steel cables stretched in the concrete (post-tensioned)? "
            "Nobody drills it before that is known."
        )
    if room.floor.construction == "unknown":
        asked.append("What carries the floor, and how much may stand on it?")
    if room.ceiling.construction == "unknown":
        asked.append("What is the ceiling made of, and which way do its joists run?")
    if any(wall.construction == "unknown" for wall in room.walls):
        asked.append("What are the walls made of, and which of them carry the house?")
    if fabric.built_before_2000 == "unknown":
        year = published("hazard.asbestos-before")
        asked.append(f"When was it built or refitted? Before {year:.0f} look for asbestos first.")
    return asked


def _of_neighbours(scene: Scene) -> list[str]:
    fabric = scene.plan.room.fabric
    if fabric.heard_by in ("nobody", "unknown"):
        return []
    asked = ["At which hours may we drill and hammer while the room is made?"]
    loud = [p for p in _new(scene) if {use.movement for use in p.kit.uses} & LOUD]
    if loud:
        names = _listed([lower(placed.name) for placed in loud])
        asked.append(f"At which hours may this be heard: {names}?")
    return asked


def _new(scene: Scene) -> list[Placed]:
    return [placed for placed in scene.order if not placed.piece.stays]


def _mass_kg(scene: Scene) -> float:
    return math.fsum(placed.piece.mass_kg or placed.kit.mass_kg for placed in scene.order)


def _listed(names: list[str]) -> str:
    return ", ".join(dict.fromkeys(names))
