"""Electricity: supply, circuits, protection, sockets."""

from typing import Any

import pytest

from app.checks.electricity import _listed, electricity
from app.checks.snag import Snag
from app.model.kit import Piece, Pose
from app.model.plan import Plan
from app.model.room import Room, Socket
from app.model.surroundings import Circuit, Electricity
from app.scene.build import build_scene
from app.scene.loads import loads
from app.wording import lower
from tests.builders import make_person, make_plan, make_room, place


def judged(plan: Plan) -> dict[str, Snag]:
    return {snag.code: snag for snag in electricity(build_scene(plan))}


def powered(piece: Piece, **changes: Any) -> Piece:
    return Piece.model_validate(piece.model_dump() | changes)


def room(sockets: tuple[Socket, ...] = (), **supply: Any) -> Room:
    data = make_room().model_dump() | {"electricity": Electricity(**supply).model_dump()}
    return Room.model_validate(data | {"sockets": [s.model_dump() for s in sockets]})


RUNNER = place("running-machine", 1000, 1500)
HEATER = place("heater", 4000, 200)
FREEZER = place("chest-freezer", 4000, 4000, stays=True)
THREE = (RUNNER, HEATER, FREEZER)


def test_one_socket_for_three() -> None:
    found = judged(make_plan(*THREE, room=room()))
    assert set(found) == {"power-feed", "ask-feed"}
    assert found["power-feed"].severity == "care"
    assert found["power-feed"].sentence == (
        "Running machine, convector heater and chest freezer together draw 4.1 kW. If a 13 A spur "
        "feeds the room it gives 3.0 kW. With the convector heater off it is 2.1 kW. Ask an "
        "electrician; do not use a lead."
    )
    assert found["power-feed"].measured == 2990
    assert found["power-feed"].required == 4100
    assert found["ask-feed"].sentence.startswith("what feeds the room")


def test_a_known_spur_is_a_stop() -> None:
    found = judged(make_plan(*THREE, room=room(feed="fused-spur")))
    assert found["power-feed"].severity == "stop"
    # 13 A at 230 V are 2990 W
    assert found["power-feed"].sentence == (
        "Running machine, convector heater and chest freezer together draw 4.1 kW; a 13 A spur "
        "gives 3.0 kW. With the convector heater off it is 2.1 kW. Do not use them together: ask "
        "an electrician, and do not use a lead."
    )
    assert "ask-residual-current" in found
    with_board = judged(make_plan(*THREE, room=room(feed="own-board", amps=40)))
    assert set(with_board) == {"ask-residual-current"}


@pytest.mark.parametrize(("watts", "codes"), [(2990, set()), (2991, {"power-feed"})])
def test_exactly_on_the_limit(watts: float, codes: set[str]) -> None:
    plan = make_plan(
        powered(HEATER, power_w=watts),
        room=room(feed="fused-spur", amps=13, residual_current_protection="yes"),
    )
    assert set(judged(plan)) == codes


def test_nobody_is_told_to_switch_off_what_runs_day_and_night() -> None:
    # 2950 + 100 W on 2990: without the freezer it would do, and what is in it would thaw
    plan = make_plan(powered(HEATER, power_w=2950), FREEZER, room=room(feed="fused-spur"))
    assert "With the convector heater off it is 0.1 kW." in judged(plan)["power-feed"].sentence


def test_as_many_machines_as_people() -> None:
    other = place("running-machine", 3000, 1500, piece_id="other")
    supply = room(feed="fused-spur", residual_current_protection="yes")
    one = make_plan(RUNNER, other, room=supply, people=[make_person()])
    two = make_plan(
        RUNNER, other, room=supply, people=[make_person(), make_person(person_id="two")]
    )
    assert judged(one) == {}
    assert judged(two)["power-feed"].severity == "stop"


def test_what_is_out_of_the_room_draws_nothing() -> None:
    plan = make_plan(RUNNER, powered(HEATER, state="out"), room=room(feed="fused-spur"))
    assert set(judged(plan)) == {"ask-residual-current"}


def test_circuits() -> None:
    circuits = (Circuit(id="a", amps=16), Circuit(id="b", amps=16))
    supply = room(feed="own-board", amps=40, circuits=circuits, residual_current_protection="yes")
    shared = make_plan(powered(RUNNER, circuit="a"), powered(HEATER, circuit="a"), room=supply)
    apart = make_plan(powered(RUNNER, circuit="a"), powered(HEATER, circuit="b"), room=supply)
    found = judged(shared)
    assert set(found) == {"power-circuit-a"}
    assert found["power-circuit-a"].severity == "stop"
    assert judged(apart) == {}


def test_the_nearest_socket_tells_the_circuit_until_one_is_entered() -> None:
    sockets = (
        Socket(id="s1", wall="back", offset_mm=1000, circuit="a"),
        Socket(id="s2", wall="back", offset_mm=4000, circuit="b"),
    )
    circuits = (Circuit(id="a", amps=16), Circuit(id="b", amps=16))
    supply = room(sockets, feed="own-board", circuits=circuits, residual_current_protection="yes")
    scene = build_scene(make_plan(RUNNER, HEATER, room=supply))
    assert list(electricity(scene)) == []
    moved = scene.moved({"heater": Pose(x_mm=1500, y_mm=200)})
    (snag,) = electricity(moved)
    assert (snag.code, snag.severity) == ("power-circuit-a", "care")
    assert "of the nearest sockets" in snag.sentence


def test_at_120_volts_a_running_machine_wants_a_circuit() -> None:
    found = judged(make_plan(RUNNER, room=room(volts=120)))
    assert found["power-feed"].severity == "care"
    assert "a 15 A circuit feeds the room it gives 1.4" in found["power-feed"].sentence
    assert "20 A of its own" in found["power-feed"].sentence
    known = room(volts=120, feed="one-circuit", amps=20, residual_current_protection="yes")
    assert [s.severity for s in judged(make_plan(RUNNER, room=known)).values()] == ["note"]
    both = judged(make_plan(powered(RUNNER, power_w=1500), FREEZER, HEATER, room=known))
    assert both["power-feed"].severity == "stop"


@pytest.mark.parametrize(("watts", "codes"), [(1720, set()), (1721, {"power-feed"})])
def test_lasting_load_at_120_volts(watts: float, codes: set[str]) -> None:
    # with the fan's 200: 1920 W on a circuit of 20 A
    known = room(volts=120, feed="one-circuit", amps=20, residual_current_protection="yes")
    fan = powered(place("fan", 2000, 3000), power_w=200)
    plan = make_plan(powered(HEATER, power_w=watts), fan, room=known)
    found = judged(plan)
    assert set(found) == codes
    assert all(snag.severity == "care" for snag in found.values())


@pytest.mark.parametrize(
    ("watts", "words"),
    [
        # BS 1363: 13 A at 230 V are 2990 W
        (2995, "draws 3.00 kW; a 13 A spur gives 2.99 kW"),
        (3010, "draws 3.01 kW; a 13 A spur gives 2.99 kW"),
        (3050, "draws 3.1 kW; a 13 A spur gives 3.0 kW"),
    ],
)
def test_what_is_more_is_not_told_as_as_much(watts: float, words: str) -> None:
    known = room(feed="fused-spur", residual_current_protection="yes")
    found = judged(make_plan(powered(HEATER, power_w=watts), room=known))
    assert words in found["power-feed"].sentence


def test_no_protection() -> None:
    found = judged(make_plan(FREEZER, room=room(residual_current_protection="no")))
    assert {code: snag.severity for code, snag in found.items()} == {
        "no-residual-current-protection": "care"
    }


@pytest.mark.parametrize(("x", "codes"), [(2755, set()), (2765, {"socket-reach"})])
def test_reach_of_a_cord(x: float, codes: set[str]) -> None:
    # the heater's left edge is 375 from its middle: 1800 from the socket at 580 is a middle at 2755
    socket = Socket(id="s", wall="back", offset_mm=580)
    supply = room((socket,), feed="own-board", residual_current_protection="yes")
    plan = make_plan(place("heater", x, 100), room=supply)
    assert set(judged(plan)) == codes


@pytest.mark.parametrize(
    ("x", "y", "height", "codes"),
    [
        # 375 to each side of its middle; 300 before the wall still is below (common practice)
        (1000, 100, 900, {"heater-under-socket"}),
        (1374, 100, 900, {"heater-under-socket"}),
        (1376, 100, 900, set()),
        (1000, 399, 900, {"heater-under-socket"}),
        (1000, 401, 900, set()),
        # as high as its top, and beside it
        (1000, 100, 450, set()),
    ],
)
def test_no_heater_below_a_socket(x: float, y: float, height: float, codes: set[str]) -> None:
    socket = Socket(id="s", wall="back", offset_mm=1000, height_mm=height)
    supply = room((socket,), feed="own-board", residual_current_protection="yes")
    assert set(judged(make_plan(place("heater", x, y), room=supply))) == codes


def test_what_draws_little_or_stays_needs_no_socket_near() -> None:
    socket = Socket(id="s", wall="left", offset_mm=10)
    supply = room((socket,), feed="own-board", residual_current_protection="yes")
    fan = place("fan", 4500, 300)
    kept = powered(place("washing-machine", 4000, 1000), stays=True)
    assert set(judged(make_plan(fan, kept, room=supply))) == {"lead-over-the-floor"}


def test_nothing_that_draws_power() -> None:
    assert judged(make_plan(room=room())) == {}
    assert judged(make_plan(place("mid-rack"), room=room(residual_current_protection="no"))) == {}


def test_a_moved_scene_says_what_a_new_one_says() -> None:
    scene = build_scene(make_plan(*THREE, room=room()))
    list(electricity(scene))
    pose = Pose(x_mm=2000, y_mm=1700)
    fresh = build_scene(make_plan(powered(RUNNER, pose=pose), HEATER, FREEZER, room=room()))
    assert tuple(electricity(scene.moved({"running-machine": pose}))) == tuple(electricity(fresh))


def test_of_two_on_a_circuit_one_that_is_only_guessed_makes_it_a_care() -> None:
    # 3000 W at 230 V are 13.04 A on a circuit of 10 A, whichever way it is known
    circuits = (Circuit(id="c", label="sockets", amps=10), Circuit(id="d", amps=10))
    sockets = (Socket(id="s", wall="back", offset_mm=4000, circuit="c"),)
    said = powered(HEATER, power_w=1500, circuit="c")
    guessed = powered(place("heater", 4200, 600, piece_id="other"), power_w=1500)
    both = judged(
        make_plan(said, powered(guessed, circuit="c"), room=room(sockets, circuits=circuits))
    )
    assert both["power-circuit-c"].severity == "stop"
    one = judged(make_plan(said, guessed, room=room(sockets, circuits=circuits)))
    assert one["power-circuit-c"].severity == "care"
    assert "of the nearest sockets" in one["power-circuit-c"].sentence


def heater(watts: float, piece_id: str = "heater") -> Piece:
    return powered(place("heater", 4000, 200, piece_id=piece_id), power_w=watts)


def test_of_many_three_are_named() -> None:
    # 1500 + 1000 + 600 + 400 = 3500 on 13 x 230 = 2990 W; without the 600, 2900
    many = [heater(w, f"h{w}") for w in (400, 1500, 600, 1000)]
    supply = room(feed="fused-spur", residual_current_protection="yes")
    (snag,) = judged(make_plan(*many, room=supply)).values()
    assert snag.sentence.startswith(
        "Convector heater, convector heater, convector heater and 1 more together draw 3.5 kW"
    )
    assert "With the convector heater off it is 2.9 kW." in snag.sentence
    assert snag.pieces == ("h1500", "h1000", "h600")
    assert snag.where == (4000, 200)
    assert [watts for _, watts in snag.working] == [1500, 1000, 600, 400]
    assert (snag.measured, snag.required) == (2990, 3500)
    two = judged(make_plan(*many[1:3], heater(1000), room=supply))["power-feed"]
    assert two.sentence.startswith("Convector heater, convector heater and convector heater")
    assert [key.split(".")[0] for key in two.source_keys][:1] == ["electric"]


@pytest.mark.parametrize(
    ("watts", "rest"),
    [
        # what draws less than 500 W is told nobody to be switched off (practice)
        (500, "With the convector heater off it is 2.9 kW."),
        (499, ""),
    ],
)
def test_what_is_worth_switching_off(watts: float, rest: str) -> None:
    # 2900 in six of 483.3 and this one, without which it would do
    small = [heater(2900 / 6, f"h{i}") for i in range(6)]
    supply = room(feed="fused-spur", residual_current_protection="yes")
    (snag,) = judged(make_plan(heater(watts), *small, room=supply)).values()
    assert ("With the" in snag.sentence) == bool(rest)
    assert rest in snag.sentence


def test_of_the_house_is_switched_off_rather_than_what_one_trains_on() -> None:
    # either off leaves less than 2990 W; the machine draws less than the heater
    supply = room(feed="fused-spur", residual_current_protection="yes")
    machine = powered(RUNNER, power_w=1400)
    (snag,) = judged(make_plan(machine, heater(2000), room=supply)).values()
    assert "With the convector heater off it is 1.4 kW." in snag.sentence
    # of two of the house the smaller that is enough: 3400 - 600 = 2800
    pair = [heater(600, "small"), heater(2800, "large")]
    (snag,) = judged(make_plan(*pair, room=supply)).values()
    assert "off it is 2.8 kW" in snag.sentence


@pytest.mark.parametrize(
    ("supply", "watts", "codes"),
    [
        # one circuit whose breaker is not known: 16 A at 230 V are 3680 W, at 120 V 15 A of
        # which 0.8 last (US National Electrical Code 210.20(A)): 1440 W
        ({"feed": "one-circuit"}, 3680, set()),
        ({"feed": "one-circuit"}, 3681, {"power-feed"}),
        ({"feed": "one-circuit", "volts": 120}, 1440, set()),
        ({"feed": "one-circuit", "volts": 120}, 1441, {"power-feed"}),
        # where nothing is known the least is a spur
        ({}, 2990, {"ask-feed"}),
        ({}, 2991, {"ask-feed", "power-feed"}),
        # there are no fused spurs at 120 V
        ({"feed": "fused-spur", "volts": 120}, 1440, set()),
        ({"feed": "fused-spur", "volts": 120}, 1441, {"power-feed"}),
        # with a board of its own nobody guesses
        ({"feed": "own-board"}, 9000, set()),
    ],
)
def test_a_supply_that_is_not_known(supply: dict[str, Any], watts: float, codes: set[str]) -> None:
    if "feed" in supply:
        supply = supply | {"residual_current_protection": "yes"}
    found = judged(make_plan(heater(watts), room=room(**supply)))
    assert set(found) == codes
    if "power-feed" in found:
        assert found["power-feed"].severity == "care"
        assert found["power-feed"].sentence.startswith("Convector heater draws")


@pytest.mark.parametrize(
    ("supply", "watts", "codes"),
    [
        # asked for more than half of what the least supply gives: 1495 W of 2990, 720 of 1440
        ({}, 1495, set()),
        ({}, 1496, {"ask-feed"}),
        ({"volts": 120}, 720, set()),
        ({"volts": 120}, 721, {"ask-feed"}),
        ({"amps": 20}, 1495, set()),
        ({"amps": 20}, 1496, {"ask-residual-current"}),
        ({"amps": 20, "residual_current_protection": "yes"}, 1496, set()),
    ],
)
def test_when_the_feed_is_asked_for(supply: dict[str, Any], watts: float, codes: set[str]) -> None:
    found = judged(make_plan(heater(watts), room=room(**supply)))
    assert set(found) == codes
    if "ask-feed" in found:
        low = "volts" in supply
        told = "a 15 A circuit gives 1.4 kW" if low else "a 13 A spur gives 3.0 kW"
        assert told in found["ask-feed"].sentence


def test_one_thing_alone_may_draw_all_of_a_circuit_at_120_volts() -> None:
    # 20 A at 120 V are 2400 W; what lasts for hours is asked of several together
    known = room(volts=120, feed="one-circuit", amps=20, residual_current_protection="yes")
    assert judged(make_plan(heater(2400), room=known)) == {}
    over = judged(make_plan(heater(2401), room=known))["power-feed"]
    assert over.severity == "stop"
    assert "Do not run it on this" in over.sentence
    assert "for hours" not in over.sentence
    pair = judged(make_plan(heater(2000), heater(300, "b"), room=known))["power-feed"]
    assert pair.severity == "care"
    # 0.8 of 2400 (the same rule)
    assert "the circuit (20 A) gives 1.9 kW for hours on end" in pair.sentence
    assert pair.measured == 1920
    assert "running machine" not in pair.sentence


def test_only_the_machine_to_run_on_is_told_its_circuit() -> None:
    known = room(volts=120, feed="one-circuit", amps=20, residual_current_protection="yes")
    runner = powered(RUNNER, power_w=1500)
    (note,) = judged(make_plan(FREEZER, runner, room=known)).values()
    assert (note.code, note.pieces) == ("power-own-circuit", ("running-machine",))
    assert note.sentence.startswith("The running machine wants 20 A of its own")
    assert judged(make_plan(FREEZER, room=known)) == {}
    high = room(feed="own-board", amps=40, residual_current_protection="yes")
    assert judged(make_plan(RUNNER, room=high)) == {}


def test_a_circuit_is_called_by_its_label() -> None:
    circuits = (Circuit(id="a", amps=10, label="garage"), Circuit(id="b", amps=10))
    supply = room(feed="own-board", circuits=circuits, residual_current_protection="yes")
    for circuit, called in (("a", "the circuit garage (10 A)"), ("b", "the circuit b (10 A)")):
        plan = make_plan(powered(heater(2301), circuit=circuit), room=supply)
        (snag,) = judged(plan).values()
        # 10 A at 230 V are 2300 W
        assert f"draws 2.301 kW; {called} gives 2.300 kW" in snag.sentence
        assert snag.circuit == circuit


def test_what_draws_is_listed_as_one_says_it() -> None:
    every = loads(build_scene(make_plan(*THREE)))
    one, two, three = (lower(load.placed.name) for load in every)
    assert _listed(every[:1]) == one[:1].upper() + one[1:]
    assert _listed(every[:2]).lower() == f"{one} and {two}"
    assert _listed(every).lower() == f"{one}, {two} and {three}"
    assert _listed([*every, *every]).lower().endswith(" more")
