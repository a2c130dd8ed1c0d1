"""Before something is drilled: which cautions of common practice a house is told, one by one."""

from typing import Any

import pytest

from app.checks.snag import Snag
from app.model.kit import Piece
from app.model.room import Opening, Room
from tests.builders import found, make_plan, place
from tests.checks.hanging import room_of

PEGS = place("plate-pegs", 2500, 140)
BAG = place("hung-bag", 2500, 2500)
RACK = place("half-rack", 2500, 2500, bolted=True)
LOOSE = place("half-rack", 2500, 2500)
GARAGE = Opening(id="g", wall="front", kind="canopy", offset_mm=500, width_mm=2400, height_mm=2000)

TRACE, TEST, DUST = "trace cables and pipes", "may hold asbestos", "needs a mask and a vacuum"
SPRINGS, TANKED = "springs of the garage door", "no holes in tanked walls"
EVERY = (TRACE, TEST, DUST, SPRINGS, TANKED)


def told(*pieces: Piece, old: str = "yes", wall: str = "timber-studs", **room: Any) -> list[Snag]:
    fabric = {"built_before_2000": old, **room.pop("fabric", {})}
    return found(make_plan(*pieces, room=room_of(wall, fabric=fabric, **room)), "hazards")


def clauses(*pieces: Piece, **room: Any) -> set[str]:
    snags = told(*pieces, **room)
    return {clause for snag in snags for clause in EVERY if clause in snag.sentence}


@pytest.mark.parametrize(
    ("piece", "room", "expected"),
    [
        # hung on studs, hung under joists, bolted to the floor: that is concrete
        (PEGS, {}, {TRACE, TEST}),
        (BAG, {}, {TRACE, TEST}),
        (RACK, {}, {TRACE, TEST, DUST}),
        # masonry and concrete make the dust that is breathed
        *((PEGS, {"wall": wall}, {TRACE, TEST, DUST}) for wall in (
            "solid-brick", "dense-block", "hollow-block", "aerated-block", "single-skin-block",
            "concrete",
        )),
        (PEGS, {"wall": "metal-studs"}, {TRACE, TEST}),
        (BAG, {"wall": "concrete"}, {TRACE, TEST}),
        (BAG, {"ceiling": "slab"}, {TRACE, TEST, DUST}),
        (PEGS, {"ceiling": "slab"}, {TRACE, TEST}),
        # a spring under tension
        (PEGS, {"openings": (GARAGE,)}, {TRACE, TEST, SPRINGS}),
        # nothing is drilled
        (LOOSE, {}, set()),
        (PEGS.model_copy(update={"stays": True}), {}, set()),
    ],
)  # fmt: skip
def test_what_is_told_of_an_old_house(
    piece: Piece, room: dict[str, Any], expected: set[str]
) -> None:
    assert clauses(piece, **room) == expected


@pytest.mark.parametrize("kind", ["canopy", "tracks", "sectional"])
def test_doors_with_springs(kind: str) -> None:
    door = GARAGE.model_copy(update={"kind": kind})
    assert SPRINGS in clauses(PEGS, openings=(door,))
    house = GARAGE.model_copy(update={"kind": "hinged", "width_mm": 900})
    assert SPRINGS not in clauses(PEGS, openings=(house,))


def test_tanked_walls_are_told_whatever_is_drilled() -> None:
    tanked = {"walls": {"tanked": True}}
    assert clauses(**tanked) == {TANKED}
    assert clauses(PEGS, **tanked) == {TRACE, TEST, TANKED}
    # of a newer house nothing is to be tested
    assert clauses(PEGS, old="no", **tanked) == {TRACE, TANKED}


def with_walls(**by_wall: dict[str, Any]) -> Room:
    """A room of an old house on studs in which some walls are otherwise."""
    data = room_of("timber-studs", fabric={"built_before_2000": "yes"}).model_dump()
    for wall in data["walls"]:
        wall |= by_wall.get(wall["id"], {})
    return Room.model_validate(data)


@pytest.mark.parametrize("name", ["back", "front"])
def test_one_wall_that_is_tanked_or_masonry_is_enough(name: str) -> None:
    (snag,) = found(make_plan(room=with_walls(**{name: {"tanked": True}})), "hazards")
    assert TANKED in snag.sentence
    (snag,) = found(
        make_plan(PEGS, room=with_walls(**{name: {"construction": "concrete"}})), "hazards"
    )
    assert DUST in snag.sentence
    (snag,) = found(make_plan(PEGS, room=with_walls()), "hazards")
    assert DUST not in snag.sentence


def test_one_thing_that_is_hung_or_bolted_is_enough() -> None:
    for piece in (PEGS, BAG, RACK):
        both = (piece, place("bike", 1000, 4000, piece_id="a-bike"), place("bike", 4000, 4000))
        assert TRACE in clauses(*both)
    house = GARAGE.model_copy(update={"id": "a", "kind": "hinged", "width_mm": 900, "wall": "back"})
    assert SPRINGS in clauses(PEGS, openings=(house, GARAGE))


def test_the_note_is_a_list_of_what_to_mind() -> None:
    (snag,) = told(PEGS)
    assert snag.sentence.startswith("Before drilling or sanding: trace cables and pipes; boards,")
    first, second = snag.lines("metric")
    assert first == "Trace cables and pipes."
    assert "from before 2000 may hold asbestos" in second
    assert (snag.severity, snag.background, snag.unit) == ("note", True, None)


def test_a_house_that_is_not_old_or_of_unknown_age_is_asked() -> None:
    for old, words in (("no", ""), ("unknown", "older than 2000 (asbestos, lead paint) and ")):
        assert told(PEGS, old=old) == []
        fabric = {"built_before_2000": old}
        plan = make_plan(PEGS, room=room_of(fabric=fabric))
        (asked,) = found(plan, "find-out")
        assert "where cables and pipes run, before anything is drilled" in asked.sentence
        assert ("asbestos" in asked.sentence) is bool(words)
        assert words in asked.sentence
    # nothing is drilled, nothing asked
    loose = make_plan(LOOSE, room=room_of(fabric={"built_before_2000": "unknown"}))
    assert not any("drilled" in snag.sentence for snag in found(loose, "find-out"))


@pytest.mark.parametrize(("answer", "asked"), [("unknown", True), ("no", False), ("yes", False)])
def test_whether_a_slab_holds_tendons_is_asked_before_bolting(answer: str, asked: bool) -> None:
    room = room_of(fabric={"post_tensioned": answer})
    for rack, bolts in ((RACK, True), (LOOSE, False)):
        snags = found(make_plan(rack, room=room), "find-out")
        words = any("post-tensioned" in snag.sentence for snag in snags)
        assert words is (asked and bolts)


def test_each_thing_on_a_slab_with_tendons_is_named_once() -> None:
    other = place("half-rack", 1000, 1000, bolted=True, piece_id="second")
    room = room_of(fabric={"post_tensioned": "yes"})
    (snag,) = found(make_plan(RACK, other, LOOSE.model_copy(update={"id": "third"}), room=room),
        "tendons")  # fmt: skip
    assert snag.pieces == ("half-rack", "second")
    assert snag.where == (2500, 2500)
    assert (snag.severity, snag.measured, snag.required) == ("care", None, None)


def test_all_that_would_be_bolted_through_tendons_is_named_once() -> None:
    def said(*pieces: Piece) -> str:
        room = room_of(fabric={"post_tensioned": "yes"})
        (snag,) = found(make_plan(*pieces, room=room), "tendons")
        assert snag.pieces == tuple(piece.id for piece in pieces)
        return snag.sentence

    other = place("half-rack", 4000, 4000, piece_id="other", bolted=True)
    mid = place("mid-rack", 1200, 1200, piece_id="mid", bolted=True)
    assert said(RACK).startswith("The half rack is to be bolted to a post-tensioned slab")
    assert said(RACK, mid).startswith("The half rack and the mid rack are to be bolted")
    assert said(RACK, other).startswith("The half rack are to be bolted")
