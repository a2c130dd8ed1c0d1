"""What a person stands on at a use, by the rows of the library and what was typed."""

from typing import Any

import pytest

from app.checks.footing import belt_words, grade_is_open
from app.model.kit import Piece
from app.scene.build import Placed, build_scene
from app.scene.footing import footing, grade_ratio, has_motor
from tests.builders import make_plan, place


def stood(kit: str, movement: str, power: float | None = None, **fields: Any) -> tuple[Any, ...]:
    piece: Piece = place(kit, **fields).model_copy(update={"power_w": power})
    placed: Placed = build_scene(make_plan(piece)).order[0]
    use = next(use for use in placed.kit.uses if use.movement == movement)
    return placed, use


def borne(kit: str, movement: str, power: float | None = None, **fields: Any) -> tuple[float, ...]:
    return tuple(footing(*stood(kit, movement, power, **fields)))


def test_a_box_is_as_high_as_it_is_set() -> None:
    # used on its side of 500 until somebody says how high it stands
    assert borne("jump-box", "box-jump") == (500, 0)
    assert borne("jump-box", "box-jump", height=600) == (600, 0)
    assert borne("step", "step-up") == (150, 0)
    # a machine that is typed higher bears nobody higher
    assert borne("running-machine", "run", height=1500)[0] == 180


def test_a_belt_rises_by_its_grade_and_its_deck_is_what_was_typed() -> None:
    assert borne("running-machine", "run") == (180, 0)
    assert borne("running-machine", "run", deck=250)[0] == 250
    flat, steep = (borne("running-machine", "walk", grade=each)[1] for each in (0, 10))
    assert flat == 0
    assert steep > 0
    # no motor lifts a curved belt
    assert borne("curved-runner", "run", grade=10) == (300, 0)


@pytest.mark.parametrize(
    ("kit", "power", "grade", "has", "ratio", "asked"),
    [
        ("running-machine", None, None, True, 0, True),
        ("running-machine", None, 12, True, 0.12, False),
        # a household says that its own draws nothing, or how little
        ("running-machine", 0, 12, False, 0, False),
        ("running-machine", 0.5, 12, True, 0.12, False),
        ("curved-runner", None, None, False, 0, False),
        # nobody runs on a walking pad
        ("walking-pad", None, None, True, 0, False),
    ],
)
def test_whose_grade_is_to_be_asked(
    kit: str, power: float | None, grade: float | None, has: bool, ratio: float, asked: bool
) -> None:
    placed, _ = stood(kit, "walk", power, grade=grade)
    assert (has_motor(placed), grade_is_open(placed)) == (has, asked)
    assert grade_ratio(placed) == pytest.approx(ratio)


def test_the_belt_in_words() -> None:
    flat, steep = (belt_words(*stood("running-machine", "run", grade=each)) for each in (0, 12))
    assert flat.worded("metric") == "on a deck of 180 mm, flat"
    assert steep.worded("metric") == "on a deck of 180 mm, at 12%"
