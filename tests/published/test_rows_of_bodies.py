"""Rows of bodies, bars and movements are moved both ways, and a card or a verdict changes.

All sizes in mm, our own invention.
"""

from __future__ import annotations

import random
from functools import cache

import pytest

from app.checks.open_floor import card
from app.checks.run import run
from app.model.base import json_of
from app.model.plan import Plan
from app.published.register import overridden, row
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place

SHORT, SEED = 5, 13
WANTED = (
    "standing-press", "seated-press", "kneeling-press", "bench-press", "squat", "pull-up", "run",
    "bike", "machine-row", "deadlift", "barbell-row", "landmine-press", "dip", "skip", "handstand",
)  # fmt: skip
CLEAR_MM = {"cards": 2300.0, "low": 1500.0, "usual": 2250.0}
"""Cards of two people before any kit, and verdicts on kit under a low and a usual ceiling."""

MOVED = {
    "bench-press.chest-mm": (("cards", 1.1), ("cards", 0.909)),
    "bike.standing-rise-mm": (("low", 1.1), ("low", 0.909)),
    "body.angled-grip-reach.ratio": (("low", 1.1), ("low", 0.909)),
    "body.chin-to-crown-ratio": (("cards", 1.1), ("cards", 0.909)),
    "body.dip-rise-ratio": (("cards", 1.1), ("cards", 0.909)),
    "body.grip-reach.cautious-offset-mm": (("cards", 1.1), ("cards", 0.909)),
    "body.grip-reach.cautious-slope": (("cards", 1.1), ("cards", 0.909)),
    "body.grip-reach.cautious-two-standard-errors-mm": (("cards", 1.1), ("cards", 0.909)),
    "body.grip-reach.typical-ratio": (("cards", 1.1), ("cards", 0.909)),
    "body.handstand-ratio": (("low", 1.1), ("low", 0.909)),
    "body.hang.tucked-ratio": (("cards", 1.1), ("cards", 0.909)),
    "body.kneeling-grip-reach.cautious-ratio": (("cards", 1.1), ("cards", 0.909)),
    "body.kneeling-grip-reach.typical-ratio": (("cards", 1.1), ("cards", 0.909)),
    "body.lying-arm-reach-ratio": (("cards", 1.1), ("cards", 0.909)),
    "body.shoe-mm": (("cards", 1.1), ("cards", 0.909)),
    "body.shoulder-height-ratio": (("cards", 1.1), ("cards", 0.909)),
    "body.sitting-grip-reach.cautious-ratio": (("cards", 1.1), ("cards", 0.909)),
    "body.sitting-grip-reach.typical-ratio": (("cards", 1.1), ("cards", 0.909)),
    "body.sitting-height-ratio": (("cards", 1.1), ("cards", 0.909)),
    "body.upper-arm-ratio": (("cards", 1.1), ("cards", 0.909)),
    "catch.above-pad-least-mm": (("low", 1.1), ("low", 0.909)),
    "catch.above-pad-most-mm": (("low", 1.1), ("low", 0.909)),
    "headroom.margin-mm": (("cards", 1.1), ("cards", 0.909)),
    "headroom.margin.standing-mm": (("cards", 1.1), ("cards", 0.909)),
    "held.dumbbell-mm": (("cards", 1.1), ("cards", 0.909)),
    "held.kettlebell-mm": (("cards", 1.1), ("cards", 0.909)),
    "jump.flight-mm": (("cards", 1.1), ("cards", 0.909)),
    "jump.heel-rise-mm": (("cards", 1.1), ("cards", 0.909)),
    "landmine.lever-mm": (("low", 1.1), ("low", 0.909)),
    "landmine.pivot-mm": (("low", 1.1), ("low", 0.909)),
    "plate.large-diameter-mm": (("cards", 1.1), ("cards", 0.909)),
    "press.seat-mm": (("cards", 1.1), ("cards", 0.909)),
    "pull-up.chin-over-bar-mm": (("cards", 1.1), ("cards", 0.909)),
    "pull-up.foot-clearance-mm": (("cards", 1.1), ("cards", 0.909)),
    "rack.stand-up-spare-mm": (("low", 1.1), ("low", 0.909)),
    "row.seat-mm": (("low", 1.1), ("low", 0.909)),
    "run.deck-assumed-mm": (("cards", 1.1), ("cards", 0.909)),
    "run.rise-mm": (("cards", 1.1), ("cards", 0.909)),
    "skip.jump-mm": (("cards", 1.1), ("cards", 0.909)),
    "skip.rope-ratio": (("cards", 1.1), ("cards", 0.909)),
    "squat.bar-at-bottom-ratio": (("low", 1.1), ("low", 0.909)),
}
"""Rows with the plan and the factor by which each is moved up and down."""


@cache
def plan_of(told: str) -> Plan:
    wanted = () if told == "cards" else WANTED
    people = [
        make_person(1750, person_id="a", want=wanted),
        make_person(1900, person_id="b", reach=2300, want=wanted),
    ]
    pieces = [
        place("mid-rack", 2500, 775, piece_id="rack", bolted=True),
        place("bar-20", 2500, 1287, piece_id="bar", carried_by="rack", plate=450),
        place("flat-bench", 2500, 775, piece_id="bench", carried_by="rack"),
        place("running-machine", 6000, 3000),
        place("bike", 7500, 3000),
        place("rower", 6500, 6500),
        place("landmine", 4000, 300),
    ]
    room = make_room(9000, 9000, CLEAR_MM[told], covering=20)
    return make_plan(*(() if told == "cards" else pieces), room=room, people=people)


def said_of(told: str, plan: Plan) -> object:
    scene = build_scene(plan)
    if told == "cards":
        with overridden({one.id: one.value for one in plan.overrides}):
            return repr(card(scene))
    return [
        (snag.key, snag.severity, snag.sentence, snag.measured, snag.required, snag.need)
        for snag in run(scene)
    ]


@cache
def as_published(told: str) -> object:
    return said_of(told, plan_of(told))


@pytest.mark.parametrize(
    "key",
    [
        pytest.param(key, marks=() if i < SHORT else pytest.mark.long)
        for i, key in enumerate(random.Random(SEED).sample(sorted(MOVED), len(MOVED)))
    ],
)
def test_a_row_moved_both_ways_changes_a_card_or_a_verdict(key: str) -> None:
    (_, up), (_, down) = MOVED[key]
    assert down < 1 < up
    for told, factor in MOVED[key]:
        instead = [{"id": key, "value": row(key).value * factor, "reason": "to see"}]
        moved = Plan.model_validate({**json_of(plan_of(told)), "overrides": instead})
        assert said_of(told, moved) != as_published(told), (told, factor)
