"""Edits of what the room hangs on: electricity, air, the building, the way in, situations, tape."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from pydantic import ValidationError

from app.errors import CommandError, Fault, PlanError
from app.forms.typed_fields import Typed
from app.model.base import json_of
from app.model.faults import plan_error
from app.model.plan import PieceState, Plan, Situation
from app.model.room_check import changed_plan
from app.model.room_walls import fresh_id
from app.model.surroundings import (
    Circuit,
    Climate,
    Electricity,
    Fabric,
    FeedKind,
    Passage,
    PassageKind,
    YesNo,
)

AMPS = (1.0, 125.0)
CELSIUS = (-60.0, 60.0)
PASSAGE = (100.0, 60_000.0)
PASSAGE_LENGTH = (0.0, 90_000.0)
TAPE = (0.0, 500.0)

Done = tuple[Plan, str]


def _electricity(plan: Plan, typed: Typed) -> Done:
    old = plan.room.electricity
    fields = {
        "volts": int(typed.choice("volts", ("230", "120"))),
        "feed": typed.one_of("feed", FeedKind),
        "amps": typed.maybe_number("amps", "the current in amperes", AMPS),
        "residual_current_protection": typed.choice("protected", ("unknown", "yes", "no")),
        "circuits": [json_of(circuit) for circuit in old.circuits],
    }
    typed.done()
    electricity = Electricity.model_validate(fields)
    return changed_plan(plan, "amps", electricity=electricity), "what feeds the room"


def _add_circuit(plan: Plan, typed: Typed) -> Done:
    old = plan.room.electricity
    amps = typed.number("circuit_amps", "the current in amperes", AMPS)
    label = typed.text("circuit_label")
    typed.done()
    new_id = fresh_id("circuit", {c.id for c in old.circuits})
    circuits = (*old.circuits, Circuit(id=new_id, amps=amps, label=label))
    return _with_circuits(plan, circuits), "add a circuit"


def _remove_circuit(plan: Plan, typed: Typed) -> Done:
    gone = typed.text("circuit")
    circuits = tuple(c for c in plan.room.electricity.circuits if c.id != gone)
    if len(circuits) == len(plan.room.electricity.circuits):
        raise CommandError("That circuit is no longer in the plan; what is kept is shown.")
    sockets = tuple(
        type(s)(**{**s.model_dump(), "circuit": None}) if s.circuit == gone else s
        for s in plan.room.sockets
    )
    freed = [
        {**json_of(piece), "circuit": None if piece.circuit == gone else piece.circuit}
        for piece in plan.pieces
    ]
    after = changed_plan(_with_circuits(plan, circuits), "", sockets=sockets)
    return _with(after, "", pieces=freed), "remove a circuit"


def _with_circuits(plan: Plan, circuits: tuple[Circuit, ...]) -> Plan:
    fields = {**plan.room.electricity.model_dump(), "circuits": circuits}
    return changed_plan(plan, "circuit_amps", electricity=Electricity(**fields))


def _climate(plan: Plan, typed: Typed) -> Done:
    climate = {
        "outside_c": typed.number("outside_c", "the temperature outside", CELSIUS),
        "wanted_c": typed.number("wanted_c", "the temperature wanted", CELSIUS),
        "unheated_c": typed.number("unheated_c", "the temperature unheated", CELSIUS),
        "humidity_percent": typed.number("humidity", "the humidity", (1, 100)),
        "air_changes_per_hour": typed.number("air_changes", "the changes of air", (0, 60)),
        "session_minutes": typed.number("minutes", "the session", (1, 600)),
        "fuel_burned_here": typed.one_of("fuel", YesNo),
        "car_kept_here": typed.one_of("car", YesNo),
    }
    typed.done()
    return changed_plan(plan, "outside_c", climate=Climate.model_validate(climate)), "the air"


def _fabric(plan: Plan, typed: Typed) -> Done:
    fabric = {
        "built_before_2000": typed.one_of("old", YesNo),
        "below": typed.choice("below", ("unknown", "ground", "room")),
        "under_the_house": typed.one_of("under", YesNo),
        "post_tensioned": typed.one_of("tensioned", YesNo),
        "floor_dry": typed.one_of("dry", YesNo),
    }
    typed.done()
    return changed_plan(plan, "old", fabric=Fabric.model_validate(fabric)), "the building"


def _add_passage(plan: Plan, typed: Typed) -> Done:
    passage = _read_passage(typed, fresh_id("passage", {p.id for p in plan.way_in}))
    return _with(plan, "width", way_in=[*plan.way_in, passage]), "add to the way in"


def _passage(plan: Plan, typed: Typed) -> Done:
    at = _passage_index(plan, typed)
    way = list(plan.way_in)
    way[at] = _read_passage(typed, way[at].id)
    return _with(plan, "width", way_in=way), "the way in"


def _remove_passage(plan: Plan, typed: Typed) -> Done:
    at = _passage_index(plan, typed)
    return _with(plan, "", way_in=[*plan.way_in[:at], *plan.way_in[at + 1 :]]), "the way in"


def _passage_earlier(plan: Plan, typed: Typed) -> Done:
    at = _passage_index(plan, typed)
    way = list(plan.way_in)
    if at:
        way[at - 1], way[at] = way[at], way[at - 1]
    return _with(plan, "", way_in=way), "the order of the way in"


def _passage_index(plan: Plan, typed: Typed) -> int:
    ids = [passage.id for passage in plan.way_in]
    if typed.text("passage") not in ids:
        raise CommandError("That part of the way in is no longer there; what is kept is shown.")
    return ids.index(typed.text("passage"))


def _read_passage(typed: Typed, passage_id: str) -> Passage:
    kind = typed.one_of("kind", PassageKind)
    beyond = None
    if kind == "corner":
        beyond = typed.length("beyond", "the width beyond the corner", PASSAGE)
    fields = {
        "id": passage_id,
        "kind": kind,
        "width_mm": typed.length("width", "the clear width", PASSAGE),
        "height_mm": typed.length("height", "the clear height", PASSAGE, empty=2000),
        "beyond_mm": beyond,
        "length_mm": typed.length("long", "the length", PASSAGE_LENGTH, empty=0),
        "label": typed.text("label"),
    }
    typed.done()
    return Passage.model_validate(fields)


def _add_situation(plan: Plan, typed: Typed) -> Done:
    situation = _read_situation(plan, typed, fresh_id("situation", {s.id for s in plan.situations}))
    return _with(plan, "label", situations=[*plan.situations, situation]), "add a situation"


def _situation(plan: Plan, typed: Typed) -> Done:
    old = _situation_id(plan, typed)
    new = _read_situation(plan, typed, old)
    situations = [new if s.id == old else s for s in plan.situations]
    return _with(plan, "label", situations=situations), f"the situation {new.label or old}"


def _remove_situation(plan: Plan, typed: Typed) -> Done:
    old = _situation_id(plan, typed)
    rest = [s for s in plan.situations if s.id != old]
    return _with(plan, "label", situations=rest), "remove a situation"


def _situation_id(plan: Plan, typed: Typed) -> str:
    found = typed.text("situation")
    if found not in {situation.id for situation in plan.situations}:
        raise CommandError("That situation is no longer in the plan; what is kept is shown.")
    return found


def _read_situation(plan: Plan, typed: Typed, situation_id: str) -> Situation:
    label = typed.text("label")
    if not label:
        typed.fault("label", "give it a name, such as car in, or all put away")
    states = []
    for piece in plan.pieces:
        state = typed.text(f"state-{piece.id}")
        if state:
            states.append({"id": piece.id, "state": state})
    typed.done()
    try:
        return Situation(
            id=situation_id,
            label=label,
            door_open=typed.yes("door_open"),
            trains=typed.yes("trains"),
            states=tuple(PieceState.model_validate(state) for state in states),
        )
    except ValidationError as error:
        raise PlanError(*(Fault("label", f.sentence) for f in plan_error(error).faults)) from None


def _tape(plan: Plan, typed: Typed) -> Done:
    error = typed.maybe_length("tape", "the error of the tape", TAPE)
    typed.done()
    return changed_plan(plan, "tape", tape_error_mm=error), "how exact the tape is"


def _with(plan: Plan, field: str, **changes: Any) -> Plan:
    data = json_of(plan)
    for name, value in changes.items():
        data[name] = [item if isinstance(item, dict) else json_of(item) for item in value]
    try:
        return Plan.model_validate(data)
    except ValidationError as error:
        raise PlanError(*(Fault(field, f.sentence) for f in plan_error(error).faults)) from None


EDITS: Mapping[str, Callable[[Plan, Typed], Done]] = {
    "electricity": _electricity,
    "add-circuit": _add_circuit,
    "remove-circuit": _remove_circuit,
    "climate": _climate,
    "fabric": _fabric,
    "add-passage": _add_passage,
    "passage": _passage,
    "remove-passage": _remove_passage,
    "passage-earlier": _passage_earlier,
    "add-situation": _add_situation,
    "situation": _situation,
    "remove-situation": _remove_situation,
    "tape": _tape,
}
