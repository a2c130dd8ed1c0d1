"""Ways out of what is too much for a supply or a floor, each judged anew."""

from app.arrange.ways_out import ways_out
from app.changes.commands import apply
from app.checks.run import run
from app.checks.snag import Snag
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Room
from app.model.surroundings import Circuit, Electricity, FeedKind
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place
from tests.checks.hanging import but, room_of

RUNNER = place("running-machine", 1000, 1500, piece_id="runner")
HEATER = place("heater", 4000, 200, piece_id="heater")


def fed(feed: FeedKind, amps: float | None = None, circuits: tuple[Circuit, ...] = ()) -> Room:
    """Give a room with a supply; a trip switch guards its sockets."""
    supply = Electricity(feed=feed, amps=amps, circuits=circuits, residual_current_protection="yes")
    return make_room().model_copy(update={"electricity": supply})


def on(piece: Piece, circuit: str) -> Piece:
    """Give a piece that is plugged into a circuit."""
    return but(piece, circuit=circuit)


def about(plan: Plan, code: str) -> list[Snag]:
    """Give what is said under the beginning of a code."""
    return [snag for snag in run(build_scene(plan)) if snag.code.startswith(code)]


def offered(plan: Plan, code: str) -> tuple[str, Plan]:
    """Give the way out of the one finding of a code, and the plan that it makes."""
    (snag,) = about(plan, code)
    scene = build_scene(plan)
    ways = ways_out(scene, (snag,))
    remedy = ways.remedies[snag.key]
    for command in remedy.commands:
        plan = apply(plan, command)
    return remedy.sentence, plan


def test_what_is_too_much_for_one_circuit_is_plugged_into_another() -> None:
    circuits = (Circuit(id="one", amps=16), Circuit(id="two", amps=20))
    room = fed(feed="own-board", amps=63, circuits=circuits)
    # 2 x 2000 W on 16 A x 230 V = 3680 W; 20 A give 4600 W
    plan = make_plan(on(RUNNER, "one"), on(HEATER, "one"), room=room)
    sentence, after = offered(plan, "power-")
    assert sentence == "Plug the running machine into the circuit two instead."
    assert after.piece("runner").circuit == "two"
    assert about(after, "power-") == []


def test_where_there_is_no_other_circuit_one_is_laid() -> None:
    room = fed(feed="own-board", amps=63, circuits=(Circuit(id="one", amps=16),))
    plan = make_plan(on(RUNNER, "one"), on(HEATER, "one"), room=room)
    sentence, after = offered(plan, "power-")
    # 2000 W for hours on end ask for 2000 / 230 / 0.8 = 10.9 A: the next breaker made is 16 A
    assert sentence == (
        "Have an electrician lay a circuit of its own for the running machine, 16 A."
    )
    assert about(after, "power-") == []


def test_a_spur_that_is_too_small_asks_for_a_larger_feed() -> None:
    plan = make_plan(RUNNER, HEATER, room=fed(feed="fused-spur"))
    sentence, after = offered(plan, "power-feed")
    # 4000 / 230 / 0.8 = 21.7 A
    assert sentence == "Have an electrician feed the room with 25 A from a board of its own."
    assert about(after, "power-") == []


def test_of_a_feed_that_is_not_known_it_is_asked_for() -> None:
    plan = make_plan(RUNNER, HEATER, room=fed("unknown"))
    sentence, _ = offered(plan, "power-feed")
    assert sentence == "Ask an electrician for 25 A on a board of its own, if there is less."


def test_a_store_over_a_room_is_loaded_less() -> None:
    plan = make_plan(place("shelving", piece_id="shelf"), room=room_of(floor="timber"))
    sentence, after = offered(plan, "floor-load")
    # a single load of 1.4 kN is 142.8 kg (BS 6399-1, table 1)
    assert sentence == "Keep no more than 140 kg on the shelving, its own weight included."
    assert after.piece("shelf").mass_kg == 140
    assert [snag.severity for snag in about(after, "floor-load")] == ["note"]


def test_less_on_the_shelves_is_offered_beside_another_overload() -> None:
    """A bag of 120 kg with who boxes is 220 of 143 kg: that it stays does not make less no help."""
    shelf = place("shelving", 1000, 1000, piece_id="shelf")
    bag = but(place("standing-bag", 3000, 3000, piece_id="bag"), mass_kg=120)
    plan = make_plan(shelf, bag, room=room_of(floor="timber"))
    rows = {snag.pieces[0]: snag for snag in about(plan, "floor-load")}
    ways = ways_out(build_scene(plan), tuple(rows.values()))
    said = ways.remedies[rows["shelf"].key].sentence
    assert said == "Keep no more than 140 kg on the shelving, its own weight included."
    assert rows["bag"].key not in ways.remedies


def test_what_nothing_is_put_on_has_no_such_way_out() -> None:
    plan = make_plan(place("cable-column", piece_id="column"), room=room_of(floor="timber"))
    (snag,) = about(plan, "floor-load")
    assert snag.severity == "care"
    ways = ways_out(build_scene(plan), (snag,))
    assert not any("Keep no more" in one.sentence for one in ways.remedies.values())


def test_where_the_main_switch_hangs_in_the_room_a_circuit_is_laid_from_it() -> None:
    """No spur of a plug feeds a room whose circuits begin in it: common practice, no source."""
    board = place("consumer-unit", 2500, 60, piece_id="board", stays=True)
    washer = place("washing-machine", 4500, 4500, piece_id="washer")
    plan = make_plan(RUNNER, washer, board, room=fed("unknown"))
    (snag,) = about(plan, "power-feed")
    # 2000 and 2200 W on 16 A x 230 V = 3680 W, the smallest circuit that is usual
    assert "If one 16 A circuit from the main switch here feeds the room it gives 3.7 kW" in (
        snag.sentence
    )
    sentence, after = offered(plan, "power-feed")
    assert sentence == (
        "Have an electrician lay a circuit of its own for the running machine, 16 A, from the main "
        "switch here."
    )
    assert about(after, "power-") == []
    assert after.piece("runner").circuit != after.piece("washer").circuit
    # without it the room may hang on a spur
    (spur,) = about(make_plan(RUNNER, washer, room=fed("unknown")), "power-feed")
    assert "If a 13 A spur feeds the room it gives 3.0 kW" in spur.sentence


def test_what_one_circuit_from_the_main_switch_gives_is_enough() -> None:
    board = place("consumer-unit", 2500, 60, piece_id="board", stays=True)
    for watts, told in ((1680, 0), (1681, 1)):
        heater = but(HEATER, power_w=watts)
        plan = make_plan(RUNNER, heater, board, room=fed("unknown"))
        assert len(about(plan, "power-feed")) == told
