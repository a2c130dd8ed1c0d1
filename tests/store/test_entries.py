"""What a plan that cannot be read to its end says of itself."""

import pytest

from app.store.entries import State
from tests.builders import make_plan


def state(undo: str | None = None, redo: str | None = None,
          lost: tuple[int, int] | None = None) -> State:  # fmt: skip
    return State("p", make_plan(), 3, undo, redo, out_of_reach=lost)


@pytest.mark.parametrize(("undo", "redo"), [(None, None), ("move", None), (None, "move"), ("", "")])
def test_there_is_a_step_to_take_where_it_has_words(undo: str | None, redo: str | None) -> None:
    found = state(undo, redo)
    assert (found.can_undo, found.can_redo) == (undo is not None, redo is not None)


def test_one_revision_or_several_are_out_of_reach() -> None:
    assert state().out_of_reach_says == ""
    assert state(lost=(7, 7)).out_of_reach_says == (
        "Revision 7 cannot be read from the file and is out of reach: this is the plan before it, "
        "and the next change goes on from here."
    )
    assert state(lost=(7, 9)).out_of_reach_says.startswith(
        "Revisions 7 to 9 cannot be read from the file and are out of reach: this is the plan "
        "before them"
    )
