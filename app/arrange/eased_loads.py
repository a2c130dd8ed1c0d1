"""Ways out of too much for a supply or a floor: another circuit, a larger feed, less weight.

None of them moves anything. Whatever is proposed here is an offer to ask an electrician or to load
less, and goes before the judge like all else.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from app.arrange.sizes import SIZES_AT_MOST
from app.arrange.swaps import Proposal, instead
from app.changes.commands import edits
from app.changes.difference import difference
from app.checks.floors import pressing
from app.checks.snag import Snag
from app.formulas.electrical import continuous_w
from app.library.kit import OF_THE_HOUSE, kit_types
from app.model.base import json_of
from app.model.plan import Plan
from app.model.room_walls import fresh_id
from app.model.surroundings import Circuit, Electricity
from app.published.register import published
from app.scales import MASS
from app.scene.build import Scene
from app.scene.loads import Load, board_here, circuit_of, loads, used_together
from app.wording import lower, phrase

RATINGS_A = {
    230: (10.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0),
    120: (15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 125.0),
}
"""Ratings of breakers that are made: preferred values of IEC 60898-1, standard ones of NEC
240.6(A). Which of them a supply is, the electrician decides."""
WHOLE_KG = 5
"""Weights to keep to are told in steps of this: nobody weighs what is on a shelf to the kilo."""
LEAST_SHARE = 0.2
"""Less than this part of what it holds is left to no store: then it is not one any more."""


def other_supply(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield another circuit that is there, one laid for what draws most, or a larger feed."""
    if "supply" not in snag.eased_by:
        return
    if snag.circuit is None:
        if supply_is_here(scene):
            yield from _circuit_from_here(scene)
        else:
            yield from _larger_feed(scene)
        return
    mine = [load for load in loads(scene) if circuit_of(scene, load.placed) == snag.circuit]
    yield from _plugged_elsewhere(scene, mine, snag.circuit)
    yield from _circuit_of_its_own(scene, mine)


def _plugged_elsewhere(scene: Scene, mine: list[Load], there: str) -> Iterator[Proposal]:
    circuits = scene.plan.room.electricity.circuits
    for circuit in sorted(circuits, key=lambda one: -one.amps):
        for load in mine if circuit.id != there else ():
            name = lower(load.placed.name)
            says = f"Plug the {name} into the circuit {circuit.label or circuit.id} instead."
            yield says, edits(scene.plan, load.placed.piece.id, says, circuit=circuit.id)


def _circuit_of_its_own(scene: Scene, mine: list[Load]) -> Iterator[Proposal]:
    """Yield a new circuit for each of what draws most."""
    supply = scene.plan.room.electricity
    taken = {circuit.id for circuit in supply.circuits}
    for load in mine[:SIZES_AT_MOST]:
        amps = _rating(supply, load.watts)
        if amps is None:
            continue
        name = lower(load.placed.name)
        says = f"Have an electrician lay a circuit of its own for the {name}, {amps:.0f} A."
        circuit = Circuit(id=fresh_id("circuit", taken), amps=amps)
        data = _with_supply(scene.plan, circuits=(*supply.circuits, circuit))
        for piece in data["pieces"]:
            if piece["id"] == load.placed.piece.id:
                piece["circuit"] = circuit.id
        yield from _offered(scene, data, says)


def supply_is_here(scene: Scene) -> bool:
    """Return whether circuits of this room begin in it, and nobody has said which there are."""
    supply = scene.plan.room.electricity
    return supply.feed == "unknown" and not supply.circuits and board_here(scene)


def _circuit_from_here(scene: Scene) -> Iterator[Proposal]:
    """Yield a circuit of its own for each machine that draws most, from the board in the room.

    All else stays on the one that is there, which is taken for the smallest usual.
    """
    supply, every = scene.plan.room.electricity, loads(scene)
    usual = published(f"electric.circuit.usual-{supply.volts}-amps")
    # a machine comes anew; what belongs to the house is plugged in as it is
    new = sorted(every, key=lambda load: load.placed.kit.group == OF_THE_HOUSE)
    for load in new[:SIZES_AT_MOST]:
        amps = _rating(supply, load.watts)
        if amps is None:
            continue
        name = lower(load.placed.name)
        says = (
            f"Have an electrician lay a circuit of its own for the {name}, {amps:.0f} A, from the "
            "main switch here."
        )
        there = Circuit(id="circuit-1", amps=usual, label="as it is")
        own = Circuit(id="circuit-2", amps=amps)
        data = _with_supply(scene.plan, feed="own-board", circuits=(there, own))
        on = {one.placed.piece.id: there.id for one in every} | {load.placed.piece.id: own.id}
        for piece in data["pieces"]:
            piece["circuit"] = on.get(piece["id"], piece["circuit"])
        yield from _offered(scene, data, says)


def _larger_feed(scene: Scene) -> Iterator[Proposal]:
    supply = scene.plan.room.electricity
    drawn = sum(load.watts for load in used_together(scene, loads(scene)))
    amps = _rating(supply, drawn)
    if amps is None:
        return
    says = f"Have an electrician feed the room with {amps:.0f} A from a board of its own."
    if supply.feed == "unknown" and supply.amps is None:
        says = f"Ask an electrician for {amps:.0f} A on a board of its own, if there is less."
    yield from _offered(scene, _with_supply(scene.plan, feed="own-board", amps=amps), says)


def _rating(supply: Electricity, watts: float) -> float | None:
    """Return the least rating that gives so much for hours on end, None where none is so large."""
    enough = (a for a in RATINGS_A[supply.volts] if continuous_w(supply.volts, a) >= watts)
    return next(enough, None)


def _with_supply(plan: Plan, **fields: object) -> dict[str, Any]:
    """Return the data of a plan with fields of its supply changed."""
    data = json_of(plan)
    supply = data["room"]["electricity"]
    supply |= json_of(Electricity.model_validate({**supply, **fields}))
    return data


def _offered(scene: Scene, data: dict[str, Any], says: str) -> Iterator[Proposal]:
    command = difference(scene.plan, Plan.model_validate(data), "edit", says)
    if command is not None:
        yield says, command


def less_weight(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield a store that is loaded less, and lighter kit that serves for the same."""
    if "weight" not in snag.eased_by or snag.severity == "note":
        return
    pressed = next(one for one in pressing(scene) if one.placed.piece.id == snag.pieces[0])
    placed = pressed.placed
    if placed.piece.pinned:
        return
    now = placed.piece.mass_kg or placed.kit.mass_kg
    most = pressed.borne_kg - pressed.added_kg
    whole = most // WHOLE_KG * WHOLE_KG
    if placed.kit.holds and LEAST_SHARE * now <= whole < now:
        words = phrase(
            "Keep no more than {:kg} on the {}, its own weight included.",
            whole,
            lower(placed.name),
        ).worded(scene.plan.units)
        yield words, edits(scene.plan, placed.piece.id, words, mass_kg=whole)
    uses = {use.movement for use in placed.kit.uses}
    lighter = [
        kit
        for kit in kit_types().values()
        if kit.group == placed.kit.group
        and kit.mass_kg < now
        and kit.fixing == placed.kit.fixing
        and bool(kit.rests) == bool(placed.kit.rests)
        and uses
        and uses <= {use.movement for use in kit.uses}
    ]
    for kit in sorted(lighter, key=lambda kit: -kit.mass_kg)[:SIZES_AT_MOST]:
        heavy = MASS.words(kit.mass_kg, scene.plan.units)
        words = f"Take the {lower(kit.name)} instead, {heavy}."
        yield instead(scene, placed, kit, words)
