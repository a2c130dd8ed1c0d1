"""Bicycles that are kept in rows, and the heaviest of a household."""

import numpy as np
import pytest

from app.checks.body_mass import heaviest_kg
from app.checks.in_rows import in_rows
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, place


def test_two_that_both_stay_are_kept_in_rows_and_nothing_else_is() -> None:
    scene = build_scene(
        make_plan(
            place("bike-stored", 1000, 1000, piece_id="a", stays=True),
            place("bike-stored", 2000, 1000, piece_id="b", stays=True),
            place("bike-stored", 3000, 1000, piece_id="c"),
            place("chest-freezer", 4000, 1000, piece_id="d", stays=True),
        )
    )
    number = {placed.piece.id: i for i, placed in enumerate(scene.order)}
    # beyond the pieces are walls
    pairs = [("a", "b"), ("a", "c"), ("c", "b"), ("a", "d"), ("d", "b")]
    owners = np.array([*(number[one] for one, _ in pairs), number["a"], number["a"]])
    others = np.array([*(number[other] for _, other in pairs), 4, 9])
    assert in_rows(scene, owners, others).tolist() == [True, *[False] * 6]


@pytest.mark.parametrize(
    ("masses", "heaviest"),
    # 100 kg are usual where nobody says, common practice
    [((), 100), ((None,), 100), ((80,), 80), ((80, 95), 95), ((120, None), 120), ((80, None), 100)],
)
def test_the_heaviest_who_trains(masses: tuple[float | None, ...], heaviest: float) -> None:
    people = [
        make_person(person_id=f"p{i}").model_copy(update={"mass_kg": mass})
        for i, mass in enumerate(masses)
    ]
    assert heaviest_kg(build_scene(make_plan(people=people))) == heaviest
