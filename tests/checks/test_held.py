"""What is held over the head: what the kit of the plan gives into the hands, and no more.

Seated press: 440 + 0.745 H + r; two dumbbells stand 75 above the grip, the largest plates are 450
(common practice, no source; 450: IWF). 1750: 1743.75 to the grip.
"""

import pytest

from app.checks.open_floor import card
from app.checks.snag import Snag
from app.checks.spot import form_of
from app.checks.spots import spots
from app.model.kit import Piece
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import (
    found,
    low_thing,
    make_person,
    make_plan,
    make_room,
    place,
    rectangle,
    turned_plan,
)
from tests.checks.hanging import but

GRIP_MM = 440 + 0.745 * 1750
BELLS = place("adjustable-dumbbells", 4500, 4500, piece_id="bells")
PRESSER = make_person(1750, want=("seated-press",), no=("squat", "standing-press"))


def bar(plate: float | None = None) -> list[Piece]:
    """A bar on stands away from the bench, with plates of a size, the largest if none is told."""
    return [
        but(place("squat-stands", 1200, 4000, piece_id="stands"), height_mm=1500),
        place("bar-20", 1200, 4074, piece_id="bar", carried_by="stands", plate=plate),
    ]


def pressed(clear: float, *others: Piece, turn: float = 0) -> list[Snag]:
    """What is said of a seated press at a free bench under a ceiling so high."""
    plan = make_plan(
        place("flat-bench", 3500, 1500, piece_id="bench"),
        *others,
        room=make_room(6000, 6000, clear),
        people=(PRESSER,),
    )
    return [s for s in found(turned_plan(plan, turn), "headroom") if s.movement == "seated-press"]


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize(
    ("others", "held"),
    [
        ((), 75),
        ((BELLS,), 75),
        ((*bar(), BELLS), 75),
        (tuple(bar()), 225),
        (tuple(bar(280)), 140),
    ],
    ids=["nothing", "dumbbells", "both", "a bar", "small plates"],
)
def test_a_free_bench_is_judged_with_what_there_is_to_press(
    others: tuple[Piece, ...], held: float, turn: float
) -> None:
    least = GRIP_MM + held
    (hit,) = pressed(least - 2, *others, turn=turn)
    assert (hit.severity, hit.required) == ("stop", round(least))
    assert [s.severity for s in pressed(least + 2, *others, turn=turn)] == ["care"]


def test_a_bench_in_its_rack_is_judged_with_the_bar_of_that() -> None:
    rack = [
        place("half-rack", 3500, 1700, piece_id="rack", height=1830, bolted=True),
        place("bar-20", 3500, 1700 - 675 + 542, piece_id="bar", carried_by="rack"),
        place("flat-bench", 3500, 1900, piece_id="bench", carried_by="rack"),
    ]
    for clear, said in ((GRIP_MM + 223, ["stop"]), (GRIP_MM + 227, ["care"])):
        plan = make_plan(*rack, BELLS, room=make_room(6000, 6000, clear), people=(PRESSER,))
        assert [s.severity for s in found(plan, "headroom") if s.movement == "seated-press"] == said


@pytest.mark.parametrize(
    ("pieces", "held"),
    [((), 225), ((place("flat-bench"),), 75), ((BELLS,), 75), ((place("flat-bench"), *bar()), 225)],
    ids=["empty room", "bench", "dumbbells", "bench and bar"],
)
def test_the_card_takes_the_same_into_the_hands(pieces: tuple[Piece, ...], held: float) -> None:
    plan: Plan = make_plan(*pieces, room=make_room(6000, 6000, 2600), people=(PRESSER,))
    (one,) = card(build_scene(plan))
    (line,) = (line for line in one.lines if line.movement == "seated-press")
    assert line.least_mm == round(GRIP_MM + held)
    assert line.plate_mm == (0 if held == 75 else 450)


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize(("plates", "held"), [((280,), 140), ((280, 450), 140), ((None,), 225)])
def test_the_card_presses_standing_with_the_smallest_plates_that_are_at_hand(
    plates: tuple[float | None, ...], held: float, turn: float
) -> None:
    # 1.204 H to the grip (ANSUR 1988); plates of 280: common practice
    stands = [
        piece
        for i, plate in enumerate(plates)
        for piece in (
            place("squat-stands", 1500 + 3000 * i, 1500, piece_id=f"stands-{i}"),
            place(
                "bar-20", 1500 + 3000 * i, 1574, piece_id=f"bar-{i}", carried_by=f"stands-{i}",
                plate=plate,
            ),
        )
    ]  # fmt: skip
    who = make_person(1750, want=("standing-press",))
    plan = make_plan(*stands, room=make_room(6000, 6000, 2600), people=(who,))
    (one,) = card(build_scene(turned_plan(plan, turn)))
    (line,) = (line for line in one.lines if line.movement == "standing-press")
    assert line.least_mm == round(1.204 * 1750 + held)
    assert line.plate_mm == 2 * held


@pytest.mark.parametrize(("plate", "held"), [(280, 140), (None, 225)])
def test_a_bar_that_lies_elsewhere_gives_its_plates_to_what_has_none(
    plate: float | None, held: float
) -> None:
    plan = make_plan(
        place("landmine", 3000, 1000, piece_id="pivot"),
        *bar(plate),
        room=make_room(6000, 6000, 2600),
        people=(make_person(1750, want=("landmine-press",)),),
    )
    scene = build_scene(plan)
    (spot,) = spots(scene)["landmine-press"]
    assert {part.held_mm for part in form_of(scene, spot).parts if part.name == "plates"} == {held}


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize(
    ("edge", "severity"),
    [
        # from the middle of the pad: 500 deep and 1200 across, 100 of wander all round
        (rectangle(2500, 1500 + 350, 4500, 1500 + 500), []),
        (rectangle(2500, 1500 + 348, 4500, 1500 + 500), ["stop"]),
        (rectangle(3500 + 700, 500, 3500 + 850, 2500), []),
        (rectangle(3500 + 698, 500, 3500 + 850, 2500), ["stop"]),
    ],
)
def test_two_dumbbells_go_up_over_who_sits_and_no_farther(
    edge: tuple[tuple[float, float], ...], severity: list[str], turn: float
) -> None:
    """Under a beam at 1700 nobody of 1.75 m presses seated: 1819 to the top of the dumbbells."""
    room = make_room(6000, 6000, 2600, low_things=[low_thing(edge, 1700)])
    bench = place("flat-bench", 3500, 1500, piece_id="bench")
    plan = make_plan(bench, BELLS, room=room, people=(PRESSER,))
    said = [s for s in found(turned_plan(plan, turn), "headroom") if s.movement == "seated-press"]
    assert [s.severity for s in said] == severity
