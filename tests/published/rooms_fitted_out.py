"""Rooms with all that is hung, wired, lit, painted and laid in them, to move rows of the register.

All sizes in mm, our own invention.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

from app.checks.run import run
from app.model.base import json_of
from app.model.plan import Plan
from app.model.room import Opening
from app.published.register import overridden
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from tests.builders import low_thing, make_person, make_plan, make_room, place, rectangle

PAINT = [
    {"id": "walls", "surface": "walls", "tool": "long-roller", "film_um": 40},
    {"id": "ceiling", "surface": "ceiling", "tool": "spray"},
    {"id": "floor", "surface": "floor", "coating": "floor-epoxy", "tool": "short-roller"},
    {"id": "edges", "surface": "walls", "walls": ["left"], "tool": "brush", "texture": "brick"},
]
STRIPS = [
    {"id": "one", "wall": "back", "points": [[0, 2000], [6000, 2000], [6000, 600]]},
    {
        "id": "two",
        "wall": "right",
        "points": [[0, 1000], [4100, 1000]],
        "strip": "strip-24v-60",
        "cable_mm": 12_000,
    },
]
FIT_OUT: dict[str, Any] = {
    "paint": PAINT,
    "strips": STRIPS,
    "light": {"wanted_lux": 300},
    "mirrors": [{"id": "m", "wall": "front", "offset_mm": 1000, "width_mm": 2500}],
    "projections": [{"id": "p", "wall": "left", "middle_mm": 2000}],
    "floors": [
        {"id": "mats", "zone": rectangle(0, 0, 6000, 2000)},
        {"id": "foam", "material": "foam", "kind": "tile", "zone": rectangle(0, 2000, 6000, 3000)},
        {"id": "roll", "material": "vinyl", "kind": "roll", "length_mm": 5000, "width_mm": 2000,
         "zone": rectangle(0, 3000, 6000, 4000)},
    ],
}  # fmt: skip


def _fitted(painted_at_c: float, damp: float, humid: float) -> dict[str, Any]:
    climate = {"outside_c": -8, "wanted_c": 18, "humidity_percent": humid}
    return {
        "fit_out": {**FIT_OUT, "painted_at_c": painted_at_c, "painted_at_percent": damp},
        "room": {"climate": climate},
    }


def _of(volts: int, feed: str, amps: float | None) -> dict[str, Any]:
    return {"room": {"electricity": {"volts": volts, "feed": feed, "amps": amps}}}


def _hung() -> Plan:
    room = make_room(9000, 9000, 2600, covering=20)
    walls = {"back": "solid-brick", "right": "timber-studs", "front": "concrete"}
    data = json_of(make_plan(
        place("pull-up-bar-wall", 1500, 300, piece_id="bar"),
        place("folding-wall-rack", 8725, 2000, 90, piece_id="rack"),
        place("wall-pulley", 4000, 225, piece_id="pulley"),
        place("mirror", 6000, 50, piece_id="mirror"),
        place("bar-hooks", 3000, 8860, 180, piece_id="hooks"),
        place("rings", 3000, 4000, piece_id="rings"),
        place("hung-bag", 6000, 6000, piece_id="bag"),
        room=room, people=[make_person(1750, want=["pull-up"])],
    ))  # fmt: skip
    data["room"]["ceiling"]["construction"] = "solid-joists"
    for wall in data["room"]["walls"]:
        wall["construction"] = walls.get(wall["id"], "solid-brick")
    return Plan.model_validate(data)


def _wired() -> Plan:
    room = json_of(make_room(6000, 6000, 2500))
    room["sockets"] = [{"id": "s", "wall": "left", "offset_mm": 3000, "height_mm": 300}]
    data = json_of(make_plan(
        place("running-machine", 3000, 1125, piece_id="runner"),
        place("heater", 5000, 5800, 180, piece_id="heater"),
        place("bike", 1600, 4600, piece_id="bike"),
        people=[make_person(1750, want=["run"])],
    ))  # fmt: skip
    return Plan.model_validate({**data, "room": room})


def _uneven() -> Plan:
    data = json_of(_furnished())
    data["room"]["floor"] |= {"construction": "ground-slab", "uneven_mm": 12}
    return Plan.model_validate(data)


def _furnished() -> Plan:
    room = make_room(6000, 4000, 2400, covering=20,
                     low_things=[low_thing(rectangle(0, 0, 6000, 150), 2200)])  # fmt: skip
    return make_plan(
        place("mid-rack", 1500, 775, piece_id="rack", bolted=True),
        place("heater", 5000, 3800, 180, piece_id="heater"),
        place("dehumidifier", 4000, 3500, piece_id="dryer"),
        place("screen", 3500, 30, piece_id="screen"),
        room=room,
        people=[make_person(1750, want=["squat"])],
    )


def _with(plan: Plan, more: dict[str, Any]) -> Plan:
    data = json_of(plan)
    for part, fields in more.items():
        data[part] = {**data[part], **fields}
    return Plan.model_validate(data)


ROLL = {
    "id": "roll", "kind": "roll", "by_metre": True, "length_mm": 10_000, "width_mm": 1250,
    "price_minor": 2400,
}  # fmt: skip


BOARDS = {
    "id": "boards", "kind": "board", "material": "timber", "length_mm": 2440, "width_mm": 1220,
    "thickness_mm": 18,
}  # fmt: skip


def _let_in(thick_mm: float) -> Plan:
    """Return a room with a platform of 40 mm let into mats."""
    platform = place("platform", 2000, 1500, width=2000, depth=1830, height=40)
    floor = {"id": "mats", "thickness_mm": thick_mm, "flush": ["platform"]}
    fit_out = {"fit_out": {"nothing_assumed": True, "floors": [floor]}}
    return _with(make_plan(platform, room=make_room(4000, 3000)), fit_out)


def _twelve(width: float, depth: float) -> Plan:
    """Return a room in which 12 whole mats of 1000 lie uncut."""
    fit_out = {"nothing_assumed": True, "floors": [{"id": "mats"}]}
    return _with(make_plan(room=make_room(width, depth)), {"fit_out": fit_out})


def _short_of_the_door() -> Plan:
    """Return a room whose mats end 400 off its garage door."""
    given = {"id": "g", "wall": "front", "kind": "tracks", "offset_mm": 500, "width_mm": 2400}
    room = make_room(4000, 3000, openings=[Opening.model_validate({**given, "height_mm": 2000})])
    fit_out = {"nothing_assumed": True, "floors": [{"id": "mats", "door_stop_mm": 400}]}
    return _with(make_plan(room=room), {"fit_out": fit_out})


def _bolted_through() -> Plan:
    """Return a room with a rack bolted through mats of 25, and carpet tiles beside them."""
    floors = [
        {"id": "mats", "thickness_mm": 25, "zone": rectangle(0, 0, 4000, 2000)},
        {"id": "tiles", "material": "carpet", "kind": "tile", "length_mm": 500, "width_mm": 500,
         "thickness_mm": 6, "zone": rectangle(0, 2000, 4000, 3000)},
    ]  # fmt: skip
    rack = place("mid-rack", 1500, 775, piece_id="rack", bolted=True)
    fit_out = {"fit_out": {"nothing_assumed": True, "floors": floors}}
    return _with(make_plan(rack, room=make_room(4000, 3000)), fit_out)


def _across(taken_mm: float) -> Plan:
    """A pull-up bar of 1100 on the back wall, so much of it before a window that begins at 2000."""
    window = {"id": "w", "wall": "back", "kind": "window", "offset_mm": 2000, "width_mm": 900}
    opening = Opening.model_validate({**window, "height_mm": 1400, "sill_mm": 1000})
    bar = place("pull-up-bar-wall", 1450 + taken_mm, 300)
    return make_plan(bar, room=make_room(openings=[opening]))


def _before_a_screen(ahead_mm: float, beside_mm: float, wide_mm: float, turn_deg: float) -> Plan:
    """A bike so far before a screen on the back wall and beside its middle."""
    screen = place("screen", 1000, 30, height=1770, width=wide_mm)
    bike = place("bike", 1000 + beside_mm, 60 + ahead_mm, turn_deg)
    return make_plan(screen, bike, room=make_room(8000, 5000))


PLANS: dict[str, Callable[[], Plan]] = {
    "hung": _hung,
    "a screen from 1400": lambda: _before_a_screen(1400, 0, 970, 0),
    "a screen from 1300": lambda: _before_a_screen(1300, 0, 970, 0),
    "a screen from the side": lambda: _before_a_screen(2000, 3464, 1500, 270),
    "hung, 200 of it across a window": lambda: _across(200),
    "hung, 100 of it across a window": lambda: _across(100),
    "wired, a board of 12 A": lambda: _with(_wired(), _of(230, "own-board", 12)),
    "wired, a circuit": lambda: _with(_wired(), _of(230, "one-circuit", None)),
    "wired, a circuit at 120 V": lambda: _with(_wired(), _of(120, "one-circuit", None)),
    "wired, 20 A at 120 V": lambda: _with(_wired(), _of(120, "own-board", 20)),
    "fitted out": lambda: _with(_furnished(), _fitted(15, 60, 80)),
    "fitted out, uneven": lambda: _with(_uneven(), _fitted(15, 60, 80)),
    "fitted out, cold and damp": lambda: _with(_furnished(), _fitted(6, 92, 95)),
    "off the roll": lambda: _with(
        make_plan(room=make_room(3000, 2500)),
        {"fit_out": {"nothing_assumed": True, "floors": [ROLL]}},
    ),
    "boards": lambda: _with(
        make_plan(room=make_room(3000, 2500)),
        {"fit_out": {"nothing_assumed": True, "floors": [BOARDS]}},
    ),
    "bolted through mats": _bolted_through,
    "12 mats with 6 all round": lambda: _twelve(3012, 4012),
    "12 mats with 10 all round": lambda: _twelve(3020, 4020),
    "short of the door": _short_of_the_door,
    "let in, 2 mm higher": lambda: _let_in(38),
    "let in, 4 mm higher": lambda: _let_in(36),
    "fitted out, hot": lambda: _with(_furnished(), _fitted(33, 40, 40)),
}


@cache
def plan_of(told: str) -> Plan:
    """Give a plan by what it is called, as it is read from a file: figures that are whole too."""
    return Plan.model_validate(json_of(PLANS[told]()))


def answers(plan: Plan) -> str:
    """Give all that a plan is judged to be and all that it takes, as text."""
    scene = build_scene(plan)
    rows = [(s.key, s.severity, s.sentence, s.parts, s.measured, s.required) for s in run(scene)]
    with overridden({one.id: one.value for one in plan.overrides}):
        taken = take_off(scene)
    return repr((rows, taken.lines, taken.says))


@cache
def as_published(told: str) -> str:
    """Give the answers of a plan with every row as it is published."""
    return answers(plan_of(told))


def moved(told: str, key: str, value: float) -> str:
    """Give the answers of a plan with one row set otherwise."""
    instead = [{"id": key, "value": value, "reason": "to see"}]
    return answers(Plan.model_validate({**json_of(plan_of(told)), "overrides": instead}))
