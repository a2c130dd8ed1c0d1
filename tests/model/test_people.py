"""What drawings call people."""

import pytest

from tests.builders import make_person, make_plan


def test_who_has_no_name_has_a_letter_that_is_nobody_elses_name() -> None:
    named = make_person(1700, person_id="p-2").model_copy(update={"label": "a"})
    plan = make_plan(
        people=[make_person(1800, person_id="p-1"), named, make_person(1650, person_id="p-3")]
    )
    # A is taken by the label of the second
    assert [plan.called(one.id) for one in plan.people] == ["B", "a", "C"]
    with pytest.raises(KeyError):
        plan.called("nobody")
