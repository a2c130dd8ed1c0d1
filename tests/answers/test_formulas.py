"""Formulas give what they gave, and a walk round a room makes the room that it made."""

import pytest

from tests.answers.kept import names, otherwise


@pytest.mark.parametrize("name", names("formula"))
def test_a_formula_gives_what_it_gave(name: str) -> None:
    assert otherwise("formula", name) == ""


@pytest.mark.parametrize("name", names("walk"))
def test_a_walk_makes_the_room_that_it_made(name: str) -> None:
    assert otherwise("walk", name) == ""


@pytest.mark.parametrize("name", names("cut"))
def test_a_cut_is_made_as_before(name: str) -> None:
    assert otherwise("cut", name) == ""
