"""What a hand does not get at, at both bounds: sockets, bars and doors, by hand.

Common practice, no source: a plug takes 100 before the wall, what weighs 60 kg or more is not
pulled aside, and one hops 200 to a bar. Fingertips reach 1.268 of the stature (ANSUR 1988).
"""

import pytest

from app.checks.out_of_reach import out_of_reach
from app.checks.snag import Snag
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Opening, Plane, Socket
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place, turned_plan

TIPS = 1.268 * 1500


def of(plan: Plan) -> list[Snag]:
    return list(out_of_reach(build_scene(plan)))


def with_socket(height: float, *pieces: Piece) -> Plan:
    """The left wall runs from the front: 2000 along it lies at y 3000."""
    room = make_room().model_dump(mode="json")
    socket = Socket(id="s", wall="left", offset_mm=2000, height_mm=height)
    room["sockets"] = [socket.model_dump(mode="json")]
    made = make_plan(*pieces)
    return Plan.model_validate({**made.model_dump(mode="json"), "room": room})


@pytest.mark.parametrize("turn", [0, 31])
@pytest.mark.parametrize(("gap", "count"), [(0, 1), (98, 1), (101, 0)])
def test_a_socket_behind_a_plate_tree(gap: float, count: int, turn: float) -> None:
    plan = turned_plan(with_socket(300, place("plate-tree", 300 + gap, 3000)), turn)
    found = of(plan)
    assert [(s.code, s.severity) for s in found] == [("socket-behind-s", "note")] * count
    for snag in found:
        assert snag.sentence == (
            "The socket on the left wall is behind the plate tree: no plug goes in there."
        )


def test_what_is_light_low_beside_it_or_plugged_in_shuts_no_socket_in() -> None:
    tree = place("plate-tree", 300, 3000)
    assert of(with_socket(1100, tree)) == []
    assert of(with_socket(300, place("plate-tree", 300, 3000 + 300 + 101))) == []
    assert of(with_socket(300, place("jump-box", 250, 3000))) == []
    assert of(with_socket(300, place("mid-rack", 610, 3000))) == []
    assert of(with_socket(300, place("running-machine", 425, 3000))) == []
    three = place("jump-box", 4000, 1000), tree, place("plate-tree", 3000, 1000, piece_id="far")
    assert [snag.pieces for snag in of(with_socket(300, *three))] == [("plate-tree",)]


def hung(bar: float, wish: str = "want", *more: Piece) -> list[Snag]:
    people = [
        make_person(1750, person_id="a", want=("pull-up",)),
        make_person(1500, person_id="b", **{wish: ("pull-up",)}),  # type: ignore[arg-type]
        make_person(1400, person_id="c"),
    ]
    piece = place("pull-up-bar-ceiling", 2500, 2500, height=2900)
    piece = Piece.model_validate({**piece.model_dump(mode="json"), "bar_height_mm": bar})
    return of(make_plan(piece, *more, room=make_room(height=2900), people=people))


@pytest.mark.parametrize(("over", "count"), [(0, 0), (3, 1)])
def test_a_bar_the_shortest_who_wants_it_cannot_hop_to(over: float, count: int) -> None:
    found = hung(round(TIPS + 200 + over, 1))
    assert [(s.code, s.severity, s.person) for s in found] == [
        ("bar-out-of-reach", "note", "b")
    ] * count
    assert all("reaches 1902" in s.sentence and "a step" in s.sentence for s in found)


def test_one_bar_in_reach_is_enough_and_no_wish_is_no_row() -> None:
    assert [s.person for s in hung(2400, "no")] == []
    assert len(hung(2400)) == 1
    assert hung(2400, "want", place("short-rack", 1000, 1000)) == []


@pytest.mark.parametrize(("ceiling", "count"), [(1985, 0), (1984, 1), (1982, 1)])
def test_a_door_that_is_higher_than_its_wall_is_asked_about(ceiling: float, count: int) -> None:
    """Two thousand less the 15 that a tape errs by."""
    door = Opening(id="d", wall="left", kind="hinged", offset_mm=500, width_mm=800, height_mm=2000)
    pane = Opening(id="w", wall="back", kind="window", offset_mm=500, width_mm=800, height_mm=2500)
    slope = Plane(id="c", height_mm=ceiling, rise_x=300)
    found = of(make_plan(room=make_room(openings=(door, pane), planes=(slope,))))
    assert [(s.code, s.question) for s in found] == [("door-over-ceiling-d", True)] * count
    right = door.model_dump(mode="json") | {"wall": "right"}
    there = make_room(openings=(Opening.model_validate(right),), planes=(slope,))
    assert of(make_plan(room=there)) == []
