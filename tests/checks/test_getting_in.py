"""Getting it in: the way, standing it up, who carries."""

from typing import Any

import pytest

from app.checks.getting_in import _longest_mm, getting_in
from app.checks.mirrors import edges_mm
from app.checks.snag import Snag
from app.formulas.getting_in import corner_length_mm
from app.library.parcels import parcels
from app.model.kit import Piece, Pose
from app.model.plan import Plan
from app.model.room import Opening, Plane
from app.model.surroundings import Passage, PassageKind
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place, rectangle

DOOR = Opening(id="door", wall="front", kind="hinged", offset_mm=500, width_mm=800, height_mm=2000)
GARAGE = Opening(
    id="garage", wall="front", kind="sectional", offset_mm=500, width_mm=2400, height_mm=2100
)
RUNNER = place("running-machine")


def plan_of(
    *pieces: Piece, way: tuple[Passage, ...] = (), opening: Opening = GARAGE, height: float = 2600
) -> Plan:
    plan = make_plan(*pieces, room=make_room(height=height, openings=[opening]))
    data = plan.model_dump() | {"way_in": [p.model_dump() for p in way]}
    return Plan.model_validate(data)


def judged(plan: Plan) -> dict[str, Snag]:
    return {snag.code: snag for snag in getting_in(build_scene(plan))}


def way(kind: Any, width: float, height: float = 2000, beyond: float | None = None) -> Passage:
    return Passage(id="one", kind=kind, width_mm=width, height_mm=height, beyond_mm=beyond)


def test_who_carries_the_heaviest() -> None:
    found = judged(plan_of(RUNNER, place("mid-rack", 1000, 1000)))
    assert {code: snag.severity for code, snag in found.items()} == {"carry-in": "note"}
    assert "110 kg (running machine, its box): too much for four people" in (
        found["carry-in"].sentence
    )
    assert "open it and carry the parts, or roll it" in found["carry-in"].sentence
    rack = judged(plan_of(place("mid-rack")))
    assert "45 kg (mid rack, the heaviest of its boxes): two people" in rack["carry-in"].sentence


def test_a_lighter_machine_of_ones_own() -> None:
    light = Piece.model_validate(RUNNER.model_dump() | {"mass_kg": 60})
    assert judged(plan_of(light))["carry-in"].measured == 60


def test_a_mirror_weighs_to_carry_what_it_weighs_to_hang() -> None:
    # 1.2 x 1.5 m of 6 mm at 2.5 kg a square metre and mm (EN 572-1): 27
    mirror = place("mirror", 2500, 15, width=1200, height=2000)
    placed = build_scene(plan_of(mirror)).placed["mirror"]
    low, high = edges_mm(placed)
    kilos = (high - low) / 1000 * 1.2 * 15
    note = judged(plan_of(mirror))["carry-in"]
    assert note.measured == round(kilos)


def test_light_things_and_nothing() -> None:
    assert judged(plan_of(place("bar-20"), place("jump-box", 1000, 1000))) == {}
    assert judged(plan_of()) == {}
    stays = Piece.model_validate(RUNNER.model_dump() | {"stays": True})
    assert judged(plan_of(stays)) == {}


@pytest.mark.parametrize(
    ("passage", "passes"),
    [
        # the box is 2000 x 950 x 450
        (way("door", 450, 950), True),
        (way("door", 449, 2000), False),
        (way("door", 762), True),
        (way("hatch", 960, 2000, 500), True),
        (way("hatch", 600, 2000, 440), False),
        (way("corridor", 500), True),
        # on edge: 2 x 900 x sqrt 2 - 2 x 450 = 1646; on end it needs 2000 of height
        (way("corner", 900, 1900), False),
        (way("corner", 1100, 1900), True),
        (way("corner", 960, 2000), True),
        (way("landing", 900, 1800), False),
    ],
)
def test_places_on_the_way(passage: Passage, passes: bool) -> None:
    found = judged(plan_of(RUNNER, way=(passage,)))
    assert ("way-in-one" not in found) is passes
    assert all(snag.severity == "stop" for code, snag in found.items() if code == "way-in-one")


@pytest.mark.parametrize(
    ("label", "words"),
    [
        ("", "does not pass the door, 449 x 2000 mm"),
        ("the side gate", "does not pass the side gate, 449 x 2000 mm"),
    ],
)
def test_a_place_goes_by_its_label_else_by_what_it_is(label: str, words: str) -> None:
    passage = Passage(id="one", kind="door", width_mm=449, height_mm=2000, label=label)
    (snag,) = (s for s in judged(plan_of(RUNNER, way=(passage,))).values() if s.severity == "stop")
    assert words in snag.sentence


def test_the_door_of_the_room_comes_last() -> None:
    narrow = Opening.model_validate(DOOR.model_dump() | {"width_mm": 440})
    found = judged(plan_of(RUNNER, opening=narrow))
    assert found["way-in-door"].severity == "stop"
    assert found["way-in-door"].sentence == (
        "Running machine: its box (2000 x 950 x 450) does not pass the door of the room, "
        "440 x 2000 mm, however it is turned. Ask for the sizes of the parcels, or for one that "
        "comes in parts."
    )


def test_figures_from_memory_make_no_stop() -> None:
    found = judged(plan_of(place("stair-machine"), way=(way("door", 700),)))
    assert found["way-in-one"].severity == "care"


@pytest.mark.parametrize(("height", "stands"), [(2233, True), (2230, False)])
def test_standing_it_up(height: float, stands: bool) -> None:
    # 2150 high and 600 wide: a diagonal of 2232.2
    found = judged(plan_of(place("cable-column"), height=height))
    assert ("will-not-stand-up" not in found) is stands


def test_a_rack_is_built_upright() -> None:
    found = judged(plan_of(place("full-rack"), height=2300))
    assert set(found) == {"carry-in"}
    assert found["carry-in"].sentence.endswith("the full rack is built upright, not stood up.")
    assert "way-in.stand-mm" in found["carry-in"].source_keys
    higher = judged(plan_of(place("full-rack"), height=2600))["carry-in"]
    assert "upright" not in higher.sentence
    assert "way-in.stand-mm" not in higher.source_keys


def test_what_is_higher_than_the_room_is_said_elsewhere() -> None:
    assert set(judged(plan_of(place("cable-column"), height=2100))) == {"carry-in"}


def test_the_way_in_is_asked_for_what_is_long() -> None:
    assert "ask-way-in" in judged(plan_of(RUNNER, opening=DOOR))
    assert "ask-way-in" not in judged(plan_of(place("rower"), opening=DOOR))
    assert "ask-way-in" not in judged(plan_of(RUNNER, opening=DOOR, way=(way("door", 800),)))


def test_every_parcel_goes_through_a_garage_door() -> None:
    pieces = [place(key, 1000 + 50 * i, 2500, piece_id=f"p{i}") for i, key in enumerate(parcels())]
    codes = set(judged(plan_of(*pieces, height=3000)))
    assert codes == {"carry-in"}


def test_a_moved_scene_says_what_a_new_one_says() -> None:
    pose = Pose(x_mm=1500, y_mm=1500)
    scene = build_scene(plan_of(RUNNER, way=(way("door", 440),)))
    list(getting_in(scene))
    moved = Piece.model_validate(RUNNER.model_dump() | {"pose": pose})
    fresh = build_scene(plan_of(moved, way=(way("door", 440),)))
    assert tuple(getting_in(scene.moved({"running-machine": pose}))) == tuple(getting_in(fresh))


def test_what_will_not_stand_up_says_how_high_would_go() -> None:
    # 2150 high, its lesser side 600: it sweeps 2232; under 2220 sqrt(2220^2 - 600^2) = 2137 go
    told = judged(plan_of(place("cable-column"), height=2220))["will-not-stand-up"]
    assert (told.measured, told.required) == (2220, 2232)
    assert told.working == (("its height", 2150), ("its depth or width", 600))
    assert "Up to 2137 high would go" in told.sentence


def test_it_is_stood_up_where_the_room_is_highest() -> None:
    # under a slope from 2000 to 2600 over 5 m the highest square of 600 at the right wall lies
    # at 2000 + 4400 x 0.12 = 2528 on its low side; that is enough for 2232
    slope = Plane(id="roof", height_mm=2000, rise_x=120)
    room = make_room(openings=[GARAGE], planes=(slope,))
    assert "will-not-stand-up" not in judged(make_plan(place("cable-column"), room=room))
    # a high strip of 600 deep and 500 wide is no room for a square of 600: the rest is 2200
    planes = (
        Plane(id="low", height_mm=2200),
        Plane(id="high", height_mm=2500, outline=rectangle(0, 0, 500, 600)),
    )
    narrow = make_room(openings=[GARAGE], planes=planes)
    told = judged(make_plan(place("cable-column", 2500, 2500), room=narrow))
    assert told["will-not-stand-up"].measured == 2200


HALF_LANDING = Passage(
    id="one", kind="landing", width_mm=1040, height_mm=1950, beyond_mm=1040, length_mm=1040
)


@pytest.mark.parametrize(
    # on its long edge: (1040^2/3 + s^2/3)^3/2 - 2 x 450 where s is 1040, less where it is not:
    # with both 1040 2041 go round; a strip of 1000 or a second flight of 1000 is too narrow
    ("strip", "beyond", "passes"),
    [(1040, 1040, True), (1000, 1040, False), (1040, 960, False), (0, 1040, True)],
)
def test_a_half_landing_is_two_corners(strip: float, beyond: float, passes: bool) -> None:
    landing = HALF_LANDING.model_copy(update={"length_mm": strip, "beyond_mm": beyond})
    found = judged(plan_of(RUNNER, way=(landing,)))
    assert ("way-in-one" not in found) is passes


def test_what_does_not_go_round_is_held_against_the_longest_that_does() -> None:
    # 800 by 800, 450 thick: 800 x 2 x sqrt 2 - 900 = 1363; 1950 is too low for 2000 on end
    landing = Passage(
        id="one", kind="landing", width_mm=800, height_mm=1950, beyond_mm=800, length_mm=800
    )
    told = judged(plan_of(RUNNER, way=(landing,)))["way-in-one"]
    assert (told.severity, told.measured, told.required) == ("stop", 1363, 2000)
    assert "at most 1363 long goes round two corners" in told.sentence
    assert ("longest that goes round", 1362.7) in told.working
    assert "1950 is too low to stand it on end" in told.sentence
    assert "carry the parts" in told.sentence
    higher = landing.model_copy(update={"height_mm": 2000})
    assert "landing on end only" in judged(plan_of(RUNNER, way=(higher,)))["carry-in"].sentence


@pytest.mark.parametrize(
    ("passage", "words"),
    [
        (way("door", 950, 2000), None),
        (way("door", 949, 2000), "the door on its long edge only: four people"),
        (way("corner", 1100, 1900), "the corner on its long edge only: four people"),
        (way("corner", 960, 2000), "the corner on end only: four people"),
        (way("corner", 3000, 2000), None),
    ],
)
def test_how_a_heavy_parcel_is_held_on_the_way_is_told(passage: Passage, words: str | None) -> None:
    told = judged(plan_of(RUNNER, way=(passage,)))["carry-in"].sentence
    assert ("running machine, its box, goes through" in told) is (words is not None)
    assert words is None or words in told


def test_a_heavy_part_on_stairs_is_told() -> None:
    told = judged(plan_of(RUNNER, way=(way("stairs", 1000),)))["carry-in"]
    assert told.severity == "note"
    assert "110 kg" in told.sentence
    assert "on stairs" in told.sentence
    assert "stairs" not in judged(plan_of(RUNNER, way=(way("door", 1000),)))["carry-in"].sentence


@pytest.mark.parametrize(
    # 600 x 800 x 2150: 2232.2 over its 600 side, 2294.0 over its 800 side
    ("height", "one_way"),
    [(2234, True), (2292, True), (2296, False), (2600, False)],
)
@pytest.mark.parametrize("angle", [0, 33])
def test_what_stands_up_over_one_side_only_is_told_so(
    height: float, one_way: bool, angle: float
) -> None:
    found = judged(plan_of(place("cable-column", angle=angle), height=height))
    told = found["carry-in"].sentence
    assert "will-not-stand-up" not in found
    assert ("over its 600 side only, sweeping 2232" in told) is one_way


@pytest.mark.parametrize(
    # 600 x 800 x 2150 sweeps 2232.2 over its 600 side: within 15 of that it is measured again
    ("height", "said"),
    [(2231, False), (2234, True), (2247, True), (2248, False), (2300, False)],
)
@pytest.mark.parametrize("angle", [0, 33])
def test_what_stands_up_within_the_error_of_the_tape_is_measured_again(
    height: float, said: bool, angle: float
) -> None:
    found = judged(plan_of(place("cable-column", angle=angle), height=height))
    told = found["carry-in"].sentence
    assert ("measure the height again before it is ordered" in told) is said
    assert ("will-not-stand-up" in found) is (height < 2232)


@pytest.mark.parametrize(("height", "stands"), [(2253, True), (2250, False)])
def test_it_is_stood_up_on_the_covering(height: float, stands: bool) -> None:
    # a diagonal of 2232.2 on mats of 20
    room = make_room(height=height, covering=20, openings=[GARAGE])
    found = judged(make_plan(place("cable-column"), room=room))
    assert ("will-not-stand-up" not in found) is stands


@pytest.mark.parametrize(("strip", "passes"), [(0, False), (1090, True)])
def test_a_half_landing_that_nobody_has_measured_is_as_narrow_as_its_narrower_flight(
    strip: float, passes: bool
) -> None:
    # flights of 1000 and 1090: through a strip of 1000 2 x 1000 x sqrt 2 - 900 = 1928 go round of
    # the 2000; through one of 1090 some 2050 do, (1000 + 1090) x sqrt 2 - 900
    fields = {"width_mm": 1000, "beyond_mm": 1090, "length_mm": strip}
    found = judged(plan_of(RUNNER, way=(HALF_LANDING.model_copy(update=fields),)))
    assert ("way-in-one" not in found) is passes


LESS = "(the lifting equation: 14 from the floor), better opened and carried in parts"


@pytest.mark.parametrize(
    ("mass", "words"),
    [
        # one for each 25 kg (HSE), four at most; a box from the floor 13.7 kg (NIOSH, worked in
        # `lifting`)
        (26, "two people"),
        (27, "two people"),
        (28, f"two people at 14 kg each {LESS}"),
        (50, f"two people at 25 kg each {LESS}"),
        (51, f"three people at 17 kg each {LESS}"),
        (100, f"four people at 25 kg each {LESS}"),
        (140, "too much for four people: open it and carry the parts, or roll it"),
    ],
)
def test_how_many_carry_what(mass: float, words: str) -> None:
    heavy = RUNNER.model_copy(update={"mass_kg": float(mass)})
    note = judged(plan_of(heavy))["carry-in"]
    assert note.sentence == (
        f"The heaviest part to carry in is {mass} kg (running machine, its box): {words}."
    )
    assert (note.measured, note.required, note.pieces) == (mass, 25, ("running-machine",))


def test_what_one_alone_carries_is_not_told() -> None:
    assert judged(plan_of(RUNNER.model_copy(update={"mass_kg": 25.0}))) == {}


@pytest.mark.parametrize("kind", ["stairs", "corridor"])
def test_on_stairs_those_below_bear_the_most(kind: str) -> None:
    note = judged(plan_of(RUNNER.model_copy(update={"mass_kg": 50.0}), way=(way(kind, 1000),)))
    told = note["carry-in"].sentence
    tail = "; on stairs those below bear the most: nobody stands under it alone"
    assert (f"in parts{tail}" in told) is (kind == "stairs")


def test_several_things_are_stood_up_in_the_plural() -> None:
    plan = make_plan(place("wall-bars", 2500, 75), room=make_room(height=2300))
    snag = judged(plan)["will-not-stand-up"]
    # the diagonal of 2300 and its side of 150: 2304.9
    assert snag.sentence.startswith(
        "Wall bars are stood up in one piece, over a side of 150, which takes 2305 mm; the room"
    )


def test_of_the_two_corners_of_a_landing_the_tighter_decides() -> None:
    landing = Passage(
        id="one", kind="landing", width_mm=1100, height_mm=2100, beyond_mm=800, length_mm=900
    )
    first, second = corner_length_mm(1100, 900, 300), corner_length_mm(900, 800, 300)
    assert second < first
    assert _longest_mm((1500, 500, 300), landing) == second


@pytest.mark.parametrize(("height", "count"), [(2050, 0), (2049, 1), (2000, 1)])
@pytest.mark.parametrize("kind", ["corner", "landing"])
def test_what_goes_on_end_is_stood_up_by_its_diagonal(
    kind: PassageKind, height: float, count: int
) -> None:
    """2000 long and 450 thick: the root of 2000^2 + 450^2 is 2050."""
    passage = Passage(
        id="one", kind=kind, width_mm=960, height_mm=height, beyond_mm=960, length_mm=960
    )
    found = judged(plan_of(RUNNER, way=(passage,)))
    assert "way-in-one" not in found
    cares = [snag for code, snag in found.items() if code.startswith("way-in-on-end")]
    assert [(s.severity, s.required) for s in cares] == [("care", 2050)] * count
    for snag in cares:
        assert "Stand it up where there is more" in snag.sentence
    # where it goes round on its edge it need not
    wide = passage.model_copy(update={"width_mm": 1300.0, "beyond_mm": 1300.0, "length_mm": 1300.0})
    assert not [c for c in judged(plan_of(RUNNER, way=(wide,))) if c.startswith("way-in")]
