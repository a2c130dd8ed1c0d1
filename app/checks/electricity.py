"""Electricity: what is used together against what feeds the room, and sockets within reach.

Never a pass: what is said here is a question for an electrician. Of the machines people train
on, as many run together as there are people; what belongs to the house runs all the time.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from app.checks.snag import Severity, Snag, kit_key
from app.checks.sockets import sockets_in_reach
from app.formulas.electrical import continuous_w, gives_w
from app.library.kit import OF_THE_HOUSE
from app.published.register import published
from app.scene.build import Scene
from app.scene.loads import Load, board_here, circuit_of, loads, typed_circuit, used_together
from app.units import KILO
from app.wording import lower, told_beside

_RUNNING = "running-machine"
_NAMED = 3  # with more names nobody reads to the end of the sentence
_KILO = KILO


def electricity(scene: Scene) -> Iterator[Snag]:
    """Yield what is drawn together above its supply, missing protection, sockets too far off."""
    for snag in scene.memo(("electricity", _plugged(scene)), lambda: tuple(_supply(scene))):
        yield replace(snag, where=scene.placed[snag.pieces[0]].at) if snag.pieces else snag
    yield from sockets_in_reach(scene)


def _supply(scene: Scene) -> Iterator[Snag]:
    every = loads(scene)
    if not every:
        return
    electricity = scene.plan.room.electricity
    known = {circuit.id: circuit for circuit in electricity.circuits}
    warned = False
    for circuit in known.values():
        mine = [load for load in every if circuit_of(scene, load.placed) == circuit.id]
        sure = all(typed_circuit(scene, load.placed) for load in mine)
        name = f"the circuit {circuit.label or circuit.id} ({circuit.amps:.0f} A)"
        if not sure:
            name += " of the nearest sockets"
        for snag in _against(scene, mine, circuit.amps, name, f"circuit-{circuit.id}"):
            warned = True
            of_circuit = replace(snag, circuit=circuit.id)
            yield of_circuit if sure else replace(of_circuit, severity="care")
    for snag in _against_feed(scene, every):
        warned = True
        yield snag
    if not warned:
        yield from _own_circuit(scene, every)
    if electricity.residual_current_protection == "no":
        yield Snag(
            code="no-residual-current-protection",
            severity="care",
            template="No trip switch (RCD) guards the sockets. One of {:.0f} mA is usual for "
            "them: ask an electrician before anything is plugged in here.",
            values=(published("electric.residual-current-ma"),),
            names=("sockets",),
            unit=None,
            source_keys=("electric.residual-current-ma",),
        )
    yield from _asked(scene, every)


def _plugged(scene: Scene) -> tuple[str | None, ...]:
    """Return the circuits of all that draws power: all that the supply's verdict hangs on."""
    if not scene.plan.room.electricity.circuits:
        return ()
    powered = scene.memo(("powered",), lambda: tuple(load.placed.piece.id for load in loads(scene)))
    return tuple(circuit_of(scene, scene.placed[piece_id]) for piece_id in powered)


def _against_feed(scene: Scene, every: Sequence[Load]) -> Iterator[Snag]:
    electricity = scene.plan.room.electricity
    volts, amps, feed = electricity.volts, electricity.amps, electricity.feed
    spur_key = "electric.spur.amps"
    if amps is not None:
        names = {"fused-spur": "the spur", "one-circuit": "the circuit", "own-board": "the board"}
        name = f"{names.get(feed, 'what feeds the room')} ({amps:.0f} A)"
        yield from _against(scene, every, amps, name, "feed")
    elif feed == "fused-spur" and volts != published("electric.volts-low"):
        spur = published(spur_key)
        yield from _against(scene, every, spur, f"a {spur:.0f} A spur", "feed", spur_key)
    elif feed != "own-board":
        yield from _if_small(scene, every)


def _against(
    scene: Scene,
    among: Sequence[Load],
    amps: float,
    name: str,
    code: str,
    source_key: str | None = None,
) -> Iterator[Snag]:
    """Yield a stop above a known supply, a care above its lasting part at 120 V."""
    volts = scene.plan.room.electricity.volts
    together = used_together(scene, among)
    drawn = sum(load.watts for load in together)
    most = gives_w(volts, amps)
    severity: Severity = "stop"
    key = source_key
    if volts == published("electric.volts-low") and len(together) > 1 and drawn <= most:
        severity, most, key = "care", continuous_w(volts, amps), "electric.continuous-ratio"
    if drawn <= most:
        return
    lasting = "" if severity == "stop" else " for hours on end"
    advice = "Do not use them together" if len(together) > 1 else "Do not run it on this"
    yield _snag(
        code,
        severity,
        together,
        drawn,
        most,
        "{} {} {} kW; {} gives {} kW{}.{} {}: ask an electrician, and do not use a lead.{}",
        (
            name,
            _kilowatts(most, drawn),
            lasting,
            _fewer(together, most),
            advice,
            _maker(scene, together),
        ),
        key,
    )


def _if_small(scene: Scene, every: Sequence[Load]) -> Iterator[Snag]:
    """Yield a care where nothing is known, and the smallest usual supply would not do."""
    electricity = scene.plan.room.electricity
    low = electricity.volts == published("electric.volts-low")
    here = electricity.feed == "unknown" and board_here(scene)
    spur = electricity.feed == "unknown" and not low and not here
    usual = f"electric.circuit.usual-{electricity.volts}-amps"
    key = "electric.spur.amps" if spur else usual
    amps = published(key)
    together = used_together(scene, every)
    drawn = sum(load.watts for load in together)
    most = continuous_w(electricity.volts, amps) if low else gives_w(electricity.volts, amps)
    if drawn <= most:
        return
    name = f"a {amps:.0f} A {'spur' if spur else 'circuit'}"
    if here:
        name = f"one {amps:.0f} A circuit from the main switch here"
    yield _snag(
        "feed",
        "care",
        together,
        drawn,
        most,
        "{} {} {} kW. If {} feeds the room it gives {} kW.{} Ask an electrician; do not "
        "use a lead.{}",
        (name, _kilowatts(most, drawn), _fewer(together, most), _maker(scene, together)),
        key,
    )


def _snag(
    code: str,
    severity: Severity,
    together: Sequence[Load],
    drawn: float,
    most: float,
    template: str,
    tail: tuple[object, ...],
    source_key: str | None,
) -> Snag:
    large = together[:_NAMED]
    draws = "together draw" if len(together) > 1 else "draws"
    # a supply entered by the household is its own figure; what is drawn stands in the kit's rows
    keys = (source_key,) if source_key else ()
    return Snag(
        code=f"power-{code}",
        eased_by=frozenset({"supply"}),
        severity=severity,
        template=template,
        values=(_listed(together), draws, _kilowatts(drawn, most), *tail),
        pieces=tuple(load.placed.piece.id for load in large),
        names=("electricity", *(lower(load.placed.name) for load in large)),
        measured=round(most),
        required=round(drawn),
        unit="W",
        source_keys=(*keys, *(kit_key(load.placed.kit.key, "power") for load in large)),
        working=tuple((f"{load.placed.name}, W", load.watts) for load in together),
    )


def _fewer(together: Sequence[Load], most: float) -> str:
    """Say which one thing left off is enough, rather of the house than what one trains on.

    Of what draws little nobody is told to switch it off: a freezer runs day and night.
    """
    drawn = sum(load.watts for load in together)
    large = [load for load in together if load.watts >= published("electric.lead-matters-w")]
    enough = [load for load in large if len(together) > 1 and drawn - load.watts <= most]
    if not enough:
        return ""
    one = min(enough, key=lambda load: (load.placed.kit.group != OF_THE_HOUSE, load.watts))
    rest = _kilowatts(drawn - one.watts, most)
    return f" With the {lower(one.placed.name)} off it is {rest} kW."


def _kilowatts(watts: float, other: float) -> str:
    """Return watts in kW, so finely that they are not told as others that they are not."""
    return told_beside(watts / _KILO, other / _KILO)


def _listed(together: Sequence[Load]) -> str:
    names = [lower(load.placed.name) for load in together[:_NAMED]]
    rest = len(together) - len(names)
    if rest:
        text = f"{', '.join(names)} and {rest} more"
    elif len(names) > 1:
        text = f"{', '.join(names[:-1])} and {names[-1]}"
    else:
        text = names[0]
    return text[:1].upper() + text[1:]


def _maker(scene: Scene, together: Sequence[Load]) -> str:
    """Say what a running machine wants at 120 V, where one is among what runs."""
    low = scene.plan.room.electricity.volts == published("electric.volts-low")
    if not low or all(load.placed.kit.key != _RUNNING for load in together):
        return ""
    amps = published("electric.circuit.running-machine-120-amps")
    return (
        f" The running machine wants {amps:.0f} A of its own: ask its maker for one that tolerates "
        "ground-fault protection."
    )


def _own_circuit(scene: Scene, every: Sequence[Load]) -> Iterator[Snag]:
    machines = [load for load in every if load.placed.kit.key == _RUNNING]
    tail = _maker(scene, machines)
    if tail:
        key = "electric.circuit.running-machine-120-amps"
        yield Snag(
            code="power-own-circuit",
            background=True,
            severity="note",
            template="{}",
            values=(tail.strip(),),
            pieces=(machines[0].placed.piece.id,),
            names=("electricity", lower(machines[0].placed.name)),
            unit=None,
            source_keys=(key,),
        )


def _asked(scene: Scene, every: Sequence[Load]) -> Iterator[Snag]:
    electricity = scene.plan.room.electricity
    low = electricity.volts == published("electric.volts-low")
    key = "electric.circuit.usual-120-amps" if low else "electric.spur.amps"
    amps = published(key)
    gives = continuous_w(electricity.volts, amps) if low else gives_w(electricity.volts, amps)
    drawn = sum(load.watts for load in used_together(scene, every))
    if drawn <= gives / 2:
        return
    if electricity.feed == "unknown" and electricity.amps is None:
        if board_here(scene):
            yield Snag(
                code="ask-feed",
                question=True,
                severity="note",
                template="which circuits of the main switch here feed the sockets, and whether a "
                "trip switch (RCD) guards them",
                unit=None,
                source_keys=(f"electric.circuit.usual-{electricity.volts}-amps",),
            )
            return
        kind = "circuit" if low else "spur"
        yield Snag(
            code="ask-feed",
            question=True,
            severity="note",
            template="what feeds the room (a {:.0f} A {} gives {:.1f} kW), and whether a trip "
            "switch (RCD) guards its sockets",
            values=(amps, kind, gives / _KILO),
            unit=None,
            source_keys=(key,),
        )
    elif electricity.residual_current_protection == "unknown":
        yield Snag(
            code="ask-residual-current",
            question=True,
            severity="note",
            template="whether a trip switch (RCD) guards the sockets",
            unit=None,
            source_keys=("electric.residual-current-ma",),
        )
