"""Forms of what the room hangs on: electricity, air, the building, the way in, situations, tape."""

from __future__ import annotations

from functools import partial
from typing import Any

from app.forms.choice_words import YES_NO
from app.forms.field_table import Table, choice, length, number, radio, temperature, text, tick
from app.forms.thing_edits import Done, Edits, Things, plan_with, sole, without
from app.forms.typed_fields import Typed
from app.model.plan import Plan, Situation
from app.model.room import Room
from app.model.surroundings import Circuit, Climate, Electricity, Fabric, Passage

LEAST_AMPS = 1.0
"""No fuse is smaller; less is a slip."""
_yes_no = partial(radio, choices=YES_NO)
FEEDS = (
    ("unknown", "I don't know"),
    ("fused-spur", "a fused spur"),
    ("one-circuit", "one circuit of the house"),
    ("own-board", "a board of its own"),
)
BELOW = (("ground", "the ground"), ("room", "a room"), ("unknown", "I don't know"))
WHOSE = (
    ("own", "ours"),
    ("shared", "partly other people's"),
    ("rented", "rented"),
    ("unknown", "not said"),
)
HEARD = (
    ("nobody", "nobody"),
    ("household", "the household"),
    ("neighbours", "neighbours"),
    ("unknown", "not said"),
)
WHEN = (
    ("day", "by day"),
    ("evening", "evenings"),
    ("night", "early or late"),
    ("unknown", "not said"),
)
PASSAGES = tuple(
    (kind, kind.capitalize())
    for kind in ("door", "corridor", "corner", "stairs", "landing", "hatch")
)

ELECTRICITY = Table(
    Electricity,
    (
        choice("feed", "What feeds the room", "feed", choices=FEEDS),
        number("amps", "Its fuse or breaker, A", "amps", what="the current in amperes",
               example="I don't know", least=LEAST_AMPS),
        radio("volts", "Mains", "volts", choices=(("230", "230 V"), ("120", "120 V")), cast=int,
              span="half"),
        _yes_no("protected", "Trip switch (RCD) before the sockets", "residual_current_protection"),
    ),
)  # fmt: skip
CIRCUIT = Table(
    Circuit,
    (
        text("circuit_label", "Name", "label", example="sockets, back wall"),
        number("circuit_amps", "Breaker, A", "amps", what="the current in amperes", example="16",
               least=LEAST_AMPS),
    ),
)  # fmt: skip
CLIMATE = Table(
    Climate,
    (
        temperature("outside_c", "Outside on a cold day", "outside_c",
                    what="the temperature outside"),
        temperature("unheated_c", "Here, unheated", "unheated_c", what="the temperature unheated"),
        temperature("wanted_c", "Wanted while training", "wanted_c", what="the temperature wanted"),
        number("humidity", "Damp of the air, %", "humidity_percent", what="the humidity"),
        number("air_changes", "Changes of air an hour", "air_changes_per_hour",
               what="the changes of air"),
        number("minutes", "A session, minutes", "session_minutes", what="the session", least=1),
        _yes_no("fuel", "A boiler, stove or heater burns here", "fuel_burned_here"),
        _yes_no("car", "A car is kept here", "car_kept_here"),
    ),
)  # fmt: skip
BURNS = Table(
    Climate,
    (_yes_no("fuel", "Does the boiler burn gas, oil or wood in this room?", "fuel_burned_here"),),
)
FABRIC = Table(
    Fabric,
    (
        _yes_no("old", "Built or refitted before 2000", "built_before_2000"),
        radio("below", "Below this floor is", "below", choices=BELOW),
        _yes_no("under", "Rooms of the house are above it", "under_the_house"),
        _yes_no(
            "tensioned",
            "Steel cables may be stretched in the concrete (post-tensioned)",
            "post_tensioned",
        ),
        _yes_no("dry", "The floor is dry", "floor_dry"),
    ),
)
HOUSE = Table(
    Fabric,
    (
        radio("whose", "Whose house is it?", "whose", choices=WHOSE),
        _yes_no("drill", "May walls and ceiling be drilled?", "may_drill"),
        radio("heard", "Who hears you train?", "heard_by", choices=HEARD),
        radio("when", "When, mostly?", "trains_when", choices=WHEN),
        _yes_no("children", "Do children or animals live here?", "children_or_animals"),
    ),
)


def _turns(typed: Typed, old: Any) -> bool:
    return typed.text("kind") == "corner"


_clear = partial(length, least=100, most=60_000)
PASSAGE = Table(
    Passage,
    (
        choice("kind", "What it is", "kind", choices=PASSAGES),
        text("label", "Name", "label"),
        _clear("width", "Clear width", "width_mm", what="the clear width", example="762 mm"),
        _clear("height", "Clear height", "height_mm", what="the clear height", example="1.98 m",
               empty=2000),
        _clear("beyond", "Width beyond, of a corner", "beyond_mm",
               what="the width beyond the corner", when=_turns),
        length("long", "Length, if it has one", "length_mm", what="the length", most=90_000,
               empty=0, show=lambda long: long or None),
    ),
)  # fmt: skip
TAPE = Table(
    Room,
    (
        length("tape", "A measure may be wrong by", "tape_error_mm", what="the error of the tape",
               example="5 mm", most=500),
    ),
)  # fmt: skip


CIRCUITS = Things(
    "circuit", CIRCUIT, "room.electricity.circuits", "circuit_amps",
    ("add a circuit", "", "remove a circuit"),
    "That circuit is no longer in the plan; what is kept is shown.",
)  # fmt: skip
WAY_IN = Things(
    "passage", PASSAGE, "way_in", "width", ("add to the way in", "the way in", "the way in"),
    "That part of the way in is no longer there; what is kept is shown.",
)  # fmt: skip


def _remove_circuit(plan: Plan, typed: Typed) -> Done:
    """Take a circuit away; what hung on it hangs on one that is not known."""
    gone = CIRCUITS.named(plan, typed).id
    after, says = CIRCUITS.remove(plan, typed)
    for at in ("room.sockets", "pieces"):
        after = without(after, at, "circuit", gone)
    return after, says


def _passage_earlier(plan: Plan, typed: Typed) -> Done:
    way = list(plan.way_in)
    at = way.index(WAY_IN.named(plan, typed))
    if at:
        way[at - 1], way[at] = way[at], way[at - 1]
    return plan_with(plan, "way_in", "", way), "the order of the way in"


def _states_read(plan: Plan, typed: Typed, old: Any, values: dict[str, Any]) -> dict[str, Any]:
    states = [(piece.id, typed.text(f"state-{piece.id}")) for piece in plan.pieces]
    given = [{"id": piece_id, "state": state} for piece_id, state in states if state]
    return {**values, "states": given}


SITUATION = Table(
    Situation,
    (
        text("label", "Name", "label", example="Car in", span="", check=lambda name: "" if name
             else "give it a name, such as car in, or all put away"),
        tick("door_open", "garage doors open", "door_open"),
        tick("trains", "somebody trains in it", "trains"),
    ),
    finish=_states_read,
)  # fmt: skip
SITUATIONS = Things(
    "situation", SITUATION, "situations", "label",
    ("add a situation", "the situation {}", "remove a situation"),
    "That situation is no longer in the plan; what is kept is shown.",
)  # fmt: skip

TABLES = {
    "electricity": ELECTRICITY,
    "circuit": CIRCUIT,
    "climate": CLIMATE,
    "burns": BURNS,
    "fabric": FABRIC,
    "house": HOUSE,
    "passage": PASSAGE,
    "situation": SITUATION,
    "tape": TAPE,
}
EDITS: Edits = {
    "electricity": sole(ELECTRICITY, "room.electricity", "amps", "what feeds the room"),
    "add-circuit": CIRCUITS.add,
    "remove-circuit": _remove_circuit,
    "climate": sole(CLIMATE, "room.climate", "outside_c", "the air"),
    "burns": sole(BURNS, "room.climate", "fuel", "whether the boiler burns fuel here"),
    "fabric": sole(FABRIC, "room.fabric", "old", "the building"),
    "house": sole(HOUSE, "room.fabric", "whose", "whose house it is, and who hears"),
    **WAY_IN.edits(),
    "passage-earlier": _passage_earlier,
    **SITUATIONS.edits(),
    "tape": sole(TAPE, "room", "tape", "how exact the tape is"),
}
