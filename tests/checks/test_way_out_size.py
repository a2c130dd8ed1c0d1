"""Whether anybody gets through the way out itself, on both sides of each limit.

An opening to escape by is at least 450 high and 0.33 m2 (Approved Document B, vol. 1, 3.6, as
repeated by several building control notes); 450 and 600 wide, 900 high on foot: common practice,
no source; 1800 at the edge of a loft stair
(Approved Document K 1.11 to 1.12, as one page has it).
"""

import pytest

from app.checks.run import run
from app.checks.snag import Snag
from app.model.plan import Plan
from app.model.room import Opening
from app.scene.build import build_scene
from tests.builders import (
    low_thing,
    make_person,
    make_plan,
    make_room,
    place,
    rectangle,
    turned_plan,
)

KIT = (place("bike", 1500, 900, piece_id="bike"), place("mat-space", 3500, 1200, piece_id="mat"))
COVERING_MM = 20


def _door(width: float, height: float, key: str = "door") -> Opening:
    return Opening(
        id=key,
        wall="front",
        kind="hinged",
        swing="out",
        offset_mm=1000 if key == "door" else 3000,
        width_mm=width,
        height_mm=height,
    )


def _said(plan: Plan) -> list[Snag]:
    return [
        one
        for one in run(build_scene(plan))
        if one.code in ("way-out-size", "low-over-way", "way-out-blocked", "no-way", "way-narrow")
    ]


@pytest.mark.parametrize(
    ("width", "height", "severity", "required"),
    [
        (448, 1981, "stop", 450),
        (449, 1981, "stop", 450),
        (450, 1981, "care", 600),
        (598, 1981, "care", 600),
        (600, 1981, None, None),
        # 450 mm, and 0.33 m2 at 1000 wide
        (1000, 448, "stop", 450),
        (1000, 450, "care", 900),
        # 0.33 m2 at 600 wide: 550
        (600, 548, "stop", 550),
        (600, 550, "care", 900),
        (600, 898, "care", 900),
        # then the tallest head in shoes, 1750 + 25
        (600, 900, "care", 1775),
        (600, 1773, "care", 1775),
        (600, 1775, None, None),
    ],
)
@pytest.mark.parametrize("kit", [(), KIT])
@pytest.mark.parametrize("angle_deg", [0, 31])
def test_the_only_way_out_is_wide_and_high_enough(
    width: float,
    height: float,
    severity: str | None,
    required: float | None,
    kit: tuple,  # type: ignore[type-arg]
    angle_deg: float,
) -> None:
    room = make_room(openings=[_door(width, height)], covering=COVERING_MM)
    plan = make_plan(*kit, room=room, people=[make_person(1750)])
    said = _said(turned_plan(plan, angle_deg))
    told = [(one.code, one.severity, one.required) for one in said]
    assert told == ([("way-out-size", severity, required)] if severity else [])


def test_the_best_of_several_ways_out_counts() -> None:
    narrow, wide = _door(400, 1981), _door(838, 1981, "other")
    assert _said(make_plan(room=make_room(openings=[narrow, wide]))) == []
    (one,) = _said(make_plan(room=make_room(openings=[narrow, _door(700, 600, "hatch")])))
    assert (one.severity, one.measured) == ("care", 600)


@pytest.mark.parametrize(("bottom", "severity"), [(150, "stop"), (898, "stop"), (900, "care")])
@pytest.mark.parametrize("angle_deg", [0, 31])
@pytest.mark.parametrize("people", [0, 1])
def test_what_is_crawled_under_is_no_way(
    bottom: float, severity: str, angle_deg: float, people: int
) -> None:
    beam = low_thing(rectangle(0, 3400, 5000, 3600), bottom + COVERING_MM)
    room = make_room(openings=[_door(838, 1981)], low_things=[beam], covering=COVERING_MM)
    plan = make_plan(*KIT, room=room, people=[make_person(1750)] * people)
    said = [(one.code, one.severity) for one in _said(turned_plan(plan, angle_deg))]
    # without people nobody's head is met
    cares = severity == "care" and not people
    assert said == ([] if cares else [("low-over-way", severity)])


def test_who_walks_round_it_need_not_crawl() -> None:
    beam = low_thing(rectangle(0, 3400, 4300, 3600), 300)
    plan = make_plan(*KIT, room=make_room(openings=[_door(838, 1981)], low_things=[beam]))
    assert _said(plan) == []
