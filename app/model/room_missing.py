"""What is known of a room and what is still missing, as a short list."""

from __future__ import annotations

from dataclasses import dataclass

from app.model.outline import signed_area_mm2
from app.model.plan import Plan
from app.model.room import Room
from app.model.room_walls import letter_at
from app.units import Units, format_length

_MM2_PER_M2 = 1e6
_FT2_PER_M2 = 10.7639
_PERCENT = 100


@dataclass(frozen=True, slots=True)
class Listed:
    """One line of the list. `of` names the part of the page where it is said."""

    of: str
    what: str
    sentence: str


def missing(plan: Plan, bare_share: float) -> tuple[Listed, ...]:
    """List what has not been said, in the order in which it matters.

    `bare_share` is how much of the floor, from 0 to 1, has no ceiling told over it.
    """
    room = plan.room
    lines: list[Listed] = []

    def ask(of: str, what: str, sentence: str) -> None:
        lines.append(Listed(of, what, sentence))

    fabric = room.fabric
    unasked = [
        words
        for value, words in (
            (fabric.whose, "whose it is"),
            (fabric.may_drill, "whether it may be drilled"),
            (fabric.heard_by, "who hears you"),
            (fabric.children_or_animals, "whether children or animals live there"),
        )
        if value == "unknown"
    ]
    if unasked:
        ask("house", "The house", f"not said: {', '.join(unasked)}")
    if not room.openings:
        ask(
            "openings", "Doors and windows", "no door yet; ways on foot and doors cannot be checked"
        )
    elif not any(opening.way_out for opening in room.openings):
        ask("openings", "Doors and windows", "none is marked as a way out")
    share = bare_share * _PERCENT
    if share:
        about = "under 1" if share < 1 else f"about {share:.0f}"
        reason = f"no height given over {about} percent of the floor; the highest given is assumed"
        ask("ceiling", "Ceiling", reason)
    if room.ceiling.construction == "unknown":
        ask("ceiling", "Ceiling", "not said what it is made of; nothing can be hung from it")
    bare = [letter_at(i) for i, wall in enumerate(room.walls) if wall.construction == "unknown"]
    if bare:
        whose = "Walls" if len(bare) == len(room.walls) else _named(bare)
        first = next(w.id for w in room.walls if w.construction == "unknown")
        ask(
            "walls" if len(bare) > 1 else f"wall:{first}",
            whose,
            "not said what they are made of" if len(bare) > 1 else "not said what it is made of",
        )
    if room.floor.construction == "unknown":
        ask("floor", "Floor", "not said what carries it")
    if room.electricity.feed == "unknown":
        ask("electricity", "Electricity", "not said what feeds the room")
    elif room.electricity.amps is None:
        ask("electricity", "Electricity", "not said how many amperes feed the room")
    if room.electricity.residual_current_protection == "unknown":
        ask("electricity", "Electricity", "not said whether a trip switch (RCD) protects it")
    if not room.sockets:
        ask("sockets", "Sockets", "none is marked; leads cannot be checked")
    unsaid = [
        words
        for value, words in (
            (fabric.built_before_2000, "its age"),
            (fabric.below, "what is below it"),
            (fabric.floor_dry, "whether the floor is dry"),
        )
        if value == "unknown"
    ]
    if unsaid:
        ask("building", "Building", f"not said: {', '.join(unsaid)}")
    unaired = [
        words
        for value, words in (
            (room.climate.fuel_burned_here, "a boiler, stove or heater burns fuel here"),
            (room.climate.car_kept_here, "a car is kept here"),
        )
        if value == "unknown"
    ]
    if unaired:
        ask("air", "Air", f"not said whether {' or '.join(unaired)}")
    works = plan.works
    if works.full == "unknown" and not (works.stored or works.is_empty):
        ask(
            "things",
            "What is in it",
            "not said how full the room is; half full is assumed",
        )
    # a garage door lets parcels in from the street
    if not plan.way_in and not any(opening.is_garage_door for opening in room.openings):
        ask("way-in", "Way in", "not measured; nobody can tell whether parcels get in")
    if room.tape_error_mm is None and room.walk is None:
        ask("measured", "Tape", "not said how exact it is; a usual error is assumed")
    return tuple(lines)


def known(plan: Plan) -> tuple[Listed, ...]:
    """List the few figures that the room comes to."""
    room, units = plan.room, plan.units
    count = len(room.walls)
    doors = len(room.openings)
    lines = [
        Listed("walls", "Floor", f"{_area(room, units)}, {count} walls"),
        Listed("ceiling", "Lowest height", _lowest(room, units)),
        Listed("openings", "Doors and windows", f"{doors}" if doors else "none"),
    ]
    covering = room.floor.covering
    if covering.material != "bare":
        lines.append(
            Listed(
                "floor",
                "Covering",
                f"{covering.material}, {format_length(covering.thickness_mm, units)}",
            )
        )
    return tuple(lines)


def _area(room: Room, units: Units) -> str:
    square_m = abs(signed_area_mm2(room.corners)) / _MM2_PER_M2
    if units == "feet":
        return f"{square_m * _FT2_PER_M2:.0f} ft²"
    return f"{square_m:.1f} m²"


def _lowest(room: Room, units: Units) -> str:
    planes = room.ceiling.planes
    floors = [p for p in room.floor.planes if not p.outline] or list(room.floor.planes)
    drop = room.ceiling.joists.depth_mm if room.ceiling.joists else 0.0
    heights = [
        (plane.height_at(x, y) - drop - max(p.height_at(x, y) for p in floors), "")
        for plane in planes
        for x, y in plane.outline or room.corners
    ]
    if drop:
        heights = [(height, "under the joists") for height, _ in heights]
    heights += [
        (thing.bottom_mm, f"under the {(thing.label or thing.kind).lower()}")
        for thing in room.low_things
    ]
    height, where = min(heights)
    return f"{format_length(height, units)} {where}".strip()


def _named(letters: list[str]) -> str:
    if len(letters) == 1:
        return f"Wall {letters[0]}"
    return f"Walls {', '.join(letters[:-1])} and {letters[-1]}"
