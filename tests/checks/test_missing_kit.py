"""Wanted, but with nothing to do it in. Common practice, no source."""

import pytest

from app.model.kit import Piece
from app.model.people import Person
from app.model.room import Room
from tests.builders import found, make_person, make_plan, make_room, place, turned_plan
from tests.checks.test_alone import bench_station

BENCH = place("flat-bench", 2500, 2500, piece_id="bench")
BAR = place("bar-20", 2500, 1500, piece_id="bar", on_floor=True)
STANDS = place("squat-stands", 2500, 1500, piece_id="stands")


def rows(
    *pieces: Piece, who: tuple[Person, ...], room: Room | None = None, angle: float = 0
) -> list[tuple[str, str]]:
    plan = turned_plan(make_plan(*pieces, people=who, room=room), angle)
    return [(snag.severity, snag.sentence) for snag in found(plan, "missing-kit")]


def wanting(*movements: str, person_id: str = "one") -> Person:
    return make_person(want=movements, person_id=person_id)


@pytest.mark.parametrize("angle", [0, 23])
@pytest.mark.parametrize(
    ("pieces", "names"),
    [((BENCH,), "a bench here"), ((BAR,), "a bar here"), ((BENCH, BAR), "a bench and a bar here")],
)
def test_a_bench_or_bar_with_nothing_that_catches_is_a_stop(
    pieces: tuple[Piece, ...], names: str, angle: float
) -> None:
    ((severity, sentence),) = rows(*pieces, who=(wanting("bench-press"),), angle=angle)
    assert severity == "stop"
    assert names in sentence
    assert "a rack with catches" in sentence
    assert ("a bar with plates" in sentence) == (BAR not in pieces)


def test_stands_hold_a_bar_for_a_squat_but_nothing_to_press_under() -> None:
    ((severity, _),) = rows(STANDS, BENCH, BAR, who=(wanting("bench-press", "squat"),))
    assert severity == "stop"
    assert rows(STANDS, BAR, who=(wanting("squat"),)) == []


def test_a_bar_on_the_floor_for_a_wanted_squat_is_a_care() -> None:
    ((severity, sentence),) = rows(BAR, who=(wanting("squat"),))
    assert severity == "care"
    assert "nothing to take it from" in sentence


def test_an_empty_room_says_what_is_still_to_get_in_one_note_each() -> None:
    both = (wanting("bench-press", "squat", "pull-up"), wanting("pull-up", person_id="two"))
    first, second = rows(who=both)
    assert first[0] == second[0] == "note"
    for words in ("rack with catches", "a bench", "a bar with plates", "hang from"):
        assert words in first[1]
    assert "a bench" not in second[1]


def test_nothing_is_said_of_what_is_not_wanted_or_is_there() -> None:
    assert rows(who=(make_person(),)) == []
    assert rows(BENCH, who=(make_person(nice=("bench-press",), no=("squat",)),)) == []
    rack = bench_station()
    assert rows(*rack, who=(wanting("bench-press", "squat", "pull-up"),)) == []
    # a rack alone says of itself that it lacks its bar and bench
    assert rows(rack[0], who=(wanting("bench-press", "squat"),)) == []
    assert rows(place("pull-up-tower"), who=(wanting("pull-up"),)) == []


def test_what_the_ceiling_forbids_is_not_still_to_get() -> None:
    low = make_room(height=1700)
    assert rows(who=(wanting("pull-up"),), room=low) == []
    # a bench tempts to press under whatever ceiling
    assert [severity for severity, _ in rows(BENCH, who=(wanting("bench-press"),), room=low)] == [
        "stop"
    ]


def test_who_squats_wants_no_bench() -> None:
    ((severity, sentence),) = rows(who=(wanting("squat"),))
    assert severity == "note"
    assert "a bench" not in sentence
    assert "a bar with plates" in sentence


@pytest.mark.parametrize(
    ("pieces", "movements", "about", "movement"),
    [
        # what is at hand is what it is about, a bench before a bar; of a mere note nothing is
        ((BENCH, BAR), ("bench-press",), ("bench",), "bench-press"),
        ((BAR,), ("bench-press",), ("bar",), "bench-press"),
        ((BAR,), ("squat",), ("bar",), "squat"),
        ((), ("squat",), (), "squat"),
        ((BENCH,), ("squat",), (), "squat"),
        # of several movements none is named
        ((BAR,), ("bench-press", "squat"), ("bar",), None),
    ],
)
def test_what_it_is_about(
    pieces: tuple[Piece, ...], movements: tuple[str, ...], about: tuple[str, ...],
    movement: str | None,
) -> None:  # fmt: skip
    (snag,) = found(make_plan(*pieces, people=(wanting(*movements),)), "missing-kit")
    assert (snag.pieces, snag.movement, snag.person) == (about, movement, "one")
    assert snag.lacks == "kit"
    assert len(snag.source_keys) > 0
