"""What is said of rooms with kit in them is what was said of them when it was last looked at."""

import pytest

from tests.answers.kept import names, otherwise


@pytest.mark.parametrize("name", names("catalogue"))
def test_a_plan_of_the_catalogue_is_answered_as_before(name: str) -> None:
    assert otherwise("catalogue", name) == ""


@pytest.mark.parametrize("name", names("themed"))
def test_a_room_for_one_thing_is_answered_as_before(name: str) -> None:
    assert otherwise("themed", name) == ""


@pytest.mark.parametrize("name", names("crowded"))
def test_a_crowded_room_is_answered_as_before(name: str) -> None:
    assert otherwise("crowded", name) == ""
