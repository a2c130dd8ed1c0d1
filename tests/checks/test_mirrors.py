"""Mirrors on the plan by hand: 6 mm glass is 15 kg/m2; 354 off the floor at the least (MIL-HDBK).

A mirror of 1200 hangs from 500 to 2000 unless its height says otherwise; a plate is 450 high.
"""

from typing import Any

import pytest

from app.checks.mirrors import clean_mirrors, edges_mm, mirror_kg, mirrors
from app.checks.run import run
from app.checks.snag import Snag
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Socket
from app.scene.build import Scene, build_scene
from tests.builders import make_plan, make_room, place


def scene(*pieces: Piece, sockets: tuple[Socket, ...] = (), covering: float = 0) -> Scene:
    room = make_room(covering=covering).model_copy(update={"sockets": sockets})
    return build_scene(make_plan(*pieces, room=room))


def mirror(x: float = 2500, y: float = 15, angle: float = 0, **fields: Any) -> Piece:
    return place("mirror", x, y, angle, piece_id=f"m{x:g}", **fields)


def told(*pieces: Piece, **room: Any) -> list[Snag]:
    return list(mirrors(scene(*pieces, **room)))


def test_what_it_weighs() -> None:
    # 1.2 x 1.5 m of 15 kg/m2; told otherwise it is what is told
    (placed,) = scene(mirror()).order
    assert edges_mm(placed) == (500, 2000)
    assert mirror_kg(placed) == pytest.approx(27)
    (own,) = scene(mirror().model_copy(update={"mass_kg": 40})).order
    assert mirror_kg(own) == 40


def test_one_that_is_out_of_the_room_for_a_while_hangs_nowhere() -> None:
    out = {"id": "painting", "states": [{"id": "m2500", "state": "out"}]}
    plan = make_plan(mirror(), mirror(1000))
    hung = build_scene(Plan.model_validate(dict(plan) | {"situations": [out]}))
    assert [*clean_mirrors(hung)] == ["m1000", "m2500"]
    assert [*clean_mirrors(hung.in_situation(hung.plan.situations[0]))] == ["m1000"]
    assert not any("m2500" in snag.pieces for snag in run(hung))


def test_nothing_wrong_is_told_with_its_mass() -> None:
    clean = clean_mirrors(scene(mirror(), mirror(1000)))
    assert set(clean) == {"m2500", "m1000"}
    assert clean["m2500"] == "mirror, 27 kg, on a ledge, film behind, no glue on the film"
    assert clean_mirrors(scene(mirror(stays=True), place("plate-tree"))) == {}


def socket(offset: float, height: float, wall: str = "back") -> Socket:
    return Socket(id=f"s{offset:g}", wall=wall, offset_mm=offset, height_mm=height)


@pytest.mark.parametrize(
    ("offset", "height", "covered"),
    [
        # 600 to either side of 2500; from 500 to 2000
        (2500, 1000, True),
        (1901, 1000, True),
        (1900, 1000, False),
        (3099, 1000, True),
        (3100, 1000, False),
        (2500, 501, True),
        (2500, 500, False),
        (2500, 1999, True),
        (2500, 2000, False),
    ],
)
def test_a_socket_behind_it(offset: float, height: float, covered: bool) -> None:
    snags = told(mirror(), sockets=(socket(offset, height),))
    assert bool(snags) is covered
    for snag in snags:
        assert snag.sentence == (
            "Mirror: it covers a socket on the back wall. It weighs 27 kg: ledge or channel, film "
            "behind, no glue on the film."
        )
        assert (snag.severity, snag.measured, snag.required, snag.need) == (
            *("care", None, None),
            None,
        )
        assert (snag.pieces, snag.where) == (("m2500",), (2500, 15))


@pytest.mark.parametrize(
    ("wall", "x", "y", "angle"),
    # 1500 along each wall from its starting corner
    [("back", 1500, 15, 0), ("right", 4985, 1500, 90), ("front", 3500, 4985, 180),
     ("left", 15, 3500, 270)],
)  # fmt: skip
def test_on_each_wall(wall: str, x: float, y: float, angle: float) -> None:
    hung = mirror(x, y, angle)
    assert len(told(hung, sockets=(socket(1500, 1000, wall),))) == 1
    assert told(hung, sockets=(socket(2200, 1000, wall),)) == []
    others = {"back", "right", "front", "left"} - {wall}
    assert told(hung, sockets=tuple(socket(1500, 1000, other) for other in others)) == []


def test_what_hangs_off_its_wall_covers_none() -> None:
    assert len(told(mirror(y=45), sockets=(socket(2500, 1000),))) == 1
    assert told(mirror(y=46), sockets=(socket(2500, 1000),)) == []


def test_the_lower_edge_above_a_plate_on_edge() -> None:
    bar = place("bar-20", 2500, 2500)
    # without a bar 354 will do; with one 450 and what lies on the floor: 50 reach its edge at 500,
    # 52 reach 2 mm over it
    assert told(mirror()) == []
    assert told(mirror(), bar, covering=50) == []
    (snag,) = told(mirror(), bar, covering=52)
    assert "its lower edge is at 500 mm, a plate on edge reaches 502." in snag.sentence
    assert (snag.measured, snag.required, snag.need) == (500, 502, 508)
    assert told(mirror(), covering=52) == []


def test_two_hung_alike_say_it_once_and_the_heavier_counts() -> None:
    two = mirror(1500), mirror(3500).model_copy(update={"mass_kg": 40})
    (snag,) = told(*two, sockets=(socket(1500, 1000), socket(3500, 1000)))
    assert snag.sentence.startswith("Mirror: it covers a socket on the back wall. It weighs 40 kg")
    assert snag.pieces == ("m1500", "m3500")
    # one with and one without fault: the one
    (snag,) = told(*two, sockets=(socket(3500, 1000),))
    assert snag.pieces == ("m3500",)
    assert set(clean_mirrors(scene(*two, sockets=(socket(3500, 1000),)))) == {"m1500"}
