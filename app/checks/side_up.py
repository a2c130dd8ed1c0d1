"""A box that stands otherwise on the plan than it is stepped on: which side is up is said."""

from __future__ import annotations

from collections.abc import Iterator

from app.checks.headroom import person_name
from app.checks.snag import Snag
from app.checks.spot import Spot
from app.checks.spots import SHUT, of_parts, spots
from app.library.movements import movements
from app.model.people import Person
from app.scene.build import Placed, Scene
from app.scene.footing import STEPPED_ON, as_used, footing
from app.scene.tolerance import falls_short
from app.wording import Phrase, joined, lower, phrase


def side_up(scene: Scene) -> Iterator[Snag]:
    """Yield a note for each box whose height nobody has typed and that is laid on its side to use.

    Of its higher sides it tells which leave somebody too little over the head.
    """
    for placed in scene.order:
        if not placed.kit.any_side_up or placed.piece.height_mm is not None or not placed.in_use:
            continue
        done = {
            movement: places
            for movement in sorted(STEPPED_ON)
            if (places := _places(scene, placed, movement))
            if any(person.wish_for(movement) == "want" for person in scene.plan.people)
        }
        if done:
            yield _snag(scene, placed, done)


def _places(scene: Scene, placed: Placed, movement: str) -> tuple[Spot, ...]:
    there = spots(scene).get(movement, ())
    return tuple(spot for spot in there if spot.placed.piece.id == placed.piece.id)


def _snag(scene: Scene, placed: Placed, done: dict[str, tuple[Spot, ...]]) -> Snag:
    use = next(iter(done.values()))[0].use
    used, stands = as_used(placed, use), placed.extent
    sides = sorted({stands.width_mm, stands.depth_mm, stands.height_mm})
    sides_for: dict[str, list[Phrase]] = {}
    for side in (one for one in sides if falls_short(used.height_mm, one)):
        who = dict.fromkeys(
            person_name(person, scene.plan.units)
            for movement, places in done.items()
            for person in scene.plan.people
            if person.wish_for(movement) == "want"
            if _is_too_high(scene, person, places, side - footing(placed, use).base_mm)
        )
        if who:
            sides_for.setdefault(" and ".join(who), []).append(phrase("{:bare}", side))
    tall = [
        phrase("{} for {}", joined(" and ", heights), who) for who, heights in sides_for.items()
    ]
    tail = phrase(" Too high: {}.", joined("; ", tall)) if tall else phrase("")
    movement_names = " and ".join(lower(movements()[key].name) for key in done)
    return Snag(
        code="side-up",
        background=True,
        severity="note",
        template="For {} it is judged laid on its side, {:bare} high and {:bare} x {:mm} on the "
        "floor; on the plan it stands {:bare} high.{}",
        values=(
            movement_names,
            used.height_mm,
            used.width_mm,
            used.depth_mm,
            stands.height_mm,
            tail,
        ),
        pieces=(placed.piece.id,),
        names=(placed.name, "the side it lies on"),
        unit=None,
        where=placed.at,
        source_keys=("jump-box.used-mm",),
    )


def _is_too_high(scene: Scene, person: Person, places: tuple[Spot, ...], more_mm: float) -> bool:
    """Return whether somebody on a box so much higher has not the margin over the head."""
    spares = [
        min(one.spare_need_mm for one in parts if not one.clear.on_floor)
        for parts in of_parts(scene, person, places, SHUT)
    ]
    return falls_short(max(spares), more_mm)
