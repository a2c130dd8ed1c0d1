"""Each row that a kit type names is moved both ways, and the verdict on some small plan changes.

Strips have a law of their own in `test_rows_decide.py`; here are rings, lanes, widths, heights,
decks and seats. A plan is told in a word: ``boxes:KIT/GAP/HIGH/ASIDE`` is a kit type in the middle
of a hall (or at its back wall) with a box on each side, so far off, so high and so much aside;
``over:KIT/GAP/LOW`` is one with a panel hung on each side, so far off and so low;
``rack:KIT/CLEAR`` is one with a bar and a bench in it, whose presses two people want;
``low:KIT/CLEAR`` is one under a low ceiling whose every use is wanted; ``nose:KIT/DEEP/LOW`` is one
under a beam that comes so far over it from its back edge, so low; ``case:KEY`` is one of the
catalogue. All sizes in mm, our own invention.
"""

from __future__ import annotations

import random
from functools import cache

import pytest

from app.checks.run import run
from app.library.in_force import keys_of
from app.library.kit import kit_types
from app.model.base import json_of
from app.model.plan import Plan
from app.published.register import row
from app.scene.build import build_scene
from app.usecases.files import read_plan
from tests.builders import low_thing, make_person, make_plan, make_room, place, rectangle
from tests.catalogue.table import cases, text_of
from tests.published.test_rows_decide import _spaces

HALL_MM = 9000
BOX_MM = 300
PANEL_MM = 30
"""How thick a panel is that hangs."""
SIDES = ((0, 1), (0, -1), (-1, 0), (1, 0))
SHORT, SEED = 5, 11
BROKE_ONCE = ("running.behind.least-mm",)
"""A least that a household set lower than published was passed over."""

Told = tuple[tuple[str, float], ...]
"""Plans with the value that a row is set to in each: one more than published, one less."""

MOVED: dict[str, Told] = {
    "bag.behind-swing-mm": (
        ("boxes:hung-bag/950/1900/0", 1100),
        ("boxes:hung-bag/950/1900/0", 909),
    ),
    "bag.far-side-mm": (
        ("boxes:standing-bag/570/1900/0", 660),
        ("boxes:standing-bag/570/1900/0", 545),
    ),
    "bag.swing-width-mm": (
        ("boxes:hung-bag/760/1900/600", 1280),
        ("boxes:hung-bag/760/1900/500", 500),
    ),
    "bar-end.from-mm": (("boxes:guided-bar/285/306/0", 330), ("boxes:guided-bar/285/294/0", 273)),
    "bar-end.to-mm": (("over:bar-20/100/1710", 1800), ("over:bar-20/100/1690", 1600)),
    "bar-end.least-mm": (("boxes:bar-20/120/1900/0", 165), ("boxes:bar-20/120/1900/0", 110)),
    "bar-hooks.end-mm": (("boxes:bar-hooks/95/1900/150", 110), ("boxes:bar-hooks/95/1900/150", 91)),
    "bar-hooks.front-mm": (
        ("boxes:bar-hooks/665/1900/0", 770),
        ("boxes:bar-hooks/665/1900/0", 636),
    ),
    "boiler.front-mm": (("boxes:boiler/570/1900/0", 660), ("boxes:boiler/570/1900/0", 545)),
    "boiler.side-mm": (("boxes:boiler/48/1900/0", 55), ("boxes:boiler/48/1900/0", 45)),
    "cable.pin-side-mm": (
        ("boxes:cable-column/285/1900/0", 330),
        ("boxes:cable-column/285/1900/0", 273),
    ),
    "cable.width-mm": (
        ("boxes:cable-column/1140/1900/700", 1320),
        ("boxes:cable-column/1140/1900/640", 1091),
    ),
    "car.door-mm": (("boxes:car/665/1900/0", 770), ("boxes:car/665/1900/0", 636)),
    "deck.cross-trainer-mm": (
        ("case:cross-trainer-too-low", 440),
        ("case:cross-trainer-too-low", 364),
    ),
    "deck.curved-mm": (("low:curved-runner/2000", 330), ("low:curved-runner/2000", 270)),
    "deck.running-machine-mm": (
        ("low:running-machine/1900", 220),
        ("low:running-machine/1900", 150),
    ),
    "deck.stair-machine-mm": (
        ("case:stair-machine-too-low", 550),
        ("case:stair-machine-too-low", 455),
    ),
    "double-cable.width-mm": (
        ("boxes:double-cable/1320/1900/1200", 2420),
        ("boxes:double-cable/1320/1900/1140", 2000),
    ),
    "hang.front-mm": (
        ("boxes:pull-up-bar-wall/570/1900/0", 660),
        ("boxes:pull-up-bar-wall/570/1900/0", 545),
    ),
    "hang.side-mm": (
        ("boxes:pull-up-bar-ceiling/428/1900/0", 495),
        ("boxes:pull-up-bar-ceiling/428/1900/0", 409),
    ),
    "hang.width-mm": (
        ("boxes:pull-up-bar-wall/540/1900/540", 990),
        ("boxes:pull-up-bar-wall/540/1900/510", 700),
    ),
    "jump-box.land-mm": (("boxes:jump-box/570/1900/0", 660), ("boxes:jump-box/570/1900/0", 545)),
    "jump-box.used-mm": (("low:jump-box/2100", 550), ("low:jump-box/2100", 450)),
    "ladder.beside-mm": (("boxes:ladder/950/1900/150", 1100), ("boxes:ladder/950/1900/150", 900)),
    "ladder.front-mm": (("boxes:ladder/570/1900/0", 660), ("boxes:ladder/570/1900/0", 545)),
    "landmine.width-mm": (
        ("boxes:landmine/855/1900/540", 990),
        ("boxes:landmine/855/1900/510", 700),
    ),
    "legs.multi-width-mm": (
        ("boxes:multi-station/855/1900/650", 1440),
        ("boxes:multi-station/855/1900/550", 562),
    ),
    "legs.width-mm": (
        ("boxes:pull-down/760/1900/600", 1280),
        ("boxes:pull-down/760/1900/500", 500),
    ),
    "meter.depth-mm": (
        ("boxes:consumer-unit/868/1900/0", 1005),
        ("boxes:consumer-unit/868/1900/0", 831),
    ),
    "meter.height-mm": (
        ("over:consumer-unit/500/1990", 2050),
        ("over:consumer-unit/500/1970", 1900),
    ),
    "meter.width-mm": (
        ("boxes:consumer-unit/722/1900/0", 836),
        ("boxes:consumer-unit/722/1900/0", 691),
    ),
    "mirror.kit-mm": (("boxes:mirror/144/1900/0", 167), ("boxes:mirror/144/1900/0", 138)),
    "motorbike.side-mm": (("boxes:motorbike/665/1900/0", 770), ("boxes:motorbike/665/1900/0", 636)),
    "plate-pegs.front-mm": (
        ("boxes:plate-pegs/665/1900/0", 770),
        ("boxes:plate-pegs/665/1900/0", 636),
    ),
    "plate-tree.slide-mm": (
        ("boxes:plate-tree/380/1900/0", 440),
        ("boxes:plate-tree/380/1900/0", 364),
    ),
    "press.seat-mm": (("rack:mid-rack/2100", 480), ("rack:mid-rack/2100", 400)),
    "pull-ergometer.front-mm": (
        ("boxes:pull-ergometer/1425/1900/0", 1650),
        ("boxes:pull-ergometer/1425/1900/0", 1364),
    ),
    "rings.side-mm": (("boxes:rings/380/1900/0", 440), ("boxes:rings/380/1900/0", 364)),
    "rings.swing-mm": (("boxes:rings/1188/1900/0", 1375), ("boxes:rings/1188/1900/0", 1136)),
    "rings.width-mm": (("boxes:rings/900/1900/850", 1650), ("boxes:rings/900/1900/790", 1364)),
    "route.step-over-mm": (("boxes:short-rack/48/60/0", 80), ("boxes:short-rack/48/49/0", 45)),
    "row.seat-mm": (("low:rower/1200", 520), ("low:rower/1200", 430)),
    "plates.lift-mm": (
        ("boxes:rubber-plates/570/1900/0", 660),
        ("boxes:rubber-plates/570/1900/0", 545),
    ),
    "running.behind.least-mm": (
        ("boxes:running-machine/950/1900/0", 1100),
        ("boxes:running-machine/950/1900/0", 900),
    ),
    "nose.bike-mm": (("nose:bike/310/1500", 330), ("nose:bike/290/1500", 273)),
    "nose.fan-bike-mm": (("nose:fan-bike/420/1500", 440), ("nose:fan-bike/380/1500", 364)),
    "nose.rower-mm": (("nose:rower/520/1200", 550), ("nose:rower/480/1200", 455)),
    "nose.stair-machine-mm": (
        ("nose:stair-machine/260/2100", 275),
        ("nose:stair-machine/240/2100", 228),
    ),
    "running.behind.width-mm": (
        ("boxes:running-machine/950/1900/600", 1100),
        ("boxes:running-machine/950/1900/600", 909),
    ),
    "running.plug-to-mm": (
        ("under:running-machine/610", 660),
        ("under:running-machine/590", 545),
    ),
    "running.side.bare-wall-mm": (
        ("case:belt-310-to-a-bare-wall", 340),
        ("case:run-side-290", 250),
    ),
    "saddle.bike-mm": (("low:bike/1700", 1060), ("low:bike/1700", 860)),
    "saddle.fan-bike-mm": (("low:fan-bike/1700", 1100), ("low:fan-bike/1700", 900)),
    "saddle.lying-mm": (("low:bike-lying/1300", 620), ("low:bike-lying/1300", 500)),
    "shelving.front-mm": (("boxes:shelving/665/1900/0", 770), ("boxes:shelving/665/1900/0", 636)),
    "shut-off.depth-mm": (
        ("boxes:water-stopcock/570/1900/0", 660),
        ("boxes:water-stopcock/570/1900/0", 545),
    ),
    "shut-off.width-mm": (
        ("boxes:water-stopcock/570/1900/0", 660),
        ("boxes:water-stopcock/570/1900/0", 545),
    ),
    "mat.to-mm": (("under:mat-space/1510", 1600), ("under:mat-space/1490", 1400)),
    "space.to-mm": (("over:mid-rack/700/2010", 2100), ("over:mid-rack/700/1990", 1900)),
    "step.side-mm": (("boxes:step/570/1900/0", 660), ("boxes:step/570/1900/0", 545)),
}


@cache
def plan_of(told: str) -> Plan:
    kind, _, rest = told.partition(":")
    if kind == "case":
        return read_plan(next(text_of(case) for case in cases() if case.key == rest))
    name, *sizes = rest.split("/")
    if kind in ("low", "nose"):
        uses = {use.movement for use in kit_types()[name].uses}
        back = (HALL_MM - kit_types()[name].depth_mm) / 2
        over = rectangle(0, back - BOX_MM, HALL_MM, back + float(sizes[0]))
        room = (
            make_room(HALL_MM, HALL_MM, float(sizes[0]))
            if kind == "low"
            else make_room(HALL_MM, HALL_MM, 2600, low_things=[low_thing(over, float(sizes[1]))])
        )
        person = make_person(1750, want=sorted(uses))
        return make_plan(place(name, HALL_MM / 2, HALL_MM / 2), room=room, people=[person])
    if kind == "under":
        # a boiler of 750 on the back wall, its lower edge so high over what lies at that wall
        boiler = place("boiler", HALL_MM / 2, 175, height=float(sizes[0]) + 750, piece_id="over")
        lies = place(name, HALL_MM / 2, kit_types()[name].depth_mm / 2 + 10)
        return make_plan(lies, boiler, room=make_room(HALL_MM, HALL_MM, 2600))
    if kind == "rack":
        return _with_a_bench(name, float(sizes[0]))
    gap, high, aside = (*map(float, sizes), 0.0)[:3]
    kit = kit_types()[name]
    y = kit.depth_mm / 2 if kit.fixing == "wall" else HALL_MM / 2
    boxes = []
    for number, (dx, dy) in enumerate(SIDES):
        off = (kit.depth_mm if dx == 0 else kit.width_mm) / 2 + gap + BOX_MM / 2
        at = HALL_MM / 2 + dx * off + aside * (dx == 0), y + dy * off + aside * (dy == 0)
        if at[1] >= BOX_MM / 2:
            box = place(
                "radiant-panel" if kind == "over" else "other-thing",
                *at,
                piece_id=f"box-{number}",
                width=BOX_MM,
                depth=BOX_MM,
                height=high + PANEL_MM if kind == "over" else high,
            )
            boxes.append(box)
    return make_plan(place(name, HALL_MM / 2, y, piece_id="it"), *boxes,
                     room=make_room(HALL_MM, HALL_MM, 2600))  # fmt: skip


def _with_a_bench(rack: str, clear_mm: float) -> Plan:
    middle = HALL_MM / 2
    pieces = [
        place(rack, middle, middle, piece_id="rack", bolted=True),
        place("bar-20", middle, middle + 512, piece_id="bar", carried_by="rack", plate=450),
        place("flat-bench", middle, middle, piece_id="bench", carried_by="rack"),
    ]
    wanted = ("seated-press", "bench-press")
    people = [make_person(1750, person_id="a", want=wanted),
              make_person(2000, person_id="b", want=wanted)]  # fmt: skip
    return make_plan(*pieces, room=make_room(HALL_MM, HALL_MM, clear_mm), people=people)


def said_of(plan: Plan) -> list[tuple[object, ...]]:
    return [
        (snag.key, snag.severity, snag.sentence, snag.measured, snag.required, snag.need)
        for snag in run(build_scene(plan))
    ]


@cache
def as_published(told: str) -> list[tuple[object, ...]]:
    return said_of(plan_of(told))


@pytest.mark.parametrize(
    "key",
    [
        pytest.param(key, marks=() if i < SHORT or key in BROKE_ONCE else pytest.mark.long)
        for i, key in enumerate(random.Random(SEED).sample(sorted(MOVED), len(MOVED)))
    ],
)
def test_a_row_of_kit_moved_both_ways_changes_the_verdict(key: str) -> None:
    usual = row(key).value
    assert min(value for _, value in MOVED[key]) < usual < max(value for _, value in MOVED[key])
    for told, value in MOVED[key]:
        instead = [{"id": key, "value": value, "reason": "to see"}]
        moved = Plan.model_validate({**json_of(plan_of(told)), "overrides": instead})
        assert said_of(moved) != as_published(told), (told, value)


def test_every_row_that_kit_names_is_moved() -> None:
    named = {key for kit in kit_types().values() for key in keys_of(kit)}
    strips = {key for key, _, _ in _spaces()}
    assert named - strips == MOVED.keys()
